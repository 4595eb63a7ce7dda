"""Holes, heads, seats, edges, reach and metals of rivets, against published limits; and one kind in another's place.

Sources: Curtiss P-40 repair manual (wartime, read in a typed copy); MIL-HDBK-5H;
FAA AC 43.13-1B as named; US Army TM 10-5410-221-14-1; others at the check.
"""

from fractions import Fraction
from typing import Any

import pytest

from server.domain import joints, rivet_holes
from server.domain.equivalence import compare
from server.domain.offer import Offered
from server.domain.parts import part_class
from server.domain.parts._rivets import HEAD_CHOICES
from server.domain.quantities import INCH
from server.domain.specification import Access, Joint, Role, Use, Wanted
from server.domain.tables.read import read_table
from server.domain.verdict import Outcome, Verdict
from tests.domain.rivet_builders import claimed, degrees, find, has_row, inch, joint, mm, need, row_of, thou

SKIN = ("0.040", "0.040")


def wanted(head: str = "round", diameter: str = "1/8", stack: Joint | None = None, **more: Any) -> Wanted:
    d = float(Fraction(diameter))
    return need("solid_rivet", stack or joint(*SKIN, hole=inch("0.1285")), material="2117-T4", head_style=head,
                body_diameter=inch(diameter, f"{d - 0.003:.4f}", f"{d + 0.003:.4f}"), **more)  # fmt: skip


def offered(head: str = "round", body: Any = None, **more: Any) -> Offered:
    length = "length_over_all" if head == "countersunk" else "length_under_head"
    return find("solid_rivet", material="AD", head_style=head, body_diameter=body or inch("1/8"),
                **{length: inch("0.25"), **more})  # fmt: skip


# --- driven heads -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("body", ["1/8", "5/32", "3/16"])
def test_wartime_driven_heads_are_one_and_a_half_by_half_a_diameter(body: str) -> None:
    # Curtiss P-40 repair manual, para 14: .188 x .063, .234 x .078, .281 x .093
    row = next(row for row in read_table("rivets_solid") if row["d_frac_in"] == body)
    d = Fraction(row["d_in"])
    assert float(d * joints.TARGET) == pytest.approx(float(row["p40_head_width_in"]), abs=0.001)
    assert float(d * joints.TARGET_HEIGHT) == pytest.approx(float(row["p40_head_height_in"]), abs=0.001)


@pytest.mark.parametrize(
    ("diameter", "hole", "grip", "stick_out", "height"),
    [("3/16", "0.191", "0.100", "0.21875", 0.51), ("1/8", "0.1285", "0.080", "0.1875", 0.65)],
)
def test_the_shank_fills_hole_and_head(diameter: str, hole: str, grip: str, stick_out: str, height: float) -> None:
    # constant volume (derived), which meets the wartime manual's own stick-out and head
    d, dh, g, p = (Fraction(text) * INCH for text in (diameter, hole, grip, stick_out))
    assert float(joints.driven_head_height(p, d, dh, g, joints.TARGET * d) / d) == pytest.approx(height, abs=0.01)


def test_a_trial_head_passes_the_floor_and_is_told_the_target() -> None:
    # MIL-HDBK-5H para 8.1.2: at least 1.3 D by 0.3 D; 1/8 rivet, head .170 x .060: above .163 and .038, short of 1.5 D
    found = offered(trial_head_width=inch("0.170"), trial_head_height=inch("0.060"))
    width, height = (row_of(wanted(), found, f"trial_head_{what}") for what in ("width", "height"))
    assert (width.verdict, height.verdict) == (Verdict.PROVEN, Verdict.PROVEN)
    assert "aimed at is 1.5 D" in width.sentence
    small = offered(trial_head_width=inch("0.150"), trial_head_height=inch("0.060"))
    assert row_of(wanted(), small, "trial_head_width").verdict is Verdict.AGAINST


