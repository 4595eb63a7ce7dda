"""Reads a text into facts: numbers by the domain's size reader, words by the lexicon.

Order: part numbers and sizes are cut out first, so that "3/8 in" leaves no
"in" behind; then the longest phrases the lexicon knows; then compounds; then
spelling. What nobody knows stays a word.
"""

import re
from collections.abc import Iterable
from collections.abc import Set as AbstractSet

from server.domain.parts import part_classes
from server.domain.quantities import Kind
from server.domain.reading import Size, read_sizes
from server.domain.reading_context import is_of_standard, is_year
from server.domain.reading_fold import fold
from server.matching.designators import designator_form
from server.matching.facts import Designator, Facts, Meaning, Span, Structured
from server.matching.lexicon import CLASS_THING, Lexicon, Type, standard_lexicon
from server.matching.meanings import CONNECTORS, MOST_MEANINGS, read_meanings
from server.matching.size_facts import role_of, size_facts

__all__ = ["CONNECTORS", "read_facts", "role_of"]

LONGEST_TEXT = 4000
"""Signs of a text that are read; the rest of a pasted advert is left unread."""

_FIGURES = {
    word: str(figure)
    for figure, words in enumerate(
        (
            "one",
            "two zwei deux",
            "three drei trois",
            "four vier quatre",
            "five cinq",
            "six sechs",
            "seven sieben sept",
            "eight acht huit",
            "nine neun neuf",
            "ten zehn dix",
        ),
        start=1,
    )
    for word in words.split()
}
_WORD_NUMBER = re.compile(
    rf"\b(?:{'|'.join(_FIGURES)})"
    r"(?=[ -](?:ba|inch|inches|zoll|mm|mil|cm|foot|feet|ft|metres?|meters?|volts?|amps?|watts?)\b)",
    re.IGNORECASE,
)
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
    counted = _WORD_NUMBER.sub(_figure, said)
    reading = read_sizes(counted, numbers_in_use)
    numbers = [
        Designator(form, shown, span)
        for shown, span in zip(reading.designators, reading.designator_spans, strict=False)
        if (form := designator_form(shown))
    ]
    numbers += [Designator(form, shown) for shown in known.designations if (form := designator_form(shown))]
    cut = [size.span for size in reading.sizes] + [one.span for one in reading.amounts] + list(reading.designator_spans)
    kept = _kept(_blanked(counted, cut), reading.rest)
    meanings = read_meanings(said, kept, words)
    meanings += [meaning for number in numbers for meaning in _standard_meanings(number, words)]
    meanings += [meaning for size in reading.sizes for meaning in (*_angle_meanings(size), *_thread_meanings(size))]
    meanings += _register_meanings(known, words)
    numbers += _left_numbers(meanings, fold(counted))
    pipe_thread = any("pipe_thread" in words.lineage(concept) for one in meanings for concept in one.concepts)
    sizes = size_facts(counted, kept, reading, classes_of(meanings, words), known, pipe_thread=pipe_thread)
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


def _figure(found: re.Match[str]) -> str:
    """A number spoken as a word, as a figure in the same place: "two BA" → "  2 BA"."""
    word = found.group()
    return _FIGURES[word.casefold()].rjust(len(word))


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


# --- what numbers and the register say --------------------------------------------------------------------------------


def _standard_meanings(number: Designator, lexicon: Lexicon) -> list[Meaning]:
    found = []
    concepts = lexicon.standard(number.text)
    if not concepts and number.form[0].isdigit():
        concepts = lexicon.standard("AN" + number.text)  # "470AD4-6" as people say it
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


def _left_numbers(meanings: list[Meaning], low: str) -> list[Designator]:
    """Words nobody knows that look like a part number: four signs at least, with a figure among them ("13836").

    Years and the numbers of standards bodies stay words. `low` is the folded text.
    """
    return [
        Designator(form, one.text, one.span)
        for one in meanings
        if not one.concepts
        and (form := designator_form(one.text))
        and len(form) >= 4
        and _FIGURE.search(form)
        and not (one.span and (is_year(low, *one.span) or is_of_standard(low, one.span[0])))
    ]


def _register_meanings(known: Structured, lexicon: Lexicon) -> list[Meaning]:
    found: list[Meaning] = []
    for words in (known.material, *known.words, known.side):
        if words:
            found += [
                Meaning(one.text, one.key, one.concepts, one.language, None, one.corrected)
                for one in read_meanings(words, words, lexicon)
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
