"""Springs, cables, rubber, cloth, gauze, dishes, glass and placards: the rules of their classes.

Sources: AC 43.13-1B (8 Sep 1998) Tables 2-1 and 7-3 and paragraphs as named at
each check; the torsion of a round bar (elasticity) for the spring; worked
figures of public pages for gauze and dishes; the rest is common practice.
"""

from fractions import Fraction
from math import pi

import pytest

from server.domain.cable_strength import least_breaking_strength
from server.domain.equivalence import compare
from server.domain.fabric_strength import LIMITS
from server.domain.offer import Offered, Statement
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._screens_mirrors import focal_length, opening_of
from server.domain.quantities import INCH, UNITS, Kind
from server.domain.rubber import is_spoiled, read_cure_date
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.spring_rate import MODULI, Measured, modulus_key, rate, rate_with_doubt
from server.domain.verdict import Outcome, Row, Sheet, Verdict

LBF = UNITS["lbf"]


def sheet_of(
    key: str,
    wanted: list[Requirement],
    offered: list[Statement],
    role: Role = Role.SECONDARY,
    use: Use = Use.PERMIT,
) -> Sheet:
    return compare(Wanted(key, tuple(wanted), role=role, use=use), Offered(key, tuple(offered)))


def row_of(sheet: Sheet, key: str) -> Row:
    return next(row for row in sheet.rows if row.key == key)


def keys_of(sheet: Sheet) -> set[str]:
    return {row.key for row in sheet.rows}


# springs


@pytest.mark.parametrize(("wire", "outside", "turns"), [(1.0, 8.0, 40), (2.03, 15.9, 60), (0.965, 7.94, 120)])
def test_a_coil_spring_is_a_bar_in_torsion(wire: float, outside: float, turns: int) -> None:
    """Elasticity: a bar of length π D n twisted by F D/2 gives k = G J / (π D n (D/2)²), J = π d⁴/32."""
    modulus = 79300.0
    mean = outside - wire
    bar = modulus * (pi * wire**4 / 32) / (pi * mean * turns * (mean / 2) ** 2)
    found = rate(Fraction(str(wire)), Fraction(str(outside)), Fraction(turns), Fraction(str(modulus)))
    assert float(found) == pytest.approx(bar, rel=1e-9)


def test_the_wire_counts_fourfold() -> None:
    """0.035 to 0.040 in of wire as read through rust: (40/35)⁴ alone is 1.7 times the rate."""
    thin = rate(Fraction("0.035") * INCH, Fraction("0.3125") * INCH, Fraction(100), Fraction(79300))
    thick = rate(Fraction("0.040") * INCH, Fraction("0.3125") * INCH, Fraction(100), Fraction(79300))
    assert thick / thin > Fraction("1.7")
    doubtful = rate_with_doubt(
        Measured(Fraction("0.95"), Fraction("0.05")), Measured(Fraction(8)), Fraction(100), "steel"
    )
    assert doubtful.doubt / doubtful.value > Fraction("0.2")


def test_no_spring_is_wound_of_a_wire_too_thick() -> None:
    with pytest.raises(ValueError, match="no coil"):
        rate(Fraction(4), Fraction(7), Fraction(5), Fraction(79300))


def test_moduli_are_kept_as_the_sources_disagree() -> None:
    assert all(low < high for low, high in MODULI.values())
    assert modulus_key("Music wire, cadmium plated") == "steel"
    assert modulus_key("stainless 302") == "stainless"
    assert modulus_key("unobtainium") is None


def spring(*offered: Statement) -> Row:
    wanted = [
        wants("kind_of_spring", "tension"),
        wants("material", "music wire"),
        wants("rate", size(Kind.LINE_FORCE, low="0.8", high="1.4")),
    ]
    return row_of(sheet_of("spring", wanted, [measures("kind_of_spring", "tension"), *offered], Role.CONTROL), "rate")


def wound(wire: str, turns: str, *, measured: bool = True) -> list[Statement]:
    sizes = {
        "wire_diameter": size(Kind.LENGTH, wire),
        "coil_outside_diameter": size(Kind.LENGTH, "10"),
        "active_turns": size(Kind.COUNT, turns),
    }
    if not measured:
        return [claims("material", "music wire"), *(claims(key, one) for key, one in sizes.items())]
    return [
        measures("material", "music wire"),
        *(measures(key, one, instrument="micrometer") for key, one in sizes.items()),
    ]


