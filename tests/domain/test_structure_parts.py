"""Castings, fittings, sheet, bar, tube and timber: their examples, their checks and their drawings."""

from fractions import Fraction

import pytest

from server.domain.drawing import Circle, Drawing, Path
from server.domain.equivalence import compare
from server.domain.offer import Evidence, Offered, Origin, Statement
from server.domain.parts import part_class, part_classes
from server.domain.parts._bend_rows import blank_length
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Case, Example
from server.domain.quantities import INCH, Kind
from server.domain.specification import Requirement, Role, Use, Wanted
from server.domain.verdict import Outcome, Row, Verdict

CLASSES = ("casting", "forged_fitting", "sheet_part", "bar", "tube", "streamline_tube", "timber")
EXAMPLES = [(key, one) for key in CLASSES for one in part_classes()[key].examples]


@pytest.mark.parametrize(("key", "example"), EXAMPLES, ids=[f"{key}: {one.title}" for key, one in EXAMPLES])
def test_examples_come_out_as_their_source_says(key: str, example: Example) -> None:
    sheet = compare(example.wanted, example.offered)
    assert sheet.outcome is example.outcome, [(row.key, row.verdict, row.sentence) for row in sheet.rows]
    assert example.source.document
    assert all(row.sources for row in sheet.rows)


@pytest.mark.parametrize("key", CLASSES)
def test_every_class_has_two_examples_one_refused(key: str) -> None:
    outcomes = {one.outcome for one in part_class(key).examples}
    assert len(part_class(key).examples) >= 2
    assert outcomes & {Outcome.NOT_EQUIVALENT, Outcome.NOT_PROVEN}


@pytest.mark.parametrize("key", CLASSES)
def test_nothing_known_is_never_proven(key: str) -> None:
    sheet = compare(Wanted(key, role=Role.PRIMARY, use=Use.PERMIT), Offered(key))
    assert sheet.outcome is Outcome.NOT_PROVEN
    assert [row.key for row in sheet.rows if row.verdict is Verdict.PROVEN] == ["kind"]


def _rows(
    key: str,
    wanted: tuple[Requirement, ...],
    said: tuple[Statement, ...],
    *,
    use: Use = Use.PERMIT,
    role: Role = Role.SECONDARY,
    origin: Origin | None = Origin.SALVAGED,
    evidence: tuple[Evidence, ...] = (),
    side: str = "",
) -> dict[str, Row]:
    sheet = compare(
        Wanted(key, wanted, use=use, role=role, side=side), Offered(key, said, origin=origin, evidence=evidence)
    )
    return {row.key: row for row in sheet.rows}


# ---- cracks, corrosion, repairs, hand ----


@pytest.mark.parametrize(
    ("word", "measured", "material", "use", "expected"),
    [
        ("none by penetrant", True, "AZ91C-T6", Use.PERMIT, Verdict.PROVEN),
        ("none by penetrant", False, "AZ91C-T6", Use.PERMIT, Verdict.OPEN),
        ("none by magnetic", True, "AZ91C-T6", Use.PERMIT, Verdict.OPEN),
        ("none by magnetic", True, "4130 N", Use.PERMIT, Verdict.PROVEN),
        ("none seen", True, "AZ91C-T6", Use.PERMIT, Verdict.OPEN),
        ("none seen", True, "AZ91C-T6", Use.DISPLAY, Verdict.JUDGED),
        ("not looked", True, "AZ91C-T6", Use.PERMIT, Verdict.OPEN),
        ("cracked", True, "AZ91C-T6", Use.DISPLAY, Verdict.AGAINST),
        ("cracked", False, "AZ91C-T6", Use.PERMIT, Verdict.AGAINST),
        ("fine, I think", True, "AZ91C-T6", Use.PERMIT, Verdict.OPEN),
    ],
)
def test_cracks(word: str, measured: bool, material: str, use: Use, expected: Verdict) -> None:
    """AC 43.13-1B chapter 5: penetrant needs an open surface, magnetic particles need iron."""
    make = measures if measured else claims
    row = _rows("casting", (), (make("cracks", word), measures("material", material)), use=use)["cracks"]
    assert row.verdict is expected
    assert row.measure is not None or row.verdict is not Verdict.OPEN


