"""How people write sizes, and what each form means: one case a form.

Millimetres follow from the inch of 25.4 mm (exact, agreement of 1959); what
else a value rests on stands beside it. A form without a source is common
practice of writing.
"""

from fractions import Fraction
from typing import NamedTuple

import pytest

from server.domain.quantities import Kind
from server.domain.reading import Reading, Size, read_sizes

AWG = "ASTM B258 as quoted: No. 36 = 0.0050 in, No. 0000 = 0.4600 in, 39 equal ratios"
SWG = "SWG table quoting BS 3737:1964"
RIVETS = "AC 43.13-1B paragraph 4-57: diameter in 1/32 in, length in 1/16 in, half lengths .5"
BOLTS = "kit builder's table of AN3 to AN6 bolts: dash in eighths, length +1/32 in"
BA = "BS 93 as quoted: pitch 0.9^n, diameter 6 p^1.2, two figures"
PIPE = "GOST 6357-52 as quoted: G1/4 is 13.158 mm, 19 per inch"
NUMBERED = "shop references: 0.060 in + 0.013 in per number"
UNIFIED = "thread charts of UNF, UNC, BSW and BSF counts"
METRIC = "ISO 261 and 262 as quoted: coarse M6 1.0, M8 1.25"
ORING = "extract of AS568: -010 is 0.239 × 0.070 in"
PRACTICE = "common practice of writing"

KINDS = {
    "L": Kind.LENGTH,
    "A2": Kind.AREA,
    "V": Kind.VOLTAGE,
    "A": Kind.CURRENT,
    "W": Kind.POWER,
    "P": Kind.PRESSURE,
    "n": Kind.SPEED,
    "R": Kind.RESISTANCE,
    "C": Kind.CAPACITANCE,
    "f": Kind.FREQUENCY,
    "a": Kind.ANGLE,
    "m": Kind.MASS,
    "tpi": Kind.THREADS,
    "T": Kind.TEMPERATURE,
    "v": Kind.AIRSPEED,
}


class Form(NamedTuple):
    """A text, the sizes it must give ("L od 25.4"), and where that is known from."""

    text: str
    sizes: str
    source: str = PRACTICE


