"""AN bolts, grip against the stack, and what a bolt carries.

Sources: the AN3 to AN6 grip table reproduced in a kit builder's manual and the
published grips AN4-15A, AN6-20, AN5H-27A and NAS464-5L20; MIL-HDBK-5 Table
8.1.5(a) as quoted (0.250 in single shear 3680 lb); minimum tensile loads of
ISO 898-1 as published; the rest is arithmetic on these. Ratings marked
"memory" in the reference are compared loosely.
"""

from fractions import Fraction

import pytest

from server.domain.an_bolts import nas_grip, read_an_bolt, shortest_for
from server.domain.bolt_strength import BoltMetal, read_strength_class, shear, tension
from server.domain.equivalence import compare
from server.domain.errors import Unreadable
from server.domain.offer import Offered, Statement
from server.domain.parts._bolt_stack import TakeUp, take_up
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.quantities import INCH, UNITS, Kind
from server.domain.specification import Joint, Ply, Requirement, Role, Use, Wanted
from server.domain.threads import read_thread
from server.domain.verdict import Outcome, Row, Sheet, Verdict

LBF = UNITS["lbf"]


def metal(text: str, major: str = "6") -> BoltMetal:
    found = read_strength_class(text, Fraction(major))
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("number", "grip"),
    # published: AN4-15A, AN6-20, AN5H-27A (D11 to D13); tabulated: AN3-10, AN4-10 (D14), AN3-3, AN4-7, AN3-4
    [
        ("AN4-15A", "19/16"),
        ("AN6-20", "23/16"),
        ("AN5H-27A", "39/16"),
        ("AN3-10", "5/8"),
        ("AN4-10", "9/16"),
        ("AN3-3", "1/16"),
        ("AN4-7", "7/16"),
        ("AN3-4", "1/8"),
        ("AN4C12A", "13/16"),
    ],
)
def test_grip_by_the_number(number: str, grip: str) -> None:
    bolt = read_an_bolt(number)
    assert bolt is not None
    assert bolt.grip == Fraction(grip) * INCH


def test_letters_of_the_number() -> None:
    """H: head drilled; A: shank not drilled for a split pin; 5: five sixteenths, 24 threads per inch."""
    bolt = read_an_bolt("AN5H-27A")
    assert bolt is not None
    assert bolt.head_is_drilled
    assert not bolt.shank_is_drilled
    assert bolt.thread == read_thread("5/16-24 UNF")


def test_an3_is_not_three_sixteenths() -> None:
    """AN3 is #10, 0.190 in; the grip page that counts sixteenths gives AN3-4 a quarter inch, the table an eighth."""
    bolt = read_an_bolt("AN3-4")
    assert bolt is not None
    assert bolt.diameter == Fraction("0.190") * INCH
    assert bolt.grip != INCH / 4


@pytest.mark.parametrize("text", ["AN3-8", "AN4-19A", "AN6H28"])
def test_no_dash_ends_in_8_or_9(text: str) -> None:
    with pytest.raises(Unreadable, match="never ends in 8 or 9"):
        read_an_bolt(text)


@pytest.mark.parametrize("text", ["AN960-10", "AN426AD3-3", "MS20074", "bolt", "AN4", "AN12-14", "AN4-0"])
def test_other_numbers_are_no_an_bolts(text: str) -> None:
    assert read_an_bolt(text) is None


def test_a_bolt_without_a_table_has_no_grip() -> None:
    bolt = read_an_bolt("AN8-12")
    assert bolt is not None
    assert bolt.grip is None
    assert bolt.note


def test_nas_dashes_count_sixteenths_of_grip() -> None:
    """D17: NAS464-5L20 has 1 1/4 in of grip; the same dash on AN4 means 1 9/16."""
    assert nas_grip("NAS464-5L20") == Fraction(5, 4) * INCH
    an = read_an_bolt("AN4-20")
    assert an is not None
    assert an.grip == Fraction(25, 16) * INCH


def test_the_shortest_bolt_for_a_stack() -> None:
    """D15: stack 0.80 in, AN4 → dash 12; D16: 17.5 mm → dash 12, for dash 11 is 0.04 mm short."""
    for stack in (Fraction("0.80") * INCH, Fraction("17.5")):
        bolt = shortest_for(4, stack)
        assert bolt is not None
        assert bolt.number == "AN4-12"
    eleven = read_an_bolt("AN4-11")
    assert eleven is not None
    assert eleven.grip is not None
    assert float(Fraction("17.5") - eleven.grip) == pytest.approx(0.04, abs=0.005)
    assert shortest_for(4, Fraction(500)) is None


