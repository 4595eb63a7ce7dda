"""The command line, and what it sets going."""
