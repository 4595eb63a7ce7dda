"""Threads against published sizes and areas; what a thread row says of two that look alike.

Sources: ISO 898-1 stress areas of coarse threads and unified stress areas as in
published load tables (quoted); ISO 228 and ASME B1.20.1 values as quoted by fittings
makers; the British Association rule (p = 0.9ⁿ, d = 6 p^1.2) as quoted; the crest
limits follow formulas from memory. Lead errors and pair differences are arithmetic
on those sizes.
"""

from fractions import Fraction

import pytest

from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Statement
from server.domain.quantities import INCH
from server.domain.specification import Form, Known, KnownFrom, Requirement, Wanted
from server.domain.tables.read import read_table
from server.domain.threads import (
    Differs,
    Thread,
    Tool,
    crest_limits,
    differences,
    lead_error,
    listed_threads,
    read_thread,
    remark_on,
    root_area,
    stress_area,
    told_apart_by,
    twins_left,
)
from server.domain.verdict import Row, Verdict


def thread(text: str) -> Thread:
    found = read_thread(text)
    assert found is not None, text
    return found


def what(a: str, b: str) -> list[Differs]:
    return [one.what for one in differences(thread(a), thread(b))]


@pytest.mark.parametrize(
    ("text", "form", "major", "pitch", "angle"),
    [
        ("M6", "M", 6.0, 1.0, 60),
        ("M 10 x 1,5 - 6g", "M", 10.0, 1.5, 60),
        ("M6x20", "M", 6.0, 1.0, 60),  # a length hangs on to it
        ("M4x0.75", "M", 4.0, 0.75, 60),  # an old French pitch, not a length
        ("1/4-28 UNF", "UNF", 6.35, 25.4 / 28, 60),
        ('1/4"-28', "UNF", 6.35, 25.4 / 28, 60),
        ("UNF 1/4-28", "UNF", 6.35, 25.4 / 28, 60),
        ("10-32", "UNF", 4.826, 25.4 / 32, 60),
        ("#10-32", "UNF", 4.826, 25.4 / 32, 60),
        ("2 B.A.", "BA", 4.7, 0.81, 47.5),
        ("1/4 BSF", "BSF", 6.35, 25.4 / 26, 55),
        ("1/4 Whit", "BSW", 6.35, 1.27, 55),
        ("G1/8", "BSP", 9.728, 25.4 / 28, 55),
        ("1/8 BSP", "BSP", 9.728, 25.4 / 28, 55),
        ("Rp 1/4", "BSP", 13.157, 25.4 / 19, 55),
    ],
)
def test_a_call_is_read_as_diameter_pitch_and_form(
    text: str, form: str, major: float, pitch: float, angle: float
) -> None:
    found = thread(text)
    assert found.form == form
    assert found.major is not None
    assert float(found.major) == pytest.approx(major, abs=5e-4)
    assert found.pitch is not None
    assert float(found.pitch) == pytest.approx(pitch, abs=5e-4)
    assert found.angle == Fraction(str(angle))


def test_hand_and_starts_are_part_of_the_thread() -> None:
    assert thread("10-32 UNF LH").is_left_hand
    assert thread("M6 left hand").is_left_hand
    assert not thread("M6").is_left_hand
    assert thread("5/16 x 18 tpi, 2-start").starts == 2
    assert what("10-32 UNF", "10-32 UNF LH") == [Differs.HAND]


def test_a_count_without_its_form_proves_nothing() -> None:
    """1/4-20 is Unified coarse and Whitworth; 9/16-26 is in no table here."""
    assert thread("1/4-20").angle is None
    assert what("1/4-20 UNC", "1/4-20") == [Differs.UNKNOWN]
    assert thread("9/16-26 CEI").angle is None


@pytest.mark.parametrize("text", ["", "banana", "M6 or M8", "AN4", "1/4-28 or M6", "7x19"])
def test_what_is_no_single_thread_is_not_guessed(text: str) -> None:
    assert read_thread(text) is None


