"""Facts as the search index holds them: tokens a database can intersect, and a small row of sizes.

Token letters: t thing with everything broader, h what the thing itself is,
c part class, k kind, m material, p place, s side, o other, w word, d number,
n number with misread signs evened, z size in steps of 2 %, y size in steps of
8 %, a aeroplane. Letters and digits only, so that any tokenizer leaves them
whole.

Pairs are tokens for candidates alone: a part class and a size in one, q in
fine steps and x in coarse ones. A class stands in a fiftieth of all rows and so
does a size; both together in few, so that even a large register's lists stay
short where they are looked through.
"""

import math
import re
import struct
import zlib
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

from server.domain.quantities import Kind
from server.domain.reading_words import ROLES
from server.matching.designators import designator_form, misread_form
from server.matching.facts import PIPE, PITCH, Facts, SizeFact
from server.matching.folding import key_of, loose, words_of
from server.matching.lexicon import Lexicon, Type, standard_lexicon

VERSION = 5
"""Raise it when the reading, the lexicon or the layout changes: rows of another version are stale and are read anew."""

LETTER: dict[str, str] = {
    Type.THING: "t",
    Type.KIND: "k",
    Type.MATERIAL: "m",
    Type.PLACE: "p",
    Type.SIDE: "s",
    Type.OTHER: "o",
}
FINE, COARSE = 0.02, 0.08
"""Width of a size token's step, in natural logarithm: about 2 % and 8 %."""

KINDS: tuple[str, ...] = (*(str(kind) for kind in Kind), PITCH, PIPE)
_CODE = {kind: code for code, kind in enumerate(KINDS)}
_ROLE_CODE = {role: code for code, role in enumerate(ROLES)}
_NO_ROLE = _ROLE_CODE[""]
_SIZE = struct.Struct("<BBffHB")
_HEAD = struct.Struct("<BB")
MOST_ROW_SIZES = 24


class RowSize(NamedTuple):
    """A size as the row holds it; `value` is in the kind's own unit, to about seven figures."""

    kind: str
    role: str
    ln: float
    doubt: float
    place: int
    weight: float

    @property
    def value(self) -> float:
        """The value in the kind's own unit."""
        return math.exp(self.ln)


class StaleRow(ValueError):
    """The row was made by another version of the reading and must be made anew."""


def token_of(letter: str, concept: str) -> str:
    """The index token of a concept: "t" and "split_rivet" → "tsplitrivet"."""
    return letter + concept.replace("_", "")


def size_steps(size: SizeFact | RowSize, *, around: int = 0) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Fine and coarse tokens of a size; with so many neighbours either side, since steps have edges."""
    code = _CODE.get(size.kind, 0)
    fine, coarse = math.floor(size.ln / FINE), math.floor(size.ln / COARSE)

    def named(letter: str, step: int) -> str:
        return f"{letter}{code}{'m' if step < 0 else 'p'}{abs(step)}"

    return (
        tuple(named("z", fine + off) for off in range(-around, around + 1)),
        tuple(named("y", coarse + off) for off in range(-around, around + 1)),
    )


def pair_steps(
    classes: Iterable[str], size: SizeFact | RowSize, *, around: int = 0
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Fine and coarse pairs of these part classes with a size; with so many neighbours either side."""
    fine, coarse = size_steps(size, around=around)
    codes = [_class_code(one) for one in classes]
    return (
        tuple(f"q{code}{step[1:]}" for code in codes for step in fine),
        tuple(f"x{code}{step[1:]}" for code in codes for step in coarse),
    )


