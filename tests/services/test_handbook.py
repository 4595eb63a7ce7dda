"""The shop's own handbook: what may be entered, what the check makes of it, and what a record keeps.

Every document, material and figure entered here is invented for the tests; the
shipped rows that stand in the way are MIL-HDBK-5J's and the trade's names.
"""

import json
from fractions import Fraction

import pytest

from server.domain.errors import Faults, NotAllowed, NotFound
from server.domain.galvanic import surface_of
from server.domain.handbook import SHIPPED
from server.domain.material_meaning import Found
from server.domain.material_table import all_properties
from server.domain.quantities import UNITS
from server.domain.sources import SHAKY, Standing
from server.domain.verdict import Row, Sheet, Verdict
from server.services import candidates, handbook, handbook_tables, signing, verifying
from server.services.handbook import ShippedHolds
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.handbook import load_handbook
from server.storage.log import read_log
from tests.builders import PASSWORD, Shop, shop

SOURCE = {"document": "Vennmere works standard 12 (invented)", "edition": "1936", "place": "table 3", "seen": "seen"}
SHEET = {
    "kind": "figures",
    "designation": "Vennmere 7",
    "family": "aluminium",
    "form": "sheet",
    "temper": "T4",
    "uts": "70 ksi",
    "yield": "48 ksi",
    "modulus": "71 GPa",
    "density": "2.79 g/cm³",
    "elongation": "12",
    "value_class": "design minimum",
    **SOURCE,
}
NAME = {"kind": "name", "designation": "QX 12", "means": "2024-T3", "grade": "same composition", **SOURCE}


@pytest.fixture
def made(sqlite_store: Store, files: Files) -> Shop:
    return shop(sqlite_store, files, "flying under a permit or experimental certificate")


def enter(made: Shop, given: dict[str, str], **more: str) -> int:
    return handbook.add_entry(made.store, made.keeper, {**given, **more})


def panel(made: Shop, original: str, offered: str) -> tuple[int, int, Sheet]:
    """A panel wanted in one material and offered in another, with a certificate."""
    need = made.need(item="Panel", part_class="sheet_part", role="secondary structure")
    made.require(need, "material", original, form="exactly")
    made.require(need, "thickness", "1.0 mm")
    find = made.find("a sheet", part_class="sheet_part", evidence=["certificate"])
    made.measure(find, "material", offered, instrument="analysis")
    made.measure(find, "thickness", "1.0 mm", instrument="micrometer")
    number = made.propose(need, find)
    return need, number, candidates.get_candidate(made.store, number).sheet


def row_of(sheet: Sheet, key: str) -> Row:
    return next(row for row in sheet.rows if row.key == key)


# ---- entering ----


def test_figures_are_kept_as_typed_and_exactly(made: Shop) -> None:
    enter(made, SHEET)
    with made.store.read() as session:
        book = load_handbook(session)
    (line,) = book.lines_for("Vennmere 7", "T4", "sheet")
    assert line.uts == UNITS["ksi"].to_base(Fraction(70))
    assert line.modulus_gpa == 71
    assert (line.density, line.elongation, line.shear) == (Fraction("2.79"), Fraction(12), None)
    (entry,) = handbook.entries(made.store)
    assert entry.figures["uts"] == "70 ksi"
    assert str(entry.source) == "shop's own handbook: Vennmere works standard 12 (invented), 1936, table 3"
    assert made.keeper.name == entry.entered_by


@pytest.mark.parametrize("role", ["viewer", "restorer", "approver"])
def test_only_a_keeper_enters_and_withdraws(made: Shop, role: str) -> None:
    number = enter(made, SHEET)
    with pytest.raises(NotAllowed):
        handbook.add_entry(made.store, getattr(made, role), {**SHEET, "designation": "Vennmere 8"})
    with pytest.raises(NotAllowed):
        handbook.withdraw_entry(made.store, getattr(made, role), number, {"reason": "no"})
    assert len(handbook.entries(made.store)) == 1


@pytest.mark.parametrize("missing", ["document", "edition", "place", "seen", "designation", "family", "form"])
def test_a_row_without_its_source_or_its_name_is_refused(made: Shop, missing: str) -> None:
    with pytest.raises(Faults) as refused:
        enter(made, SHEET, **{missing: ""})
    assert missing in refused.value.faults
    assert handbook.entries(made.store) == []


