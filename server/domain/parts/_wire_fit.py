"""Does the wire go through, stand the place, and reach: diameter, insulation class, length; and its section drawn."""

from dataclasses import replace
from fractions import Fraction
from math import pi, sqrt

from server.domain.demand import Demand
from server.domain.drawing import Circle, Dimension, Drawing, Label, Shape
from server.domain.parts._computed import (
    found,
    given,
    join_notes,
    label_row,
    one_sided_row,
    statement_row,
)
from server.domain.parts._kit import Case
from server.domain.parts._sleeve_heat import NO_POLYETHYLENE
from server.domain.parts._wire_conductor import offered_name, wanted_name
from server.domain.quantities import Kind, write_value
from server.domain.rows import missing_offer, size_row, with_demand
from server.domain.sources import common_practice
from server.domain.specification import Form
from server.domain.verdict import Concern, Row, Verdict

PASSES_RULE = common_practice("finished diameter passes grommets, clamps, connector entries and conduit")
CLASS_RULE = common_practice("insulation class at least the original's and at least the place's temperature")


def diameter_rows(case: Case) -> list[Row]:
    """Not thicker than the original, and through the smallest hole on its way."""
    note = "what is no thicker than the original passes where that passed"
    hole = given(case, "smallest_hole")
    rows = (
        []
        if hole is not None and not _has_limits(case)
        else [one_sided_row(case, "outside_diameter", Form.AT_MOST, note)]
    )
    if hole is not None and hole.least is not None:
        one = label_row("passes_hole", "Outside diameter through its way", Concern.FIT, Kind.LENGTH)
        statement = case.statement("outside_diameter")
        wanted = f"through {hole.text}"
        row = None
        if statement is not None:
            row = size_row(
                case,
                one,
                statement,
                ((None, hole.least),),
                wanted=wanted,
                sources=(PASSES_RULE,),
                extra_doubt=hole.doubt,
            )
        if row is None:
            row = missing_offer(case, one, Demand(wanted, ((None, hole.least),)))
        rows.append(replace(row, assumption=join_notes((row.assumption, hole.note)), known_from=hole.known_from))
    return [row for row in rows if row is not None]


def _has_limits(case: Case) -> bool:
    size = given(case, "outside_diameter")
    return size is not None and size.least != size.most


def class_rows(case: Case) -> list[Row]:
    """The insulation's class against the original's and against the place; soft polyethylene and asbestos."""
    rows = [
        one_sided_row(case, "insulation_class", Form.AT_LEAST, "the original's figure taken as the least allowed"),
    ]
    place = given(case, "ambient_temperature")
    if place is not None and place.most is not None:
        one = label_row("insulation_at_place", "Insulation class for the place", Concern.FUNCTION, Kind.TEMPERATURE)
        span = (place.most, None)
        demand = Demand(f"at least {place.text}", (span,), assumption=place.note, known_from=place.known_from)
        statement = case.statement("insulation_class")
        row = None
        if statement is not None:
            row = size_row(
                case, one, statement, (span,), wanted=demand.text, sources=(CLASS_RULE,), extra_doubt=place.doubt
            )
        rows.append(with_demand(row if row is not None else missing_offer(case, one, demand), demand))
    if case.word("insulation_material") == "polyethylene":
        rows.append(
            statement_row(
                case,
                label_row("polyethylene", "Polyethylene near heat", Concern.HAZARD),
                Verdict.JUDGED,
                "Soft polyethylene may not be used where it gets hot; say that this place stays cool.",
                wanted="no soft polyethylene in hot places",
                offered="polyethylene",
                sources=(NO_POLYETHYLENE,),
                departs=True,
            )
        )
    return [row for row in rows if row is not None]


def length_rows(case: Case) -> list[Row]:
    """Enough of it."""
    row = one_sided_row(case, "length_needed", Form.AT_LEAST, "a longer piece does no harm")
    return [row] if row is not None else []


def wire_figure(case: Case) -> Drawing | None:
    """The section of original and find side by side, to scale; None while one of them has no size at all."""
    wanted = _section(_wanted_area(case), case.wanted_size("outside_diameter"))
    offered = _section(_offered_area(case), case.size("outside_diameter"))
    if wanted is None or offered is None:
        return None
    gap = max(wanted[1], offered[1]) * 0.4 + 0.5
    centres = (-(wanted[1] / 2 + gap / 2), offered[1] / 2 + gap / 2)
    foot = max(wanted[1], offered[1]) / 2
    shapes: list[Shape] = []
    for (conductor, outside, is_known), centre, name in zip(
        (wanted, offered), centres, ("original", "find"), strict=True
    ):
        if is_known:
            shapes.append(Circle(centre, 0, outside / 2, "outline"))
            shapes.append(Dimension(centre - outside / 2, foot, centre + outside / 2, foot, _mm(outside)))
        if conductor:
            shapes.append(Circle(centre, 0, conductor / 2, "hatch-a"))
            shapes.append(
                Dimension(centre - conductor / 2, -foot, centre + conductor / 2, -foot, f"⌀ {_mm(conductor)}")
            )
        shapes.append(Label(centre, foot * 1.8 + 0.5, name))
    said = [_said(name, part) for name, part in (("original", wanted), ("find", offered))]
    return Drawing(
        "Wire, original and find",
        f"Sections side by side to scale. {' '.join(said)} The conductor is drawn as one solid circle of its area.",
        tuple(shapes),
    )


Section = tuple[float, float, bool]
"""Conductor diameter (0 if not known), outside diameter, and whether the outside is known; mm."""


def _section(area: Fraction | None, outside: Fraction | None) -> Section | None:
    if area is None and outside is None:
        return None
    conductor = 2 * sqrt(float(area) / pi) if area else 0.0
    return conductor, float(outside) if outside is not None else conductor, outside is not None


def _wanted_area(case: Case) -> Fraction | None:
    area, name = case.wanted_size("conductor_area"), wanted_name(case)
    return area if area is not None else name.area if name is not None else None


def _offered_area(case: Case) -> Fraction | None:
    area, name = found(case, "conductor_area"), offered_name(case)
    return area.value if area is not None else name.area if name is not None else None


def _said(name: str, part: Section) -> str:
    conductor, outside, is_known = part
    metal = f"conductor of {_mm(conductor)} diameter" if conductor else "conductor not known"
    return f"The {name}: {metal}, {f'{_mm(outside)} over the insulation' if is_known else 'outside not known'}."


def _mm(value: float) -> str:
    return write_value(Fraction(value).limit_denominator(10**6), Kind.LENGTH, 2)