# --- holes ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("body", "verdict"),
    [("3", Verdict.AGAINST), ("3.175", Verdict.PROVEN)],
)
def test_a_3_mm_rivet_sits_loose_in_an_eighth_hole(body: str, verdict: Verdict) -> None:
    # hole .1285 (Curtiss P-40 repair manual, drill No 30): 0.264 mm of air against 0.09 for 1/8 (derived)
    row = row_of(wanted(), offered(body=mm(body)), "hole")
    assert row.verdict is verdict
    assert ("0.264" in row.sentence) is (verdict is Verdict.AGAINST)


def test_a_5_mm_rivet_does_not_enter_a_three_sixteenths_hole() -> None:
    # MIL-HDBK-5J as quoted: hole .191 = 4.85 mm
    row = row_of(wanted(diameter="3/16", stack=joint(*SKIN, hole=inch("0.191"))), offered(body=mm("5")), "hole")
    assert row.verdict is Verdict.AGAINST
    assert "doesn't go in" in row.sentence


@pytest.mark.parametrize("row", read_table("rivets_solid"), ids=lambda row: row["d_frac_in"])
def test_the_wartime_drill_never_exceeds_the_handbook_hole(row: dict[str, str]) -> None:
    # Curtiss P-40 repair manual, para 16, against MIL-HDBK-5J as quoted
    limits = rivet_holes.solid_hole(joints.inch_of(row["d_in"]), "in")
    if row["hole_p40_in"]:
        assert joints.inch_of(row["hole_p40_in"]) <= limits.largest
    assert limits.largest > joints.inch_of(row["d_in"])


def test_a_hole_of_unknown_size_is_measured_in_the_work() -> None:
    # missing is not zero (common practice)
    row = row_of(wanted(stack=joint(*SKIN)), offered(), "hole")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.about_original


def test_a_blind_rivets_hole_is_the_armys() -> None:
    # TM 10-5410-221-14-1 Table 4-3: 1/8: .128 to .132
    need_blind = need("blind_rivet", joint(*SKIN, hole=inch("0.140")), body_diameter=inch("1/8"))
    found = find("blind_rivet", body_diameter=inch("1/8"))
    assert row_of(need_blind, found, "hole").verdict is Verdict.AGAINST


# --- heads and seats --------------------------------------------------------------------------------------------


def test_a_universal_head_replaces_a_round_one_and_is_answered_for() -> None:
    # AC 43.13-1B para 4-57a(4)
    row = row_of(wanted("round"), offered("universal"), "head_style")
    assert row.verdict is Verdict.PROVEN
    assert row.departs
    assert row_of(wanted("round"), claimed(offered("universal")), "head_style").verdict is Verdict.OPEN


@pytest.mark.parametrize(("was", "now"), [("countersunk", "universal"), ("round", "countersunk")])
def test_flush_and_protruding_heads_dont_change_places(was: str, now: str) -> None:
    # NAVEDTRA 14018: a countersunk rivet is replaced by one of the same kind and angle
    assert row_of(wanted(was), offered(now), "head_style").verdict is Verdict.AGAINST


def test_another_protruding_head_is_a_persons() -> None:
    # AC 43.13-1B para 4-57a(4) names universal heads only
    row = row_of(wanted("brazier"), offered("flat"), "head_style")
    assert row.verdict is Verdict.JUDGED
    assert row.departs


@pytest.mark.parametrize(("angle", "verdict"), [("78", "AGAINST"), ("75", "AGAINST"), ("100", "PROVEN")])
def test_a_78_or_75_degree_head_does_not_seat_in_a_100_degree_dimple(angle: str, verdict: str) -> None:
    # FAA-H-8083-31 as quoted (78 against 100); DIN 661's cone of about 75 from its head sizes (derived)
    stack = joint(*SKIN, hole=inch("0.1285"), seat_angle=degrees("100"))
    row = row_of(wanted("countersunk", stack=stack), offered("countersunk", head_angle=degrees(angle)), "head_angle")
    assert row.verdict is Verdict[verdict]


@pytest.mark.parametrize("row", [row for row in read_table("rivets_metric") if row["standard"] == "DIN 661"],
                         ids=lambda row: row["d_mm"])  # fmt: skip
