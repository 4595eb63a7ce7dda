"""Makegood: a register for sourcing and substituting parts on old aeroplanes."""

__version__ = "0.1.0"