@pytest.mark.parametrize(
    ("number", "pounds", "source"),
    [(4, 3680, "MIL-HDBK-5 Table 8.1.5(a)"), (3, 2126, "75 ksi × π/4 × 0.190²"), (8, 14726, "75 ksi × π/4 × 0.5²")],
)
def test_single_shear_of_an_steel(number: int, pounds: float, source: str) -> None:
    bolt = read_an_bolt(f"AN{number}-12")
    assert bolt is not None
    assert float(LBF.from_base(shear(metal("AN steel"), bolt.diameter))) == pytest.approx(pounds, rel=0.001), source


@pytest.mark.parametrize(("number", "pounds"), [(3, 2188), (4, 4075), (5, 6550), (6, 10112)])
def test_tension_of_an_steel_follows_the_root(number: int, pounds: float) -> None:
    """125 ksi on the root areas of published Unified tables (0.0175, 0.0326, 0.0524, 0.0809 sq in)."""
    bolt = read_an_bolt(f"AN{number}-12")
    assert bolt is not None
    found = tension(metal("AN steel"), bolt.thread)
    assert found is not None
    assert float(LBF.from_base(found)) == pytest.approx(pounds, rel=0.002)


@pytest.mark.parametrize(
    ("name", "newtons"), [("M5", 11350), ("M6", 16100), ("M8", 29200), ("M10", 46400), ("M12", 67400)]
)
def test_published_tensile_loads_of_class_8_8(name: str, newtons: float) -> None:
    """Minimum tensile loads of ISO 898-1 as published; they round the area."""
    thread = read_thread(name)
    assert thread is not None
    assert thread.major is not None
    found = tension(metal("8.8", str(thread.major)), thread)
    assert found is not None
    assert float(found) == pytest.approx(newtons, rel=0.003)


def test_class_8_8_is_stronger_above_m16() -> None:
    """ISO 898-1 as quoted: 800 MPa to M16, 830 above."""
    assert metal("8.8", "16").tensile == 800
    assert metal("8.8", "20").tensile == 830


def test_an_unknown_class_is_not_guessed() -> None:
    assert read_strength_class("S", None) is None
    assert read_strength_class("4.6", Fraction(6)) is None


def stack(*inches: str, doubt: str = "0.02") -> Joint:
    return Joint(
        tuple(
            Ply(f"sheet {number}", "steel", size(Kind.LENGTH, one, "in"), Fraction(doubt))
            for number, one in enumerate(inches)
        )
    )


def sheet_of(
    wanted: list[Requirement], offered: list[Statement], joint: Joint | None = None, use: Use = Use.PERMIT
) -> Sheet:
    return compare(
        Wanted("bolt", tuple(wanted), joint=joint, role=Role.SECONDARY, use=use), Offered("bolt", tuple(offered))
    )


def row_of(sheet: Sheet, key: str) -> Row:
    return next(row for row in sheet.rows if row.key == key)


def metric(name: str, strength: str, grip: str = "21") -> list[Statement]:
    major = name.removeprefix("M")
    return [
        measures("thread", name, instrument="thread_gauge"),
        measures("shank_diameter", size(Kind.LENGTH, major), instrument="micrometer"),
        measures("grip", size(Kind.LENGTH, grip), instrument="calliper"),
        measures("strength_class", strength, instrument="hardness"),
    ]


@pytest.mark.parametrize(
    ("an", "name", "strength", "in_tension", "in_shear"),
    # arithmetic on the published figures: M6 8.8 has 83 % of AN4's shear (D19), M5 10.9 and M6 10.9 suffice (D20, D21),
    # M5 8.8 is 0.3 % short in shear, M8 8.8 carries AN5's tension and not its shear
    [
        ("AN4-12", "M6", "8.8", Verdict.AGAINST, Verdict.AGAINST),
        ("AN3-12", "M5", "10.9", Verdict.PROVEN, Verdict.PROVEN),
        ("AN4-12", "M6", "10.9", Verdict.PROVEN, Verdict.PROVEN),
        ("AN3-12", "M5", "8.8", Verdict.PROVEN, Verdict.AGAINST),
        ("AN5-12", "M8", "8.8", Verdict.PROVEN, Verdict.AGAINST),
    ],
)
def test_metric_bolts_against_an(an: str, name: str, strength: str, in_tension: Verdict, in_shear: Verdict) -> None:
    sheet = sheet_of([wants("standard_number", an)], metric(name, strength, grip="30"))
    assert row_of(sheet, "tension").verdict is in_tension
    assert row_of(sheet, "shear").verdict is in_shear
    assert row_of(sheet, "thread").verdict is Verdict.AGAINST
    assert sheet.outcome is Outcome.NOT_EQUIVALENT


