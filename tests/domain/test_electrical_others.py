"""Conduit, braid, terminals, markers, lamps, switches, instruments. Sources at each check."""

from fractions import Fraction

import pytest

from server.domain.drawing import Circle, Drawing
from server.domain.equivalence import compare
from server.domain.offer import Offered, Statement
from server.domain.parts import part_class
from server.domain.parts._circuit_protection import greatest_protector, switch_factor
from server.domain.parts._conduit import fill_share, least_bend, least_inside
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Case
from server.domain.parts._lamps import base_differences
from server.domain.parts._markers import marks_wanted
from server.domain.parts._position_lights import (
    colour_lies_within,
    life_factor,
    output_factor,
    planckian_y,
    read_chromaticity,
)
from server.domain.parts.rigid_conduit import inside
from server.domain.parts.shielding_braid import braid_area, optical_coverage, read_braid_name
from server.domain.quantities import INCH, Kind
from server.domain.specification import Requirement, Role, Use, Wanted
from server.domain.tables.read import read_table
from server.domain.verdict import Outcome, Row, Sheet, Verdict

LENGTH = Kind.LENGTH


def need(key: str, *requirements: Requirement, use: Use = Use.PERMIT) -> Wanted:
    return Wanted(key, requirements, role=Role.SYSTEMS, use=use)


def row(sheet: Sheet, key: str) -> Row:
    return next(one for one in sheet.rows if one.key == key)


def tube(outside: str, wall: str) -> Offered:
    return Offered(
        "rigid_conduit",
        (
            measures("outside_diameter", size(LENGTH, outside, "in"), expanded="0.04"),
            measures("wall", size(LENGTH, wall, "in"), expanded="0.02"),
        ),
    )


def test_conduit_is_a_quarter_larger_than_its_bundle() -> None:
    # AC 43.13-1B 11-249: 0.50 in asks for 0.625 in, which it fills by 64 % of the area
    assert least_inside(Fraction("0.50")) == Fraction("0.625")
    assert fill_share(Fraction("0.50"), Fraction("0.625")) == Fraction("0.64")


@pytest.mark.parametrize(
    ("outside", "within", "verdict"), [("0.75", 0.680, Verdict.PROVEN), ("0.625", 0.555, Verdict.AGAINST)]
)
def test_a_bundle_of_half_an_inch(outside: str, within: float, verdict: Verdict) -> None:
    # inside = outside - 2 walls, quoted; AC 43.13-1B 11-249
    wanted = need("rigid_conduit", wants("bundle_diameter", size(LENGTH, "0.50", "in")))
    offered = tube(outside, "0.035")
    kind = part_class("rigid_conduit")
    found = inside(Case(wanted, offered, kind, kind))
    assert found is not None
    assert float(found.value / INCH) == pytest.approx(within)
    assert row(compare(wanted, offered), "conduit_fill").verdict is verdict


def test_between_64_and_80_per_cent_a_person_answers() -> None:
    # AC 43.13-1B 11-249 against 11-252: 0.50 in within 0.58 in is 74 %
    wanted = need("flexible_conduit", wants("bundle_diameter", size(LENGTH, "0.50", "in")))
    offered = Offered("flexible_conduit", (measures("inside_diameter", size(LENGTH, "0.58", "in"), expanded="0.05"),))
    assert row(compare(wanted, offered), "conduit_fill").verdict is Verdict.JUDGED


def test_seven_wires_want_0_337_in() -> None:
    # geometry and 1.2·√n, then AC 43.13-1B 11-249
    wanted = need(
        "flexible_conduit",
        wants("bundle_wires", size(Kind.COUNT, "7")),
        wants("bundle_wire_diameter", size(LENGTH, "0.085", "in")),
    )
    offered = Offered("flexible_conduit", (claims("inside_diameter", size(LENGTH, "0.30", "in")),))
    found = row(compare(wanted, offered), "conduit_fill")
    assert found.verdict is Verdict.AGAINST
    assert found.band is not None
    assert found.band.low is not None
    assert float(found.band.low / INCH) == pytest.approx(0.337, abs=0.001)


