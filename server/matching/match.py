"""A find against all open needs, or a need against all finds: candidates, scores, the best of them."""

import heapq
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple, Protocol

from server.matching.facts import Facts
from server.matching.index import StaleRow, read_row, size_steps, token_of
from server.matching.lexicon import Lexicon
from server.matching.query import Query, counted_tokens, prepare
from server.matching.score import Document, Hit, score

FEW = 5_000
"""Up to so many rows every one is looked at; beyond, the database proposes candidates."""
CANDIDATES = 600
SCORED = 40
"""Rows that are scored with all reasons, after the coarse pass."""
RARE = 0.45
"""A saying that tells at least this much may lead to candidates by itself."""

Groups = list[list[str]]
"""Tokens to be found together: one at least of each inner list."""


class IndexRow(NamedTuple):
    """A row of the index: id of the need or find, its tokens in one text, its packed sizes."""

    id: int
    tokens: str
    row: bytes


class Index(Protocol):
    """What the matching wants from a database; one object stands for one kind of rows in one scope."""

    def size(self) -> int:
        """How many rows there are."""

    def rows(self) -> Sequence[tuple[int, str, bytes]]:
        """All of them."""

    def propose(self, groups: Groups, limit: int) -> Sequence[tuple[int, str, bytes]]:
        """Some rows that hold one token at least of every group."""

    def doc_counts(self, tokens: Iterable[str]) -> Mapping[str, int]:
        """In how many rows each token stands; a token in none may be left out."""


@dataclass(frozen=True, slots=True)
class Matches:
    """What came of it: hits, best first, those above the line before those below.

    `looked_at` of `total` rows were compared; `stale` rows were left out
    because another version of the reading made them.
    """

    hits: tuple[Hit, ...]
    query: Query
    total: int
    looked_at: int
    stale: int = 0

    @property
    def nothing_fits(self) -> bool:
        """True where no hit explains enough of the query to be shown as one."""
        return not any(hit.band != "faint" for hit in self.hits)


@lru_cache(maxsize=8_000)
def _tokens_of(tokens: str) -> frozenset[str]:
    return frozenset(tokens.split())


def match(facts: Facts, index: Index, *, limit: int = 10, lexicon: Lexicon | None = None) -> Matches:
    """The best rows of an index for these facts, at most `limit` after equal specifications are put together."""
    total = index.size()
    wanted = counted_tokens(facts, lexicon)
    if total <= FEW:
        rows = index.rows()
        counts = _counted(rows, wanted)
        query = prepare(facts, counts, total, lexicon)
    else:
        query = prepare(facts, index.doc_counts(wanted), total, lexicon)
        rows = _candidates(query, index)
    if query.says_nothing or not rows:
        return Matches((), query, total, len(rows))
    hits: list[Hit] = []
    stale = 0
    kept: dict[int, IndexRow] = {}
    for row in _coarse(query, rows, max(SCORED, limit * 3)):
        try:
            hits.append(score(query, Document(row[0], _tokens_of(row[1]), row[2])))
        except StaleRow:
            stale += 1
            continue
        kept[row[0]] = IndexRow(*row)
    hits.sort(key=lambda hit: (-hit.score, -hit.share, hit.id))
    return Matches(tuple(_grouped(hits[: limit * 3], kept)[:limit]), query, total, len(rows), stale)


def _counted(rows: Sequence[tuple[int, str, bytes]], wanted: set[str]) -> Counter[str]:
    counts: Counter[str] = Counter()
    for row in rows:
        common = wanted & _tokens_of(row[1])
        if common:
            counts.update(common)
    return counts


def _coarse(query: Query, rows: Sequence[tuple[int, str, bytes]], keep: int) -> list[tuple[int, str, bytes]]:
    """The rows with the most points in a quick count of common tokens, the best first."""
    points = query.quick
    wanted = frozenset(points)
    counted = []
    for at, row in enumerate(rows):
        common = wanted & _tokens_of(row[1])
        if common:
            counted.append((sum([points[token] for token in common]), -at))
    return [rows[-at] for _, at in heapq.nlargest(keep, counted)]


def _grouped(hits: list[Hit], rows: Mapping[int, IndexRow]) -> list[Hit]:
    """Equal specifications as one hit: ten needs for one rivet make one line."""
    first: dict[object, int] = {}
    also: dict[int, list[int]] = {}
    found: list[Hit] = []
    for hit in hits:
        key = _specification(rows[hit.id])
        if key is not None and key in first:
            also.setdefault(first[key], []).append(hit.id)
            continue
        if key is not None:
            first[key] = len(found)
        found.append(hit)
    for at, more in also.items():
        found[at] = replace(found[at], same_as=tuple(more))
    return found


def _specification(row: IndexRow) -> object | None:
    """What makes two rows the same thing: all but words, places and aeroplane. None where too little is said."""
    sizes = read_row(row.row)
    tokens = frozenset(token for token in _tokens_of(row.tokens) if token[0] in "hckmds")
    if not sizes or not any(token[0] == "h" for token in tokens):
        return None
    return tokens, tuple(sorted((size.kind, size.role, round(size.ln, 4)) for size in sizes))


# --- candidates -------------------------------------------------------------------------------------------------------


def _candidates(query: Query, index: Index) -> list[tuple[int, str, bytes]]:
    found: dict[int, tuple[int, str, bytes]] = {}
    for groups in _ladder(query):
        for row in index.propose(groups, CANDIDATES):
            found.setdefault(row[0], tuple(row))  # type: ignore[arg-type]
        if len(found) >= 0.7 * CANDIDATES:
            break
    return list(found.values())


def _ladder(query: Query) -> Iterator[Groups]:
    """Questions to the database, the narrowest first; each a list of groups that must all be met."""
    names = query.lexicon
    heads = sorted(token_of("t", head) for head in query.heads)
    classes = sorted({token_of("c", one) for head in query.heads for one in names.classes(head)})
    fine = [sorted({step for one in size.readings for step in size_steps(one, around=1)[0]}) for size in query.sizes]
    coarse = [sorted({step for one in size.readings for step in size_steps(one, around=1)[1]}) for size in query.sizes]
    traits = [sorted(item.exact) for item in query.items if item.what in {"kind", "material"}]
    any_trait = sorted({token for group in traits for token in group})
    rare = [sorted(item.exact) for item in query.items if item.info >= RARE and not item.meaning.is_head]
    any_fine = sorted({token for group in fine for token in group})
    any_coarse = sorted({token for group in coarse for token in group})

    for number in query.numbers:
        yield [sorted(number.exact | number.misread)]
    if fine:
        if heads:
            yield [heads, *fine]
        if classes:
            yield [classes, *fine]
        if heads:
            yield [heads, *coarse]
        if any_trait:
            yield [*fine, any_trait]
        if len(fine) > 1:
            yield list(fine)
    for word in rare:
        if heads:
            yield [heads, word]
    if classes and any_fine:
        yield [classes, any_fine]
    if heads and any_trait:
        yield [heads, *traits]
        yield [heads, any_trait]
    for word in rare:
        if any_fine:
            yield [word, any_fine]
    if classes and any_coarse:
        yield [classes, any_coarse]
    if any_fine:
        yield [any_fine]
    for number in query.numbers:
        for start in reversed(number.beginnings):
            yield [["d" + start.lower()]]
    if heads:
        yield [heads]
    for word in rare:
        yield [word]
    if classes:
        yield [classes]
    everything = sorted({token for item in query.items for token in item.exact})
    if everything:
        yield [everything]