def test_every_row_of_the_table_is_read_back_with_its_sizes() -> None:
    """The table's own figures against the reader's: diameters, pitches and angles of every family."""
    names = {"UNC": " UNC", "UNF": " UNF", "UNS (old NF)": " NF"}
    for row in read_table("threads"):
        found = thread(row["designation"] + names.get(row["family"], ""))
        assert found.pitch is not None
        assert float(found.pitch) == pytest.approx(float(row["pitch_mm"]), abs=6e-5), row["designation"]
        assert found.angle == Fraction(row["angle_deg"]), row["designation"]
        if found.major is not None:
            assert float(found.major) == pytest.approx(float(row["major_mm"]), abs=6e-4), row["designation"]
    assert len(listed_threads()) == len(read_table("threads"))


# a published table of ISO 898-1 stress areas, mm²
ISO_AREAS = {
    "M3": 5.03, "M4": 8.78, "M5": 14.2, "M6": 20.1, "M8": 36.6, "M10": 58.0, "M12": 84.3, "M14": 115, "M16": 157,
    "M18": 192, "M20": 245, "M22": 303, "M24": 353,
}  # fmt: skip


@pytest.mark.parametrize(("name", "area"), ISO_AREAS.items())
def test_metric_stress_areas_agree_with_the_published_table(name: str, area: float) -> None:
    found = stress_area(thread(name))
    assert found is not None
    assert float(found) == pytest.approx(area, rel=0.004)


@pytest.mark.parametrize(
    ("name", "square_inches"),
    # ends of a published table of unified fine threads, and the corrected 7/16-14 of a unified coarse one
    [("#0-80 UNF", 0.0018), ("1-12 UNF", 0.663), ("7/16-14 UNC", 0.1063)],
)
def test_unified_stress_areas_agree_with_the_published_tables(name: str, square_inches: float) -> None:
    found = stress_area(thread(name))
    assert found is not None
    assert float(found / INCH**2) == pytest.approx(square_inches, rel=0.01)


def test_british_association_sizes_follow_their_rule() -> None:
    """p = 0.9ⁿ mm, d = 6 p^1.2 mm, each to two figures: not six pitches, as one page has it (4BA would be 3.96)."""
    for number in range(13):
        found = thread(f"{number}BA")
        pitch = 0.9**number
        assert found.pitch is not None
        assert found.major is not None
        assert float(found.pitch) == pytest.approx(float(f"{pitch:.2g}"), abs=0.0051)
        assert float(found.major) == pytest.approx(6 * float(found.pitch) ** 1.2, abs=0.06)
    assert thread("4BA").major == Fraction("3.6")


def test_whitworth_core_is_that_of_a_threading_table() -> None:
    """1/4 BSW core 0.186 in (threading tables: d − 1.2807 P), the hole a wrong drill list gives for tapping."""
    found = root_area(thread("1/4 BSW"))
    assert found is not None
    core = (float(found) * 4 / 3.141592653589793) ** 0.5 / 25.4
    assert core == pytest.approx(0.25 - 1.280654 / 20, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "smallest", "largest"),
    # computed crest limits of the reference table: formulas of ISO 965-1 6g and ASME B1.1 2A, from memory
    [
        ("M4", 3.839, 3.977),
        ("M5", 4.825, 4.976),
        ("M6", 5.797, 5.974),
        ("M8", 7.765, 7.971),
        ("#8-32 UNC", 3.992, 4.143),
        ("#10-32 UNF", 4.652, 4.803),
        ("1/4-28 UNF", 6.159, 6.325),
        ("5/16-24 UNF", 7.727, 7.910),
    ],
)
def test_real_crests_sit_below_the_nominal(name: str, smallest: float, largest: float) -> None:
    found = crest_limits(thread(name))
    assert found is not None
    assert float(found[0]) == pytest.approx(smallest, abs=0.0011)
    assert float(found[1]) == pytest.approx(largest, abs=0.0011)


def test_no_calliper_parts_the_smallest_m5_from_the_largest_10_32() -> None:
    m5, ten = crest_limits(thread("M5")), crest_limits(thread("#10-32 UNF"))
    assert m5 is not None
    assert ten is not None
    assert 0 < float(m5[0] - ten[1]) < 0.04  # a digital calliper's U