@lru_cache(maxsize=512)
def _class_code(part_class: str) -> str:
    """Three letters for a part class, the same everywhere; that two may share one only costs a few candidates."""
    number = zlib.crc32(part_class.encode())
    return "".join(chr(ord("a") + number // 26**place % 26) for place in range(3))


MOST_PAIRED = 4
"""Part classes of one text that are paired with its sizes."""

_SUPERSEDED = re.compile(r"MS20(\d{3})(?!\d)")
_STANDARD = re.compile(r"(?:AN|MS20|MS|NAS)(\d{3}.*)")
_BARE = re.compile(r"\D{0,12}?(\d{1,4})[^\d/.,]{0,12}")
_STEP = re.compile(r"[A-Z]+|\d+")


@lru_cache(maxsize=20_000)
def number_forms(form: str) -> tuple[str, ...]:
    """The number itself and the same number under its newer or older prefix, or with none.

    MS20470 took the place of AN470, and people say "470AD4". Common practice;
    the pair of numbers is from memory and only brings a part to light.
    """
    found = [form]
    newer = _SUPERSEDED.match(form)
    if newer:
        found.append("AN" + form[4:])
    bare = _STANDARD.match(form)
    if bare and len(bare.group(1)) >= 4:
        found.append(bare.group(1))
    return tuple(dict.fromkeys(found))


@lru_cache(maxsize=20_000)
def number_beginnings(typed: str) -> tuple[str, ...]:
    """Where a number as typed may be cut short: AN470AD4-6 → AN470, AN470AD, AN470AD4; four signs at least."""
    found, said = [], ""
    pieces = _STEP.findall(typed.upper())
    if pieces and len(pieces[-1]) >= 5:
        pieces.append(pieces.pop()[:-1])
        pieces.append("")  # a long last figure: all but its last sign
    for piece in pieces[:-1]:
        said += piece
        if len(said) >= 4:
            found.append(designator_form(said))
    return tuple(found)


def tokens_of(facts: Facts, lexicon: Lexicon | None = None) -> list[str]:
    """All index tokens of a need or a find, each once, in a steady order."""
    words = lexicon or standard_lexicon()
    found: dict[str, None] = {}
    for meaning in facts.meanings:
        counts = not meaning.concepts
        for concept in meaning.concepts:
            kind = words.concepts[concept].type
            if kind == Type.QUALITY:
                continue
            counts = True
            letter = LETTER.get(kind)
            if letter is None:
                continue
            for one in words.lineage(concept):
                found[token_of(letter, one)] = None
            if kind == Type.THING:
                for part_class in words.classes(concept):
                    found[token_of("c", part_class)] = None
                if meaning.is_head:
                    found[token_of("h", concept)] = None
        if counts and meaning.span is not None and meaning.language != "number":
            for word, _, _ in words_of(meaning.text):
                found["w" + loose(key_of(word))] = None
    if facts.part_class:
        found[token_of("c", facts.part_class)] = None
    for number in facts.designators:
        for form in number_forms(number.form):
            found["d" + form.lower()] = None
            found["n" + misread_form(form).lower()] = None
        for start in number_beginnings(number.text):
            found["d" + start.lower()] = None
    for size in facts.sizes:
        fine, coarse = size_steps(size)
        found[fine[0]] = None
        found[coarse[0]] = None
        bare = _BARE.fullmatch(size.text)
        if bare:  # so that a number typed without its unit still meets it, as a word
            found["w" + bare.group(1)] = None
    if facts.aeroplane:
        found["a" + "".join(key_of(word) for word, _, _ in words_of(facts.aeroplane))] = None
    return list(found)


def pairs_of(facts: Facts, lexicon: Lexicon | None = None) -> list[str]:
    """All pairs of a need or a find, each once: its part classes, the first four, with each of its sizes."""
    words = lexicon or standard_lexicon()
    classes = {facts.part_class: None} if facts.part_class else {}
    for meaning in facts.meanings:
        for concept in meaning.concepts:
            classes.update(dict.fromkeys(words.classes(concept)))
    named = list(classes)[:MOST_PAIRED]
    steps = (pair_steps(named, size) for size in facts.sizes)
    return list(dict.fromkeys(token for fine, coarse in steps for token in (*fine, *coarse)))


def row_of(facts: Facts) -> bytes:
    """The sizes in a fixed layout: version, count, then kind, role, ln, doubt, place, weight of each."""
    sizes = facts.sizes[:MOST_ROW_SIZES]
    packed = [_HEAD.pack(VERSION, len(sizes))]
    packed += [
        _SIZE.pack(
            _CODE.get(size.kind, 0),
            _ROLE_CODE.get(size.role, _NO_ROLE),
            size.ln,
            size.doubt,
            size.place,
            round(size.weight * 100),
        )
        for size in sizes
    ]
    return b"".join(packed)


@lru_cache(maxsize=5_000)
def read_row(row: bytes) -> tuple[RowSize, ...]:
    """The sizes of a row. Raises StaleRow for a row of another version."""
    version, count = _HEAD.unpack_from(row)
    if version != VERSION:
        raise StaleRow(version)
    found = []
    for at in range(count):
        kind, role, ln, doubt, place, weight = _SIZE.unpack_from(row, _HEAD.size + at * _SIZE.size)
        found.append(RowSize(KINDS[kind], ROLES[role], ln, doubt, place, weight / 100))
    return tuple(found)
