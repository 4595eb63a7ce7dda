"""Rubber: the date it was cured, and the fluids that spoil it."""

import re
from typing import NamedTuple

from server.domain.sources import Source, Standing

CURE_RULE = Source(
    "cure dates in quarters on packets and hoses (2Q82: second quarter of 1982), a navy training page",
    standing=Standing.QUOTED,
    is_method=True,
)
FLUID_RULE = Source("seal makers' public material guides", standing=Standing.QUOTED)

_HYDROCARBONS = frozenset({"petrol", "mineral oil", "mineral hydraulic"})
_POLAR = frozenset({"phosphate ester", "glycol brake"})

SPOILED_BY: dict[str, frozenset[str]] = {
    "natural rubber": _HYDROCARBONS,
    "epdm": _HYDROCARBONS,
    "butyl": _HYDROCARBONS,
    "silicone": frozenset({"petrol", "mineral oil"}),
    "sponge": _HYDROCARBONS,
    "nitrile": _POLAR,
    "chloroprene": frozenset({"petrol"}) | _POLAR,
    "fluorocarbon": _POLAR,
}
"""Compound to the fluids that swell or rot it; brake and phosphate-ester fluids by common practice.

A pair that is not listed is not known to be good."""


class Quarter(NamedTuple):
    """A quarter of a year; compares by age."""

    year: int
    quarter: int

    def __str__(self) -> str:
        return f"{self.quarter}Q{self.year}"


_QUARTER = re.compile(
    r"\b(?:(?P<q>[1-4])\s*Q\s*'?(?P<y>\d{4}|\d{2})|Q\s*(?P<q2>[1-4])[ /.-]*'?(?P<y2>\d{4}|\d{2}))\b", re.IGNORECASE
)
_MONTH = re.compile(r"\b(?:(?P<m>0?[1-9]|1[0-2])[/.](?P<y>\d{4})|(?P<y2>\d{4})-(?P<m2>0[1-9]|1[0-2]))\b")
_YEAR = re.compile(r"\b(19[2-9]\d|20\d\d)\b")
_TWENTIES = 40
"""Two figures below this are read as 20xx, the rest as 19xx."""


def read_cure_date(text: str) -> Quarter | None:
    """The quarter a cure date names ("3Q19", "Q3 2019", "8/2019", "2019-08"); None if it names none.

    A year alone is its first quarter: the oldest it can be.
    """
    found = _QUARTER.search(text)
    if found is not None:
        year = found["y"] or found["y2"]
        number = int(year)
        if len(year) == 2:
            number += 2000 if number < _TWENTIES else 1900
        return Quarter(number, int(found["q"] or found["q2"]))
    month = _MONTH.search(text)
    if month is not None:
        return Quarter(int(month["y"] or month["y2"]), (int(month["m"] or month["m2"]) + 2) // 3)
    year_alone = _YEAR.search(text)
    return Quarter(int(year_alone.group()), 1) if year_alone else None


def is_spoiled(compound: str, fluid: str) -> bool:
    """True where this compound is known to suffer from this fluid (both by their keys)."""
    return fluid in SPOILED_BY.get(compound, frozenset())
