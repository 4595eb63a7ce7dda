"""Rows on timber: slope of grain, defects, glue."""

from collections.abc import Iterator
from fractions import Fraction

from server.domain.offer import Basis
from server.domain.parts._kit import Case
from server.domain.rows import offered_text
from server.domain.sources import Source, common_practice
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

TIMBER_KEYS = frozenset({"grain_slope", "defects"})
"""Characteristics whose rows this module writes."""

SLOPE = Source("AC 43.13-1B", "Table 1-1, slope of grain not steeper than 1 in 15", "8 Sep 1998")
DEFECT_RULE = common_practice("splits, shakes, crushed grain and decay don't go into an aeroplane")

_LEAST_SLOPE = Fraction(15)
_BAD = {
    "checks": "splits and shakes run on under load",
    "compression": "crushed or compression wood breaks without warning",
    "decay": "decay has taken the strength",
}


def timber_rows(case: Case) -> Iterator[Row]:
    """Slope of grain and defects of the find."""
    yield from _slope_rows(case)
    yield from _defect_rows(case)


def _slope_rows(case: Case) -> Iterator[Row]:
    one = case.part_class.characteristic("grain_slope")
    assert one is not None
    if case.word("build") == "plywood" or case.wanted_word("build") == "plywood":
        return
    said = case.statement("grain_slope")
    least = max(_LEAST_SLOPE, case.wanted_size("grain_slope") or Fraction(0))
    wanted = f"1 in {least} or straighter"
    look = MeasureNext("grain_slope", "Follow a check or a drop of ink along the grain on two faces", "rule", 2)
    slope = case.size("grain_slope")
    claimed = said is not None and said.basis is Basis.CLAIMED
    if slope is None:
        verdict, sentence = Verdict.OPEN, "The slope of the grain is not known; steep grain splits."
    elif slope < least:
        by = ", by its own claim" if claimed else ""
        verdict, sentence = Verdict.AGAINST, f"The grain runs out 1 in {float(slope):g}{by}: steeper than 1 in {least}."
    elif claimed:
        verdict, sentence = Verdict.OPEN, f"Claimed as 1 in {float(slope):g}; look before you lean on it."
    else:
        verdict, sentence = Verdict.PROVEN, f"The grain runs 1 in {float(slope):g}; 1 in {least} is the least."
    yield Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern),
        wanted,
        offered_text(said) if said else "not said",
        verdict,
        sentence,
        sources=(SLOPE,),
        measure=look if verdict is Verdict.OPEN else None,
        departs=verdict is Verdict.AGAINST,
    )


def _defect_rows(case: Case) -> Iterator[Row]:
    said, word = case.statement("defects"), case.word("defects")
    look = MeasureNext(
        "defects", "Look all four faces over with a low light, across the grain too", "eye, magnifier", 2
    )
    measure = None
    if word in _BAD:
        by = " by its own account" if said and said.basis is Basis.CLAIMED else ""
        verdict, sentence = Verdict.AGAINST, f"Not to be used{by}: {_BAD[word]}."
    elif word == "none" and said and said.basis is Basis.MEASURED:
        verdict, sentence = Verdict.PROVEN, "No defects found."
    elif word in {"pin knots", "pitch pocket", "knots"}:
        verdict = Verdict.JUDGED if word != "knots" else Verdict.OPEN
        sentence = "Where they lie decides, and how big they are: a person judges, with the wood in hand."
        measure = look if verdict is Verdict.OPEN else None
    else:
        verdict, measure = Verdict.OPEN, look
        sentence = (
            "None, by its claim; look before you lean on it." if word == "none" else "Nobody has looked for them."
        )
    yield Row(
        "defects",
        "Defects",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        "none that weakens it",
        offered_text(said) if said else "not said",
        verdict,
        sentence,
        sources=(DEFECT_RULE,),
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure,
    )
