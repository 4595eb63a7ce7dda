"""Reads a text into facts: numbers by the domain's size reader, words by the lexicon.

Order: part numbers and sizes are cut out first, so that "3/8 in" leaves no
"in" behind; then the longest phrases the lexicon knows; then compounds; then
spelling. What nobody knows stays a word.
"""

import re
from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from dataclasses import replace
from functools import lru_cache

from server.domain.parts import part_classes
from server.domain.quantities import Kind
from server.domain.reading_sizes import Size
from server.domain.reading_text import read_sizes
from server.matching.designators import designator_form
from server.matching.facts import Designator, Facts, Meaning, Span, Structured
from server.matching.folding import LONGEST_WORD, key_of, singulars, words_of
from server.matching.lexicon import CLASS_THING, LONGEST_PHRASE, Lexicon, Type, standard_lexicon, word_list
from server.matching.size_facts import role_of, size_facts
from server.matching.spelling import Speller

__all__ = ["read_facts", "role_of"]

LONGEST_TEXT = 4000
"""Signs of a text that are read; the rest of a pasted advert is left unread."""
MOST_MEANINGS = 60

CONNECTORS = word_list("little")
"""Little words of several languages: what stands behind them is what the part goes with; none is a word to compare."""
_BREAK = re.compile(r"[,;|()\n\r:/]|\s[-–—]\s")
_FIGURE = re.compile(r"\d")
THREAD_FORMS = {
    "M": "thread_metric",
    "UNF": "thread_unf",
    "UNC": "thread_unc",
    "BSF": "thread_bsf",
    "BSW": "thread_bsw",
    "BA": "thread_ba",
    "CEI": "thread_cei",
    "BSP": "thread_bsp",
    "BSPT": "thread_bsp",
    "NPT": "thread_npt",
}
"""The size reader's thread forms and the concepts they are."""
_ANGLES = {78: "angle_78", 82: "angle_82", 90: "angle_90", 100: "angle_100", 120: "angle_120"}


_speller = lru_cache(maxsize=4)(Speller)


def read_facts(
    text: str,
    *,
    structured: Structured | None = None,
    lexicon: Lexicon | None = None,
    numbers_in_use: AbstractSet[str] = frozenset(),
) -> Facts:
    """Everything a need's or find's text says, with what the register knows of it already.

    `numbers_in_use` are the register's part numbers in small letters and
    digits ("ms20470ad45"), recognised even where blanks tear them apart. Any
    text is taken; one beyond 4,000 signs is cut. Nothing is raised.
    """
    known = structured or Structured()
    words = lexicon or standard_lexicon()
    said = text.replace("\x00", " ")[:LONGEST_TEXT]
    reading = read_sizes(said, numbers_in_use)
    numbers = [
        Designator(form, shown, span)
        for shown, span in zip(reading.designators, reading.designator_spans, strict=False)
        if (form := designator_form(shown))
    ]
    numbers += [Designator(form, shown) for shown in known.designations if (form := designator_form(shown))]
    cut = [size.span for size in reading.sizes] + [one.span for one in reading.amounts] + list(reading.designator_spans)
    kept = _kept(_blanked(said, cut), reading.rest)
    meanings = _meanings(said, kept, words)
    meanings += [meaning for number in numbers for meaning in _standard_meanings(number, words)]
    meanings += [meaning for size in reading.sizes for meaning in (*_angle_meanings(size), *_thread_meanings(size))]
    meanings += _register_meanings(known, words)
    numbers += _left_numbers(meanings)
    pipe_thread = any("pipe_thread" in words.lineage(concept) for one in meanings for concept in one.concepts)
    sizes = size_facts(said, kept, reading, classes_of(meanings, words), known, pipe_thread=pipe_thread)
    measured = [size.span for size in sizes if size.span]
    meanings = [one for one in meanings if one.concepts or not _lies_in(one.span, measured)]
    return Facts(
        said,
        tuple(meanings[:MOST_MEANINGS]),
        sizes,
        tuple({one.form: one for one in reversed(numbers)}.values()),
        known.part_class,
        known.aeroplane,
    )


def classes_of(meanings: Iterable[Meaning], lexicon: Lexicon) -> frozenset[str]:
    """The part classes of all things that are named; empty where no thing is."""
    return frozenset(
        part_class for meaning in meanings for concept in meaning.concepts for part_class in lexicon.classes(concept)
    )


def _lies_in(span: Span | None, others: list[Span]) -> bool:
    return span is not None and any(start <= span[0] and span[1] <= end for start, end in others)


def _blanked(text: str, spans: Iterable[Span]) -> str:
    signs = list(text)
    for start, end in spans:
        signs[start:end] = "\x1f" * (min(end, len(signs)) - start)
    return "".join(signs)


def _kept(text: str, rest: str) -> str:
    """The text with everything blanked that is not among the words the size reader left, each in its place."""
    signs = [sign if not sign.isalnum() else "\x1f" for sign in text]
    at = 0
    for word in rest.split():
        found = text.find(word, at)
        if found >= 0:
            at = found + len(word)
            signs[found:at] = word
    return "".join(signs)