@pytest.mark.parametrize(
    ("changed", "field", "word"),
    [
        ({"seen": "from memory, unverified"}, "seen", "memory"),
        ({"value_class": "memory, do not decide on it"}, "value_class", "decides nothing"),
        ({"temper": ""}, "temper", "nothing without the temper"),
        ({"temper": "T"}, "temper", "no temper"),
        ({"yield": "80 ksi"}, "yield", "above"),
        ({"uts": "70"}, "uts", "unit"),
        ({"uts": "70 to 80 ksi"}, "uts", "no range"),
        ({"uts": "70000 ksi"}, "uts", "unit right"),
        ({"designation": "V7"}, "designation", "too short"),
        ({"family": "unobtainium"}, "family", "Choose"),
        ({"form": "lump"}, "form", "no form"),
        ({"designation": "Vennmere bronze 4"}, "family", "bronze"),
        ({"designation": "SAE 1280"}, "family", "steel"),  # a number of SAE's steels by its form: common practice
    ],
)
def test_what_cannot_be_right_is_refused_at_its_field(
    made: Shop, changed: dict[str, str], field: str, word: str
) -> None:
    with pytest.raises(Faults) as refused:
        enter(made, SHEET, **changed)
    assert word in refused.value.faults[field]


def test_a_makers_number_is_not_taken_for_a_steels(made: Shop) -> None:
    enter(made, SHEET, designation="Vennmere 1280")
    with made.store.read() as session:
        assert load_handbook(session).resolve("Vennmere 1280-T4").said == "Vennmere 1280-T4"


def test_at_least_one_figure_is_needed(made: Shop) -> None:
    none = dict.fromkeys(("uts", "yield", "shear", "modulus", "density", "elongation"), "")
    with pytest.raises(Faults) as refused:
        enter(made, SHEET, **none)
    assert "uts" in refused.value.faults


def test_a_gigapascal_and_a_million_psi_are_what_pint_says(made: Shop) -> None:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    enter(made, SHEET, modulus="10.3 Msi")
    with made.store.read() as session:
        (line,) = load_handbook(session).lines
    wanted = registry.Quantity(10.3e6, "psi").to("gigapascal").magnitude
    assert line.modulus_gpa is not None
    assert float(line.modulus_gpa) == pytest.approx(wanted, rel=1e-6)


# ---- shipped rows stand ----


@pytest.mark.parametrize(
    ("designation", "temper"),
    [
        ("2024", "T3"),  # MIL-HDBK-5J Table 3.2.3.0(b1)
        ("24S", "T3"),  # an older name of the same line
    ],
)
def test_a_shipped_row_is_never_overwritten_and_is_shown(made: Shop, designation: str, temper: str) -> None:
    with pytest.raises(ShippedHolds) as refused:
        enter(made, SHEET, designation=designation, temper=temper)
    held = refused.value.claim.lines
    assert held
    assert all(one.alloy == "2024" and "T3" in one.tempers for one in held)
    row = handbook_tables.row_of_material(held[0].key)
    assert row is not None
    assert "MIL-HDBK-5J" in row.source


@pytest.mark.parametrize("name", ["Dural", "24ST", "4130", "17S-T clad", "Sitka spruce"])
def test_a_listed_name_means_what_it_always_means(made: Shop, name: str) -> None:
    with pytest.raises(ShippedHolds) as refused:
        enter(made, NAME, designation=name)
    assert refused.value.claim.meanings
    assert handbook_tables.row_of_name(refused.value.claim.meanings[0].alias, refused.value.claim.meanings[0].alloy)


@pytest.mark.parametrize("name", ["steel", "brass tube", "phosphor bronze"])
def test_everyday_words_are_not_for_the_taking(made: Shop, name: str) -> None:
    for given in (NAME, SHEET):
        with pytest.raises(ShippedHolds, match="everyday word"):
            enter(made, given, designation=name)


def test_a_minimum_may_stand_beside_a_typical_value_and_beside_one_from_memory(made: Shop) -> None:
    """2017-T4 is held as typical for all forms and, as sheet, from memory only; a shop's own minimum bars neither."""
    enter(made, SHEET, designation="17S-T", temper="T4", uts="55 ksi", **{"yield": "32 ksi"})
    with made.store.read() as session:
        book = load_handbook(session)
    before = {one.key for one in SHIPPED.lines_for("2017", "T4", "sheet")}
    after = {one.key for one in book.lines_for("2017", "T4", "sheet")}
    assert before < after, "what was there stands"
    assert book.resolve("17S-T") == SHIPPED.resolve("17S-T"), "the name keeps its meaning"
    with pytest.raises(ShippedHolds):
        enter(made, SHEET, designation="17S-T", temper="T4", value_class="typical", form="tube")


