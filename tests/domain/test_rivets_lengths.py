"""Rivet length against grip, against published worked examples and rules.

Names of sources: NAVEDTRA 14018 (US Navy training manual, chapter 13), Curtiss
P-40 repair manual (wartime, read in a typed copy), TM = US Army manuals,
DIN and BS figures as quoted on trade pages, makers' tables A and B.
"""

from fractions import Fraction
from typing import Any

import pytest

from server.domain import joints, rivet_holes
from server.domain.equivalence import compare
from server.domain.offer import Offered
from server.domain.quantities import INCH
from server.domain.verdict import Verdict
from tests.domain.rivet_builders import find, has_row, inch, joint, mm, need, row_of, thou

EIGHTH: dict[str, Any] = {
    "material": "2117-T4",
    "head_style": "universal",
    "body_diameter": inch("1/8", "0.122", "0.128"),
}


def solid(length: str, body: str = "1/8") -> Offered:
    return find("solid_rivet", material="AD", head_style="universal", body_diameter=inch(body),
                length_under_head=inch(length))  # fmt: skip


def setting(length: str, *sheets: str) -> tuple[Verdict, str]:
    row = row_of(need("solid_rivet", joint(*sheets), **EIGHTH), solid(length), "setting")
    return row.verdict, row.sentence.replace("\u202f", " ")


# --- solid rivets -----------------------------------------------------------------------------------------------


def test_two_sheets_of_forty_thou_ask_for_a_computed_0_2675_in_and_the_sources_round_it_apart() -> None:
    # aircraft maintenance school sheet "solid rivet" (quoted): 0.080 + 0.1875 = 0.2675, takes 1/4 in (nearest whole);
    # TM 10-5410-229-13&P: next standard length above
    lengths = joints.standard_lengths(2 * inch_of("0.040") + Fraction(3, 2) * inch_of("1/8"), inch=True)
    assert lengths is not None
    assert lengths.next_up_whole is not None
    assert lengths.nearest_whole is not None
    assert thou(lengths.target) == pytest.approx(0.2675, abs=1e-9)
    assert thou(lengths.next_up) == 9 / 32
    assert thou(lengths.next_up_whole) == 5 / 16
    assert thou(lengths.nearest_whole) == 1 / 4
    assert not lengths.agree


def inch_of(text: str) -> Fraction:
    return Fraction(text) * INCH


def test_the_sheet_names_every_rounding_and_picks_none() -> None:
    verdict, said = setting("0.25", "0.040", "0.040")
    assert verdict is Verdict.PROVEN
    for words in ("1.36 D", "0.2675 in", "9/32 in", "5/16 in", "1/4 in", "disagree"):
        assert words in said


@pytest.mark.parametrize(
    ("body", "stick_out", "share"), [("1/8", "3/16", 1.50), ("5/32", "3/16", 1.20), ("3/16", "7/32", 1.17)]
)
def test_wartime_stick_outs_lie_in_the_band_that_needs_no_remark(body: str, stick_out: str, share: float) -> None:
    # Curtiss P-40 repair manual, para 14: 3/16 for 1/8, 3/16 for 5/32, 7/32 for 3/16
    d, p = inch_of(body), inch_of(stick_out)
    needs = joints.solid_allowance(d, inch_of("0.080"))
    assert float(p / d) == pytest.approx(share, abs=0.005)
    assert needs.good_low <= p <= needs.good_high


def test_a_long_grip_adds_a_sixteenth_for_every_two_inches() -> None:
    # TM 9-2320-303-24-2 Table 5: 3/16 rivet, grip 2.5 in; whole steps 2.844, pro rata 2.859; both are kept
    d, grip = inch_of("3/16"), inch_of("2.5")
    whole, pro_rata = joints.long_grip_extra(d, grip)
    assert thou(grip + joints.TARGET * d + whole) == pytest.approx(2.844, abs=0.001)
    assert thou(grip + joints.TARGET * d + pro_rata) == pytest.approx(2.859, abs=0.001)


