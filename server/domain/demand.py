"""What stands of all that was said about the original: one demand for one characteristic.

The rules: what was drawn stands before what was found, and that before what
is fitted now (which may be somebody's unrecorded substitute). Where sources
disagree and nobody decided, all of them bind together: the cautious reading.
"""

from fractions import Fraction
from typing import NamedTuple

from server.domain.general_tolerances import general_limits
from server.domain.parts._kit import Case, Characteristic, fold_word
from server.domain.quantities import UNIT_ASSUMED, Kind
from server.domain.sources import Source
from server.domain.specification import Form, KnownFrom, Layer, Requirement, Weight, holds_for

Span = tuple[Fraction | None, Fraction | None]

_LAYERS = tuple(Layer)
_NO_DOUBT = Fraction(0)

_LAYER_DOUBT = {
    Layer.FOUND: "no drawing: taken from what was found",
    Layer.FITTED: "no drawing: taken from what is fitted now, which may be somebody's substitute",
}


class Demand(NamedTuple):
    """What is asked of one characteristic, after the sources were weighed.

    `spans` holds the accepted limits (one, or several for a wanted set), in
    the kind's unit; empty where only a nominal without limits is known.
    `contradiction` says how sources disagree so that nothing could satisfy
    all of them. `expanded` is U (k = 2) of an original that was itself
    measured and that limits were laid around. `is_vague` is True where the
    nominal is approximate, only estimated, or one of several.
    """

    text: str
    spans: tuple[Span, ...] = ()
    nominal: Fraction | None = None
    words: tuple[str, ...] = ()
    is_sample: bool = False
    expanded: Fraction = _NO_DOUBT
    wished: Weight | None = None
    known_from: str = ""
    assumption: str = ""
    contradiction: str = ""
    sources: tuple[Source, ...] = ()
    is_vague: bool = False


def demand_for(case: Case, one: Characteristic) -> Demand | None:
    """The demand on this characteristic; None where nothing is known of the original."""
    if not case.asked(one.key):
        return None
    standing, notes = standing_requirements(case, one.key)
    if not standing:
        return None
    is_estimate = all(row.known.how is KnownFrom.ESTIMATE for row in standing)
    if is_estimate:
        notes.append("the original is only estimated")
    wishes = [row.weight for row in standing if row.weight]
    wished = min(wishes, key=lambda w: w.rank) if wishes else None
    known = _each_once("; ", [str(row.known) for row in standing])
    decided = next((row.decided for row in standing if row.decided), "")
    if decided:
        known = f"{known} (decided: {decided})"
    text = _each_once(" · ", [row.text for row in standing])
    if any(row.form is Form.AS_SAMPLE for row in standing):
        return Demand(
            text or "as the sample",
            is_sample=True,
            wished=wished,
            known_from=known,
            assumption="; ".join(notes),
        )
    if one.kind is None:
        return _of_words(one, standing, text, wished, known, notes)
    demand = _of_sizes(one, standing, text, wished, known, notes)
    return demand._replace(is_vague=True) if is_estimate else demand


def _each_once(between: str, said: list[str]) -> str:
    return said[0] if len(said) == 1 else between.join(dict.fromkeys(said))


def standing_requirements(case: Case, key: str) -> tuple[list[Requirement], list[str]]:
    """What stands of everything said about one characteristic, and what had to be assumed for that."""
    said = case.asked(key)
    held: list[Requirement] = []
    notes: list[str] = []
    for row in said:
        holds = holds_for(row, case.wanted.serial, case.wanted.side)
        if holds is False:
            continue
        if holds is None:
            notes.append(f"can't tell whether it holds for our serial: {row.serials}")
        held.append(row)
    standing, layer_note = _standing(held)
    if layer_note:
        notes.append(layer_note)
    return standing, notes


def _standing(held: list[Requirement]) -> tuple[list[Requirement], str]:
    for layer in _LAYERS:
        decided = [row for row in held if row.decided and row.layer is layer]
        if decided:
            return decided, ""
    for layer in _LAYERS:
        found = [row for row in held if row.layer is layer]
        if found:
            if layer is Layer.DESIGNED:
                return found, ""
            others = {row.known.how for row in held if row.known.how is not KnownFrom.ESTIMATE}
            agreed = len(others) > 1 and len({row.text for row in held}) == 1
            return found, "" if agreed else _LAYER_DOUBT[layer]
    return [], ""


