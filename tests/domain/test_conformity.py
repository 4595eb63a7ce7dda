"""The decision rule: worked figures, scipy as an outside witness, and the laws it has to keep.

Sources: ILAC-G8:09/2019, 4.2.1 and 4.2.2 (a reading on the limit is right half the time; a guard band of U at k = 2
leaves less than 2.5 %); ISO 14253-1:2017 as quoted (95 %, a guard band of 1.65 u, non-conformity only outside the
limits widened by it); JCGM 106:2012 for the conformance probability. The probabilities beside the worked readings
are those of the normal distribution, computed with scipy.
"""

from fractions import Fraction

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from server.domain.conformity import (
    USUAL_PROBABILITY,
    Finding,
    Judgement,
    best_probability,
    conformance_probability,
    judge,
)


def judged(value: str, u: str, low: str, high: str, wanted: float = USUAL_PROBABILITY) -> Judgement:
    """`u` is one standard deviation, as the worked readings give it; "" for no limit."""
    least, most = (Fraction(text) if text else None for text in (low, high))
    return judge(Fraction(value), 2 * Fraction(u), least, most, wanted)


WORKED = [
    # a hole for a 1/4 in rivet, digital calliper
    ("6.43", "0.02", "6.35", "6.45", 0.8413, Finding.UNDECIDED),
    ("6.40", "0.02", "6.35", "6.45", 0.9876, Finding.CONFORMS),
    # a shaft 20 h6, micrometer
    ("19.998", "0.0025", "19.987", "20.000", 0.7881, Finding.UNDECIDED),
    ("19.994", "0.0025", "19.987", "20.000", 0.9892, Finding.CONFORMS),
    # a bracket 30.0 ± 0.1: calliper, then a steel rule dead on the nominal
    ("30.08", "0.02", "29.9", "30.1", 0.8413, Finding.UNDECIDED),
    ("30.0", "0.15", "29.9", "30.1", 0.4950, Finding.INSTRUMENT_TOO_COARSE),
    ("30.20", "0.02", "29.9", "30.1", 2.9e-7, Finding.DOES_NOT),
    ("10.045", "0.01", "9.95", "10.05", 0.6915, Finding.UNDECIDED),
    # one limit only: a gap at most 0.30 by feeler, a tube wall at least 1.25
    ("0.28", "0.012", "", "0.30", 0.9522, Finding.CONFORMS),
    ("1.28", "0.02", "1.25", "", 0.9332, Finding.UNDECIDED),
    # breakdown voltage of a diode, upper limit only; viscosity between two limits (JCGM 106, answers from memory)
    ("-5.47", "0.05", "", "-5.40", 0.9192, Finding.UNDECIDED),
    ("13.6", "1.8", "12.5", "16.3", 0.6626, Finding.INSTRUMENT_TOO_COARSE),
    # one and a quarter deviations outside a wide zone, one and three quarters outside
    ("30.125", "0.02", "29.9", "30.1", 0.1056, Finding.UNDECIDED),
    ("30.135", "0.02", "29.9", "30.1", 0.0401, Finding.DOES_NOT),
]


@pytest.mark.parametrize(("value", "u", "low", "high", "probability", "finding"), WORKED)
def test_worked_readings(value: str, u: str, low: str, high: str, probability: float, finding: Finding) -> None:
    found = judged(value, u, low, high)
    assert found.probability == pytest.approx(probability, abs=6e-5)
    assert found.finding is finding


def test_a_reading_on_its_limit_is_right_half_the_time() -> None:
    assert judged("10", "0.1", "", "10").probability == pytest.approx(0.5)


def test_a_guard_band_of_the_whole_doubt_leaves_less_than_a_fortieth() -> None:
    assert 1 - judged("9.8", "0.1", "", "10").probability == pytest.approx(0.02275, abs=1e-5)


@pytest.mark.parametrize(("wanted", "z"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33), (0.999, 3.09)])
def test_guard_bands_by_probability(wanted: float, z: float) -> None:
    """JCGM 106:2012, Table 1, z for one-sided limits (from memory; scipy agrees)."""
    assert judged("5", "1", "", "10", wanted).guard == pytest.approx(z, abs=6e-3)
    assert judged("5", "1", "", "10", wanted).guard == pytest.approx(norm.ppf(wanted))


@pytest.mark.parametrize("reading", ["19.90", "19.98", "20.02", "20.10"])
def test_a_coarse_reading_beside_a_narrow_zone_refuses_nothing(reading: str) -> None:
    """20 h6 by a steel rule, U = 0.3 mm: hardly any true value lies in 13 µm, good piece or bad (ISO 14253-1)."""
    found = judged(reading, "0.15", "19.987", "20.000")
    assert found.probability < 0.05
    assert found.finding is Finding.INSTRUMENT_TOO_COARSE
    assert judged("20.30", "0.15", "19.987", "20.000").finding is Finding.DOES_NOT