def test_a_long_grip_of_a_thick_rivet_adds_a_sixteenth_for_every_inch() -> None:
    # TM 9-2320-303-24-2 Table 5: 3/8 rivet, grip 2.5 in: 3.188
    d, grip = inch_of("3/8"), inch_of("2.5")
    assert thou(grip + joints.TARGET * d + joints.long_grip_extra(d, grip)[0]) == pytest.approx(3.188, abs=0.001)


def test_a_grip_up_to_the_step_adds_nothing() -> None:
    # TM 9-2320-303-24-2 Table 5: up to 2 in add 1.5 D only
    assert joints.long_grip_extra(inch_of("3/16"), inch_of("2")) == (Fraction(0), Fraction(0))


def test_three_eighths_in_an_eighty_thou_grip_is_too_long() -> None:
    # NAVEDTRA 14018 and TM 9-2320-303-24-2 Table 6: excess shank buckles; P 0.295 = 2.4 D (0.295 / 0.125)
    verdict, said = setting("3/8", "0.040", "0.040")
    assert verdict is Verdict.AGAINST
    assert "2.36 D" in said


def test_three_sixteenths_in_an_eighty_thou_grip_is_too_short() -> None:
    # NAVEDTRA 14018: too short a rivet makes too small a head; P 0.1075 = 0.86 D
    verdict, said = setting("3/16", "0.040", "0.040")
    assert verdict is Verdict.AGAINST
    assert "0.86 D" in said


def test_half_a_diameter_is_a_misprint_and_refused() -> None:
    # TM 10-5410-221-14-1 and two more print "1/2 diameter"; NAVEDTRA 14018 gives 1 1/2: 0.1425 in is refused
    verdict, _ = setting("0.1425", "0.040", "0.040")
    assert verdict is Verdict.AGAINST


def test_a_short_but_possible_rivet_has_to_be_answered_for() -> None:
    # bands between published allowances (derived): 1.0 to 1.17 D, look at the head
    row = row_of(need("solid_rivet", joint("0.040", "0.040"), **EIGHTH), solid("0.215"), "setting")
    assert row.verdict is Verdict.PROVEN
    assert row.departs
    assert "short" in row.sentence


def test_a_countersunk_rivet_is_measured_over_all() -> None:
    # NAVEDTRA 14018: two sheets .032, 3/32: .064 + .141 = .205, -3.5 (7/32) both ways with half sizes
    lengths = joints.standard_lengths(inch_of("0.064") + Fraction(3, 2) * inch_of("3/32"), inch=True)
    assert lengths is not None
    assert thou(lengths.target) == pytest.approx(0.2046, abs=0.0005)
    assert thou(lengths.next_up) == 7 / 32
    assert thou(lengths.nearest) == 7 / 32
    assert lengths.next_up_whole is not None
    assert lengths.nearest_whole is not None
    assert (thou(lengths.next_up_whole), thou(lengths.nearest_whole)) == (1 / 4, 3 / 16)
    wanted = need("solid_rivet", joint("0.032", "0.032"), head_style="countersunk", body_diameter=inch("3/32"))
    over_all = find("solid_rivet", head_style="countersunk", body_diameter=inch("3/32"), length_over_all=inch("7/32"))
    under = find("solid_rivet", head_style="countersunk", body_diameter=inch("3/32"), length_under_head=inch("7/32"))
    assert row_of(wanted, over_all, "setting").verdict is Verdict.PROVEN
    open_row = row_of(wanted, under, "setting")
    assert open_row.verdict is Verdict.OPEN
    assert open_row.measure is not None
    assert open_row.measure.characteristic == "length_over_all"


def test_a_protruding_rivet_known_over_all_loses_its_head() -> None:
    # FAA-H-8083-31 chapter 4 (quoted): round, flat and universal heads are measured under the head
    wanted = need("solid_rivet", joint("0.040", "0.040"), **EIGHTH)
    with_head = find("solid_rivet", head_style="universal", body_diameter=inch("1/8"), length_over_all=inch("0.304"),
                     head_height=inch("0.054"))  # fmt: skip
    without = find("solid_rivet", head_style="universal", body_diameter=inch("1/8"), length_over_all=inch("0.304"))
    assert row_of(wanted, with_head, "setting").verdict is Verdict.PROVEN
    assert row_of(wanted, without, "setting").verdict is Verdict.OPEN


