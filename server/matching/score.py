"""How well a need answers a find, or a find a need: points, each with its reason, added up.

The sum can be done again by hand: every point of a score stands in one Reason.
All weights are in weights.py.
"""

import math
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple

from server.domain.quantities import Kind
from server.matching.facts import Meaning, SizeFact, Span
from server.matching.index import RowSize, read_row, token_of
from server.matching.lexicon import Lexicon
from server.matching.query import Item, NumberItem, Query, SizeItem
from server.matching.weights import (
    EQUAL,
    LEAST_SHARE,
    LIKELY_SHARE,
    NAMED_BESIDE,
    NEAR,
    NEAR_MOST,
    NEAR_SPREAD,
    SECOND_HEAD,
    WEIGHTS,
    Weights,
)


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
    return Document(
        number,
        tokens,
        row,
        frozenset([names[one[1:]] for one in tokens if one[0] == "h" and one[1:] in names]),
        frozenset([one for one in tokens if one[0] == "m"]),
    )


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


_RELATED = {Outcome.SAME: 1.0, Outcome.BROADER: 0.5, Outcome.RELATED: 0.25}

# which roles may name one and the same size; what is missing here is 0.2
_COMPATIBLE = {
    frozenset(pair): level
    for *pair, level in (
        ("dia", "thread", 0.97),
        ("dia", "od", 0.9),
        ("dia", "id", 0.8),
        ("dia", "hole", 0.8),
        ("id", "hole", 0.8),
        ("od", "thread", 0.8),
        ("id", "thread", 0.7),
        ("od", "hole", 0.6),
        ("thk", "wall", 0.9),
        ("len", "grip", 0.6),
        ("len", "width", 0.6),
        ("width", "thk", 0.5),
        ("id", "len", 0.3),
        ("od", "width", 0.4),
        ("len", "od", 0.4),
        ("af", "od", 0.4),
    )
}
_NO_ROLE = 0.95
_COMPARABLE = 0.5
# system voltages: nominal and charging name one system (common practice)
_SYSTEM_VOLTS = ((24.0, 28.0), (12.0, 14.0), (6.0, 7.0), (24.0, 27.0), (12.0, 13.5))


def compatibility(one: str, other: str) -> float:
    """How far two roles may name the same size, 0 to 1."""
    if one == other:
        return 1.0
    if not one or not other:
        return _NO_ROLE
    return _COMPATIBLE.get(frozenset((one, other)), 0.2)


def closeness(one: SizeFact, other: RowSize) -> float:
    """1 for equal within both doubts, less for near, 0 for another size or another kind."""
    if one.kind != other.kind:
        return 0.0
    apart = abs(one.ln - other.ln)
    if apart <= EQUAL + one.doubt + other.doubt:
        return 1.0
    if one.kind == Kind.VOLTAGE and _one_system(float(one.value), other.value):
        return NEAR_MOST
    beyond = apart - one.doubt - other.doubt
    if beyond > NEAR:
        return 0.0
    return NEAR_MOST * math.exp(-0.5 * (beyond / NEAR_SPREAD) ** 2)


def _one_system(one: float, other: float) -> bool:
    low, high = sorted((one, other))
    return any(abs(low - first) < 0.1 and abs(high - second) < 0.1 for first, second in _SYSTEM_VOLTS)


@lru_cache(maxsize=50_000)
def relation(mine: frozenset[str], theirs: frozenset[str], lexicon: Lexicon) -> tuple[float, Outcome, str, str]:
    """How two sides' names for the thing itself stand to each other, the best of the alternatives.

    Level 1 for the same, less for a broader or narrower name or one of the
    same part class, −1 for another thing.
    """
    best = (-1.0, Outcome.DIFFERS, min(mine), min(theirs))
    for one in sorted(mine):
        line = lexicon.lineage(one)
        for other in sorted(theirs):
            if one == other:
                return 1.0, Outcome.SAME, one, other
            if other in line:
                found = (0.75, Outcome.BROADER, one, other)
            elif one in lexicon.lineage(other):
                found = (0.9, Outcome.BROADER, one, other)
            elif set(lexicon.classes(one)) & set(lexicon.classes(other)):
                group = lexicon.concepts[one].group
                is_kin = group and group == lexicon.concepts[other].group  # a screw and a bolt
                found = (0.6 if is_kin else 0.35, Outcome.RELATED, one, other)
            elif set(line) & set(lexicon.lineage(other)):
                found = (0.0, Outcome.RELATED, one, other)
            else:
                continue
            best = max(best, found)
    return best


