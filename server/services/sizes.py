"""Reading what was typed for one characteristic, as a requirement or as a statement.

The text stays as typed; beside it goes its parsed form. A size that is
implausible for its class is questioned, never corrected: the form comes back
with the question, and ticking "it is really so" lets it through.
"""

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from server.domain.errors import NotFound, Unreadable
from server.domain.instruments import INSTRUMENTS, Instrument, measures
from server.domain.offer import Basis, Stage
from server.domain.parts import part_class
from server.domain.parts._kit import Characteristic, PartClass, in_sentence
from server.domain.plain import as_plain, write_fraction
from server.domain.quantities import Kind, Quantity
from server.domain.reading import implausible, read_quantity
from server.domain.specification import Form, KnownFrom, Layer, Weight
from server.services.typed import Typed

_THREE_DIGITS = re.compile(r"(?<![\d.,])(\d{1,3})[.,](\d{3})(?![\d])")
_SEVERAL = re.compile(r"\s*(?:;|\bor\b|\boder\b)\s*")


@dataclass(frozen=True, slots=True)
class ReadSize:
    """What a text became: its stored form, and the quantities in it."""

    parsed: dict[str, Any]
    quantities: tuple[Quantity, ...] = ()


def characteristic_said(class_key: str, key: str) -> str:
    """A characteristic in the words of its class, for the log; its key where the class has none such."""
    found = part_class(class_key or "general").characteristic(key)
    return in_sentence(found.label) if found else key


def find_characteristic(typed: Typed, name: str, class_key: str) -> Characteristic | None:
    """The characteristic named in a field; its fault is noted where the class has none such."""
    key = typed.raw(name)
    found = part_class(class_key).characteristic(key) if key else None
    if found is None:
        typed.fault(name, "Choose the characteristic." if not key else f"This part class has no “{key}”.")
    return found


def read_for(
    typed: Typed, name: str, one: Characteristic, drawing_unit: str, *, several: bool = False, sure: bool = False
) -> ReadSize | None:
    """Read a field's text as this characteristic asks; None and a fault where it can't be read.

    A size given in figures beside its text (`typed.exact`) is taken as it is.
    """
    text = typed.text(name, one.label, required=True)
    if not text or name in typed.faults:
        return None
    given = typed.exact.get(name)
    if given is not None and one.kind is not None:
        return (
            None
            if _asked_back(typed, name, one, given, sure=sure)
            else ReadSize({"quantity": as_plain(given)}, (given,))
        )
    pieces = [piece for piece in _SEVERAL.split(text) if piece] if several else [text]
    if one.kind is None:
        return ReadSize({"words": pieces})
    quantities: list[Quantity] = []
    for piece in pieces:
        try:
            quantity = _read_plausibly(piece, one, drawing_unit)
        except Unreadable as refused:
            typed.fault(name, f"{one.label}: {refused}")
            return None
        if _asked_back(typed, name, one, quantity, sure=sure):
            return None
        quantities.append(quantity)
    if several and len(quantities) > 1:
        return ReadSize({"one_of": [as_plain(each) for each in quantities]}, tuple(quantities))
    return ReadSize({"quantity": as_plain(quantities[0])}, tuple(quantities))


def _asked_back(typed: Typed, name: str, one: Characteristic, quantity: Quantity, *, sure: bool) -> bool:
    """True, and the question noted at the field, where a size is implausible and nobody said that it is so."""
    if one.plausible is None or sure:
        return False
    question = implausible(quantity, *one.plausible, f"“{in_sentence(one.label)}”")
    if question:
        typed.fault(name, f"{one.label}: {question} If it is really so, tick the box below and save again.")
    return bool(question)


def _read_plausibly(text: str, one: Characteristic, drawing_unit: str) -> Quantity:
    """Read a size; "6.000" may be six or six thousand, and where the class leaves room for one only, that one.

    Raises Unreadable where neither or both are plausible; the note says what was chosen.
    """
    assert one.kind is not None
    try:
        return read_quantity(text, one.kind, drawing_unit=drawing_unit or None)
    except Unreadable:
        as_decimal = _THREE_DIGITS.sub(r"\1.\g<2>0", text)
        if one.plausible is None or as_decimal == text:
            raise
        quantity = read_quantity(as_decimal, one.kind, drawing_unit=drawing_unit or None)
        low, high = one.plausible
        sides = [side for side in (quantity.value, quantity.low, quantity.high) if side is not None]
        if not sides or not all(low <= side <= high < side * 1000 for side in sides):
            raise
    larger = f"{in_sentence(one.label)} of a thousand times that is not made"
    said = f"three digits behind one separator read as decimals: {larger}"
    note = "; ".join(part for part in (quantity.note, said) if part)
    # the added nought is no digit that anybody measured
    return replace(quantity, text=text, note=note, half_step=quantity.half_step * 10)


def usual_layer(known: KnownFrom | None) -> Layer:
    """Which of the three a source tells of: what was measured on the original is what was found."""
    return Layer.FOUND if known is KnownFrom.ON_ORIGINAL else Layer.DESIGNED