def test_wires_bend_no_tighter_than_ten_diameters() -> None:
    # TM 1-1500-204-23-4: a wire of 0.100 in asks for 1.00 in
    for radius, verdict in (("1.00", Verdict.PROVEN), ("0.90", Verdict.JUDGED)):
        wanted = need(
            "flexible_conduit",
            wants("bundle_wire_diameter", size(LENGTH, "0.100", "in")),
            wants("bend_radius", size(LENGTH, radius, "in")),
        )
        assert row(compare(wanted, Offered("flexible_conduit")), "wire_bend").verdict is verdict


def test_the_bend_table_informs_and_proves_nothing() -> None:
    # the table is from memory: 1/2 in outside, 1-1/4 in radius
    assert least_bend("rigid_conduit_bend", INCH / 2) == Fraction(5, 4) * INCH
    assert least_bend("rigid_conduit_bend", 3 * INCH) is None
    for radius, verdict in (("2", Verdict.JUDGED), ("1", Verdict.OPEN)):
        wanted = need("rigid_conduit", wants("bend_radius", size(LENGTH, radius, "in")))
        found = row(compare(wanted, tube("0.5", "0.035")), "bend")
        assert found.verdict is verdict
        assert any(source.is_shaky for source in found.sources)


def test_least_bend_radii_grow_with_the_size() -> None:
    for kind in ("rigid_conduit_bend", "flex_conduit_bend"):
        radii = [float(line["min_bend_radius_in"]) for line in read_table("conduit") if line["kind"] == kind]
        assert radii == sorted(radii)


def test_tubes_of_the_table_are_outside_less_two_walls() -> None:
    # NAVEDTRA 14315 Table 10-14; straight inside by arithmetic
    for line in read_table("conduit"):
        if line["kind"] == "rigid_tube":
            wall = float(line["size_label"].split(" x ")[1].split(" ")[0])
            assert float(line["nominal_id_in"]) == pytest.approx(float(line["od_in"]) - 2 * wall, abs=0.0015)


def test_a_kinked_bend_is_refused() -> None:
    # handbook text, quoted
    offered = Offered("rigid_conduit", (measures("bend_made", "slightly kinked"),))
    assert row(compare(need("rigid_conduit"), offered), "kinked_bend").verdict is Verdict.AGAINST


def test_the_conduit_figure_is_to_scale() -> None:
    kind = part_class("rigid_conduit")
    wanted = need("rigid_conduit", wants("bundle_diameter", size(LENGTH, "10")))
    offered = Offered(
        "rigid_conduit", (claims("outside_diameter", size(LENGTH, "16")), claims("wall", size(LENGTH, "1")))
    )
    assert kind.draw is not None
    figure = kind.draw(Case(wanted, offered, kind, kind))
    assert isinstance(figure, Drawing)
    assert sorted(shape.radius for shape in figure.shapes if isinstance(shape, Circle)) == [5.0, 7.0, 8.0]


def test_a_braid_name_gives_its_metal() -> None:
    # maker's guide, quoted: 48-32-30 called 3/0 equivalent; 48 × 32 × 100.5 = 154 368 circular mils, 3/0 has 167 800
    named = read_braid_name("48-32-30")
    assert named is not None
    assert named[:2] == (48, 32)
    circular_mils = float(named[2] / INCH * 1000) ** 2 * 48 * 32
    assert circular_mils == pytest.approx(154368, rel=0.002)
    assert float(braid_area(*named)) == pytest.approx(circular_mils * 5.067e-4, rel=0.001)
    assert read_braid_name("red") is None
    # by metal it lies between 2/0 and 3/0 (ASTM B258)
    assert 67.43 < float(braid_area(*named)) < 85.03


def test_coverage_is_a_share_that_grows_with_the_picks() -> None:
    # formula from memory: only its sense is checked
    shares = [optical_coverage(24, 9, 0.127, 6.0, picks / 100) for picks in range(10, 60, 5)]
    assert shares == sorted(shares)
    assert all(0 < share <= 1 for share in shares)