FORMS = [
    # whole inches, fractions, mixed numbers
    Form('1/4"', "L 6.35"),
    Form("1/4 in", "L 6.35"),
    Form("5/16 inch", "L 7.9375"),
    Form("3/32in.", "L 2.38125"),
    Form("1 1/2 in", "L 38.1"),
    Form('1-1/4"', "L 31.75"),
    Form('1.1/2"', "L 38.1"),
    Form("1½ in", "L 38.1"),
    Form("½″", "L 12.7"),
    Form("⅜ inch", "L 9.525"),
    Form('3⁄16"', "L 4.7625"),
    Form("1/4''", "L 6.35"),
    Form("half inch", "L 12.7"),
    Form("half an inch", "L 12.7"),
    Form("quarter inch", "L 6.35"),
    Form("eighth inch", "L 3.175"),
    Form("three eighths bolt", "L 9.525"),
    Form("1/2 Zoll", "L 12.7"),
    Form("1/2 zöllig", "L 12.7"),
    Form("24 in", "L 609.6"),
    # decimal inches, thousandths
    Form('.250"', "L 6.35"),
    Form("0.25 in", "L 6.35"),
    Form(".065 wall", "L wall 1.651"),
    Form("65 thou", "L 1.651"),
    Form("250 thou dia", "L dia 6.35"),
    Form("40 mil", "L 1.016"),
    Form("0.250 - 0.251 in", "L 6.35..6.3754"),
    # millimetres, decimal comma, other metric
    Form("6 mm", "L 6"),
    Form("6.4 mm", "L 6.4"),
    Form("6mm", "L 6"),
    Form("6.35mm", "L 6.35"),
    Form("6,35 mm", "L 6.35"),
    Form("1,5 mm", "L 1.5"),
    Form("2.5 cm", "L 25"),
    Form("1.5 m", "L 1500"),
    Form("20 ft", "L 6096"),
    Form("20 ft sleeving", "L stock 6096"),
    Form("6'", "L 1828.8"),
    Form("4ft 6in", "L 1371.6"),
    Form("4'6\"", "L 1371.6"),
    Form("30 m Rolle", "L stock 30000"),
    # roles
    Form("1/4 inch id", "L id 6.35"),
    Form('3/8" I.D.', "L id 9.525"),
    Form("bore 12", "L id 12"),
    Form("12 mm Bohrung", "L id 12"),
    Form("5,5 mm innen", "L id 5.5"),
    Form("Innen-Ø 8 mm", "L id 8"),
    Form('1" OD x .065 wall', "L od 25.4; L wall 1.651; L id 22.098"),
    Form("Außen-Ø 16", "L od 16"),
    Form("20x1,5 Rohr", "L od 20; L wall 1.5; L id 17"),
    Form("Ø6", "L dia 6"),
    Form("⌀6", "L dia 6"),
    Form("6 dia", "L dia 6"),
    Form("dia. 6", "L dia 6"),
    Form("D=6", "L dia 6"),
    Form("L=35", "L len 35"),
    Form("35 mm long", "L len 35"),
    Form("35 lg", "L len 35"),
    Form("35 mm lang", "L len 35"),
    Form("Länge 35", "L len 35"),
    Form("32 mm A/F", "L af 32"),
    Form("SW 10", "L af 10"),
    Form("c/c 150 mm", "L centres 150"),
    Form("1.5 mm thk", "L thk 1.5"),
    # products
    Form("3x8", "L#1 3; L#2 8"),
    Form("3 x 8 mm", "L#1 3; L#2 8"),
    Form("1/8 x 5/16", "L#1 3.175; L#2 7.9375"),
    Form('1/8" x 5/16"', "L#1 3.175; L#2 7.9375"),
    Form("1/2 x 3", "L#1 12.7; L#2 76.2"),
    Form('1/4" x 20 mm', "L#1 6.35; L#2 20"),
    Form('0.236x1.181x0.315"', "L#1 5.9944; L#2 29.9974; L#3 8.001"),
    Form("1.000×.065 in", "L#1 25.4; L#2 1.651"),
    Form("17x40x12 ball bearing", "L#1 id 17; L#2 od 40; L#3 width 12"),
    Form("6×22×3 gasket", "L#1 id 6; L#2 od 22; L#3 thk 3"),
    Form("Niet DIN 660 - 5 x 10", "L#1 dia 5; L#2 len 10", "a smithing supplier's note on rivet designation"),
    Form("4ft x 2ft x 20 swg", "L#1 1219.2; L#2 609.6; L#3 thk 0.9144", SWG),
    Form("260 x 85 tyre", "L#1 od 260; L#2 width 85"),
    Form("6.50-10 tyre", "L#1 width 165.1; L#2 id 254", "tyre code: from memory, unverified"),
    # ranges, tolerances
    Form("6 ±0.1 mm", "L 5.9<6<6.1"),
    Form("6 +/- .1", "L 5.9<6<6.1"),
    Form("6 +0.1/-0 mm", "L 6<6<6.1"),
    Form('.250 +.000 -.002"', "L 6.2992<6.35<6.35"),
    Form("10-12 mm", "L 10..12"),
    Form("10–12 mm", "L 10..12"),
    Form("6 bis 8 mm", "L 6..8"),
    Form("6 to 8 mm", "L 6..8"),
    Form("6…8 mm", "L 6..8"),
    Form("0-150 psi", "P 0..10.34214"),
    Form("max 35 mm", "L ..35"),
    Form("10 H7", "L 10"),
    Form("Ø12 f7", "L dia 12"),
    Form('approx 1/4"', "L 6.35"),
    # wire, sheet, gauge numbers
    Form("18 AWG", "A2 0.823", AWG),
    Form("AWG22", "A2 0.326", AWG),
    Form("#16 awg", "A2 1.309", AWG),
    Form("4/0 AWG", "A2 107.22", AWG),
    Form("2.5mm²", "A2 2.5"),
    Form("2.5 sq mm", "A2 2.5"),
    Form("2.5 mm^2", "A2 2.5"),
    Form("0,75 qmm", "A2 0.75"),
    Form("2x1.5mm²", "A2 1.5"),
    Form("14/0.30 flex", "A2 0.9896", "strand form from memory; π/4 × 0.30² × 14 computed"),
    Form("16 SWG", "L 1.6256", SWG),
    Form("20swg sheet", "L thk 0.9144", SWG),
    Form("10 G sheet", "L thk 3.2512; m 10", SWG),
    # threads
    Form("M6", "L thread 6", METRIC),
    Form("M6x1", "L thread 6", METRIC),
    Form("M8x1", "L thread 8", METRIC),
    Form("M6x20", "L#1 thread 6; L#2 len 20", METRIC),
    Form("M8x1x25", "L#1 thread 8; L#2 len 25", METRIC),
    Form("M10 x 1,5 - 6g", "L thread 10", METRIC),
    Form("1/4-28", "L thread 6.35", UNIFIED),
    Form("1/4-28 UNF x 1 1/2", "L#1 thread 6.35; L#2 len 38.1", UNIFIED),
    Form("#10-32", "L thread 4.826", NUMBERED),
    Form("10-32 UNF", "L thread 4.826", NUMBERED),
    Form("6-32 x 1/2 screw", "L#1 thread 3.5052; L#2 len 12.7", NUMBERED),
    Form("2BA", "L thread 4.7", BA),
    Form("4 BA x 1/2", "L#1 thread 3.6; L#2 len 12.7", BA),
    Form("0BA", "L thread 6", BA),
    Form("1/4 BSF", "L thread 6.35", UNIFIED),
    Form("1/4 BSW", "L thread 6.35", UNIFIED),
    Form("1/4 Whit", "L thread 6.35", UNIFIED),
    Form("1/4 BSP", "L thread 13.157", PIPE),
    Form('G1/4"', "L thread 13.157", PIPE),
    Form("1/8 NPT", "tpi thread 27", "fitting table: 1/8 NPT has 27 per inch"),
    # coded hardware numbers
    Form("MS20470AD4-5", "L dia 3.175; L len 7.9375", RIVETS),
    Form("AD4-5 rivet", "L dia 3.175; L len 7.9375", RIVETS),
    Form("AD4-3.5 rivet", "L dia 3.175; L len 5.55625", RIVETS),
    Form("AN426AD3-4", "L dia 2.38125; L len 6.35", RIVETS),
    Form("MS 20470 AD 4 - 5", "L dia 3.175; L len 7.9375", RIVETS),
    Form("AN4-7A", "L dia 6.35; L thread 6.35; L len 23.01875", BOLTS),
    Form("an4 7a", "L dia 6.35; L thread 6.35; L len 23.01875", BOLTS),
    Form("AN3-14A", "L dia 4.7625; L thread 4.826; L len 38.89375", BOLTS),
    Form("AN815-6D", "L od 9.525", "TM 1-1500-204-23-2 table 4-9: dash in 1/16 in"),
    Form("AS568-010", "L id 6.0706; L thk 1.778", ORING),
    Form("6203 bearing", "L id 17", "bore code 03: from memory, unverified"),
    # electrical, pressure, other
    Form("28 V DC", "V 28"),
    Form("115V 400Hz", "V 115; f 400"),
    Form("7,5 A", "A 7.5"),
    Form("7½ amp", "A 7.5"),
    Form("24V/3W", "V 24; W 3"),
    Form("5 kΩ", "R 5000"),
    Form("5k resistor", "R 5000"),
    Form("5K0 resistor", "R 5000"),
    Form("4k7 resistor", "R 4700"),
    Form("0.1 µF", "C 0.1"),
    Form("0.1 mfd", "C 0.1"),
    Form("150 psi", "P 10.34214"),
    Form("10 bar", "P 10"),
    Form("10 atü", "P 9.80665", "1 at = 0.980665 bar: pint's technical_atmosphere"),
    Form("2500 rpm", "n 2500"),
    Form("2500 U/min", "n 2500"),
    Form("100° csk", "a 100"),
    Form("2 lb", "m 907.18474", "pound of 0.45359237 kg, exact"),
    # other kinds are read, but never as lengths
    Form("50 Hz, 20 °C, 5 lb", "f 50; T 20; m 2267.96185"),
    Form("80 kt, 120 mph", "v 148.16; v 193.12128", "knot 1.852 km/h and mile 1.609344 km, exact"),
    Form("5 g, 250 g", "m 5; m 250"),
]