def test_a_crack_report_counts_as_papers_and_says_so() -> None:
    said = (claims("cracks", "none by penetrant"),)
    row = _rows("casting", (), said, evidence=(Evidence.TEST,))["cracks"]
    assert row.verdict is Verdict.JUDGED
    assert "report" in row.assumption


def test_steel_is_sent_to_magnetic_particles_and_light_alloy_to_penetrant() -> None:
    """AC 43.13-1B 5-42."""
    steel = _rows("forged_fitting", (), (measures("material", "4130 N"),))["cracks"]
    light = _rows("forged_fitting", (), (measures("material", "2014-T6"),))["cracks"]
    assert steel.measure is not None
    assert light.measure is not None
    assert "magnetic" in steel.measure.what
    assert "penetrant" in light.measure.what


def test_new_sheet_is_not_asked_for_cracks() -> None:
    assert "cracks" not in _rows("sheet_part", (), (), origin=Origin.AVIATION)
    assert "cracks" in _rows("sheet_part", (), (), origin=Origin.SALVAGED)


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("none", Verdict.PROVEN),
        ("none seen", Verdict.OPEN),
        ("surface", Verdict.JUDGED),
        ("pitted", Verdict.OPEN),
        ("heavy", Verdict.AGAINST),
        ("not looked", Verdict.OPEN),
    ],
)
def test_corrosion(word: str, expected: Verdict) -> None:
    """Common practice."""
    assert _rows("casting", (), (measures("corrosion", word),))["corrosion"].verdict is expected


def test_a_weld_on_heat_treated_alloy_goes_against() -> None:
    """MIL-HDBK-5J Table 3.1.3.4(a): 2024 rates C for fusion welding."""
    said = (measures("repair", "welded"), measures("material", "2024-T3"))
    assert _rows("sheet_part", (), said)["repair"].verdict is Verdict.AGAINST
    steel = (measures("repair", "welded"), measures("material", "4130 N"))
    assert _rows("tube", (), steel)["repair"].verdict is Verdict.OPEN
    assert _rows("tube", (), (measures("repair", "straightened"),))["repair"].verdict is Verdict.OPEN


@pytest.mark.parametrize(
    ("wanted", "offered", "expected"),
    [
        ("left", "left", Verdict.PROVEN),
        ("left", "right", Verdict.AGAINST),
        ("left", "either", Verdict.PROVEN),
        ("links", "starboard", Verdict.AGAINST),
        ("left", "no idea", Verdict.OPEN),
    ],
)
def test_hand(wanted: str, offered: str, expected: Verdict) -> None:
    row = _rows("casting", (wants("hand", wanted),), (measures("hand", offered),))["hand"]
    assert row.verdict is expected


def test_the_side_of_the_need_asks_for_the_hand() -> None:
    assert _rows("casting", (), (measures("hand", "right"),), side="port")["hand"].verdict is Verdict.AGAINST
    assert _rows("casting", (), (), side="port")["hand"].verdict is Verdict.OPEN
    assert "hand" not in _rows("casting", (), ())


@pytest.mark.parametrize("key", ["cracks", "corrosion", "repair"])
def test_what_is_asked_for_is_never_dropped(key: str) -> None:
    rows = _rows("bar" if key != "repair" else "tube", (wants(key, "none"),), (), origin=Origin.AVIATION)
    assert rows[key].verdict is Verdict.OPEN


def test_an_inspection_that_is_asked_for_has_its_row() -> None:
    asked = (wants("inspection", "full"),)
    assert _rows("forged_fitting", asked, (measures("inspection", "full"),))["inspection"].verdict is Verdict.PROVEN
    assert _rows("casting", asked, (), use=Use.DISPLAY)["inspection"].verdict is Verdict.OPEN


# ---- castings and fittings ----


@pytest.mark.parametrize(
    ("word", "role", "least"),
    [
        ("visual", Role.SECONDARY, "2"),
        ("visual and penetrant", Role.SECONDARY, "1.5"),
        ("full", Role.SECONDARY, "1.25"),
        ("visual and penetrant", Role.PRIMARY, "2"),
        ("full", Role.PRIMARY, "1.25"),
    ],
)
def test_an_inspection_carries_its_casting_factor(word: str, role: Role, least: str) -> None:
    """14 CFR 23.621(c), (d)."""
    said = (measures("inspection", word), measures("material", "356-T6"), measures("process", "permanent mould"))
    row = _rows("casting", (), said, role=role)["casting_factor"]
    assert row.verdict is Verdict.JUDGED
    assert f"casting factor of {least}." in row.sentence


