"""Words into meanings: the longest phrases first, then compounds, then spelling; and which words name the thing."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from server.matching.compounds import split_compound
from server.matching.facts import Meaning, Span
from server.matching.folding import LONGEST_WORD, key_of, singulars, words_of
from server.matching.lexicon import LONGEST_PHRASE, Lexicon, Sense, Type, word_list
from server.matching.spelling import Speller

MOST_MEANINGS = 60

CONNECTORS = word_list("little")
"""Little words of several languages: what stands behind them is what the part goes with; none is a word to compare."""
_BREAK = re.compile(r"[,;|()\n\r:/]|\s[-–—]\s")
_BETWEEN = " \t-–'’./&"
_speller = lru_cache(maxsize=4)(Speller)


@dataclass(slots=True)
class _Said:
    """A meaning under way: the senses it may have, and the part of the text it stands in."""

    meaning: Meaning
    senses: tuple[Sense, ...]
    part: int


def read_meanings(text: str, kept: str, lexicon: Lexicon) -> list[Meaning]:
    """The meanings of all words of a text, in order, at most sixty.

    `kept` is the text with everything blanked that is no word; places are
    those of `text`. Words that nobody knows have no concepts.
    """
    words = [(word, start, end) for word, start, end in words_of(kept) if len(word) <= LONGEST_WORD]
    raw = [key_of(word) for word, _, _ in words]
    keys = [_spelt(key, lexicon) for key in raw]
    lengths = _segments(keys, [_run(kept, words, at) for at in range(len(words))], lexicon)
    found: list[_Said] = []
    part = at = 0
    while at < len(words) and len(found) < MOST_MEANINGS:
        if at and _BREAK.search(kept, words[at - 1][2], words[at][1]):
            part += 1
        length = lengths[at]
        senses = _senses(keys, at, length, lexicon)
        if not senses and words[at][0] in CONNECTORS:
            part += 1
            at += 1
            continue
        span = (words[at][1], words[at + length - 1][2])
        if senses:
            new = _phrase(text, span, keys[at : at + length], senses, lexicon)
            if keys[at : at + length] != raw[at : at + length]:
                mended = " ".join(lexicon.written.get(key, key) for key in keys[at : at + length])
                for one in new:
                    one.meaning = replace(one.meaning, corrected=mended)
        else:
            new = _unknown(text, span, raw[at], lexicon)
        for one in new:
            one.part = part
        found += new
        at += length
    return _with_head(_in_one_language(found), lexicon)


def _run(text: str, words: list[tuple[str, int, int]], at: int) -> int:
    """How many words from here on may be one phrase: nothing between them but blanks, hyphens, points and strokes."""
    length = 1
    while length < LONGEST_PHRASE and at + length < len(words):
        if text[words[at + length - 1][2] : words[at + length][1]].strip(_BETWEEN):
            break
        length += 1
    return length


def _senses(keys: list[str], at: int, length: int, lexicon: Lexicon) -> tuple[Sense, ...]:
    # "l/h" begins with a French article, and is none
    if length > 1 and keys[at] in CONNECTORS and len(keys[at]) > 1:
        return ()
    return lexicon.senses_of(tuple(keys[at : at + length]))


def _segments(keys: list[str], runs: list[int], lexicon: Lexicon) -> list[int]:
    """How many words the phrase that begins at each word has, so that the phrases of the text are longest together.

    Of two cuts as good the one with the longer last phrase is taken, for there
    the thing is named: a radiator | hose clip, no radiator hose | clip.
    """
    worth = [0] * (len(keys) + 1)
    lengths = [1] * len(keys)
    for at in range(len(keys) - 1, -1, -1):
        best = 1 + worth[at + 1]
        for length in range(2, runs[at] + 1):
            if length * length + worth[at + length] > best and _senses(keys, at, length, lexicon):
                best = length * length + worth[at + length]
                lengths[at] = length
        worth[at] = best
    return lengths


def _concepts(senses: Iterable[Sense]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(sense.concept for sense in senses))


def _said(text: str, key: str, senses: tuple[Sense, ...], span: Span) -> _Said:
    return _Said(Meaning(text, key, _concepts(senses), senses[0].language, span), senses, 0)


def _phrase(text: str, span: Span, keys: list[str], senses: tuple[Sense, ...], lexicon: Lexicon) -> list[_Said]:
    """A phrase's meaning, and before it what its parts say besides: the brass of a brass eyelet."""
    whole = _said(text[span[0] : span[1]], "".join(keys), senses, span)
    if not _is_thing(whole.meaning, lexicon):
        return [whole]
    aside: list[_Said] = []
    for key, inner in _inside(keys, lexicon):
        extra = tuple(
            sense
            for sense in inner
            if sense.concept not in whole.meaning.concepts and _describes(lexicon.concepts[sense.concept].type)
        )
        if extra and not any(set(_concepts(extra)) & set(one.meaning.concepts) for one in aside):
            aside.append(_said(key, key, extra, span))
    return [*aside, whole]


