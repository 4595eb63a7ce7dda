"""Sizes for comparing: what the size reader found, what the register holds, and the bare numbers left between them."""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain.parts import part_classes
from server.domain.quantities import Kind
from server.domain.reading import Reading, Size, read_sizes
from server.matching.facts import PIPE, PITCH, GivenSize, SizeFact, Span, Structured, size_fact
from server.matching.folding import key_of

MOST_SIZES = 16
PIPE_FORMS = frozenset({"BSP", "BSPT", "NPT"})

_ROLE_OF = (
    ("wall", "wall"),
    ("grip", "grip"),
    ("head", "head"),
    ("flange", "head"),
    ("centres", "centres"),
    ("recovered", ""),
    ("bore", "id"),
    ("inside", "id"),
    ("outside", "od"),
    ("hole", "hole"),
    ("thickness", "thk"),
    ("width", "width"),
    ("length", "len"),
    ("thread", "thread"),
    ("across_flats", "af"),
    ("diameter", "dia"),
)

_ROLE_WORDS = {
    "alesage": "id",
    "interieur": "id",
    "interieure": "id",
    "exterieur": "od",
    "exterieure": "od",
    "trou": "hole",
    "epaisseur": "thk",
    "epais": "thk",
    "largeur": "width",
    "large": "width",
    "longueur": "len",
    "long": "len",
    "diametre": "dia",
    "foro": "hole",
    "alesaggio": "id",
    "interno": "id",
    "esterno": "od",
    "spessore": "thk",
    "larghezza": "width",
    "lunghezza": "len",
    "diametro": "dia",
    "pas": "",
    "passo": "",
    "teilung": "",
    "fil": "",
    "filo": "",
}
"""French and Italian words beside a number, and the size reader's role. Usage of the trade, from memory."""

_ELECTRIC = frozenset({"switch_fuse", "electric_wire", "terminal_block", "instrument"})
_BARE = re.compile(
    r"(?<![\w./,])(?:(?P<fraction>(?:\d{1,2}[ -])?\d{1,2}/(?:2|4|8|16|32|64))"
    r"|(?P<number>\d{1,4}(?:[.,]\d{1,3})?)(?P<amp>[aA])?)"
    r"(?![\w/]|[.,-]\d)"
)
_TYRE = re.compile(r"(?<![\w.,])\d{1,2}\.\d{2}[ ]?-[ ]?\d{1,2}(?![\w.,])")
_WORD_BEFORE = re.compile(r"([^\W\d_]{3,20})[ :=]{0,2}$")
_WORD_BEHIND = re.compile(r"[ ]{0,2}(?:mm)?[ ]?([^\W\d_]{3,20})")


def role_of(characteristic: str) -> str:
    """What a characteristic of a part class measures, in the size reader's roles; "" where it has none."""
    return next((role for part, role in _ROLE_OF if part in characteristic), "")


def size_facts(
    text: str, kept: str, reading: Reading, classes: frozenset[str], known: Structured, *, pipe_thread: bool = False
) -> tuple[SizeFact, ...]:
    """All sizes of a text and of the register's fields, each once.

    `pipe_thread` says that the words name one. `kept` is the text with everything blanked that the size reader took;
    `classes` are the part classes the words name.
    """
    found = [fact for place, given in enumerate(known.sizes) if (fact := _given_size(given, known.part_class, place))]
    numbers = frozenset(reading.designator_spans)
    places: dict[tuple[Span, int, str], int] = {}
    for size in (*reading.sizes, *(_left_numbers(kept, classes) if classes else ())):
        if size.quantity.kind in _NO_SIZES or size.role == "stock":
            continue
        role = size.role or _foreign_role(text, size.span) or ""
        place = places.setdefault((size.span, size.position, role), 1000 + len(places))
        # the third of outside, bore and wall follows from the other two: it may be met, it asks for nothing
        weight = size.weight * (0.5 if size.is_derived and size.span not in numbers else 1.0)
        for fact in _read_size(replace(size, role=role), place, weight):
            if not any(_same(fact, other) for other in found):
                found.append(fact)
    if pipe_thread and not any(
        one.kind == PIPE for one in found
    ):  # "3/8 pipe thread": the fraction is the thread's name
        found += [
            replace(one, kind=PIPE, role="")
            for one in found
            if one.kind == Kind.LENGTH and "/" in one.text and one.role in {"", "thread", "dia"}
        ]
    return tuple(found[:MOST_SIZES])


