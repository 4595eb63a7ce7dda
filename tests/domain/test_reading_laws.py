"""Laws of the reader: what is printed is read back, conversions agree with a general library, rubbish ends in time."""

import contextlib
import gc
import sys
import time
from fractions import Fraction

import pint
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from server.domain.errors import Unreadable
from server.domain.quantities import BASE_UNIT, UNITS, Kind, Quantity, as_decimal_text, write_value
from server.domain.reading import Reading, read_quantity, read_sizes, read_uncertainty
from server.domain.reading_fold import fold
from server.domain.reading_words import ROLES

INCH = Fraction("25.4")
SIGNED = {Kind.TEMPERATURE, Kind.ANGLE}

# every unit of the register, as the outside library calls it
PINT = {
    "mm": "mm",
    "µm": "µm",
    "cm": "cm",
    "m": "m",
    "in": "inch",
    "ft": "foot",
    "yd": "yard",
    "thou": "thou",
    "mm²": "mm**2",
    "cm²": "cm**2",
    "in²": "inch**2",
    "cmil": "circular_mil",
    "°": "degree",
    "°C": "degC",
    "°F": "degF",
    "g": "g",
    "kg": "kg",
    "lb": "lb",
    "oz": "oz",
    "N": "N",
    "kN": "kN",
    "lbf": "lbf",
    "kgf": "kgf",
    "MPa": "MPa",
    "N/mm²": "N/mm**2",
    "kgf/mm²": "kgf/mm**2",
    "ksi": "ksi",
    "lbf/in²": "psi",
    "tonf/in²": "force_long_ton/inch**2",
    "bar": "bar",
    "kPa": "kPa",
    "psi": "psi",
    "at": "technical_atmosphere",
    "N/mm": "N/mm",
    "lbf/in": "lbf/inch",
    "g/m²": "g/m**2",
    "oz/yd²": "oz/yard**2",
    "g/cm³": "g/cm**3",
    "lb/in³": "lb/inch**3",
    "V": "V",
    "A": "A",
    "mA": "mA",
    "W": "W",
    "Ω": "ohm",
    "kΩ": "kohm",
    "Ω/km": "ohm/km",
    "Ω/1000 ft": "ohm/(1000*foot)",
    "Hz": "Hz",
    "1/min": "1/minute",
    "off": "dimensionless",
    "%": "percent",
    "tpi": "1/inch",
    "µF": "µF",
    "cd": "cd",
    "km/h": "km/hour",
    "mph": "mile/hour",
    "kt": "knot",
}
REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()


def in_library(number: float, unit: str, wanted: str) -> float:
    """The number in another unit, as the outside library converts it."""
    measured = REGISTRY.Quantity(number, REGISTRY.parse_expression(PINT[unit]).units)
    scale = float(REGISTRY.parse_expression(PINT[unit]).magnitude)
    goal = REGISTRY.parse_expression(PINT[wanted])
    return float(measured.to(goal.units).magnitude) * scale / float(goal.magnitude)


@pytest.mark.parametrize("name", list(UNITS))
def test_a_typed_unit_converts_as_the_general_library_does(name: str) -> None:
    unit = UNITS[name]
    read = read_quantity(f"48 {name}", unit.kind)
    assert (read.unit, read.kind) == (name, unit.kind)
    assert read.value is not None
    assert float(read.value) == pytest.approx(in_library(48, name, BASE_UNIT[unit.kind]), rel=1e-9)


@given(st.sampled_from(list(Kind)), st.integers(0, 10**6), st.integers(0, 3), st.booleans())
@example(Kind.LENGTH, 3175, 3, False)
@example(Kind.TEMPERATURE, 40, 0, True)
def test_what_the_register_prints_is_read_back(kind: Kind, digits: int, places: int, is_below: bool) -> None:
    if kind is Kind.COUNT:
        places = 0
    value = Fraction(-digits if is_below and kind in SIGNED else digits, 10**places)
    names = [name for name, unit in UNITS.items() if unit.kind is kind]
    for name in names:
        number = UNITS[name].from_base(value)
        printed = write_value(value, kind, 4, unit=name) if kind is not Kind.COUNT else write_value(value, kind, 0)
        if number != Fraction(as_decimal_text(number, 4)):
            continue
        read = read_quantity(printed, kind)
        assert read.value == value, printed
        assert read.unit == name