def test_no_reading_of_a_shipped_name_is_changed_by_the_shops_rows(made: Shop) -> None:
    enter(made, SHEET)
    enter(made, NAME)
    with made.store.read() as session:
        book = load_handbook(session)
    for row in handbook_tables.rows_of("designations"):
        assert book.resolve(row.title) == SHIPPED.resolve(row.title)


def test_a_thing_is_entered_once(made: Shop) -> None:
    enter(made, SHEET)
    for again in (SHEET, {**NAME, "designation": "vennmere 7"}):
        with pytest.raises(Faults, match="already"):
            enter(made, again)
    enter(made, SHEET, form="tube")
    enter(made, SHEET, size_low="3 mm", size_high="6 mm")
    with pytest.raises(Faults, match="already"):
        enter(made, SHEET, form="bar", family="brass", temper="")


# ---- the check leans on it, and says so ----


def test_an_unknown_material_becomes_one_that_can_be_compared(made: Shop) -> None:
    _, _, before = panel(made, "2024-T3", "Vennmere 7-T4")
    assert row_of(before, "material").verdict is Verdict.OPEN
    assert before.handbook == "2026-11"
    assert before.notes == ()
    enter(made, SHEET)
    _, _, after = panel(made, "2024-T3", "Vennmere 7-T4")
    row = row_of(after, "material")
    # 70 and 48 ksi against 63 and 42 of 2024-T3 (MIL-HDBK-5J): ahead, and a person still answers for it
    assert row.verdict is Verdict.JUDGED
    assert "tension × 1.11" in row.sentence
    assert any("shop's own handbook" in str(source) for source in row.sources)
    with made.store.read() as session:
        digest = load_handbook(session).digest
    assert after.handbook == f"2026-11 and the shop's rows {digest}"
    assert any("Vennmere 7" in said and "table 3" in said for said in after.notes)


def test_a_weaker_material_of_the_shops_is_against(made: Shop) -> None:
    enter(made, SHEET, uts="40 ksi", **{"yield": "20 ksi"})
    _, _, sheet = panel(made, "2024-T3", "Vennmere 7-T4")
    assert row_of(sheet, "material").verdict is Verdict.AGAINST


def test_what_is_only_quoted_never_decides(made: Shop) -> None:
    enter(made, SHEET, seen="quoted", uts="40 ksi", **{"yield": "20 ksi"})
    _, _, sheet = panel(made, "2024-T3", "Vennmere 7-T4")
    row = row_of(sheet, "material")
    assert row.verdict is Verdict.OPEN
    assert any(source.standing is Standing.QUOTED and source.standing in SHAKY for source in row.sources)


@pytest.mark.parametrize(("grade", "verdict"), [("same composition", Verdict.PROVEN), ("near", Verdict.JUDGED)])
def test_another_name_is_read_as_what_it_means(made: Shop, grade: str, verdict: Verdict) -> None:
    enter(made, NAME, grade=grade)
    _, _, sheet = panel(made, "2024-T3", "QX 12")
    row = row_of(sheet, "material")
    assert row.verdict is verdict
    assert any("shop's own handbook" in str(source) for source in row.sources)
    assert sheet.notes


def test_what_a_name_means_has_to_be_one_material(made: Shop) -> None:
    for means in ("Dural", "steel", "grenzlum 9"):
        with pytest.raises(Faults) as refused:
            enter(made, NAME, means=means)
        assert "means" in refused.value.faults
    enter(made, SHEET)
    enter(made, NAME, means="Vennmere 7-T4")
    with made.store.read() as session:
        known = load_handbook(session).resolve("QX 12")
    assert (known.alloy, known.temper) == ("Vennmere 7", "T4")


def test_the_family_of_a_shops_material_counts_for_what_it_touches(made: Shop) -> None:
    enter(made, SHEET, designation="Vennmere bright", family="magnesium", temper="O")
    with made.store.read() as session:
        book = load_handbook(session)
    surface = surface_of(book.resolve("Vennmere bright sheet"))
    assert surface is not None
    assert surface.key == "magnesium"
    assert SHIPPED.resolve("Vennmere bright sheet").found is Found.UNKNOWN


