"""Will it set? Length against grip for every kind of rivet; the original's own length beside it."""

import re
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain import joints, rivet_holes
from server.domain import rivet_sources as src
from server.domain.demand import demand_for
from server.domain.joints import Allowance
from server.domain.parts._kit import Case
from server.domain.parts._rivet_rows import (
    Figure,
    computed_row,
    contributing,
    grip_figure,
    missing_row,
    offered_figure,
)
from server.domain.parts._rivets import BLIND, FLUSH_HEADS, RIVETS, SEMI_TUBULAR, SOLID, SPLIT, TUBULAR
from server.domain.quantities import INCH, Kind, write_both, write_value
from server.domain.rows import characteristic_row, write_span
from server.domain.sources import Source
from server.domain.specification import Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

KEY, LABEL = "setting", "Length for this grip"
_LINING = re.compile(r"lining|friction|\bfacing|belag|garniture|brake band|clutch plate", re.IGNORECASE)

MEASURE_SHEETS = MeasureNext(
    "joint",
    "Measure every sheet at the hole, from the made head inwards, and name them in that order",
    "Micrometer, or calliper over the whole stack",
    2,
    about_original=True,
)
_TRIAL = MeasureNext(
    "grip_max",
    "Set one in a test piece of the same sheets, cut it through and look at the blind head",
    "hacksaw, eye",
    3,
)


def in_lining(case: Case) -> bool:
    """Does the rivet hold a brake or clutch lining, as far as the names of sheets and place tell?"""
    joint = case.wanted.joint
    said = [case.wanted.name, *case.wanted.touches]
    said += [f"{ply.name} {ply.material}" for ply in (joint.plies if joint else ())]
    return any(_LINING.search(text) for text in said)


def offered_length(case: Case) -> tuple[Figure | None, str, str]:
    """The length to hold against the grip, the characteristic to measure, and why there is none."""
    head = case.word("head_style")
    under, over = offered_figure(case, "length_under_head"), offered_figure(case, "length_over_all")
    if head in FLUSH_HEADS:
        why = "a countersunk rivet is measured over all, head included, and that length is not known"
        return over, "length_over_all", "" if over else why
    if under is not None:
        return under, "length_under_head", ""
    height = offered_figure(case, "head_height")
    if over is not None and head and height is not None:
        doubt = None if over.doubt is None or height.doubt is None else over.doubt + height.doubt
        text = f"{over.text} over all less {height.text} head"
        return Figure(over.value - height.value, doubt, over.claimed or height.claimed, text), "length_under_head", ""
    if over is not None:
        why = "only the length over all is known; " + ("measure it under the head" if head else "say what head it has")
        return None, "length_under_head" if head else "head_style", why
    return None, "length_under_head", "its length is not known"


def setting_rows(case: Case) -> Iterator[Row]:
    """Rows on length or grip range, by the kind of rivet that is offered."""
    kind = case.offered_class.key
    if kind not in RIVETS:
        return
    if kind == BLIND:
        yield _blind_row(case)
    else:
        yield _length_row(case)
    yield from _original_length_rows(case)


def allowance_for(case: Case, body: Fraction, grip: Fraction) -> Allowance | None:
    """What the offered rivet needs beyond this grip; None where no figure is published for its form."""
    kind = case.offered_class.key
    if kind == SEMI_TUBULAR:
        return joints.semi_tubular_allowance(body, in_lining=in_lining(case))
    if kind == TUBULAR:
        return joints.tubular_allowance(body, case.size("wall"), in_lining=in_lining(case))
    if kind == SPLIT:
        return joints.split_allowance()
    if case.wanted_word("tail_form") == "flush":
        joint = case.wanted.joint
        seat = joint.seat_angle.value if joint and joint.seat_angle else case.wanted_size("head_angle")
        return joints.flush_tail_allowance(body, seat)
    return joints.solid_allowance(body, grip)


