"""What a need or a find says, read once: words with their meanings, sizes, numbers, and where each stands."""

import math
from dataclasses import dataclass
from fractions import Fraction

from server.domain.quantities import Kind

Span = tuple[int, int]

PITCH = "thread pitch"
"""Kind of a size that is a thread's pitch in mm; a major diameter is a length."""

PIPE = "pipe thread size"
"""Kind of a pipe thread's nominal size, which no rule can measure; compared with its like only."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """Words of the text and what they mean.

    `concepts` are alternatives: "Schlauch" is a hose or a sleeve. Empty for a
    word nobody knows. `span` is the place in the text as typed, None for what
    the register said itself. `corrected` is the dictionary's word where the
    typed one was mended. `is_head`: these words name the thing itself, not
    what it goes with ("brake shoe RIVETS"); `may_be_head` stands beside those.
    """

    text: str
    key: str
    concepts: tuple[str, ...] = ()
    language: str = ""
    span: Span | None = None
    corrected: str = ""
    is_head: bool = False
    may_be_head: bool = False


@dataclass(frozen=True, slots=True)
class SizeFact:
    """One size for comparing: kind, role, natural logarithm of the value, doubt relative to the value.

    Readings that exclude each other share `place`; at most one of them can be
    met. `text` is as typed, `value` in the kind's own unit.
    """

    kind: str
    role: str
    ln: float
    doubt: float
    value: Fraction
    text: str
    place: int
    weight: float = 1.0
    span: Span | None = None

    @property
    def is_length(self) -> bool:
        """True for a length, held in mm."""
        return self.kind == Kind.LENGTH


@dataclass(frozen=True, slots=True)
class Designator:
    """A part number: the form for comparing, as typed, and where."""

    form: str
    text: str
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Facts:
    """All that one text and the register's own fields say."""

    text: str
    meanings: tuple[Meaning, ...] = ()
    sizes: tuple[SizeFact, ...] = ()
    designators: tuple[Designator, ...] = ()
    part_class: str = ""
    aeroplane: str = ""

    @property
    def corrections(self) -> tuple[tuple[str, str], ...]:
        """Words that were mended: as typed, and as read."""
        return tuple((one.text, one.corrected) for one in self.meanings if one.corrected)

    @property
    def spans(self) -> tuple[Span, ...]:
        """Places of everything understood, for marking, in the order of the text."""
        found = [one.span for one in self.meanings if one.span and one.concepts]
        found += [one.span for one in self.sizes if one.span]
        found += [one.span for one in self.designators if one.span]
        return tuple(sorted(set(found)))


@dataclass(frozen=True, slots=True)
class GivenSize:
    """A size the register holds: characteristic's key, value and limits in the kind's own unit, and its text."""

    characteristic: str
    value: Fraction | None
    low: Fraction | None = None
    high: Fraction | None = None
    text: str = ""
    kind: Kind | None = None


@dataclass(frozen=True, slots=True)
class Structured:
    """What the register knows of a need or a find besides its text.

    `words` are accepted words of characteristics that are no sizes (head
    form, construction), read like text.
    """

    part_class: str = ""
    designations: tuple[str, ...] = ()
    sizes: tuple[GivenSize, ...] = ()
    material: str = ""
    words: tuple[str, ...] = ()
    side: str = ""
    aeroplane: str = ""


def size_fact(
    kind: str,
    role: str,
    value: Fraction,
    doubt: Fraction,
    text: str,
    place: int,
    weight: float = 1.0,
    span: Span | None = None,
) -> SizeFact | None:
    """A size for comparing; None where there is nothing above zero to compare."""
    size = float(value)
    if not math.isfinite(size) or size <= 0:
        return None
    relative = min(float(doubt) / size, 0.5)
    return SizeFact(kind, role, math.log(size), relative, value, text, place, weight, span)
