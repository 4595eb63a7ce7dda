"""Does a measured value lie within limits, when the measurement itself is doubtful?

The decision rule is that of ISO 14253-1 (conformity proven, non-conformity
proven, or neither) with the conformance probability of JCGM 106:2012. The
full texts were not seen; the formulas are reproduced with a general
statistics library in the tests.
"""

from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from math import sqrt
from statistics import NormalDist
from typing import NamedTuple

from server.domain.sources import Source, Standing

DECISION_RULE = Source("ISO 14253-1", "guard bands", "2017", Standing.QUOTED, is_method=True)
PROBABILITY_RULE = Source("JCGM 106", "conformance probability", "2012", Standing.QUOTED, is_method=True)

USUAL_PROBABILITY = 0.95
STRICT_PROBABILITY = 0.975
_NORMAL = NormalDist()


class Finding(StrEnum):
    """The three answers of the decision rule, and the one about the instrument."""

    CONFORMS = "conforms"
    DOES_NOT = "does not conform"
    UNDECIDED = "undecided"
    INSTRUMENT_TOO_COARSE = "the instrument can't decide"


class Judgement(NamedTuple):
    """What the rule says of one measured value against its limits.

    `probability` is the chance that the true value lies within the limits.
    `margin` is the distance to the nearer limit, positive inside, in the unit
    of the values. `wanted_doubt` is the largest expanded uncertainty (k = 2)
    that would have settled it at this reading, None where it is settled or
    the reading lies on the limit.
    """

    finding: Finding
    probability: float
    margin: Fraction
    guard: float
    wanted_doubt: float | None


def conformance_probability(value: float, u: float, low: float | None, high: float | None) -> float:
    """Chance that the true value lies in low..high; `u` is one standard deviation, same unit."""
    if u <= 0:
        return float((low is None or value >= low) and (high is None or value <= high))
    above = 1.0 if high is None else _NORMAL.cdf((high - value) / u)
    below = 0.0 if low is None else _NORMAL.cdf((low - value) / u)
    return max(0.0, above - below)


def best_probability(u: float, low: float | None, high: float | None) -> float:
    """The best conformance probability this instrument could ever show against these limits."""
    if low is None or high is None or u <= 0:
        return 1.0
    return max(0.0, 2 * _NORMAL.cdf((high - low) / (2 * u)) - 1)


def write_chance(probability: float) -> str:
    """A probability in per cent, cut so that neither 0 nor 100 is ever claimed."""
    if probability > 0.999:
        return "over 99.9\u202f%"
    if probability < 0.001:
        return "under 0.1\u202f%"
    return f"{probability * 100:.1f}\u202f%"


def judge(
    value: Fraction,
    expanded: Fraction,
    low: Fraction | None,
    high: Fraction | None,
    probability_wanted: float = USUAL_PROBABILITY,
) -> Judgement:
    """Judge one measured value; `expanded` is U at k = 2, all in one unit.

    Both limits may be given or one; at least one must be. Limits that a value
    touches exactly count as inside. Raises ValueError for limits that cross,
    a negative uncertainty, or no limit at all.
    """
    if low is None and high is None:
        raise ValueError("there is no limit to judge against")
    if low is not None and high is not None and low > high:
        raise ValueError("the lower limit lies above the upper one")
    u = float(expanded) / 2
    if u < 0:
        raise ValueError("an uncertainty is never negative")
    low_f = None if low is None else float(low)
    high_f = None if high is None else float(high)
    margin = _distance_inside(value, low, high)
    # without doubt it is compared exactly, so that a value on its limit is inside
    probability = conformance_probability(float(value), u, low_f, high_f) if u else float(margin >= 0)
    guard = _NORMAL.inv_cdf(probability_wanted) * u
    if probability >= probability_wanted:
        finding = Finding.CONFORMS
    elif margin < 0 and float(-margin) >= guard:
        # outside the limits widened by the guard band: a coarse reading beside a narrow zone is no proof of anything
        finding = Finding.DOES_NOT
    elif best_probability(u, low_f, high_f) < probability_wanted:
        finding = Finding.INSTRUMENT_TOO_COARSE
    else:
        finding = Finding.UNDECIDED
    settled = finding in {Finding.CONFORMS, Finding.DOES_NOT}
    wanted = None if settled or margin == 0 else _doubt_that_settles(margin, probability_wanted, low_f, high_f)
    return Judgement(finding, probability, margin, guard, wanted)


def _distance_inside(value: Fraction, low: Fraction | None, high: Fraction | None) -> Fraction:
    """How far the value lies inside the nearer limit, negative outside; one limit at least is given."""
    if low is None:
        assert high is not None
        return high - value
    return value - low if high is None else min(value - low, high - value)


_NEGLIGIBLE = 1e-4
"""Chance beyond the farther limit that is not worth a finer instrument."""


def _doubt_that_settles(margin: Fraction, probability_wanted: float, low: float | None, high: float | None) -> float:
    """Expanded uncertainty (k = 2) small enough to settle a reading at this distance from its limit."""
    inside = float(abs(margin))
    u = inside / _NORMAL.inv_cdf(probability_wanted)
    if low is None or high is None or margin < 0:
        return 2 * u
    beyond = _NORMAL.cdf((inside - (high - low)) / u)
    # where the farther limit counts too, each side gets half of what may lie outside
    return 2 * u if beyond < _NEGLIGIBLE else 2 * inside / _NORMAL.inv_cdf((1 + probability_wanted) / 2)


def expanded_from_bound(bound: Fraction) -> Fraction:
    """U (k = 2) of a rectangular spread: only a greatest error ±bound is known (GUM 4.3.7, from memory)."""
    return Fraction(2 * float(bound) / sqrt(3)).limit_denominator(10**9)


@lru_cache(maxsize=4096)
def combined(*expanded: Fraction) -> Fraction:
    """U of a sum or difference of independent measurements, in one unit."""
    return Fraction(sqrt(sum(float(part) ** 2 for part in expanded))).limit_denominator(10**9)
