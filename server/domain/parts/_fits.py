"""Clearance or press between a find and the part it sits on or in, with the doubt of both."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from server.domain.conformity import combined, expanded_from_bound
from server.domain.demand import Demand, demand_for, standing_requirements
from server.domain.fits import ISO_286, Fit, clearance, read_fit
from server.domain.parts._computed import Found, Given, computed_row, found, given, label_row
from server.domain.parts._kit import Case, Characteristic, Check, in_sentence
from server.domain.rows import missing_offer, with_demand, write_span
from server.domain.sources import Source, method
from server.domain.verdict import MeasureNext, Row, Verdict

MATE_RULE = method("a fit is decided by both members as they are, with the doubt of both")


def fit_rows(own: str, mate: str, fit: str, gap: str, *, own_is_hole: bool, gap_is_press: bool = False) -> Check:
    """A check of one fit of the part.

    `own` is the size of the part, `mate` that of the place, `fit` the drawn
    class in words, `gap` the clearance (or, with `gap_is_press`, the press)
    asked for in mm. All but `own` belong into the `covers` of the class.
    """

    def check(case: Case) -> Iterable[Row]:
        row = _fit_row(case, own, mate, fit, gap, own_is_hole=own_is_hole, gap_is_press=gap_is_press)
        if row is not None:
            yield row

    return check


def _fit_row(
    case: Case, own: str, mate: str, fit: str, gap: str, *, own_is_hole: bool, gap_is_press: bool
) -> Row | None:
    one = case.part_class.characteristic(gap)
    own_one, mate_one = case.part_class.characteristic(own), case.part_class.characteristic(mate)
    assert one is not None
    assert own_one is not None
    assert mate_one is not None
    demand = _demand(case, one, fit, own, gap_is_press=gap_is_press)
    if demand is None:
        return None
    place = given(case, mate) or _joint_hole(case, own_is_hole=own_is_hole)
    size = found(case, own)
    if not demand.spans:
        return _open(case, one, demand, f"{one.label}: “{demand.text}” is in no table here; give the limits in mm.")
    if place is None or place.least is None or place.most is None:
        measure = MeasureNext(
            mate, f"Measure of the place: {in_sentence(mate_one.label)}", "micrometer or bore gauge", 2, True
        )
        return _open(
            case, one, demand, f"{one.label}: {in_sentence(mate_one.label)} has not been measured yet.", measure
        )
    if size is None:
        return with_demand(missing_offer(case, one, demand), demand)
    middle, half = (place.least + place.most) / 2, (place.most - place.least) / 2
    doubt = combined(place.doubt, expanded_from_bound(half)) if half else place.doubt
    notes = [place.note, "" if doubt else f"{in_sentence(mate_one.label)} taken without doubt"]
    row = computed_row(
        case,
        label_row(one.key, one.label, one.concern, one.kind),
        _gap(size, middle, own_is_hole=own_is_hole, gap_is_press=gap_is_press),
        demand.spans[0],
        wanted=_said(demand, one),
        rests_on=in_sentence(own_one.label),
        sources=(*demand.sources, MATE_RULE),
        measure=MeasureNext(own, f"Measure again: {in_sentence(own_one.label)}", "micrometer or bore gauge", 3),
        extra_doubt=doubt,
        assumption="; ".join(note for note in notes if note),
        wished=demand.wished,
    )
    return with_demand(row, demand)


def _joint_hole(case: Case, *, own_is_hole: bool) -> Given | None:
    """The measured hole of the joint, where the part sits in one."""
    joint = case.wanted.joint
    if own_is_hole or joint is None or joint.hole is None or joint.hole.value is None:
        return None
    hole = joint.hole
    return Given(
        hole.text,
        hole.low if hole.low is not None else hole.value,
        hole.high if hole.high is not None else hole.value,
        joint.hole_expanded or Fraction(0),
        str(joint.known),
        "",
    )


def _gap(size: Found, mate: Fraction, *, own_is_hole: bool, gap_is_press: bool) -> Found:
    """Hole less shaft, or for a press shaft less hole."""
    outer_less_mate = own_is_hole != gap_is_press
    if outer_less_mate:
        return replace(size, value=size.value - mate, low=size.low - mate, high=size.high - mate)
    return replace(size, value=mate - size.value, low=mate - size.high, high=mate - size.low)


def _demand(case: Case, one: Characteristic, fit: str, own: str, *, gap_is_press: bool) -> Demand | None:
    """What is asked of the gap: limits in mm, else what the drawn fit makes of it; None where nothing is."""
    said = demand_for(case, one)
    if said is not None and said.spans:
        return said
    standing, notes = standing_requirements(case, fit)
    calls = [(row, call) for row in standing if (call := read_fit(row.text)) is not None]
    if not calls:
        return said
    row, call = calls[0]
    span = _span(case, call, own, gap_is_press=gap_is_press)
    sources: tuple[Source, ...] = (ISO_286,)
    return Demand(
        row.text,
        (span,) if span else (),
        wished=row.weight,
        known_from=str(row.known),
        assumption="; ".join(notes),
        sources=sources,
    )


def _span(case: Case, call: Fit, own: str, *, gap_is_press: bool) -> tuple[Fraction, Fraction] | None:
    limits = clearance(call, case.wanted_size(own))
    if limits is None:
        return None
    least, most = limits
    return (-most, -least) if gap_is_press else (least, most)


def _said(demand: Demand, one: Characteristic) -> str:
    assert one.kind is not None
    limits = " or ".join(write_span(span, one.kind) for span in demand.spans)
    return limits if demand.text == limits else f"{demand.text} → {limits}"


def _open(case: Case, one: Characteristic, demand: Demand, sentence: str, measure: MeasureNext | None = None) -> Row:
    row = Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        _said(demand, one) if demand.spans else demand.text,
        "not known",
        Verdict.OPEN,
        sentence,
        sources=(*demand.sources, MATE_RULE),
        measure=measure or MeasureNext(one.key, "Give the limits of the fit in mm", "drawing", 2, about_original=True),
    )
    return with_demand(row, demand)
