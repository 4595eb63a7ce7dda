"""Pieces that people really offered for one another, out of a check file, argued as a mechanic would argue them.

What must come out is common practice: the trade's own judgement. Where a published figure decides, it is named
beside the case. The row named is the one that the judgement hangs on; it may not be the row that decides the whole.
"""

from typing import Any

import pytest

from server.domain.equivalence import compare
from server.domain.verdict import Outcome, Row, Sheet, Verdict
from server.services.check_file import read_check

FLYING = "flying under a type certificate"


def wish(characteristic: str, text: str, form: str = "exactly", **more: str) -> dict[str, str]:
    return {
        "characteristic": characteristic,
        "text": text,
        "form": form,
        "known_from": "drawing",
        "reference": "12-34",
    } | more


def said(characteristic: str, text: str, instrument: str = "eye") -> dict[str, str]:
    """What was looked at or measured; with the instrument "" only claimed."""
    basis = {"basis": "measured", "instrument": instrument} if instrument else {"basis": "claimed"}
    return {"characteristic": characteristic, "text": text} | basis


def sheet_of(
    part: str, wishes: list[dict[str, str]], offered: list[dict[str, str]], other: str = "", **more: Any
) -> Sheet:
    find = {name: more.pop(name) for name in ("origin", "evidence") if name in more}
    need = {"part_class": part, "use": FLYING, "role": "secondary structure", "requirements": wishes} | more
    return compare(*read_check({"need": need, "find": find | {"part_class": other or part, "statements": offered}}))


def row_of(sheet: Sheet, key: str) -> Row:
    return next(row for row in sheet.rows if row.key == key)


def test_an_eyelet_of_another_size_is_another_eyelet() -> None:
    """ISO 2768-1 class v: ±0.5 mm over 3 to 6 mm; 3/16 in is 1.59 mm over 1/8 in."""
    wishes = [wish("body_diameter", "1/8 in"), wish("material", "brass")]
    wrong = sheet_of("tubular_rivet", wishes, [said("body_diameter", "3/16 in", "")], role="systems")
    assert wrong.outcome is Outcome.NOT_EQUIVALENT
    assert wrong.decided_by == "body_diameter"
    right = sheet_of("tubular_rivet", wishes, [said("body_diameter", "1/8 in", "calliper")], role="systems")
    assert row_of(right, "body_diameter").verdict is Verdict.OPEN  # nobody knows the limits yet


def test_a_metric_bolt_is_no_inch_pin() -> None:
    """ISO 2768-1 class v: ±1 mm over 6 to 30 mm; 1.125 in is 28.575 mm, so M27 hangs 1.575 mm loose."""
    wishes = [wish("shank_diameter", "1.125 in")]
    sheet = sheet_of("pin", wishes, [said("shank_diameter", "27 mm", ""), said("thread", "M27", "")], "bolt")
    assert row_of(sheet, "shank_diameter").verdict is Verdict.AGAINST
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


@pytest.mark.parametrize("known", [{"known_from": "estimate"}, {"text": "about 1.125 in"}])
def test_of_a_vague_original_nothing_is_refused_by_size(known: dict[str, str]) -> None:
    """Own rule: what was only estimated, or is about so large, refuses nothing."""
    sheet = sheet_of("pin", [wish("shank_diameter", "1.125 in") | known], [said("shank_diameter", "27 mm", "calliper")])
    assert row_of(sheet, "shank_diameter").verdict is Verdict.OPEN


def test_a_doubt_that_reaches_the_coarsest_limit_refuses_nothing() -> None:
    """Decision rule of ISO 14253-1: 26.7 mm against 25.7 mm and more, read with a tape (U = 1.03 mm)."""
    wishes = [wish("shank_diameter", "26.7 mm")]
    assert row_of(sheet_of("pin", wishes, [said("shank_diameter", "25.6 mm", "tape")]), "shank_diameter").verdict is (
        Verdict.OPEN
    )
    assert row_of(
        sheet_of("pin", wishes, [said("shank_diameter", "25.6 mm", "micrometer")]), "shank_diameter"
    ).verdict is (Verdict.AGAINST)