def said(size: Size) -> str:
    """A size as the cases write it: "L#1 dia 3.175"."""
    kind = next(sign for sign, kind in KINDS.items() if kind is size.quantity.kind)
    place = f"#{size.position}" if size.position and not size.is_derived else ""
    role = f" {size.role}" if size.role else ""
    return f"{kind}{place}{role}"


def agrees(size: Size, wanted: str) -> bool:
    """Kind, value and limits; role and place only where the case names them."""
    head, figure = wanted.rsplit(" ", 1)
    kind, *role = head.split()
    kind, _, place = kind.partition("#")
    quantity = size.quantity
    if quantity.kind is not KINDS[kind] or (role and size.role != role[0]):
        return False
    if place and str(size.position) != place:
        return False
    if "<" in figure:
        low, value, high = figure.split("<")
        return near(quantity.low, low) and near(quantity.value, value) and near(quantity.high, high)
    if ".." in figure:
        low, high = figure.split("..")
        return quantity.value is None and near(quantity.low, low) and near(quantity.high, high)
    return near(quantity.value, figure) and not quantity.has_limits


def near(value: Fraction | None, wanted: str) -> bool:
    """Equal to the last figure written; a limit that is not there is written as nothing."""
    if value is None or not wanted:
        return value is None and not wanted
    places = len(wanted.partition(".")[2])
    return abs(value - Fraction(wanted)) <= Fraction(1, 2 * 10**places) if places else value == Fraction(wanted)


