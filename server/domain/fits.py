"""Limits and fits of ISO 286: "20 H7/g6" in limits and clearances.

The table decides, never the formula: the standard rounds in its own way.
Sizes to 120 mm, grades IT5 to IT11, shafts f g h k n p, hole H. Earlier
works' and national fit systems are not mapped to these (no source seen).
"""

import functools
import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.parts._kit import StandardLimits
from server.domain.sources import Source, Standing
from server.domain.specification import Requirement
from server.domain.tables.read import read_table

ISO_286 = Source("ISO 286-1", "tables of tolerance grades and deviations, to 120 mm", "1988", Standing.QUOTED)

_CLASS = re.compile(r"(?<![A-Za-z0-9.])(?P<letter>[A-Za-z]{1,2})(?P<grade>[0-9]{1,2})(?![A-Za-z0-9.])")
_NOMINAL = re.compile(r"(?:[Øø]\s*)?(?P<size>[0-9]+(?:[.,][0-9]+)?)\s*(?:mm)?\s*(?=[A-Za-z]{1,2}[0-9])")
_FIT = re.compile(r"(?P<hole>[A-Z]{1,2}[0-9]{1,2})\s*[/-]\s*(?P<shaft>[a-z]{1,2}[0-9]{1,2})")


@dataclass(frozen=True, slots=True)
class Zone:
    """Limits of one member in mm."""

    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Fit:
    """A hole and a shaft class together; `nominal` in mm, None where the text gives none."""

    hole: str
    shaft: str
    nominal: Fraction | None


def read_fit(text: str) -> Fit | None:
    """The fit a text calls for ("20 H7/g6", "H8-f7", "k6"); None where it calls for none.

    One member alone is kept, the other is "".
    """
    size = _NOMINAL.search(text)
    nominal = Fraction(size["size"].replace(",", ".")) if size else None
    both = _FIT.search(text)
    if both is not None:
        return Fit(both["hole"], both["shaft"], nominal)
    found = _CLASS.search(text[size.end() :] if size else text)
    if found is None:
        return None
    name = found.group()
    return Fit(name, "", nominal) if found["letter"].isupper() else Fit("", name, nominal)


@functools.cache
def _values() -> dict[tuple[str, str], tuple[tuple[Fraction, Fraction, Fraction], ...]]:
    """(kind, symbol) to steps: over, up to and including, value in mm."""
    found: dict[tuple[str, str], list[tuple[Fraction, Fraction, Fraction]]] = {}
    for row in read_table("fits"):
        step = Fraction(row["over_mm"]), Fraction(row["to_mm"]), Fraction(row["value_um"]) / 1000
        found.setdefault((row["kind"], row["symbol"]), []).append(step)
    return {key: tuple(steps) for key, steps in found.items()}


def _value(kind: str, symbol: str, nominal: Fraction) -> Fraction | None:
    for over, to, value in _values().get((kind, symbol), ()):
        if over < nominal <= to:
            return value
    return None


def tolerance(nominal: Fraction, grade: int) -> Fraction | None:
    """Width of a tolerance grade in mm at this size (mm), for example IT7; None outside the table."""
    return _value("IT", f"IT{grade}", nominal)


def zone(nominal: Fraction, name: str) -> Zone | None:
    """Limits in mm of a class ("H7", "g6") at this size; None where the table does not hold it."""
    found = _CLASS.fullmatch(name)
    if found is None:
        return None
    letter, grade = found["letter"], int(found["grade"])
    width = tolerance(nominal, grade)
    if width is None:
        return None
    if letter == "H":
        return Zone(nominal, nominal + width)
    upper = _value("es", letter, nominal)
    if upper is not None:
        return Zone(nominal + upper - width, nominal + upper)
    # the deviation of k holds for grades 4 to 7 only; beyond them it is none
    lower = Fraction(0) if letter == "k" and grade > 7 else _value("ei", letter, nominal)
    return None if lower is None else Zone(nominal + lower, nominal + lower + width)


def clearance(fit: Fit, nominal: Fraction | None = None) -> tuple[Fraction, Fraction] | None:
    """Least and greatest clearance in mm, below zero a press; None where a member is missing or not in the table."""
    size = fit.nominal if fit.nominal is not None else nominal
    if size is None:
        return None
    hole, shaft = zone(size, fit.hole), zone(size, fit.shaft)
    if hole is None or shaft is None:
        return None
    return hole.low - shaft.high, hole.high - shaft.low


def fit_limits(nominal: Fraction, requirement: Requirement) -> StandardLimits | None:
    """Limits of ISO 286 where the requirement names a class ("20 H7"); None where it names none."""
    fit = read_fit(requirement.text)
    if fit is None or (fit.hole and fit.shaft):
        return None
    name = fit.hole or fit.shaft
    limits = zone(nominal, name)
    if limits is None:
        return None
    return StandardLimits(limits.low, limits.high, ISO_286, "")
