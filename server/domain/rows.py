"""Rows of the sheet: how one characteristic is judged and said in a mechanic's words.

Part classes use `size_row` and `Case.weight` for what they compute themselves.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR
from fractions import Fraction
from functools import lru_cache

from server.domain.conformity import DECISION_RULE, PROBABILITY_RULE, Finding, Judgement, combined, judge
from server.domain.demand import Demand, Span, demand_for
from server.domain.general_tolerances import coarsest_limits
from server.domain.instruments import INSTRUMENTS, Instrument, handiest_within
from server.domain.offer import Basis, Stage, Statement
from server.domain.parts._kit import Case, Characteristic, StandardLimits, in_sentence
from server.domain.quantities import BASE_UNIT, Kind, write_value
from server.domain.sources import Source, method
from server.domain.verdict import Band, Concern, MeasureNext, Row, Verdict

CLAIM_RULE = method("a claim is no measurement; measure at receipt")
SAMPLE_RULE = method("against a sample a person judges, both in hand")
_FIGURES = re.compile(r"\d+(?:\.\d+)?")
PLATING_MOVES = Fraction(1, 10)
"""What plating may move a diameter or bore by at most, mm (common practice): further out, it can't bring it back."""
_MISSING_RULE = method("missing is not zero")
WORD_RULE = method("same word, same thing, once somebody has looked")
_ANSWERS = {
    Finding.CONFORMS: Verdict.PROVEN,
    Finding.DOES_NOT: Verdict.AGAINST,
    Finding.UNDECIDED: Verdict.OPEN,
    Finding.INSTRUMENT_TOO_COARSE: Verdict.OPEN,
}


def write_span(span: Span, kind: Kind) -> str:
    """Limits as they are said: "2.95 mm to 3.05 mm", "at least 155 °C".

    Where they have to be rounded it is inward: nothing printed lets through what the limits don't.
    """
    low, high = span
    if low is not None and low == high:
        return write_value(low, kind)
    # a zone finer than a thousandth of its size would cross itself in the usual decimals
    is_fine = low is not None and high is not None and float(high) - float(low) < max(abs(float(high)), 1.0) / 1000
    places = 6 if is_fine else None
    least = "" if low is None else write_value(low, kind, places, rounding=ROUND_CEILING)
    most = "" if high is None else write_value(high, kind, places, rounding=ROUND_FLOOR)
    if least and most:
        return f"{least} to {most}"
    return f"at least {least}" if least else f"at most {most}" if most else ""


def characteristic_row(case: Case, one: Characteristic) -> Row | None:
    """The row of one characteristic by the general rules; None where nothing is asked of it."""
    demand = demand_for(case, one)
    statement = case.statement(one.key)
    if demand is None:
        return missing_original(case, one, statement) if one.essential else None
    if statement is None:
        return with_demand(missing_offer(case, one, demand), demand)
    if one.kind is not None:
        return with_demand(judge_size(case, one, demand, statement), demand)
    return with_demand(judge_words(case, one, demand, statement), demand)


def with_demand(row: Row, demand: Demand) -> Row:
    """Carry over what had to be assumed of the original."""
    known_from = row.known_from or demand.known_from
    if not demand.assumption and known_from == row.known_from:
        return row
    assumed = "; ".join(part for part in (row.assumption, demand.assumption) if part)
    return replace(row, assumption=assumed, known_from=known_from)


def missing_original(case: Case, one: Characteristic, statement: Statement | None) -> Row:
    """Nothing is known of the original here: no comparison is possible."""
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern),
        "not known",
        statement.text if statement else "not said",
        Verdict.OPEN,
        f"Nobody knows yet what the original had: {in_sentence(one.label)}. Without it nothing can be compared.",
        sources=(method("unknown is not equal"),),
        measure=MeasureNext(
            one.key,
            f"Find out of the original: {in_sentence(one.label)}",
            "drawing, manual, remains or another airframe",
            min(5, one.effort + 1),
            about_original=True,
        ),
    )


def missing_offer(case: Case, one: Characteristic, demand: Demand) -> Row:
    """Wanted, but nothing was said of the find."""
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        _said_wanted(demand, one),
        "not said",
        Verdict.OPEN,
        f"{one.label} of the find is not known.",
        sources=(_MISSING_RULE,),
        known_from=demand.known_from,
        measure=_measure(one, demand, None),
    )