def first_readings(reading: Reading) -> list[Size]:
    """The sizes without second readings of the same place."""
    best: dict[tuple[object, ...], Size] = {}
    kept = []
    for size in reading.sizes:
        key = (size.span, size.role, size.position, size.is_derived)
        if not size.is_derived and key in best and size.weight < best[key].weight:
            continue
        best.setdefault(key, size)
        kept.append(size)
    return kept


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.text)
def test_a_form_means_these_sizes_and_no_others(form: Form) -> None:
    found = first_readings(read_sizes(form.text))
    wanted = form.sizes.split("; ")
    assert len(found) == len(wanted), [said(size) for size in found]
    for one in wanted:
        assert any(agrees(size, one) for size in found), (
            f"{one} not in {[said(size) for size in found]} ({form.source})"
        )


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.text)
def test_the_span_names_the_place_in_the_text(form: Form) -> None:
    for size in read_sizes(f"für {form.text} ½").sizes:
        start, end = size.span
        text = f"für {form.text} ½"[start:end]
        assert text
        assert size.quantity.text == text


NO_SIZES = [
    # amounts
    "box of 50",
    "50 off",
    "qty 20",
    "rivets x 12",
    "x 12 pcs",
    "25 Stück",
    "100 St.",
    "1 pair",
    "1 set",
    "1 Satz",
    "1 only",
    # prices, dates, serials, lots
    "GBP 12.50",
    "€ 30",
    "12,- EUR",
    "1943",
    "12/3/41",
    "3.4.44",
    "dated 1944",
    "lot 4471",
    "ref 90210",
    "S/N 1147",
    "Wk.Nr. 10411",
    # drawing and standard numbers
    "35-41-2207",
    "K 4711-3",
    "5C/543",
    "5L/9951",
    "6A/482",
    "Fl 22231",
    "MS24693-23A",
    "NAS1149",
    "DIN 660",
    "BS 2SP 80",
    "MIL-W-83420",
    "6203",
    # materials
    "2117-T4",
    "2024-T3",
    "24ST",
    "4130",
    "T45",
    "L72",
    "AZ91",
    "Ms58",
    "CuZn39Pb3",
    "1.7734",
    "V2A",
    # lamp caps
    "BA15s",
    "BA7s",
    "E10",
    "S6",
    # counts inside a name
    "3 ply",
    "5-lagig",
    "4 pole",
    "2 core",
    "3-way",
    "two-way",
    "4 pos",
    "DPDT",
    # aeroplanes and equipment
    "Mk IX",
    "Mk 5",
    "Type 12",
    "Ju 52/3m",
    "DC-3",
    "He 111 H-6",
    "L-4",
    # places
    "No. 5 cylinder",
    "frame 12",
    "rib 7",
    "rib 7 in wing",
    "station 110",
    "bay 3",
    # shares, pages, scales
    "left 1/3",
    "1/2 full",
    "2 of 3",
    "1/48 scale",
    "1:72",
    "100 % cotton",
    "80 %",
    # the preposition in
    "3 in 1",
    "in box",
    "in good order",
    "in Ordnung",
    "24 in stock",
    "24 in good condition",
    # suffix letters
    "K 4711-3 10 A",
    "12A",
    "23C",
    "M 1:1",
    "m/c",
    # sides, hands, classes
    "LH",
    "RH",
    "L/H thread",
    "H7",
    "6g",
    "2A",
    "3B",
    "5g6g",
    # contacts
    "tel 0171 2345678",
    "+49 171 2345678",
    "www.parts-12mm.example",
    "mail 12mm@hangar.example",
    # labels
    "No. 8 wood screw",
    "6-32 x 1/2",
]


