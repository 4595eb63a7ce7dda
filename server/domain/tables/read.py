"""Reads a published table that comes with the program."""

import csv
import functools
from importlib import resources


@functools.cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """All rows of `<name>.csv` in this folder, each as column name to text; read once.

    Leading lines that begin with "#" name the sources and are no rows.
    Raises FileNotFoundError for a table that does not exist.
    """
    text = (resources.files(__package__) / f"{name}.csv").read_text(encoding="utf-8")
    lines = text.splitlines()
    first = next((at for at, line in enumerate(lines) if not line.startswith("#")), len(lines))
    return tuple(csv.DictReader(lines[first:]))