# --- words ------------------------------------------------------------------------------------------------------------


def _meanings(text: str, blanked: str, lexicon: Lexicon) -> list[Meaning]:
    words = [(word, start, end) for word, start, end in words_of(blanked) if len(word) <= LONGEST_WORD]
    raw = [key_of(word) for word, _, _ in words]
    keys = [_spelt(key, lexicon) for key in raw]
    found: list[Meaning] = []
    parts: list[int] = []
    part = 0
    at = 0
    while at < len(words) and len(found) < MOST_MEANINGS:
        if at and _BREAK.search(blanked, words[at - 1][2], words[at][1]):
            part += 1
        length, senses = _longest(keys, at, _run(blanked, words, at), lexicon)
        if not senses and words[at][0] in CONNECTORS:
            part += 1
            at += 1
            continue
        span = (words[at][1], words[at + length - 1][2])
        if senses:
            new = _phrase(text, span, keys[at : at + length], senses, lexicon)
            if keys[at : at + length] != raw[at : at + length]:
                mended = " ".join(lexicon.written.get(key, key) for key in keys[at : at + length])
                new = [replace(one, corrected=mended) for one in new]
        else:
            new = _unknown(text, span, raw[at], lexicon)
        found += new
        parts += [part] * len(new)
        at += length
    return _with_head(found, parts, lexicon)


def _run(text: str, words: list[tuple[str, int, int]], at: int) -> int:
    """How many words from here on may be one phrase: nothing between them but blanks, hyphens, points and strokes."""
    length = 1
    while length < LONGEST_PHRASE and at + length < len(words):
        if text[words[at + length - 1][2] : words[at + length][1]].strip(" \t-–'’./&"):
            break
        length += 1
    return length


def _longest(keys: list[str], at: int, run: int, lexicon: Lexicon) -> tuple[int, tuple[tuple[str, str], ...]]:
    for length in range(run, 0, -1):
        senses = lexicon.senses_of(tuple(keys[at : at + length]))
        if senses and not (length > 1 and keys[at] in CONNECTORS):
            return length, senses
    return 1, ()


def _phrase(
    text: str, span: Span, keys: list[str], senses: tuple[tuple[str, str], ...], lexicon: Lexicon
) -> list[Meaning]:
    """A phrase's meaning, and before it what its parts say besides: the brass of a brass eyelet."""
    whole = Meaning(text[span[0] : span[1]], "".join(keys), tuple(sense[0] for sense in senses), senses[0][1], span)
    if not any(lexicon.concepts[concept].type == Type.THING for concept in whole.concepts):
        return [whole]
    aside: list[Meaning] = []
    if len(keys) > 1:
        parts = [tuple(keys[a:b]) for a in range(len(keys)) for b in range(a + 1, len(keys) + 1) if b - a < len(keys)]
        for part in sorted(parts, key=len, reverse=True):
            extra = _not_things(lexicon.senses_of(part), whole.concepts, lexicon)
            if extra and not any(set(extra) & set(one.concepts) for one in aside):
                aside.append(Meaning(" ".join(part), "".join(part), extra, senses[0][1], span))
    else:
        for key, inner in _split_compound(keys[0], lexicon)[:-1]:
            extra = _not_things(inner, whole.concepts, lexicon)
            if extra:
                aside.append(Meaning(key, key, extra, senses[0][1], span))
    return [*aside, whole]


def _not_things(senses: tuple[tuple[str, str], ...], besides: tuple[str, ...], lexicon: Lexicon) -> tuple[str, ...]:
    return tuple(
        concept
        for concept, _ in senses
        if concept not in besides and lexicon.concepts[concept].type not in {Type.THING, Type.QUALITY, Type.OTHER}
    )


def _spelt(key: str, lexicon: Lexicon) -> str:
    """The key itself where it is known or an ordinary word, else the dictionary's word it was meant to be."""
    if lexicon.knows(key) or _split_compound(key, lexicon):
        return key
    return next((word for form in singulars(key) if (word := _speller(lexicon).mend(form))), key)


def _unknown(text: str, span: Span, key: str, lexicon: Lexicon) -> list[Meaning]:
    shown = text[span[0] : span[1]]
    compound = _split_compound(key, lexicon)
    if compound:
        return [
            Meaning(shown, part, tuple(sense[0] for sense in senses), senses[0][1], span) for part, senses in compound
        ]
    if len(key) < 2 and not key.isdigit():
        return []
    return [Meaning(shown, min(singulars(key)[:2], key=len), (), "", span)]


_JOINTS = ("", "s", "n", "en", "es", "er", "e")


