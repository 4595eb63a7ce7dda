"""Wire: names, areas, resistances, and one wire in place of another.

Unless said otherwise: AC 43.13-1B Change 1, Table 11-9 (read there) for
aircraft wire, IEC 60228 class 5 tinned as quoted by cable makers.
"""

from fractions import Fraction
from math import pi

import pint
import pytest
from fluids.piping import t_from_gauge

from server.domain.equivalence import compare
from server.domain.offer import Offered, Statement
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._wire_conductor import resistance_statement
from server.domain.parts._wire_damage import strands_allowed
from server.domain.parts._wire_names import (
    COPPER,
    aircraft_sizes,
    awg_area_mm2,
    awg_diameter_in,
    circular_mils,
    read_wire_name,
    strand_area,
)
from server.domain.quantities import UNITS, Kind
from server.domain.specification import Requirement, Role, Use, Wanted, Weight
from server.domain.tables.read import read_table
from server.domain.verdict import Outcome, Row, Sheet, Verdict

AREA, OHM = Kind.AREA, Kind.LINE_RESISTANCE


def wire(*requirements: Requirement, use: Use = Use.PERMIT) -> Wanted:
    return Wanted("electric_wire", requirements, role=Role.SYSTEMS, use=use)


def find(*statements: Statement) -> Offered:
    return Offered("electric_wire", statements)


def row(sheet: Sheet, key: str) -> Row:
    return next(one for one in sheet.rows if one.key == key)


@pytest.mark.parametrize(("number", "inches"), [(36, 0.0050), (20, 0.03196), (0, 0.3249), (-3, 0.4600)])
def test_gauge_diameters_follow_astm_b258(number: int, inches: float) -> None:
    # ASTM B258 as quoted: No. 36 and No. 0000 are given, the rest is the rule
    assert awg_diameter_in(number) == pytest.approx(inches, abs=5e-5)


def test_gauge_diameters_agree_with_a_general_library() -> None:
    for number in range(36):
        # the library rounds to about a tenth of a thou
        assert awg_diameter_in(number) == pytest.approx(t_from_gauge(number, schedule="AWG") / 0.0254, abs=1.5e-4)


def test_a_gauge_that_does_not_exist_is_refused() -> None:
    with pytest.raises(ValueError, match="no gauge"):
        awg_diameter_in(41)


def test_a_diameter_of_25_mils_is_625_circular_mils() -> None:
    # training notes, quoted
    assert circular_mils(0.025) == pytest.approx(625)


def test_the_solid_rows_are_the_rule_of_astm_b258() -> None:
    for line in read_table("wire"):
        if line["system"] == "AWG solid":
            label = line["size"]
            number = 1 - len(label) if label.startswith("0") else int(label)
            assert float(line["area_mm2"]) == pytest.approx(awg_area_mm2(number), rel=1e-3)
            assert float(line["ohm_per_km_20C"]) == pytest.approx(17.241 / awg_area_mm2(number), rel=1e-3)


def test_the_two_resistance_columns_are_one_figure() -> None:
    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    for line in read_table("wire"):
        per_foot = registry.Quantity(float(line["ohm_per_1000ft_20C"]) / 1000, "ohm / foot")
        assert per_foot.to("ohm / kilometer").magnitude == pytest.approx(float(line["ohm_per_km_20C"]), rel=1e-3)


def test_circular_mils_of_table_11_9_are_the_areas() -> None:
    printed = {"20": 1216, "18": 1900, "14": 3831, "10": 9354, "8": 16983, "0": 104500}
    for label, cmil in printed.items():
        found = read_wire_name(f"No. {label} aircraft", is_wanted=True)
        assert found is not None
        # one circular mil is π/4 of a square thousandth of an inch
        assert float(found.area) == pytest.approx(cmil * pi / 4 * 0.0254**2, rel=1e-3)


def test_aircraft_wire_is_not_solid_wire_of_the_same_number() -> None:
    # worked from Table 11-9 against ASTM B258: No. 20 +19 %, 18 +17 %, 16 -6 %, 12 -10 %
    for number, share in ((20, 19), (18, 17), (16, -6), (14, -7), (12, -10), (10, -10), (8, 3), (4, 2), (2, 0)):
        found = read_wire_name(f"No. {number} aircraft", is_wanted=True)
        assert found is not None
        assert round((float(found.area) / awg_area_mm2(number) - 1) * 100) == share


