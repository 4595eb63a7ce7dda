"""The shop's dictionary: words in several languages, and the concepts they stand for.

The words are kept in the CSV files of the folder `words`, one concept a row
or more, each row with its source; a person may edit them. A phrase is looked
up by the keys of its words joined together, so that "split pin", "split-pin"
and "splitpin" are one.
"""

import csv
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cache, cached_property
from importlib import resources
from typing import Any, NamedTuple

from server.domain.parts import part_classes
from server.matching.designators import designator_form
from server.matching.folding import key_of, loose, singulars, words_of

LANGUAGES = ("en", "de", "fr", "it", "cs", "pl", "shop")
FILES = ("fasteners", "parts", "kinds", "materials", "places", "words", "vocabulary")
LONGEST_PHRASE = 5
"""Words a phrase may have."""


class Type(StrEnum):
    """The types of concept. A quality says nothing about which part it is."""

    THING = "thing"
    CLASS = "class"
    KIND = "kind"
    MATERIAL = "material"
    PLACE = "place"
    SIDE = "side"
    OTHER = "other"
    QUALITY = "quality"


_PIECE = re.compile(r"[A-Z]+|\d+")


@dataclass(frozen=True, slots=True)
class Concept:
    """One meaning.

    `group`: concepts of one group exclude each other (red and green), but
    things of one group are names for nearly the same (a bolt and a screw).
    """

    key: str
    type: Type
    label: str
    broader: str = ""
    part_classes: tuple[str, ...] = ()
    group: str = ""


class Sense(NamedTuple):
    """One meaning of a word: the concept, and the language the word is of."""

    concept: str
    language: str


@dataclass(frozen=True, eq=False)
class Lexicon:
    """Concepts by key, and the senses of every phrase by its joined key. Equal only to itself."""

    concepts: Mapping[str, Concept]
    senses: Mapping[str, tuple[Sense, ...]]
    written: Mapping[str, str]
    standards: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @cached_property
    def groups(self) -> Mapping[str, tuple[str, ...]]:
        """The concepts of each group, which exclude each other."""
        found: dict[str, tuple[str, ...]] = {}
        for concept in self.concepts.values():
            if concept.group and concept.type != Type.THING:
                found[concept.group] = (*found.get(concept.group, ()), concept.key)
        return found

    @cached_property
    def by_token(self) -> Mapping[str, str]:
        """Concept by its key without underscores, as an index token spells it."""
        return {key.replace("_", ""): key for key in self.concepts}

    def with_words(self, words: Iterable[tuple[str, str]]) -> "Lexicon":
        """A lexicon that also knows a shop's own words: pairs of a word and the concept or part class it means.

        A pair whose concept is not known is left out.
        """
        senses = dict(self.senses)
        written = dict(self.written)
        for word, concept in words:
            meant = concept if concept in self.concepts else CLASS_THING.get(concept, "")
            if meant not in self.concepts:
                continue
            _add(senses, written, word, Sense(meant, "shop"))
        return replace(self, senses=senses, written=written)

    def senses_of(self, keys: tuple[str, ...]) -> tuple[Sense, ...]:
        """The senses of neighbouring words given by their keys; empty if they are no phrase."""
        found = self._asked.get(keys)
        if found is None:
            if len(self._asked) > 50_000:
                self._asked.clear()
            found = self._asked[keys] = self._search(keys)
        return found

    @cached_property
    def relations(self) -> dict[tuple[frozenset[str], frozenset[str]], Any]:
        """What the scoring found between the names of two things; kept here so that it goes with the lexicon."""
        return {}

    @cached_property
    def spelt(self) -> frozenset[str]:
        """Every single word that stands in a phrase, and every phrase run together: what a misspelt word may be."""
        words = {key_of(word) for phrase in self.written.values() for word, _, _ in words_of(phrase)}
        return frozenset(words | set(self.senses))

    def knows(self, key: str) -> bool:
        """Is this word spelt right, or at least right but for doubled letters and endings?"""
        return any(form in self.spelt for form in singulars(key)) or bool(self.senses_of((key,)))

    @cached_property
    def _asked(self) -> dict[tuple[str, ...], tuple[Sense, ...]]:
        return {}

    @cached_property
    def _loose(self) -> dict[str, tuple[Sense, ...]]:
        found: dict[str, tuple[Sense, ...]] = {}
        for key, senses in self.senses.items():
            coarse = loose(key)
            found[coarse] = tuple(dict.fromkeys((*found.get(coarse, ()), *senses)))
        return found

    def _search(self, keys: tuple[str, ...]) -> tuple[Sense, ...]:
        middle = keys[1:-1]
        firsts = singulars(keys[0]) if len(keys) > 1 else ("",)
        forms = ["".join((first, *middle, last)) for first in firsts for last in singulars(keys[-1])]
        for form in forms:
            if form in self.senses:
                return self.senses[form]
        for form in forms:
            if loose(form) in self._loose and len(form) > 4:
                return self._loose[loose(form)]
        return ()

    def lineage(self, concept: str) -> tuple[str, ...]:
        """The concept and everything broader, the narrowest first."""
        found: list[str] = []
        while concept and concept not in found:
            found.append(concept)
            known = self.concepts.get(concept)
            concept = known.broader if known else ""
        return tuple(found)

    def standard(self, number: str) -> tuple[str, ...]:
        """Concepts that a standard number names, by its longest known beginning: "AN470AD4-6" is an AN470.

        The number as typed: a beginning ends where letters and figures change
        or a sign stands between, so that AN310-3 is no AN3.
        """
        best: tuple[str, ...] = ()
        said = ""
        for piece in _PIECE.findall(number.upper()):
            said += piece
            best = self.standards.get(said, best)
        return best

    def classes(self, concept: str) -> tuple[str, ...]:
        """The part classes a thing belongs to."""
        known = self.concepts.get(concept)
        return known.part_classes if known else ()