def _length_row(case: Case) -> Row:
    grip, body = grip_figure(case.wanted.joint), offered_figure(case, "body_diameter")
    length, to_measure, why = offered_length(case)
    offered = length.text if length else "not said"
    if grip is None:
        said = "The stack it goes through is not known, so no length can be shown to suit."
        return missing_row(
            case, KEY, LABEL, Concern.FIT, said, MEASURE_SHEETS, sources=(src.NAVY_SELECTION,), offered=offered
        )
    wanted = f"for a grip of {write_value(grip.value, Kind.LENGTH)}"
    if body is None or length is None:
        missing = "body_diameter" if body is None else to_measure
        why = "its body diameter is not known" if body is None else why
        measure = MeasureNext(missing, f"Measure the find: {missing.replace('_', ' ')}", "Digital calliper", 1)
        said = f"Whether it sets in a grip of {write_value(grip.value, Kind.LENGTH)} can't be told: {why}."
        return missing_row(
            case, KEY, LABEL, Concern.FIT, said, measure, sources=(src.NAVY_SELECTION,), wanted=wanted, offered=offered
        )
    needs = allowance_for(case, body.value, grip.value)
    if needs is None:
        measure = MeasureNext("joint", "Fill the countersink with a trial rivet in scrap", "eye", 2)
        said = "No published allowance fills a countersink of this angle flush; set a trial rivet."
        return missing_row(
            case, KEY, LABEL, Concern.FIT, said, measure, sources=(src.BRITISH_ALLOWANCES,), wanted=wanted,
            offered=offered,
        )  # fmt: skip
    return _judged_length(case, length, grip, body, needs, to_measure)


def _judged_length(case: Case, length: Figure, grip: Figure, body: Figure, needs: Allowance, key: str) -> Row:
    span = (grip.value + needs.low, grip.value + needs.high)
    stick_out = length.value - grip.value
    parts = stick_out / body.value
    said = f"Stick-out {write_value(stick_out, Kind.LENGTH)}, {float(parts):.2f} D. Rule: {needs.said}."
    if case.offered_class.key == SOLID and case.wanted_word("tail_form") != "flush":
        said += _standard_lengths_said(case, grip.value, body.value)
    joint = case.wanted.joint
    assert joint is not None
    row = computed_row(
        case,
        KEY,
        LABEL,
        Concern.FIT,
        length.value,
        (length, grip, body.times(needs.slope)),
        span,
        wanted=f"{write_span(span, Kind.LENGTH)}, for a grip of {write_value(grip.value, Kind.LENGTH)}",
        offered=length.text,
        sources=needs.sources,
        measure=_finer(length, grip, key),
        said=said,
        known_from=str(joint.known),
    )
    doubt = length.doubt or Fraction(0)
    remark = ""
    if stick_out < needs.good_low - doubt:
        remark = needs.short_means
    elif stick_out > needs.good_high + doubt:
        remark = needs.long_means
    if not remark or row.verdict is Verdict.AGAINST:
        return row
    return replace(row, departs=True, sentence=f"{row.sentence} It is {remark}.")


def _finer(length: Figure, grip: Figure, key: str) -> MeasureNext:
    """What to measure first: the claim, else the sheets where they are the more doubtful, else the rivet."""
    if length.claimed or (length.doubt is None and grip.doubt is not None):
        return MeasureNext(key, f"Measure the find: {key.replace('_', ' ')}", "Digital calliper", 1)
    if grip.doubt is None or (length.doubt is not None and grip.doubt >= length.doubt):
        return MEASURE_SHEETS
    return MeasureNext(key, f"Measure again: {key.replace('_', ' ')}", "Micrometer", 2)


def _standard_lengths_said(case: Case, grip: Fraction, body: Fraction) -> str:
    statement = case.statement("body_diameter")
    unit = statement.quantity.unit if statement and statement.quantity else "mm"
    is_inch = joints.is_inch(body, unit)
    body = (joints.nominal_inch(body) if is_inch else joints.nominal_metric(body)) or body
    target = grip + joints.TARGET * body + joints.long_grip_extra(body, grip)[0]
    lengths = joints.standard_lengths(target, inch=is_inch)
    if lengths is None:
        return f" 1.5 D asks for {write_both(target)}, beyond the published metric series."
    if lengths.next_up_whole is None or lengths.nearest_whole is None:
        said = f"next standard length up {_of(lengths.next_up, is_inch)}, nearest {_of(lengths.nearest, is_inch)}"
    else:
        said = (
            f"next standard length up {_of(lengths.next_up, True)} ({_of(lengths.next_up_whole, True)} without half"
            f" sizes), nearest {_of(lengths.nearest, True)} ({_of(lengths.nearest_whole, True)} without half sizes)"
        )
    disagree = "" if lengths.agree else " Sources disagree on which to take."
    return f" 1.5 D asks for {write_both(target)}: {said}.{disagree}"


