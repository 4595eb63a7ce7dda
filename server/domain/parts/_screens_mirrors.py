"""Two pieces of plain geometry: the opening of a gauze, and the focal length of a dish."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from math import sqrt

from server.domain.conformity import combined
from server.domain.demand import demand_for
from server.domain.parts._computed import Found, computed_row, found
from server.domain.parts._kit import Case
from server.domain.quantities import INCH
from server.domain.rows import characteristic_row, with_demand
from server.domain.sources import Source, Standing
from server.domain.verdict import MeasureNext, Row

GAUZE = Source("plain square weave: one opening and one wire to each pitch, geometry", standing=Standing.DERIVED)
DISH = Source("paraboloid: focal length = diameter² / (16 × depth), geometry", standing=Standing.DERIVED)


def opening_of(mesh: Fraction, wire: Fraction) -> Fraction | None:
    """Clear opening in mm of square gauze: wires per inch, wire diameter in mm; None where the wires would touch."""
    opening = INCH / mesh - wire if mesh > 0 else Fraction(0)
    return opening if opening > 0 else None


def focal_length(diameter: Fraction, depth: Fraction) -> Fraction:
    """Focal length of a parabolic dish, all in mm; the depth is above zero."""
    return diameter**2 / (16 * depth)


def opening_rows(case: Case) -> Iterable[Row]:
    """Opening, mesh and wire of a screen; the opening is worked out where nobody measured it."""
    for key in ("mesh", "wire_diameter"):
        yield from _general(case, key)
    one = case.part_class.characteristic("opening")
    assert one is not None
    demand = demand_for(case, one)
    mesh, wire = found(case, "mesh"), found(case, "wire_diameter")
    made = opening_of(mesh.value, wire.value) if mesh is not None and wire is not None else None
    if demand is None or not demand.spans or case.statement("opening") is not None or made is None:
        yield from _general(case, "opening")
        return
    assert mesh is not None
    assert wire is not None
    size = Found(
        made,
        INCH / mesh.high - wire.high,
        INCH / mesh.low - wire.low,
        wire.doubt,
        mesh.is_measured and wire.is_measured,
        f"{mesh.text} to the inch, wire {wire.text}",
    )
    row = computed_row(
        case,
        one,
        size,
        demand.spans[0],
        wanted=demand.text,
        rests_on="mesh and wire",
        sources=(GAUZE,),
        measure=MeasureNext("opening", "Measure: clear opening", "magnifier with scale", 2),
        extra_doubt=demand.expanded,
        wished=demand.wished,
    )
    yield with_demand(row, demand)


def focus_rows(case: Case) -> Iterable[Row]:
    """Focal length of a dish, worked out from depth and diameter where nobody measured it."""
    one = case.part_class.characteristic("focal_length")
    assert one is not None
    demand = demand_for(case, one)
    depth, diameter = found(case, "depth"), found(case, "outside_diameter")
    no_size = depth is None or diameter is None or depth.value <= 0 or depth.low <= 0
    if demand is None or not demand.spans or case.statement("focal_length") is not None or no_size:
        yield from _general(case, "focal_length")
        return
    assert depth is not None
    assert diameter is not None
    made = focal_length(diameter.value, depth.value)
    size = Found(
        made,
        focal_length(diameter.low, depth.high),
        focal_length(diameter.high, depth.low),
        _focus_doubt(diameter, depth, made),
        depth.is_measured and diameter.is_measured,
        f"{diameter.text} across, {depth.text} deep",
    )
    row = computed_row(
        case,
        one,
        size,
        demand.spans[0],
        wanted=demand.text,
        rests_on="depth and diameter",
        sources=(DISH,),
        measure=MeasureNext("depth", "Measure again: depth", "depth gauge", 2),
        extra_doubt=demand.expanded,
        wished=demand.wished,
    )
    yield with_demand(replace(row, assumption="taken as a paraboloid"), demand)


def _focus_doubt(diameter: Found, depth: Found, made: Fraction) -> Fraction | None:
    if diameter.doubt is None or depth.doubt is None:
        return None
    share = sqrt((2 * float(diameter.doubt / diameter.value)) ** 2 + float(depth.doubt / depth.value) ** 2)
    return combined(Fraction(float(made) * share).limit_denominator(10**9))


def _general(case: Case, key: str) -> Iterable[Row]:
    one = case.part_class.characteristic(key)
    assert one is not None
    row = characteristic_row(case, one)
    if row is not None:
        yield row