CLASS_THING: dict[str, str] = {
    "solid_rivet": "solid_rivet",
    "semi_tubular_rivet": "semi_tubular_rivet",
    "tubular_rivet": "tubular_rivet",
    "split_rivet": "split_rivet",
    "blind_rivet": "blind_rivet",
    "bolt": "bolt",
    "nut": "nut",
    "washer": "washer",
    "pin": "pin",
    "wood_screw": "wood_screw",
    "casting": "casting",
    "forged_fitting": "fitting",
    "sheet_part": "sheet",
    "bar": "bar",
    "tube": "tube",
    "streamline_tube": "streamline_tube",
    "timber": "timber",
    "bush": "bush",
    "bearing": "bearing",
    "spring": "spring",
    "control_cable": "control_cable",
    "turnbuckle": "turnbuckle",
    "chain": "chain",
    "hinge": "hinge",
    "hose": "hose",
    "pipe_fitting": "pipe_fitting",
    "filter_screen": "filter_screen",
    "seal_gasket": "seal",
    "tyre_wheel": "wheel",
    "electric_wire": "electric_wire",
    "insulating_sleeving": "sleeving",
    "shielding_braid": "shielding_braid",
    "flexible_conduit": "flexible_conduit",
    "rigid_conduit": "rigid_conduit",
    "terminal_block": "terminal_block",
    "wire_marker": "wire_marker",
    "lamp": "lamp",
    "switch_fuse": "switch_fuse",
    "instrument": "instrument",
    "fabric_tape": "fabric",
    "leathercloth": "leathercloth",
    "padding": "padding",
    "webbing_belt": "webbing_belt",
    "cord_thread": "cord_thread",
    "glass_lens": "glass_lens",
    "mirror_reflector": "mirror_reflector",
    "plated_trim": "plated_trim",
    "placard": "placard",
    "paint_finish": "paint_finish",
}
"""The thing that a word for a part class as a whole stands for."""

# a part class's own name may say little: "item" is no name of a part
_SAYS_NOTHING = frozenset({"part", "item", "piece", "thing", "teil", "general"})


def phrase_key(phrase: str) -> str:
    """The joined key of a phrase; "" where it holds no word. The plural of its last word is left as it is."""
    return "".join(key_of(word) for word, _, _ in words_of(phrase))


def _add(senses: dict[str, tuple[Sense, ...]], written: dict[str, str], phrase: str, sense: Sense) -> None:
    keys = tuple(key_of(word) for word, _, _ in words_of(phrase))
    if not keys or len(keys) > LONGEST_PHRASE:
        return
    key = "".join(keys)
    if key.isdigit() and len(key) <= 3 and not phrase.strip().isdigit():
        return  # "90°" would make every bare 90 an angle
    known = senses.get(key, ())
    if sense not in known:
        senses[key] = (*known, sense)
    written.setdefault(key, phrase.strip())


def _rows(name: str) -> list[dict[str, str]]:
    text = (resources.files(__package__) / "words" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def word_list(name: str) -> frozenset[str]:
    """The words of a plain list in the folder `words`; lines that begin with "#" say what it is."""
    text = (resources.files(__package__) / "words" / f"{name}.txt").read_text(encoding="utf-8")
    return frozenset(word for line in text.splitlines() if not line.startswith("#") for word in line.split())


def _split(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _ends_in_a_thing(phrase: str, lexicon: Lexicon) -> bool:
    """Is the phrase read already, perhaps more narrowly, by its last words? "Tooth lock washer" is a lock washer."""
    keys = tuple(key_of(word) for word, _, _ in words_of(phrase))
    return any(
        lexicon.concepts[sense.concept].type == Type.THING
        for at in range(len(keys))
        for sense in lexicon.senses_of(keys[at:])
    )


@cache
def standard_lexicon() -> Lexicon:
    """The lexicon that comes with the program, with the names that the part classes give themselves."""
    concepts: dict[str, Concept] = {}
    senses: dict[str, tuple[Sense, ...]] = {}
    written: dict[str, str] = {}
    for name in FILES:
        for row in _rows(name):
            key = row["concept"]
            if key not in concepts:
                broader = "" if row["broader"] == key else row["broader"]
                label = (_split(row["en"]) or (key.replace("_", " "),))[0]
                concepts[key] = Concept(
                    key, Type(row["type"]), label, broader, _split(row["part_class"]), row.get("group") or ""
                )
            for language in LANGUAGES:
                for phrase in _split(row.get(language) or ""):
                    _add(senses, written, phrase, Sense(key, language))
    known = Lexicon(concepts, dict(senses), dict(written))
    for part in part_classes().values():
        thing = CLASS_THING.get(part.key)
        if thing in concepts:
            for phrase in (part.name, *part.names):
                if phrase_key(phrase) not in _SAYS_NOTHING and not _ends_in_a_thing(phrase, known):
                    _add(senses, written, phrase, Sense(thing, "en"))
    standards = {designator_form(row["number"]): _split(row["concepts"]) for row in _rows("standards")}
    return Lexicon(concepts, senses, written, standards)
