"""One verb each: what people do with the register. Services commit; nobody else does."""
