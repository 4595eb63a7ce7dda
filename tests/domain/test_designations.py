"""What a name on a stamp means. The cross-references are those that the table itself names, source by source."""

import pytest

from server.domain.designations import resolve
from server.domain.material_families import all_families
from server.domain.material_meaning import Found
from server.domain.sources import Standing
from server.domain.tables.read import read_table


@pytest.mark.parametrize(
    ("text", "alloy", "temper"),
    [
        # look-ups of the worked examples: cross-reference table (DIN, EN, AA, BS, AFNOR, CSA), BS 1490 table
        ("24S-T sheet", "2024", "T3"),
        ("57S", "5052", ""),
        ("52S", "5052", ""),
        ("A-U4G1", "2024", ""),
        ("LM25", "A356.0", ""),
        # TM 1-1500-204-23-6 Table 4-6
        ("3S", "3003", ""),
        ("3S-1/2H", "3003", "H14"),
        ("52S-1/2H", "5052", "H34"),
        ("52S-¼H", "5052", "H32"),
        ("61S", "6061", ""),
        # AC 43.13-1B para 4-3
        ("SAE X4130", "4130", ""),
        ("MIL-T-6731", "4130", "N"),
        # cross-reference table, same row
        ("AlCuMg1", "2017", ""),
        ("3.1325.5", "2017", ""),
        ("A-U4G", "2017", ""),
        # L109 summary page of the standard
        ("BS L109", "2024", "T3"),
        # from memory, as the table marks it
        ("17ST", "2017", "T4"),
        ("A17S-T", "2117", "T4"),
        ("61S-W", "6061", "T4"),
        ("24SO", "2024", "O"),
        ("L72", "2014", "T4"),
        ("Ms58", "CuZn39Pb3", ""),
        ("D16T", "2024", "T4"),
    ],
)
def test_a_name_means_one_alloy(text: str, alloy: str, temper: str) -> None:
    found = resolve(text)
    assert (found.alloy, found.temper) == (alloy, temper)
    assert all(one.source.document for one in found.meanings)


@pytest.mark.parametrize(
    "text", ["2024-T3", "2024 T3", "2024t3", "2024‑T3", " 2024 - t3 ", "Alclad 2024-T3 sheet", "2024-T3, bare"]
)
def test_case_blanks_and_dashes_make_no_difference(text: str) -> None:
    assert (resolve(text).alloy, resolve(text).temper) == ("2024", "T3")


def test_dural_is_one_of_two_and_says_what_to_ask() -> None:
    """Heritage 2019 vol. 2(4), as quoted: two versions, at most 1 % and about 1.5 % magnesium."""
    found = resolve("Dural")
    assert found.found is Found.SEVERAL
    assert {one.alloy for one in found.meanings} == {"2017", "2024"}
    assert "analysis" in found.ask
    assert "hardness" in found.ask


def test_old_t_alone_depends_on_the_form() -> None:
    """24S-T: T3 for flat sheet and drawn tube, T4 for bar (from memory, and marked so)."""
    found = resolve("24S-T")
    assert found.found is Found.SEVERAL
    assert found.alloy == "2024"
    assert {one.temper for one in found.meanings} == {"T3", "T4"}
    assert resolve("24S-T", "sheet").temper == "T3"
    assert resolve("24S-T bar").temper == "T4"
    assert all(one.temper_source and one.temper_source.standing is Standing.MEMORY for one in found.meanings)


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("brass", "brass"),
        ("Messing", "brass"),
        ("laiton", "brass"),
        ("mosiądz", "brass"),
        ("Stahl", "steel"),
        ("acier inoxydable", "stainless steel"),
        ("aluminium alloy", "aluminium"),
        ("magnésium", "magnesium"),
        ("aluminium bronze", "aluminium bronze"),
        ("cotton", "cotton"),
        ("spruce", "spruce"),
        ("rubber", "rubber"),
        ("překližka", "plywood"),
        ("glass fibre", "glass fibre"),
    ],
)
def test_everyday_words_come_to_a_family(text: str, key: str) -> None:
    found = resolve(text)
    assert found.found is Found.FAMILY
    assert found.family is not None
    assert found.family.key == key


def test_vulcanised_fibre_needs_no_grade_and_fibre_alone_is_not_settled() -> None:
    assert resolve("vulcanised fibre").found is Found.ONE
    assert resolve("fibre").found is Found.FAMILY


@pytest.mark.parametrize("text", ["A4", "3115", "2024-T3 or 6061-T6", "steel or brass", "Elektron", "13", "18-8"])
def test_what_may_be_several_things_is_not_settled(text: str) -> None:
    found = resolve(text)
    assert found.found is Found.SEVERAL
    assert found.ask


@pytest.mark.parametrize("text", ["", "unobtainium", "H14", "DTD 683", "asbestos-free", "unleaded"])
def test_what_is_not_known_stays_unknown(text: str) -> None:
    assert resolve(text).found is Found.UNKNOWN
    assert resolve(text).ask


def test_each_alloy_keeps_its_own_temper() -> None:
    found = resolve("2024-T3 or 6061-T6")
    assert {(one.alloy, one.temper) for one in found.meanings} == {("2024", "T3"), ("6061", "T6")}
    assert found.is_doubtful


@pytest.mark.parametrize("text", ["2024-T3?", "probably 2024-T3", "not 2024-T3", "similar to 2024-T3"])
def test_a_guess_is_marked_as_one(text: str) -> None:
    assert resolve(text).is_doubtful


def test_a_metal_and_an_alloy_of_another_metal_contradict() -> None:
    found = resolve("steel 2024-T3")
    assert found.found is Found.SEVERAL
    assert "steel" in found.ask


def test_plating_is_told_from_the_metal_under_it() -> None:
    found = resolve("cadmium-plated steel")
    assert found.finish == "cadmium"
    assert found.family is not None
    assert found.family.base == "steel"
    assert resolve("4130 N verzinkt").finish == "zinc"


def test_a_point_in_a_number_counts() -> None:
    assert resolve("413.0-F").alloy == "413.0"
    assert resolve("4130 N").alloy == "4130"


def test_every_alias_of_the_table_reads_as_its_own_line() -> None:
    lines: dict[str, set[str]] = {}
    for row in read_table("material_designations"):
        lines.setdefault(row["alias"], set()).add(row["alloy"])
    for alias, alloys in lines.items():
        found = {one.alloy for one in resolve(alias).meanings}
        assert found & alloys, alias


def test_every_word_of_a_family_reads_as_that_family() -> None:
    for row in read_table("material_families"):
        for word in filter(None, row["words"].split(";")):
            found = resolve(word)
            bases = {one.base for one in found.families} or {found.finish}
            assert all_families()[row["key"]].base in bases, word