def test_the_strength_to_count_on_is_divided_by_the_factor() -> None:
    """356-T6 permanent mould 25 ksi (5J 3.9.4.0(b)) by 2.0: 86 MPa."""
    said = (
        measures("inspection", "visual and penetrant"),
        measures("material", "356-T6"),
        measures("process", "permanent mould"),
    )
    row = _rows("casting", (), said, role=Role.CONTROL)["casting_factor"]
    assert "86.18" in row.sentence
    assert "172.4" in row.sentence


def test_a_look_alone_carries_nothing_for_a_critical_casting() -> None:
    """14 CFR 23.621(c)."""
    row = _rows("casting", (), (measures("inspection", "visual"),), role=Role.CONTROL)["casting_factor"]
    assert row.verdict is Verdict.OPEN
    claimed = _rows("casting", (), (claims("inspection", "full"),), role=Role.CONTROL)["casting_factor"]
    assert claimed.verdict is Verdict.OPEN
    assert "casting_factor" not in _rows("casting", (), (), use=Use.DISPLAY)
    assert "casting_factor" not in _rows("casting", (), (measures("process", "machined"),))


def test_another_metal_changes_the_weight() -> None:
    """AZ91 0.0652 and A356 0.097 lb/in³ (5J): 49 % more."""
    row = _rows("casting", (wants("material", "AZ91C-T6"),), (measures("material", "A356-T6P"),))["mass_change"]
    assert row.verdict is Verdict.JUDGED
    assert "49 % heavier" in row.sentence
    assert "balance" in row.sentence
    weighed = _rows(
        "casting",
        (wants("mass", size(Kind.MASS, "200")),),
        (measures("mass", size(Kind.MASS, "150"), instrument="scale"),),
    )["mass_change"]
    assert "25 % lighter" in weighed.sentence


@pytest.mark.parametrize(
    ("hole", "expected"),
    [("6.38", Verdict.JUDGED), ("6.75", Verdict.AGAINST), ("6.2", Verdict.AGAINST), ("6.35", Verdict.OPEN)],
)
def test_hole_against_bolt(hole: str, expected: Verdict) -> None:
    """Reamed holes of a wartime repair manual, quoted: 0.250 to 0.257 in for a 1/4 in bolt."""
    row = _rows(
        "casting",
        (wants("bolt_diameter", size(Kind.LENGTH, "0.25", "in")),),
        (
            measures("hole_diameter", size(Kind.LENGTH, hole), instrument="pin_gauge"),
            measures("lug_width", size(Kind.LENGTH, "25"), instrument="calliper"),
        ),
    )["hole_play"]
    assert row.verdict is expected
    if hole == "6.75":
        assert "bush" in row.sentence
        assert "diameters" in row.sentence


def test_plated_hard_steel_needs_its_bake_record() -> None:
    """4130 at 180 ksi is 1241 MPa (5J 2.3.1.0(c2)); the line of 1000 MPa is quoted from a plater."""
    said = (claims("material", "4130 180 ksi"), measures("finish", "cadmium plated"))
    row = _rows("tube", (), said)["bake_record"]
    assert row.verdict is Verdict.OPEN
    assert "1241" in row.sentence
    soft = (claims("material", "4130 N"), measures("finish", "cadmium plated"))
    assert "bake_record" not in _rows("tube", (), soft)


def test_bar_for_a_forging_asks_for_the_grain() -> None:
    """MIL-HDBK-5J Table 3.1.2.3.1(a): 2014 bar rates D."""
    wanted = (wants("material", "2014-T6"), wants("process", "die forged"))
    said = (claims("material", "2014-T6"), measures("process", "machined"))
    assert _rows("forged_fitting", wanted, said)["stress_corrosion"].verdict is Verdict.JUDGED
    quiet = (claims("material", "6061-T6"), measures("process", "machined"))
    assert "stress_corrosion" not in _rows("forged_fitting", wanted, quiet)


# ---- tubes ----