def score(query: Query, other: Document, weights: Weights = WEIGHTS) -> Hit:
    """A candidate's hit with all its reasons. Raises StaleRow for a row of another version."""
    found: list[Reason] = []
    explained = 0.0
    whole = query.total_info or 1.0
    counts: dict[str, int] = {}
    for item in query.items:
        counts[item.what] = counts.get(item.what, 0) + 1
    head = _head_reason(query, other, weights)
    for item in query.items:
        level, outcome = _item_level(item, other)
        if item.meaning.is_head and head is not None and head.points > 0:
            level = max(level, 0.3)
        shared = max(level, 0.0) * item.info
        explained += shared
        points = weights.share * shared / whole + _own_points(item.what, level, counts[item.what], weights)
        if item.meaning.is_head and head is not None:
            head = head._replace(points=head.points + points)  # one line for the thing, however it is counted
        else:
            theirs = _their_word(item, other, query.lexicon) if level else ""
            found.append(Reason(item.what, outcome, points, item.meaning, theirs=theirs, span=item.meaning.span))
    if head is not None:
        found.append(head)
    number_reasons, shared = _number_reasons(query.numbers, other.tokens, weights, whole)
    found += number_reasons
    explained += shared
    size_reasons, shared = _size_reasons(query.sizes, read_row(other.row), weights, whole)
    found += size_reasons
    explained += shared
    share = min(explained / whole, 1.0)
    total = sum(reason.points for reason in found)
    return Hit(
        other.id,
        total,
        share,
        _band(share, found),
        tuple(sorted((one for one in found if one.points > 0), key=lambda one: -one.points)),
        tuple(sorted((one for one in found if one.points <= 0), key=lambda one: one.points)),
    )


def _band(share: float, reasons: list[Reason]) -> Band:
    differs = {one.what for one in reasons if one.outcome is Outcome.DIFFERS}
    sure_number = any(one.what == "number" and one.outcome is Outcome.SAME for one in reasons)
    if share < LEAST_SHARE or ("thing" in differs and not sure_number):
        return Band.FAINT
    if sure_number and "size" not in differs:
        return Band.LIKELY
    is_akin = any(one.what == "thing" and one.outcome is Outcome.RELATED for one in reasons)
    if share >= LIKELY_SHARE and not is_akin and not differs & {"size", "thing", "side", "material", "kind"}:
        return Band.LIKELY
    return Band.POSSIBLE


def _marks(reasons: tuple[Reason, ...]) -> list[Mark]:
    found: dict[Span, bool] = {}
    for one in reasons:
        if one.span is None or one.outcome is Outcome.MISSING:
            continue
        agrees = one.outcome is not Outcome.DIFFERS
        found[one.span] = found.get(one.span, True) and agrees
    return [Mark(start, end, agrees) for (start, end), agrees in sorted(found.items())]


# --- words ------------------------------------------------------------------------------------------------------------


def _head_reason(query: Query, other: Document, weights: Weights) -> Reason | None:
    if not query.heads:
        return None
    if not other.heads:
        return None
    level, outcome, mine, theirs = relation(query.heads, other.heads, query.lexicon)
    if level < 1 and query.second_heads:
        second = relation(query.second_heads, other.heads, query.lexicon)
        if second[0] * SECOND_HEAD > level:
            level, outcome, mine, theirs = second
            level *= SECOND_HEAD
    if outcome is Outcome.DIFFERS and any(token_of("t", head) in other.tokens for head in query.heads):
        level, outcome = NAMED_BESIDE, Outcome.RELATED  # the thing is named, though not as what it is
    points = weights.thing * level if level >= 0 else weights.thing_conflict * level
    meaning = next(one for one in query.facts.meanings if one.is_head)
    return Reason("thing", outcome, points, meaning, mine=mine, theirs=theirs, span=meaning.span)


def _item_level(item: Item, other: Document) -> tuple[float, Outcome]:
    tokens = other.tokens
    if item.exact & tokens:
        return 1.0, Outcome.SAME
    if item.what == "material":
        theirs = other.materials
        if item.looser & theirs:
            return (0.25, Outcome.RELATED) if theirs - item.looser else (0.6, Outcome.BROADER)
        return (-1.0, Outcome.DIFFERS) if theirs else (0.0, Outcome.MISSING)
    if item.against & tokens:
        return -1.0, Outcome.DIFFERS
    if item.looser & tokens:
        return 0.5, Outcome.BROADER
    return 0.0, Outcome.MISSING


def _own_points(what: str, level: float, among: int, weights: Weights) -> float:
    """The points of a kind, a material, a place or a side, shared among the sayings of that sort."""
    if what == "kind":
        return (weights.kind * level if level > 0 else weights.kind_conflict * level) / among
    if what == "material":
        return (weights.material * level if level > 0 else weights.material_conflict * level) / among
    if what == "place":
        return weights.place * level / among
    if what == "side":
        return (weights.side * level if level > 0 else weights.side_conflict * level) / among
    return 0.0


