"""The numbers of one form field: value, range, tolerance, deviations; which unit they have; what is asked back."""

import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.errors import Unreadable
from server.domain.quantities import UNIT_ASSUMED, UNITS, Kind, Quantity, as_decimal_text
from server.domain.reading_field import (
    USUAL_UNITS,
    WORD_BEHIND,
    Field,
    only_unit,
    refuse_bare,
    refuse_number,
    refuse_rest,
)
from server.domain.reading_numbers import NUMBER_START, RULE_DENOMINATORS, Number, number_at, number_of
from server.domain.reading_sizes import has_two_readings, is_rule_fraction
from server.domain.reading_threads import inch_thread_at
from server.domain.unit_spellings import Spelled, spellings, unit_at

_RANGE = re.compile(
    rf"[ ]{{0,3}}(?:-|…|\.{{2,3}}|\bto\b|\bbis\b|\bthru\b|\bthrough\b)[ ]{{0,3}}(?P<sign>[+-]?)(?={NUMBER_START})"
)
_PLUS_MINUS = re.compile(r"[ ]{0,3}(?:±|\+[ ]?/?[ ]?-)[ ]{0,3}(?=[0-9.½¼⅛])")
_DEVIATION = re.compile(r"[ ]{0,3}(?:/[ ]{0,3})?(?P<sign>[+-])[ ]?(?=[0-9.])|[ ]{0,3}/[ ]{0,3}(?=0(?![0-9]))")
_FIT = re.compile(
    r"[ ]{0,3}(?:[A-Z]{1,2}[0-9]{1,2}(?:[ ]?[/-][ ]?[a-z]{1,2}[0-9]{1,2})?|(?<=[ ])[a-z]{1,2}[0-9]{1,2})(?![A-Za-z0-9])"
)
_PERCENT = re.compile(r"[ ]{0,3}%")
_SPACED_THOUSANDS = re.compile(r"[0-9]{1,3}(?:[ ][0-9]{3}){1,3}(?![0-9]|[ ]?/)")
_FIGURES = re.compile(r"[0-9./,-]+")
_SIGNED_KINDS = frozenset({Kind.TEMPERATURE, Kind.ANGLE})
_INCH_UNITS = frozenset({"in", "ft", "yd"})
_AREA_UNITS = {"mm": "mm²", "cm": "mm²", "m": "mm²", "in": "in²", "ft": "in²"}


@dataclass(frozen=True, slots=True)
class _Signed:
    """A number with its sign and what was noted about it."""

    number: Number
    is_negative: bool = False
    note: str = ""

    @property
    def value(self) -> Fraction:
        return -self.number.value if self.is_negative else self.number.value


def read_numbers(field: Field) -> Quantity:
    """The quantity whose first number stands at `field.at`; moves `field.at` behind it. Raises Unreadable."""
    first = _number(field)
    if field.kind is Kind.LENGTH and inch_thread_at(field.low, field.start) is not None:
        raise Unreadable(f"“{field.text}” names a thread; a length is wanted, such as 1/4 in.", field.text)
    unit = _unit(field)
    second = _range_end(field, first)
    if second is not None:
        later = _unit(field)
        if unit and later and unit.unit is not later.unit:
            raise Unreadable(f"“{field.text}” has another unit at either end: use one for both.", field.text)
        settled, notes = _settled(field, later or unit, (first, second))
        return _range(field, first, second, settled, notes)
    spread, later = _spread(field, unit)
    if field.kind is Kind.LENGTH and not spread and (fit := _FIT.match(field.text, field.at)):
        field.at = fit.end()
        later = None if unit else _unit(field)
        settled, notes = _settled(field, unit or later, (first,))
        notes.append(f"fit {fit.group().strip()}: its limits come from ISO 286 when the sizes are compared")
        return _single(field, first, settled, notes)
    settled, notes = _settled(field, unit or later, (first,))
    made = _single(field, first, settled, notes)
    return _with_spread(made, settled, later or settled, spread) if spread else made


# one number, its unit


def _number(field: Field, sign: str | None = None) -> _Signed:
    low = field.low
    if sign is None:
        sign = low[field.at : field.at + 1] if low[field.at : field.at + 1] in {"+", "-"} else ""
        field.at += len(sign)
    while low[field.at : field.at + 1] == " ":
        field.at += 1
    at = field.at
    note = ""
    spaced = _SPACED_THOUSANDS.match(low, at)
    if spaced is not None:
        plain = spaced.group().replace(" ", "")
        found = number_of(plain)
        field.at, note = spaced.end(), f"“{spaced.group()}” read as {plain}"
    else:
        numbered = number_at(low, at)
        found, field.at = numbered or (None, at)
    if found is None:
        refuse_number(field, at)
    if low.startswith("/", field.at) and low[field.at + 1 : field.at + 2].isdigit():
        figures = _FIGURES.match(low, at)
        said = figures.group() if figures else field.text
        raise Unreadable(f"“{said}” is no fraction.", said)
    if sign == "-" and found.value and field.kind not in _SIGNED_KINDS:
        raise Unreadable(f"“-{found.text}”: a {field.kind} can't be less than zero.", f"-{found.text}")
    return _Signed(found, sign == "-", note)


