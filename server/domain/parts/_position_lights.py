"""Position lights: least intensities, colours, and what another voltage does to a filament.

Source: 14 CFR 23.1391 and 23.1397 (amendments of 1993 and 1971, read there); they
are today's rules for new types. An old type may be certified to others.
"""

import re
from fractions import Fraction

from server.domain.sources import Source, Standing

INTENSITY_RULE = Source("14 CFR 23.1391", "least intensities", "Amdt 23-43, 1993")
COLOUR_RULE = Source("14 CFR 23.1397", "colours", "Amdt 23-11")
MEASURED_WITH = Source("14 CFR 29.1389(a)", "with covers and filters in place")
LIFE_RULE = Source("lamp maker's glossary", "life goes with the 12th power of the voltage", standing=Standing.QUOTED)
OUTPUT_RULE = Source("candlepower goes with about the 3.5th power of the voltage", standing=Standing.MEMORY)

LEAST_CANDLES: dict[str, dict[str, Fraction]] = {
    "red": {"intensity_ahead": Fraction(40), "intensity_off": Fraction(30), "intensity_side": Fraction(5)},
    "green": {"intensity_ahead": Fraction(40), "intensity_off": Fraction(30), "intensity_side": Fraction(5)},
    "white": {"intensity_aft": Fraction(20)},
}
"""Colour to characteristic (0-10, 10-20, 20-110, 110-180 degrees from ahead) to candles."""


def read_chromaticity(text: str) -> tuple[Fraction, Fraction] | None:
    """x and y of “x 0.690 y 0.309” (z follows from them); None where they are not there or impossible."""
    found = {name: Fraction(value.replace(",", ".")) for name, value in re.findall(r"([xy])\s*=?\s*(\d?[.,]\d+)", text)}
    if len(found) < 2 or found["x"] + found["y"] > 1:
        return None
    return found["x"], found["y"]


def colour_lies_within(colour: str, x: Fraction, y: Fraction) -> bool:
    """Does this chromaticity lie within the colour asked for (red, green or white)? Raises KeyError for another."""
    z = 1 - x - y
    if colour == "red":
        return y <= Fraction("0.335") and z <= Fraction("0.002")
    if colour == "green":
        inside = x <= Fraction("0.440") - Fraction("0.320") * y and x <= y - Fraction("0.170")
        return inside and y >= Fraction("0.390") - Fraction("0.170") * x
    if colour == "white":
        planckian = Fraction(planckian_y(float(x))).limit_denominator(10**6)
        floor = min(x - Fraction("0.040"), planckian - Fraction("0.010"))
        ceiling = min(x + Fraction("0.020"), Fraction("0.636") - Fraction("0.400") * x)
        return Fraction("0.300") <= x <= Fraction("0.540") and floor <= y <= ceiling
    raise KeyError(colour)


_PLANCKIAN = (
    (0.5047, (-1.1063814, -1.34811020, 2.18555832, -0.20219683)),
    (0.3805, (-0.9549476, -1.37418593, 2.09137015, -0.16748867)),
    (0.0, (3.0817580, -5.87338670, 3.75112997, -0.37001483)),
)
"""From this x on, the cubic for y: the usual fit to the full radiator's line, from memory."""


def planckian_y(x: float) -> float:
    """y of the full radiator of this x in the CIE 1931 diagram, for x from 0.25 to 0.56."""
    cube, square, first, constant = next(fit for start, fit in _PLANCKIAN if x >= start)
    return cube * x**3 + square * x**2 + first * x + constant


def life_factor(design_volts: Fraction, applied_volts: Fraction) -> float:
    """Life at the applied voltage over the life at the design voltage."""
    return float(design_volts / applied_volts) ** 12


def output_factor(design_volts: Fraction, applied_volts: Fraction) -> float:
    """Candlepower at the applied voltage over that at the design voltage; the exponent from memory."""
    return float(float(applied_volts / design_volts) ** 3.5)
