"""One form field under reading, and the sentences with which it refuses."""

import re
from dataclasses import dataclass
from typing import NoReturn

from server.domain.errors import Unreadable
from server.domain.quantities import UNITS, Kind
from server.domain.reading_threads import metric_thread_at
from server.domain.unit_spellings import unit_at

USUAL_UNITS: dict[Kind, tuple[str, str]] = {
    Kind.LENGTH: ("mm", "in"),
    Kind.AREA: ("mm²", "in²"),
    Kind.TEMPERATURE: ("°C", "°F"),
    Kind.MASS: ("g", "lb"),
    Kind.FORCE: ("N", "lbf"),
    Kind.STRESS: ("N/mm²", "lbf/in²"),
    Kind.PRESSURE: ("bar", "psi"),
    Kind.LINE_FORCE: ("N/mm", "lbf/in"),
    Kind.AREA_MASS: ("g/m²", "oz/yd²"),
    Kind.DENSITY: ("g/cm³", "lb/in³"),
    Kind.CURRENT: ("A", "mA"),
    Kind.RESISTANCE: ("Ω", "kΩ"),
    Kind.LINE_RESISTANCE: ("Ω/km", "Ω/1000 ft"),
    Kind.AIRSPEED: ("km/h", "mph"),
}
"""Two units that are mixed up, for kinds that have several in use; a kind that is missing here has one unit only."""

_APPROXIMATE = r"approximately\b|approx\b\.?|circa\b|ca\b\.?|about\b|etwa\b|ungefahr\b|roughly\b|around\b|~|≈"
_AT_MOST = (
    r"maximum\b|maximal\b|max\b\.?|at most\b|up to\b|not over\b|not more than\b|no more than\b|hochstens\b|bis zu\b|"
    r"bis\b|<=|≤|=<|<"
)
_AT_LEAST = r"minimum\b|mindestens\b|mind\b\.?|min\b\.?|at least\b|not less than\b|no less than\b|not under\b|>=|≥|=>|>"
_DIAMETER = r"ø|dia(?:meter|m)?\b\.?"
WORD_BEFORE = re.compile(
    rf"[ ]{{0,9}}(?:(?P<about>{_APPROXIMATE})|(?P<most>{_AT_MOST})|(?P<least>{_AT_LEAST})"
    rf"|(?P<dia>{_DIAMETER}))[ :]{{0,9}}"
)
"""A word before the numbers of a field: approximate, a limit, a diameter sign."""

WORD_BEHIND = re.compile(
    rf"[ ]{{0,9}}(?:(?P<most>maximum\b|max\b\.?)|(?P<least>minimum\b|min\b\.?)"
    rf"|(?P<about>{_APPROXIMATE})|(?P<dia>{_DIAMETER}))"
)
"""The same behind them."""

_TIMES = re.compile(r"[ ]*[x*][ ]*[0-9.]")
_DIVIDED_BY_NOTHING = re.compile(r"[0-9]{1,9}/0{1,9}(?![0-9])")


@dataclass(slots=True)
class Field:
    """The text of one field; `at` is how far it was read, `start` where its first number begins."""

    text: str
    low: str
    kind: Kind
    drawing_unit: str | None
    at: int = 0
    start: int = 0
    bound: str = ""
    is_approximate: bool = False

    @property
    def done(self) -> str:
        """What was read so far, from the first number on, as typed."""
        return self.text[self.start : self.at].strip()

    @property
    def left(self) -> str:
        """What was not read yet, as typed."""
        return "".join(sign if sign.isprintable() else "\ufffd" for sign in self.text[self.at :]).strip()


def only_unit(kind: Kind) -> str:
    """The one unit of a kind that has only one; the first of the others."""
    return next(unit.name for unit in UNITS.values() if unit.kind is kind)


def example(kind: Kind) -> str:
    """What such a quantity looks like: "3/32 in or 2.4 mm"."""
    if kind is Kind.LENGTH:
        return "3/32 in or 2.4 mm"
    units = USUAL_UNITS.get(kind)
    return f"5 {units[0]} or 5 {units[1]}" if units else f"5 {only_unit(kind)}"


def refuse_nothing(kind: Kind) -> NoReturn:
    """Nothing was typed."""
    raise Unreadable(f"Nothing was typed: a {kind} is wanted, such as {example(kind)}.")


def refuse_number(field: Field, at: int) -> NoReturn:
    """No number begins here."""
    nothing = _DIVIDED_BY_NOTHING.match(field.low, at)
    if nothing is not None:
        raise Unreadable(f"“{nothing.group()}” divides by nothing.", nothing.group())
    rest = field.text[at:].strip() or field.text
    if field.kind is Kind.LENGTH and metric_thread_at(field.low, at) is not None:
        raise Unreadable(f"“{rest}” names a thread; a length is wanted, such as {example(field.kind)}.", rest)
    raise Unreadable(
        f"“{rest}” is no {field.kind}: type something like {example(field.kind)}, "
        "or leave the field empty if it isn't known.",
        rest,
    )


def refuse_rest(field: Field) -> NoReturn:
    """Something stands behind the quantity that does not belong to it."""
    rest, kind = field.left, field.kind
    if _TIMES.match(field.low, field.at):
        raise Unreadable(f"This field takes one {kind}: “{field.done}” was read, “{rest}” is another.", rest)
    other = unit_at(field.text, field.low, field.at, None)
    if other is not None and other[0].kind is not kind:
        raise Unreadable(f"“{rest}” is a unit of {other[0].kind}; a {kind} is wanted, such as {example(kind)}.", rest)
    raise Unreadable(f"“{rest}” behind “{field.done}” was not understood.", rest)


def refuse_bare(field: Field) -> NoReturn:
    """A number without a unit, where that would be a guess."""
    first, second = USUAL_UNITS[field.kind]
    raise Unreadable(f"Which unit: {field.done} {first} or {field.done} {second}?", field.done)
