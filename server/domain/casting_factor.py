"""Casting factors: how much of a casting's strength may be counted on, by what was inspected.

Source: 14 CFR 23.621 (2014 text): (c) critical castings, (d) non-critical castings.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from server.domain.sources import Source

RULE = Source("14 CFR 23.621", "(c) and (d)", "2014 text")


class Inspection(StrEnum):
    """What was done to every piece."""

    VISUAL = "by eye"
    SURFACE = "magnetic particle or penetrant"
    RADIOGRAPH = "radiograph"


BEARING_FACTOR = Fraction(5, 4)
"""For bearing stress a factor of more than 1.25 need not be used."""


@dataclass(frozen=True, slots=True)
class CastingFactor:
    """A factor and whether the inspections carry it; `least` is the smallest factor they would carry."""

    factor: Fraction
    is_carried: bool
    least: Fraction | None
    why: str


def least_factor(done: frozenset[Inspection], *, is_critical: bool) -> Fraction | None:
    """The smallest casting factor these inspections carry; None where they carry none at all.

    Critical: all three carry 1.25; by eye and one approved method carry 2.0.
    Non-critical: by eye alone carries 2.0, with a surface method 1.5, with a radiograph too 1.25.
    A critical casting under 1.50 needs static tests of three samples besides.
    """
    if Inspection.VISUAL not in done:
        return None
    surface, radiograph = Inspection.SURFACE in done, Inspection.RADIOGRAPH in done
    if surface and radiograph:
        return Fraction(5, 4)
    if is_critical:
        return Fraction(2) if surface or radiograph else None
    return Fraction(3, 2) if surface else Fraction(2)


def judge_factor(factor: Fraction, done: frozenset[Inspection], *, is_critical: bool) -> CastingFactor:
    """May this factor be used with these inspections? Says which inspection is wanting."""
    least = least_factor(done, is_critical=is_critical)
    said = ", ".join(one.value for one in Inspection if one in done) or "nothing"
    if factor < Fraction(5, 4):
        return CastingFactor(factor, False, least, "no casting goes below a factor of 1.25")
    if least is None:
        wanted = "by eye and an approved method on every piece" if is_critical else "at least by eye on every piece"
        return CastingFactor(factor, False, None, f"inspected: {said}; it has to be {wanted}")
    if factor < least:
        missing = "a radiograph as well" if least == Fraction(3, 2) or is_critical else "magnetic particle or penetrant"
        return CastingFactor(
            factor, False, least, f"a factor of {float(factor):g} also needs {missing}; {said} carries {float(least):g}"
        )
    tests = " and static tests of three samples" if is_critical and factor < Fraction(3, 2) else ""
    return CastingFactor(factor, True, least, f"carried by {said}{tests}")


def allowable(strength_mpa: Fraction, factor: Fraction) -> Fraction:
    """Strength to count on, MPa: the casting's own figure divided by its factor. Raises ValueError below 1."""
    if factor < 1:
        raise ValueError("a casting factor is at least 1")
    return strength_mpa / factor
