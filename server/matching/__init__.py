"""Any find against all open needs, and any need against all finds: read, index, score, explain."""