@given(st.integers(1, 10**7))
def test_a_length_printed_with_the_usual_places_is_read_back_as_printed(thousandths: int) -> None:
    printed = write_value(Fraction(thousandths, 1000), Kind.LENGTH)
    number = Fraction(printed.removesuffix("mm").strip())
    assert read_quantity(printed, Kind.LENGTH).value == number
    (size,) = (one for one in read_sizes(printed.replace("\u202f", " ")).sizes if one.weight > 0.6)
    assert size.quantity.value == number


eighths = st.builds(Fraction, st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64])).filter(lambda f: f < 1)


@given(st.integers(0, 12), eighths, st.sampled_from(["{w} {f} in", '{w}-{f}"', "{w}.{f} inch", "{w} {f} Zoll"]))
def test_mixed_numbers_are_exact(whole: int, part: Fraction, form: str) -> None:
    text = form.format(w=whole, f=part) if whole else f"{part} in"
    assert read_quantity(text, Kind.LENGTH).value == (whole + part) * INCH
    (size,) = read_sizes(text).sizes
    assert size.quantity.value == (whole + part) * INCH


@given(st.integers(1, 9999), st.integers(1, 2))
def test_point_and_comma_are_the_same_decimal(digits: int, places: int) -> None:
    text = as_decimal_text(Fraction(digits, 10**places), places, keep_zeros=True)
    for mark in ".", ",":
        read = read_quantity(f"{text.replace('.', mark)} mm", Kind.LENGTH)
        assert read.value == Fraction(digits, 10**places)
        assert read.half_step == Fraction(1, 2 * 10**places)


@given(st.integers(1, 500), st.integers(1, 500))
def test_a_range_keeps_both_ends_and_never_runs_backwards(first: int, second: int) -> None:
    for text in (f"{first}-{second} mm", f"{first} to {second} mm"):
        if second > first:
            read = read_quantity(text, Kind.LENGTH)
            assert (read.value, read.low, read.high) == (None, Fraction(first), Fraction(second))
        else:
            with pytest.raises(Unreadable):
                read_quantity(text, Kind.LENGTH)


@given(st.integers(1, 400), st.integers(1, 400))
def test_a_product_has_its_members_in_order(first: int, second: int) -> None:
    sizes = read_sizes(f"plate {first}x{second} mm").sizes
    assert [(size.quantity.value, size.position) for size in sizes] == [
        (Fraction(first), 1),
        (Fraction(second), 2),
    ]


def holds(text: str, reading: Reading) -> None:
    """What must be true of any reading of any text."""
    for start, end in (
        *(size.span for size in reading.sizes),
        *(amount.span for amount in reading.amounts),
        *reading.designator_spans,
    ):
        assert 0 <= start < end <= len(text)
    for size in reading.sizes:
        assert size.role in ROLES
        assert 0 < size.weight <= 1
        quantity = size.quantity
        assert (quantity.value, quantity.low, quantity.high) != (None, None, None)
        if quantity.low is not None and quantity.high is not None:
            assert quantity.low <= quantity.high
    assert len(reading.designators) == len(reading.designator_spans)


PIECES = (
    "1 12 0.5 ,065 1/4 3-1/2 ½ mm in \" ' x - ± + / dia od id max AN3-5A M6 x20 2BA 16 swg 4/0 AWG 14/0.30 box of GBP "
    "lot 24V 3W Ø # ~ ( ) \0 😀 é ß 7x19 cable 10 H7 no. rib L= wall 1.200 to bis ² ° C ft thou 1:72 www. @"
)
pieces = st.sampled_from(PIECES.split(" "))