def _tube(outside: str, wall: str, material: str, load: str = "compression") -> tuple[Requirement, ...]:
    return (
        wants("outside_diameter", size(Kind.LENGTH, outside, "in")),
        wants("wall", size(Kind.LENGTH, wall, "in")),
        wants("material", material),
        wants("load", load),
    )


def _find(outside: str, wall: str, material: str, *, claimed: bool = False) -> tuple[Statement, ...]:
    if claimed:
        sizes = (
            claims("outside_diameter", size(Kind.LENGTH, outside, "in")),
            claims("wall", size(Kind.LENGTH, wall, "in")),
        )
    else:
        sizes = (
            measures("outside_diameter", size(Kind.LENGTH, outside, "in"), instrument="micrometer"),
            measures("wall", size(Kind.LENGTH, wall, "in"), instrument="micrometer"),
        )
    return (*sizes, claims("material", material))


def test_a_thinner_wall_of_stronger_steel_passes_in_pull_and_fails_as_a_strut() -> None:
    """1.000 in, 1025 0.049 wall against 4130 N 0.035: I × 0.745, tension × 1.25 (geometry and 5J)."""
    rows = _rows("tube", _tube("1", "0.049", "1025 N"), _find("1", "0.035", "4130 N"), evidence=(Evidence.CERTIFICATE,))
    assert rows["as_strut"].verdict is Verdict.AGAINST
    assert "× 0.745" in rows["as_strut"].sentence
    assert rows["pull"].verdict is Verdict.PROVEN
    assert "× 1.25" in rows["pull"].sentence


def test_in_tension_the_strut_is_not_asked() -> None:
    rows = _rows("tube", _tube("1", "0.049", "1025 N", "tension"), _find("1", "0.035", "4130 N"))
    assert "as_strut" not in rows
    everything = _rows("tube", _tube("1", "0.049", "1025 N")[:3], _find("1", "0.035", "4130 N"))
    assert {"as_strut", "pull", "bend"} <= set(everything)


def test_a_thicker_wall_proves_itself_only_when_measured() -> None:
    wanted = _tube("1", "0.035", "4130 N")
    assert _rows("tube", wanted, _find("1", "0.049", "4130 N"))["as_strut"].verdict is Verdict.PROVEN
    assert _rows("tube", wanted, _find("1", "0.049", "4130 N", claimed=True))["as_strut"].verdict is Verdict.OPEN


def test_the_same_tube_needs_no_computing() -> None:
    rows = _rows("tube", _tube("1", "0.049", "4130 N"), _find("1", "0.049", "4130 N"))
    assert "as_strut" not in rows


def test_an_unknown_metal_leaves_the_strength_open() -> None:
    rows = _rows("tube", _tube("1", "0.049", "4130 N"), _find("1", "0.065", "steel"))
    assert rows["as_strut"].verdict is Verdict.OPEN
    assert rows["pull"].verdict is Verdict.OPEN


@pytest.mark.parametrize(
    ("wanted", "offered", "alloy", "expected"),
    [
        ("seamless", "welded", "4130 N", Verdict.PROVEN),
        ("seamless", "welded", "T45", Verdict.JUDGED),
        ("seamless", "seamless", "T45", Verdict.PROVEN),
        ("seamless", "brazed", "4130 N", Verdict.AGAINST),
        ("seamless", "not known", "4130 N", Verdict.OPEN),
    ],
)
def test_seams(wanted: str, offered: str, alloy: str, expected: Verdict) -> None:
    """AC 43.13-1B para 4-3."""
    rows = _rows(
        "tube",
        (wants("seam", wanted), wants("material", alloy)),
        (measures("seam", offered), claims("material", alloy)),
    )
    assert rows["seam"].verdict is expected


def test_a_used_steel_tube_is_looked_into() -> None:
    """AC 43.13-1B 6-42 speaks of the inside of tubes; the verdict is common practice."""
    assert _rows("tube", (), (claims("material", "4130 N"),))["inside"].verdict is Verdict.OPEN
    assert "inside" not in _rows("tube", (), (claims("material", "2024-T3"),))
    assert "inside" not in _rows("tube", (), (claims("material", "4130 N"),), origin=Origin.AVIATION)
    assert _rows("tube", (), (measures("dents", "sharp"),))["dents"].verdict is Verdict.AGAINST