@pytest.mark.parametrize(
    ("a", "b", "expected", "error"),
    # differences and lead errors: arithmetic on the published sizes; D1 to D10 of the worked checks
    [
        ("10-32 UNF", "M5", [Differs.PITCH, Differs.DIAMETER], 0.038),
        ("#8-32 UNC", "M4", [Differs.PITCH, Differs.DIAMETER], 0.472),
        ("4BA", "M4", [Differs.PITCH, Differs.FORM, Differs.DIAMETER], 0.206),
        ("1/4 BSW", "1/4-20 UNC", [Differs.FORM], 0.0),
        ("1/2 BSW", "1/2-13 UNC", [Differs.PITCH, Differs.FORM], 0.977),
        ("1/4-28 UNF", "M6", [Differs.PITCH, Differs.DIAMETER], 0.557),
        ("G1/8", "M10x1", [Differs.PITCH, Differs.FORM, Differs.DIAMETER], 0.904),
        ("M4x0.75", "M4", [Differs.PITCH], 0.267),
        ("1-14 NF", "1-12 UNF", [Differs.PITCH], 3.629),
        ("M14x1.25", "M14x1.5", [Differs.PITCH], 2.333),
    ],
)
def test_pairs_that_look_alike_are_told_apart(a: str, b: str, expected: list[Differs], error: float) -> None:
    assert what(a, b) == expected
    found = lead_error(thread(a), thread(b))
    assert found is not None
    assert float(found) == pytest.approx(error, abs=0.03)


def test_a_taper_pipe_thread_is_not_its_parallel_neighbour() -> None:
    """1/8 NPT against G1/8: 27 against 28 per inch, 60° against 55°, taper against parallel (ISO 228, ASME B1.20.1)."""
    assert {Differs.PITCH, Differs.FORM, Differs.TAPER} <= set(what("1/8 NPT", "G1/8"))
    assert {Differs.PITCH, Differs.FORM} <= set(what("3/8 NPT", "3/8 BSPT"))  # 18 against 19 per inch


def test_lead_error_over_five_turns_of_8_32_and_m4() -> None:
    """Five turns: 5 × (0.79375 − 0.7) = 0.469 mm (arithmetic, D2)."""
    a, b = thread("#8-32 UNC"), thread("M4")
    assert a.pitch is not None
    assert b.pitch is not None
    assert float(5 * (a.pitch - b.pitch)) == pytest.approx(0.469, abs=5e-4)


def test_a_thread_differs_from_none_of_its_own_spellings() -> None:
    assert what("1/4-28", "1/4-28 UNF") == []
    assert what("1/4 NF", "1/4-28 UNF") == []
    assert what("G1/8", "1/8 BSP") == []
    assert what("M6x1", "M6") == []


def test_the_tools_that_tell_a_pair_apart_are_those_of_the_table() -> None:
    """Calliper from 0.20 mm, leaf gauge from 2 %, profile where the angle differs; NPT has no diameter here."""
    for row in read_table("thread_lookalikes"):
        a, b = thread(row["a"]), thread(row["b"])
        expected = {one.replace("thread go,no-go gauge only", Tool.GAUGE) for one in row["separated_by"].split(" + ")}
        found = {str(one) for one in told_apart_by(a, b)}
        if a.major is None or b.major is None:
            expected -= {"calliper"}
        assert found == expected, (row["a"], row["b"])
        assert differences(a, b), (row["a"], row["b"])


