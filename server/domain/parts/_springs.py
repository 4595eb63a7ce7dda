"""The rate of a spring, measured or worked out from its wire."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from server.domain.demand import demand_for, standing_requirements
from server.domain.parts._computed import Found, computed_row, found
from server.domain.parts._kit import Case, Characteristic
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row, missing_original, with_demand
from server.domain.sources import method
from server.domain.spring_rate import MODULI, MODULUS_RULE, RATE_RULE, Measured, modulus_key, rate, rate_with_doubt
from server.domain.verdict import MeasureNext, Row, Verdict

COIL = frozenset({"compression", "tension"})
WEIGH_IT = MeasureNext("rate", "Measure: rate, by two loads and the travel between them", "spring balance and rule", 2)
SIZES = ("wire_diameter", "coil_outside_diameter", "active_turns")


def rate_row(case: Case) -> Iterable[Row]:
    """The rate of the find against the original's; either may be worked out from wire, coil and turns."""
    one = case.part_class.characteristic("rate")
    assert one is not None
    demand = demand_for(case, one)
    original = _rate_of_original(case) if demand is None else None
    if demand is None and original is None:
        yield missing_original(case, one, case.statement("rate"))
        return
    if demand is not None and case.statement("rate") is not None:
        row = characteristic_row(case, one)
        assert row is not None
        yield row
        return
    size = found(case, "rate") or _rate_of_find(case)
    if demand is None:
        assert original is not None
        yield _without_limits(case, one, original, size)
        return
    if size is None or not demand.spans:
        row = characteristic_row(case, one)
        assert row is not None
        yield replace(row, measure=WEIGH_IT)
        return
    row = computed_row(
        case,
        one,
        size,
        demand.spans[0],
        wanted=demand.text,
        rests_on="wire, coil and turns",
        sources=(RATE_RULE, MODULUS_RULE),
        measure=WEIGH_IT,
        extra_doubt=demand.expanded,
        wished=demand.wished,
    )
    yield with_demand(row, demand)


def _without_limits(case: Case, one: Characteristic, original: Fraction, size: Found | None) -> Row:
    """Both worked out, or one: figures side by side, and a person has to say how far off is allowed."""
    ours = write_value(original, Kind.LINE_FORCE)
    theirs = "not known" if size is None else write_value(size.value, Kind.LINE_FORCE)
    share = "" if size is None else f", {float(size.value / original) * 100:.0f} % of the original's"
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern),
        f"{ours}, worked out from the original's wire, coil and turns",
        theirs,
        Verdict.OPEN,
        f"{one.label}: original {ours}, find {theirs}{share}. Somebody has to say how far off is allowed.",
        sources=(RATE_RULE, MODULUS_RULE, method("a nominal size alone decides nothing")),
        measure=replace(WEIGH_IT, about_original=True) if size is not None else WEIGH_IT,
    )


def _rate_of_original(case: Case) -> Fraction | None:
    wire, outside, turns = (case.wanted_size(key) for key in SIZES)
    standing, _ = standing_requirements(case, "material")
    key = modulus_key(standing[0].text) if standing else None
    if (
        wire is None
        or outside is None
        or turns is None
        or key is None
        or case.wanted_word("kind_of_spring") not in COIL
    ):
        return None
    try:
        return rate_with_doubt(Measured(wire), Measured(outside), turns, key).value
    except ValueError:
        return None


def _rate_of_find(case: Case) -> Found | None:
    wire, outside, turns = (found(case, key) for key in SIZES)
    said = case.statement("material")
    key = modulus_key(said.text) if said is not None else None
    if wire is None or outside is None or turns is None or key is None or case.word("kind_of_spring") not in COIL:
        return None
    is_measured = wire.is_measured and outside.is_measured and turns.is_measured
    doubts = [wire.doubt, outside.doubt]
    try:
        made = rate_with_doubt(
            Measured(wire.value, wire.doubt or Fraction(0)),
            Measured(outside.value, outside.doubt or Fraction(0)),
            turns.value,
            key,
        )
        # a claim's extent: the thinnest wire on the widest coil, and the other way round
        softest = rate(wire.low, outside.high, turns.high, MODULI[key][0])
        stiffest = rate(wire.high, outside.low, turns.low, MODULI[key][1])
    except ValueError:
        return None
    text = f"wire {wire.text}, coil {outside.text}, {turns.text} turns"
    return Found(made.value, softest, stiffest, None if None in doubts else made.doubt, is_measured, text)
