"""The parts of an address: a record's number, and where a list goes on."""

from typing import Annotated

from fastapi import Path, Query

LAST = 2_000_000_000
"""No record has a greater number; more would not fit the database's own."""

Number = Annotated[int, Path(ge=1, le=LAST, description="The record's running number.")]
After = Annotated[int, Query(ge=0, le=LAST, description="The last number of the page before; 0 for the first page.")]


def number_in(text: str) -> int | None:
    """A record's number out of a form or a query; None where the text is none."""
    if not (text.isascii() and text.isdigit() and len(text) <= 10):
        return None
    return number if 1 <= (number := int(text)) <= LAST else None
