"""A find against all open needs, or a need against all finds: candidates, scores, the best of them."""

import heapq
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import chain
from math import fsum
from typing import NamedTuple, Protocol

from server.matching.facts import Facts
from server.matching.index import StaleRow, pair_steps, read_row, size_steps, token_of
from server.matching.lexicon import Lexicon
from server.matching.query import Query, counted_tokens, prepare
from server.matching.score import Hit, document, score

FEW = 500
"""Up to so many rows every one is looked at; beyond, the database proposes candidates, which is as good and quicker."""
CANDIDATES = 200
"""Rows that one question to the database may bring; more where many hits are asked for."""
ENOUGH = 80
"""So many candidates and no further question is asked; more gave no better first five (tests.bench matching)."""
SCORED = 24
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

    def size(self, most: int) -> int:
        """How many rows there are: exact up to `most`, beyond it at least more."""

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
    total = index.size(FEW)
    wanted = counted_tokens(facts, lexicon)
    if total <= FEW:
        rows = index.rows()
        asked = frozenset(wanted) | prepare(facts, {}, total, lexicon).quick.keys()
        common = [asked.intersection(row[1].split()) for row in rows]
        query = prepare(facts, Counter(chain.from_iterable(common)), total, lexicon)
        common = [tokens & query.quick.keys() for tokens in common]
    else:
        query = prepare(facts, index.doc_counts(wanted), total, lexicon)
        rows = _candidates(query, index, limit)
        quick = frozenset(query.quick)
        common = [quick.intersection(row[1].split()) for row in rows]
    if query.says_nothing or not rows:
        return Matches((), query, total, len(rows))
    hits: list[Hit] = []
    stale = 0
    kept: dict[int, IndexRow] = {}
    for row in _coarse(query, rows, common, max(SCORED, limit * 3)):
        try:
            hits.append(score(query, document(row[0], _tokens_of(row[1]), row[2], query.lexicon)))
        except StaleRow:
            stale += 1
            continue
        kept[row[0]] = IndexRow(*row)
    hits.sort(key=lambda hit: (-hit.score, -hit.share, hit.id))
    return Matches(tuple(_grouped(hits[: limit * 3], kept)[:limit]), query, total, len(rows), stale)


def _coarse(
    query: Query, rows: Sequence[tuple[int, str, bytes]], common: Sequence[AbstractSet[str]], keep: int
) -> list[tuple[int, str, bytes]]:
    """The rows with the most points in a quick count of the tokens they have in common, the best first."""
    points = query.quick
    # summed exactly: the order in which a set gives its tokens is another one in every process
    counted = [(fsum([points[token] for token in tokens]), -at) for at, tokens in enumerate(common) if tokens]
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
    tokens = frozenset([token for token in row.tokens.split() if token[0] in _SPECIFIC])
    sizes = read_row(row.row)
    if not sizes or not any(token[0] == "h" for token in tokens):
        return None
    return tokens, tuple(sorted([(size.kind, size.role, round(size.ln, 4)) for size in sizes]))


_SPECIFIC = frozenset("hckmds")


# --- candidates -------------------------------------------------------------------------------------------------------


def _candidates(query: Query, index: Index, limit: int) -> list[tuple[int, str, bytes]]:
    enough, most = max(ENOUGH, 3 * limit), max(CANDIDATES, 5 * limit)
    found: dict[int, tuple[int, str, bytes]] = {}
    whole: list[list[frozenset[str]]] = []
    for groups in _ladder(query):
        asked = [frozenset(group) for group in groups]
        if any(_holds(wider, asked) for wider in whole):
            continue
        rows = index.propose(groups, most)
        found.update((row[0], row) for row in rows)
        if len(rows) < most:
            whole.append(asked)
        else:  # some were left behind: those that say more of the same come along in any case
            for narrower in _narrowed(groups, query):
                found.update((row[0], row) for row in index.propose(narrower, enough))
        if len(found) >= enough:
            break
    return list(found.values())


def _narrowed(groups: Groups, query: Query) -> Iterator[Groups]:
    """The same question with all the other words of the query, and with one at least of them."""
    others = [_sorted(item.exact) for item in query.items if not item.meaning.is_head and item.exact]
    if others:
        yield [*groups, *others]
    if len(others) > 1:
        yield [*groups, _sorted(chain.from_iterable(others))]


def _holds(wider: Sequence[frozenset[str]], asked: Sequence[frozenset[str]]) -> bool:
    """True where every answer to the one question is an answer to the other, whose answers are all here already."""
    return all(any(group <= other for group in asked) for other in wider)


def _ladder(query: Query) -> Iterator[Groups]:
    """Questions to the database, the narrowest first; each a list of groups that must all be met."""
    lexicon = query.lexicon
    heads = _sorted(token_of("t", head) for head in query.heads)
    named = list(dict.fromkeys(one for head in query.heads for one in lexicon.classes(head)))
    classes = _sorted(token_of("c", one) for one in named)
    pairs = [[pair_steps(named, one, around=1) for one in size.readings] for size in query.sizes] if named else []
    fine_pairs = [_sorted(token for reading in size for token in reading[0]) for size in pairs]
    coarse_pairs = [_sorted(token for reading in size for token in reading[1]) for size in pairs]
    steps = [[size_steps(one, around=1) for one in size.readings] for size in query.sizes]
    fine = [_sorted(token for reading in size for token in reading[0]) for size in steps]
    coarse = [_sorted(token for reading in size for token in reading[1]) for size in steps]
    any_fine = _sorted(chain.from_iterable(fine))
    traits = _sorted(token for item in query.items if item.what in {"kind", "material"} for token in item.exact)
    others = [item for item in query.items if not item.meaning.is_head]
    rare = _sorted(token for item in others if item.info >= RARE for token in item.exact)
    beginnings = _sorted("d" + start.lower() for number in query.numbers for start in number.beginnings)

    for number in query.numbers:
        yield [_sorted(number.exact | number.misread)]
    asked: list[Groups] = [
        fine_pairs,
        [heads, *coarse_pairs] if pairs else [],
        [heads, *coarse] if fine and not pairs else [],
        fine if len(fine) > 1 else [any_fine, traits],
        [heads, rare],
        [heads, traits],
        [_sorted(chain.from_iterable(fine_pairs))],
        [rare, any_fine],
        [_sorted(chain.from_iterable(coarse_pairs))],
        [beginnings],
        [any_fine],
        [heads],
        [rare],
        [classes],
        [_sorted(token for item in query.items for token in item.exact)],
    ]
    yield from (groups for groups in asked if groups and all(groups))


def _sorted(tokens: Iterable[str]) -> list[str]:
    return sorted(set(tokens))