def test_a_sheet_that_leans_on_none_of_it_says_nothing_of_it(made: Shop) -> None:
    enter(made, SHEET)
    enter(made, NAME)
    _, _, sheet = panel(made, "2024-T3", "2024-T3")
    assert sheet.handbook == "2026-11"
    assert sheet.notes == ()


def test_the_digest_is_of_the_rows_that_were_used(made: Shop) -> None:
    enter(made, SHEET)
    _, _, alone = panel(made, "2024-T3", "Vennmere 7-T4")
    enter(made, NAME)
    _, _, with_another = panel(made, "2024-T3", "Vennmere 7-T4")
    assert alone.handbook == with_another.handbook, "a row that has nothing to do with it changes nothing"
    _, _, both = panel(made, "QX 12", "Vennmere 7-T4")
    assert both.handbook != alone.handbook
    assert len(both.notes) == 2


# ---- withdrawing, and what was signed ----


def test_a_withdrawn_row_counts_no_more_and_can_be_entered_anew(made: Shop) -> None:
    number = enter(made, SHEET)
    with pytest.raises(Faults):
        handbook.withdraw_entry(made.store, made.keeper, number, {"reason": ""})
    handbook.withdraw_entry(made.store, made.keeper, number, {"reason": "misread: it is table 4"})
    with made.store.read() as session:
        assert load_handbook(session) is SHIPPED
        lines = read_log(session, f"handbook/{number}")
    assert len(lines) == 2
    (kept,) = handbook.entries(made.store, withdrawn=True)
    assert kept.withdrawn_reason == "misread: it is table 4"
    assert handbook.entries(made.store) == []
    with pytest.raises(Faults):
        handbook.withdraw_entry(made.store, made.keeper, number, {"reason": "again"})
    with pytest.raises(NotFound):
        handbook.withdraw_entry(made.store, made.keeper, 99, {"reason": "none such"})
    enter(made, SHEET, place="table 4")


def test_a_record_keeps_the_rows_it_rested_on(made: Shop) -> None:
    number = enter(made, SHEET)
    _, candidate, sheet = panel(made, "2024-T3", "Vennmere 7-T4")
    candidates.judge_authenticity(made.store, made.restorer, candidate, {"answer": "will do", "reason": "painted over"})
    shown = candidates.get_candidate(made.store, candidate)
    given = {signing.reason_field(row): "looked at by the engineer" for row in sheet.to_answer}
    given |= {
        "decision": "refused",
        "reason": "kept for another place",
        "shown": shown.shown_digest,
        "password": PASSWORD,
    }
    signing.sign(made.store, made.approver, candidate, given)
    handbook.withdraw_entry(made.store, made.keeper, number, {"reason": "misread"})
    after = candidates.get_candidate(made.store, candidate)
    assert after.standing is not None
    frozen = json.loads(after.standing.record)["sheet"]
    assert frozen["handbook"] == sheet.handbook
    assert frozen["notes"] == list(sheet.notes)
    assert "shop's own handbook: Vennmere works standard 12 (invented)" in after.standing.record
    assert after.sheet.handbook == "2026-11", "what is known now leans on it no more"
    assert verifying.verify(made.store, made.files) == (1, [])


# ---- the shipped tables as they are read ----


def test_every_shipped_row_can_be_read_and_found(made: Shop) -> None:
    for table in handbook_tables.shipped_tables():
        rows = handbook_tables.rows_of(table.key)
        assert len(rows) == table.count
        assert table.notes
        for one in rows:
            assert one.title
            assert one.source or one.standing is Standing.MEMORY or one.is_shaky, one
        first = handbook_tables.find_rows(table.key, rows[0].title)
        assert rows[0] in first


def test_what_is_shaky_to_the_check_is_shaky_on_the_page() -> None:
    """A page must not make a line look firmer than the check takes it."""
    for key, line in all_properties().items():
        row = handbook_tables.row_of_material(key)
        assert row is not None
        assert row.standing is line.source.standing


def test_rows_are_narrowed_by_every_word() -> None:
    found = handbook_tables.find_rows("materials", "2024 clad mil-hdbk")
    assert found
    assert all("2024" in one.title and "clad" in one.title for one in found)
    assert handbook_tables.find_rows("materials", "2024 unobtainium") == []
    assert all(one.is_shaky for one in handbook_tables.find_rows("gauges", "", shaky_only=True))
