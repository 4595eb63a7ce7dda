"""What a comparison comes to: reasons with their points, and the hit they add up to."""

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from server.matching.facts import Meaning, SizeFact, Span
from server.matching.index import RowSize
from server.matching.lexicon import Lexicon


class Band(StrEnum):
    """How far a hit may be leaned on: three steps and no percentage."""

    LIKELY = "likely"
    POSSIBLE = "possible"
    FAINT = "faint"


class Outcome(StrEnum):
    """How one comparison came out."""

    SAME = "same"
    BROADER = "broader"
    RELATED = "related"
    NEAR = "near"
    READS_LIKE = "reads like"
    BEGINS_LIKE = "begins like"
    DIFFERS = "differs"
    MISSING = "missing"


class Reason(NamedTuple):
    """One comparison: of what, how it came out, its points, and what the two sides said.

    `what` is thing, kind, material, place, side, other, word, number, size,
    sizes (all of them met) or unasked. `theirs` is a concept or a number.
    """

    what: str
    outcome: Outcome
    points: float
    meaning: Meaning | None = None
    size: SizeFact | None = None
    other: RowSize | None = None
    mine: str = ""
    theirs: str = ""
    span: Span | None = None


class Document(NamedTuple):
    """A candidate as the index holds it; `heads` are what it itself is, `materials` the material tokens."""

    id: int
    tokens: frozenset[str]
    row: bytes
    heads: frozenset[str]
    materials: frozenset[str]


def document(number: int, tokens: frozenset[str], row: bytes, lexicon: Lexicon) -> Document:
    """A candidate of its id, its tokens and its packed sizes."""
    names = lexicon.by_token
    heads = [names[one[1:]] for one in tokens if one[0] == "h" and one[1:] in names]
    return Document(number, tokens, row, frozenset(heads), frozenset([one for one in tokens if one[0] == "m"]))


class Mark(NamedTuple):
    """A place in the query's text that a hit answers, or contradicts."""

    start: int
    end: int
    agrees: bool


@dataclass(frozen=True, slots=True)
class Hit:
    """A scored candidate. `share`: the part of the query's information that is found in it, 0 to 1.

    `same_as` are further candidates with the very same specification, `facts`
    of the candidate stand in its tokens and row.
    """

    id: int
    score: float
    share: float
    band: Band
    reasons_for: tuple[Reason, ...]
    reasons_against: tuple[Reason, ...]
    same_as: tuple[int, ...] = ()

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The places of the query's text that this hit answers or contradicts, in order."""
        return tuple(_marks((*self.reasons_for, *self.reasons_against)))


def _marks(reasons: tuple[Reason, ...]) -> list[Mark]:
    found: dict[Span, bool] = {}
    for one in reasons:
        if one.span is None or one.outcome is Outcome.MISSING:
            continue
        agrees = one.outcome is not Outcome.DIFFERS
        found[one.span] = found.get(one.span, True) and agrees
    return [Mark(start, end, agrees) for (start, end), agrees in sorted(found.items())]