def test_the_rate_is_worked_out_from_the_wire() -> None:
    """Wire 1, coil 10, 12 turns, G 79.3 to 80 GPa: 79.6e3 / (8 × 9³ × 12) = 1.14 N/mm (arithmetic)."""
    assert spring(*wound("1.0", "12")).verdict is Verdict.PROVEN
    assert spring(*wound("1.0", "12", measured=False)).verdict is Verdict.OPEN
    assert spring(*wound("2.0", "12")).verdict is Verdict.AGAINST
    assert spring().verdict is Verdict.OPEN


def test_a_measured_rate_goes_before_a_computed_one() -> None:
    row = spring(*wound("1.0", "12"), measures("rate", size(Kind.LINE_FORCE, "2.0"), expanded="0.05"))
    assert row.verdict is Verdict.AGAINST


def test_without_any_rate_of_the_original_the_figures_stand_side_by_side() -> None:
    wanted = [
        wants("kind_of_spring", "tension"),
        wants("material", "music wire"),
        wants("wire_diameter", size(Kind.LENGTH, "1.0")),
        wants("coil_outside_diameter", size(Kind.LENGTH, "10")),
        wants("active_turns", size(Kind.COUNT, "12")),
    ]
    row = row_of(sheet_of("spring", wanted, [measures("kind_of_spring", "tension"), *wound("1.0", "24")]), "rate")
    assert row.verdict is Verdict.OPEN
    assert "50 %" in row.sentence


# cables


@pytest.mark.parametrize(
    ("diameter", "construction", "metal", "pounds"),
    # AC 43.13-1B Table 7-3, MIL-W-83420 compositions A and B
    [
        ("1/8", "7x19", "galvanised", 2000),
        ("1/8", "7x19", "tinned", 2000),
        ("1/8", "7x19", "stainless", 1760),
        ("3/32", "7x7", "galvanised", 920),
        ("3/32", "7x19", "galvanised", 1000),
        ("5/32", "7x19", "stainless", 2400),
        ("3/8", "7x19", "galvanised", 14400),
    ],
)
def test_least_breaking_strength(diameter: str, construction: str, metal: str, pounds: int) -> None:
    found = least_breaking_strength(Fraction(diameter) * INCH, construction, metal)
    assert found is not None
    assert LBF.from_base(found) == pounds


@pytest.mark.parametrize(
    ("diameter", "construction", "metal"),
    [
        ("1/8", "7x7", "galvanised"),
        ("1/8", "1x19", "stainless"),
        ("1/8", "7x19", "bare"),
        ("11/32", "7x19", "stainless"),
        ("0.120", "7x19", "galvanised"),
        ("0.140", "7x19", "galvanised"),
    ],
)
def test_what_the_cable_table_does_not_hold_is_open(diameter: str, construction: str, metal: str) -> None:
    assert least_breaking_strength(Fraction(diameter) * INCH, construction, metal) is None


def cable(metal: str, *more: Statement, wanted: str = "galvanised", use: Use = Use.PERMIT) -> Sheet:
    need = [
        wants("construction", "7x19"),
        wants("cable_metal", wanted),
        wants("diameter", size(Kind.LENGTH, low="0.125", high="0.139", unit="in")),
    ]
    find = [
        measures("construction", "7x19"),
        measures("cable_metal", metal, instrument="analysis"),
        measures("diameter", size(Kind.LENGTH, "3.3"), instrument="micrometer"),
        *more,
    ]
    return sheet_of("control_cable", need, find, Role.CONTROL, use)


def test_stainless_for_galvanised_loses_strength_in_this_size() -> None:
    row = row_of(cable("stainless"), "breaking_load")
    assert row.verdict is Verdict.AGAINST
    assert "1760" in row.offered
    assert "2000" in row.wanted


def test_the_table_alone_proves_no_cable() -> None:
    assert row_of(cable("galvanised"), "breaking_load").verdict is Verdict.OPEN
    pulled = measures("breaking_load", size(Kind.FORCE, "2100", "lbf"), expanded="50")
    assert row_of(cable("galvanised", pulled), "breaking_load").verdict is Verdict.PROVEN


