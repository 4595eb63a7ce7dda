"""Limits and fits against the tables of ISO 286-1, and fits decided with the doubt of both members.

Sources: ISO 286-1 tables as quoted by a published table of DIN ISO 286; worked
fits and probabilities computed with SciPy for the reference notes (D22 to D25, C13).
"""

from fractions import Fraction

import pytest
from scipy.stats import norm

from server.domain.equivalence import compare
from server.domain.fits import clearance, read_fit, tolerance, zone
from server.domain.offer import Offered
from server.domain.parts._examples import measures, size, wants
from server.domain.quantities import Kind
from server.domain.specification import Joint, KnownFrom, Role, Use, Wanted
from server.domain.tables.read import read_table
from server.domain.verdict import Row, Verdict


@pytest.mark.parametrize(
    ("fit", "least", "most"),
    # hole basis fits, clearance in µm: worked from ISO 286-1 tables
    [
        ("20 H7/g6", 7, 41),
        ("20 H7/h6", 0, 34),
        ("20 H7/k6", -15, 19),
        ("20 H7/n6", -28, 6),
        ("20 H7/p6", -35, -1),
        ("8 H8/f7", 13, 50),
        ("6 H7/g6", 4, 24),
        ("30 H8/f7", 20, 74),
        ("50 H7/k6", -18, 23),
        ("100 H11/h11", 0, 440),
        ("6.35 H7/g6", 5, 29),
        ("25,4 H7/g6", 7, 41),
    ],
)
def test_worked_fits(fit: str, least: int, most: int) -> None:
    call = read_fit(fit)
    assert call is not None
    found = clearance(call)
    assert found is not None
    assert [float(side * 1000) for side in found] == [least, most]


@pytest.mark.parametrize(
    ("nominal", "grade", "micrometres"),
    # ISO 286-1 Table 1: the first step, a step edge, and a value the formula misses (17.3)
    [("3", 7, 10), ("3.001", 7, 12), ("18", 7, 18), ("18.001", 7, 21), ("14", 7, 18), ("40", 11, 160), ("120", 5, 15)],
)
def test_the_table_and_its_edges(nominal: str, grade: int, micrometres: int) -> None:
    found = tolerance(Fraction(nominal), grade)
    assert found is not None
    assert found * 1000 == micrometres


def test_the_table_wins_over_its_own_formula() -> None:
    """25 of the deviations and grades are not what plain rounding of the formula gives."""
    off = [
        row
        for row in read_table("fits")
        if row["kind"] == "IT" and abs(float(row["value_um"]) - float(row["formula_um"])) > 0.5
    ]
    assert off
    for row in off:
        found = tolerance(Fraction(row["to_mm"]), int(row["symbol"].removeprefix("IT")))
        assert found is not None
        assert found * 1000 == int(row["value_um"])


@pytest.mark.parametrize("name", ["H12", "x6", "R7", "IT7", "", "H7x"])
def test_what_the_table_does_not_hold_is_not_made_up(name: str) -> None:
    assert zone(Fraction(20), name) is None


def test_a_size_beyond_the_table_has_no_limits() -> None:
    assert zone(Fraction("120.001"), "H7") is None
    assert zone(Fraction(0), "H7") is None


def test_k_beyond_grade_7_has_no_deviation() -> None:
    """ISO 286-1: k is +0.6 ∛D for grades 4 to 7 and none beyond."""
    seven, eight = zone(Fraction(20), "k7"), zone(Fraction(20), "k8")
    assert seven is not None
    assert eight is not None
    assert seven.low == Fraction("20.002")
    assert eight.low == 20


def test_one_member_alone_is_kept_as_such() -> None:
    assert read_fit("shaft k6") is not None
    call = read_fit("Ø20 H7")
    assert call is not None
    assert (call.hole, call.shaft, call.nominal) == ("H7", "", Fraction(20))
    assert clearance(call) is None
    assert read_fit("20") is None


def bush_row(bore: str, bore_u: str, shaft: str, shaft_u: str, fit: str = "20 H7/g6", **more: object) -> Row:
    need = Wanted(
        "bush",
        (
            wants("fit", fit),
            wants("mating_shaft", size(Kind.LENGTH, shaft), known=KnownFrom.ON_ORIGINAL, expanded=shaft_u),
        ),
        **more,  # type: ignore[arg-type]
    )
    find = Offered("bush", (measures("bore", size(Kind.LENGTH, bore), expanded=bore_u),))
    return next(row for row in compare(need, find).rows if row.key == "clearance")