def test_the_odd_resistance_of_no_24_is_no_limit_for_copper() -> None:
    # Table 11-9 prints 28.40 ohm/1000 ft, which breaks its own column:
    # resistance times area 13 490 against 11 655 to 12 654
    sizes = {one.name: one for one, _, _ in aircraft_sizes()}
    assert sizes["24"].resistance == COPPER / sizes["24"].area
    for name, one in sizes.items():
        printed = next(line for line in read_table("wire") if line["system"] == one.system and line["size"] == name)
        # large sizes are printed to two decimals only
        if name not in {"24", "1", "0", "00", "000", "0000"}:
            assert one.resistance == Fraction(printed["ohm_per_km_20C"])


@pytest.mark.parametrize(
    ("text", "area", "ohms"),
    [
        ("No. 18 aircraft", "0.9627", "20.44"),
        ("AWG 18 solid", "0.823", "20.95"),
        ("2.5 mm²", "2.5", "8.21"),
        ("2,5 qmm", "2.5", "8.21"),
        ("1.5 mm2 class 2", "1.5", "12.2"),
        ("4/0 AWG aircraft", "106.9", "0.1969"),
        ("28/0.30", "1.979", "8.711"),
        ("14/.012 in", "1.022", "16.88"),
        ("23/.0076", "0.6732", "25.61"),
        ("4 mm auto cable", "1.85", "9.319"),
    ],
)
def test_names_are_read(text: str, area: str, ohms: str) -> None:
    found = read_wire_name(text, is_wanted=True)
    assert found is not None
    assert float(found.area) == pytest.approx(float(area), rel=1e-3)
    assert float(found.resistance_low) == pytest.approx(float(ohms), rel=1e-3)


def test_what_names_no_size_is_not_guessed() -> None:
    assert read_wire_name("red, waxed", is_wanted=True) is None


def test_a_bare_gauge_number_is_read_the_cautious_way_and_says_so() -> None:
    wanted, offered = read_wire_name("18 AWG", is_wanted=True), read_wire_name("18 AWG", is_wanted=False)
    assert wanted is not None
    assert offered is not None
    assert wanted.area > offered.area
    assert "neither solid nor aircraft" in wanted.note


@pytest.mark.parametrize(("strands", "area"), [(28, 1.98), (44, 3.11), (14, 0.99), (9, 0.64)])
def test_strands_give_the_area(strands: int, area: float) -> None:
    # a loom of strands of 0.30 mm, worked out: strands × π/4 × d²
    assert float(strand_area(strands, Fraction("0.30"))) == pytest.approx(area, abs=0.006)


def test_a_lost_zero_is_asked_about() -> None:
    # “44/0.12” was written for 44 strands of .012 in
    found = read_wire_name("44/0.12", is_wanted=True)
    assert found is not None
    assert "zero was lost" in found.note


def measured(area: str, ohms: str) -> Offered:
    """A wire whose area and resistance were measured, both within half a per cent."""
    return find(
        measures("conductor_area", size(AREA, area), expanded=str(float(area) * 0.005)),
        measures("line_resistance", size(OHM, ohms), expanded=str(float(ohms) * 0.005)),
    )


@pytest.mark.parametrize(
    ("original", "area", "ohms", "resistance", "by_area"),
    [
        # aircraft No. 18 to 1.0 mm²: passes both, resistance by 2 %
        ("No. 18 aircraft", "1.0", "20.0", Verdict.PROVEN, Verdict.PROVEN),
        # No. 20 to 0.5 mm² fails both, 0.75 mm² passes
        ("No. 20 aircraft", "0.5", "40.1", Verdict.AGAINST, Verdict.AGAINST),
        ("No. 20 aircraft", "0.75", "26.7", Verdict.PROVEN, Verdict.PROVEN),
        # No. 12 to 2.5 mm² fails, 4 mm² is the first to pass
        ("No. 12 aircraft", "2.5", "8.21", Verdict.AGAINST, Verdict.AGAINST),
        ("No. 12 aircraft", "4", "5.09", Verdict.PROVEN, Verdict.PROVEN),
        # No. 10 to 4 mm² fails, 6 mm² passes
        ("No. 10 aircraft", "4", "5.09", Verdict.AGAINST, Verdict.AGAINST),
        ("No. 10 aircraft", "6", "3.39", Verdict.PROVEN, Verdict.PROVEN),
        # No. 0 to 70 mm² passes both
        ("No. 0 aircraft", "70", "0.277", Verdict.PROVEN, Verdict.PROVEN),
    ],
)
def test_aircraft_wire_against_metric_wire(
    original: str, area: str, ohms: str, resistance: Verdict, by_area: Verdict
) -> None:
    sheet = compare(wire(wants("size_name", original)), measured(area, ohms))
    assert row(sheet, "line_resistance").verdict is resistance
    assert row(sheet, "conductor_area").verdict is by_area