def test_every_whitworth_size_has_its_unified_twin_but_the_half_inch() -> None:
    """Same diameter and count from 1/4 to 1 in except 1/2 (12 against 13): counts of BSW and UNC as published."""
    for size in ("1/4", "5/16", "3/8", "7/16", "9/16", "5/8", "3/4", "7/8", "1"):
        counts = {"1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8}
        assert what(f"{size} BSW", f"{size}-{counts[size]} UNC") == [Differs.FORM], size


def test_what_a_gauge_leaves_standing() -> None:
    both = frozenset({Tool.CALLIPER, Tool.PITCH_GAUGE})
    assert {str(one) for one in twins_left(thread("10-32 UNF"), both)} == {"M5", "3/16 BSF"}
    assert twins_left(thread("1/4-28 UNF"), both) == ()
    assert twins_left(thread("10-32 UNF"), frozenset({Tool.GAUGE})) == ()
    assert "0BA" in {str(one) for one in twins_left(thread("M6"), both)}


def test_remarks_are_found_both_ways_round() -> None:
    assert remark_on(thread("M5"), thread("10-32 UNF")) == remark_on(thread("10-32 UNF"), thread("M5"))
    assert "slack" in remark_on(thread("M5"), thread("10-32 UNF"))
    assert remark_on(thread("M5"), thread("M5")) == ""


def row_for(wanted: str | tuple[str, ...], offered: str, *, instrument: str = "", claimed: bool = False) -> Row:
    words = (wanted,) if isinstance(wanted, str) else wanted
    basis = Basis.CLAIMED if claimed else Basis.MEASURED
    need = Wanted(
        "nut",
        tuple(Requirement("thread", Form.EXACTLY, one, words=(one,), known=Known(KnownFrom.DRAWING)) for one in words),
    )
    find = Offered("nut", (Statement("thread", basis, offered, words=(offered,), instrument=instrument),))
    return next(row for row in compare(need, find).rows if row.key == "thread")


def test_a_claim_proves_no_thread_and_a_look_neither() -> None:
    assert row_for("M6", "M6", claimed=True).verdict is Verdict.OPEN
    assert row_for("M6", "M6", instrument="eye").verdict is Verdict.OPEN
    assert row_for("1/4-28 UNF", "1/4-28", instrument="calliper").verdict is Verdict.OPEN


def test_a_gauge_proves_a_thread_only_where_no_twin_is_left() -> None:
    assert row_for("1/4-28 UNF", "1/4-28 UNF", instrument="pitch_gauge").verdict is Verdict.PROVEN
    left = row_for("10-32 UNF", "10-32 UNF", instrument="pitch_gauge")
    assert left.verdict is Verdict.OPEN
    assert "M5" in left.sentence
    assert left.measure is not None
    assert row_for("10-32 UNF", "10-32 UNF", instrument="thread_gauge").verdict is Verdict.PROVEN


@pytest.mark.parametrize("claimed", [True, False])
def test_another_thread_is_refused_with_its_figures(claimed: bool) -> None:
    row = row_for("M5", "10-32 UNF", instrument="pitch_gauge", claimed=claimed)
    assert row.verdict is Verdict.AGAINST
    assert "0.8 against 0.794" in row.sentence
    assert "can't tell these two apart" in row.sentence
    assert row.caution


def test_the_same_size_in_another_form_is_never_called_the_same() -> None:
    row = row_for("1/4 BSW", "1/4-20 UNC", instrument="thread_gauge")
    assert row.verdict is Verdict.AGAINST
    assert "whole joint" in row.sentence


def test_an_old_pitch_of_the_same_diameter_is_an_assumption() -> None:
    assert "M4 × 0.75" in row_for("M4", "M4", instrument="thread_gauge").assumption
    assert row_for("M8", "M8", instrument="thread_gauge").assumption == ""


def test_sources_that_name_one_thread_in_two_spellings_do_not_disagree() -> None:
    assert row_for(("1/4-28", "1/4-28 UNF"), "1/4-28 UNF", instrument="thread_gauge").verdict is Verdict.PROVEN
    two = row_for(("1/4-28 UNF", "1/4 BSF"), "1/4-28 UNF", instrument="thread_gauge")
    assert two.verdict is Verdict.OPEN
    assert two.measure is not None
    assert two.measure.about_original


def test_what_can_not_be_read_is_asked_for_in_words() -> None:
    row = row_for("M6", "that coarse one")
    assert row.verdict is Verdict.OPEN
    assert "that coarse one" in row.sentence
    assert row_for("as fitted", "M6").verdict is Verdict.OPEN
