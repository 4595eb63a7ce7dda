"""Item lines and adverts as people write them: what the reader makes of harder ones.

Written for these tests after the forms of common practice; conversions follow
from the inch of 25.4 mm. Sources of codes and tables stand beside the case.
"""

from fractions import Fraction

import pytest

from server.domain.designators import read_rivet_code
from server.domain.quantities import Kind
from server.domain.reading import read_quantity, read_sizes

RIVETS = "AC 43.13-1B paragraph 4-57"


def sizes(text: str) -> list[str]:
    """Role ("-" for none) and value of every sure size, in the kind's own unit."""
    found = [one for one in read_sizes(text).sizes if one.weight >= 0.5]
    return sorted(f"{one.role or '-'} {float(one.quantity.value or 0):.5g}" for one in found)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        # tubes: the third of outside diameter, bore and wall follows
        ("Dural tube 1 1/8 in x 17swg x 6ft", "od 28.575, wall 1.4224, len 1828.8, id 25.73"),
        ("7/8 .035 mild steel tube", "od 22.225, wall 0.889, id 20.447"),
        ("tube 20 mm OD x 17 mm ID", "od 20, id 17, wall 1.5"),
        ("Stahlrohr 22 x 1,5", "od 22, wall 1.5, id 19"),
        # rings: the larger number is the outside, whichever stands first
        ("Filzring 78 x 56 x 5,5", "od 78, id 56, thk 5.5"),
        ("Unterlegscheibe 6,4x12x1,6", "id 6.4, od 12, thk 1.6"),
        ("felt ring 3.062 OD x 2.218 ID x 7/32 in", "od 77.775, id 56.337, thk 5.5563"),
        # prefixes and suffixes
        ("bore 12, od 22, width 3 mm", "id 12, od 22, width 3"),
        ("bore 12 od 22", "id 12, od 22"),
        ("3/8 hole 1/4 id grommet", "hole 9.525, id 6.35"),
        ("5/32 in, head 8 mm dia", "- 3.9688, head 8"),
        ('1/4" x 20 bolt', "dia 6.35, len 508, len 20"),
        ("wall thickness 1.5", "wall 1.5"),
        ("thickness of 3 mm", "thk 3"),
        ("0.035 wall", "wall 0.889"),
        ("M8 bolt 50 long", "thread 8, len 50"),
        ("grip 12 mm", "grip 12"),
        # bare inches
        ("2024-T3 alclad .020", "- 0.508"),
        ("1/4 brass split pins", "- 6.35"),
        ("silicon bronze tube 3/8", "- 9.525"),
        ("three quarters inch", "- 19.05"),
        ("dreiviertel Zoll", "- 19.05"),
        ("halbzoll Schlauch", "- 12.7"),
        ("one sixteenth inch", "- 1.5875"),
        # threads
        ("No. 10-32 screws", "thread 4.826"),
        ("BSF 1/4 bolt", "thread 6.35"),
        ("NPT 1/8-27", "thread 27"),
        ("3/8 BSPT, 19 tpi", "thread 19, thread 19"),
        ("M6 x 20 lang", "thread 6, len 20"),
        ("M6x20mm", "thread 6, len 20"),
        # wire, gauges, amounts of a reel
        ("20 AWG wire, 100ft reel", "- 0.51762, stock 30480"),
        ("hose 3 m x 8 mm ID", "stock 3000, id 8"),
        ("sheet x 16 swg", "thk 1.6256"),
        ("16 swg wire", "dia 1.6256"),
        ("#16 SWG", "- 1.6256"),
        ("18 AWG brass sheet", "thk 1.0236"),
        # separators
        ("1,234.5 mm", "- 1234.5"),
        ("1.234,5 mm", "- 1234.5"),
        ("1,234,567 mm", "- 1.2346e+06"),
        # several kinds in one line
        ("temperature gauge 28V 0.5 A", "- 28, - 0.5"),
        ("28/0.30, 2.0mm², 25.0A thin wall", "- 1.9792, - 2, - 25"),
    ],
)
def test_a_line_is_read_with_its_roles(text: str, wanted: str) -> None:
    assert sizes(text) == sorted(wanted.split(", "))


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("35 mm max", None, "35"),
        ("up to 3/8 in", None, "9.525"),
        ("≤ 35 mm", None, "35"),
        (">= 2 mm", "2", None),
        ("at least 2 mm", "2", None),
        ("2 mm min", "2", None),
        ("mind. 2 mm", "2", None),
        ("40-160 mph", "64.37376", "257.49504"),
        ("-  10 to 12 mm", "10", "12"),
    ],
)
def test_limits_in_running_text(text: str, low: str | None, high: str | None) -> None:
    (size,) = read_sizes(text).sizes
    quantity = size.quantity
    assert quantity.value is None
    assert (quantity.low, quantity.high) == (Fraction(low) if low else None, Fraction(high) if high else None)