def _their_word(item: Item, other: Document, lexicon: Lexicon) -> str:
    """The concept on the other side that this saying met."""
    if not item.concepts:
        return ""
    for among in (item.exact, item.against, item.looser):
        met = among & other.tokens
        if met:
            return lexicon.by_token.get(min(met)[1:], "")
    if item.what == "material" and other.materials:
        return lexicon.by_token.get(min(other.materials)[1:], "")
    return ""


# --- part numbers -----------------------------------------------------------------------------------------------------


def _number_reasons(
    numbers: tuple[NumberItem, ...], tokens: frozenset[str], weights: Weights, whole: float
) -> tuple[list[Reason], float]:
    found: list[Reason] = []
    explained = 0.0
    best = 0.0
    for number in numbers:
        level, outcome, theirs = _number_level(number, tokens)
        explained += level * number.info
        extra = weights.number * max(level - best, 0.0)  # a second number that agrees proves no more than one
        best = max(best, level)
        points = weights.share * level * number.info / whole + extra
        found.append(Reason("number", outcome, points, mine=number.text, theirs=theirs, span=number.span))
    return found, explained


def _number_level(number: NumberItem, tokens: frozenset[str]) -> tuple[float, Outcome, str]:
    met = number.exact & tokens
    if met:
        return 1.0, Outcome.SAME, min(met)[1:].upper()
    met = number.misread & tokens
    if met:
        return 0.7, Outcome.READS_LIKE, ""
    for start in reversed(number.beginnings):
        if "d" + start.lower() in tokens:
            length = max(len(one) for one in number.exact) - 1
            return 0.5 * len(start) / length, Outcome.BEGINS_LIKE, start
    return 0.0, Outcome.MISSING, ""


# --- sizes ------------------------------------------------------------------------------------------------------------


def _size_reasons(
    mine: tuple[SizeItem, ...], theirs: tuple[RowSize, ...], weights: Weights, whole: float
) -> tuple[list[Reason], float]:
    if not mine:
        return [], 0.0
    met, left = _pairs(mine, theirs)
    among = len(mine)
    found: list[Reason] = []
    explained = 0.0
    levels: list[float] = []
    contradicts = False
    for at, item in enumerate(mine):
        if at in met:
            level, size, other, close = met[at]
            levels.append(level)
            explained += level * item.info
            points = weights.size * level / among + weights.share * level * item.info / whole
            outcome = Outcome.SAME if close == 1.0 else Outcome.NEAR
            found.append(Reason("size", outcome, points, size=size, other=other, span=size.span))
            continue
        levels.append(0.0)
        clash = _clash(item, left)
        size = item.readings[0]
        if clash is None:
            points = -weights.silent / among
            found.append(Reason("size", Outcome.MISSING, points, size=size, span=size.span))
        else:
            contradicts = True
            points = -weights.size_conflict / among
            found.append(Reason("size", Outcome.DIFFERS, points, size=size, other=clash, span=size.span))
    if not contradicts and any(levels):
        if all(levels):
            found.append(Reason("sizes", Outcome.SAME, weights.all_sizes * min(levels)))
        else:
            found.append(Reason("sizes", Outcome.BROADER, 0.6 * weights.all_sizes * sum(levels) / among))
    unasked = len({one.place for one in left})
    if unasked:
        found.append(Reason("unasked", Outcome.MISSING, -weights.unasked * min(unasked, 5)))
    return found, explained


def _pairs(
    mine: tuple[SizeItem, ...], theirs: tuple[RowSize, ...]
) -> tuple[dict[int, tuple[float, SizeFact, RowSize, float]], list[RowSize]]:
    """The best pairing, each place of either side used once; and what of theirs is left."""
    possible: list[tuple[float, int, SizeFact, RowSize, float]] = []
    for at, item in enumerate(mine):
        for size in item.readings:
            for other in theirs:
                close = closeness(size, other)
                if close <= 0.0:
                    continue
                fit = compatibility(size.role, other.role)
                if fit < _COMPARABLE:
                    continue
                level = close * fit * (0.6 + 0.4 * size.weight) * (0.6 + 0.4 * other.weight)
                possible.append((level, at, size, other, close))
    possible.sort(key=lambda one: (-one[0], one[1]))
    met: dict[int, tuple[float, SizeFact, RowSize, float]] = {}
    used: set[int] = set()
    for level, at, size, other, close in possible:
        if at not in met and other.place not in used:
            met[at] = (level, size, other, close)
            used.add(other.place)
    return met, [one for one in theirs if one.place not in used]


def _clash(item: SizeItem, left: list[RowSize]) -> RowSize | None:
    """Their size that this one contradicts: same kind, a role that may be the same, another value."""
    clashing = [
        (compatibility(size.role, other.role), -abs(size.ln - other.ln), other)
        for size in item.readings
        for other in left
        if size.kind == other.kind
    ]
    best = max(clashing, key=lambda one: one[:2], default=None)
    return best[2] if best is not None and best[0] >= _COMPARABLE else None
