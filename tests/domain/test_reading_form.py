"""One quantity in a form field: what is taken, what is asked back, and that nothing is guessed in silence.

Millimetres follow from the inch of 25.4 mm (exact, agreement of 1959). The
forms are common practice of writing.
"""

from fractions import Fraction

import pytest

from server.domain.errors import Unreadable
from server.domain.quantities import Kind, Quantity
from server.domain.reading import implausible, read_quantity, read_uncertainty

L = Kind.LENGTH


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("3/32 in", "2.38125"),
        ("1 1/2 in", "38.1"),
        ('1-1/2"', "38.1"),
        ("1½″", "38.1"),
        ("1 ½ inch", "38.1"),
        ("1.1/2 in", "38.1"),
        ("3⁄16 in", "4.7625"),
        ("1/4''", "6.35"),
        ("⅜ Zoll", "9.525"),
        ("half inch", "12.7"),
        (".250 in", "6.35"),
        ("6,35 mm", "6.35"),
        ("6.35mm", "6.35"),
        ("3.175 mm", "3.175"),
        ("1.125 in", "28.575"),
        ("65 thou", "1.651"),
        ("40 mil", "1.016"),
        ("2.5 cm", "25"),
        ("1.5 m", "1500"),
        ("250 µm", "0.25"),
        ("4'6\"", "1371.6"),
        ("4'6", "1371.6"),
        ("4 ft 6 in", "1371.6"),
        ("6'", "1828.8"),
        ("2 yd", "1828.8"),
        ("Ø 6 mm", "6"),
        ("6 mm dia", "6"),
        ("2 1/2 mm", "2.5"),
        ("1\u202f200\u202fmm", "1200"),
        ("3.2 mm.", "3.2"),
        ("３.２ ｍｍ", "3.2"),
    ],
)
def test_a_length_as_a_mechanic_types_it(text: str, mm: str) -> None:
    assert read_quantity(text, L).value == Fraction(mm)
    assert read_quantity(text, L).text == text.strip()


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        # each conversion is checked against pint in test_reading_laws
        (Kind.TEMPERATURE, "120 °C", "120"),
        (Kind.TEMPERATURE, "120 C", "120"),
        (Kind.TEMPERATURE, "120 deg C", "120"),
        (Kind.TEMPERATURE, "248 deg. F", "120"),
        (Kind.TEMPERATURE, "-40 °F", "-40"),
        (Kind.TEMPERATURE, "−40 °C", "-40"),
        (Kind.STRESS, "450 N/mm2", "450"),
        (Kind.STRESS, "450 N / mm²", "450"),
        (Kind.STRESS, "45 kg/mm²", "441.29925"),
        (Kind.PRESSURE, "10 bar", "10"),
        (Kind.PRESSURE, "10 atü", "9.80665"),
        (Kind.MASS, "2 lbs", "907.18474"),
        (Kind.MASS, "16 oz", "453.59237"),
        (Kind.RESISTANCE, "4.7 kΩ", "4700"),
        (Kind.RESISTANCE, "5 MΩ", "5000000"),
        (Kind.RESISTANCE, "5 mΩ", "0.005"),
        (Kind.LINE_RESISTANCE, "20.44 ohm/km", "20.44"),
        (Kind.VOLTAGE, "28 V DC", "28"),
        (Kind.VOLTAGE, "28", "28"),
        (Kind.CURRENT, "7½ amp", "7.5"),
        (Kind.CURRENT, "500 mA", "0.5"),
        (Kind.ANGLE, "100", "100"),
        (Kind.ANGLE, "100 deg", "100"),
        (Kind.COUNT, "12", "12"),
        (Kind.COUNT, "12 off", "12"),
        (Kind.COUNT, "1,200", "1200"),
        (Kind.SHARE, "80", "80"),
        (Kind.SHARE, "80 %", "80"),
        (Kind.THREADS, "28 tpi", "28"),
        (Kind.SPEED, "2500 U/min", "2500"),
        (Kind.AREA, "2.5 sq mm", "2.5"),
        (Kind.AREA, "0,75 qmm", "0.75"),
    ],
)
def test_other_kinds_in_their_usual_spellings(kind: Kind, text: str, value: str) -> None:
    assert read_quantity(text, kind).value == Fraction(value)


def limits(quantity: Quantity) -> tuple[Fraction | None, Fraction | None]:
    return quantity.low, quantity.high