def requirement_values(
    typed: Typed, class_key: str, drawing_unit: str, prefix: str = "", *, layer: Layer | None = None
) -> dict[str, Any]:
    """The column values of one requirement; faults go to the fields.

    Where its layer is not said, it is `layer`, or the usual one of its source.
    """
    one = find_characteristic(typed, f"{prefix}characteristic", class_key)
    form = typed.word(f"{prefix}form", Form, "How it binds") or Form.LIMITS
    known = typed.word(f"{prefix}known_from", KnownFrom, "Where it is known from", required=True)
    layer = typed.word(f"{prefix}layer", Layer, "Which of the three") or layer or usual_layer(known)
    weight = typed.word(f"{prefix}weight", Weight, "How it counts")
    read: ReadSize | None = None
    text = typed.raw(f"{prefix}text")
    if one is not None:
        if form is Form.AS_SAMPLE:
            text = typed.text(f"{prefix}text", one.label) or "as the sample"
            read = ReadSize({})
        else:
            several = form in {Form.ONE_OF, Form.LIMITS, Form.EXACTLY} and (form is Form.ONE_OF or one.kind is None)
            sure = typed.flag(f"{prefix}sure")
            read = read_for(typed, f"{prefix}text", one, drawing_unit, several=several, sure=sure)
    expanded = None
    if one is not None and one.kind is not None:
        expanded = typed.uncertainty(f"{prefix}uncertainty", "Uncertainty", one.kind)
    reference = typed.text(f"{prefix}reference", "Reference", most=300)
    if known in {KnownFrom.DRAWING, KnownFrom.MANUAL, KnownFrom.CATALOGUE} and not reference:
        typed.fault(f"{prefix}reference", "Name the drawing, manual or catalogue page, so that others can look.")
    return {
        "characteristic": one.key if one else "",
        "layer": layer.value,
        "form": form.value,
        "text": text,
        "parsed": read.parsed if read else None,
        "known_from": known.value if known else "",
        "reference": reference,
        "instrument": instrument_key(typed, f"{prefix}instrument"),
        "uncertainty_text": typed.raw(f"{prefix}uncertainty"),
        "expanded": write_fraction(expanded) if expanded is not None else "",
        "weight": weight.value if weight else "",
        "serials": typed.text(f"{prefix}serials", "Serials", most=100),
        "side": typed.text(f"{prefix}side", "Side", most=20).casefold(),
    }


def statement_values(typed: Typed, class_key: str, prefix: str = "", given_unit: str = "") -> dict[str, Any]:
    """The column values of one statement about a find; faults go to the fields."""
    one = find_characteristic(typed, f"{prefix}characteristic", class_key)
    basis = typed.word(f"{prefix}basis", Basis, "Claimed or measured") or Basis.CLAIMED
    stage = typed.word(f"{prefix}stage", Stage, "Before or after plating") or Stage.UNKNOWN
    read: ReadSize | None = None
    expanded = None
    if one is not None:
        read = read_for(typed, f"{prefix}text", one, given_unit, sure=typed.flag(f"{prefix}sure"))
        if one.kind is not None:
            expanded = typed.uncertainty(f"{prefix}uncertainty", "Uncertainty", one.kind)
    instrument = instrument_key(typed, f"{prefix}instrument")
    if one is not None and one.kind is not None and instrument:
        used = INSTRUMENTS[instrument]
        if not measures(used, one.kind) and not _told_otherwise(used, one.kind, expanded):
            typed.fault(f"{prefix}instrument", f"{used.name} does not measure this: {in_sentence(one.label)}.")
    return {
        "characteristic": one.key if one else "",
        "basis": basis.value,
        "text": typed.raw(f"{prefix}text"),
        "parsed": read.parsed if read else None,
        "uncertainty_text": typed.raw(f"{prefix}uncertainty"),
        "expanded": write_fraction(expanded) if expanded is not None else "",
        "instrument": instrument,
        "stage": stage.value,
        "by": typed.text(f"{prefix}by", "Measured by", most=100),
        "on_day": typed.day(f"{prefix}on", "Measured on"),
    }


def _told_otherwise(used: Instrument, kind: Kind, expanded: Fraction | None) -> bool:
    """Anything counts; wires to the inch are counted along a rule; a laboratory says how sure it was."""
    if kind is Kind.COUNT:
        return True
    along_a_rule = kind is Kind.THREADS and used.kind is Kind.LENGTH
    return expanded is not None and (along_a_rule or used.key == "heat_test")


def instrument_key(typed: Typed, name: str) -> str:
    """The instrument named in a field; "" for none, a fault for an unknown one."""
    key = typed.raw(name)
    if key and key not in INSTRUMENTS:
        typed.fault(name, f"“{key}” is none of the shop's instruments.")
        return ""
    return key


def classes_or_fault(typed: Typed, name: str, *, required: bool) -> PartClass | None:
    """The part class named in a field."""
    key = typed.raw(name)
    if not key:
        if required:
            typed.fault(name, "Choose the part class; “Part, general” where nothing fits.")
        return None
    try:
        return part_class(key)
    except NotFound as unknown:
        typed.fault(name, str(unknown))
        return None