def test_a_pass_by_resistance_with_too_little_area_is_a_warning() -> None:
    # aircraft No. 0 (52.95 mm², 0.394) to 50 mm² (0.393): its 0.12 ohm/1000 ft is a rounded figure
    offered = find(
        measures("conductor_area", size(AREA, "50"), expanded="0.2"),
        measures("line_resistance", size(OHM, "0.393"), expanded="0.0005"),
        measures("insulation_material", "PVC"),
        measures("insulation_class", size(Kind.TEMPERATURE, "105"), expanded="0"),
    )
    wanted = wire(
        wants("size_name", "No. 0 aircraft"),
        wants("insulation_material", "PVC"),
        wants("insulation_class", size(Kind.TEMPERATURE, "105")),
    )
    sheet = compare(wanted, offered)
    assert row(sheet, "line_resistance").verdict is Verdict.PROVEN
    area = row(sheet, "conductor_area")
    assert (area.verdict, area.weight) == (Verdict.AGAINST, Weight.CONTRIBUTES)
    assert sheet.outcome is Outcome.WITH_REASONS


@pytest.mark.parametrize(("area", "verdict"), [("1.4", Verdict.AGAINST), ("2.0", Verdict.PROVEN)])
def test_more_area_than_the_original_is_no_fault(area: str, verdict: Verdict) -> None:
    # common practice: the area is a least value
    sheet = compare(wire(wants("conductor_area", size(AREA, "1.5"))), measured(area, "9"))
    assert row(sheet, "conductor_area").verdict is verdict


def test_the_same_number_is_not_the_same_wire() -> None:
    # No. 18 aircraft to solid No. 18: 0.823 for 0.963 mm², -14.5 % (ASTM B258 against Table 11-9)
    sheet = compare(wire(wants("size_name", "No. 18 aircraft")), find(claims("size_name", "AWG 18 solid")))
    assert "-14.5%" in row(sheet, "size_name").sentence
    assert row(sheet, "conductor_area").verdict is Verdict.AGAINST
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


def test_auto_cable_named_by_its_outside_is_no_4_mm2() -> None:
    # trade page, quoted: about 1.85 mm² of copper
    sheet = compare(wire(wants("size_name", "4 mm²")), find(claims("size_name", "4 mm auto cable")))
    assert "OUTSIDE" in row(sheet, "size_name").sentence
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


def test_28_strands_of_030_are_no_2_5_mm2() -> None:
    # 1.979 mm², 8.71 ohm/km plain nominal against 8.21 at most today
    sheet = compare(wire(wants("size_name", "2.5 mm²")), find(claims("size_name", "28/0.30")))
    assert row(sheet, "line_resistance").verdict is Verdict.AGAINST


def test_a_metric_name_of_today_against_the_same_old_name_is_open() -> None:
    # copper of the full 2.5 mm² has 6.90 ohm/km, the standard lets a wire of that name have 8.21
    sheet = compare(wire(wants("size_name", "2.5 mm²")), measured("2.4", "7.6"))
    found = row(sheet, "line_resistance")
    assert found.verdict is Verdict.OPEN
    assert found.measure is not None
    assert found.measure.about_original


@pytest.mark.parametrize(
    ("copper", "aluminium", "verdict"),
    [
        ("No. 8 aircraft", "No. 6", Verdict.JUDGED),
        ("No. 8 aircraft", "No. 8", Verdict.AGAINST),
        ("No. 12 aircraft", "No. 10", Verdict.AGAINST),
    ],
)
def test_aluminium_for_copper_goes_two_sizes_up_and_stops_at_no_8(
    copper: str, aluminium: str, verdict: Verdict
) -> None:
    # AC 43.13-1B p. 11-23, note
    offered = find(measures("conductor_material", "aluminium"), claims("size_name", f"{aluminium} aircraft"))
    sheet = compare(wire(wants("size_name", copper), wants("conductor_material", "copper")), offered)
    assert row(sheet, "conductor_material").verdict is verdict


def test_aluminium_has_more_resistance_than_copper_of_its_size() -> None:
    wanted = wire(wants("size_name", "No. 8 aircraft"))
    offered = find(measures("conductor_material", "aluminium"), claims("size_name", "No. 8 aircraft"))
    assert row(compare(wanted, offered), "line_resistance").verdict is Verdict.AGAINST