# ---- sheet ----


def _panel(load: str, thickness: str, material: str) -> tuple[Requirement, ...]:
    return (
        wants("load", load),
        wants("thickness", size(Kind.LENGTH, thickness, "in")),
        wants("material", material),
    )


def _plate(thickness: str, material: str) -> tuple[Statement, ...]:
    return (
        measures("thickness", size(Kind.LENGTH, thickness, "in"), instrument="micrometer"),
        claims("material", material),
    )


def test_a_magnesium_panel_as_stiff_as_aluminium() -> None:
    """E 10.5 and 6.5 Msi (5J): 0.040 in becomes 0.0469 in."""
    thin = _rows("sheet_part", _panel("stiffness", "0.040", "2024-T3"), _plate("0.040", "AZ31B-H24"))["panel_stiffness"]
    assert thin.verdict is Verdict.AGAINST
    assert "0.0469\u202fin" in thin.sentence
    thick = _rows("sheet_part", _panel("stiffness", "0.040", "2024-T3"), _plate("0.050", "AZ31B-H24"))
    assert thick["panel_stiffness"].verdict is Verdict.PROVEN


def test_a_panel_in_bending_goes_with_the_square() -> None:
    """6061-T6 35 against 2024-T3 42 ksi yield and 42 against 63 tensile (5J): t × √1.5 = 0.0490 in."""
    row = _rows("sheet_part", _panel("bending", "0.040", "2024-T3"), _plate("0.040", "6061-T6"))["panel_bending"]
    assert row.verdict is Verdict.AGAINST
    assert "0.049\u202fin" in row.sentence


@pytest.mark.parametrize(
    ("radius", "thickness", "alloy", "expected"),
    [
        ("0.25", "0.064", "2024-T3", Verdict.JUDGED),
        ("0.32", "0.064", "2024-T3", Verdict.PROVEN),
        ("0.125", "0.064", "2024-T3", Verdict.AGAINST),
        ("0.125", "0.064", "17ST", Verdict.OPEN),
    ],
)
def test_bends_against_the_table(radius: str, thickness: str, alloy: str, expected: Verdict) -> None:
    """AC 43.13-1B Table 4-6: 2024-T3 at 0.064 in takes 3 to 5 times the thickness."""
    said = (
        *_plate(thickness, alloy),
        measures("bend_radius", size(Kind.LENGTH, radius, "in"), instrument="magnifier"),
    )
    assert _rows("sheet_part", (), said)["bend_limit"].verdict is expected


def test_the_blank_of_a_metric_angle() -> None:
    """25 and 40 mm, radius 3 mm, sheet 1 mm: 62.408 mm by the formula of FAA-H-8083-31."""
    sheet = part_class("sheet_part")
    needs = (
        wants("leg_a", size(Kind.LENGTH, "25")),
        wants("leg_b", size(Kind.LENGTH, "40")),
        wants("bend_radius", size(Kind.LENGTH, "3")),
        wants("thickness", size(Kind.LENGTH, "1")),
    )
    assert "62.41 mm" in blank_length(Case(Wanted("sheet_part", needs), Offered("sheet_part"), sheet, sheet))
    assert blank_length(Case(Wanted("sheet_part", needs[:3]), Offered("sheet_part"), sheet, sheet)) == ""


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("as bought", Verdict.PROVEN),
        ("by the shop", Verdict.JUDGED),
        ("soft", Verdict.AGAINST),
        ("heated", Verdict.OPEN),
        ("not known", Verdict.OPEN),
    ],
)
def test_heat_treatment(word: str, expected: Verdict) -> None:
    """T42 against T3: MIL-HDBK-5J Tables 3.2.3.0(b1), (b2); the rest is common practice."""
    said = (measures("heat_treatment", word), claims("material", "2024-T3"))
    assert _rows("sheet_part", (wants("material", "2024-T3"),), said)["heat_treatment"].verdict is expected


def test_a_part_bent_in_the_shop_is_asked_for_its_temper() -> None:
    said = (claims("material", "2024-T3"),)
    assert _rows("sheet_part", (), said, origin=Origin.SHOP_MADE)["heat_treatment"].verdict is Verdict.OPEN
    assert "heat_treatment" not in _rows("sheet_part", (), said, origin=Origin.AVIATION)