@pytest.mark.parametrize("text", NO_SIZES)
def test_what_is_no_size_does_not_become_one(text: str) -> None:
    assert read_sizes(text).sizes == ()


@pytest.mark.parametrize("beside", ["cable", "rope", "wire", "Seil"])
@pytest.mark.parametrize("construction", ["7x19", "7x7", "1x19", "6x19"])
def test_a_cable_construction_stays_a_word(construction: str, beside: str) -> None:
    reading = read_sizes(f"{beside} {construction}, 1/8 in")
    assert [size.quantity.value for size in reading.sizes] == [Fraction("3.175")]
    assert construction in reading.rest


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("box of 50", 50),
        ("50 off", 50),
        ("qty 20", 20),
        ("x 12 pcs", 12),
        ("rivets x 12", 12),
        ("25 Stück", 25),
        ("100 St.", 100),
        ("1 pair", 1),
        ("3 x AN4-7A", 3),
        ("2 x M6 bolts", 2),
        ("50 x 1/8 rivets", 50),
    ],
)
def test_an_amount_is_read_as_one(text: str, number: int) -> None:
    assert [amount.number for amount in read_sizes(text).amounts] == [number]


@pytest.mark.parametrize(
    ("text", "designator"),
    [
        ("MS20470AD4-5", "MS20470AD4-5"),
        ("MS 20470 AD 4 - 5", "MS20470AD4-5"),
        ("AN4-7A", "AN4-7A"),
        ("an4 7a", "AN4-7A"),
        ("AN5H-27A", "AN5H-27A"),
        ("AN815-6D", "AN815-6D"),
        ("AS568-010", "AS568-010"),
        ("Niet DIN 660 - 5 x 10", "DIN 660"),
        ("BS 2SP 80", "BS 2SP 80"),
        ("MIL-W-83420", "MIL-W-83420"),
        ("5C/543", "5C/543"),
        ("35-41-2207", "35-41-2207"),
        ("K 4711-3", "K 4711-3"),
        ("Fl 22231", "FL 22231"),
        ("part no. 150030", "150030"),
        ("6203 bearing", "6203"),
        ("quarter-turn stud FJ4-35", "FJ4-35"),
    ],
)
def test_a_designator_is_read_in_its_usual_spelling(text: str, designator: str) -> None:
    reading = read_sizes(text)
    assert reading.designators == (designator,)
    (start, end), *_ = reading.designator_spans
    signs = "".join(sign for sign in text[start:end].upper() if sign.isalnum())
    assert signs.endswith("".join(sign for sign in designator if sign.isalnum()))


def test_a_known_designator_is_found_across_blanks() -> None:
    reading = read_sizes("clip 85 12 140 for cowl", known=frozenset({"8512140"}))
    assert reading.designators == ("85 12 140",)
    assert reading.sizes == ()
    assert reading.rest == "clip for cowl"


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("1.200 mm", {"1.2", "1200"}),
        ("1,200 mm", {"1.2", "1200"}),
        ("40 mil", {"1.016", "40"}),
        ("24V", {"24", "28"}),
        ("14 V", {"14", "12"}),
        ("12/24V", {"12", "24"}),
        ("1 x 8 spruce", {"1", "8", "25.4", "203.2"}),
        ('bungee 101/2"', {"266.7", "1282.7"}),
    ],
)
def test_what_has_two_readings_keeps_both(text: str, values: set[str]) -> None:
    assert {size.quantity.value for size in read_sizes(text).sizes} == {Fraction(value) for value in values}
    assert any(size.weight < 1 for size in read_sizes(text).sizes)


def test_an_unnamed_gauge_may_be_american_or_british() -> None:
    found = {size.quantity.kind: size for size in read_sizes("22 gauge wire").sizes}
    assert near(found[Kind.AREA].quantity.value, "0.326"), AWG
    assert near(found[Kind.LENGTH].quantity.value, "0.711"), SWG
    assert {size.weight for size in found.values()} == {0.5}