def _inside(keys: list[str], lexicon: Lexicon) -> list[tuple[str, tuple[Sense, ...]]]:
    """The shorter phrases within a phrase, or the first parts of a compound."""
    if len(keys) == 1:
        return split_compound(keys[0], lexicon)[:-1]
    parts = [tuple(keys[a:b]) for a in range(len(keys)) for b in range(a + 1, len(keys) + 1) if b - a < len(keys)]
    return [(" ".join(part), lexicon.senses_of(part)) for part in sorted(parts, key=len, reverse=True)]


def _describes(kind: Type) -> bool:
    return kind not in {Type.THING, Type.QUALITY, Type.OTHER}


def _spelt(key: str, lexicon: Lexicon) -> str:
    """The key itself where it is known or an ordinary word, else the dictionary's word it was meant to be."""
    if lexicon.knows(key) or split_compound(key, lexicon):
        return key
    return next((word for form in singulars(key) if (word := _speller(lexicon).mend(form))), key)


def _unknown(text: str, span: Span, key: str, lexicon: Lexicon) -> list[_Said]:
    shown = text[span[0] : span[1]]
    compound = split_compound(key, lexicon)
    if compound:
        return [_said(shown, part, senses, span) for part, senses in compound]
    if len(key) < 2 and not key.isdigit():
        return []
    return [_Said(Meaning(shown, min(singulars(key)[:2], key=len), (), "", span), (), 0)]


def _in_one_language(found: list[_Said]) -> list[_Said]:
    """Words that mean different things in different languages keep the meaning of the text's own: "links" is left
    in a German note and shackles in an English one.
    """
    spoken = [{_language(sense) for sense in one.senses} for one in found]
    votes = Counter(language for languages in spoken if len(languages) == 1 for language in languages)
    if not votes:
        return found
    (language, count), *others = votes.most_common()
    if others and others[0][1] == count:
        return found
    for one in found:
        if len(one.meaning.concepts) > 1:
            own = tuple(sense for sense in one.senses if _language(sense) == language)
            if own:
                one.senses = own
                one.meaning = replace(one.meaning, concepts=_concepts(own), language=language)
    return found


def _language(sense: Sense) -> str:
    """The shop's own words are counted as English."""
    return "en" if sense.language == "shop" else sense.language


def _is_thing(meaning: Meaning, lexicon: Lexicon) -> bool:
    return any(lexicon.concepts[concept].type == Type.THING for concept in meaning.concepts)


def _with_head(found: list[_Said], lexicon: Lexicon) -> list[Meaning]:
    """Marks the words that name the thing: the last ones in the first part of the text that names any.

    Others beside them in that part may name it too: "Bolzen Umlenkhebel" is a bolt.
    """
    meanings = [one.meaning for one in found]
    first = next((one.part for one in found if _is_thing(one.meaning, lexicon)), None)
    beside = [at for at, one in enumerate(found) if one.part == first and _is_thing(one.meaning, lexicon)]
    if beside:
        # what may also be a material ("Schultergurt Segeltuch") names the thing only where nothing else does
        sure = [at for at in beside if not _may_describe(meanings[at], lexicon)] or beside
        head = sure[0] if _noun_first(meanings) else sure[-1]
        for at in beside:
            meanings[at] = replace(meanings[at], is_head=at == head, may_be_head=at != head)
    return meanings


def _may_describe(meaning: Meaning, lexicon: Lexicon) -> bool:
    return any(lexicon.concepts[concept].type in {Type.MATERIAL, Type.KIND, Type.SIDE} for concept in meaning.concepts)


def _noun_first(meanings: list[Meaning]) -> bool:
    """Is the text French or Italian, where the noun stands before what describes it?"""
    romance = sum(one.language in {"fr", "it"} for one in meanings)
    return romance > sum(one.language in {"en", "de", "shop"} for one in meanings)