@pytest.mark.parametrize(
    ("text", "value", "low", "high"),
    [
        ("6 ±0.1 mm", "6", "5.9", "6.1"),
        ("6 mm +/- 0.1", "6", "5.9", "6.1"),
        ("6 mm ± 2 thou", "6", "5.9492", "6.0508"),
        ("6 +0.1/-0 mm", "6", "6", "6.1"),
        ("6 -0 +0.1 mm", "6", "6", "6.1"),
        ('.250 +.000 -.002"', "6.35", "6.2992", "6.35"),
        # the worked example of the inward rounding table: 0.500 ± 0.005 in is 12.573 to 12.827 mm
        ("0.500 ±0.005 in", "12.7", "12.573", "12.827"),
        # f7 at 12 mm as a pair of deviations: -16 and -34 µm (ISO 286-2 as quoted)
        ("12 -0.016/-0.034 mm", "12", "11.966", "11.984"),
        ("10 -0.1 mm", "10", "9.9", "10"),
        ("10-12 mm", None, "10", "12"),
        ("10 – 12 mm", None, "10", "12"),
        ("6 mm to 8 mm", None, "6", "8"),
        ("6 bis 8 mm", None, "6", "8"),
        ("1/4-3/8 in", None, "6.35", "9.525"),
        ("max 35 mm", None, None, "35"),
        ("max. 35 mm", None, None, "35"),
        ("35 mm max", None, None, "35"),
        ("up to 35 mm", None, None, "35"),
        ("≤ 35 mm", None, None, "35"),
        ("at least 2 mm", None, "2", None),
        (">= 2 mm", None, "2", None),
        ("min 2 mm", None, "2", None),
        ("mind. 2 mm", None, "2", None),
    ],
)
def test_limits_are_kept_as_they_were_written(text: str, value: str | None, low: str | None, high: str | None) -> None:
    read = read_quantity(text, L)
    wanted = [Fraction(one) if one else None for one in (value, low, high)]
    assert [read.value, read.low, read.high] == wanted


def test_limits_of_other_kinds() -> None:
    assert limits(read_quantity("-55 to 125 °C", Kind.TEMPERATURE)) == (Fraction(-55), Fraction(125))
    assert limits(read_quantity("-55 - -20 °C", Kind.TEMPERATURE)) == (Fraction(-55), Fraction(-20))
    # a tolerance in °F is a difference, 2 °F = 10/9 °C
    warm = read_quantity("68 ±2 °F", Kind.TEMPERATURE)
    assert limits(warm) == (20 - Fraction(10, 9), 20 + Fraction(10, 9))
    assert limits(read_quantity("100 Ω ±5 %", Kind.RESISTANCE)) == (Fraction(95), Fraction(105))


@pytest.mark.parametrize("text", ["approx 6 mm", "approx. 6 mm", "ca. 6 mm", "~6 mm", "about 6 mm", "etwa 6 mm"])
def test_about_is_marked(text: str) -> None:
    read = read_quantity(text, L)
    assert (read.value, read.is_approximate) == (Fraction(6), True)


@pytest.mark.parametrize(
    ("kind", "text", "offers"),
    [
        (L, "3.2", ("3.2 mm", "3.2 in")),
        (L, ".065", (".065 mm", ".065 in")),
        (L, "6 ±0.1", ("6 ±0.1 mm", "6 ±0.1 in")),
        (L, "6 to 8", ("6 to 8 mm", "6 to 8 in")),
        (L, "max 35", ("35 mm", "35 in")),
        (Kind.AREA, "2.5", ("2.5 mm²", "2.5 in²")),
        (Kind.TEMPERATURE, "120", ("120 °C", "120 °F")),
        (Kind.MASS, "5", ("5 g", "5 lb")),
        (Kind.CURRENT, "5", ("5 A", "5 mA")),
        (Kind.PRESSURE, "5", ("5 bar", "5 psi")),
    ],
)
def test_a_number_without_a_unit_is_asked_back(kind: Kind, text: str, offers: tuple[str, str]) -> None:
    with pytest.raises(Unreadable, match="Which unit") as refused:
        read_quantity(text, kind)
    for offer in offers:
        assert offer in str(refused.value)


def test_the_unit_of_the_drawings_is_taken_and_noted() -> None:
    read = read_quantity("3.2", L, drawing_unit="mm")
    assert (read.value, read.unit) == (Fraction("3.2"), "mm")
    assert "taken as mm" in read.note
    assert read_quantity(".125", L, drawing_unit="in").value == Fraction("3.175")
    assert read_quantity("2", Kind.AREA, drawing_unit="in").value == 2 * Fraction("25.4") ** 2
    # a unit that was typed goes before the drawing's
    assert read_quantity("1/8 in", L, drawing_unit="mm").note == ""
    # the drawing's length unit says nothing of a mass
    with pytest.raises(Unreadable, match="Which unit"):
        read_quantity("5", Kind.MASS, drawing_unit="mm")


def test_a_bare_drill_fraction_is_inches_and_noted() -> None:
    read = read_quantity("3/32", L)
    assert read.value == Fraction("2.38125")
    assert "read as inches" in read.note
    with pytest.raises(Unreadable, match="looks like inches"):
        read_quantity("3/32", L, drawing_unit="mm")


@pytest.mark.parametrize(
    ("text", "first", "second"),
    [
        ("1.200 mm", "1.2", "1200"),
        ("1,200 mm", "1.2", "1200"),
        ("3,175 mm", "3.175", "3175"),
        ("1,125 in", "1.125", "1125"),
        ("2,500 rpm", "2.5", "2500"),
        ("101/2 in", "50 1/2", "10 1/2"),
        ("11/2 in", "5 1/2", "1 1/2"),
    ],
)
def test_what_has_two_readings_is_refused_with_both(text: str, first: str, second: str) -> None:
    kind = Kind.SPEED if "rpm" in text else L
    with pytest.raises(Unreadable) as refused:
        read_quantity(text, kind)
    assert first in str(refused.value)
    assert second in str(refused.value)