def test_a_flush_tail_asks_for_two_thirds_of_the_diameter() -> None:
    # BS 4620 (1970), maker's page: 90° countersunk tail, setting allowance 0.667 D; d 4, grip 6: 8.67 mm
    needs = joints.flush_tail_allowance(Fraction(4), Fraction(90))
    assert needs is not None
    assert float(6 + needs.low) == pytest.approx(8.67, abs=0.005)
    assert joints.flush_tail_allowance(Fraction(4), Fraction(100)) is None


def test_the_setting_allowances_of_bs_4620_are_its_printed_column() -> None:
    # BS 4620 Table 6 as a maker's page prints it: the column against 0.667 D
    from server.domain.tables.read import read_table

    rows = [row for row in read_table("rivets_metric") if row["standard"] == "BS 4620"]
    assert len(rows) == 12
    for row in rows:
        needs = joints.flush_tail_allowance(Fraction(row["d_mm"]), Fraction(90))
        assert needs is not None
        assert float(needs.low) == pytest.approx(float(row["setting_allowance"]), abs=0.006)


def test_a_german_joint_of_two_sheets_of_1_2_mm() -> None:
    # German aircraft script (2025, quoted): 2 x 1.2 mm, 4 mm rivet, stick-out about 6, length about 8.4, next standard
    lengths = joints.standard_lengths(Fraction("2.4") + Fraction(3, 2) * 4, inch=False)
    assert lengths is not None
    assert lengths.target == Fraction("8.4")
    assert (lengths.next_up, lengths.nearest) == (Fraction(10), Fraction(8))


def test_beyond_the_published_metric_series_nothing_is_guessed() -> None:
    # DIN 660 lengths as the trade pages print them end at 28 mm
    assert joints.standard_lengths(Fraction(29), inch=False) is None


# --- semi-tubular -----------------------------------------------------------------------------------------------


def test_a_quarter_inch_semi_tubular_rivet_is_the_stack_plus_0_157() -> None:
    # maker's table A, its own worked example
    assert [(vendor, round(thou(clinch), 3)) for vendor, clinch in joints.semi_tubular_clinches(inch_of("1/4"))] == [
        ("A", 0.157)
    ]


def test_makers_disagree_on_the_clinch_and_both_are_said() -> None:
    # makers' tables A and B: body .085 to .089, clinch .045 against .054
    clinches = [round(thou(clinch), 3) for _, clinch in joints.semi_tubular_clinches(inch_of("0.087"))]
    assert clinches == [0.045, 0.054]
    needs = joints.semi_tubular_allowance(inch_of("0.087"), in_lining=False)
    assert (round(thou(needs.good_low), 3), round(thou(needs.good_high), 3)) == (0.045, 0.054)
    assert "set a few in scrap" in needs.said


SEMI: dict[str, Any] = {"material": "brass", "head_style": "oval", "body_diameter": inch("0.120", "0.115", "0.125")}


def semi(length: str, body: str = "0.120", depth: str = "0.094") -> Offered:
    return find("semi_tubular_rivet", material="brass", head_style="oval", body_diameter=inch(body),
                length_under_head=inch(length), bore_depth=inch(depth))  # fmt: skip


@pytest.mark.parametrize(("length", "verdict"), [("0.325", Verdict.PROVEN), ("0.375", Verdict.AGAINST)])
def test_a_semi_tubular_rivet_fifty_thou_too_long_splits_its_roll(length: str, verdict: Verdict) -> None:
    # makers' tables A and B: body 1/8, grip .250, clinch .074 to .075, so .325; .375 is 67 % over (common practice)
    wanted = need("semi_tubular_rivet", joint("0.125", "0.125"), **SEMI)
    assert row_of(wanted, semi(length), "setting").verdict is verdict


@pytest.mark.parametrize(
    ("depth", "first", "second", "solid_at_plane"),
    [("0.126", "0.075", "0.025", False), ("0.106", "0.075", "0.025", True), ("0.126", "0.050", "0.050", True)],
)
def test_the_bore_must_not_lie_where_the_sheets_meet(depth: str, first: str, second: str, solid_at_plane: bool) -> None:
    # body 9/64, length .192: bore .126 by tables A and C leaves .066 solid, .106 by table B leaves .086 (derived)
    wanted = need("semi_tubular_rivet", joint(first, second), head_style="oval", body_diameter=inch("0.1435"))
    row = row_of(wanted, semi("0.192", "0.1435", depth), "bore_at_plane")
    assert (row.verdict is Verdict.PROVEN) is solid_at_plane
    assert row.departs is not solid_at_plane


