"""What hurts is said, and never waved through because it was there before."""

import pytest

from server.domain.equivalence import compare
from server.domain.hazards import Level, all_hazards, cautions_for, hazards_in, hazards_of_material
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._examples import claims, measures, wants
from server.domain.specification import Use, Wanted
from server.domain.verdict import Row, Verdict


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("asbestos sleeve", "asbestos"),
        ("Asbestschnur", "asbestos"),
        ("tresse d'amiante", "asbestos"),
        ("celluloid window", "cellulose-nitrate"),
        ("nitrate dope", "cellulose-nitrate"),
        ("radium dial", "radium"),
        ("mercury switch", "mercury"),
        ("red lead paste", "lead-paint"),
        ("Elektron casting", "magnesium"),
        ("beryllium copper spring", "beryllium"),
        ("cadmium plated", "cadmium"),
        ("zinc chromate primer", "chromate"),
        ("woven brake lining", "asbestos-suspect"),
        ("luminous figures", "luminous"),
    ],
)
def test_trigger_words_raise_their_caution(text: str, key: str) -> None:
    assert key in {one.key for one in hazards_in((text,))}


@pytest.mark.parametrize(
    "text",
    ["asbestos-free gasket", "ohne Asbest", "sans amiante", "non-asbestos", "lead-free", "leading edge", "HT lead"],
)
def test_what_is_free_of_it_raises_none(text: str) -> None:
    assert hazards_in((text,)) == ()


def test_a_name_that_does_not_say_it_is_still_known_by_what_it_means() -> None:
    assert {one.key for one in hazards_of_material("AZ91C-T6")} == {"magnesium"}
    assert {one.key for one in hazards_of_material("C17200")} == {"beryllium"}
    assert hazards_of_material("2024-T3") == ()


def test_every_caution_defers_and_every_refusal_says_what_takes_over() -> None:
    for one in all_hazards():
        words = one.caution.casefold()
        assert any(word in words for word in ("local", "licensed", "survey")), one.key
        if one.level is Level.REFUSED:
            assert one.instead, one.key
        assert str(one.source)


def test_cautions_come_once() -> None:
    assert len(cautions_for(("asbestos", "asbestos cloth", "amiante"))) == 1


def _rows(wanted: str, offered: str, origin: Origin = Origin.OLD_STOCK) -> dict[str, Row]:
    sheet = compare(
        Wanted("sheet_part", (wants("material", wanted),), use=Use.DISPLAY),
        Offered(
            "sheet_part", (claims("material", offered),) if offered else (), origin, evidence=(Evidence.CERTIFICATE,)
        ),
    )
    return {row.key: row for row in sheet.rows if row.key.startswith("hazard")}


@pytest.mark.parametrize("material", ["asbestos", "celluloid"])
def test_like_for_like_is_never_proven_for_what_is_refused(material: str) -> None:
    row = _rows(material, material)[f"hazard_{'asbestos' if material == 'asbestos' else 'cellulose-nitrate'}"]
    assert row.verdict is Verdict.AGAINST
    assert row.needs_answer
    assert row.caution


def test_magnesium_again_is_a_persons_to_answer_for() -> None:
    row = _rows("AZ31B-H24", "AZ31B-H24")["hazard_magnesium"]
    assert row.verdict is Verdict.JUDGED
    assert "sand" in row.caution


def test_an_original_that_hurts_warns_of_its_removal() -> None:
    row = _rows("asbestos", "silicone-coated glass braid")["hazard_asbestos"]
    assert row.verdict is Verdict.JUDGED
    assert row.caution
    unknown = _rows("asbestos", "")["hazard_asbestos"]
    assert unknown.verdict is Verdict.OPEN


def test_nothing_named_nothing_said() -> None:
    assert _rows("2024-T3", "2024-T3") == {}


def test_an_old_lining_is_tested_first_and_a_new_one_not_suspected() -> None:
    def sheet(origin: Origin) -> dict[str, Row]:
        found = compare(
            Wanted("general", (wants("material", "cotton"),)),
            Offered("general", (measures("look", "woven brake lining"),), origin),
        )
        return {row.key: row for row in found.rows}

    assert "hazard_asbestos-suspect" not in sheet(Origin.AVIATION)