def test_steel_in_a_brake_lining_scores_the_drum() -> None:
    more: dict[str, Any] = {"name": "rivet of woven brake lining", "touches": ["brake lining"], "role": "systems"}
    wishes = [wish("material", "brass"), wish("body_diameter", "1/8 in")]
    steel = sheet_of("split_rivet", wishes, [said("material", "steel", "magnet")], "tubular_rivet", **more)
    assert steel.outcome is Outcome.NOT_EQUIVALENT
    assert row_of(steel, "in_lining").verdict is Verdict.AGAINST
    brass = sheet_of("split_rivet", wishes, [said("material", "brass")], "tubular_rivet", **more)
    assert row_of(brass, "in_lining").verdict is Verdict.PROVEN
    # a lining is no metal: no couple is asked after
    assert not [row for row in brass.rows if row.key.startswith("galvanic")]


def test_a_two_start_thread_is_no_whitworth() -> None:
    sheet = sheet_of("nut", [wish("thread", "5/16 x 18 tpi two-start")], [said("thread", "5/16 BSW", "")])
    row = row_of(sheet, "thread")
    assert row.verdict is Verdict.AGAINST
    assert "wanted 5/16-18, 2-start, by its own claim, offered 5/16 BSW: 2 starts against 1." in row.sentence


def test_a_thread_is_not_told_by_its_nominal_size() -> None:
    """BS 93 and ASME B1.1: 2BA 0.81 mm pitch and 47½°, 10-32 0.794 mm and 60°."""
    sheet = sheet_of("bolt", [wish("thread", "2BA")], [said("thread", "10-32 UNF", "pitch_gauge")])
    assert row_of(sheet, "thread").verdict is Verdict.AGAINST
    assert "binds or strips" in row_of(sheet, "thread").caution


def test_brass_in_aluminium_is_eaten_or_eats() -> None:
    """MIL-HDBK-419A Table 1-24: brass and aluminium are of different groups."""
    wishes = [wish("material", "aluminium"), wish("thread_a", "1/4 NPT")]
    offered = [said("material", "brass"), said("thread_a", "1/4 NPT", "")]
    sheet = sheet_of("pipe_fitting", wishes, offered, touches=["aluminium"], role="systems")
    assert row_of(sheet, "galvanic_1").verdict is Verdict.OPEN
    assert "the one that is eaten" in row_of(sheet, "galvanic_1").sentence
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


def test_chromium_steel_tube_stands_in_for_plain_in_the_same_size() -> None:
    """AC 43.13-1B para 4-3: seamless and welded 1025 and 4130 tube; MIL-HDBK-5J: one modulus, more strength."""
    wishes = [wish("material", "1025 N"), wish("outside_diameter", "3/4 in"), wish("wall", "0.035 in"),
              wish("load", "compression")]  # fmt: skip
    offered = [said("material", "4130 N", ""), said("outside_diameter", "0.750 in", "micrometer"),
               said("wall", "0.035 in", "micrometer")]  # fmt: skip
    more: dict[str, Any] = {"origin": "aviation supply", "evidence": ["certificate"], "role": "primary structure"}
    assert sheet_of("tube", wishes, offered, **more).outcome is Outcome.WITH_REASONS


def test_thicker_plain_steel_is_stiffer_and_still_weaker() -> None:
    """MIL-HDBK-5J Tables 2.2.1.0(b) and 2.3.1.0(c1): 0.049 in of 1025 for 0.035 in of 4130."""
    wishes = [wish("material", "4130 N"), wish("outside_diameter", "3/4 in"), wish("wall", "0.035 in"),
              wish("load", "compression")]  # fmt: skip
    offered = [said("material", "1025 N", ""), said("outside_diameter", "0.750 in", "micrometer"),
               said("wall", "0.049 in", "micrometer")]  # fmt: skip
    sheet = sheet_of("tube", wishes, offered, origin="aviation supply", evidence=["certificate"])
    assert row_of(sheet, "wall").verdict is Verdict.JUDGED
    assert row_of(sheet, "as_strut").verdict is Verdict.PROVEN
    assert row_of(sheet, "pull").verdict is Verdict.AGAINST
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


SKIN = [wish("material", "2024-T3 clad"), wish("thickness", "0.025 in"), wish("load", "skin")]
PAPERS: dict[str, Any] = {"origin": "aviation supply", "evidence": ["certificate"]}


@pytest.mark.parametrize(
    ("thickness", "verdict", "outcome"),
    [
        ("0.025 in", Verdict.PROVEN, Outcome.WITH_REASONS),
        ("0.032 in", Verdict.JUDGED, Outcome.WITH_REASONS),
        ("0.020 in", Verdict.AGAINST, Outcome.NOT_EQUIVALENT),
        # class m alone would let 0.1 mm pass, which is one gauge: 0.022 in is no 0.025 in
        ("0.022 in", Verdict.AGAINST, Outcome.NOT_EQUIVALENT),
    ],
)
def test_a_thicker_skin_is_a_persons_to_judge_and_a_thinner_one_is_refused(
    thickness: str, verdict: Verdict, outcome: Outcome
) -> None:
    offered = [said("material", "2024-T3 clad", ""), said("thickness", thickness, "micrometer")]
    sheet = sheet_of("sheet_part", SKIN, offered, **PAPERS)
    assert row_of(sheet, "thickness").verdict is verdict
    assert sheet.outcome is outcome