def test_a_range_with_two_readings_keeps_both() -> None:
    found = {(one.quantity.low, one.quantity.high) for one in read_sizes("1,200-1,500 mm").sizes}
    assert found == {(Fraction("1.2"), Fraction("1.5")), (Fraction(1200), Fraction(1500))}


def test_what_is_probably_mistyped_weighs_little() -> None:
    (size,) = read_sizes("5/23 in rivet").sizes
    assert size.weight < 0.5


def test_a_sheet_gauge_without_its_system_keeps_both_thicknesses() -> None:
    # 20 SWG 0.914 mm and 20 AWG (B&S) 0.813 mm: the gauge comparison tables
    found = {round(float(one.quantity.value or 0), 3): one.role for one in read_sizes("20 gauge sheet").sizes}
    assert found == {0.914: "thk", 0.813: "thk"}


@pytest.mark.parametrize(
    ("text", "dia", "length"),
    [
        # diameter in 1/32 in, length in 1/16 in (RIVETS)
        ("426-3-4 rivets", "2.38125", "6.35"),
        ("AN426AD4 flush rivets", "3.175", None),
        ("AN430DD5-8", "3.96875", "12.7"),
    ],
)
def test_shortened_rivet_codes(text: str, dia: str, length: str | None) -> None:
    found = {one.role: one.quantity.value for one in read_sizes(text).sizes}
    assert found == {"dia": Fraction(dia)} | ({"len": Fraction(length)} if length else {}), RIVETS


def test_a_rivet_code_is_taken_apart() -> None:
    code = read_rivet_code("MS20470AD4-5")
    assert code is not None
    assert (code.head, code.alloy_code) == ("universal head", "AD")
    # AD is 2117 (NAVEDTRA 14315 table 3-1)
    assert code.alloy.startswith("2117")
    assert (code.diameter, code.length) == (Fraction("3.175"), Fraction("7.9375"))
    assert read_rivet_code("AN4-7A") is None


@pytest.mark.parametrize(
    ("number", "length_in"),
    # overall lengths of the kit builder's table; -3 is shorter than the rule, a dash never ends in 8
    [
        ("AN3-3", "0.46875"),
        ("AN3-10", "1.03125"),
        ("AN5-10", "1.09375"),
        ("AN6-14", "1.578125"),
        ("AN3-8", None),
        ("AN8-10", None),
    ],
)
def test_a_bolt_length_follows_the_table_or_is_not_given(number: str, length_in: str | None) -> None:
    found = {one.role: one.quantity.value for one in read_sizes(number).sizes}
    assert found.get("len") == (Fraction(length_in) * Fraction("25.4") if length_in else None)


def test_numbers_of_parts_without_known_sizes_give_none() -> None:
    for text in ("AN960-416L washer", "AS3209 fitting", "AS568-011", "NAS464P5A20", "AN9-12"):
        reading = read_sizes(text)
        assert len(reading.designators) == 1
        assert reading.sizes == ()


def test_a_spelling_of_the_thread_that_contradicts_itself_is_noted() -> None:
    # the charts give 1/4 BSF 26 per inch
    (size,) = read_sizes("1/4-28 BSF").sizes
    assert size.thread is not None
    assert "28 was written" in size.thread.note


def test_an_unnamed_form_names_the_candidates() -> None:
    (size,) = read_sizes("5/8-11 stud").sizes
    assert size.thread is not None
    assert size.thread.form == ""
    assert "UNC or BSW" in size.thread.note


def test_a_british_wire_gauge_as_a_conductor_is_a_round_wire() -> None:
    # 0.064 in: π/4 × 1.6256² = 2.0755 mm²
    read = read_quantity("16 SWG", Kind.AREA)
    assert float(read.value or 0) == pytest.approx(2.0755, abs=0.0001)
    assert "round wire" in read.note


def test_a_unit_of_the_drawings_that_does_not_exist_is_a_programming_fault() -> None:
    with pytest.raises(ValueError, match="furlong"):
        read_quantity("3", Kind.LENGTH, drawing_unit="furlong")