def test_a_bore_that_ends_outside_the_work_cannot_roll() -> None:
    # brake-lining maker's guide quoting DIN 7338: the bore's bottom lies where the clinch begins
    wanted = need("semi_tubular_rivet", joint("0.125", "0.125"), **SEMI)
    assert row_of(wanted, semi("0.325", depth="0.094"), "bore_in_joint").verdict is Verdict.PROVEN
    assert row_of(wanted, semi("0.325", depth="0.050"), "bore_in_joint").verdict is Verdict.AGAINST


def test_the_sheet_says_what_bore_to_measure_where_none_is_known() -> None:
    # missing is not zero (common practice)
    wanted = need("semi_tubular_rivet", joint("0.125", "0.125"), **SEMI)
    offered = find(
        "semi_tubular_rivet", head_style="oval", body_diameter=inch("0.120"), length_under_head=inch("0.325")
    )
    row = row_of(wanted, offered, "bore_in_joint")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.characteristic == "bore_depth"


# --- tubular and split ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stick_out", "verdict"),
    [("6.3", Verdict.AGAINST), ("6.5", Verdict.PROVEN), ("7.9", Verdict.PROVEN), ("8.1", Verdict.AGAINST)],
)
def test_a_lining_rivet_sticks_out_0_8_to_1_0_of_its_diameter(stick_out: str, verdict: Verdict) -> None:
    # brake-lining maker's guide quoting DIN 7338 practice: 8 mm tubular, 6.4 to 8.0 mm
    wanted = need("tubular_rivet", joint(mm("6"), mm("4"), material="brake lining"), body_diameter=mm("8"))
    offered = find("tubular_rivet", body_diameter=mm("8"), length_under_head=mm(f"{10 + float(stick_out):.1f}"))
    assert row_of(wanted, offered, "setting").verdict is verdict


def test_a_din_7340_rivet_of_3_by_0_3_by_20_clamps_18_mm() -> None:
    # DIN 7340, tube-rivet maker's page: RN A 3 x 0,3 x 20, z 2.0; the subtraction is ours
    assert joints.tubular_allowances(Fraction(3), Fraction("0.3")) == (Fraction(2),)
    wanted = need("tubular_rivet", joint(mm("9"), mm("9")), body_diameter=mm("3"))
    offered = find("tubular_rivet", body_diameter=mm("3"), wall=mm("0.3"), length_under_head=mm("20"))
    row = row_of(wanted, offered, "setting")
    assert row.verdict is Verdict.PROVEN
    assert not row.departs


def test_a_split_rivet_stands_a_sixteenth_to_an_eighth_over_the_stack() -> None:
    # label of a tin of split rivets (quoted): 1/16 in over for hard leather, 1/8 in for spongy
    wanted = need("split_rivet", joint("0.1875", "0.0625", material="leather"), body_diameter=inch("1/8"))
    for length, verdict in (("0.28", Verdict.AGAINST), ("0.34", Verdict.PROVEN), ("0.40", Verdict.AGAINST)):
        offered = find("split_rivet", body_diameter=inch("1/8"), length_under_head=inch(length))
        assert row_of(wanted, offered, "setting").verdict is verdict


# --- blind ------------------------------------------------------------------------------------------------------


def test_code_43_is_an_eighth_with_a_grip_of_126_to_187_thou() -> None:
    # TM 10-5410-221-14-1 Table 4-3: 1/8, grip .126 to .187, hole .128 to .132
    diameter, least, most = rivet_holes.blind_code("43")
    assert (thou(diameter), thou(least), thou(most)) == (0.125, 0.126, 0.187)
    hole = rivet_holes.blind_hole(diameter)
    assert hole is not None
    assert hole.smallest is not None
    assert (thou(hole.smallest), thou(hole.largest)) == (0.128, 0.132)
    with pytest.raises(KeyError):
        rivet_holes.blind_code("99")


