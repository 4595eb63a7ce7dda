"""How well a need answers a find, or a find a need: points, each with its reason, added up.

The sum can be done again by hand: every point of a score stands in one Reason.
All weights are in weights.py.
"""

from operator import attrgetter

from server.matching.index import read_row, token_of
from server.matching.lexicon import Lexicon
from server.matching.query import Item, NumberItem, Query
from server.matching.reasons import Band, Document, Hit, Outcome, Reason, document
from server.matching.score_sizes import closeness, compatibility, size_reasons
from server.matching.weights import (
    LEAST_SHARE,
    LIKELY_SHARE,
    NAMED_BESIDE,
    SECOND_HEAD,
    SURE_SHARE,
    WEIGHTS,
    Weights,
)

__all__ = [
    "Band",
    "Document",
    "Hit",
    "Outcome",
    "Reason",
    "closeness",
    "compatibility",
    "document",
    "relation",
    "score",
]

Relation = tuple[float, Outcome, str, str]


def relation(mine: frozenset[str], theirs: frozenset[str], lexicon: Lexicon) -> Relation:
    """How two sides' names for the thing itself stand to each other, the best of the alternatives.

    Level 1 for the same, less for a broader or narrower name or one of the
    same part class, −1 for another thing.
    """
    asked = (mine, theirs)
    found = lexicon.relations.get(asked)
    if found is None:
        if len(lexicon.relations) > 50_000:
            lexicon.relations.clear()
        found = lexicon.relations[asked] = _relation(mine, theirs, lexicon)
    return found


def _relation(mine: frozenset[str], theirs: frozenset[str], lexicon: Lexicon) -> Relation:
    best: Relation = (-1.0, Outcome.DIFFERS, min(mine), min(theirs))
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
    head = _head_reason(query, other, weights)
    beside = 0.0
    for item in query.items:
        level, outcome = _item_level(item, other)
        meaning = item.meaning
        if head is not None and meaning.is_head and head.points + beside > 0:
            level = max(level, 0.3)
        points = _own_points(item.what, level, query.among[item.what], weights)
        if level > 0:
            explained += level * item.info
            points += weights.share * level * item.info / whole
        if meaning.is_head and head is not None:
            beside += points  # one line for the thing, however it is counted
        else:
            theirs = _their_word(item, other, query.lexicon) if level else ""
            found.append(Reason(item.what, outcome, points, meaning, theirs=theirs, span=meaning.span))
    if head is not None:
        found.append(head._replace(points=head.points + beside))
    number_reasons, shared = _number_reasons(query.numbers, other.tokens, weights, whole)
    found += number_reasons
    explained += shared
    found_sizes, shared = size_reasons(query.sizes, read_row(other.row), weights, whole)
    found += found_sizes
    explained += shared
    share = min(explained / whole, 1.0)
    total = sum(reason.points for reason in found)
    return Hit(
        other.id,
        total,
        share,
        _band(share, found),
        tuple(sorted([one for one in found if one.points > 0], key=_points, reverse=True)),
        tuple(sorted([one for one in found if one.points <= 0], key=_points)),
    )


CONTRADICTS = frozenset({"size", "thing", "side", "material", "kind"})
"""What makes a hit less than likely where it differs."""
BESIDE = frozenset({"kind", "material", "place", "side", "other", "number", "size"})
"""What may agree beside the thing."""

_points = attrgetter("points")


def _band(share: float, reasons: list[Reason]) -> Band:
    differs = {one.what for one in reasons if one.outcome is Outcome.DIFFERS}
    sure_number = any(one.what == "number" and one.outcome is Outcome.SAME for one in reasons)
    if "thing" in differs and not sure_number:
        return Band.FAINT
    if share < LEAST_SHARE and (share < SURE_SHARE or differs & CONTRADICTS or not _is_the_thing_and_more(reasons)):
        return Band.FAINT
    if sure_number and "size" not in differs:
        return Band.LIKELY
    is_akin = any(one.what == "thing" and one.outcome is Outcome.RELATED for one in reasons)
    if share >= LIKELY_SHARE and not is_akin and not differs & CONTRADICTS:
        return Band.LIKELY
    return Band.POSSIBLE


def _is_the_thing_and_more(reasons: list[Reason]) -> bool:
    """The same thing by name, and a kind, material, place, side, size or number that agrees beside it."""
    thing = any(one.what == "thing" and one.outcome in {Outcome.SAME, Outcome.BROADER} for one in reasons)
    return thing and any(one.what in BESIDE and one.points > 0 for one in reasons)


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
    if not item.exact.isdisjoint(tokens):
        return 1.0, Outcome.SAME
    if item.what == "material":
        theirs = other.materials
        if not item.looser.isdisjoint(theirs):
            return (0.25, Outcome.RELATED) if theirs - item.looser else (0.6, Outcome.BROADER)
        return (-1.0, Outcome.DIFFERS) if theirs else (0.0, Outcome.MISSING)
    if not item.against.isdisjoint(tokens):
        return -1.0, Outcome.DIFFERS
    if not item.looser.isdisjoint(tokens):
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
