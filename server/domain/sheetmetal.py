"""Bending sheet: set-back, bend allowance, flat patterns, and how tight a bend an alloy takes.

All lengths of one call in one unit, angles in degrees bent through: a square
angle is bent through 90, an open angle of 135 through 45, a closed one of 45
through 135. Set-back and allowance follow FAA-H-8083-31 and AC 43.13-1B 4-56;
the set-back factor is computed as tan(N/2), for the printed chart has a slip
at 176 degrees.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import radians, tan

from server.domain.quantities import INCH
from server.domain.sources import Source
from server.domain.tables.read import read_table

FORMULA = Source("FAA-H-8083-31", "bend allowance and set-back")
RADII = Source("AC 43.13-1B", "Table 4-6", "8 Sep 1998")


@dataclass(frozen=True, slots=True)
class Bend:
    """One bend: inside radius, and degrees bent through from flat."""

    radius: float
    degrees: float = 90.0


def setback(radius: float, thickness: float, degrees: float = 90.0) -> float:
    """From the bend's tangent line to the outer mold line: tan(N/2) × (R + T).

    Raises ValueError for a bend of less than 0 or of 180 degrees and more.
    """
    if not 0 <= degrees < 180:
        raise ValueError("a bend runs from 0 to under 180 degrees")
    return tan(radians(degrees) / 2) * (radius + thickness)


def bend_allowance(radius: float, thickness: float, degrees: float = 90.0) -> float:
    """Flat material that a bend takes up: (0.01743 R + 0.0078 T) N."""
    if not 0 <= degrees <= 180:
        raise ValueError("a bend runs from 0 to 180 degrees")
    return (0.01743 * radius + 0.0078 * thickness) * degrees


def bend_deduction(radius: float, thickness: float, degrees: float = 90.0) -> float:
    """What one bend saves of the outside dimensions: twice the set-back less the allowance."""
    return 2 * setback(radius, thickness, degrees) - bend_allowance(radius, thickness, degrees)


@dataclass(frozen=True, slots=True)
class FlatPattern:
    """A flat pattern: the flats between the bends, the allowance of each bend, and the whole length."""

    flats: tuple[float, ...]
    allowances: tuple[float, ...]

    @property
    def length(self) -> float:
        """Developed length."""
        return sum(self.flats) + sum(self.allowances)


def flat_pattern(outside: Sequence[float], bends: Sequence[Bend], thickness: float) -> FlatPattern:
    """The flat pattern of legs given by their outside (mold line) dimensions, with a bend between each two.

    Raises ValueError where legs and bends don't fit together, or a leg is shorter than its set-back.
    """
    if len(outside) != len(bends) + 1:
        raise ValueError("there is one bend between each two legs")
    backs = [setback(bend.radius, thickness, bend.degrees) for bend in bends]
    flats = []
    for number, leg in enumerate(outside):
        taken = sum(backs[max(0, number - 1) : number + 1])
        if leg < taken:
            raise ValueError("a leg is shorter than its bend takes up")
        flats.append(leg - taken)
    allowances = tuple(bend_allowance(bend.radius, thickness, bend.degrees) for bend in bends)
    return FlatPattern(tuple(flats), allowances)


class BendFit(StrEnum):
    """How a radius stands against the printed range."""

    WIDE = "wide enough"
    BETWEEN = "between the ends of the range"
    TIGHT = "too tight"


@dataclass(frozen=True, slots=True)
class BendLimit:
    """The printed range for an alloy, temper and thickness: radius over thickness, low to high."""

    alloy_temper: str
    column: Fraction
    low: Fraction
    high: Fraction
    footnotes: str

    def judge(self, radius: Fraction, thickness: Fraction) -> BendFit:
        """Radius and thickness in one unit."""
        over = radius / thickness
        if over >= self.high:
            return BendFit.WIDE
        return BendFit.BETWEEN if over >= self.low else BendFit.TIGHT


def bend_limit(alloy: str, temper: str, thickness: Fraction) -> BendLimit | None:
    """The range of Table 4-6 for a 90 degree cold bend; thickness in mm, `column` in mm too.

    Between two columns the thicker one is taken, which is the safer. None for
    an alloy or thickness the table does not hold.
    """
    rows = [row for row in read_table("bend_radii") if row["alloy_temper"] == f"{alloy}-{temper}"]
    for row in sorted(rows, key=lambda one: Fraction(one["thickness_in"])):
        column = Fraction(row["thickness_in"]) * INCH
        if thickness <= column + Fraction(1, 100):
            low, high = Fraction(row["r_over_t_low"]), Fraction(row["r_over_t_high"])
            return BendLimit(f"{alloy}-{temper}", column, low, high, row["footnotes"])
    return None
