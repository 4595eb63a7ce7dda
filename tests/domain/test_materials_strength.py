"""Figures against figures: worked material checks, each with the source of its numbers.

5J = MIL-HDBK-5J (31 Jan 2003), digitised copy of its tables; AA = Aluminum
Association typical values as quoted.
"""

from fractions import Fraction
from math import isclose

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.casting_factor import Inspection, allowable, judge_factor, least_factor
from server.domain.material_table import ValueClass, all_properties, properties
from server.domain.quantities import UNITS
from server.domain.strength import (
    STRENGTHS,
    Answer,
    Comparison,
    column_ratio,
    compare_strength,
    conductor_area_ratio,
    may_compare,
    music_wire_minimum,
    needs_bake_record,
    ratio,
    thickness_for_stiffness,
    thickness_for_strength,
    tube_area,
    tube_inertia,
    weight_change,
)

PINT: "pint.UnitRegistry[float]" = pint.UnitRegistry()


def _compared(original: str, candidate: str) -> Comparison:
    return compare_strength(properties(original), properties(candidate))


def _ratios(original: str, candidate: str) -> dict[str, float]:
    return {one.what: float(one.value) for one in _compared(original, candidate).strengths}


@pytest.mark.parametrize(
    ("typed", "unit", "other", "expected"),
    [
        ("62", "ksi", "megapascal", 427),
        ("0.100", "lb/in³", "gram / centimeter ** 3", 2.77),
        ("80", "lbf/in", "newton / millimeter", 14.0),
    ],
)
def test_units_of_the_handbook(typed: str, unit: str, other: str, expected: float) -> None:
    """Unit definitions; pint as the outside witness."""
    ours = float(UNITS[unit].to_base(Fraction(typed)))
    spelled = {
        "ksi": "kilopound_force_per_square_inch",
        "lb/in³": "pound / inch ** 3",
        "lbf/in": "pound_force / inch",
    }[unit]
    witness = PINT.Quantity(float(typed), spelled).to(other).magnitude
    assert isclose(ours, witness, rel_tol=1e-6)
    assert abs(ours - expected) < (1 if unit == "ksi" else 0.011)


def test_925_degrees_fahrenheit() -> None:
    """Unit definition: 496 °C."""
    assert round(float(UNITS["°F"].to_base(Fraction(925)))) == 496


def test_only_silicone_coated_glass_bears_220_degrees() -> None:
    """BSI scope for PVC 70 and silicone rubber 150 °C; sleeve makers for coated glass 260 °C, all quoted."""
    sleeves = {key: line.max_service_c for key, line in all_properties().items() if key.startswith("sl-")}
    assert {key for key, most in sleeves.items() if most is not None and most >= 220} == {"sl-glass-silicone"}
    assert sleeves["sl-asbestos"] is None


def test_6061_for_2017_needs_more_thickness() -> None:
    """5J 3.2.2.0(b), 3.6.2.0(b1): 55/32 against 42/35 ksi; sheet of 0.040 in."""
    ratios = _ratios("al-2017-t4-bar", "al-6061-t6-sheet")
    assert round(ratios["tension"], 3) == 0.764
    assert round(ratios["bearing"], 3) == 0.838
    by_tension = Fraction("0.040") / Fraction(ratios["tension"])
    assert round(float(by_tension), 4) == 0.0524
    assert Fraction("0.050") < by_tension < Fraction("0.063")
    assert round(0.040 / ratios["yield"], 4) == 0.0366
    assert _compared("al-2017-t4-bar", "al-6061-t6-sheet").answer is Answer.WEAKER
    needed = thickness_for_strength(Fraction("0.040"), properties("al-2017-t4-bar"), properties("al-6061-t6-sheet"))
    assert needed is not None
    assert round(float(needed), 4) == 0.0524


def test_weight_of_that_substitution() -> None:
    """5J: 0.101 and 0.098 lb/in³."""
    before, after = properties("al-2017-t4-bar"), properties("al-6061-t6-sheet")
    change = weight_change(before, after, 55 / 42)
    stock = weight_change(before, after, 0.063 / 0.040)
    assert change is not None
    assert stock is not None
    assert abs(change - 0.271) < 0.001
    assert abs(stock - 0.528) < 0.001