def test_the_other_way_round_strength_is_won() -> None:
    row = row_of(cable("galvanised", wanted="stainless"), "breaking_load")
    assert row.verdict is Verdict.OPEN


@pytest.mark.parametrize("state", ["broken wires", "worn", "rusty"])
def test_a_spoiled_cable_does_not_fly(state: str) -> None:
    """AC 43.13-1B para 7-149."""
    assert row_of(cable("galvanised", measures("condition", state)), "condition").verdict is Verdict.AGAINST
    shown = cable("galvanised", measures("condition", state), use=Use.DISPLAY)
    assert row_of(shown, "condition").verdict is Verdict.JUDGED
    assert row_of(cable("galvanised"), "condition").verdict is Verdict.OPEN
    assert row_of(cable("galvanised", claims("condition", "new")), "condition").verdict is Verdict.OPEN


# rubber


@pytest.mark.parametrize(
    ("text", "expected"),
    # 2Q82 is the second quarter of 1982 (a navy training page); the other forms are readings of dates
    [
        ("2Q82", (1982, 2)),
        ("3Q2019", (2019, 3)),
        ("not before 3Q19", (2019, 3)),
        ("Q4 2021", (2021, 4)),
        ("cured 08/2019", (2019, 3)),
        ("2019-12", (2019, 4)),
        ("made 1944", (1944, 1)),
    ],
)
def test_cure_dates(text: str, expected: tuple[int, int]) -> None:
    assert read_cure_date(text) == expected


@pytest.mark.parametrize("text", ["", "none marked", "5Q19", "lot 4471"])
def test_what_is_no_cure_date(text: str) -> None:
    assert read_cure_date(text) is None


def hose(cured: Statement | None, asked: str = "not before 3Q2019") -> Row:
    need = [wants("cure_date", asked)] if asked else []
    return row_of(sheet_of("hose", need, [cured] if cured else [], Role.SYSTEMS), "cure_date")


def test_the_age_of_a_hose() -> None:
    assert hose(measures("cure_date", "3Q2019")).verdict is Verdict.PROVEN
    assert hose(measures("cure_date", "2Q2019")).verdict is Verdict.AGAINST
    assert hose(claims("cure_date", "1Q2023")).verdict is Verdict.OPEN
    assert hose(None).verdict is Verdict.OPEN
    assert hose(measures("cure_date", "1Q2023"), asked="").verdict is Verdict.JUDGED
    assert hose(None, asked="").verdict is Verdict.OPEN


def test_rubber_and_its_enemies() -> None:
    """Public material guides of seal makers: EPDM not with mineral oil, nitrile with oil and petrol."""
    assert is_spoiled("epdm", "mineral oil")
    assert is_spoiled("silicone", "petrol")
    assert is_spoiled("natural rubber", "petrol")
    assert not is_spoiled("nitrile", "petrol")
    assert not is_spoiled("epdm", "glycol brake")


def test_asbestos_is_never_fitted_again() -> None:
    for use in Use:
        sheet = sheet_of(
            "seal_gasket", [wants("compound", "asbestos")], [measures("compound", "asbestos")], Role.SYSTEMS, use
        )
        assert row_of(sheet, "compound").caution
        assert row_of(sheet, "compound").verdict is Verdict.AGAINST
    other = sheet_of(
        "seal_gasket", [wants("compound", "copper")], [measures("compound", "asbestos")], Role.SYSTEMS, Use.DISPLAY
    )
    assert row_of(other, "compound").verdict is Verdict.AGAINST


# cloth


def cloth(pounds: str, duty: str, condition: str = "in service") -> Row:
    strength = measures("strength_warp", size(Kind.LINE_FORCE, pounds, "lbf/in"), expanded="0.1")
    sheet = sheet_of(
        "fabric_tape", [wants("covering_duty", duty)], [strength, measures("condition", condition)], Role.SECONDARY
    )
    return row_of(sheet, "strength_warp")