@lru_cache(maxsize=20_000)
def _cuts(key: str) -> tuple[tuple[str, str], ...]:
    """Ways to cut a compound in two, the longest last part first."""
    found: list[tuple[str, str]] = []
    for at in range(3, len(key) - 2):
        first, last = key[:at], key[at:]
        for joint in _JOINTS:
            if joint and not first.endswith(joint):
                continue
            stem = first[: len(first) - len(joint)] if joint else first
            if len(stem) >= 3:
                found.append((stem, last))
    return tuple(found)


def _split_compound(key: str, lexicon: Lexicon) -> list[tuple[str, tuple[tuple[str, str], ...]]]:
    """A German compound as its parts, the last naming the thing: "birkensperholz" → birch, plywood. Empty if none."""
    if len(key) < 7 or not key.isalpha() or len(key) > 36:
        return []
    for stem, last in _cuts(key):
        last_senses = _of_german(lexicon.senses_of((last,)))
        if not last_senses or (len(last) < 4 and last not in _SHORT_PARTS):
            continue
        first_senses = _of_german(lexicon.senses.get(stem, ()))
        if first_senses and (len(stem) >= 4 or stem in _SHORT_PARTS):
            return [(stem, first_senses), (last, last_senses)]
        if len(stem) >= 7:
            inner = _split_compound(stem, lexicon)
            if inner:
                return [*inner, (last, last_senses)]
    return []


_SHORT_PARTS = frozenset({"rad", "ol", "alu", "uhr", "tor", "gas", "rot"})


def _of_german(senses: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    return tuple(sense for sense in senses if sense[1] == "de")


def _with_head(found: list[Meaning], parts: list[int], lexicon: Lexicon) -> list[Meaning]:
    """Marks the words that name the thing: the last ones in the first part of the text that names any.

    Others beside them in that part may name it too: "Bolzen Umlenkhebel" is a bolt.
    """

    def is_thing(meaning: Meaning) -> bool:
        return any(lexicon.concepts[concept].type == Type.THING for concept in meaning.concepts)

    first = next((part for meaning, part in zip(found, parts, strict=True) if is_thing(meaning)), None)
    if first is None:
        return found
    beside = [at for at, meaning in enumerate(found) if parts[at] == first and is_thing(meaning)]
    head = beside[0] if _noun_first(found) else beside[-1]
    for at in beside:
        found[at] = replace(found[at], is_head=at == head, may_be_head=at != head)
    return found


def _noun_first(found: list[Meaning]) -> bool:
    """Is the text French or Italian, where the noun stands before what describes it?"""
    romance = sum(meaning.language in {"fr", "it"} for meaning in found)
    return romance > sum(meaning.language in {"en", "de", "shop"} for meaning in found)


# --- what numbers and the register say --------------------------------------------------------------------------------


def _standard_meanings(number: Designator, lexicon: Lexicon) -> list[Meaning]:
    found = []
    concepts = lexicon.standard(number.form)
    if not concepts and number.form[0].isdigit():
        first = re.split(r"[^0-9A-Za-z]", number.text)[0]
        concepts = lexicon.standard("AN" + first.upper())  # "470AD4-6" as people say it
    for concept in concepts:
        is_thing = concept in lexicon.concepts and lexicon.concepts[concept].type == Type.THING
        found.append(Meaning(number.text, "", (concept,), "number", number.span, is_head=is_thing))
    return [one for one in found if one.concepts[0] in lexicon.concepts]


def _angle_meanings(size: Size) -> list[Meaning]:
    if size.quantity.kind is not Kind.ANGLE or size.quantity.value is None or size.quantity.value.denominator != 1:
        return []
    concept = _ANGLES.get(int(size.quantity.value))
    return [Meaning(size.quantity.text, concept, (concept,), "en", size.span)] if concept else []


def _thread_meanings(size: Size) -> list[Meaning]:
    if size.thread is None or size.thread.form not in THREAD_FORMS:
        return []
    return [Meaning(size.quantity.text, "", (THREAD_FORMS[size.thread.form],), "number", size.span)]


def _left_numbers(meanings: list[Meaning]) -> list[Designator]:
    """Words nobody knows that look like a part number: four signs at least, with a figure among them ("13836")."""
    return [
        Designator(form, one.text, one.span)
        for one in meanings
        if not one.concepts and (form := designator_form(one.text)) and len(form) >= 4 and _FIGURE.search(form)
    ]


def _register_meanings(known: Structured, lexicon: Lexicon) -> list[Meaning]:
    found: list[Meaning] = []
    for words in (known.material, *known.words, known.side):
        if words:
            found += [
                Meaning(one.text, one.key, one.concepts, one.language, None, one.corrected)
                for one in _meanings(words, words, lexicon)
                if one.concepts
            ]
    if known.part_class in CLASS_THING:
        found.append(
            Meaning(
                part_classes()[known.part_class].name,
                "",
                (CLASS_THING[known.part_class],),
                "register",
                None,
                is_head=True,
            )
            if known.part_class in part_classes()
            else Meaning(known.part_class, "", (CLASS_THING[known.part_class],), "register", None, is_head=True)
        )
    return found