def _said_wanted(demand: Demand, one: Characteristic) -> str:
    if one.kind is not None and demand.spans:
        spans = " or ".join(write_span(span, one.kind) for span in demand.spans)
        return demand.text if _says_already(demand.text, spans, BASE_UNIT[one.kind]) else f"{demand.text} → {spans}"
    return demand.text


@lru_cache(maxsize=4096)
def _says_already(text: str, spans: str, unit: str) -> bool:
    """True where the typed text gives the same figures in the same unit, so that saying them again is noise."""
    figures = [[float(each) for each in _FIGURES.findall(one)] for one in (text, spans)]
    return unit in text and figures[0] == figures[1]


def _measure(one: Characteristic, demand: Demand, doubt_wanted: float | None) -> MeasureNext:
    """What to measure, with the handiest instrument good enough for these limits."""
    if one.kind is None:
        return MeasureNext(one.key, f"Find out: {in_sentence(one.label)}", _tell_with(one), one.effort)
    if doubt_wanted is None:
        widths = [float(high - low) for low, high in demand.spans if low is not None and high is not None]
        doubt_wanted = min(widths, default=0.0) / 4 or None
    middle = demand.nominal or next((side for span in demand.spans for side in span if side is not None), Fraction(1))
    what = f"Measure: {in_sentence(one.label)}"
    instrument = handiest_within(one.kind, middle, doubt_wanted)
    if instrument is None:
        name = f"something finer than {doubt_wanted:.3g} {BASE_UNIT[one.kind]}" if doubt_wanted else "a test"
        return MeasureNext(one.key, what, name, max(one.effort, 4))
    return MeasureNext(one.key, what, instrument.name, max(one.effort, instrument.effort))


def _tell_with(one: Characteristic) -> str:
    names = [INSTRUMENTS[key].name.lower() for key in one.tell_with if key in INSTRUMENTS]
    return " or ".join(names) or "a look"


def judge_size(case: Case, one: Characteristic, demand: Demand, statement: Statement) -> Row:
    """One size of the find against its demand."""
    assert one.kind is not None
    quantity = statement.quantity
    if demand.is_sample:
        return _sample_row(case, one, demand, statement)
    if quantity is None:
        return missing_offer(case, one, demand)
    if demand.contradiction:
        return _contradiction_row(case, one, demand, statement)
    if not demand.spans:
        return _no_limits_row(case, one, demand, statement)
    row = size_row(
        case,
        one,
        statement,
        demand.spans,
        wanted=_said_wanted(demand, one),
        sources=demand.sources,
        extra_doubt=demand.expanded,
        demand=demand,
    )
    return row if row is not None else missing_offer(case, one, demand)


def size_row(
    case: Case,
    one: Characteristic,
    statement: Statement,
    spans: tuple[Span, ...],
    *,
    wanted: str,
    sources: tuple[Source, ...] = (),
    extra_doubt: Fraction = Fraction(0),
    demand: Demand | None = None,
) -> Row | None:
    """Judge a statement against limits; the nearest of several. None where the statement has no value."""
    assert one.kind is not None
    quantity = statement.quantity
    if quantity is None or (quantity.value is None and quantity.low is None):
        return None
    demand = demand or Demand(wanted, spans)
    weight = case.weight(one.concern, demand.wished)
    offered = offered_text(statement)
    if statement.basis is Basis.CLAIMED:
        return _claimed_row(case, one, demand, statement, spans, wanted, sources, extra_doubt)
    sides = (quantity.low, quantity.high) if quantity.value is None else (quantity.value,)
    readings = [side for side in sides if side is not None]
    doubt = statement.doubt if one.kind is not Kind.COUNT else Fraction(0)
    if doubt is None:
        how = "is only about so large" if quantity.is_approximate else "was read, but not with what"
        return Row(
            one.key,
            one.label,
            one.concern,
            weight,
            wanted,
            offered,
            Verdict.OPEN,
            f"{one.label}: {statement.text} {how}; without its doubt it proves nothing.",
            sources=(*sources, DECISION_RULE),
            measure=_measure(one, demand, None),
            known_from=demand.known_from,
            offered_from=_offered_from(statement),
        )
    total = combined(doubt, extra_doubt) if extra_doubt else doubt
    best, span, value = _judged_worst(readings, total, spans, case.probability)
    verdict = _ANSWERS[best.finding]
    finer = None if best.wanted_doubt is None else handiest_within(one.kind, value, best.wanted_doubt)
    assumed = []
    if doubt and statement.doubt_is_assumed:
        assumed.append(f"usual doubt of the instrument, {write_value(doubt, one.kind)}")
    sentence = _size_sentence(one, value, total, best, span, finer)
    if len(readings) > 1:
        sentence = f"{sentence} That is the end of {statement.text} that suits least."
    measure = _settling(one, demand, best, finer) if verdict is Verdict.OPEN else None
    plating = ""
    if statement.stage is Stage.BEFORE and one.kind is Kind.LENGTH:
        plating = "measured before plating: measure again after"
        if best.margin >= -PLATING_MOVES:
            verdict = Verdict.OPEN
            sentence = f"{sentence} That was before plating, which moves sizes: measure again after."
            measure = measure or _measure(one, demand, None)
    rules = (*sources, DECISION_RULE, PROBABILITY_RULE) if doubt else sources or (WORD_RULE,)
    return Row(
        one.key,
        one.label,
        one.concern,
        weight,
        wanted,
        offered,
        verdict,
        sentence,
        sources=rules,
        margin=write_value(best.margin, one.kind) if _is_near(best.margin) else "",
        probability=best.probability if doubt else None,
        known_from=demand.known_from,
        offered_from=_offered_from(statement, *assumed),
        assumption=plating,
        measure=measure,
        band=Band(span[0], span[1], value, total, BASE_UNIT[one.kind]),
    )