@pytest.mark.parametrize(
    ("text", "pitch", "count"),
    [
        # ISO 261 and 262 as quoted: coarse pitch may be left out
        ("M6", "1", None),
        ("M6x1", "1", None),
        ("M8", "1.25", None),
        ("M8x1", "1", None),
        ("M6x20", "1", None),
        # old French thread, a published list of the SI series of 1898
        ("M3 x 0.6", "0.6", None),
        ("screw 3 mm x 0.6", "0.6", None),
        ("#10-32", "0.79375", 32),
        ("1/4 BSF", "0.976923", 26),
        ("1/4 BSW", "1.27", 20),
        ("1/4 BSP", "1.336842", 19),
        ("2BA", "0.81", None),
        ("5/16 x 22tpi", "1.154545", 22),
        ("27 mm x 10 tpi", "2.54", 10),
        ("9/16-26 CEI", "0.976923", 26),
    ],
)
def test_a_thread_carries_its_pitch(text: str, pitch: str, count: int | None) -> None:
    thread = next(size.thread for size in read_sizes(text).sizes if size.thread)
    assert near(thread.pitch, pitch)
    assert thread.tpi == count


def test_a_quarter_inch_pipe_thread_is_never_a_quarter_inch() -> None:
    # the trap that the pipe thread tables warn of
    for text in ("1/4 BSP", 'G1/4"', "1/4 NPT"):
        assert all(size.quantity.value != Fraction("6.35") for size in read_sizes(text).sizes)


def test_left_hand_beside_thread_is_the_hand_of_the_thread() -> None:
    hands = [size.thread.is_left_hand for size in read_sizes("nut M8 LH thread").sizes if size.thread]
    assert hands == [True]
    assert not any(size.thread and size.thread.is_left_hand for size in read_sizes("LH wing bolt M8").sizes)


@pytest.mark.parametrize(
    ("text", "half_step"),
    [
        # half of the last decimal written; a fraction or a whole number names a nominal size
        ("6 mm", "0"),
        ("1/4 in", "0"),
        ("6.4 mm", "0.05"),
        ("6.35 mm", "0.005"),
        ('.250"', "0.0127"),
        ("0.25 in", "0.127"),
    ],
)
def test_precision_is_half_of_the_last_decimal(text: str, half_step: str) -> None:
    (size,) = read_sizes(text).sizes
    assert size.quantity.half_step == Fraction(half_step)


def test_a_role_belongs_to_a_length_only() -> None:
    assert {size.role for size in read_sizes("pitot head 24V 85W").sizes} == {""}
    assert {size.role for size in read_sizes("hose 3 m x 8 mm ID").sizes} == {"stock", "id"}


def test_fit_letters_are_kept_and_are_no_number() -> None:
    assert [(size.fit, size.quantity.value) for size in read_sizes("10 H7").sizes] == [("H7", Fraction(10))]
    assert [size.fit for size in read_sizes("Ø12 f7").sizes] == ["f7"]


def test_about_makes_a_size_loose() -> None:
    for text in ('approx 1/4"', 'ca. 1/4"', 'about 1/4"', '~1/4"'):
        (size,) = read_sizes(text).sizes
        assert size.quantity.is_approximate


def test_the_rest_keeps_the_words_and_loses_the_figures() -> None:
    text = "Solid rivet AN470AD4-5, 1/8 x 5/16, universal head, box of 50, GBP 12.50"
    assert "12.50" not in read_sizes(text).rest
    words = read_sizes(text).rest.replace(",", " ").split()
    assert words == ["Solid", "rivet", "universal", "head"]


def test_sizes_of_a_need_and_of_an_advert_agree_across_units() -> None:
    # 7/8 in x 0.035 in tube offered in millimetres: 22.2 x 0.9, as advertised
    need = {size.role: size.quantity for size in read_sizes("Steel tube | 7/8 in OD x 0.035 in").sizes}
    find = {size.role: size.quantity for size in read_sizes("4130 chrome moly 22.2 x 0.9 tube").sizes}
    assert need.keys() == find.keys() == {"od", "wall", "id"}
    for role, quantity in need.items():
        assert abs(float((quantity.value or 0) - (find[role].value or 0))) < 0.06
