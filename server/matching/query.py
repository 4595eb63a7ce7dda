"""One side of a match made ready: what it says, in index tokens, and how much each saying tells."""

import math
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from server.matching.designators import misread_form
from server.matching.facts import Facts, Meaning, SizeFact, Span
from server.matching.folding import key_of, loose, words_of
from server.matching.index import LETTER, number_beginnings, number_forms, size_steps, token_of
from server.matching.lexicon import Lexicon, Type, standard_lexicon

LEAST_INFO = 0.08
"""Even a word that stands in every row tells a little."""
BARE_NUMBER = 0.5
"""A number without unit or role tells half of what a word of its rarity does."""
_QUICK = {"thing": 1.5, "kind": 1.0, "material": 1.0, "place": 0.8}


class Item(NamedTuple):
    """One saying of the query: alternatives as tokens, and how much it tells (0 to 1).

    `looser` are the broader concepts, `against` the concepts that exclude it.
    """

    what: str
    meaning: Meaning
    concepts: tuple[str, ...]
    exact: frozenset[str]
    looser: frozenset[str]
    against: frozenset[str]
    info: float


class SizeItem(NamedTuple):
    """One place with a size: its readings, of which one at most can be met."""

    readings: tuple[SizeFact, ...]
    info: float


class NumberItem(NamedTuple):
    """One part number with its tokens."""

    text: str
    span: Span | None
    exact: frozenset[str]
    misread: frozenset[str]
    beginnings: tuple[str, ...]
    info: float


@dataclass(frozen=True)
class Query:
    """The facts of one side, made ready for scoring many of the other.

    `quick` gives each token its points in the first, coarse pass.
    """

    facts: Facts
    items: tuple[Item, ...]
    sizes: tuple[SizeItem, ...]
    numbers: tuple[NumberItem, ...]
    heads: frozenset[str]
    second_heads: frozenset[str]
    quick: Mapping[str, float]
    total_info: float
    lexicon: Lexicon
    among: Mapping[str, int]
    """How many sayings there are of each sort: they share its points."""

    @property
    def says_nothing(self) -> bool:
        """True where there is nothing to compare."""
        return not (self.items or self.sizes or self.numbers)


def counted_tokens(facts: Facts, lexicon: Lexicon | None = None) -> set[str]:
    """The tokens whose counts in the register tell how rare each saying is."""
    known = lexicon or standard_lexicon()
    found: set[str] = set()
    for meaning in facts.meanings:
        for concept in meaning.concepts:
            letter = LETTER.get(known.concepts[concept].type)
            if letter:
                found.add(token_of(letter, concept))
        if not meaning.concepts:
            found.update(_words(meaning.text))
    for size in facts.sizes:
        found.update(size_steps(size, around=1)[0])
    for number in facts.designators:
        found.update(_exact(number.form))
    return found


def prepare(facts: Facts, counts: Mapping[str, int], total: int, lexicon: Lexicon | None = None) -> Query:
    """A query of facts. `counts` says in how many of the `total` rows each token stands."""
    known = lexicon or standard_lexicon()
    most = math.log((total + 1) / 0.5)

    def info(tokens: frozenset[str]) -> float:
        seen = min(sum(counts.get(token, 0) for token in tokens), total)
        return max(LEAST_INFO, math.log((total + 1) / (seen + 0.5)) / most)

    items = tuple(_items(facts, known, info))
    sizes = tuple(_size_items(facts, info))
    numbers = tuple(
        NumberItem(
            one.text,
            one.span,
            _exact(one.form),
            frozenset("n" + misread_form(form).lower() for form in number_forms(one.form)),
            number_beginnings(one.text),
            info(_exact(one.form)),
        )
        for one in facts.designators
    )
    heads = _things([one for one in facts.meanings if one.is_head], known)
    seconds = _things([one for one in facts.meanings if one.may_be_head], known) - heads
    whole = sum([*(one.info for one in items), *(one.info for one in sizes), *(one.info for one in numbers)])
    quick = _quick(items, sizes, numbers, known)
    among = Counter(item.what for item in items)
    return Query(facts, items, sizes, numbers, heads, seconds, quick, whole, known, among)


def _things(meanings: list[Meaning], lexicon: Lexicon) -> frozenset[str]:
    return frozenset(
        concept for one in meanings for concept in one.concepts if lexicon.concepts[concept].type == Type.THING
    )


def _words(text: str) -> list[str]:
    return ["w" + loose(key_of(word)) for word, _, _ in words_of(text)]


def _exact(form: str) -> frozenset[str]:
    return frozenset("d" + one.lower() for one in number_forms(form))


def _items(facts: Facts, lexicon: Lexicon, info: Callable[[frozenset[str]], float]) -> Iterator[Item]:
    seen: set[tuple[str, ...]] = set()
    numbers = {one.span for one in facts.designators if one.span}
    for meaning in facts.meanings:
        if not meaning.concepts:
            if meaning.span in numbers:
                continue  # counted as a part number
            tokens = frozenset(_words(meaning.text))
            told = info(tokens) * (BARE_NUMBER if meaning.key.isdigit() else 1.0)
            yield Item("word", meaning, (), tokens, frozenset(), frozenset(), told)
            continue
        known = [concept for one in meaning.concepts if (concept := lexicon.concepts[one]).type != Type.QUALITY]
        if meaning.concepts in seen or not known:
            continue
        seen.add(meaning.concepts)
        exact = frozenset(token_of(LETTER[one.type], one.key) for one in known)
        looser = frozenset(token_of(LETTER[one.type], wider) for one in known for wider in lexicon.lineage(one.key)[1:])
        against = frozenset(
            token_of(LETTER[one.type], other) for one in known for other in lexicon.groups.get(one.group, ())
        )
        yield Item(
            str(known[0].type),
            meaning,
            tuple(one.key for one in known),
            exact,
            looser - exact,
            against - exact - looser,
            info(exact),
        )


def _size_items(facts: Facts, info: Callable[[frozenset[str]], float]) -> Iterator[SizeItem]:
    places: dict[int, list[SizeFact]] = {}
    for size in facts.sizes:
        places.setdefault(size.place, []).append(size)
    if any(not _is_derived(one) for one in facts.sizes):
        places = {place: sizes for place, sizes in places.items() if not all(map(_is_derived, sizes))}
    for readings in places.values():
        tokens = frozenset(token for one in readings for token in size_steps(one, around=1)[0])
        yield SizeItem(tuple(readings), info(tokens))


def _is_derived(size: SizeFact) -> bool:
    return size.weight <= 0.5


def _quick(
    items: tuple[Item, ...], sizes: tuple[SizeItem, ...], numbers: tuple[NumberItem, ...], lexicon: Lexicon
) -> dict[str, float]:
    found: dict[str, float] = {}

    def add(tokens: frozenset[str] | tuple[str, ...], points: float) -> None:
        for token in tokens:
            found[token] = max(found.get(token, 0.0), points)

    for item in items:
        weight = _QUICK.get(item.what, 0.6)
        add(item.exact, (0.5 + item.info) * weight)
        add(item.looser, 0.3 * weight)
        if item.what == "thing":
            classes = (one for concept in item.concepts for one in lexicon.classes(concept))
            add(tuple(token_of("c", one) for one in classes), 0.4)
    for size in sizes:
        for reading in size.readings:
            fine, coarse = size_steps(reading, around=1)
            add(fine, 1.2)
            add(coarse, 0.8)
    for number in numbers:
        add(number.exact, 4.0)
        add(number.misread, 2.5)
        add(tuple("d" + start.lower() for start in number.beginnings), 1.2)
    return found
