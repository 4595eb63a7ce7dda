"""What is held while one text is read: the text, what was found so far, and the number at hand."""

from dataclasses import dataclass, field
from fractions import Fraction

from server.domain.quantities import Kind, Quantity
from server.domain.reading_numbers import Number
from server.domain.reading_sizes import Amount, Size, Span
from server.domain.reading_threads import Thread
from server.domain.reading_words import classes_in
from server.domain.unit_spellings import Spelled

Ready = tuple[Quantity, str, float, Thread | None]
"""A reading that needs no more work: quantity, role, weight, thread."""

_ELECTRIC = frozenset({Kind.VOLTAGE, Kind.POWER, Kind.AREA})


@dataclass(slots=True)
class Before:
    """What the words right before a number said of it.

    `end` is where they end, `cut` where those begin that leave the words for
    comparing; -1 for none. `is_weak`: the role is no licence for a bare whole
    number ("inside 2 boxes").
    """

    role: str = ""
    bound: str = ""
    is_approximate: bool = False
    cut: int = -1
    end: int = -1
    is_weak: bool = False


@dataclass(slots=True)
class Line:
    """One text under reading: the original, the folded text, and what was found so far.

    `cuts` are the places that leave the words for comparing. `is_electric`:
    a voltage, power or conductor area was read already, so that a letter A
    behind a number is ampere.
    """

    original: str
    low: str
    sizes: list[Size] = field(default_factory=list)
    designators: list[str] = field(default_factory=list)
    designator_spans: list[Span] = field(default_factory=list)
    amounts: list[Amount] = field(default_factory=list)
    cuts: list[Span] = field(default_factory=list)
    is_electric: bool = False
    _classes: frozenset[str] | None = None

    @property
    def classes(self) -> frozenset[str]:
        """The part classes that the text names; worked out when first asked for."""
        if self._classes is None:
            self._classes = classes_in(self.low)
        return self._classes

    def add(self, size: Size) -> None:
        """Keep one size."""
        self.sizes.append(size)
        if size.quantity.kind in _ELECTRIC:
            self.is_electric = True


@dataclass(slots=True)
class Member:
    """One number of a phrase with all that hangs on it; `ready` where the sizes are made already.

    `to` is the second end of a range, `up` and `down` deviations as typed;
    `cut_end` is where the words end that leave the text with the number.
    """

    start: int
    end: int
    cut_end: int = 0
    number: Number | None = None
    unit: Spelled | None = None
    to: Number | None = None
    up: Fraction | None = None
    down: Fraction | None = None
    spread_unit: Spelled | None = None
    role: str = ""
    bound: str = ""
    is_approximate: bool = False
    fit: str = ""
    is_weak: bool = False
    ready: tuple[Ready, ...] = ()
