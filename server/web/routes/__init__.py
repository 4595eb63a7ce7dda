"""The routes: one module a page family, each with its `router`, found by looking into this package."""