def _judged_worst(
    readings: Sequence[Fraction], doubt: Fraction, spans: tuple[Span, ...], probability: float
) -> tuple[Judgement, Span, Fraction]:
    """Of one reading, or of both ends of a range, the one that suits least: its judgement, limits and value."""
    judged = [(*_judged_nearest(value, doubt, spans, probability), value) for value in readings]
    if len(judged) == 1:
        return judged[0]
    return min(judged, key=lambda one: (one[0].probability, one[0].margin))


def _judged_nearest(
    value: Fraction, doubt: Fraction, spans: tuple[Span, ...], probability: float
) -> tuple[Judgement, Span]:
    """The judgement against the limits that suit best, and those limits."""
    judged = [(judge(value, doubt, low, high, probability), (low, high)) for low, high in spans]
    if len(judged) == 1:
        return judged[0]
    return max(judged, key=lambda pair: (pair[0].probability, pair[0].margin))


def _is_near(margin: Fraction) -> bool:
    return abs(float(margin)) < 1e9


def offered_text(statement: Statement) -> str:
    """The statement as the sheet prints it: text as typed, and that it is only claimed."""
    return statement.text if statement.basis is Basis.MEASURED else f"{statement.text} (claimed)"


def _offered_from(statement: Statement, *more: str) -> str:
    instrument = INSTRUMENTS.get(statement.instrument)
    name = instrument.said if instrument else statement.instrument
    stage = "" if statement.stage is Stage.UNKNOWN else str(statement.stage)
    said = [str(statement.basis), name, statement.by, statement.on, stage, *more]
    return ", ".join([part for part in said if part])


def _size_sentence(
    one: Characteristic,
    value: Fraction,
    doubt: Fraction,
    best: Judgement,
    span: Span,
    finer: Instrument | None,
) -> str:
    assert one.kind is not None
    if one.kind is Kind.COUNT:
        wanted = write_span(span, one.kind)
        fits = best.finding is Finding.CONFORMS
        return f"{one.label}: {write_value(value, one.kind)}, {'as wanted' if fits else 'wanted'}: {wanted}."
    said = f"{one.label} {write_value(value, one.kind)}"
    # the doubt of a find is rounded outward, as its limits are inward
    doubted = f" ± {write_value(doubt, one.kind, rounding=ROUND_CEILING)}" if doubt else ""
    if best.finding is Finding.CONFORMS:
        if span[0] is None or span[1] is None:
            return f"{said}{doubted} meets “{write_span(span, one.kind)}”."
        return f"{said}{doubted} lies within {write_span(span, one.kind)}."
    gap = write_value(abs(best.margin), one.kind)
    if best.finding is Finding.DOES_NOT:
        return f"{said}{doubted} is {gap} outside {write_span(span, one.kind)}."
    place = "inside" if best.margin >= 0 else "outside"
    settle = f" {finer.name} would settle it." if finer else ""
    if best.finding is Finding.INSTRUMENT_TOO_COARSE:
        return (
            f"{said}{doubted}: this instrument can never decide on {write_span(span, one.kind)};"
            f" its doubt is wider than the limits leave room for.{settle}"
        )
    return f"{said} lies {gap} {place} {write_span(span, one.kind)}, less than the doubt{doubted} allows.{settle}"