def test_five_lugs_on_a_stud_are_one_too_many() -> None:
    # AC 43.13-1B 11-174b
    for lugs, verdict in (("4", Verdict.PROVEN), ("5", Verdict.AGAINST)):
        wanted = need("terminal_block", wants("terminals_per_stud", size(Kind.COUNT, lugs)))
        assert row(compare(wanted, Offered("terminal_block")), "terminals_on_stud").verdict is verdict


def test_contact_ratings_from_memory_prove_nothing() -> None:
    wanted = need("terminal_block", wants("current", size(Kind.CURRENT, "20")))
    found = row(compare(wanted, Offered("terminal_block", (measures("contact_size", "16"),))), "rating_for_current")
    assert found.verdict is Verdict.JUDGED


@pytest.mark.parametrize(
    ("inches", "marks"),
    # AC 43.13-1B 11-208: none under 3 in, one to 7 in; 20 ft: (240 - 6) / 15 = 15.6, so 16 gaps and 17 marks
    [("2.5", 0), ("3", 1), ("5", 1), ("7", 1), ("21", 2), ("22", 3), ("240", 17)],
)
def test_marks_along_a_wire(inches: str, marks: int) -> None:
    assert marks_wanted(Fraction(inches) * INCH) == marks


def test_marks_further_apart_than_15_in_are_refused() -> None:
    # AC 43.13-1B 11-208
    wanted = need("wire_marker", wants("wire_length", size(LENGTH, "20", "ft")))
    for pitch, verdict in (("14", Verdict.PROVEN), ("18", Verdict.AGAINST)):
        offered = Offered(
            "wire_marker",
            (
                measures("form", "ink mark on the insulation"),
                measures("pitch", size(LENGTH, pitch, "in"), expanded="1"),
            ),
        )
        assert row(compare(wanted, offered), "pitch").verdict is verdict


@pytest.mark.parametrize(("beneath", "verdict"), [("no", Verdict.AGAINST), ("yes", Verdict.JUDGED), ("", Verdict.OPEN)])
def test_a_metal_tag_needs_a_sleeve_beneath(beneath: str, verdict: Verdict) -> None:
    # AC 43.13-1B 11-205b, caution: faithful to the original, and the circular warns of it
    said: list[Statement] = [measures("form", "metal wrap tag")]
    if beneath:
        said.append(measures("sleeve_beneath", beneath))
    sheet = compare(need("wire_marker", wants("form", "metal wrap tag")), Offered("wire_marker", tuple(said)))
    found = row(sheet, "sleeve_beneath")
    assert found.verdict is verdict
    assert found.caution


def test_hot_stamping_wants_a_wall_over_ten_mils() -> None:
    # AC 43.13-1B 11-209 and 11-210
    for wall, verdict in (("0.015", Verdict.PROVEN), ("0.010", Verdict.AGAINST), ("0.008", Verdict.AGAINST)):
        wanted = need("wire_marker", wants("insulation_wall", size(LENGTH, wall, "in")))
        offered = Offered("wire_marker", (measures("form", "hot stamp"),))
        assert row(compare(wanted, offered), "hot_stamp").verdict is verdict


@pytest.mark.parametrize(
    ("holder", "told"), [("BAU15s", "pin position"), ("BA15d", "1 contact for 2"), ("BAY15d", "3.2 mm axial offset")]
)
def test_a_ba15s_lamp_fits_none_of_its_lookalikes(holder: str, told: str) -> None:
    # IEC 60061 designations, quoted
    sheet = compare(need("lamp", wants("base", holder)), Offered("lamp", (measures("base", "BA15s"),)))
    found = row(sheet, "base")
    assert found.verdict is Verdict.AGAINST
    assert told in found.sentence
    assert base_differences(holder, holder) == []


def test_a_two_wire_holder_wants_two_contacts() -> None:
    # Navy manual: single- and double-contact lamps are not interchangeable
    wanted = need("lamp", wants("return_path", "insulated return"))
    sheet = compare(wanted, Offered("lamp", (measures("base", "BA15s"),)))
    assert row(sheet, "return").verdict is Verdict.AGAINST


