"""Metals in contact: groups first, the quoted index and chart beside them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.equivalence import compare
from server.domain.galvanic import (
    CONTROLLED,
    HARSH,
    NORMAL,
    Couple,
    couple,
    protection,
    rules,
    said_of,
    surface_named,
    surfaces,
)
from server.domain.galvanic_rows import galvanic_rows
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts import part_class
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, Quantity
from server.domain.specification import Joint, Ply, Use, Wanted
from server.domain.verdict import Row, Verdict


def _couple(one: str, other: str) -> Couple:
    a, b = surface_named(one), surface_named(other)
    assert a is not None
    assert b is not None
    return couple(a, b)


def test_stainless_in_2024() -> None:
    """Anodic index as quoted: 0.50 and 0.75 V."""
    pair = _couple("stainless screw", "2024-T3 sheet")
    assert pair.volts == (Fraction("0.25"), Fraction("0.25"))
    assert pair.volts[1] > HARSH
    assert pair.volts[1] <= NORMAL
    assert pair.is_similar is False
    assert pair.eaten is not None
    assert "aluminium" in pair.eaten.name


def test_brass_on_6061() -> None:
    """Anodic index as quoted: 0.40 and 0.90 V; the larger difference of the two brass lines counts."""
    pair = _couple("brass", "6061-T6")
    assert pair.volts is not None
    assert pair.volts[1] == Fraction("0.50")
    assert NORMAL < pair.volts[1] <= CONTROLLED


def test_a_cadmium_plated_bolt_is_judged_by_its_cadmium() -> None:
    """MIL-DTL-14072F 3.13 and MIL-HDBK-419A Table 1-24 against the index: both are shown."""
    pair = _couple("cadmium-plated steel", "2024-T3")
    assert pair.one.key == "cadmium"
    assert pair.same_419 is True
    assert pair.is_similar is True
    assert pair.volts == (Fraction("0.05"), Fraction("0.20"))
    assert pair.disagrees
    said = said_of(pair)
    assert "similar" in said
    assert "0.05 to 0.20 V" in said
    assert "130 mV" in said


def test_magnesium_on_aluminium_is_kept_fully_apart() -> None:
    """Index as quoted 1.75 and 0.90 V; joint rule of a training page after the FAA airframe handbook."""
    pair = _couple("AZ91C casting", "6061")
    assert pair.volts == (Fraction("0.85"), Fraction("0.85"))
    assert pair.is_similar is False
    words = protection(pair)
    assert "two coats" in words
    assert "0.08 mm" in words


def test_copper_on_aluminium_fails_every_limit() -> None:
    """Index as quoted: 0.35 and 0.90 V."""
    pair = _couple("copper bus bar", "aluminium")
    assert pair.volts is not None
    assert pair.volts[1] == Fraction("0.55")
    assert pair.volts[1] > CONTROLLED


def test_hard_anodising_insulates() -> None:
    """MIL-DTL-14072F 3.13.1."""
    assert _couple("hard anodised 6061-T6", "brass").is_insulated


def test_rubber_and_wood_take_no_part() -> None:
    assert surface_named("rubber") is None
    assert surface_named("spruce") is None
    assert surface_named("steel or brass") is None


@given(st.sampled_from(sorted(surfaces())), st.sampled_from(sorted(surfaces())))
def test_a_couple_is_the_same_from_both_sides(a: str, b: str) -> None:
    there, back = couple(surfaces()[a], surfaces()[b]), couple(surfaces()[b], surfaces()[a])
    assert there.is_similar == back.is_similar
    assert there.volts == back.volts
    assert there.eaten == back.eaten
    if there.volts is not None:
        assert 0 <= there.volts[0] <= there.volts[1]


def test_the_rules_keep_their_sources() -> None:
    assert any("MIL-STD-1250A" in str(source) for _, source in rules())
    assert all(text for text, _ in rules())


# ---- rows ----


def _rows(wanted: str, offered: str, touches: tuple[str, ...], part: str = "casting") -> list[Row]:
    sheet = compare(
        Wanted(part, (wants("material", wanted),), use=Use.PERMIT, touches=touches),
        Offered(part, (claims("material", offered),), origin=Origin.AVIATION, evidence=(Evidence.CERTIFICATE,)),
    )
    return [row for row in sheet.rows if row.key.startswith("galvanic")]


def test_a_couple_that_was_there_before_is_said_so() -> None:
    (row,) = _rows("AZ91C-T6", "AZ91E-T6", ("6061-T6 skin",))
    assert row.verdict is Verdict.JUDGED
    assert "same couple" in row.sentence
    assert row.caution


def test_a_new_couple_has_to_be_kept_apart() -> None:
    (row,) = _rows("356-T6", "AZ91E-T6", ("6061-T6 skin",))
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None


def test_the_same_metal_is_no_couple() -> None:
    (row,) = _rows("2024-T3", "2024-T3", ("2024-T3 skin",), "sheet_part")
    assert row.verdict is Verdict.PROVEN


def test_a_neighbour_of_no_known_metal_stays_open() -> None:
    (row,) = _rows("2024-T3", "2024-T3", ("frame 4",), "sheet_part")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert "frame 4" in row.measure.what


def test_leather_and_wood_are_no_neighbours() -> None:
    assert _rows("2024-T3", "2024-T3", ("leather strap", "spruce spar"), "sheet_part") == []


def _fastener(offered: str, sheet: str) -> Row:
    ply = Ply("skin", sheet, Quantity(Kind.LENGTH, Fraction(1), "mm", "1 mm"))
    needed = part_class("solid_rivet")
    wanted = Wanted("solid_rivet", (wants("material", offered),), joint=Joint((ply,)), use=Use.PERMIT)
    given_ = Offered("solid_rivet", (measures("material", offered, instrument="analysis"),))
    changed = Wanted(wanted.part_class, (wants("material", "titanium"),), joint=wanted.joint, use=wanted.use)
    (row,) = galvanic_rows(Case(changed, given_, needed, needed))
    return row


def test_a_noble_fastener_in_a_large_sheet_is_tolerable_and_not_the_other_way_round() -> None:
    """MIL-STD-1250A para 5.7."""
    assert _fastener("stainless steel", "2024-T3").verdict is Verdict.JUDGED
    assert _fastener("2117-T4", "stainless steel").verdict is Verdict.AGAINST


@pytest.mark.parametrize("finish", ["cadmium", "Cadmium plated", "kadmiert"])
def test_the_finish_of_the_find_is_what_touches(finish: str) -> None:
    sheet = compare(
        Wanted("forged_fitting", (wants("material", "4130 N"),), use=Use.PERMIT, touches=("2024-T3",)),
        Offered("forged_fitting", (claims("material", "4130 N"), measures("finish", finish))),
    )
    row = next(row for row in sheet.rows if row.key == "galvanic_1")
    assert row.offered.startswith("cadmium")
