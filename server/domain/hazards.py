"""Materials that hurt: what to say beside a part, and that nothing of the kind is fitted again unasked.

A like-for-like replacement in a refused material is never proven; one that
may be handled with care is a person's to answer for. Limits change and are
not stored; the local authority and licensed people decide.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache

from server.domain.handbook import SHIPPED, Handbook
from server.domain.material_table import source_of
from server.domain.material_words import fold_material, without_free
from server.domain.offer import Offered, Origin
from server.domain.parts._kit import Case
from server.domain.sources import Source, common_practice
from server.domain.specification import Wanted
from server.domain.tables.read import read_table
from server.domain.verdict import Concern, MeasureNext, Row, Verdict


class Level(StrEnum):
    """What a hazard means for a replacement."""

    REFUSED = "refused"
    SUSPECT = "suspect"
    HANDLE = "handle"


@dataclass(frozen=True, slots=True)
class Hazard:
    """One kind of harm: its words, the materials that are it, what to say, and what takes over its work."""

    key: str
    name: str
    pattern: re.Pattern[str]
    bases: frozenset[str]
    level: Level
    caution: str
    instead: str
    source: Source


@cache
def all_hazards() -> tuple[Hazard, ...]:
    """Every hazard of the table."""
    return tuple(
        Hazard(
            row["key"],
            row["name"],
            _words(row["words"]),
            frozenset(row["bases"].split(";")) - {""},
            Level(row["level"]),
            row["caution"],
            row["instead"],
            source_of(row["source"] or "shop practice", row["source_status"]),
        )
        for row in read_table("hazards")
    )


def _words(listed: str) -> re.Pattern[str]:
    made = []
    for word in listed.split(";"):
        folded = fold_material(word.rstrip("*"))
        ending = r"\w*" if word.endswith("*") else r"(?!\w)"
        made.append(re.escape(folded).replace(r"\ ", r"[ -]+") + ending)
    return re.compile(rf"(?<!\w)(?:{'|'.join(made)})")


def hazards_in(texts: Iterable[str]) -> tuple[Hazard, ...]:
    """Hazards named in these words; "asbestos-free" and "ohne Blei" name none."""
    return _hazards_said(" | ".join(fold_material(text) for text in texts))


@lru_cache(maxsize=4096)
def _hazards_said(folded: str) -> tuple[Hazard, ...]:
    said = " | ".join(without_free(text) for text in folded.split(" | "))
    return tuple(one for one in all_hazards() if one.pattern.search(said))


def hazards_of_material(text: str, handbook: Handbook = SHIPPED) -> tuple[Hazard, ...]:
    """Hazards of what a material's name means, whatever it is called."""
    return _hazards_by_tables(text) if handbook is SHIPPED else _hazards_of(text, handbook)


@lru_cache(maxsize=4096)
def _hazards_by_tables(text: str) -> tuple[Hazard, ...]:
    return _hazards_of(text, SHIPPED)


def _hazards_of(text: str, handbook: Handbook) -> tuple[Hazard, ...]:
    resolution = handbook.resolve(text)
    plated = {resolution.finish} & {"cadmium"}
    by_family = {one.key for one in all_hazards() if one.bases & (resolution.bases | plated)}
    by_word = {one.key for one in hazards_in((text,))}
    return tuple(one for one in all_hazards() if one.key in by_family | by_word)


def cautions_for(texts: Iterable[str]) -> tuple[str, ...]:
    """The cautions to show beside these words, each once."""
    return tuple(one.caution for one in hazards_in(texts))


def wanted_words(wanted: Wanted) -> tuple[str, ...]:
    """All words said of the original."""
    said = [text for one in wanted.requirements if one.quantity is None for text in (*one.words, one.text)]
    return tuple(dict.fromkeys([wanted.name, *said]))


def offered_words(offered: Offered) -> tuple[str, ...]:
    """All words said of the find."""
    said = [text for one in offered.statements if one.quantity is None for text in (*one.words, one.text)]
    return tuple(dict.fromkeys([offered.name, *said]))


MADE_OF = ("material", "stuff", "coating", "fibre", "filling", "compound", "insulation_material", "body_material")
"""Characteristics that say what a thing is made of, over all classes."""

_OLD = {Origin.REPAIRED, Origin.SALVAGED, Origin.OLD_STOCK, None}
_RULE = common_practice("what hurts people is not fitted again because it was there before")


def hazard_rows(case: Case) -> Iterator[Row]:
    """A row for each hazard named on either side."""
    was = _named(wanted_words(case.wanted), case.wanted_word("material"), case.handbook)
    now = _named(offered_words(case.offered), case.word("material"), case.handbook)
    named = was | now
    if not named:
        return
    for hazard in all_hazards():
        if hazard.key in named:
            yield from _row(case, hazard, is_original=hazard.key in was, is_offered=hazard.key in now)


def _named(words: tuple[str, ...], material: str, handbook: Handbook) -> set[str]:
    return {one.key for one in (*hazards_in(words), *hazards_of_material(material, handbook))}


def _row(case: Case, hazard: Hazard, *, is_original: bool, is_offered: bool) -> Iterator[Row]:
    old = case.offered.origin in _OLD
    measure = None
    if hazard.level is Level.SUSPECT and not (is_original or (is_offered and old)):
        return
    if is_offered and hazard.level is Level.REFUSED:
        verdict = Verdict.AGAINST
        again = " like the original" if is_original else ""
        sentence = f"The find is or holds {hazard.name}{again}; it is not fitted again. {hazard.instead}"
    elif is_offered and hazard.level is Level.SUSPECT and old:
        verdict = Verdict.OPEN
        sentence = f"The find is {hazard.name}, and nobody has said what it is. {hazard.instead}"
        measure = MeasureNext(f"hazard_{hazard.key}", f"Have it tested: {hazard.name}", "laboratory or survey", 5)
    elif is_offered:
        verdict = Verdict.JUDGED
        sentence = f"The find is or holds {hazard.name}; whoever signs answers for how it is worked and kept."
    elif hazard.bases and not any(case.statement(key) for key in MADE_OF):
        verdict = Verdict.OPEN
        sentence = f"The original is or holds {hazard.name}, and what the find is made of is not known."
        measure = MeasureNext("material", "Find out what the find is made of", "tag, certificate or laboratory", 4)
    else:
        verdict = Verdict.JUDGED
        sentence = f"The original is or holds {hazard.name}; the find is not said to. {hazard.instead}".strip()
    yield Row(
        f"hazard_{hazard.key}",
        f"Hazard: {hazard.name}",
        Concern.HAZARD,
        case.weight(Concern.HAZARD),
        hazard.name if is_original else "none said",
        hazard.name if is_offered else "none said",
        verdict,
        sentence,
        sources=(hazard.source, _RULE),
        caution=hazard.caution,
        departs=is_original != is_offered or verdict is not Verdict.OPEN,
        measure=measure,
    )
