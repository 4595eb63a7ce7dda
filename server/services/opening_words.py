"""Which accepted words of a part class stand in a running text, in any of the languages that the register knows."""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from server.domain.parts import part_class
from server.domain.parts._kit import Characteristic, Choice, PartClass, fold_word
from server.matching.facts import Facts, Meaning
from server.matching.folding import key_of, words_of
from server.matching.lexicon import CLASS_THING, LONGEST_PHRASE, Lexicon, Type, standard_lexicon
from server.services.opening_sizes import CONDITION, GivenText, Span

_SAY_LITTLE = frozenset(
    "no none not yes ja nein oui non new used other unknown left right port starboard links rechts gauche droite "
    "sinistra destra single double open light both across along type special round.".split()
)
"""Accepted words that mean too many things in a running text to be taken from it."""

_TOKEN = re.compile(r"[^\s,;|()\"“”_-]+")
_PIECE = re.compile(r"[,;|()\n]")
_MOST_TOKENS = 6
_TREATED = ("varnish", "paint", "coat", "oil", "wax", "impregnat", "lacquer")
_WOODS = frozenset({"wood", "timber"})

Hit = tuple[str, str]
"""Keys of a characteristic and of one of its choices."""


def words_given(known: PartClass, facts: Facts, text: str, aside: Sequence[Span]) -> Iterator[GivenText]:
    """Accepted words of the class that the line holds. `aside` are clauses about what the part goes with."""
    phrases, concepts = _tables(known.key)
    taken: list[Span] = []
    tokens = [token for token in _tokens(text, [size.span for size in facts.sizes if size.span]) if _free(token[1], aside)]
    for length in range(min(_MOST_TOKENS, len(tokens)), 0, -1):
        for at in range(len(tokens) - length + 1):
            run = tokens[at : at + length]
            span = (run[0][1][0], run[-1][1][1])
            hit = phrases.get(" ".join(token[0] for token in run))
            if hit is None or run[0][2] != run[-1][2] or not _free(span, taken):
                continue
            one, choice = _of(known, hit)
            if _is_place(text[span[0] : span[1]]) or _is_treated(choice, facts):
                continue
            taken.append(span)
            yield GivenText(one, text[span[0] : span[1]].strip(" ."), span)
    for meaning in facts.meanings:
        if meaning.span is None or meaning.language == "number" or not _free(meaning.span, aside):
            continue
        hits = {concepts[concept] for concept in meaning.concepts if concept in concepts}
        if len(hits) == 1:
            one, choice = _of(known, hits.pop())
            if not _is_treated(choice, facts):
                yield GivenText(one, choice.label, meaning.span)
    yield from _material(known, facts, aside)


def _of(known: PartClass, hit: Hit) -> tuple[Characteristic, Choice]:
    one = known.characteristic(hit[0])
    assert one is not None
    return one, next(choice for choice in one.choices if choice.key == hit[1])


def _tokens(text: str, sizes: Sequence[Span]) -> list[tuple[str, Span, int]]:
    """Folded words with their place and the piece of the line they stand in; sizes are no words."""
    found: list[tuple[str, Span, int]] = []
    breaks = [one.start() for one in _PIECE.finditer(text)]
    for token in _TOKEN.finditer(text):
        word = fold_word(token.group().strip(".:/"))
        piece = sum(1 for at in breaks if at < token.start())
        if word and not any(start <= token.start() and token.end() <= end for start, end in sizes):
            found.append((word, token.span(), piece))
    return found


def _free(span: Span, taken: Sequence[Span]) -> bool:
    return not any(start < span[1] and span[0] < end for start, end in taken)


def _is_place(phrase: str) -> bool:
    """Words that name a place of the aeroplane: "Flügel" is where it goes, not a thumb screw's head."""
    return any(standard_lexicon().concepts[one.concept].type is Type.PLACE for one in _senses(phrase))


def _senses(phrase: str) -> tuple[object, ...] | tuple:  # type: ignore[type-arg]
    keys = tuple(key_of(word) for word, _, _ in words_of(phrase))
    return standard_lexicon().senses_of(keys) if 0 < len(keys) <= LONGEST_PHRASE else ()


def _is_treated(choice: Choice, facts: Facts) -> bool:
    """ "Cotton, not varnished" is not read out of a line that speaks of varnish."""
    label = choice.label.casefold()
    if " not " not in f" {label} " and "untreated" not in label:
        return False
    return any(concept.startswith(_TREATED) for meaning in facts.meanings for concept in meaning.concepts)