def test_a_dash_four_blind_rivet_reaches_a_quarter_inch_and_no_lower_than_three_sixteenths() -> None:
    # process manual CA-1015 (-04 = .250); TM 9-2320-363-34-2: grip number n covers (n-1)/16 to n/16
    found = rivet_holes.blind_lower_end(None, inch_of("0.250"))
    assert found is not None
    assert thou(found[0]) == 3 / 16


@pytest.mark.parametrize(
    ("second", "verdict"),
    [("0.063", Verdict.AGAINST), ("0.150", Verdict.PROVEN), ("0.250", Verdict.AGAINST)],
)
def test_a_blind_rivet_is_as_wrong_below_its_grip_as_above(second: str, verdict: Verdict) -> None:
    # TM 9-2320-363-34-2 Table 7; a published case of 50 short blind rivets in a thick spar cap (shop article)
    wanted = need("blind_rivet", joint("0.063", second), body_diameter=inch("1/8"))
    offered = find("blind_rivet", body_diameter=inch("1/8"), grip_min=inch("0.188"), grip_max=inch("0.250"))
    assert row_of(wanted, offered, "setting").verdict is verdict


def test_a_lower_end_taken_from_the_bands_is_an_assumption() -> None:
    # TM 9-2320-363-34-2: grip bands of 1/16 in
    wanted = need("blind_rivet", joint("0.063", "0.150"), body_diameter=inch("1/8"))
    row = row_of(wanted, find("blind_rivet", body_diameter=inch("1/8"), grip_max=inch("0.250")), "setting")
    assert "published bands" in row.assumption
    assert row.needs_answer


@pytest.mark.parametrize(("second", "verdict"), [("0.100", Verdict.OPEN), ("0.040", Verdict.AGAINST)])
def test_the_code_on_the_box_is_a_claim_on_the_grip(second: str, verdict: Verdict) -> None:
    # TM 10-5410-221-14-1 Table 4-3: code 43 takes .126 to .187
    wanted = need("blind_rivet", joint("0.063", second), body_diameter=inch("1/8"))
    assert row_of(wanted, find("blind_rivet", grip_code="43"), "setting").verdict is verdict
    unknown = row_of(wanted, find("blind_rivet", grip_code="99"), "setting")
    assert unknown.verdict is Verdict.OPEN
    assert "not known" in unknown.sentence


def test_no_band_no_lower_end_no_proof() -> None:
    # unknown is not equal (common practice)
    wanted = need("blind_rivet", joint("0.063", "0.150"), body_diameter=inch("1/8"))
    offered = find("blind_rivet", body_diameter=inch("1/8"), grip_max=inch("0.240"))
    row = row_of(wanted, offered, "setting")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.characteristic == "grip_min"


# --- what is missing --------------------------------------------------------------------------------------------


def test_without_the_stack_the_length_stays_open_and_the_original_only_contributes() -> None:
    # missing is not zero (common practice)
    wanted = need("solid_rivet", None, **EIGHTH, length_under_head=inch("1/4", "0.234", "0.266"))
    sheet = compare(wanted, solid("1/4"))
    rows = {row.key: row for row in sheet.rows}
    assert rows["setting"].verdict is Verdict.OPEN
    assert rows["setting"].measure is not None
    assert rows["setting"].measure.about_original
    assert "every sheet" in rows["setting"].measure.what
    assert rows["length_under_head"].verdict is Verdict.PROVEN
    assert rows["length_under_head"].weight.rank > rows["setting"].weight.rank


def test_a_stack_that_is_only_estimated_proves_nothing() -> None:
    # ISO 14253-1 as quoted: without a known uncertainty nothing is proven
    wanted = need("solid_rivet", joint("0.040", "0.040", doubt=None), **EIGHTH)
    row = row_of(wanted, solid("0.25"), "setting")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.about_original


def test_a_find_that_is_no_rivet_gets_no_rivet_rows() -> None:
    wanted = need("solid_rivet", joint("0.040", "0.040"), **EIGHTH)
    assert not has_row(compare(wanted, find("general", material="steel")), "setting")
