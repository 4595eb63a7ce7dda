"""Does it fit the joint? Body, head and its cone, and the hole."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import radians, tan

from server.domain import rivet_holes
from server.domain import rivet_sources as src
from server.domain.parts._kit import Case
from server.domain.parts._rivet_rows import (
    Figure,
    computed_row,
    contributing,
    is_larger,
    joint_figure,
    missing_row,
    offered_figure,
    step_up,
)
from server.domain.parts._rivets import (
    BLIND,
    FLUSH_HEADS,
    RIVETS,
    SEMI_TUBULAR,
    SOLID,
    SPLIT,
    TUBULAR,
    UNIVERSAL,
    angle_limits,
)
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row
from server.domain.specification import Role
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

_MEASURE_HOLE = MeasureNext(
    "joint", "Measure the hole in the work, two ways across", "Pin gauges, or calliper", 2, about_original=True
)
MEASURE_BODY = MeasureNext("body_diameter", "Measure the find: body diameter", "Micrometer", 2)


def fit_rows(case: Case) -> Iterator[Row]:
    """All rows on how the offered rivet sits in the joint."""
    yield from _body_row(case)
    yield from _head_row(case)
    if case.offered_class.key not in RIVETS:
        return
    yield from _angle_row(case)
    yield from _countersink_row(case)
    yield from _hole_row(case)


def _body_row(case: Case) -> Iterator[Row]:
    one = case.part_class.characteristic("body_diameter")
    row = characteristic_row(case, one) if one else None
    if row is None:
        return
    if row.verdict is Verdict.AGAINST and case.offered_class.key != case.part_class.key:
        yield _other_kind_body(case, row)
        return
    if row.verdict is not Verdict.AGAINST or not step_up(case):
        yield row
        return
    figure = offered_figure(case, "body_diameter")
    claimed = figure is None or figure.claimed
    caution = ""
    if case.wanted.role is Role.PRIMARY:
        caution = (
            "Holes in spar caps, stringers and stressed tension members are not opened up without the maker's or"
            " the authority's approval."
        )
    yield replace(
        row,
        verdict=Verdict.OPEN if claimed else Verdict.JUDGED,
        sentence=f"{row.sentence} It is one standard size up: allowed for a worn hole or a softer alloy where edge"
        " distance and pitch still hold for the larger rivet; the hole has to be opened. Of one pattern at most a"
        " fifth or ten, whichever is less, and no more than two side by side.",
        sources=(src.AC43_REPLACE, src.MIL_R_47196, *row.sources),
        departs=True,
        caution=caution,
        measure=MEASURE_BODY if claimed else None,
    )


def _other_kind_body(case: Case, row: Row) -> Row:
    """Kinds are made to different bodies: where the hole is known, it decides whether this one goes in."""
    joint = case.wanted.joint
    if case.offered_class.key not in RIVETS or joint is None or joint.hole is None:
        return row
    return replace(
        row,
        verdict=Verdict.JUDGED,
        sentence=f"{row.sentence} Another kind of rivet is made to other bodies; the hole decides whether it goes in.",
        departs=True,
        measure=None,
    )


def _head_row(case: Case) -> Iterator[Row]:
    one = case.part_class.characteristic("head_style")
    row = characteristic_row(case, one) if one else None
    if row is None:
        return
    was, now = case.wanted_word("head_style"), case.word("head_style")
    if row.verdict is not Verdict.AGAINST or not was or not now:
        yield row
        return
    statement = case.statement("head_style")
    assert statement is not None
    was_flush, is_flush = was in FLUSH_HEADS, now in FLUSH_HEADS
    if was_flush != is_flush:
        why = (
            "the countersink stays open and the head stands proud"
            if was_flush
            else "it needs a countersink in the sheet"
        )
        yield replace(row, sentence=f"{row.sentence} A protruding and a countersunk head don't change places: {why}.",
                      sources=(src.NAVY_SELECTION,))  # fmt: skip
        return
    if now == UNIVERSAL and {case.part_class.key, case.offered_class.key} == {SOLID}:
        proven = row.offered == statement.text
        yield replace(
            row,
            verdict=Verdict.PROVEN if proven else Verdict.OPEN,
            sentence=f"{one.label if one else ''}: wanted {row.wanted}, offered {row.offered}. A universal head may"
            " replace any protruding head; it looks different.",
            sources=(src.AC43_HEADS, src.NAVY_SELECTION),
            measure=None if proven else MeasureNext("head_style", "Look at the heads", "eye", 1),
        )
        return
    said = "Both are countersunk" if was_flush else "Both stand proud"
    yield replace(
        row,
        verdict=Verdict.JUDGED,
        sentence=f"{row.sentence} {said}; a person judges whether it bears well and looks right.",
    )


def _angle_row(case: Case) -> Iterator[Row]:
    one = case.part_class.characteristic("head_angle")
    if one is None or case.word("head_style") not in FLUSH_HEADS:
        return
    joint, angle = case.wanted.joint, offered_figure(case, "head_angle")
    seat = joint_figure(joint, joint.seat_angle) if joint else None
    measure = MeasureNext("head_angle", "Measure the cone of the head, or try it in the countersink", "Protractor", 2)
    if seat is None:
        row = characteristic_row(case, one)
        about = MeasureNext(
            "joint",
            "Measure the countersink's angle in the work",
            "Protractor, or a known rivet",
            2,
            about_original=True,
        )
        yield row or missing_row(
            case, one.key, one.label, one.concern, "What cone the countersink has is not known.", about,
            sources=(src.FLUSH_ANGLES,),
        )  # fmt: skip
        return
    if angle is None:
        said = f"The countersink is {write_value(seat.value, Kind.ANGLE)}; the cone of the find's head is not known."
        yield missing_row(
            case, one.key, one.label, one.concern, said, measure, sources=(src.FLUSH_ANGLES,), wanted=seat.text
        )
        return
    spread, source = angle_limits(seat.value)
    said = "US flush heads come in 100° and, early, 78°; DIN 661 is about 75°: they don't seat in each other's holes."
    yield computed_row(
        case,
        one.key,
        one.label,
        one.concern,
        angle.value,
        (angle, seat),
        (seat.value - spread, seat.value + spread),
        wanted=f"{seat.text}, the seat in the work",
        offered=angle.text,
        sources=(src.NAVY_SELECTION, src.FLUSH_ANGLES, source),
        measure=measure,
        kind=Kind.ANGLE,
        said=said,
    )


def _countersink_row(case: Case) -> Iterator[Row]:
    """Does the cone leave a straight hole below it, or a knife edge?"""
    joint = case.wanted.joint
    head, body = offered_figure(case, "head_diameter"), offered_figure(case, "body_diameter")
    angle = offered_figure(case, "head_angle")
    if joint is None or not joint.plies or case.word("head_style") not in FLUSH_HEADS:
        return
    sheet = joint_figure(joint, joint.plies[0].thickness, joint.plies[0].expanded)
    if sheet is None or head is None or body is None or angle is None or "dimpl" in joint.plies[0].name.casefold():
        return
    slope = Fraction(tan(radians(float(angle.value) / 2))).limit_denominator(10**6)
    depth = rivet_holes.countersink_depth(head.value, body.value, slope)
    rest = sheet.value - depth
    yield computed_row(
        case,
        "countersink_depth",
        "Sheet left under the countersink",
        Concern.STRENGTH,
        rest,
        (sheet, head.times(1 / (2 * slope)), body.times(1 / (2 * slope))),
        (Fraction(2, 10), None),
        wanted="0.2 mm of straight hole",
        offered=f"{write_value(rest, Kind.LENGTH)} under a cone {write_value(depth, Kind.LENGTH)} deep",
        sources=(src.GERMAN_SCRIPT, src.P40),
        measure=MeasureNext("head_diameter", "Measure the find: head diameter", "Micrometer", 2),
        weight=contributing(case, Concern.STRENGTH),
        said="Less leaves a knife edge: dimple the sheet, or take a reduced or a universal head. The wartime manual"
        " cuts no countersink in skin under 0.051 in.",
    )


def _hole_limits(case: Case, body: Figure) -> rivet_holes.HoleLimits | None:
    kind = case.offered_class.key
    statement = case.statement("body_diameter")
    unit = statement.quantity.unit if statement and statement.quantity else "mm"
    if kind == BLIND:
        return rivet_holes.blind_hole(body.value)
    if kind == SEMI_TUBULAR:
        return rivet_holes.semi_tubular_hole(body.value)
    if kind == TUBULAR:
        return rivet_holes.tubular_hole(body.value)
    return rivet_holes.solid_hole(body.value, unit)


def _hole_row(case: Case) -> Iterator[Row]:
    body, joint = offered_figure(case, "body_diameter"), case.wanted.joint
    if body is None or joint is None or case.offered_class.key == SPLIT:
        return
    label = "Rivet in its hole"
    hole, limits = joint_figure(joint, joint.hole, joint.hole_expanded), _hole_limits(case, body)
    if limits is None:
        said = "No published hole is known for a blind rivet of this diameter; take its maker's."
        measure = MeasureNext("body_diameter", "Find the maker's hole size for this blind rivet", "maker's sheet", 2)
        yield missing_row(case, "hole", label, Concern.FIT, said, measure, sources=(src.ARMY_BLIND,))
        return
    if hole is None:
        weight = None if is_larger(case) else contributing(case, Concern.FIT)
        said = f"How large the hole is, is not known; it may be up to {write_value(limits.largest, Kind.LENGTH)}."
        yield missing_row(
            case, "hole", label, Concern.FIT, said, _MEASURE_HOLE, sources=limits.sources, wanted=limits.said,
            weight=weight,
        )  # fmt: skip
        return
    if step_up(case) and hole.value < body.value:
        yield _opened_hole_row(case, hole, limits)
        return
    smallest = max(body.value, limits.smallest or body.value)
    said = f"Rule: {limits.said}."
    if hole.value > limits.largest:
        said += (
            f" {write_value(hole.value - body.value, Kind.LENGTH)} of air: it fills badly, and shear may not count"
            " on the larger hole. Ask for the next size."
        )
    elif hole.value < body.value:
        said += " It doesn't go in; opening the hole asks for edge distance and pitch again."
    yield computed_row(
        case,
        "hole",
        label,
        Concern.FIT,
        hole.value,
        (hole, body),
        (smallest, limits.largest),
        wanted=f"hole {write_value(smallest, Kind.LENGTH)} to {write_value(limits.largest, Kind.LENGTH)}",
        offered=f"{body.text} in a hole of {hole.text}",
        sources=(*limits.sources, src.MIL_HDBK_5H) if case.offered_class.key == SOLID else limits.sources,
        measure=MEASURE_BODY if body.claimed else _MEASURE_HOLE,
        said=said,
        known_from=str(joint.known),
    )


def _opened_hole_row(case: Case, hole: Figure, limits: rivet_holes.HoleLimits) -> Row:
    return Row(
        "hole",
        "Rivet in its hole",
        Concern.FIT,
        case.weight(Concern.FIT),
        f"hole up to {write_value(limits.largest, Kind.LENGTH)}",
        f"hole of {hole.text}, to be opened",
        Verdict.JUDGED,
        f"The hole of {hole.text} has to be opened for the larger rivet, at most to {limits.said}.",
        sources=limits.sources,
        departs=True,
    )