@pytest.mark.parametrize(
    ("pounds", "duty", "condition", "verdict"),
    # AC 43.13-1B Table 2-1 and para 2-33: 80/56, 65/46 and 50/35 lbf/in; worked examples 18 and 18b at 50 lbf/in
    [
        ("50", "lower", "in service", Verdict.PROVEN),
        ("50", "upper", "in service", Verdict.AGAINST),
        ("57", "upper", "in service", Verdict.PROVEN),
        ("57", "upper", "new", Verdict.AGAINST),
        ("81", "upper", "new", Verdict.PROVEN),
        ("36", "glider", "in service", Verdict.PROVEN),
        ("45", "lower", "in service", Verdict.AGAINST),
    ],
)
def test_least_strength_of_covering(pounds: str, duty: str, condition: str, verdict: Verdict) -> None:
    assert cloth(pounds, duty, condition).verdict is verdict


def test_limits_in_service_are_seven_tenths_of_new() -> None:
    """AC 43.13-1B para 2-33: down to 70 per cent of the new strength that the aeroplane needs."""
    for limits in LIMITS.values():
        assert limits.in_service == pytest.approx(0.7 * limits.new, abs=0.6)


def test_another_fibre_is_a_major_alteration_to_answer_for() -> None:
    """AC 43.13-1B para 2-5."""
    sheet = sheet_of("fabric_tape", [wants("fibre", "cotton")], [measures("fibre", "polyester")])
    row = row_of(sheet, "fibre")
    assert row.verdict is Verdict.JUDGED
    assert "major alteration" in row.sentence
    assert any("2-5" in str(source) for source in row.sources)


# gauze and dishes


@pytest.mark.parametrize(
    ("mesh", "wire", "opening"),
    # a wire cloth glossary: 4 mesh × 0.063 in → 0.187 in; a mesh guide: 10 mesh × 0.025 in → 0.075 in
    [("4", "0.063", "0.187"), ("10", "0.025", "0.075")],
)
def test_opening_of_gauze(mesh: str, wire: str, opening: str) -> None:
    assert opening_of(Fraction(mesh), Fraction(wire) * INCH) == Fraction(opening) * INCH


def test_wires_that_touch_leave_no_opening() -> None:
    assert opening_of(Fraction(100), Fraction(1)) is None
    assert opening_of(Fraction(0), Fraction(1)) is None


def test_focus_of_a_dish() -> None:
    """Public worked examples: 4 across and 2 deep → ½; 3.0 m across and 0.45 m deep → focus at 0.42 diameters."""
    assert focal_length(Fraction(4), Fraction(2)) == Fraction(1, 2)
    assert float(focal_length(Fraction(3000), Fraction(450)) / 3000) == pytest.approx(0.42, abs=0.005)


# furnishing


def test_nitrate_does_not_fly_again_and_acrylic_is_answered_for() -> None:
    wanted = [wants("stuff", "celluloid")]
    same = sheet_of("glass_lens", wanted, [measures("stuff", "celluloid")], Role.FURNISHING)
    assert row_of(same, "stuff").verdict is Verdict.AGAINST
    new = sheet_of("glass_lens", [wants("stuff", "acetate")], [measures("stuff", "celluloid")], Role.FURNISHING)
    assert row_of(new, "stuff").verdict is Verdict.AGAINST
    assert "nitrate" in row_of(new, "stuff").caution
    acrylic = sheet_of("glass_lens", wanted, [measures("stuff", "Perspex")], Role.FURNISHING)
    assert row_of(acrylic, "stuff").verdict is Verdict.JUDGED


def test_the_colour_of_a_navigation_light_is_the_authoritys() -> None:
    need = [wants("kind_of_glass", "navigation lens"), wants("colour", "red")]
    find = [measures("kind_of_glass", "navigation lens"), measures("colour", "red")]
    assert row_of(sheet_of("glass_lens", need, find, Role.SYSTEMS), "light_colour").verdict is Verdict.JUDGED
    assert "light_colour" not in keys_of(sheet_of("glass_lens", need, find, Role.SYSTEMS, Use.DISPLAY))