@pytest.mark.parametrize(
    ("key", "candles", "verdict"),
    [
        # 14 CFR 23.1391: 35 candles at 5° fail (40 wanted), 30 at 15° and 5 at 100° stand on their limits
        ("intensity_ahead", "35", Verdict.AGAINST),
        ("intensity_off", "30", Verdict.PROVEN),
        ("intensity_side", "5", Verdict.PROVEN),
    ],
)
def test_candles_of_a_red_position_light(key: str, candles: str, verdict: Verdict) -> None:
    wanted = need("lamp", wants("position_light", "red"))
    offered = Offered("lamp", (measures(key, size(Kind.INTENSITY, candles), expanded="0"),))
    assert row(compare(wanted, offered), key).verdict is verdict


@pytest.mark.parametrize(
    ("colour", "x", "y", "inside_"),
    [
        # 14 CFR 23.1397
        ("red", "0.690", "0.309", True),
        ("red", "0.655", "0.340", False),
        # on the limits y = 0.335 and z = 0.002, and just past them
        ("red", "0.665", "0.335", True),
        ("red", "0.664", "0.336", False),
        ("red", "0.690", "0.308", True),
        ("red", "0.690", "0.307", False),
        ("green", "0.20", "0.55", True),
        ("green", "0.40", "0.45", False),
        ("white", "0.4476", "0.4075", True),
        ("white", "0.60", "0.38", False),
        ("white", "0.31", "0.40", False),
    ],
)
def test_colours_of_position_lights(colour: str, x: str, y: str, inside_: bool) -> None:
    assert colour_lies_within(colour, Fraction(x), Fraction(y)) is inside_


def test_the_full_radiator_passes_through_standard_illuminant_a() -> None:
    # CIE standard illuminant A, 2856 K: x 0.44758, y 0.40745 (from memory, as in every colour handbook)
    assert planckian_y(0.44758) == pytest.approx(0.40745, abs=5e-4)


def test_chromaticity_is_read_or_refused() -> None:
    assert read_chromaticity("x 0.690 y 0.309") == (Fraction("0.690"), Fraction("0.309"))
    assert read_chromaticity("x=0,69, y=0,309") == (Fraction("0.69"), Fraction("0.309"))
    assert read_chromaticity("nice red") is None
    assert read_chromaticity("x 0.7 y 0.6") is None


def test_an_led_behind_coloured_glass_has_to_be_measured() -> None:
    # common practice; 14 CFR 29.1389(a): measured with covers and filters in place
    wanted = need("lamp", wants("position_light", "green"))
    led = (measures("light_source", "LED"),)
    assert row(compare(wanted, Offered("lamp", led)), "chromaticity").verdict is Verdict.OPEN
    claimed = (*led, claims("chromaticity", "x 0.20 y 0.55"))
    assert row(compare(wanted, Offered("lamp", claimed)), "chromaticity").verdict is Verdict.OPEN
    seen = (*led, measures("chromaticity", "x 0.20 y 0.55"))
    assert row(compare(wanted, Offered("lamp", seen)), "chromaticity").verdict is Verdict.PROVEN
    wrong = (*led, measures("chromaticity", "x 0.30 y 0.35"))
    assert row(compare(wanted, Offered("lamp", wrong)), "chromaticity").verdict is Verdict.AGAINST


def test_a_28_v_lamp_at_24_v_lives_longer_and_dims() -> None:
    # 12th power quoted: life × 6.4; 3.5th power from memory: candlepower × 0.58
    assert life_factor(Fraction(28), Fraction(24)) == pytest.approx(6.36, abs=0.02)
    assert output_factor(Fraction(28), Fraction(24)) == pytest.approx(0.583, abs=0.002)


def test_a_12_v_lamp_burns_out_at_once_on_24_v() -> None:
    # the same 12th power
    wanted = need("lamp", wants("system_voltage", size(Kind.VOLTAGE, "24")))
    offered = Offered("lamp", (measures("voltage", size(Kind.VOLTAGE, "12"), expanded="0"),))
    assert row(compare(wanted, offered), "lamp_on_system").verdict is Verdict.AGAINST


def test_more_watts_than_the_fitting_bears_are_refused() -> None:
    wanted = need("lamp", wants("fitting_watts", size(Kind.POWER, "10")))
    offered = Offered("lamp", (measures("watts", size(Kind.POWER, "21"), expanded="0"),))
    assert row(compare(wanted, offered), "fitting_watts").verdict is Verdict.AGAINST