def _settling(one: Characteristic, demand: Demand, best: Judgement, finer: Instrument | None) -> MeasureNext:
    if finer is not None:
        what = f"Measure again: {in_sentence(one.label)}"
        return MeasureNext(one.key, what, finer.name, max(one.effort, finer.effort))
    if best.wanted_doubt is None:
        what = f"Measure again, it lies on its limit: {in_sentence(one.label)}"
        return MeasureNext(one.key, what, "the finest instrument that reaches it", max(one.effort, 3))
    return _measure(one, demand, best.wanted_doubt)


def _claimed_row(
    case: Case,
    one: Characteristic,
    demand: Demand,
    statement: Statement,
    spans: tuple[Span, ...],
    wanted: str,
    sources: tuple[Source, ...],
    extra_doubt: Fraction,
) -> Row:
    assert one.kind is not None
    assert statement.quantity is not None
    quantity = statement.quantity
    low, high = quantity.low, quantity.high
    if quantity.value is not None and low is None and high is None:
        low, high = quantity.value - quantity.half_step, quantity.value + quantity.half_step
    # a limit that was itself measured is as doubtful as a find that was
    low = None if low is None else low - extra_doubt
    high = None if high is None else high + extra_doubt
    inside = any(_within(low, high, span) for span in spans)
    apart = all(_apart(low, high, span) for span in spans)
    wanted_limits = " or ".join(write_span(span, one.kind) for span in spans)
    if apart and not quantity.is_approximate:
        verdict, sentence = (
            Verdict.AGAINST,
            f"{one.label}: by its own claim, {statement.text}, outside {wanted_limits}.",
        )
    elif inside:
        verdict = Verdict.OPEN
        sentence = f"{one.label}: claimed as {statement.text}, which would suit; measure it before you lean on it."
    else:
        verdict = Verdict.OPEN
        sentence = f"{one.label}: claimed as {statement.text}, which may lie outside {wanted_limits}."
    value = quantity.value
    band = None
    if value is not None:
        band = Band(spans[0][0], spans[0][1], value, quantity.half_step, BASE_UNIT[one.kind])
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        wanted,
        offered_text(statement),
        verdict,
        sentence,
        sources=(*sources, CLAIM_RULE),
        known_from=demand.known_from,
        offered_from=_offered_from(statement),
        measure=_measure(one, demand, None) if verdict is Verdict.OPEN else None,
        band=band,
    )


def _within(low: Fraction | None, high: Fraction | None, span: Span) -> bool:
    below = span[0] is None or (low is not None and low >= span[0])
    above = span[1] is None or (high is not None and high <= span[1])
    return below and above


def _apart(low: Fraction | None, high: Fraction | None, span: Span) -> bool:
    under = span[0] is not None and high is not None and high < span[0]
    over = span[1] is not None and low is not None and low > span[1]
    return under or over


def _no_limits_row(case: Case, one: Characteristic, demand: Demand, statement: Statement) -> Row:
    assert one.kind is not None
    limits = _another_size(case, one, demand, statement)
    if limits is not None:
        return Row(
            one.key,
            one.label,
            one.concern,
            case.weight(one.concern, demand.wished),
            demand.text,
            offered_text(statement),
            Verdict.AGAINST,
            f"{one.label}: wanted {demand.text}, offered {statement.text}. No limits are known, but"
            f" {limits.said}, and this is further off: another size.",
            sources=(limits.source, DECISION_RULE if statement.basis is Basis.MEASURED else CLAIM_RULE),
            offered_from=_offered_from(statement),
        )
    sentence = (
        f"{one.label}: wanted {demand.text}, offered {statement.text}; no limits are known,"
        " so somebody has to say how far off is allowed."
    )
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        demand.text,
        offered_text(statement),
        Verdict.OPEN,
        sentence,
        sources=(method("a nominal size alone decides nothing"),),
        offered_from=_offered_from(statement),
        measure=MeasureNext(
            one.key,
            f"Set limits for the original: {in_sentence(one.label)}",
            "drawing or a person's decision",
            1,
            True,
        ),
    )