def _left_numbers(kept: str, classes: frozenset[str]) -> Iterator[Size]:
    """Numbers the size reader left alone though the lexicon knows what they are.

    Beside a part's name a fraction is in inches ("3/16 geommet"), a decimal and a number with a role word in
    millimetres ("ply 3.2", "alésage 19"); amperes are glued to an electrical part's number.
    """
    if "tyre_wheel" in classes:
        for left in _TYRE.finditer(kept):
            yield from (replace(size, span=left.span()) for size in read_sizes(f"tyre {left.group()}").sizes)
    for left in _BARE.finditer(kept):
        if left["fraction"]:
            said = f"{left.group()} in"
        elif left["amp"] and classes & _ELECTRIC:
            said = f"{left['number']} A fuse"
        elif left["amp"] is None and (_is_decimal(left.group()) or _foreign_role(kept, left.span()) is not None):
            said = f"{left.group()} mm"
        else:
            continue
        for size in read_sizes(said).sizes:
            yield replace(size, span=left.span(), weight=0.8, quantity=replace(size.quantity, text=left.group()))


def _is_decimal(number: str) -> bool:
    """One or two decimals, the way of a metric size; three are an inch drawing's."""
    whole, _, part = number.replace(",", ".").partition(".")
    return 1 <= len(part) <= 2 and bool(whole)


def _foreign_role(text: str, span: Span) -> str | None:
    """The role that a French or Italian word beside a number gives it; None where there is none."""
    before = _WORD_BEFORE.search(text, max(0, span[0] - 24), span[0])
    behind = _WORD_BEHIND.match(text, span[1])
    for word in (before, behind):
        role = _ROLE_WORDS.get(key_of(word.group(1))) if word else None
        if role is not None:
            return role
    return None


_NO_SIZES = frozenset({Kind.MASS, Kind.COUNT, Kind.SHARE, Kind.DENSITY, Kind.FREQUENCY, Kind.ANGLE})


def _read_size(size: Size, place: int, weight: float) -> list[SizeFact]:
    quantity = size.quantity
    value = quantity.value
    doubt = quantity.half_step
    if value is None:
        ends = [end for end in (quantity.low, quantity.high) if end is not None]
        if not ends:
            return []
        if quantity.kind not in {Kind.LENGTH, Kind.AREA} or quantity.low == 0:
            value = max(ends)  # a gauge is known by its full scale, an altimeter too
        else:
            value = sum(ends, Fraction(0)) / len(ends)
            doubt = (max(ends) - min(ends)) / 2
    elif quantity.low is not None and quantity.high is not None:
        doubt = max(doubt, (quantity.high - quantity.low) / 2)
    if quantity.is_approximate:
        doubt = max(doubt, value / 33)
    thread = size.thread
    if thread is not None and thread.form in PIPE_FORMS:
        # a pipe thread is asked for by its name; what it measures may be met, but asks for nothing
        weight *= 0.5
    found = [size_fact(quantity.kind, size.role, value, doubt, quantity.text, place, weight, size.span)]
    if thread is not None and thread.pitch is not None:
        pitch = thread.pitch
        found.append(size_fact(PITCH, "", pitch, pitch / 200, thread.designation, place + 500, weight, size.span))
    if thread is not None and thread.form in PIPE_FORMS and (name := _nominal(thread.designation)):
        found.append(size_fact(PIPE, "", name, Fraction(0), thread.designation, place + 700, size.weight, size.span))
    return [one for one in found if one is not None]


def _nominal(designation: str) -> Fraction | None:
    """The nominal size in a pipe thread's name, as if it were a length in mm: "3/8 NPT" → 9.525."""
    named = re.search(r"(?:\d{1,2}[ -])?\d{1,2}(?:/\d{1,2})?", designation)
    read = read_sizes(f"{named.group()} in").sizes if named else ()
    return read[0].quantity.value if read else None


def _given_size(given: GivenSize, part_class: str, place: int) -> SizeFact | None:
    kind = given.kind
    if kind is None:
        part = part_classes().get(part_class)
        characteristic = part.characteristic(given.characteristic) if part else None
        kind = characteristic.kind if characteristic else Kind.LENGTH
    if kind is None or kind in _NO_SIZES:
        return None
    ends = [end for end in (given.low, given.high) if end is not None]
    value = given.value
    if value is None:
        if not ends:
            return None
        value = sum(ends, Fraction(0)) / len(ends)
    doubt = (max(ends) - min(ends)) / 2 if len(ends) == 2 else Fraction(0)
    return size_fact(kind, role_of(given.characteristic), value, doubt, given.text or given.characteristic, place)


def _same(one: SizeFact, other: SizeFact) -> bool:
    """A size of the text that the register holds already."""
    return (
        one.place != other.place
        and other.place < 1000 <= one.place
        and one.kind == other.kind
        and abs(one.ln - other.ln) <= one.doubt + other.doubt + 0.006
    )
