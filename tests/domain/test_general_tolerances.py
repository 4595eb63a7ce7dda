"""General tolerances against ISO 2768-1:1989, table of linear dimensions, classes m, c and v."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.drawing import Label
from server.domain.equivalence import compare
from server.domain.general_tolerances import coarsest_limits, general_limits, stock_limits
from server.domain.offer import Offered
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import in_sentence
from server.domain.parts._section_drawings import thread_shapes
from server.domain.quantities import INCH, Kind, write_value
from server.domain.rows import write_span
from server.domain.specification import Form, Requirement, Wanted
from server.domain.tempers import read_temper
from server.domain.threads import read_thread

ASKED = Requirement("thickness", Form.EXACTLY, "")


@pytest.mark.parametrize(
    ("nominal", "medium", "coarsest"),
    [
        ("0.5", "0.1", "0.2"),
        ("3", "0.1", "0.2"),
        ("5", "0.1", "0.5"),
        ("6", "0.1", "0.5"),
        ("20", "0.2", "1"),
        ("30", "0.2", "1"),
        ("100", "0.3", "1.5"),
        ("300", "0.5", "2.5"),
        ("800", "0.8", "4"),
        ("1500", "1.2", "6"),
        ("4000", "2", "8"),
    ],
)
def test_limits_round_a_nominal(nominal: str, medium: str, coarsest: str) -> None:
    middle = Fraction(nominal)
    for found, spread in ((general_limits(middle), medium), (coarsest_limits(middle), coarsest)):
        assert found is not None
        assert (found.low, found.high) == (middle - Fraction(spread), middle + Fraction(spread))


@pytest.mark.parametrize("nominal", ["0.4", "4001"])
def test_outside_the_table_nothing_is_assumed(nominal: str) -> None:
    for limits in (general_limits(Fraction(nominal)), coarsest_limits(Fraction(nominal))):
        assert limits is None


def test_thin_stock_is_held_closer_and_never_wider() -> None:
    """Common practice: a tenth of the thickness; what it lets through class m lets through too."""
    for hundredths in range(50, 400, 7):
        nominal = Fraction(hundredths, 100)
        stock, general = stock_limits(nominal, ASKED), general_limits(nominal)
        assert stock is not None
        assert general is not None
        assert general.low <= stock.low < nominal < stock.high <= general.high
        assert stock.high - nominal <= nominal / 10
    assert stock_limits(Fraction(2, 5), ASKED) is None


def test_a_label_keeps_its_units_and_letters_inside_a_sentence() -> None:
    """Own rule of wording."""
    assert in_sentence("Resistance of the conductor at 20 °C") == "resistance of the conductor at 20 °C"
    assert in_sentence("How end A seals") == "how end A seals"


def test_a_count_is_said_without_a_unit() -> None:
    """Own rule of wording: "5 off" is how parts are ordered, not how plies are counted."""
    assert write_value(Fraction(5), Kind.COUNT) == "5"


@pytest.mark.parametrize(("said", "now"), [("1/4H", "H12"), ("1/2H", "H14"), ("3/4H", "H16"), ("H", "H18")])
def test_hardness_by_quarters_has_its_letters(said: str, now: str) -> None:
    """TM 1-1500-204-23-6 para 4-2(5): full hard -H18, 3/4 hard -H16, 1/2 hard -H14, 1/4 hard -H12."""
    (read,) = read_temper("aluminium", "1100", said, "")
    assert read.now == now
    assert read.source is not None
    assert not read.source.is_shaky


@pytest.mark.parametrize(
    ("wanted", "offered", "coincide"),
    [("2BA", "2BA", True), ("10-32 UNF", "10-32 UNF left hand", True), ("2BA", "10-32 UNF", False), ("2BA", "", False)],
)
def test_equal_threads_are_said_to_coincide(wanted: str, offered: str, coincide: bool) -> None:
    """Own rule: where two profiles are one line, the drawing says so."""
    shapes = thread_shapes(read_thread(wanted), read_thread(offered) if offered else None, 0.0)
    (label,) = [one.text for one in shapes if isinstance(one, Label)]
    assert ("the two coincide" in label) is coincide


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [
        # 0.249 ± 0.0005 in is 6.3119 to 6.3373 mm (international inch, 25.4 mm)
        (Fraction("0.2485") * INCH, Fraction("0.2495") * INCH, "6.312 mm to 6.337 mm"),
        # 20 H7 of ISO 286-1: 0 to +21 µm
        (Fraction(20), Fraction("20.021"), "20 mm to 20.021 mm"),
        (Fraction("0.12345"), None, "at least 0.124 mm"),
        (None, Fraction("0.12345"), "at most 0.123 mm"),
        (Fraction(1, 3), Fraction(1, 3), "0.333 mm"),
    ],
)
def test_limits_are_printed_inward(low: Fraction | None, high: Fraction | None, said: str) -> None:
    assert write_span((low, high), Kind.LENGTH).replace("\u202f", " ") == said


@settings(deadline=None)
@given(
    st.fractions(0, 900, max_denominator=10_000),
    st.fractions("0.0001", 10, max_denominator=10_000),
    st.sampled_from((Kind.LENGTH, Kind.TEMPERATURE, Kind.FORCE)),
)
def test_no_printed_limit_lets_through_what_the_limits_do_not(low: Fraction, width: Fraction, kind: Kind) -> None:
    high = low + width
    printed = [Fraction(part.split("\u202f")[0]) for part in write_span((low, high), kind).split(" to ")]
    assert low <= printed[0] <= printed[1] <= high


def test_a_reading_on_its_limit_asks_for_the_finest_instrument() -> None:
    """Own rule: no doubt however small settles it from here, so it is measured anew as well as the shop can."""
    offered = Offered("general", (measures("length_over_all", size(Kind.LENGTH, "40.3"), instrument="calliper"),))
    sheet = compare(Wanted("general", (wants("length_over_all", size(Kind.LENGTH, "40")),)), offered)
    asked = next(one for one in sheet.measure_next if one.characteristic == "length_over_all")
    assert asked.instrument == "the finest instrument that reaches it"
    assert "lies on its limit" in asked.what