def test_2024_for_2017_is_stronger() -> None:
    """5J 3.2.3.0(b1): 63/42/39/129 ksi."""
    ratios = _ratios("al-2017-t4-bar", "al-2024-t3-sheet")
    assert ratios == pytest.approx({"tension": 1.145, "yield": 1.313, "shear": 1.182, "bearing": 1.229}, abs=0.001)
    change = weight_change(properties("al-2017-t4-bar"), properties("al-2024-t3-sheet"))
    assert change is not None
    assert abs(change + 0.010) < 0.001
    assert _compared("al-2017-t4-bar", "al-2024-t3-sheet").answer is Answer.AT_LEAST


def test_clad_2024_passes_a_minimum_and_is_refused_against_a_typical() -> None:
    """5J 3.2.3.0(e1) against the bar's S value, then against AA typical 62 ksi."""
    ratios = _ratios("al-2017-t4-bar", "al-2024-t3-clad-thin")
    assert (round(ratios["tension"], 3), round(ratios["yield"], 3)) == (1.073, 1.219)
    assert _compared("al-2017-t4-bar", "al-2024-t3-clad-thin").answer is Answer.AT_LEAST
    refused = _compared("al-2017-t4-typ", "al-2024-t3-clad-thin")
    assert round(float(refused.strengths[0].value), 3) == 0.952
    assert refused.answer is Answer.REFUSED


def test_soft_2024_is_never_compared_as_a_minimum() -> None:
    """AA typical 27/11 ksi against 5J 63/42."""
    refused = _compared("al-2024-t3-sheet", "al-2024-o")
    assert round(float(refused.strengths[0].value), 2) == 0.43
    assert round(float(refused.strengths[1].value), 2) == 0.26
    assert refused.answer is Answer.REFUSED


def test_4130_for_1025_tube() -> None:
    """5J 2.2.1.0(b), 2.3.1.0(c1)."""
    compared = _compared("st-1025-tube", "st-4130-n-thin")
    ratios = {one.what: float(one.value) for one in compared.strengths}
    assert (round(ratios["tension"], 2), round(ratios["yield"], 2)) == (1.73, 2.08)
    assert compared.stiffness is not None
    assert compared.stiffness.value == 1
    assert compared.weight is not None
    assert round(float(compared.weight.value) - 1, 3) == -0.004
    assert compared.answer is Answer.AT_LEAST


def test_a_thinner_4130_wall_fails_as_a_column() -> None:
    """1.000 in outside, 0.049 wall 1025 against 0.035 wall 4130 N: geometry and 5J."""
    area = tube_area(1.0, 0.035) / tube_area(1.0, 0.049)
    inertia = tube_inertia(1.0, 0.035) / tube_inertia(1.0, 0.049)
    assert round(area, 3) == 0.725
    assert round(inertia, 3) == 0.745
    assert round(95 / 55 * area, 2) == 1.25
    assert round(75 / 36 * area, 2) == 1.51
    assert column_ratio(200, tube_inertia(1.0, 0.049), 200, tube_inertia(1.0, 0.035)) < 1


@pytest.mark.parametrize(
    ("candidate", "tension", "yields"),
    [("al-a356-t6p-any", 1.88, 1.83), ("al-356-t6-sand", 1.29, 1.25)],
)
def test_an_aluminium_casting_for_a_magnesium_one(candidate: str, tension: float, yields: float) -> None:
    """5J 4.3.2.0(b), 3.9.5.0(c), 3.9.4.0(b): stronger, stiffer and heavier."""
    compared = _compared("mg-az91c-t6-sand", candidate)
    ratios = {one.what: float(one.value) for one in compared.strengths}
    assert (round(ratios["tension"], 2), round(ratios["yield"], 2)) == (tension, yields)
    assert compared.weight is not None
    assert abs(float(compared.weight.value) - 1 - 0.488) < 0.001
    assert compared.stiffness is not None
    assert abs(float(compared.stiffness.value) - 1.60) < 0.02


def test_a_test_bar_is_not_what_the_casting_bears() -> None:
    """AZ63A-T6 260 MPa as a test bar (data page, quoted) against 356-T6 in the part."""
    assert _compared("mg-az63a-t6-sand", "al-356-t6-sand").answer is Answer.REFUSED


