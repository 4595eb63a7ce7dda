"""Two specifications held against each other: what agrees, what differs, and in which circumstances."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from server.domain.parts import part_class
from server.domain.parts._kit import fold_word
from server.domain.plain import joint_from_plain, quantity_from_plain, read_fraction
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.register import Need
from server.domain.specification import Form, Joint, Known, KnownFrom, Layer, Requirement, Weight

CLOSE = Fraction(2, 100)
"""Sizes within 2 % are close; as near as two makers' words for one size lie (a rule of this register)."""


@dataclass(frozen=True, slots=True)
class Difference:
    """Something that was otherwise when it was signed."""

    label: str
    then: str
    now: str


def requirement_from_plain(plain: Mapping[str, Any]) -> Requirement:
    """A requirement from its frozen form."""
    known = plain.get("known") or {}
    several = (quantity_from_plain(one) for one in plain.get("one_of", ()))
    return Requirement(
        characteristic=plain["characteristic"],
        form=Form(plain["form"]),
        text=plain["text"],
        quantity=quantity_from_plain(plain.get("quantity")),
        words=tuple(plain.get("words", ())),
        one_of=tuple(one for one in several if one is not None),
        layer=Layer(plain.get("layer", Layer.DESIGNED.value)),
        known=Known(KnownFrom(known.get("how", KnownFrom.ESTIMATE.value)), known.get("reference", "")),
        weight=Weight(plain["weight"]) if plain.get("weight") else None,
        expanded=read_fraction(plain.get("expanded")),
        decided=plain.get("decided", ""),
    )


def compared(need: Need, theirs: Sequence[Requirement]) -> tuple[tuple[str, ...], tuple[Difference, ...], bool]:
    """Labels of what agrees, what differs in words, and whether anything that both say is neither equal nor close."""
    known = part_class(need.part_class)
    agrees: list[str] = []
    differs: list[Difference] = []
    against = False
    for key in dict.fromkeys(one.characteristic for one in (*need.requirements, *theirs)):
        label = one.label if (one := known.characteristic(key)) else key.replace("_", " ")
        ours, there = _standing(need.requirements, key), _standing(theirs, key)
        if ours and there and any(_is_close(a, b) for a in ours for b in there):
            agrees.append(label)
        elif ours and there:
            against = True
        if _texts(ours) != _texts(there):
            differs.append(Difference(label, _texts(there) or "not said", _texts(ours) or "not said"))
    return tuple(agrees), tuple(differs), against


def _standing(requirements: Sequence[Requirement], key: str) -> list[Requirement]:
    """What stands of the sources for one characteristic: the one decided on, else the drawn ones, else all."""
    held = [one for one in requirements if one.characteristic == key]
    return [one for one in held if one.decided] or [one for one in held if one.layer is Layer.DESIGNED] or held


def _texts(requirements: Sequence[Requirement]) -> str:
    return " or ".join(dict.fromkeys(_text(one) for one in requirements))


def _text(one: Requirement) -> str:
    binds = "" if one.form in {Form.LIMITS, Form.EXACTLY, Form.ONE_OF} else f"{one.form} "
    return f"{binds}{one.text}"


def _is_close(one: Requirement, other: Requirement) -> bool:
    if one.form is Form.AS_SAMPLE or other.form is Form.AS_SAMPLE:
        return one.form is other.form and one.text == other.text
    one_sided = {Form.AT_LEAST, Form.AT_MOST} & {one.form, other.form}
    if one_sided and one.form is not other.form:
        return False
    mine = [q for q in (one.quantity, *one.one_of) if q is not None]
    theirs = [q for q in (other.quantity, *other.one_of) if q is not None]
    if mine or theirs:
        return any(_sizes_close(a, b) for a in mine for b in theirs)
    return bool({fold_word(word) for word in one.words} & {fold_word(word) for word in other.words})


def _sizes_close(one: Quantity, other: Quantity) -> bool:
    if one.kind is not other.kind:
        return False
    low, high, low_there, high_there = *_span(one), *_span(other)
    if None in {low, high, low_there, high_there}:
        return (low, high) == (low_there, high_there)
    assert low is not None
    assert high is not None
    assert low_there is not None
    assert high_there is not None
    room = CLOSE * max(abs(high), abs(high_there))
    return low <= high_there + room and low_there <= high + room


def _span(one: Quantity) -> tuple[Fraction | None, Fraction | None]:
    """Limits of a size; a size without limits is its own."""
    if one.low is None and one.high is None:
        return one.value, one.value
    return one.low, one.high


def circumstances(need: Need, was: Mapping[str, Any]) -> list[Difference]:
    """What differs besides the requirements: use, role, joint, what it touches."""
    plane = was["aeroplane"]
    pairs = [
        ("It will be", plane["use"], need.aeroplane.use.value),
        ("Role", was["role"], need.role.value),
        ("Touches", ", ".join(was["touches"]), ", ".join(need.touches)),
        *_joint_pairs(joint_from_plain(was["joint"]), need.joint),
    ]
    return [Difference(label, then or "not said", now or "not said") for label, then, now in pairs if then != now]


def _joint_pairs(then: Joint | None, now: Joint | None) -> list[tuple[str, str, str]]:
    def written(joint: Joint | None, name: str) -> str:
        size = getattr(joint, name) if joint is not None else None
        return size.text if size is not None else ""

    def grip(joint: Joint | None) -> str:
        return write_value(joint.grip, Kind.LENGTH) if joint is not None and joint.grip is not None else ""

    def access(joint: Joint | None) -> str:
        return joint.access.value if joint is not None else ""

    return [
        ("Clamped in all", grip(then), grip(now)),
        *((label, written(then, name), written(now, name)) for name, label in _JOINT),
        ("Reached from", access(then), access(now)),
    ]


_JOINT = (("hole", "Hole"), ("edge_distance", "Edge distance"), ("pitch", "Pitch"), ("seat_angle", "Angle of the seat"))
