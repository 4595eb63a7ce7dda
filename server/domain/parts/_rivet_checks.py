"""The checks that all kinds of rivet share, and the characteristics whose rows they write."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain import rivet_sources as src
from server.domain.demand import demand_for
from server.domain.parts._kit import Case, Check
from server.domain.parts._rivet_fit import fit_rows
from server.domain.parts._rivet_forming import forming_rows
from server.domain.parts._rivet_hazards import hazard_rows
from server.domain.parts._rivet_kinds import KINDS
from server.domain.parts._rivet_metal import metal_rows
from server.domain.parts._rivet_pattern import pattern_rows
from server.domain.parts._rivet_rows import computed_row, offered_figure
from server.domain.parts._rivet_setting import setting_rows
from server.domain.parts._rivets import RIVETS
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row, missing_offer
from server.domain.verdict import MeasureNext, Row, Verdict

FORM_KEYS = frozenset({"bore_diameter", "bore_depth", "bore_form", "wall", "prong_length", "stem", "stem_material"})
"""Characteristics that only some kinds have: another kind in this one's place is not asked for them."""


def form_rows(case: Case) -> Iterator[Row]:
    """Bore, wall, prongs, stem: compared where the offered kind has them, else a person's."""
    for one in case.part_class.characteristics:
        if one.key not in FORM_KEYS:
            continue
        shared = case.offered_class.characteristic(one.key) is not None
        if shared or case.offered_class.key not in RIVETS:
            row = characteristic_row(case, one)
            if row is not None:
                yield row
            continue
        demand = demand_for(case, one)
        if demand is None:
            continue
        if one.key == "wall" and demand.spans and (row := _wall_row(case, demand.spans[0], demand.text)):
            yield row
            continue
        yield replace(
            missing_offer(case, one, demand),
            verdict=Verdict.JUDGED,
            sentence=f"{one.label}: the original had {demand.text}. A “{case.offered_class.name}” has none of its own;"
            " a person judges whether that matters here.",
            sources=(KINDS,),
            known_from="",
            measure=None,
            departs=True,
        )


def _wall_row(case: Case, span: tuple[Fraction | None, Fraction | None], wanted: str) -> Row | None:
    """The wall round the bore of a semi-tubular rivet, from body and bore."""
    one = case.part_class.characteristic("wall")
    body, bore = offered_figure(case, "body_diameter"), offered_figure(case, "bore_diameter")
    if one is None or body is None or bore is None:
        return None
    wall = (body.value - bore.value) / 2
    return computed_row(
        case,
        one.key,
        one.label,
        one.concern,
        wall,
        (body.times(Fraction(1, 2)), bore.times(Fraction(1, 2))),
        span,
        wanted=wanted,
        offered=f"{write_value(wall, Kind.LENGTH)} round its bore",
        sources=(src.BORE_GEOMETRY,),
        measure=MeasureNext("bore_diameter", "Measure the find: bore diameter", "Pin gauges", 3),
    )


CHECKS: tuple[Check, ...] = (fit_rows, setting_rows, forming_rows, pattern_rows, metal_rows, form_rows, hazard_rows)

COVERS = FORM_KEYS | {
    "material",
    "body_diameter",
    "head_style",
    "head_angle",
    "length_under_head",
    "length_over_all",
    "grip_min",
    "grip_max",
    "grip_code",
}