def test_panel_stiffness_in_magnesium_and_6061() -> None:
    """E of 10.5, 6.5 and 9.9 Msi, 5J."""
    magnesium = thickness_for_stiffness(0.040, 10.5, 6.5)
    assert round(magnesium / 0.040, 3) == 1.173
    assert round(magnesium, 4) == 0.0469
    light = weight_change(properties("al-2024-t3-sheet"), properties("mg-az31b-h24-sheet"), magnesium / 0.040)
    assert light is not None
    assert abs(1 + light - 0.750) < 0.002
    other = thickness_for_stiffness(1, 10.5, 9.9)
    assert round(other, 3) == 1.020
    same = weight_change(properties("al-2024-t3-sheet"), properties("al-6061-t6-sheet"), other)
    assert same is not None
    assert abs(1 + same - 0.999) < 0.001


def test_sheet_heat_treated_by_the_shop_is_not_t3() -> None:
    """5J 3.2.3.0(b1), (b2): T42 38 against 42 ksi yield."""
    ratios = _ratios("al-2024-t3-sheet", "al-2024-t42-sheet")
    assert (round(ratios["tension"], 3), round(ratios["yield"], 3)) == (0.984, 0.905)
    assert _compared("al-2024-t3-sheet", "al-2024-t42-sheet").answer is Answer.WEAKER


def test_6061_tube_for_2024_tube_fails() -> None:
    """5J 3.2.3.0(g), 3.6.2.0(c1)."""
    ratios = _ratios("al-2024-t3-tube", "al-6061-t6-tube")
    assert ratios["tension"] == pytest.approx(0.656, abs=0.001)
    assert ratios["yield"] == pytest.approx(0.833, abs=0.001)
    assert ratios["bearing"] == pytest.approx(0.721, abs=0.001)


def test_a_candidate_minimum_may_stand_above_a_typical_original() -> None:
    """3003-H14 typical 22/21 ksi (AA) against 5052-H34 minimum 34/25 (5J 3.5.1.0(b1)): the safe direction."""
    compared = _compared("al-3003-h14-sheet", "al-5052-h34-sheet")
    ratios = {one.what: float(one.value) for one in compared.strengths}
    assert (round(ratios["tension"], 2), round(ratios["yield"], 2)) == (1.55, 1.19)
    assert compared.weight is not None
    assert abs(float(compared.weight.value) - 1 + 0.020) < 0.001
    assert compared.answer is Answer.AT_LEAST


def test_spruce_and_its_stand_ins() -> None:
    """ANC-18 Table 2-6 as quoted: shear of Douglas fir and hemlock below spruce."""
    fir = _ratios("wd-spruce-sitka", "wd-douglas-fir")
    assert (round(fir["tension"], 2), round(fir["shear"], 2)) == (1.16, 0.96)
    hemlock = _ratios("wd-spruce-sitka", "wd-w-hemlock")
    assert (round(hemlock["tension"], 2), round(hemlock["shear"], 2)) == (1.17, 0.87)
    heavier = weight_change(properties("wd-spruce-sitka"), properties("wd-douglas-fir"))
    assert heavier is not None
    assert abs(heavier - 0.179) < 0.002
    other = weight_change(properties("wd-spruce-sitka"), properties("wd-w-hemlock"))
    assert other is not None
    assert abs(other - 0.071) < 0.001


_VISUAL = frozenset({Inspection.VISUAL})
_SURFACE = _VISUAL | {Inspection.SURFACE}
_FULL = _SURFACE | {Inspection.RADIOGRAPH}


def test_a_critical_casting_with_penetrant_only_carries_half() -> None:
    """14 CFR 23.621(c); 356-T6 permanent mould 25 ksi (5J 3.9.4.0(b))."""
    strong = properties("al-356-t6-pm").uts
    assert strong is not None
    half = least_factor(_SURFACE, is_critical=True)
    assert half == 2
    assert abs(float(allowable(strong, half)) - 86) < 1
    full = least_factor(_FULL, is_critical=True)
    assert full == Fraction(5, 4)
    assert abs(float(allowable(strong, full)) - 138) < 1


def test_a_factor_between_needs_more_than_a_look() -> None:
    """14 CFR 23.621(d): non-critical, 1.75, by eye only."""
    refused = judge_factor(Fraction("1.75"), _VISUAL, is_critical=False)
    assert not refused.is_carried
    assert "penetrant" in refused.why
    assert judge_factor(Fraction("1.75"), _SURFACE, is_critical=False).is_carried
    assert judge_factor(Fraction(2), _VISUAL, is_critical=False).is_carried
    assert not judge_factor(Fraction(2), _VISUAL, is_critical=True).is_carried
    assert not judge_factor(Fraction("1.2"), _FULL, is_critical=False).is_carried
    assert "three samples" in judge_factor(Fraction("1.3"), _FULL, is_critical=True).why