def _of(length: Fraction, is_inch: bool) -> str:
    return f"{Fraction(length / INCH)} in" if is_inch else write_value(length, Kind.LENGTH)


def _blind_row(case: Case) -> Row:
    grip, largest = grip_figure(case.wanted.joint), offered_figure(case, "grip_max") or _coded_grip(case, 2)
    label = "Grip for this stack"
    if grip is None:
        said = "The stack it goes through is not known, so no grip range can be shown to suit."
        return missing_row(case, KEY, label, Concern.FIT, said, MEASURE_SHEETS, sources=(src.BLIND_GRIPS,))
    wanted = f"a grip of {write_value(grip.value, Kind.LENGTH)}"
    if largest is None:
        said = "Its grip range is not known; a blind rivet is as wrong below its range as above it."
        return missing_row(case, KEY, label, Concern.FIT, said, _TRIAL, sources=(src.BLIND_GRIPS,), wanted=wanted)
    smallest, assumption, source = _smallest_grip(case, largest)
    if smallest is None:
        said = "Its smallest grip is not known, and below it the blind head doesn't form."
        return missing_row(
            case, KEY, label, Concern.FIT, said, replace(_TRIAL, characteristic="grip_min"), sources=(src.BLIND_GRIPS,),
            wanted=wanted, offered=f"up to {largest.text}",
        )  # fmt: skip
    said = "A blind rivet is as wrong below its range as above it."
    if case.word("head_style") in FLUSH_HEADS:
        said += " In double-dimpled sheets the height of the countersunk head counts to the grip."
    row = computed_row(
        case,
        KEY,
        label,
        Concern.FIT,
        grip.value,
        (grip, largest._replace(value=grip.value), smallest._replace(value=grip.value)),
        (smallest.value, largest.value),
        wanted=wanted,
        offered=f"{smallest.text} to {largest.text}",
        sources=source,
        measure=_TRIAL,
        said=said,
    )
    joint = case.wanted.joint
    assert joint is not None
    return replace(row, assumption=assumption, known_from=str(joint.known))


def _coded_grip(case: Case, end: int) -> Figure | None:
    """The smallest (1) or largest (2) grip that the code on the box names: a claim; None for no or another code."""
    statement = case.statement("grip_code")
    for word in statement.words if statement else ():
        try:
            value = rivet_holes.blind_code(word)[end]
        except KeyError:
            continue
        return Figure(value, Fraction(0), True, f"{write_value(value, Kind.LENGTH)} (claimed)")
    return None


def _smallest_grip(case: Case, largest: Figure) -> tuple[Figure | None, str, tuple[Source, ...]]:
    """The lower end of the range: as said, else by the published bands, which is an assumption."""
    said = offered_figure(case, "grip_min")
    if said is not None:
        return said, "", (src.BLIND_GRIPS,)
    coded = _coded_grip(case, 1)
    if coded is not None:
        return coded, "", (src.ARMY_BLIND, src.BLIND_GRIPS)
    found = rivet_holes.blind_lower_end(case.size("body_diameter"), largest.value)
    if found is None:
        return None, "", ()
    smallest, source = found
    text = write_value(smallest, Kind.LENGTH)
    return (
        largest._replace(value=smallest, text=text),
        f"its maker's smallest grip is not known; {text} taken from published bands",
        (source, src.BLIND_GRIPS),
    )


def _original_length_rows(case: Case) -> Iterator[Row]:
    """The original's own length, or grip range: evidence beside the grip, never more."""
    differs = case.offered_class.key != case.part_class.key
    for key in ("length_under_head", "length_over_all", "grip_min", "grip_max", "grip_code"):
        one = case.part_class.characteristic(key)
        if one is None:
            continue
        demand = demand_for(case, one)
        row = characteristic_row(case, one) if demand else None
        if row is None or demand is None or demand.wished is Weight.GOVERNS:
            if row is not None:
                yield row
            continue
        row = replace(row, weight=contributing(case, one.concern))
        if differs:
            row = replace(
                row,
                verdict=Verdict.JUDGED,
                sentence=f"{one.label}: the original had {demand.text}. Another kind of rivet needs another length;"
                " the grip decides.",
                measure=None,
            )
        yield row
