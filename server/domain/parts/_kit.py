"""The tools a part class is made of: characteristics, checks, and the case under comparison."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property, lru_cache

from server.domain.drawing import Drawing
from server.domain.handbook import SHIPPED, Handbook
from server.domain.offer import Offered, Statement, best_of
from server.domain.quantities import Kind
from server.domain.sources import Source
from server.domain.specification import Requirement, Role, Wanted, Weight
from server.domain.strictness import Strictness
from server.domain.verdict import Concern, Outcome, Row


@dataclass(frozen=True, slots=True)
class Choice:
    """One accepted word of a characteristic, with the other words for the same thing."""

    key: str
    label: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StandardLimits:
    """Limits that a standard sets round a nominal size when the drawing gives none; in the kind's unit."""

    low: Fraction
    high: Fraction
    source: Source
    said: str = ""


@dataclass(frozen=True, slots=True)
class Characteristic:
    """One thing that is wanted and offered.

    `kind` None means words (from `choices`, or free). `plausible` bounds the
    sizes that need no question when typed, in the kind's own unit. `effort`
    is how dear it is to find out (1 apron pocket … 5 sent out), `tell_with`
    the instruments that settle a word. `essential` rows appear even when
    nothing is known yet; `judged` rows are always a person's. `of_place` marks
    what is known of the place (the circuit's current, the bundle to cover) and
    never asked of a find; a check of the class uses it. `in_sizes` marks a
    length that is made in named sizes: further off a bare nominal than any
    general tolerance goes, it is another size.
    """

    key: str
    label: str
    concern: Concern
    kind: Kind | None = None
    help: str = ""
    choices: tuple[Choice, ...] = ()
    plausible: tuple[Fraction, Fraction] | None = None
    effort: int = 1
    tell_with: tuple[str, ...] = ("eye",)
    essential: bool = False
    judged: bool = False
    is_material: bool = False
    standard_limits: Callable[[Fraction, Requirement], StandardLimits | None] | None = None
    general_tolerance: bool = False
    in_sizes: bool = False
    of_place: bool = False
    _by_word: Mapping[str, Choice] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # the first choice that claims a word has it
        words = [(fold_word(word), one) for one in self.choices for word in (one.key, one.label, *one.also)]
        object.__setattr__(self, "_by_word", dict(reversed(words)))

    def choice(self, text: str) -> Choice | None:
        """The accepted word that this text means; None if it is none of them."""
        return self._by_word.get(fold_word(text))


@lru_cache(maxsize=16_384)
def fold_word(text: str) -> str:
    """A word for comparing: case, hyphens and doubled blanks make no difference."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


def in_sentence(label: str) -> str:
    """A label inside a sentence: only its first letter gives way, so that “°C” and “end A” stay what they are."""
    return label[:1].lower() + label[1:]


@dataclass(frozen=True, slots=True)
class KindChange:
    """Another kind of part in this one's place: what is gained, what is lost, where it may never go."""

    gained: str
    lost: str
    source: Source
    refused_for: frozenset[Role] = frozenset()
    refused_only_flying: bool = True


@dataclass(frozen=True, slots=True)
class Example:
    """A worked comparison: what is wanted, what is offered, what must come out and why we know."""

    title: str
    wanted: Wanted
    offered: Offered
    outcome: Outcome
    source: Source