def test_din_661_is_neither_90_nor_100_degrees(row: dict[str, str]) -> None:
    # DIN 661 as quoted: head diameter, shank and depth of the sizes from 2 mm give 74 to 77 degrees (derived)
    from math import atan
    from math import degrees as in_degrees

    if float(row["d_mm"]) < 2:
        return
    angle = 2 * in_degrees(atan((float(row["head_dia"]) - float(row["d_mm"])) / 2 / float(row["head_height"])))
    assert 73 < angle < 78


def test_without_a_known_seat_or_cone_a_flush_head_stays_open() -> None:
    # unknown is not equal (common practice)
    row = row_of(wanted("countersunk"), offered("countersunk", head_angle=degrees("100")), "head_angle")
    assert row.verdict is Verdict.OPEN


def test_a_countersink_through_thin_skin_leaves_a_knife_edge() -> None:
    # German aircraft script as quoted: 0.2 mm of straight hole; 3/32 head: .4195 x (.179 - .094) = .036 in in 0.8 mm
    depth = rivet_holes.countersink_depth(joints.inch_of("0.179"), joints.inch_of("0.094"), Fraction("1.19175"))
    assert thou(depth) == pytest.approx(0.036, abs=0.001)
    stack = joint(mm("0.8"), mm("0.8"), seat_angle=degrees("100"))
    found = find("solid_rivet", head_style="countersunk", head_angle=degrees("100"), head_diameter=inch("0.179"),
                 body_diameter=inch("0.094"), length_over_all=inch("7/32"))  # fmt: skip
    row = row_of(wanted("countersunk", "3/32", stack), found, "countersink_depth")
    assert row.verdict is Verdict.AGAINST
    assert "knife edge" in row.sentence


def test_every_head_is_known_by_one_name_only() -> None:
    # a word that means two heads would be a silent guess
    words = [word.casefold() for one in HEAD_CHOICES for word in (one.key, *one.also)]
    assert len(words) == len(set(words))


# --- sheet, edge, pitch, reach ----------------------------------------------------------------------------------


def test_a_rivet_is_one_to_three_sheets_thick() -> None:
    # NAVEDTRA 14018: at least the thickest sheet, at most three; AC 43.13-1B para 4-58g: aim at three
    thick = wanted(stack=joint("0.040", "0.016", hole=inch("0.159"), edge_distance=inch("0.5"), pitch=inch("1")))
    assert row_of(thick, offered(body=inch("5/32")), "diameter_for_sheet").verdict is Verdict.AGAINST
    assert row_of(wanted(stack=joint("0.064", "0.064")), offered(), "diameter_for_sheet").verdict is Verdict.PROVEN


def test_the_originals_own_thickness_is_not_held_against_the_find() -> None:
    # the same rivet in the same hole keeps the original's pattern (common practice)
    row = row_of(wanted(stack=joint("0.016", "0.016")), offered(), "diameter_for_sheet")
    assert row.verdict is Verdict.JUDGED
    assert not row.departs


@pytest.mark.parametrize(("key", "short"), [("edge_distance", "0.30"), ("pitch", "0.46")])
def test_edge_and_pitch_count_for_the_larger_rivet(key: str, short: str) -> None:
    # TM 10-5410-221-14-1 and AC 43.13-1B Fig. 4-5 (quoted): two and three diameters; 5/32: .3125 and .469
    roomy: dict[str, Any] = {"edge_distance": inch("0.32"), "pitch": inch("0.5")}
    good = wanted(stack=joint(*SKIN, hole=inch("0.1285"), **roomy))
    bad = wanted(stack=joint(*SKIN, hole=inch("0.1285"), **{**roomy, key: inch(short)}))
    larger = offered(body=inch("5/32"))
    assert row_of(good, larger, key).verdict is Verdict.PROVEN
    assert row_of(bad, larger, key).verdict is Verdict.AGAINST
    assert row_of(bad, offered(), key).verdict is Verdict.PROVEN