@pytest.mark.parametrize("key", ["padding", "leathercloth", "webbing_belt", "fabric_tape", "paint_finish"])
def test_a_burn_test_is_asked_for_where_it_flies(key: str) -> None:
    flying = sheet_of(key, [], [], Role.FURNISHING)
    row = row_of(flying, "flame_test")
    assert row.verdict is Verdict.OPEN
    assert "authority" in row.sentence
    assert "flame_test" not in keys_of(sheet_of(key, [], [], Role.FURNISHING, Use.DISPLAY))


def test_a_placard_is_read_letter_by_letter() -> None:
    def wording(text: str, use: Use = Use.PERMIT) -> Row:
        said = [wants("wording", "NEVER EXCEED 145 MPH")]
        return row_of(sheet_of("placard", said, [measures("wording", text)], Role.FURNISHING, use), "wording")

    assert wording("NEVER EXCEED 145  MPH").verdict is Verdict.PROVEN
    wrong = wording("NEVER EXCEED 154 MPH")
    assert wrong.verdict is Verdict.AGAINST
    assert "154" in wrong.sentence
    assert wording("NEVER EXCEED 145").verdict is Verdict.AGAINST
    assert wording("never exceed 145 mph", Use.DISPLAY).verdict is Verdict.JUDGED


def test_an_identity_plate_is_for_the_authority() -> None:
    sheet = sheet_of("placard", [wants("duty", "data plate")], [measures("duty", "identity")], Role.FURNISHING)
    assert row_of(sheet, "identity_plate").caution


def test_a_plate_that_glowed_is_surveyed_first() -> None:
    sheet = sheet_of("placard", [wants("luminous", "radium")], [measures("luminous", "radium")], Role.FURNISHING)
    assert any("radium" in caution.casefold() for caution in sheet.cautions)


@pytest.mark.parametrize(
    ("finish", "over", "lifts"),
    # finishers' common practice
    [
        ("nitrate dope", "butyrate dope", True),
        ("butyrate dope", "nitrate dope", False),
        ("cellulose lacquer", "synthetic enamel", True),
        ("synthetic enamel", "cellulose lacquer", False),
    ],
)
def test_what_lifts_what(finish: str, over: str, lifts: bool) -> None:
    sheet = sheet_of("paint_finish", [wants("over", over)], [measures("kind_of_finish", finish)])
    assert ("over_what" in keys_of(sheet)) is lifts


def test_a_belt_that_holds_a_person_needs_its_label() -> None:
    need = [wants("restrains", "yes"), wants("breaking_load", size(Kind.FORCE, "6700"), form=Form.AT_LEAST)]
    bare = sheet_of("webbing_belt", need, [], Role.FURNISHING)
    assert row_of(bare, "restraint").verdict is Verdict.OPEN
    labelled = [measures("approval", "as read off the label"), measures("made_on", "3Q2021")]
    assert row_of(sheet_of("webbing_belt", need, labelled, Role.FURNISHING), "restraint").verdict is Verdict.JUDGED
    assert "restraint" not in keys_of(sheet_of("webbing_belt", need, [], Role.FURNISHING, Use.DISPLAY))


def test_a_number_names_and_never_proves() -> None:
    need = [wants("standard_number", "MS20392"), wants("kind_of_pin", "clevis")]
    same = row_of(sheet_of("pin", need, [measures("standard_number", "ms20392")]), "standard_number")
    assert same.verdict is Verdict.PROVEN
    packet = row_of(sheet_of("pin", need, [claims("standard_number", "MS20392")]), "standard_number")
    assert packet.verdict is Verdict.OPEN
    other = row_of(sheet_of("pin", need, [measures("standard_number", "AN393")]), "standard_number")
    assert other.verdict is Verdict.JUDGED
    assert other.departs


def test_a_stronger_rope_is_no_fault() -> None:
    need = [wants("breaking_load", size(Kind.FORCE, "180"))]
    for load, verdict in (("250", Verdict.PROVEN), ("120", Verdict.AGAINST)):
        find = [measures("breaking_load", size(Kind.FORCE, load), expanded="5")]
        row = row_of(sheet_of("cord_thread", need, find), "breaking_load")
        assert row.verdict is verdict
        assert "taken as the least" in row.assumption


def test_outcomes_of_whole_sheets_stay_cautious() -> None:
    assert sheet_of("hose", [], []).outcome is Outcome.NOT_PROVEN
