"""Bends and flat patterns against the figures of FAA-H-8083-31 and AC 43.13-1B."""

from fractions import Fraction
from math import isclose, pi, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.quantities import INCH
from server.domain.sheetmetal import (
    Bend,
    BendFit,
    bend_allowance,
    bend_deduction,
    bend_limit,
    flat_pattern,
    setback,
)
from server.domain.tables.read import read_table

SQUARE = Bend(0.16)


def test_the_channel_of_the_handbook() -> None:
    """FAA-H-8083-31: channel 1.00/2.00/1.00, R 0.16, T 0.040: set-back 0.2, flats 0.8, 1.6, 0.8 (published)."""
    channel = flat_pattern([1.0, 2.0, 1.0], [SQUARE, SQUARE], 0.040)
    assert round(setback(0.16, 0.040), 4) == 0.2
    assert [round(flat, 4) for flat in channel.flats] == [0.8, 1.6, 0.8]
    assert [round(one, 4) for one in channel.allowances] == [0.2791, 0.2791]
    # the total is arithmetic with the published formula
    assert round(channel.length, 4) == pytest.approx(3.7581, abs=1e-4)


@pytest.mark.parametrize(
    ("outside", "bends", "thickness", "expected"),
    [
        ([1.0, 2.0, 1.0], [Bend(0.15625), Bend(0.15625)], 0.040, 3.7614),
        ([1.5, 1.0], [Bend(0.25)], 0.064, 2.3091),
        ([2.0, 2.0], [Bend(0.25, 45)], 0.064, 3.9584),
        ([2.0, 2.0], [Bend(0.25, 135)], 0.064, 3.1395),
        ([0.75, 1.5, 0.75], [Bend(0.094), Bend(0.094)], 0.032, 2.8358),
        ([0.5, 0.75, 1.0, 0.75, 0.5], [Bend(0.0625)] * 4, 0.025, 3.2624),
        ([25.0, 40.0], [Bend(3.0)], 1.0, 62.408),
    ],
)
def test_developed_lengths(outside: list[float], bends: list[Bend], thickness: float, expected: float) -> None:
    """Worked with the published formula, FAA-H-8083-31."""
    assert flat_pattern(outside, bends, thickness).length == pytest.approx(expected, abs=1.5e-4)


@pytest.mark.parametrize(("degrees", "printed"), [(45, 0.130), (135, 0.758)])
def test_set_backs_that_the_circular_prints(degrees: float, printed: float) -> None:
    """AC 43.13-1B 4-56: R 0.25, T 0.064."""
    assert round(setback(0.25, 0.064, degrees), 3) == printed


def test_the_factor_is_computed_where_the_chart_slips() -> None:
    """AC 43.13-1B Table 4-7 prints 26.63 at 176 degrees in the copy seen; tan 88° is 28.636."""
    assert round(setback(1.0, 0.0, 176), 2) == 28.64


def test_the_allowance_is_an_arc_near_the_middle() -> None:
    """The formula is the arc of a neutral line at 0.447 T: geometry."""
    arc = radians(90) * (0.16 + 0.447 * 0.040)
    assert isclose(bend_allowance(0.16, 0.040), arc, rel_tol=2e-3)


def test_deduction_is_what_the_outside_saves() -> None:
    flat = flat_pattern([1.5, 1.0], [Bend(0.25)], 0.064)
    assert isclose(2.5 - flat.length, bend_deduction(0.25, 0.064))


@given(st.floats(0, 10), st.floats(0.1, 5), st.floats(0, 179))
def test_a_bend_never_needs_more_than_both_legs(radius: float, thickness: float, degrees: float) -> None:
    """The blank is never longer than the outside of its legs, within the rounding of the formula."""
    assert bend_deduction(radius, thickness, degrees) >= -1e-3 * (radius + thickness)


def test_no_bend_needs_nothing() -> None:
    assert setback(3, 1, 0) == 0
    assert bend_allowance(3, 1, 0) == 0
    assert isclose(bend_allowance(1, 0, 180), pi, rel_tol=2e-3)


@pytest.mark.parametrize("degrees", [-1, 180, 200])
def test_an_impossible_bend_is_refused(degrees: float) -> None:
    with pytest.raises(ValueError, match="180"):
        setback(1, 1, degrees)


def test_legs_and_bends_have_to_fit() -> None:
    with pytest.raises(ValueError, match="one bend"):
        flat_pattern([1, 1], [], 0.1)
    with pytest.raises(ValueError, match="shorter"):
        flat_pattern([0.1, 1], [Bend(0.5)], 0.1)


def _fit(alloy: str, temper: str, radius_in: str, thickness_in: str) -> BendFit:
    thickness = Fraction(thickness_in) * INCH
    limit = bend_limit(alloy, temper, thickness)
    assert limit is not None
    return limit.judge(Fraction(radius_in) * INCH, thickness)


@pytest.mark.parametrize(
    ("alloy", "temper", "radius", "thickness", "expected"),
    [
        ("2024", "T3", "0.25", "0.064", BendFit.BETWEEN),
        ("2024", "T3", "0.094", "0.032", BendFit.BETWEEN),
        ("6061", "T6", "0.094", "0.032", BendFit.WIDE),
        ("2024", "T3", "0.0625", "0.025", BendFit.BETWEEN),
        ("2024", "T3", "0.320", "0.064", BendFit.WIDE),
        ("2024", "T3", "0.190", "0.064", BendFit.TIGHT),
        ("5052", "O", "0", "0.032", BendFit.WIDE),
    ],
)
def test_radii_of_the_table(alloy: str, temper: str, radius: str, thickness: str, expected: BendFit) -> None:
    """AC 43.13-1B Table 4-6."""
    assert _fit(alloy, temper, radius, thickness) is expected


def test_an_alloy_or_thickness_outside_the_table_has_no_radius() -> None:
    assert bend_limit("2017", "T4", Fraction(1)) is None
    assert bend_limit("2024", "T3", Fraction(10)) is None


def test_between_columns_the_thicker_rules() -> None:
    limit = bend_limit("2024", "T3", Fraction("0.025") * INCH)
    assert limit is not None
    assert limit.column == Fraction("0.032") * INCH


def test_every_row_of_the_table_is_a_range() -> None:
    for row in read_table("bend_radii"):
        low, high = Fraction(row["r_over_t_low"]), Fraction(row["r_over_t_high"])
        assert 0 <= low <= high
        # the printed inches are the same figure
        assert isclose(float(low * Fraction(row["thickness_in"])), float(row["radius_low_in"]), abs_tol=1e-4)
