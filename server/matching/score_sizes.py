"""Sizes against sizes: which go together, how near they are, and what contradicts."""

import math

from server.domain.quantities import Kind
from server.matching.facts import SizeFact
from server.matching.index import RowSize
from server.matching.query import SizeItem
from server.matching.reasons import Outcome, Reason
from server.matching.weights import EQUAL, NEAR, NEAR_MOST, NEAR_SPREAD, Weights

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


def size_reasons(
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