def test_no_factor_raises_the_strength() -> None:
    with pytest.raises(ValueError, match="at least 1"):
        allowable(Fraction(100), Fraction(1, 2))


def test_hard_steel_needs_a_bake_record() -> None:
    """4130 at 180 ksi (5J 2.3.1.0(c2)); the line of 1000 MPa is a plater's page, quoted."""
    strong = properties("st-4130-180-tube").uts
    assert strong is not None
    assert abs(float(strong) - 1241) < 1
    assert needs_bake_record(strong)
    mild = properties("st-1025-tube").uts
    assert mild is not None
    assert not needs_bake_record(mild)


def test_music_wire_between_two_sizes() -> None:
    """ASTM A228 table as quoted: 0.041 in, 2165 MPa, 415 lbf."""
    least = music_wire_minimum(Fraction("0.041") * Fraction("25.4"))
    assert least is not None
    assert abs(float(least) - 2165) < 3
    load = PINT.Quantity(float(least), "megapascal") * PINT.Quantity(0.041, "inch") ** 2 * 3.141592653589793 / 4
    assert abs(load.to("pound_force").magnitude - 415) < 1
    assert music_wire_minimum(Fraction(10)) is None


def test_aluminium_bus_bar_for_copper() -> None:
    """100 and 57 % IACS (vendor sheet; AA typical, quoted for 1100-H18)."""
    area = conductor_area_ratio(properties("cu-c11000-h04"), properties("al-1100-h14-sheet"))
    assert area is not None
    assert round(float(area), 2) == 1.75
    lighter = weight_change(properties("cu-c11000-h04"), properties("al-1100-h14-sheet"), float(area))
    assert lighter is not None
    assert round(1 + lighter, 2) == 0.53


# ---- laws ----

_KEYS = sorted(all_properties())


@given(st.sampled_from(_KEYS), st.sampled_from(_KEYS))
def test_memory_and_strange_classes_never_decide(a: str, b: str) -> None:
    compared = compare_strength(properties(a), properties(b))
    classes = {properties(a).value_class, properties(b).value_class}
    if classes & {ValueClass.MEMORY, ValueClass.NONE}:
        assert compared.answer is Answer.REFUSED
    if compared.answer is Answer.AT_LEAST:
        assert compared.least is not None
        assert compared.least.value >= 1
    if compared.answer is Answer.WEAKER:
        assert properties(a).value_class is properties(b).value_class or all(one.is_minimum for one in classes)


@given(st.sampled_from(_KEYS), st.sampled_from(_KEYS))
def test_ratios_turn_over(a: str, b: str) -> None:
    for what in [name for name, _, _ in STRENGTHS] + ["stiffness", "weight"]:
        there, back = ratio(properties(a), properties(b), what), ratio(properties(b), properties(a), what)
        assert (there is None) == (back is None)
        if there is not None and back is not None:
            assert there.value * back.value == 1


@given(st.sampled_from(list(ValueClass)), st.sampled_from(list(ValueClass)))
def test_a_typical_candidate_never_beats_a_minimum(a: ValueClass, b: ValueClass) -> None:
    outright, if_ahead, why = may_compare(a, b)
    if a.is_minimum and not b.is_minimum:
        assert not outright
        assert not if_ahead
    assert outright or why


@given(st.floats(5, 200), st.floats(0.3, 2.4))
def test_a_tube_is_the_difference_of_two_rods(outside: float, wall: float) -> None:
    bore = outside - 2 * wall
    assert isclose(tube_area(outside, wall) + tube_area(bore, bore / 2), tube_area(outside, outside / 2), rel_tol=1e-9)


def test_a_tube_needs_a_wall() -> None:
    with pytest.raises(ValueError, match="wall"):
        tube_area(10, 6)


def test_every_line_has_a_source_and_shows_memory() -> None:
    for line in all_properties().values():
        assert line.source.document, line.key
        if line.value_class is ValueClass.MEMORY:
            assert line.source.is_shaky, line.key