@pytest.mark.parametrize(
    ("kind", "access", "verdict"),
    [
        ("solid_rivet", Access.BOTH, Verdict.PROVEN),
        ("solid_rivet", Access.ONE, Verdict.AGAINST),
        ("solid_rivet", Access.UNKNOWN, Verdict.OPEN),
        ("blind_rivet", Access.ONE, Verdict.PROVEN),
    ],
)
def test_only_a_blind_rivet_is_set_from_one_side(kind: str, access: Access, verdict: Verdict) -> None:
    # common practice: a solid rivet is bucked from the far side
    stack = joint(*SKIN, hole=inch("0.1285"), access=access)
    assert row_of(wanted(stack=stack), find(kind, body_diameter=inch("1/8")), "access").verdict is verdict


# --- metals that do harm ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(("alloy", "verdict"), [("AD", Verdict.AGAINST), ("5056", Verdict.PROVEN)])
def test_magnesium_takes_5056_only(alloy: str, verdict: Verdict) -> None:
    # AC 43.13-1B para 7-2d
    stack = joint(*SKIN, material="Elektron AM503", hole=inch("0.1285"))
    found = find("solid_rivet", material=alloy, head_style="round", body_diameter=inch("1/8"))
    row = row_of(wanted(stack=stack), found, "in_magnesium")
    assert row.verdict is verdict
    assert "water" in row.caution


def test_magnesium_named_among_what_it_touches_counts_too() -> None:
    # AC 43.13-1B para 7-2d
    sheet = compare(wanted(touches=("magnesium casting",)), offered())
    assert sheet.outcome is Outcome.NOT_EQUIVALENT
    assert has_row(sheet, "in_magnesium")


@pytest.mark.parametrize("kind", ["tubular_rivet", "split_rivet", "semi_tubular_rivet"])
@pytest.mark.parametrize(("metal", "verdict"), [("steel", "AGAINST"), ("copper", "PROVEN"), ("brass", "PROVEN")])
def test_steel_never_goes_into_a_lining(kind: str, metal: str, verdict: str) -> None:
    # trade guides as quoted: steel tubular in clutch linings scores the flywheel; restorers: split steel in brake bands
    stack = joint(mm("5"), mm("2"), material="woven brake lining")
    place = need(kind, stack, use=Use.DISPLAY, role=Role.SYSTEMS, material="brass", body_diameter=mm("4"))
    row = row_of(place, find(kind, material=metal, body_diameter=mm("4")), "in_lining")
    assert row.verdict is Verdict[verdict]
    assert "asbestos" in row.caution


def test_a_claimed_brass_rivet_in_a_lining_meets_the_magnet_first() -> None:
    # a claim is no measurement (common practice)
    place = need("tubular_rivet", joint(mm("5"), mm("2"), material="clutch lining"), material="brass")
    row = row_of(place, find("tubular_rivet", claimed=True, material="brass"), "in_lining")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.instrument == "Magnet"


def test_cadmium_is_said_to_whoever_handles_it() -> None:
    # cadmium is handled with gloves and never heated (common practice)
    row = row_of(wanted(), offered(finish="cadmium"), "plating_hazard")
    assert "poisonous" in row.caution


# --- one kind for another ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["semi_tubular_rivet", "tubular_rivet", "split_rivet"])
@pytest.mark.parametrize("role", [Role.PRIMARY, Role.CONTROL, Role.SECONDARY])
def test_nothing_hollow_stands_in_for_a_solid_rivet_in_structure_that_flies(kind: str, role: Role) -> None:
    # common practice; single-engine structural repair manual on hollow rivets in structure
    place = wanted(role=role)
    found = find(kind, material="brass", head_style="oval", body_diameter=inch("1/8"))
    assert row_of(place, found, "kind").verdict is Verdict.AGAINST
    assert compare(place, found).outcome is Outcome.NOT_EQUIVALENT
    on_display = wanted(role=role, use=Use.DISPLAY)
    assert row_of(on_display, found, "kind").verdict is Verdict.JUDGED


def test_a_pulled_rivet_has_no_place_in_certificated_structure() -> None:
    # AC 43.13-1B para 4-57 item (9), page 4-24
    found = find("blind_rivet", material="steel", head_style="round", body_diameter=inch("1/8"), stem="hollow",
                 grip_min=inch("0.063"), grip_max=inch("0.125"))  # fmt: skip
    row = row_of(wanted(), found, "stem_in_place")
    assert row.verdict is Verdict.AGAINST
    assert compare(wanted(), found).outcome is Outcome.NOT_EQUIVALENT