@dataclass(frozen=True)
class Case:
    """One comparison under way: what a check may look at."""

    wanted: Wanted
    offered: Offered
    part_class: "PartClass"
    offered_class: "PartClass"
    strictness: Strictness = field(default_factory=Strictness)
    handbook: Handbook = SHIPPED

    @property
    def probability(self) -> float:
        """Conformance probability asked for this role and use."""
        return self.strictness.probability(self.wanted.use, self.wanted.role)

    def weight(self, concern: Concern, wished: Weight | None = None) -> Weight:
        """How a row of this concern counts here."""
        return self.strictness.weight(self.wanted.use, self.wanted.role, concern, wished)

    def statement(self, key: str) -> Statement | None:
        """The statement to judge by."""
        return self._stated.get(key)

    @cached_property
    def _stated(self) -> Mapping[str, Statement]:
        said: dict[str, list[Statement]] = {}
        for one in self.offered.statements:
            said.setdefault(one.characteristic, []).append(one)
        return {key: best_of(every) for key, every in said.items()}

    def asked(self, key: str) -> tuple[Requirement, ...]:
        """Everything said about one characteristic of the original, in its order."""
        return self._asked.get(key, ())

    @cached_property
    def _asked(self) -> Mapping[str, tuple[Requirement, ...]]:
        found: dict[str, tuple[Requirement, ...]] = {}
        for one in self.wanted.requirements:
            found[one.characteristic] = (*found.get(one.characteristic, ()), one)
        return found

    def size(self, key: str) -> Fraction | None:
        """The offered size in the kind's unit, claimed or measured; None if not said."""
        said = self.statement(key)
        return said.quantity.value if said and said.quantity else None

    def doubt(self, key: str) -> Fraction | None:
        """U (k = 2) of the offered size; a claim's half last step; None if not known."""
        said = self.statement(key)
        if said is None or said.quantity is None:
            return None
        if said.doubt is not None:
            return said.doubt
        return None

    def word(self, key: str) -> str:
        """The offered word, as its accepted key where there is one; "" if not said."""
        said = self.statement(key)
        if said is None or not said.words:
            return ""
        return self.offered_class.word_key(key, said.words[0])

    def wanted_word(self, key: str) -> str:
        """The wanted word (first of the first requirement), as its key; "" if not said."""
        for one in self.asked(key):
            if one.words:
                return self.part_class.word_key(key, one.words[0])
        return ""

    def wanted_size(self, key: str) -> Fraction | None:
        """The wanted nominal, else the middle of its limits; None if not known."""
        for one in self.asked(key):
            if one.quantity is not None:
                quantity = one.quantity
                if quantity.value is not None:
                    return quantity.value
                if quantity.low is not None and quantity.high is not None:
                    return (quantity.low + quantity.high) / 2
        return None


Check = Callable[[Case], Iterable[Row]]
Draw = Callable[[Case], "Drawing | tuple[Drawing, ...] | None"]


@dataclass(frozen=True)
class PartClass:
    """A class of parts: its names, characteristics, checks, examples and drawing.

    `names` are what people call it, in any language, for the one-line
    opening of a need and for matching. `stands_in` says, by class key, what a
    part of another class gains and loses in this one's place. `covers` are
    characteristics whose general row a check of this class writes itself.
    """

    key: str
    name: str
    family: str
    names: tuple[str, ...]
    characteristics: tuple[Characteristic, ...]
    checks: tuple[Check, ...] = ()
    covers: frozenset[str] = frozenset()
    stands_in: Mapping[str, KindChange] = field(default_factory=dict)
    cautions: tuple[str, ...] = ()
    examples: tuple[Example, ...] = ()
    draw: Draw | None = None
    has_joint: bool = False
    chapter: str = ""
    help: str = ""

    @cached_property
    def by_key(self) -> Mapping[str, Characteristic]:
        """The characteristics by their keys."""
        return {one.key: one for one in self.characteristics}

    @cached_property
    def places(self) -> Mapping[str, int]:
        """The order in which the characteristics stand, by key."""
        return {one.key: place for place, one in enumerate(self.characteristics)}

    def characteristic(self, key: str) -> Characteristic | None:
        """The characteristic of this key, None if the class has none."""
        return self.by_key.get(key)

    def word_key(self, characteristic: str, text: str) -> str:
        """The key of an accepted word, else the folded text."""
        found = self.characteristic(characteristic)
        choice = found.choice(text) if found else None
        return choice.key if choice else fold_word(text)


def mm(text: str) -> Fraction:
    """A length in mm from a decimal text, for writing plausible ranges and tables."""
    return Fraction(text)


def inch(text: str) -> Fraction:
    """A length given in inches ("0.125", "1/8"), in mm."""
    return Fraction(text) * Fraction(254, 10)