def test_the_m6_share_of_an4_is_as_worked() -> None:
    sheet = sheet_of([wants("standard_number", "AN4-12")], metric("M6", "8.8"))
    assert "3051" in row_of(sheet, "shear").offered
    assert "82.9 %" in row_of(sheet, "shear").sentence


def test_a_screw_threaded_to_the_head_shears_in_the_thread() -> None:
    """M6 10.9 by the shank 3966 lb suffices for AN4; by the root of the thread it does not."""
    sheet = sheet_of(
        [wants("standard_number", "AN4-12")], metric("M6", "10.9", grip="0.5"), joint=stack("0.40", "0.40")
    )
    assert row_of(sheet, "shear").verdict is Verdict.AGAINST


def test_strength_by_claim_is_no_proof() -> None:
    offered = [*metric("M6", "10.9")[:3], claims("strength_class", "10.9")]
    sheet = sheet_of([wants("standard_number", "AN4-12")], offered)
    assert row_of(sheet, "tension").verdict is Verdict.OPEN


def test_the_highest_class_carries_its_caution() -> None:
    sheet = sheet_of([wants("standard_number", "AN4-12")], metric("M6", "12.9"))
    assert "hydrogen" in row_of(sheet, "tension").caution


def test_a_strength_nobody_knows_stays_open() -> None:
    sheet = sheet_of([wants("thread", "M6")], metric("M6", "8.8"))
    assert row_of(sheet, "strength_class").verdict is Verdict.OPEN
    odd = sheet_of([wants("standard_number", "AN4-12")], metric("M6", "S"))
    assert row_of(odd, "strength_class").verdict is Verdict.OPEN


def grip_row(grip: str, joint: Joint, *, claimed: bool = False) -> Row:
    quantity = size(Kind.LENGTH, grip)
    said = claims("grip", quantity) if claimed else measures("grip", quantity, instrument="calliper")
    offered = [said, measures("thread", "1/4-28 UNF", instrument="thread_gauge")]
    return row_of(sheet_of([wants("thread", "1/4-28 UNF")], offered, joint), "grip_in_joint")


@pytest.mark.parametrize(
    ("grip", "verdict"),
    # stack 0.80 in = 20.32 mm; washers of 1/16 and 1/32 in, at most three, and 1½ threads of 0.907 mm in the hole
    [
        ("20.64", Verdict.PROVEN),  # AN4-12, 0.32 mm longer: one light washer
        ("22.5", Verdict.JUDGED),  # 2.2 mm longer: two washers
        ("26.0", Verdict.AGAINST),  # 5.7 mm longer: more than three washers
        ("19.5", Verdict.JUDGED),  # 0.8 mm short: less than 1½ threads
        ("17.0", Verdict.AGAINST),  # 3.3 mm short
        ("20.33", Verdict.OPEN),  # within the doubt
    ],
)
def test_grip_against_the_stack(grip: str, verdict: Verdict) -> None:
    row = grip_row(grip, stack("0.40", "0.40"))
    assert row.verdict is verdict, row.sentence


def test_a_claimed_grip_proves_nothing_of_the_stack() -> None:
    assert grip_row("20.64", stack("0.40", "0.40"), claimed=True).verdict is Verdict.OPEN


def test_washers_take_up_the_rest() -> None:
    """D16: 3.14 mm to take up; two washers of 1/16 in are 3.175 mm, 0.04 mm more."""
    way = take_up(Fraction("3.14"))
    assert way == TakeUp(2, 0)
    assert float(way.thickness) == pytest.approx(3.175)
    assert take_up(Fraction("4.8")) is None
    assert take_up(Fraction(0)) == TakeUp(0, 0)


def test_a_stack_with_a_missing_sheet_is_not_judged() -> None:
    joint = Joint((Ply("lug", "steel", size(Kind.LENGTH, "0.4", "in")), Ply("fitting", "steel", None)))
    sheet = sheet_of([wants("thread", "M6")], metric("M6", "8.8"), joint)
    assert not [row for row in sheet.rows if row.key == "grip_in_joint"]


