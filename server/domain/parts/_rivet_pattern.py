"""What the sheet and the pattern allow: diameter by sheet, edge distance, pitch, and from where it is reached."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain import rivet_sources as src
from server.domain import rivet_strength
from server.domain.parts._kit import Case, in_sentence
from server.domain.parts._rivet_fit import MEASURE_BODY
from server.domain.parts._rivet_rows import (
    computed_row,
    contributing,
    is_larger,
    joint_figure,
    missing_row,
    offered_figure,
)
from server.domain.parts._rivets import BLIND, FLUSH_HEADS, RIVETS, SOLID
from server.domain.quantities import INCH, Kind, write_value
from server.domain.sources import Source
from server.domain.specification import Access, Role
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

STRUCTURE = frozenset({Role.PRIMARY, Role.SECONDARY, Role.CONTROL})


def pattern_rows(case: Case) -> Iterator[Row]:
    """All rows on sheet, pattern and reach."""
    if case.offered_class.key not in RIVETS:
        return
    yield from _sheet_row(case)
    yield from _edge_and_pitch_rows(case)
    yield from _access_row(case)


def _sheet_row(case: Case) -> Iterator[Row]:
    joint, body = case.wanted.joint, offered_figure(case, "body_diameter")
    if joint is None or joint.thickest is None or body is None or case.offered_class.key != SOLID:
        return
    thickest = joint.thickest
    ply = next(one for one in joint.plies if one.thickness and one.thickness.value == thickest)
    sheet = joint_figure(joint, ply.thickness, ply.expanded)
    assert sheet is not None
    smallest, said = thickest, "Aim at 3 times the thicker sheet; no thinner than that sheet, no thicker than 3 times."
    if case.wanted.use.flies and case.wanted.role in STRUCTURE:
        smallest = max(smallest, INCH * 3 / 32)
        said += " In structure that flies no rivet under 3/32 in."
    largest = max(3 * thickest, smallest)  # in thin skin the least structural rivet is over three sheets thick
    row = computed_row(
        case,
        "diameter_for_sheet",
        "Diameter for the sheet",
        Concern.STRENGTH,
        body.value,
        (body, sheet.times(Fraction(3))),
        (smallest, largest),
        wanted=f"{write_value(smallest, Kind.LENGTH)} to {write_value(largest, Kind.LENGTH)}",
        offered=f"{body.text} in sheet of {sheet.text}",
        sources=(src.NAVY_SELECTION, src.AC43_DIAMETER, src.GERMAN_SCRIPT),
        measure=MEASURE_BODY,
        weight=contributing(case, Concern.STRENGTH),
        said=f"{said} A German script says 2.5 to 4 times.",
    )
    yield row if is_larger(case) else _as_original(row)


def _as_original(row: Row) -> Row:
    """A rule of today that the original itself doesn't meet: said, and no fault of the find."""
    if row.verdict is Verdict.PROVEN:
        return row
    return replace(
        row,
        verdict=Verdict.JUDGED,
        sentence=f"{row.sentence} But that is the original's own design, and the find changes nothing of it.",
        sources=(*row.sources, src.SAME_PATTERN),
        measure=None,
    )


def _edge_and_pitch_rows(case: Case) -> Iterator[Row]:
    joint, body = case.wanted.joint, offered_figure(case, "body_diameter")
    if joint is None or body is None or case.offered_class.key not in {SOLID, BLIND}:
        return
    flush = case.word("head_style") in FLUSH_HEADS
    edge_said = "A countersunk rivet wants 2.5 D by an examination guide." if flush else ""
    edge_sources: tuple[Source, ...] = (src.ARMY_PATTERN, src.AC43_PATTERN)
    rows = (
        (
            "edge_distance",
            "Edge distance",
            joint_figure(joint, joint.edge_distance),
            rivet_strength.EDGE,
            edge_said,
            (*edge_sources, src.CSK_EDGE) if flush else edge_sources,
        ),
        ("pitch", "Pitch", joint_figure(joint, joint.pitch), rivet_strength.PITCH, "", edge_sources),
    )
    for key, label, figure, least, said, sources in rows:
        wanted = f"at least {float(least):g} D of the rivet to be set, {write_value(least * body.value, Kind.LENGTH)}"
        measure = MeasureNext(
            "joint",
            f"Measure in the work, from hole centres: {in_sentence(label)}",
            "Calliper or rule",
            1,
            about_original=True,
        )
        if figure is None:
            if is_larger(case):
                why = f"{label} is not known, and the rivet to be set is, or may be, larger than the original."
                yield missing_row(
                    case,
                    key,
                    label,
                    Concern.STRENGTH,
                    why,
                    measure,
                    sources=sources,
                    wanted=wanted,
                    offered="not known",
                )
            continue
        row = computed_row(
            case,
            key,
            label,
            Concern.STRENGTH,
            figure.value,
            (figure, body.times(least)),
            (least * body.value, None),
            wanted=wanted,
            offered=figure.text,
            sources=sources,
            measure=measure,
            weight=None if is_larger(case) else contributing(case, Concern.STRENGTH),
            said=said,
        )
        yield row if is_larger(case) else _as_original(row)


def _access_row(case: Case) -> Iterator[Row]:
    joint = case.wanted.joint
    if joint is None:
        return
    blind = case.offered_class.key == BLIND
    name = case.offered_class.name
    weight, measure = case.weight(Concern.FIT), None
    if blind:
        verdict, said = Verdict.PROVEN, f"A “{name}” is set from one side."
    elif joint.access is Access.BOTH:
        verdict, said = Verdict.PROVEN, f"A “{name}” is set from both sides, and both can be reached."
    elif joint.access is Access.ONE:
        verdict, said = Verdict.AGAINST, f"A “{name}” is set from both sides, and only one can be reached."
    else:
        verdict, said = Verdict.OPEN, f"A “{name}” is set from both sides; whether both can be reached nobody said."
        measure = MeasureNext(
            "joint", "Look whether both sides can be reached with a bar", "eye", 1, about_original=True
        )
        if case.part_class.key != BLIND:
            weight = contributing(case, Concern.FIT)
    yield Row(
        "access",
        "Reach",
        Concern.FIT,
        weight,
        f"reached from: {joint.access}",
        "set from one side" if blind else "set from both sides",
        verdict,
        said,
        sources=(src.SIDES,),
        measure=measure,
    )
