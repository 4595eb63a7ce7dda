"""The parts of an address: a record's number, and where a list goes on."""

from typing import Annotated

from fastapi import Path, Query

LAST = 2_000_000_000
"""No record has a greater number; more would not fit the database's own."""

Number = Annotated[int, Path(ge=1, le=LAST, description="The record's running number.")]
After = Annotated[int, Query(ge=0, le=LAST, description="The last number of the page before; 0 for the first page.")]