@pytest.mark.parametrize(
    ("gauge", "breaker", "fuse"),
    # AC 43.13-1B Table 11-3
    [(22, "5", "5"), (20, "7.5", "5"), (18, "10", "10"), (14, "20", "15"), (8, "50", "50"), (0, None, "150")],
)
def test_what_protects_a_wire(gauge: int, breaker: str | None, fuse: str) -> None:
    assert greatest_protector(gauge, is_breaker=True) == (Fraction(breaker) if breaker else None)
    assert greatest_protector(gauge, is_breaker=False) == Fraction(fuse)


def test_no_protector_for_a_wire_the_table_does_not_know() -> None:
    assert greatest_protector(24, is_breaker=True) is None


@pytest.mark.parametrize(
    ("volts", "load", "factor"),
    # AC 43.13-1B Table 11-4
    [
        (28, "lamp", 8),
        (28, "inductive", 4),
        (28, "resistive", 2),
        (28, "motor", 3),
        (12, "lamp", 5),
        (12, "inductive", 2),
        (12, "resistive", 1),
        (12, "motor", 2),
    ],
)
def test_switch_factors(volts: int, load: str, factor: int) -> None:
    assert switch_factor(Fraction(volts), load) == factor


def test_no_factor_outside_the_table() -> None:
    assert switch_factor(Fraction(6), "lamp") is None
    assert switch_factor(Fraction(28), "") is None


def test_a_larger_fuse_protects_nothing() -> None:
    # AC 43.13-1B Table 11-3: No. 18 takes a 10 A fuse
    wanted = need("switch_fuse", wants("form", "fuse"), wants("wire_size", "No. 18 aircraft"))
    for amperes, verdict in (("10", Verdict.PROVEN), ("15", Verdict.AGAINST)):
        offered = Offered(
            "switch_fuse",
            (measures("form", "fuse"), measures("current_rating", size(Kind.CURRENT, amperes), expanded="0")),
        )
        assert row(compare(wanted, offered), "protects_wire").verdict is verdict


def test_an_ac_switch_in_a_dc_circuit_is_refused() -> None:
    # AC 43.13-1B p. 11-17, warning
    offered = Offered("switch_fuse", (claims("rated_for", "AC"),))
    assert row(compare(need("switch_fuse"), offered), "rated_for").verdict is Verdict.AGAINST


def test_a_switch_never_stands_for_a_fuse() -> None:
    # common practice
    sheet = compare(
        need("switch_fuse", wants("form", "fuse")), Offered("switch_fuse", (measures("form", "toggle switch"),))
    )
    assert row(sheet, "form").verdict is Verdict.AGAINST


@pytest.mark.parametrize(
    ("paint", "verdict"),
    [
        ("radium", Verdict.JUDGED),
        ("luminous, not known", Verdict.OPEN),
        ("no", Verdict.PROVEN),
        ("tested", Verdict.JUDGED),
    ],
)
def test_luminous_paint_is_known_before_anybody_opens_it(paint: str, verdict: Verdict) -> None:
    # radiation-protection and museum-trade notes, quoted
    sheet = compare(need("instrument"), Offered("instrument", (measures("luminous", paint),)))
    found = row(sheet, "luminous")
    assert found.verdict is verdict
    assert bool(found.caution) is (paint in {"radium", "luminous, not known"})


def test_an_instrument_that_flies_wants_a_bench_test() -> None:
    # common practice
    offered = Offered("instrument", (measures("luminous", "no"),))
    assert row(compare(need("instrument"), offered), "condition").verdict is Verdict.OPEN
    on_display = compare(need("instrument", use=Use.DISPLAY), offered)
    assert all(one.key != "condition" for one in on_display.rows)


def test_another_dial_is_a_persons_decision() -> None:
    sheet = compare(
        need("instrument", wants("dial_unit", "km/h")), Offered("instrument", (measures("dial_unit", "mph"),))
    )
    assert row(sheet, "dial_unit").verdict is Verdict.JUDGED
    assert sheet.outcome is not Outcome.LIKE_FOR_LIKE
