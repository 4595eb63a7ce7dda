"""Reads one quantity out of one field of a form, or says in a mechanic's words what could not be read.

Never a silent guess: what has two readings is refused with both, and what was
assumed stands in the quantity's note.
"""

import re
from dataclasses import replace
from fractions import Fraction

from server.domain.errors import Unreadable
from server.domain.gauges import GAUGE_AFTER, GAUGE_BEFORE, Gauge, find_gauge, system_of
from server.domain.quantities import UNITS, Kind, Quantity, as_decimal_text
from server.domain.reading_field import (
    USUAL_UNITS,
    WORD_BEFORE,
    WORD_BEHIND,
    Field,
    only_unit,
    refuse_nothing,
    refuse_rest,
)
from server.domain.reading_fold import fold
from server.domain.reading_form_numbers import read_numbers
from server.domain.reading_sizes import (
    FEET_INCHES,
    IN,
    STRANDS,
    feet_inches,
    gauge_area,
    gauge_length,
    strands_area,
)
from server.domain.reading_words import WORD_FRACTION, fraction_in_words

LONGEST = 120
"""Longest text of one quantity, characters."""

_PLUS_MINUS_FIRST = re.compile(r"(?:±|\+ ?/? ?-|U ?=)\s*")


def read_quantity(text: str, kind: Kind, *, drawing_unit: str | None = None) -> Quantity:
    """ONE quantity of this kind as a mechanic types it into a field, kept exact.

    Takes fractions (1 1/2, 1-1/2, 1½), decimals with point or comma, feet and
    inches, gauge numbers, `28/0.30` strands for an area, ±, +a/-b, ranges and
    one-sided limits ("max 35 mm": no value, `high` 35 mm). A number without a
    unit takes `drawing_unit` (a name in UNITS) and says so in the note; a bare
    drill fraction without one is inches; a count, share, angle or other kind
    with a single unit needs none.

    Raises Unreadable, quoting the part that could not be read. Source of the
    forms: common practice of writing; gauges: tables/gauges.csv.
    """
    if drawing_unit is not None and drawing_unit not in UNITS:
        raise ValueError(drawing_unit)
    typed = text.strip()
    if not typed:
        refuse_nothing(kind)
    if len(typed) > LONGEST:
        raise Unreadable(f"“{typed[:30]}…” is too long for one {kind}.", typed[:30])
    field = Field(typed, fold(typed), kind, drawing_unit)
    _words_before(field)
    field.start = field.at
    quantity = _special(field) or read_numbers(field)
    while _word_behind(field):
        pass
    if field.left.strip(" .,;"):
        refuse_rest(field)
    if field.bound:
        quantity = _bounded(field, quantity)
    return replace(quantity, text=typed, is_approximate=field.is_approximate)


def read_uncertainty(text: str, kind: Kind, *, drawing_unit: str | None = None) -> Fraction:
    """An instrument's uncertainty as typed ("0.02 mm", "±0.02 mm", "1 thou"), in the kind's own unit.

    It is a difference: 1 °F is 5/9 °C. A number without a unit takes
    `drawing_unit`. Raises Unreadable for what is no size, for zero and less.
    """
    typed = text.strip()
    sign = _PLUS_MINUS_FIRST.match(typed)
    read = read_quantity(typed[sign.end() :] if sign else typed, kind, drawing_unit=drawing_unit)
    if read.value is None or read.has_limits:
        wanted = "0.02 mm or 1 thou" if kind is Kind.LENGTH else f"1 {USUAL_UNITS.get(kind, (only_unit(kind),))[0]}"
        raise Unreadable(f"“{typed}” has limits of its own; one uncertainty is wanted, such as {wanted}.", typed)
    unit = UNITS[read.unit]
    value = unit.span_to_base(unit.from_base(read.value))
    if value <= 0:
        raise Unreadable(f"“{typed}”: no instrument reads without doubt; type what it may be out by.", typed)
    return value


def _words_before(field: Field) -> None:
    while (found := WORD_BEFORE.match(field.low, field.at)) is not None:
        if found["dia"] and field.kind is not Kind.LENGTH:
            return
        if found["most"] or found["least"]:
            field.bound = "max" if found["most"] else "min"
        field.is_approximate = field.is_approximate or bool(found["about"])
        field.at = found.end()


def _word_behind(field: Field) -> bool:
    found = WORD_BEHIND.match(field.low, field.at)
    if found is None or (found["dia"] and field.kind is not Kind.LENGTH):
        return False
    if found["most"] or found["least"]:
        if field.bound:
            return False
        field.bound = "max" if found["most"] else "min"
    field.is_approximate = field.is_approximate or bool(found["about"])
    field.at = found.end()
    return True


def _bounded(field: Field, quantity: Quantity) -> Quantity:
    if quantity.has_limits or quantity.value is None:
        raise Unreadable(f"“{field.text}” gives a limit and a tolerance at once: which of the two holds?", field.text)
    if field.bound == "max":
        return replace(quantity, value=None, high=quantity.value)
    return replace(quantity, value=None, low=quantity.value)


# gauges, strands, feet and inches, fractions in words


def _special(field: Field) -> Quantity | None:
    low, at, text = field.low, field.at, field.text
    if field.kind in {Kind.LENGTH, Kind.AREA}:
        gauge = _gauge(field)
        if gauge is not None:
            return gauge_length(gauge, text) if field.kind is Kind.LENGTH else gauge_area(gauge, text)
    if field.kind is Kind.AREA and (strands := STRANDS.match(low, at)) is not None:
        field.at = strands.end()
        return strands_area(strands, text)
    if field.kind is Kind.LENGTH:
        feet = FEET_INCHES.match(low, at)
        length = feet_inches(feet, text) if feet else None
        if feet is not None and length is not None:
            field.at = feet.end()
            return length
        words = WORD_FRACTION.match(low, at)
        value = fraction_in_words(words) if words and words["unit"] else None
        if words is not None and value is not None:
            field.at = words.end()
            return Quantity(Kind.LENGTH, IN.to_base(value), "in", text)
    return None


def _gauge(field: Field) -> Gauge | None:
    low, at = field.low, field.at + field.low.startswith("#", field.at)
    before = GAUGE_BEFORE.match(low, at)
    if before is not None:
        return _tabled(field, before["system"], before)
    found = GAUGE_AFTER.match(low, at)
    if found is None or found["word"] == "g":
        return None
    number = found["number"]
    named = found["system"] or found["late"]
    if named is not None:
        return _tabled(field, named, found)
    tabled = (find_gauge(system, number) for system in ("SWG", "BWG", "AWG", "USS"))
    said = ", ".join(f"{one.name} ({as_decimal_text(one.mm, 3)} mm)" for one in tabled if one is not None)
    typed = field.text[found.start() : found.end()]
    raise Unreadable(f"“{typed}” does not say whose gauge: {said or 'name the system'}?", typed)


def _tabled(field: Field, named: str, found: re.Match[str]) -> Gauge:
    system, number = system_of(named), found["number"]
    gauge = find_gauge(system, number) if system else None
    if gauge is None:
        typed = field.text[found.start() : found.end()]
        raise Unreadable(f"“{typed}”: there is no number {number} in the {system or named} table.", typed)
    field.at = found.end()
    return gauge