@pytest.mark.parametrize(
    ("gauge", "allowed"),
    [(24, (2, 0)), (16, (2, 0)), (14, (2, 0)), (12, (4, 0)), (10, (4, 0)), (8, (6, 6)), (-3, (6, 6))],
)
def test_strands_that_may_be_hurt(gauge: int, allowed: tuple[int, int]) -> None:
    # AC 43.13-1B Table 11-13
    assert strands_allowed(gauge) == allowed
    assert strands_allowed(gauge, is_aluminium=True) == (0, 0)


def test_one_broken_strand_of_no_16_is_refused() -> None:
    # AC 43.13-1B Table 11-13
    offered = find(claims("size_name", "No. 16 aircraft"), measures("broken_strands", size(Kind.COUNT, "1")))
    assert row(compare(wire(), offered), "strand_damage").verdict is Verdict.AGAINST


def test_strands_are_proven_only_when_both_were_counted() -> None:
    some = (claims("size_name", "No. 16 aircraft"), measures("nicked_strands", size(Kind.COUNT, "2")))
    assert row(compare(wire(), find(*some)), "strand_damage").verdict is Verdict.OPEN
    both = (*some, measures("broken_strands", size(Kind.COUNT, "0")))
    assert row(compare(wire(), find(*both)), "strand_damage").verdict is Verdict.PROVEN


@pytest.mark.parametrize(
    ("strands", "modern", "area", "is_enough"),
    # an imperial loom (.012 in strands) against thin-wall cable sold by mm²: areas worked out, strands × π/4 × d²
    [
        ("28/.012 in", "28/0.30", 1.979, False),
        ("14/.012 in", "32/0.20", 1.005, False),
        ("9/.012 in", "14/0.30", 0.990, True),
    ],
)
def test_a_loom_named_by_strands(strands: str, modern: str, area: float, is_enough: bool) -> None:
    found = read_wire_name(modern, is_wanted=False)
    assert found is not None
    assert float(found.area) == pytest.approx(area, abs=0.001)
    sheet = compare(wire(wants("size_name", strands)), find(claims("size_name", modern)))
    assert (row(sheet, "conductor_area").verdict is not Verdict.AGAINST) is is_enough


def test_solid_never_stands_for_stranded() -> None:
    # common practice
    sheet = compare(wire(wants("stranding", "19 strands")), find(measures("stranding", "solid")))
    assert row(sheet, "stranding").verdict is Verdict.AGAINST


def test_more_strands_are_a_persons_decision() -> None:
    sheet = compare(wire(wants("stranding", "7 strands")), find(measures("stranding", "fine stranded")))
    assert row(sheet, "stranding").verdict is Verdict.JUDGED


def test_no_thicker_than_the_smallest_hole() -> None:
    wanted = wire(wants("smallest_hole", size(Kind.LENGTH, "4.0"), expanded="0.1"))
    thin = find(measures("outside_diameter", size(Kind.LENGTH, "3.3"), expanded="0.05"))
    thick = find(measures("outside_diameter", size(Kind.LENGTH, "4.4"), expanded="0.05"))
    assert row(compare(wanted, thin), "passes_hole").verdict is Verdict.PROVEN
    assert row(compare(wanted, thick), "passes_hole").verdict is Verdict.AGAINST
    assert row(compare(wanted, find()), "passes_hole").verdict is Verdict.OPEN


def test_an_area_gives_the_resistance_only_as_a_claim() -> None:
    offered = find(measures("conductor_area", size(AREA, "1.5"), expanded="0.01"))
    sheet = compare(wire(wants("line_resistance", size(OHM, "13"))), offered)
    assert row(sheet, "line_resistance").verdict is Verdict.OPEN


def test_resistance_from_a_name_keeps_lay_and_tin_in_mind() -> None:
    from server.domain.parts import part_class
    from server.domain.parts._kit import Case

    kind = part_class("electric_wire")
    made = resistance_statement(Case(wire(), find(claims("size_name", "28/0.30")), kind, kind))
    assert made is not None
    assert made.quantity is not None
    low, high = made.quantity.low, made.quantity.high
    assert low is not None
    assert high is not None
    # two to four per cent for lay: common practice
    assert float(high / low) == pytest.approx(1.04)


def test_ohms_per_thousand_feet_are_converted_exactly() -> None:
    # 9.88 ohm per 1000 ft of Table 11-9
    assert float(UNITS["Ω/1000 ft"].to_base(Fraction("9.88"))) == pytest.approx(32.41, abs=0.01)