def _unit(field: Field) -> Spelled | None:
    found = unit_at(field.text, field.low, field.at, field.kind)
    if found is None:
        return None
    field.at = found[2]
    return found[0]


def _settled(field: Field, unit: Spelled | None, numbers: tuple[_Signed, ...]) -> tuple[Spelled, list[str]]:
    """The unit of these numbers, typed or assumed, and what is to be noted; refuses what would be a guess."""
    kind = field.kind
    notes = [one.note for one in numbers if one.note]
    if unit is None:
        if field.left.strip(" .,;") and not WORD_BEHIND.match(field.low, field.at):
            refuse_rest(field)
        unit, note = _assumed(field, numbers)
        notes.append(note)
    elif unit.note:
        notes.append(unit.note)
    for one in numbers:
        _refuse_two_readings(kind, one.number, unit)
        _refuse_odd_fraction(one.number, unit)
        is_thousandish = one.number.other is not None and one.number.form == "decimal" and not _is_counted(kind)
        if is_thousandish and unit.unit.name not in _INCH_UNITS:
            notes.append(f"the point in {one.number.text} read as a decimal point")
    return unit, [note for note in notes if note]


def _is_counted(kind: Kind) -> bool:
    """True for what is counted in whole pieces."""
    return kind is Kind.COUNT


def _assumed(field: Field, numbers: tuple[_Signed, ...]) -> tuple[Spelled, str]:
    kind = field.kind
    if kind not in USUAL_UNITS:
        return _spelled(only_unit(kind)), ""
    is_fraction = any(one.number.form == "fraction" for one in numbers)
    drawing = _unit_of_drawing(kind, field.drawing_unit)
    if drawing is not None:
        name = drawing.unit.name
        if is_fraction and kind is Kind.LENGTH and name not in _INCH_UNITS:
            said = field.done
            raise Unreadable(f"The drawings are in {name} and {said} looks like inches: type {said} in if so.", said)
        return drawing, f"{UNIT_ASSUMED}: taken as {name}, the unit of the drawings"
    if kind is not Kind.LENGTH or any(one.number.form != "fraction" for one in numbers):
        refuse_bare(field)
    return _spelled("in"), "a fraction without a unit is read as inches (common practice)"


def _unit_of_drawing(kind: Kind, drawing_unit: str | None) -> Spelled | None:
    if drawing_unit is None:
        return None
    name = _AREA_UNITS.get(drawing_unit, drawing_unit) if kind is Kind.AREA else drawing_unit
    return _spelled(name) if UNITS[name].kind is kind else None


def _spelled(name: str) -> Spelled:
    unit = UNITS[name]
    return next(one for one in spellings(unit.kind).values() if one.unit is unit and one.factor == 1 and not one.note)


def _refuse_two_readings(kind: Kind, number: Number, unit: Spelled) -> None:
    if number.other is None or _is_counted(kind) or not has_two_readings(number, unit):
        return
    name = unit.unit.name
    write = _plainly if number.form == "fraction" else _as_decimal
    one, other = write(number.value), write(number.other)
    raise Unreadable(f"“{number.text}” can be {one} or {other} {name}: type the one you mean.", number.text)


def _as_decimal(value: Fraction) -> str:
    return as_decimal_text(value, 6)


def _plainly(value: Fraction) -> str:
    """ "10 1/2" for a drill fraction, else a decimal."""
    whole, part = divmod(value, 1)
    if part.denominator in RULE_DENOMINATORS and whole:
        return f"{whole} {part}"
    return as_decimal_text(value, 6)


def _refuse_odd_fraction(number: Number, unit: Spelled) -> None:
    if number.form != "fraction" or unit.kind is not Kind.LENGTH:
        return
    name, value = unit.unit.name, number.value
    if name in _INCH_UNITS:
        if is_rule_fraction(value):
            return
        meant = _nearest_rule_fraction(number)
        if _is_decimal(value):
            meant = f"{meant}, or {as_decimal_text(value, 6)} {name}"
        raise Unreadable(f"“{number.text}” is no drill or rule size: {meant}?", number.text)
    if value.denominator > 4:
        raise Unreadable(
            f"“{number.text} {name}”: so fine a fraction is usually inches: {number.text} in?", number.text
        )


