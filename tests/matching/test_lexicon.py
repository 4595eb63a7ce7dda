"""The dictionary: sound rows, a source for each, and every part class named in three languages."""

import csv
from importlib import resources

import pytest

from server.domain.parts import GENERAL, part_classes
from server.matching.folding import key_of, loose, singulars
from server.matching.lexicon import CLASS_THING, FILES, Type, phrase_key, standard_lexicon
from server.matching.reading_text import THREAD_FORMS, read_facts


def _rows(name: str) -> list[dict[str, str]]:
    text = (resources.files("server.matching") / "words" / f"{name}.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


ROWS = [(name, row) for name in FILES for row in _rows(name)]


def test_it_is_broad() -> None:
    assert len(standard_lexicon().senses) > 5_000


@pytest.mark.parametrize("name", FILES)
def test_every_row_has_a_type_a_word_and_a_source(name: str) -> None:
    for row in _rows(name):
        assert row["concept"] == row["concept"].lower().replace(" ", "_")
        assert row["type"] in set(Type), row
        assert row["source"].strip(), row["concept"]
        assert any(row[language] for language in ("en", "de", "fr", "it", "shop")), row["concept"]


def test_broader_concepts_exist_and_make_no_ring() -> None:
    known = standard_lexicon()
    for concept in known.concepts.values():
        assert not concept.broader or concept.broader in known.concepts, concept
        line = known.lineage(concept.key)
        assert len(line) == len(set(line)) < 6


def test_part_classes_are_those_of_the_check() -> None:
    known = standard_lexicon()
    named = {one for concept in known.concepts.values() for one in concept.part_classes}
    assert named <= set(CLASS_THING) | {GENERAL}
    assert set(part_classes()) <= set(CLASS_THING) | {GENERAL}
    assert all(
        key in known.concepts[thing].part_classes for key, thing in CLASS_THING.items() if thing in known.concepts
    )
    assert set(CLASS_THING.values()) <= set(known.concepts)


@pytest.mark.parametrize("part_class", sorted(CLASS_THING))
@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_every_part_class_is_named_in_three_languages(part_class: str, language: str) -> None:
    words = [
        row[language] for _, row in ROWS if part_class in row["part_class"].split(";") and row["type"] == Type.THING
    ]
    assert any(words)


def test_a_concept_says_the_same_of_itself_wherever_it_stands() -> None:
    types: dict[str, set[str]] = {}
    for _, row in ROWS:
        types.setdefault(row["concept"], set()).add(row["type"])
    assert not {concept: found for concept, found in types.items() if len(found) > 1}


def test_standard_numbers_name_known_concepts() -> None:
    known = standard_lexicon()
    for row in _rows("standards"):
        assert row["source"]
        for concept in row["concepts"].split(";"):
            assert concept in known.concepts, row


@pytest.mark.parametrize(
    ("number", "concept"),
    [
        ("AN470AD4-6", "head_universal"),
        ("MS20426AD3-4", "head_countersunk"),
        ("AN3-7A", "bolt"),
        ("an 310-3", "castle_nut"),
        ("DIN 94", "cotter_pin"),
    ],
)
def test_the_longest_beginning_of_a_number_counts(number: str, concept: str) -> None:
    """AC 43.13-1B, paragraph 4-57: AN470/MS20470 universal head, AN426/MS20426 countersunk; the others from memory."""
    assert concept in standard_lexicon().standard(number)


def test_an3_is_not_found_in_an310() -> None:
    assert "bolt" not in standard_lexicon().standard("AN310-3")
    assert standard_lexicon().standard("AN39") == ()


def test_thread_forms_are_concepts() -> None:
    assert set(THREAD_FORMS.values()) <= set(standard_lexicon().concepts)


def test_a_shop_may_add_its_own_words() -> None:
    own = standard_lexicon().with_words(
        [("wobbly washer", "lock_washer"), ("dooberry", "hinge"), ("x", "no such thing")]
    )
    assert "lock_washer" in own.senses_of(("wobbly", "washer"))[0]
    found = read_facts("dooberry alu", lexicon=own)
    assert any("hinge" in one.concepts for one in found.meanings)
    assert not any("hinge" in one.concepts for one in read_facts("dooberry alu").meanings)


@pytest.mark.parametrize(
    ("one", "other"),
    [("Öse", "Oese"), ("GRÖSSE", "grosse"), ("écrou", "ECROU"), ("Spannschloß", "Spannschloss"), ("œillet", "oeillet")],
)
def test_spellings_of_one_word_share_a_key(one: str, other: str) -> None:
    assert loose(key_of(one)) == loose(key_of(other))


def test_plurals_lead_to_their_singular() -> None:
    for plural, single in (("rivets", "rivet"), ("bushes", "bush"), ("nieten", "niet"), ("tuyaux", "tuyau")):
        assert single in singulars(plural)


def test_a_phrase_is_one_however_it_is_parted() -> None:
    assert phrase_key("split pin") == phrase_key("split-pin") == phrase_key("Splitpin")