def _another_size(case: Case, one: Characteristic, demand: Demand, statement: Statement) -> StandardLimits | None:
    """The widest general limits round the nominal where the find lies outside even of these, its doubt counted."""
    quantity = statement.quantity
    if not one.in_sizes or demand.is_vague or demand.nominal is None or quantity is None or quantity.value is None:
        return None
    limits = coarsest_limits(demand.nominal)
    if limits is None:
        return None
    if statement.basis is Basis.CLAIMED:
        low = quantity.low if quantity.low is not None else quantity.value - quantity.half_step
        high = quantity.high if quantity.high is not None else quantity.value + quantity.half_step
        is_apart = not quantity.is_approximate and _apart(low, high, (limits.low, limits.high))
        return limits if is_apart else None
    if statement.doubt is None:
        return None
    judged = judge(quantity.value, statement.doubt, limits.low, limits.high, case.probability)
    return limits if judged.finding is Finding.DOES_NOT else None


def _contradiction_row(case: Case, one: Characteristic, demand: Demand, statement: Statement | None) -> Row:
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        demand.text,
        offered_text(statement) if statement else "not said",
        Verdict.OPEN,
        f"{one.label}: {demand.contradiction}. Somebody has to decide which stands, with a reason.",
        sources=(method("where sources disagree both stand until a person decides"),),
        offered_from=_offered_from(statement) if statement else "",
        measure=MeasureNext(
            one.key, f"Decide between the sources: {in_sentence(one.label)}", "a person, with a reason", 1, True
        ),
    )


def _sample_row(case: Case, one: Characteristic, demand: Demand, statement: Statement | None) -> Row:
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        demand.text,
        offered_text(statement) if statement else "not said",
        Verdict.JUDGED,
        f"{one.label}: to be held against the sample; a person says whether it will do.",
        sources=(SAMPLE_RULE,),
        offered_from=_offered_from(statement) if statement else "",
        departs=True,
    )


def judge_words(case: Case, one: Characteristic, demand: Demand, statement: Statement) -> Row:
    """One word of the find (a head style, a colour, a metal) against its demand."""
    if one.is_material:
        from server.domain.materials import material_row

        return material_row(case, one, demand, statement)
    if demand.is_sample:
        return _sample_row(case, one, demand, statement)
    if demand.contradiction:
        return _contradiction_row(case, one, demand, statement)
    offered_keys = [case.offered_class.word_key(one.key, word) for word in statement.words]
    same = bool(offered_keys) and all(key in demand.words for key in offered_keys)
    listed = bool(one.choices) and all(one.choice(word) for word in statement.words) and bool(statement.words)
    claimed = statement.basis is Basis.CLAIMED
    weight = case.weight(one.concern, demand.wished)
    measure = None
    if one.judged or one.concern is Concern.APPEARANCE:
        verdict = Verdict.JUDGED
        sentence = (
            f"{one.label}: the same word, {statement.text}; a person judges it by eye."
            if same
            else f"{one.label}: wanted {demand.text}, offered {statement.text}; a person judges whether it will do."
        )
    elif same and claimed:
        verdict = Verdict.OPEN
        sentence = f"{one.label}: claimed as {statement.text}, as wanted; nobody here has checked it."
        measure = _measure(one, demand, None)
    elif same:
        verdict, sentence = Verdict.PROVEN, f"{one.label}: {statement.text}, as wanted."
    elif listed:
        verdict = Verdict.AGAINST
        by = "by its own claim " if claimed else ""
        sentence = f"{one.label}: wanted {demand.text}, {by}it is {statement.text}."
    else:
        verdict = Verdict.OPEN
        sentence = f"{one.label}: “{statement.text}” can't be told against “{demand.text}”; say it in the listed words."
        measure = _measure(one, demand, None)
    return Row(
        one.key,
        one.label,
        one.concern,
        weight,
        demand.text,
        offered_text(statement),
        verdict,
        sentence,
        sources=(CLAIM_RULE,) if claimed else (WORD_RULE,),
        known_from=demand.known_from,
        offered_from=_offered_from(statement),
        departs=not same,
        measure=measure,
    )