def test_a_shank_thicker_than_the_hole_is_refused() -> None:
    joint = Joint(hole=size(Kind.LENGTH, "6.35"), hole_expanded=Fraction("0.01"))
    sheet = sheet_of([wants("standard_number", "AN4-12")], metric("M8", "8.8"), joint)
    assert row_of(sheet, "enters").verdict is Verdict.AGAINST


def test_a_malformed_number_is_said_and_not_used() -> None:
    sheet = sheet_of([wants("standard_number", "AN4-18")], [claims("standard_number", "AN4-12A")])
    fault = row_of(sheet, "number_fault")
    assert fault.verdict is Verdict.OPEN
    assert "8 or 9" in fault.sentence
    assert sheet.outcome is Outcome.NOT_PROVEN


@pytest.mark.parametrize(
    ("wanted", "offered", "role", "use", "verdict"),
    # common practice of the trade
    [
        ("taper", "split", Role.CONTROL, Use.PERMIT, Verdict.AGAINST),
        ("taper", "split", Role.APPEARANCE, Use.DISPLAY, Verdict.AGAINST),
        ("taper", "spring", Role.CONTROL, Use.PERMIT, Verdict.AGAINST),
        ("taper", "spring", Role.FURNISHING, Use.DISPLAY, Verdict.JUDGED),
        ("taper", "taper", Role.CONTROL, Use.PERMIT, Verdict.PROVEN),
    ],
)
def test_pins_that_may_not_stand_for_each_other(
    wanted: str, offered: str, role: Role, use: Use, verdict: Verdict
) -> None:
    sheet = compare(
        Wanted("pin", (wants("kind_of_pin", wanted),), role=role, use=use),
        Offered("pin", (measures("kind_of_pin", offered),)),
    )
    assert row_of(sheet, "kind_of_pin").verdict is verdict


def test_a_metric_taper_pin_does_not_seat_in_an_inch_reamed_hole() -> None:
    sheet = compare(
        Wanted("pin", (wants("kind_of_pin", "taper"), wants("taper", "1/4 in per foot")), use=Use.PERMIT),
        Offered("pin", (measures("kind_of_pin", "Kegelstift"), measures("taper", "1:50"))),
    )
    assert row_of(sheet, "kind_of_pin").verdict is Verdict.PROVEN
    assert row_of(sheet, "taper").verdict is Verdict.AGAINST


def test_a_wood_screw_for_a_bolt_is_refused_even_on_display() -> None:
    for use in Use:
        sheet = compare(Wanted("bolt", use=use), Offered("wood_screw"))
        assert row_of(sheet, "kind").verdict is Verdict.AGAINST


def test_an_anchor_nut_is_no_stiffnut() -> None:
    """Case C28: the name had been read as any stiff nut."""
    sheet = compare(
        Wanted("nut", (wants("kind_of_nut", "plate nut"),)), Offered("nut", (measures("kind_of_nut", "Stoppmutter"),))
    )
    assert row_of(sheet, "kind_of_nut").verdict is Verdict.AGAINST
    assert row_of(sheet, "kind_of_nut").caution


def test_proof_loads_are_compared_where_both_are_known() -> None:
    """ISO 898-1 as quoted: proof 830 MPa for 10.9, 580 for 8.8 to M16; AN steel has none here."""
    sheet = sheet_of([wants("thread", "M6"), wants("strength_class", "10.9")], metric("M6", "8.8"))
    row = row_of(sheet, "proof")
    assert row.verdict is Verdict.AGAINST
    assert f"{580 / 830 * 100:.1f} %" in row.sentence
    against_an = sheet_of([wants("standard_number", "AN4-12")], metric("M6", "8.8"))
    assert not [one for one in against_an.rows if one.key == "proof"]


def test_a_nas_number_gives_a_grip_and_no_more() -> None:
    sheet = sheet_of([wants("standard_number", "NAS464-5L20")], metric("M8", "10.9", grip="31.75"))
    assert "1.25" in row_of(sheet, "grip").wanted
    assert row_of(sheet, "thread").verdict is Verdict.OPEN


def test_the_stack_row_names_the_bolt_that_covers_it() -> None:
    assert "dash 12" in grip_row("17.0", stack("0.40", "0.40")).sentence


def test_a_grip_by_the_number_names_its_table() -> None:
    sheet = sheet_of([wants("standard_number", "AN4-12")], metric("M6", "8.8"))
    assert any("grip and length table" in str(source) for source in row_of(sheet, "grip").sources)
    plain = sheet_of([wants("grip", size(Kind.LENGTH, low="20", high="21"))], metric("M6", "8.8"))
    assert not any("grip and length table" in str(source) for source in row_of(plain, "grip").sources)
