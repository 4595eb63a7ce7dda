"""Bolts of the AN series: what the number says of thread, grip and length.

The dash is a length code and never the grip: its last digit counts eighths
of an inch, the digits before it whole inches, so it never ends in 8 or 9.
The standard sheets were not seen; see tables/an_bolts.csv.
"""

import functools
import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.errors import Unreadable
from server.domain.quantities import INCH
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table
from server.domain.threads import Thread, read_thread

GRIP_TABLE = Source(
    "AN3 to AN6 grip and length table, as reproduced in a kit builder's manual", standing=Standing.QUOTED
)
NUMBER_RULE = Source("AN bolt numbers, as explained on public pages", standing=Standing.QUOTED)

GRIP_TOLERANCE = INCH / 64
LENGTH_OVER, LENGTH_UNDER = INCH / 32, INCH / 64

AN_THREADS = {3: "#10-32 UNF", 4: "1/4-28 UNF", 5: "5/16-24 UNF", 6: "3/8-24 UNF", 7: "7/16-20 UNF", 8: "1/2-20 UNF"}
"""Size number to thread."""
_MATERIALS = {"": "steel", "C": "corrosion-resistant steel", "DD": "aluminium alloy 2024"}
_NUMBER = re.compile(
    r"\bAN[ ]?(?P<size>[0-9]{1,2})(?P<metal>C|DD)?(?P<head>H)?[ -]?(?P<dash>[0-9]{1,2})(?P<end>A)?\b", re.IGNORECASE
)
_NAS = re.compile(r"\bNAS[ ]?[0-9]{3,4}[A-Z]*-?[0-9]{0,2}[A-Z-]+(?P<sixteenths>[0-9]{1,3})[A-Z]*\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class AnBolt:
    """An AN bolt by its number; grip, length and diameter in mm, grip and length None where no table has them."""

    number: str
    size: int
    dash: int
    thread: Thread
    grip: Fraction | None
    length_under_head: Fraction | None
    material: str
    head_is_drilled: bool
    shank_is_drilled: bool
    note: str = ""

    @property
    def diameter(self) -> Fraction:
        """Nominal shank diameter in mm: that of the thread, so 0.190 in for AN3."""
        assert self.thread.major is not None
        return self.thread.major


@functools.lru_cache(maxsize=1024)
def read_an_bolt(text: str) -> AnBolt | None:
    """The bolt of an AN3 to AN8 number in this text; None where there is none.

    Raises Unreadable for a number no bolt can have: a dash that ends in 8 or 9.
    """
    found = _NUMBER.search(text)
    if found is None or int(found["size"]) not in AN_THREADS:
        return None
    size, dash = int(found["size"]), int(found["dash"])
    if dash % 10 in {8, 9}:
        raise Unreadable(
            f"“{found.group()}” is no bolt: the dash counts whole inches and eighths, so it never ends in 8 or 9."
            " Read the number again.",
            found["dash"],
        )
    if not dash:
        return None
    metal = (found["metal"] or "").upper()
    row = _rows().get((size, dash))
    number = f"AN{size}{metal}{'H' if found['head'] else ''}-{dash}{'A' if found['end'] else ''}"
    thread = read_thread(AN_THREADS[size])
    assert thread is not None
    note = ""
    if row is None:
        note = "its grip and length are in no table here"
    elif not row["status"].startswith("tabulated"):
        note = f"grip and length: {row['status']}"
    return AnBolt(
        number,
        size,
        dash,
        thread,
        _inches(row["grip_in"]) if row else None,
        _inches(row["length_in"]) if row else None,
        _MATERIALS[metal],
        bool(found["head"]),
        not found["end"],
        note,
    )


@functools.cache
def _rows() -> dict[tuple[int, int], dict[str, str]]:
    return {
        (int(row["bolt"].removeprefix("AN").split("-")[0]), int(row["dash"])): row for row in read_table("an_bolts")
    }


@functools.lru_cache(maxsize=1024)
def _inches(text: str) -> Fraction:
    """The table rounds to 0.0001 in; every size in it is a multiple of 1/64 in."""
    return Fraction(round(Fraction(text) * 64), 64) * INCH


@functools.lru_cache(maxsize=1024)
def shortest_for(size: int, stack: Fraction) -> AnBolt | None:
    """The AN bolt of this size with the shortest grip that covers a stack (mm); None if the table has none."""
    fitting = [
        (_inches(row["grip_in"]), dash)
        for (number, dash), row in _rows().items()
        if number == size and _inches(row["grip_in"]) >= stack
    ]
    return read_an_bolt(f"AN{size}-{min(fitting)[1]}") if fitting else None


def nas_grip(text: str) -> Fraction | None:
    """Grip in mm of a NAS bolt number, whose last figures count sixteenths of an inch; None if there is none.

    Source: two public pages (NAS464-5L20: 1 1/4 in), quoted.
    """
    found = _NAS.search(text)
    return Fraction(int(found["sixteenths"]), 16) * INCH if found else None