@given(st.lists(pieces, max_size=30), st.sampled_from(["", " ", "  "]))
def test_any_heap_of_pieces_gives_a_sound_reading(heap: list[str], joint: str) -> None:
    text = joint.join(heap)
    holds(text, read_sizes(text))


@given(st.text(max_size=200))
@example("İ1 mm")
@example("\0" * 50 + "6 mm")
def test_any_text_at_all_gives_a_sound_reading(text: str) -> None:
    holds(text, read_sizes(text))


@given(st.lists(pieces, max_size=8).map(" ".join) | st.text(max_size=40), st.sampled_from(list(Kind)))
def test_a_field_is_read_or_refused_and_nothing_else(text: str, kind: Kind) -> None:
    read = read_or_refused(text, kind)
    if isinstance(read, Quantity):
        assert read.kind is kind
        assert read.text == text.strip()
        assert UNITS[read.unit].kind is kind
        assert (read.value, read.low, read.high) != (None, None, None)
    else:
        assert read


def read_or_refused(text: str, kind: Kind) -> Quantity | str:
    """The quantity, or the sentence of the refusal; an uncertainty besides, which must not fail in another way."""
    with contextlib.suppress(Unreadable):
        assert read_uncertainty(text, kind) > 0
    try:
        return read_quantity(text, kind)
    except Unreadable as refused:
        return str(refused)


def test_folding_keeps_every_place_of_the_text() -> None:
    every = "".join(chr(code) for code in range(sys.maxunicode + 1) if not 0xD800 <= code < 0xE000)
    assert len(fold(every)) == len(every)


SEEDS = [
    "1",
    "1/",
    "1.",
    "1-",
    "1 ",
    "x1",
    "1 x ",
    "an3-",
    "m6x",
    "½",
    "ø",
    "#",
    "±1",
    "6+1-1 ",
    "1 to ",
    "1'",
    '1"',
    "1 in ",
    "max ",
    "\0",
    "😀",
    "é",
    "12V 5A ",
    "14/0.3 ",
    "a@",
    "www.",
    "0 ",
    "7x19 cable ",
    "1 x 8 spruce ",
    "K 4711-",
    "part no ",
    "a-1-",
    "one half inch ",
    " ",
    "9",
]


@pytest.mark.parametrize("seed", SEEDS, ids=repr)
def test_ten_thousand_signs_of_rubbish_end_in_time(seed: str) -> None:
    text = (seed * 10_000)[:10_000]
    started = time.perf_counter()
    holds(text, read_sizes(text))
    # a hundred times what an item line of the same length needs would still be a tenth of this on a slow machine
    assert time.perf_counter() - started < 5
    with pytest.raises(Unreadable):
        read_quantity(text, Kind.LENGTH)


def test_the_time_grows_with_the_text_and_no_faster() -> None:
    line = "Solid rivet AN470AD4-5, 1/8 x 5/16, universal head, 2117-T4, box of 50, 24V 3W, 6 mm, M6x20 "

    def seconds(text: str) -> float:
        each = []
        for _ in range(5):
            started = time.process_time()
            read_sizes(text)
            each.append(time.process_time() - started)
        return min(each)

    gc.disable()
    try:
        # a quadratic reader would need 64 times the time for 8 times the text
        assert seconds(line * 80) < 24 * seconds(line * 10)
    finally:
        gc.enable()


@settings(max_examples=30)
@given(st.integers(1, 300), st.sampled_from(["SWG", "AWG", "BWG"]))
def test_a_gauge_number_is_tabled_or_refused(number: int, system: str) -> None:
    try:
        read = read_quantity(f"{number} {system}", Kind.LENGTH)
    except Unreadable:
        assert number > 30
    else:
        assert read.value is not None
        assert 0 < read.value < 13