def _is_decimal(value: Fraction) -> bool:
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return rest == 1


def _nearest_rule_fraction(number: Number) -> str:
    """The likeliest slip: figures of the denominator swapped or one of them wrong, else the nearest 64th."""
    figures = re.search(r"(?:([0-9]+)[ .-]+)?([0-9]+)/([0-9]+)", number.text)
    if figures is None:
        return str(Fraction(round(number.value * 64), 64))
    whole, top, bottom = figures.group(1), int(figures.group(2)), figures.group(3)
    likely = [
        one
        for one in sorted(RULE_DENOMINATORS)
        if top < one and top % 2 and (sorted(str(one)) == sorted(bottom) or _one_figure_apart(str(one), bottom))
    ]
    swapped = [one for one in likely if sorted(str(one)) == sorted(bottom)]
    best = next(iter(swapped or likely), None)
    if best is None:
        nearest = Fraction(round(number.value * 64), 64)
        return _plainly(nearest) if nearest >= 1 else str(nearest)
    return f"{whole} {top}/{best}" if whole else f"{top}/{best}"


def _one_figure_apart(a: str, b: str) -> bool:
    return len(a) == len(b) and sum(x != y for x, y in zip(a, b, strict=True)) == 1


# ranges and tolerances


def _range_end(field: Field, first: _Signed) -> _Signed | None:
    """The second end of a range; None where none is written or the minus begins a deviation."""
    found = _RANGE.match(field.low, field.at)
    if found is None:
        return None
    before = field.at
    field.at = found.end()
    if field.kind not in _SIGNED_KINDS and found["sign"] == "-":
        field.at = before
        return None
    second = _number(field, found["sign"])
    if second.value > first.value:
        return second
    is_deviation = field.low[before : found.end()] == " -" and second.value * 4 < first.value
    if is_deviation:
        field.at = before
        return None
    raise Unreadable(
        f"“{field.text}” runs backwards. For a range type the smaller first; for a whole number and a fraction leave a "
        "blank, as in 1 1/2.",
        field.text,
    )


def _range(field: Field, first: _Signed, second: _Signed, unit: Spelled, notes: list[str]) -> Quantity:
    step = max(first.number.half_step, second.number.half_step)
    low, high = unit.to_base(first.value), unit.to_base(second.value)
    note = "; ".join(notes)
    return Quantity(unit.kind, None, unit.unit.name, field.text, low, high, unit.span_to_base(step), note=note)


def _single(field: Field, first: _Signed, unit: Spelled, notes: list[str]) -> Quantity:
    number = first.number
    value = number.other if _is_counted(unit.kind) and number.other is not None else first.value
    if _is_counted(unit.kind) and value.denominator != 1:
        raise Unreadable(f"“{number.text}”: pieces are counted in whole numbers.", number.text)
    step = Fraction(0) if _is_counted(unit.kind) else number.half_step
    return Quantity(
        unit.kind,
        unit.to_base(value),
        unit.unit.name,
        field.text,
        half_step=unit.span_to_base(step),
        note="; ".join(notes),
    )


_Spread = tuple[Fraction, Fraction, bool]
"""Lower and upper deviation as typed (the lower below zero), and whether they are per cent."""


def _spread(field: Field, unit: Spelled | None) -> tuple[_Spread | None, Spelled | None]:
    """Tolerance behind the number and the unit typed behind it."""
    both = _PLUS_MINUS.match(field.low, field.at)
    if both is not None:
        field.at = both.end()
        value = _number(field, "").number.value
        percent = _PERCENT.match(field.low, field.at)
        if percent is not None and field.kind is not Kind.SHARE:
            if field.kind in _SIGNED_KINDS:
                refuse_rest(field)
            field.at = percent.end()
            return (-value, value, True), _unit(field) if unit is None else None
        return (-value, value, False), _unit(field)
    deviations: list[Fraction] = []
    while len(deviations) < 2 and (found := _DEVIATION.match(field.low, field.at)) is not None:
        field.at = found.end()
        size = _number(field, "").number.value
        deviations.append(-size if found["sign"] == "-" else size)
    if not deviations:
        return None, None
    if len(deviations) == 1:
        deviations.append(Fraction(0))
    return (min(deviations), max(deviations), False), _unit(field)


def _with_spread(made: Quantity, unit: Spelled, spread_unit: Spelled, spread: _Spread) -> Quantity:
    value = made.value if made.value is not None else Fraction(0)
    down, up, is_percent = spread
    if is_percent:
        low, high = value + abs(value) * down / 100, value + abs(value) * up / 100
    else:
        low, high = value + spread_unit.span_to_base(down), value + spread_unit.span_to_base(up)
    return Quantity(made.kind, value, unit.unit.name, made.text, low, high, made.half_step, note=made.note)
