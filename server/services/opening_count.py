"""How many, where a line begins with it and says no word for it: "40 semi tubular rivets".

Taken only where the figure can be nothing else: the noun is in the plural,
and between the two stands only what describes it. "20 brass tube" may be a
size, "8 wood screws" a gauge number, "195 aluminium castings" an alloy:
there the quantity stays open. Source: common practice.
"""

import re
from collections.abc import Sequence

from server.domain.reading_fold import word_set
from server.domain.reading_words import COUNTED
from server.matching.facts import Facts
from server.matching.folding import key_of, singulars, words_of
from server.matching.lexicon import Type, standard_lexicon
from server.services.opening_sizes import Span

_LEADING = re.compile(r"\s*([1-9][0-9]{0,2})[ \t]+(?=[^\W\d_])")
_FEATURES = word_set(
    "strand strands row rows hole holes stud studs tooth teeth blade blades leaf leaves start turn turns lobe flute "
    "way pole pin core point wire link piece part star speed stage gauge degree deg volt amp watt mesh ply layer lug "
    "eye lagig polig adrig loch"
)
"""What a part has several of: the figure before them counts those, and not the parts."""
_NO_ALLOYS = frozenset({"100", "200", "500"})
"""Figures of three digits that may stand before a metal and are no alloy's number, such as 195, 302 or 660."""
_DESCRIBES = {Type.MATERIAL, Type.KIND, Type.SIDE}


def leading_count(text: str, noun: Span, language: str, facts: Facts, taken: Sequence[Span]) -> str:
    """The figure that a line begins with, where it counts the parts; "" where it does not, or may not.

    `noun` is the place of the part's name and `language` the name's, `taken` are places that were read as something
    else.
    """
    found = _LEADING.match(text)
    if found is None or any(start < found.end(1) and found.start(1) < end for start, end in taken):
        return ""
    between = text[found.end() : noun[0]]
    words = words_of(text[found.end() : noun[1]])
    if not words or noun[0] < found.end() or re.search(r"[^\w\s-]", between):
        return ""
    if words[0][0] in _FEATURES or COUNTED.match(text.casefold(), found.start(1)):
        return ""
    kinds = [_types(facts, found.end() + start) for _, start, _ in words_of(between)]
    if not all(one & _DESCRIBES for one in kinds):
        return ""
    if len(found.group(1)) > 2 and found.group(1) not in _NO_ALLOYS and kinds and Type.MATERIAL in kinds[0]:
        return ""
    return found.group(1) if _is_plural(words[-1][0], language) else ""


def _types(facts: Facts, at: int) -> set[Type]:
    concepts = standard_lexicon().concepts
    return {
        concepts[key].type
        for one in facts.meanings
        if one.span is not None and one.span[0] <= at < one.span[1]
        for key in one.concepts
        if key in concepts
    }


def _is_plural(word: str, language: str) -> bool:
    """True where the dictionary knows the word's singular as the same thing; "Bolzen" is both and says nothing."""
    key, lexicon = key_of(word), standard_lexicon()
    if key.endswith("ss") or (language != "de" and not key.endswith(("s", "x"))):
        return False
    meant = {sense.concept for sense in lexicon.senses_of((key,))}
    shorter = [form for form in (*singulars(key), key.removesuffix("s")) if form != key]
    return any(meant & {sense.concept for sense in lexicon.senses.get(form, ())} for form in shorter)
