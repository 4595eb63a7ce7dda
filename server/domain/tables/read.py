"""Reads a published table that comes with the program."""

import csv
import functools
from pkgutil import get_data


@functools.cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """All rows of `<name>.csv` in this folder, each as column name to text; read once.

    Leading lines that begin with "#" name the sources and are no rows.
    Raises FileNotFoundError for a table that does not exist.
    """
    lines, first = _lines(name)
    return tuple(csv.DictReader(lines[first:]))


def read_notes(name: str) -> str:
    """What the head of `<name>.csv` says of the table and its sources. Raises FileNotFoundError."""
    lines, first = _lines(name)
    return " ".join(line.lstrip("# ").rstrip() for line in lines[:first])


def _lines(name: str) -> tuple[list[str], int]:
    """The lines of a table, and where its head ends."""
    lines = (get_data(__package__, f"{name}.csv") or b"").decode().splitlines()
    return lines, next((at for at, line in enumerate(lines) if not line.startswith("#")), len(lines))