def test_cladding_is_told_apart() -> None:
    """MIL-HDBK-5J Tables 3.2.3.0(b1), (e1): 407 against 434 MPa in thin sheet."""
    assert _rows("sheet_part", (wants("cladding", "clad"),), (measures("cladding", "bare"),))["cladding"].departs
    unknown = _rows("sheet_part", (wants("cladding", "Alclad"),), ())["cladding"]
    assert unknown.verdict is Verdict.OPEN
    assert unknown.caution


# ---- timber ----


@pytest.mark.parametrize(("slope", "expected"), [("15", Verdict.PROVEN), ("12", Verdict.AGAINST)])
def test_slope_of_grain(slope: str, expected: Verdict) -> None:
    """AC 43.13-1B Table 1-1: not steeper than 1 in 15."""
    said = (measures("grain_slope", size(Kind.COUNT, slope)),)
    assert _rows("timber", (), said)["grain_slope"].verdict is expected
    assert "grain_slope" not in _rows("timber", (wants("build", "plywood"),), ())


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("none", Verdict.PROVEN),
        ("compression failure", Verdict.AGAINST),
        ("rot", Verdict.AGAINST),
        ("knots", Verdict.OPEN),
        ("pin knots", Verdict.JUDGED),
        ("unknown", Verdict.OPEN),
    ],
)
def test_defects_of_wood(word: str, expected: Verdict) -> None:
    """Common practice."""
    assert _rows("timber", (), (measures("defects", word),))["defects"].verdict is expected


# ---- drawings ----


@pytest.mark.parametrize(
    ("key", "sizes"),
    [
        ("casting", {"hole_centres": "76.2", "hole_diameter": "6.35", "lug_width": "20"}),
        ("forged_fitting", {"hole_centres": "50", "hole_diameter": "8", "height_over_all": "60", "lug_width": "20"}),
        ("sheet_part", {"leg_a": "25", "leg_b": "40", "thickness": "1", "bend_radius": "3"}),
        ("bar", {"diameter": "20"}),
        ("bar", {"across_flats": "17"}),
        ("tube", {"outside_diameter": "25.4", "wall": "1.25"}),
        ("streamline_tube", {"major_axis": "68", "minor_axis": "29", "wall": "1.25"}),
        ("timber", {"thickness": "3", "width": "40"}),
    ],
)
def test_a_drawing_needs_its_sizes_and_shows_find_and_original(key: str, sizes: dict[str, str]) -> None:
    made = part_class(key)
    assert made.draw is not None
    needs = tuple(wants(name, size(Kind.LENGTH, value)) for name, value in sizes.items())
    said = tuple(measures(name, size(Kind.LENGTH, value), instrument="calliper") for name, value in sizes.items())
    nothing = Case(Wanted(key), Offered(key), made, made)
    both = Case(Wanted(key, needs), Offered(key, said), made, made)
    original = Case(Wanted(key, needs), Offered(key), made, made)
    assert made.draw(nothing) is None
    full, alone = made.draw(both), made.draw(original)
    assert isinstance(full, Drawing)
    assert isinstance(alone, Drawing)
    assert full.title
    assert full.description
    if key != "timber":
        styles = {shape.style for shape in full.shapes if isinstance(shape, Path | Circle)}
        assert "before" in styles
    assert "outline" in {shape.style for shape in alone.shapes if isinstance(shape, Path | Circle)}


def test_holes_are_drawn_where_they_are() -> None:
    made = part_class("casting")
    assert made.draw is not None
    said = (
        measures("hole_centres", size(Kind.LENGTH, "3", "in"), instrument="calliper"),
        measures("hole_diameter", size(Kind.LENGTH, "0.25", "in"), instrument="calliper"),
    )
    drawn = made.draw(Case(Wanted("casting"), Offered("casting", said), made, made))
    assert isinstance(drawn, Drawing)
    holes = [shape for shape in drawn.shapes if isinstance(shape, Circle)]
    assert {hole.x for hole in holes} == {float(-Fraction(3, 2) * INCH), float(Fraction(3, 2) * INCH)}
    assert {hole.radius for hole in holes} == {float(INCH / 8)}