def test_a_point_read_as_decimal_is_noted() -> None:
    assert "decimal point" in read_quantity("3.175 mm", L).note


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("5/23 in", "5/32"),
        ("5/23", "5/32"),
        ("3/61 in", "3/16"),
        ("1/46 in", "1/64"),
        ("3/31 in", "3/32"),
        ("1/10 in", "0.1 in"),
        ("3/32 mm", "3/32 in"),
    ],
)
def test_a_mistyped_fraction_is_questioned(text: str, meant: str) -> None:
    with pytest.raises(Unreadable, match=f"{meant}.*\\?"):
        read_quantity(text, L)


@pytest.mark.parametrize(
    ("kind", "text", "part"),
    [
        (L, "?", "?"),
        (L, "unknown", "unknown"),
        (L, "3.2 parsec", "parsec"),
        (L, "6 mm long", "long"),
        (L, "6mm (new)", "(new)"),
        (L, "12,- EUR", ",- EUR"),
        (L, "3 x 8 mm", "x 8 mm"),
        (L, "150 psi", "psi"),
        (Kind.PRESSURE, "6 mm", "mm"),
        (L, "-5 mm", "-5"),
        (L, "5/0 in", "5/0"),
        (L, "12/3/41", "12/3/41"),
        (L, "M6", "M6"),
        (L, "1/4-28", "1/4-28"),
        (L, "99 SWG", "99 SWG"),
        (L, "22 gauge", "22 gauge"),
        (Kind.COUNT, "2.5 off", "2.5"),
        (L, "6 mm max 5", "5"),
        (L, "1e5 mm", "e5 mm"),
    ],
)
def test_the_part_that_stopped_the_reading_is_quoted(kind: Kind, text: str, part: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read_quantity(text, kind)
    assert refused.value.part == part
    assert f"“{part}" in str(refused.value)


@pytest.mark.parametrize("text", ["12-10 mm", "1 - 1/2 in", "6 mm to 1 in", "max 6 ±0.1 mm", "", "  ", "9" * 200])
def test_contradictions_and_nothing_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        read_quantity(text, L)


def test_a_refusal_shows_how_it_is_written() -> None:
    with pytest.raises(Unreadable, match=r"3/32 in or 2\.4 mm"):
        read_quantity("", L)
    with pytest.raises(Unreadable, match="unit of pressure"):
        read_quantity("150 psi", L)


def test_a_fit_is_kept_for_the_check() -> None:
    read = read_quantity("20 mm H7/g6", L)
    assert (read.value, read.has_limits) == (Fraction(20), False)
    assert "H7/g6" in read.note
    with pytest.raises(Unreadable, match="Which unit"):
        read_quantity("20 H7", L)


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (L, "0.02 mm", "0.02"),
        (L, "±0.02 mm", "0.02"),
        (L, "+/- 0.02 mm", "0.02"),
        (L, "1 thou", "0.0254"),
        (Kind.TEMPERATURE, "9 °F", "5"),
        (Kind.ANGLE, "¼°", "0.25"),
    ],
)
def test_an_uncertainty_is_a_difference(kind: Kind, text: str, value: str) -> None:
    assert read_uncertainty(text, kind) == Fraction(value)


def test_a_doubtful_uncertainty_is_refused() -> None:
    with pytest.raises(Unreadable, match="Which unit"):
        read_uncertainty("±0.02", L)
    assert read_uncertainty("±0.02", L, drawing_unit="mm") == Fraction("0.02")
    with pytest.raises(Unreadable, match="without doubt"):
        read_uncertainty("0 mm", L)
    with pytest.raises(Unreadable, match="limits of its own"):
        read_uncertainty("0.01-0.02 mm", L)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("44 mm", "4.4"),
        ("0.125 mm", "0.125\u202fin"),
        ("3.2 in", "3.2\u202fmm"),
        ("32 mm", "3.2\u202fmm"),
    ],
)
def test_an_implausible_size_names_the_likely_slip(text: str, meant: str) -> None:
    # body diameters of solid rivets run from 1/16 to 3/8 in (rivet tables); 0.5 to 12 mm leaves room
    question = implausible(read_quantity(text, L), Fraction(1, 2), Fraction(12), "a rivet's body diameter")
    assert question is not None
    assert "a rivet's body diameter" in question
    assert "?" in question
    assert meant in question


def test_a_plausible_size_is_not_questioned() -> None:
    for text in ("3/32 in", "4.4 mm", "max 12 mm", "2-3 mm"):
        assert implausible(read_quantity(text, L), Fraction(1, 2), Fraction(12)) is None
    assert implausible(read_quantity("max 44 mm", L), Fraction(1, 2), Fraction(12)) is not None
    hot = implausible(read_quantity("300 °C", Kind.TEMPERATURE), Fraction(50), Fraction(200))
    assert hot is not None
    assert "300\u202f°F" in hot
