"""Reading sizes: one quantity in a form field, all sizes of a running text, and whether a size is plausible."""

from fractions import Fraction

from server.domain.quantities import UNITS, Kind, Quantity, Unit, as_decimal_text
from server.domain.reading_field import USUAL_UNITS
from server.domain.reading_form import read_quantity, read_uncertainty
from server.domain.reading_sizes import Amount, Reading, Size
from server.domain.reading_text import read_sizes
from server.domain.reading_threads import Thread

__all__ = [
    "Amount",
    "Reading",
    "Size",
    "Thread",
    "implausible",
    "read_quantity",
    "read_sizes",
    "read_uncertainty",
]

_SLIPS = (Fraction(10), Fraction(1, 10), Fraction(100), Fraction(1, 100), Fraction(1000), Fraction(1, 1000))
_METRIC_LENGTHS = frozenset({"mm", "cm", "m", "µm"})


def implausible(quantity: Quantity, low: Fraction, high: Fraction, what: str = "this size") -> str | None:
    """A question about a size outside low..high (the kind's own unit); None for one inside.

    Names the slips that would bring it inside: a decimal point one to three
    places off, or the other common unit for the same figure (25.4 for inches
    and millimetres). It asks, it never corrects.
    """
    every = [one for one in (quantity.value, quantity.low, quantity.high) if one is not None]
    outside = next((one for one in every if not low <= one <= high), None)
    if outside is None:
        return None
    unit = UNITS[quantity.unit]
    size = "large" if outside > high else "small"
    usual = f"{_written(low, unit)} to {_written(high, unit)} is usual"
    asked = f"{_written(outside, unit)} is {size} for {what} ({usual}): is a digit lost or a unit wrong?"
    meant = _likely(outside, unit, low, high)
    return f"{asked} {' or '.join(meant)} would fit." if meant else asked


def _likely(value: Fraction, unit: Unit, low: Fraction, high: Fraction) -> list[str]:
    number = unit.from_base(value)
    found = []
    for name in _others(unit):
        other = UNITS[name]
        if low <= other.to_base(number) <= high:
            found.append(_number_with(number, other))
    for factor in _SLIPS:
        if low <= unit.to_base(number * factor) <= high:
            found.append(_number_with(number * factor, unit))
            break
    return found


def _others(unit: Unit) -> tuple[str, ...]:
    """Units that are mixed up with this one."""
    if unit.kind is Kind.LENGTH:
        return ("in",) if unit.name in _METRIC_LENGTHS else ("mm",)
    return tuple(name for name in USUAL_UNITS.get(unit.kind, ()) if name != unit.name)


def _written(value: Fraction, unit: Unit) -> str:
    return _number_with(unit.from_base(value), unit)


def _number_with(number: Fraction, unit: Unit) -> str:
    size = abs(number)
    places = 4 if size < 1 else 3 if size < 100 else 1
    joint = "" if unit.name in {"°", "%"} else "\u202f"
    return f"{as_decimal_text(number, places)}{joint}{unit.name}"