def test_a_clearance_carries_the_doubt_of_both() -> None:
    """D22: hole 20.012 (u 0.004), shaft 19.988 (u 0.0025): 24 µm, u 4.7 µm, 0.9997 within 7 to 41 µm."""
    row = bush_row("20.012", "0.008", "19.988", "0.005")
    assert row.verdict is Verdict.PROVEN
    u = (0.004**2 + 0.0025**2) ** 0.5
    expected = norm.cdf((0.041 - 0.024) / u) - norm.cdf((0.007 - 0.024) / u)
    assert row.probability == pytest.approx(expected, abs=1e-4)
    assert row.probability == pytest.approx(0.9997, abs=1e-4)


def test_a_calliper_decides_no_fit() -> None:
    assert bush_row("20.01", "0.04", "19.99", "0.01").verdict is Verdict.OPEN


def test_a_bore_too_tight_is_refused() -> None:
    assert bush_row("19.990", "0.004", "19.988", "0.002").verdict is Verdict.AGAINST


def test_flying_controls_ask_for_more_certainty() -> None:
    """Clearance 10 µm, u 1.7 µm over a limit of 7: Φ(1.76) = 0.961, enough for 0.95 and not for 0.975."""
    assert bush_row("19.998", "0.0027", "19.988", "0.0021").verdict is Verdict.PROVEN
    strict = bush_row("19.998", "0.0027", "19.988", "0.0021", role=Role.CONTROL, use=Use.PERMIT)
    assert strict.verdict is Verdict.OPEN


def test_an_unmeasured_mate_is_asked_for() -> None:
    need = Wanted("bush", (wants("fit", "20 H7/g6"),))
    find = Offered("bush", (measures("bore", size(Kind.LENGTH, "20.012"), expanded="0.008"),))
    row = next(row for row in compare(need, find).rows if row.key == "clearance")
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.about_original


def test_a_press_is_the_other_way_round() -> None:
    """20 H7/p6 pressed by 1 to 35 µm: a collar of 20.030 in a hole of 20.010 is pressed by 20 µm."""
    need = Wanted(
        "bush",
        (
            wants("fit_in_housing", "20 H7/p6"),
            wants("mating_housing", size(Kind.LENGTH, "20.010"), known=KnownFrom.ON_ORIGINAL, expanded="0.006"),
        ),
    )
    for outside, verdict in (("20.030", Verdict.PROVEN), ("20.000", Verdict.AGAINST), ("20.060", Verdict.AGAINST)):
        find = Offered("bush", (measures("outside_diameter", size(Kind.LENGTH, outside), expanded="0.006"),))
        row = next(row for row in compare(need, find).rows if row.key == "interference")
        assert row.verdict is verdict, outside


def test_a_pin_in_the_hole_of_the_joint() -> None:
    """8 H8/f7 allows 13 to 50 µm (ISO 286-1); the joint's own hole serves where none is named besides."""
    need = Wanted(
        "pin",
        (wants("fit", "8 H8/f7"),),
        joint=Joint(hole=size(Kind.LENGTH, "8.012"), hole_expanded=Fraction("0.006")),
    )
    for shank, verdict in (("7.981", Verdict.PROVEN), ("8.020", Verdict.AGAINST), ("7.90", Verdict.AGAINST)):
        find = Offered("pin", (measures("shank_diameter", size(Kind.LENGTH, shank), expanded="0.006"),))
        row = next(row for row in compare(need, find).rows if row.key == "clearance")
        assert row.verdict is verdict, shank


def test_a_class_beside_a_nominal_lays_the_limits() -> None:
    """C13: 20 h6 is 19.987 to 20.000 (ISO 286-1); 19.998 with u 0.0025 is inside by 0.788 and so undecided."""
    wanted = wants("outside_diameter", size(Kind.LENGTH, "20"))
    need = Wanted(
        "bush", (type(wanted)(wanted.characteristic, wanted.form, "20 h6", wanted.quantity, known=wanted.known),)
    )
    find = Offered("bush", (measures("outside_diameter", size(Kind.LENGTH, "19.998"), expanded="0.005"),))
    row = next(row for row in compare(need, find).rows if row.key == "outside_diameter")
    assert row.verdict is Verdict.OPEN
    assert row.probability == pytest.approx(0.7881, abs=1e-4)


def test_a_fit_that_is_in_no_table_asks_for_limits() -> None:
    row = bush_row("20.01", "0.004", "19.99", "0.004", fit="20 R7/x6")
    assert row.verdict is Verdict.OPEN
    assert "limits in mm" in row.sentence
