"""The pages: routes, forms, answers. Thin; what the register does lies in the services."""