def _of_words(
    one: Characteristic,
    standing: list[Requirement],
    text: str,
    wished: Weight | None,
    known: str,
    notes: list[str],
) -> Demand:
    accepted: set[str] | None = None
    for row in standing:
        keys = {choice.key if (choice := one.choice(word)) else fold_word(word) for word in row.words}
        accepted = keys if accepted is None else accepted & keys
    contradiction = ""
    if not accepted:
        contradiction = "the sources disagree: " + " against ".join(dict.fromkeys(row.text for row in standing))
    return Demand(
        text,
        words=tuple(sorted(accepted or ())),
        wished=wished,
        known_from=known,
        assumption="; ".join(notes),
        contradiction=contradiction,
    )


def _of_sizes(
    one: Characteristic,
    standing: list[Requirement],
    text: str,
    wished: Weight | None,
    known: str,
    notes: list[str],
) -> Demand:
    spans: list[tuple[Span, ...]] = []
    sources: list[Source] = []
    expanded = _NO_DOUBT
    nominal: Fraction | None = None
    is_vague = False
    for row in standing:
        found, limits_source, note = _spans(one, row)
        if found:
            spans.append(found)
        if limits_source is not None:
            sources.append(limits_source)
            expanded = max(expanded, row.expanded or _NO_DOUBT)
        if note:
            notes.append(note)
        if row.quantity is not None and row.quantity.value is not None:
            nominal = nominal if nominal is not None else row.quantity.value
            is_vague = is_vague or row.quantity.is_approximate or row.quantity.value != nominal
            if row.quantity.is_approximate:
                notes.append(f"“{row.text}” is only approximate")
        if row.quantity is not None and UNIT_ASSUMED in row.quantity.note:
            notes += [said for said in row.quantity.note.split("; ") if said.startswith(UNIT_ASSUMED)]
    together = _together(spans)
    contradiction = ""
    if spans and not together:
        contradiction = "the sources disagree: " + " against ".join(dict.fromkeys(row.text for row in standing))
    elif len(standing) > 1 and len({row.text for row in standing}) > 1:
        notes.append("several sources; the narrowest reading of all of them was taken")
    return Demand(
        text,
        spans=together,
        nominal=nominal,
        expanded=expanded,
        wished=wished,
        known_from=known,
        assumption="; ".join(dict.fromkeys(notes)),
        contradiction=contradiction,
        sources=tuple(dict.fromkeys(sources)),
        is_vague=is_vague,
    )


def _spans(one: Characteristic, row: Requirement) -> tuple[tuple[Span, ...], Source | None, str]:
    """Limits of one requirement; the source and the note where they were laid round a nominal."""
    if row.one_of:
        every = [_span_of(one, row, member.value, member.low, member.high) for member in row.one_of]
        spans = tuple(span for span, _, _ in every if span is not None)
        source = next((source for _, source, _ in every if source is not None), None)
        return spans, source, next((note for _, _, note in every if note), "")
    quantity = row.quantity
    if quantity is None:
        return (), None, ""
    if row.form is Form.AT_LEAST:
        return ((quantity.low if quantity.low is not None else quantity.value, None),), None, ""
    if row.form is Form.AT_MOST:
        return ((None, quantity.high if quantity.high is not None else quantity.value),), None, ""
    span, source, note = _span_of(one, row, quantity.value, quantity.low, quantity.high)
    return ((span,) if span is not None else ()), source, note


def _span_of(
    one: Characteristic, row: Requirement, value: Fraction | None, low: Fraction | None, high: Fraction | None
) -> tuple[Span | None, Source | None, str]:
    if low is not None or high is not None:
        return (low, high), None, ""
    if value is None:
        return None, None, ""
    if one.kind is Kind.COUNT:
        return (value, value), None, ""
    limits = one.standard_limits(value, row) if one.standard_limits else None
    if limits is None and one.general_tolerance:
        limits = general_limits(value)
    if limits is None:
        return None, None, ""
    return (limits.low, limits.high), limits.source, limits.said


def _together(each: list[tuple[Span, ...]]) -> tuple[Span, ...]:
    """What satisfies every source: every pair of spans cut with each other."""
    if not each:
        return ()
    if len(each) == 1 and len(each[0]) == 1:
        return each[0]
    held: list[Span] = list(each[0])
    for spans in each[1:]:
        held = [cut for a in held for b in spans if (cut := _cut(a, b)) is not None]
    return tuple(dict.fromkeys(held))


def _cut(a: Span, b: Span) -> Span | None:
    lows = [value for value in (a[0], b[0]) if value is not None]
    highs = [value for value in (a[1], b[1]) if value is not None]
    low, high = max(lows, default=None), min(highs, default=None)
    if low is not None and high is not None and low > high:
        return None
    return low, high
