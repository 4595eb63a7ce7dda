"""The pure core: no web, no database, no clock. Standard library only."""