def test_a_drawing_that_limits_the_thickness_is_kept() -> None:
    """Own rule: what a drawing limits is not judged away."""
    wishes = [wish("material", "2024-T3 clad"), wish("thickness", "0.025 ± 0.002 in"), wish("load", "skin")]
    offered = [said("material", "2024-T3 clad", ""), said("thickness", "0.032 in", "micrometer")]
    assert row_of(sheet_of("sheet_part", wishes, offered, **PAPERS), "thickness").verdict is Verdict.AGAINST


def test_a_thicker_skin_that_is_only_claimed_is_measured_first() -> None:
    offered = [said("material", "2024-T3 clad", ""), said("thickness", "0.032 in", "")]
    row = row_of(sheet_of("sheet_part", SKIN, offered, **PAPERS), "thickness")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None


def test_old_names_of_sheet_are_read() -> None:
    """TM 1-1500-204-23-6 Table 4-6: 3S is 3003, its half-hard temper H14."""
    wishes = [wish("material", "3S-1/2H"), wish("thickness", "0.020 in"), wish("load", "fairing")]
    offered = [said("material", "3003-H14"), said("thickness", "0.020 in", "micrometer")]
    assert row_of(sheet_of("sheet_part", wishes, offered, **PAPERS), "material").verdict is Verdict.PROVEN


def test_five_plies_are_no_three() -> None:
    wishes = [wish("material", "birch"), wish("build", "plywood"), wish("plies", "3"), wish("thickness", "3 mm")]
    offered = [said("plies", "5"), said("build", "plywood"), said("thickness", "3.0 mm", "calliper")]
    row = row_of(sheet_of("timber", wishes, offered), "plies")
    assert row.verdict is Verdict.AGAINST
    assert row.sentence == "Number of plies: 5, wanted: 3."


def test_a_cable_is_never_thinner_than_its_name() -> None:
    """AC 43.13-1B Table 7-3: 1/8 in 7x19 is 0.125 to 0.139 in thick, plus only."""
    wishes = [wish("construction", "7x19"), wish("diameter", "1/8 in"), wish("cable_metal", "galvanised")]
    for text, verdict in (("3.30 mm", Verdict.PROVEN), ("3.10 mm", Verdict.AGAINST), ("3.60 mm", Verdict.AGAINST)):
        offered = [said("construction", "7x19"), said("diameter", text, "micrometer")]
        assert row_of(sheet_of("control_cable", wishes, offered), "diameter").verdict is verdict


def test_a_stronger_return_spring_is_refused() -> None:
    wishes = [wish("kind_of_spring", "extension"), wish("wire_diameter", "0.035 to 0.040 in")]
    offered = [said("kind_of_spring", "extension"), said("wire_diameter", "0.062 in", "micrometer")]
    sheet = sheet_of("spring", wishes, offered, role="flight or engine control")
    assert row_of(sheet, "wire_diameter").verdict is Verdict.AGAINST
    assert any("no better" in caution for caution in sheet.cautions)


def test_natural_rubber_rots_in_petrol() -> None:
    wishes = [wish("fluid", "petrol"), wish("bore", "49.5 to 50.5 mm"), wish("section", "7.8 to 8.2 mm")]
    offered = [said("compound", "natural rubber", ""), said("bore", "50 mm", "calliper")]
    sheet = sheet_of("seal_gasket", wishes, offered, role="systems")
    assert row_of(sheet, "swelling").verdict is Verdict.AGAINST


def test_what_works_and_what_is_right_are_two_questions() -> None:
    """A braid with a blue tracer fits and is not the maker's: no row proves or refuses it, a person judges the look."""
    wishes = [wish("braid_look", "96 wires, 2 over 2", "as the sample"), wish("bore", "6.2 to 6.5 mm")]
    offered = [said("braid_look", "blue tracer"), said("bore", "6.35 mm", "calliper")]
    sheet = sheet_of("hose", wishes, offered, use="display", role="systems")
    assert row_of(sheet, "bore").verdict is Verdict.PROVEN
    assert row_of(sheet, "braid_look").verdict is Verdict.JUDGED