def test_blind_among_solid_rivets_is_always_a_persons_decision() -> None:
    # single-engine structural repair manual, fasteners: blind rivets give more, in whatever number
    found = find("blind_rivet", body_diameter=inch("1/8"), stem="locked")
    row = row_of(wanted(use=Use.DISPLAY), found, "mixed_pattern")
    assert row.verdict is Verdict.JUDGED
    assert row.departs


def _strap(stack: Joint | None) -> Wanted:
    return need("tubular_rivet", stack, role=Role.FURNISHING, use=Use.DISPLAY, material="brass", head_style="flat",
                body_diameter=mm("3", "2.95", "3.05"), wall=mm("0.4", "0.3", "0.5"))  # fmt: skip


def _semi(length: str = "6.0") -> Offered:
    return find("semi_tubular_rivet", material="brass", head_style="flat", body_diameter=mm("3.01"),
                length_under_head=mm(length), bore_diameter=mm("2.2"), bore_depth=mm("2.4"))  # fmt: skip


def test_a_semi_tubular_brass_rivet_for_a_tubular_one_is_equivalent_with_reasons_at_best() -> None:
    # clinch .074 to .075 in by makers' tables, 50 to 60 % of D by riveting-machine makers; the kind is a departure
    sheet = compare(_strap(joint(mm("2"), mm("2.1"), material="brass", hole=mm("3.15"))), _semi())
    kind = next(row for row in sheet.rows if row.key == "kind")
    assert sheet.outcome is Outcome.WITH_REASONS
    assert kind.verdict is Verdict.JUDGED
    assert kind.departs
    assert "Gained" in kind.sentence
    assert "Lost" in kind.sentence
    verdicts = {row.key: row.verdict for row in sheet.rows}
    assert verdicts["setting"] is Verdict.PROVEN
    assert verdicts["bore_in_joint"] is Verdict.PROVEN
    assert verdicts["wall"] is Verdict.PROVEN


@pytest.mark.parametrize("length", ["5.0", "7.5"])
def test_the_wrong_length_of_it_is_refused(length: str) -> None:
    # as above: 5.0 sticks out 0.30 D, 7.5 sticks out 1.13 D
    sheet = compare(_strap(joint(mm("2"), mm("2.1"), material="brass", hole=mm("3.15"))), _semi(length))
    assert sheet.outcome is Outcome.NOT_EQUIVALENT
    assert next(row for row in sheet.rows if row.key == "setting").verdict is Verdict.AGAINST


def test_it_stays_unproven_while_nobody_has_measured_the_stack() -> None:
    # unknown is not equal (common practice)
    sheet = compare(_strap(None), _semi())
    assert sheet.outcome is Outcome.NOT_PROVEN
    assert sheet.decided_by == "setting"


KINDS = ("solid_rivet", "semi_tubular_rivet", "tubular_rivet", "split_rivet", "blind_rivet")


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_says_what_every_other_kind_gains_and_loses(kind: str) -> None:
    # a departure is named before it is signed (common practice)
    changes = part_class(kind).stands_in
    for other in set(KINDS) - {kind}:
        assert changes[other].gained
        assert changes[other].lost


@pytest.mark.parametrize("kind", KINDS)
def test_the_worked_examples_of_the_class_come_out_as_their_sources_say(kind: str) -> None:
    # each example names its source
    for example in part_class(kind).examples:
        assert compare(example.wanted, example.offered).outcome is example.outcome, example.title


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("other", KINDS)
def test_every_row_names_a_source_and_every_open_row_says_what_to_do(kind: str, other: str) -> None:
    # the register's own rule
    stack = joint("0.040", "0.040", hole=inch("0.1285"), access=Access.UNKNOWN)
    for offer in (
        find(other),
        find(other, body_diameter=inch("1/8"), head_style="round", length_under_head=inch("0.25")),
    ):
        for row in compare(need(kind, stack, material="2117", body_diameter=inch("1/8")), offer).rows:
            assert row.sources, row.key
            if row.verdict is Verdict.OPEN:
                assert row.measure is not None, row.key