def test_without_doubt_limits_are_exact() -> None:
    assert judge(Fraction(10), Fraction(0), None, Fraction(10)).finding is Finding.CONFORMS
    assert judge(Fraction("10.0000001"), Fraction(0), None, Fraction(10)).finding is Finding.DOES_NOT


@pytest.mark.parametrize(
    ("expanded", "low", "high"), [("-1", "0", "1"), ("1", "2", "1"), ("1", None, None)], ids=["doubt", "cross", "none"]
)
def test_what_can_not_be_judged_is_refused(expanded: str, low: str | None, high: str | None) -> None:
    least, most = (None if text is None else Fraction(text) for text in (low, high))
    with pytest.raises(ValueError, match=r"\w"):
        judge(Fraction(1), Fraction(expanded), least, most)


# --- laws -------------------------------------------------------------------------------------------------------------

SIZES = st.fractions(-50, 50, max_denominator=1000)
WIDTHS = st.fractions("0.001", 20, max_denominator=1000)
DOUBTS = st.fractions("0.001", 20, max_denominator=1000)
SHARES = st.fractions("0.01", "0.99", max_denominator=100)
WANTED = st.sampled_from((0.95, 0.975))
LAW = settings(deadline=None, max_examples=150)
RANK = {
    Finding.DOES_NOT: 0,
    Finding.UNDECIDED: 1,
    Finding.INSTRUMENT_TOO_COARSE: 1,
    Finding.CONFORMS: 2,
}


@LAW
@given(SIZES, DOUBTS, SIZES, WIDTHS)
def test_the_probability_is_that_of_the_normal_distribution(
    value: Fraction, doubt: Fraction, low: Fraction, width: Fraction
) -> None:
    u, ends = float(doubt) / 2, (float(low), float(low + width))
    expected = norm.cdf(ends[1], float(value), u) - norm.cdf(ends[0], float(value), u)
    assert conformance_probability(float(value), u, *ends) == pytest.approx(expected, abs=1e-9)
    assert best_probability(u, *ends) >= conformance_probability(float(value), u, *ends) - 1e-12


@LAW
@given(SIZES, DOUBTS, SHARES, SIZES, WIDTHS, WANTED)
def test_a_tighter_measurement_never_unproves(
    value: Fraction, doubt: Fraction, share: Fraction, low: Fraction, width: Fraction, wanted: float
) -> None:
    before = judge(value, doubt, low, low + width, wanted).finding
    assume(before in {Finding.CONFORMS, Finding.DOES_NOT})
    assert judge(value, doubt * share, low, low + width, wanted).finding is before


@LAW
@given(SIZES, DOUBTS, SHARES, SIZES, WIDTHS, WANTED)
def test_a_larger_margin_never_lowers_the_answer(
    value: Fraction, doubt: Fraction, share: Fraction, low: Fraction, width: Fraction, wanted: float
) -> None:
    nearer = value + (low + width / 2 - value) * share
    before, after = (judge(each, doubt, low, low + width, wanted) for each in (value, nearer))
    assert after.margin >= before.margin
    assert RANK[after.finding] >= RANK[before.finding]


@LAW
@given(SIZES, DOUBTS, SIZES, WIDTHS, WANTED)
def test_narrower_limits_never_prove_more(
    value: Fraction, doubt: Fraction, low: Fraction, width: Fraction, wanted: float
) -> None:
    narrow = judge(value, doubt, low, low + width, wanted).finding
    wide = judge(value, doubt, low - width, low + 2 * width, wanted).finding
    assert narrow is not Finding.CONFORMS or wide is Finding.CONFORMS
    assert wide is not Finding.DOES_NOT or narrow is Finding.DOES_NOT


@LAW
@given(SIZES, WIDTHS, st.fractions(-1, 2, max_denominator=50), st.fractions("0.2", 5, max_denominator=50), WANTED)
def test_the_doubt_that_would_settle_it_does(
    low: Fraction, width: Fraction, place: Fraction, coarseness: Fraction, wanted: float
) -> None:
    value, doubt, high = low + place * width, coarseness * width, low + width
    found = judge(value, doubt, low, high, wanted)
    if found.wanted_doubt is not None:  # not settled, and not on its limit
        finer = Fraction(found.wanted_doubt * 0.999)
        assert judge(value, finer, low, high, wanted).finding in {Finding.CONFORMS, Finding.DOES_NOT}


@LAW
@given(SIZES, DOUBTS, SIZES, WIDTHS, WANTED)
def test_the_unit_changes_nothing(
    value: Fraction, doubt: Fraction, low: Fraction, width: Fraction, wanted: float
) -> None:
    inch = Fraction(254, 10)
    here = judge(value, doubt, low, low + width, wanted)
    there = judge(value / inch, doubt / inch, low / inch, (low + width) / inch, wanted)
    assert there.probability == pytest.approx(here.probability, abs=1e-9)
    assume(abs(here.probability - wanted) > 1e-9)
    assert there.finding is here.finding
