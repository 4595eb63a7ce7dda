"""Requirements, statements and joints written out as the JSON objects that `written` reads.

The text is enough wherever it is read as the same size; else the figures stand beside it.
"""

from datetime import date
from fractions import Fraction
from typing import Any

from server.domain.instruments import INSTRUMENTS, RATINGS
from server.domain.offer import Basis, Statement
from server.domain.quantities import BASE_UNIT, UNITS, Quantity, write_value
from server.domain.specification import Access, Joint, KnownFrom, Ply, Requirement
from server.services.typed import Typed
from server.services.written import Faulted, as_requirement, as_statement, read_requirement, read_statement

_NEEDS_REFERENCE = {KnownFrom.DRAWING, KnownFrom.MANUAL, KnownFrom.CATALOGUE}


def write_requirement(one: Requirement, class_key: str, reference: str = "not named") -> dict[str, Any]:
    """A requirement as such an object. `reference` stands where a drawing, manual or catalogue was not named."""
    said: dict[str, Any] = {
        "characteristic": one.characteristic,
        "layer": one.layer.value,
        "form": one.form.value,
        "text": _size_text(one.text, one.quantity) or ", ".join(one.words),
        "known_from": one.known.how.value,
        "reference": one.known.reference or (reference if one.known.how in _NEEDS_REFERENCE else ""),
        "instrument": one.known.instrument if one.known.instrument in INSTRUMENTS else "",
        "uncertainty": _doubt_text(one.expanded, one.quantity),
        "weight": one.weight.value if one.weight else "",
        "serials": one.serials,
        "side": one.side,
        "decided": one.decided,
    }
    if one.one_of:
        said["one_of"] = [write_figures(each) | {"text": each.text} for each in one.one_of]

    def back(plain: dict[str, Any], faults: Faulted) -> Requirement | None:
        values = read_requirement(plain, "", class_key, "", faults)
        return as_requirement(values) if values else None

    return _completed(one, said, back, claims=False)


def write_statement(one: Statement, class_key: str) -> dict[str, Any]:
    """A statement as such an object."""
    instrument = one.instrument if one.instrument in INSTRUMENTS else ""
    if one.expanded == 0 and not instrument and one.quantity is not None and one.quantity.kind in RATINGS:
        instrument = "stamp"
    said: dict[str, Any] = {
        "characteristic": one.characteristic,
        "basis": one.basis.value,
        "text": _size_text(one.text, one.quantity) or ", ".join(one.words),
        "uncertainty": _doubt_text(one.expanded, one.quantity),
        "instrument": instrument,
        "stage": one.stage.value,
        "by": one.by,
        "on": one.on if _is_day(one.on) else "",
    }

    def back(plain: dict[str, Any], faults: Faulted) -> Statement | None:
        values = read_statement(plain, "", class_key, faults)
        return as_statement(values) if values else None

    return _completed(one, said, back, claims=one.basis is Basis.CLAIMED)


def _completed(one: Requirement | Statement, said: dict[str, Any], back: Any, *, claims: bool) -> dict[str, Any]:
    """The object with figures, words or "sure" added where the text alone would be read as something else."""
    plain = {key: value for key, value in said.items() if value or key == "text"}
    for _ in range(3):
        faults: Faulted = {}
        read = back(plain, faults)
        if read is None and "sure" in faults.get(".text", "") and "sure" not in plain:
            plain["sure"] = True
        elif (
            one.quantity is not None
            and "quantity" not in plain
            and (read is None or not _same(one.quantity, read.quantity, with_step=claims))
        ):
            plain["quantity"] = write_figures(one.quantity)
        elif read is not None and read.words != one.words and one.words:
            plain["words"] = list(one.words)
        else:
            break
    return plain


def _same(one: Quantity, other: Quantity | None, *, with_step: bool) -> bool:
    if other is None:
        return False
    same = (one.value, one.low, one.high, one.is_approximate) == (
        other.value,
        other.low,
        other.high,
        other.is_approximate,
    )
    return same and (not with_step or one.half_step == other.half_step)


def write_figures(one: Quantity) -> dict[str, Any]:
    """A size in figures, exactly, in the unit it was written in."""
    unit = UNITS[one.unit] if one.unit in UNITS else UNITS[BASE_UNIT[one.kind]]
    said: dict[str, Any] = {}
    for name, value in (("value", one.value), ("low", one.low), ("high", one.high)):
        if value is not None:
            said[name] = _write_exactly(unit.from_base(value))
    said["unit"] = unit.name
    if one.half_step:
        said["half_step"] = _write_exactly(one.half_step / unit.factor)
    if one.is_approximate:
        said["is_approximate"] = True
    return said


def _write_exactly(value: Fraction) -> str:
    """A decimal where it ends, else a fraction."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1 or value.denominator > 10**9:
        return f"{value.numerator}/{value.denominator}"
    places = next(places for places in range(40) if (value * 10**places).denominator == 1)
    whole, part = divmod(abs(value.numerator) * 10**places // value.denominator, 10**places)
    sign = "-" if value < 0 else ""
    return f"{sign}{whole}.{part:0{places}d}" if places else f"{sign}{whole}"


def _size_text(text: str, quantity: Quantity | None) -> str:
    return text or (write_value(quantity.value, quantity.kind) if quantity and quantity.value is not None else "")


def _doubt_text(expanded: Fraction | None, quantity: Quantity | None) -> str | dict[str, str]:
    """An uncertainty as text, in figures where no short decimal gives it."""
    if not expanded or quantity is None:
        return ""
    exactly = _write_exactly(expanded)
    unit = BASE_UNIT[quantity.kind]
    return {"value": exactly, "unit": unit} if "/" in exactly else f"{exactly} {unit}"


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def write_joint(joint: Joint, reference: str = "not named") -> dict[str, Any]:
    """A joint as such an object."""
    said: dict[str, Any] = {
        "plies": [_write_ply(ply) for ply in joint.plies],
        "hole_uncertainty": _doubt_text(joint.hole_expanded, joint.hole),
        "access": joint.access.value if joint.access is not Access.UNKNOWN else "",
        "known_from": joint.known.how.value,
        "reference": joint.known.reference or (reference if joint.known.how in _NEEDS_REFERENCE else ""),
        "instrument": joint.known.instrument if joint.known.instrument in INSTRUMENTS else "",
    }
    for name in ("hole", "edge_distance", "pitch", "seat_angle"):
        size: Quantity | None = getattr(joint, name)
        if size is not None:
            said[name] = _written_size(size)
    return {key: value for key, value in said.items() if value or key == "plies"}


def _write_ply(ply: Ply) -> dict[str, Any]:
    said = {
        "name": ply.name,
        "material": ply.material,
        "thickness": _written_size(ply.thickness) if ply.thickness else "",
        "uncertainty": _doubt_text(ply.expanded, ply.thickness),
    }
    return {key: value for key, value in said.items() if value}


def _written_size(size: Quantity) -> str | dict[str, Any]:
    """Its text where that is read as the same size, else its value with its unit, else its figures."""
    figures = write_figures(size)
    for text in (size.text, f"{figures.get('value', '')} {figures['unit']}"):
        if text and _same(size, Typed({"size": text}).quantity("size", "Size", size.kind), with_step=False):
            return text
    return figures | ({"text": size.text} if size.text else {})
