"""Rigid conduit: named by its OUTSIDE diameter; the inside is what the bundle needs."""

import re
from collections.abc import Iterable
from dataclasses import replace

from server.domain.conformity import combined
from server.domain.drawing import Drawing
from server.domain.offer import Offered
from server.domain.parts._computed import (
    FAMILY,
    Found,
    ac,
    between,
    demand_of,
    found,
    label_row,
    one_sided_row,
    statement_row,
)
from server.domain.parts._conduit import (
    PLACE,
    SIZE_RULE,
    YES_NO,
    bend_rows,
    bundle_inside,
    conduit_figure,
    fill_rows,
    yes_row,
)
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Case, Characteristic, Example, KindChange, PartClass
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row, Verdict

DRAIN_RULE = ac("11-251")
KINK_RULE = Source("FAA-H-8083", "conduit: kinked or wrinkled bends", standing=Standing.QUOTED)

CHARACTERISTICS = (
    Characteristic(
        "material",
        "Material",
        Concern.FUNCTION,
        is_material=True,
        essential=True,
        effort=4,
        tell_with=("analysis", "conductivity"),
    ),
    Characteristic(
        "outside_diameter",
        "Outside diameter",
        Concern.FIT,
        Kind.LENGTH,
        help="Rigid conduit is named by its outside.",
        plausible=between("3", "80"),
        essential=True,
        general_tolerance=True,
    ),
    Characteristic("wall", "Wall", Concern.FUNCTION, Kind.LENGTH, plausible=between("0.3", "5"), effort=2),
    Characteristic(
        "inside_diameter",
        "Inside diameter",
        Concern.FIT,
        Kind.LENGTH,
        help="Measured; else outside less two walls.",
        plausible=between("2", "78"),
        essential=True,
    ),
    Characteristic(
        "bend_made",
        "Bends already made",
        Concern.FIT,
        help="Smooth, flattened, wrinkled or kinked. A wrinkled or kinked bend is not acceptable.",
        judged=True,
    ),
    Characteristic("drain_hole", "Drain hole at the low point", Concern.FUNCTION, choices=YES_NO),
    Characteristic("end_fitting", "Ends and bushings", Concern.FIT, help="Flared, bushed, thread of the ferrule."),
    Characteristic(
        "length_between_ferrules",
        "Length between ferrules",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("20", "20000"),
        tell_with=("tape",),
        general_tolerance=True,
    ),
    Characteristic("finish", "Finish", Concern.APPEARANCE, judged=True),
    *PLACE,
)


def inside(case: Case) -> Found | None:
    """The inside diameter as said, else outside less two walls."""
    said, outside, wall = found(case, "inside_diameter"), found(case, "outside_diameter"), found(case, "wall")
    if said is not None or outside is None or wall is None:
        return said
    is_measured = outside.is_measured and wall.is_measured
    doubt = None
    if outside.doubt is not None and wall.doubt is not None:
        doubt = combined(outside.doubt, 2 * wall.doubt)
    value = outside.value - 2 * wall.value
    text = f"{write_value(value, Kind.LENGTH)} from {outside.text} outside and {wall.text} wall"
    return Found(value, outside.low - 2 * wall.high, outside.high - 2 * wall.low, doubt, is_measured, text)


def room_rows(case: Case) -> Iterable[Row]:
    """Room for the bundle; without a bundle no narrower than the original."""
    yield from fill_rows(case, inside(case))
    follows = demand_of(case, "outside_diameter") is not None and demand_of(case, "wall") is not None
    if bundle_inside(case) is None and (demand_of(case, "inside_diameter") is not None or not follows):
        row = one_sided_row(case, "inside_diameter", Form.AT_LEAST, "no narrower than the original taken as enough")
        if row is not None:
            yield row


def wall_rows(case: Case) -> Iterable[Row]:
    """No thinner than the original."""
    row = one_sided_row(case, "wall", Form.AT_LEAST, "the original's wall taken as the least allowed")
    if row is not None:
        yield row


def bent_rows(case: Case) -> Iterable[Row]:
    """Bends to make, and bends already there: a kink or a wrinkle is not acceptable."""
    yield from bend_rows(case, "rigid_conduit_bend", found(case, "outside_diameter"))
    statement = case.statement("bend_made")
    if statement is not None and re.search(r"kink|wrinkl|flatten|knick|falt", statement.text, re.IGNORECASE):
        yield statement_row(
            case,
            label_row("kinked_bend", "Kinked or wrinkled bend", Concern.FUNCTION),
            Verdict.AGAINST,
            f"A bend is said to be {statement.text}; kinked or wrinkled bends are not acceptable.",
            wanted="smooth bends",
            offered=statement.text,
            sources=(KINK_RULE,),
        )


def drain_rows(case: Case) -> Iterable[Row]:
    """A drain hole at the low point; a missing one can be drilled."""
    row = yes_row(case, "drain_hole", DRAIN_RULE)
    if row is None and case.word("drain_hole") == "no":
        one = case.part_class.characteristic("drain_hole")
        assert one is not None
        row = characteristic_row(case, replace(one, essential=True))
    if row is None:
        return
    if case.word("drain_hole") == "no" and row.verdict is not Verdict.PROVEN:
        said = "No drain hole yet: drill and deburr one at the low point once it is bent."
        row = replace(row, verdict=Verdict.JUDGED, sentence=said, sources=(DRAIN_RULE,), departs=True, measure=None)
    yield row


def figure(case: Case) -> Drawing | None:
    """The conduit with its bundle."""
    outside = found(case, "outside_diameter")
    return conduit_figure(case, inside(case), outside.value if outside is not None else None)


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("rigid_conduit", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


def _tube(outside: str, wall: str) -> Offered:
    return Offered(
        "rigid_conduit",
        (
            measures("material", "6061-T6", instrument="analysis"),
            measures("outside_diameter", size(Kind.LENGTH, outside, "in"), expanded="0.04"),
            measures("wall", size(Kind.LENGTH, wall, "in"), expanded="0.02"),
            claims("finish", "bare"),
        ),
    )


_BUNDLE = (
    wants("material", "6061-T6"),
    wants("outside_diameter", size(Kind.LENGTH, low="0.55", high="0.80", unit="in")),
    wants("wall", size(Kind.LENGTH, "0.028", "in")),
    wants("bundle_diameter", size(Kind.LENGTH, "0.50", "in"), expanded="0.2"),
)

EXAMPLES = (
    Example(
        "A bundle of 0.50 in in 3/4 in tube with 0.035 in wall",
        _wanted(*_BUNDLE),
        _tube("0.750", "0.035"),
        Outcome.WITH_REASONS,
        SIZE_RULE,
    ),
    Example(
        "The same bundle in 5/8 in tube with 0.035 in wall",
        _wanted(*_BUNDLE),
        _tube("0.625", "0.035"),
        Outcome.NOT_EQUIVALENT,
        SIZE_RULE,
    ),
)

PART_CLASS = PartClass(
    key="rigid_conduit",
    name="Conduit, rigid",
    family=FAMILY,
    names=("rigid conduit", "conduit tube", "wiring conduit", "Schutzrohr", "Leitungsrohr", "tube de protection"),
    characteristics=CHARACTERISTICS,
    checks=(room_rows, wall_rows, bent_rows, drain_rows),
    covers=frozenset({"inside_diameter", "wall", "drain_hole"}),
    stands_in={
        "flexible_conduit": KindChange(
            "it follows movement and needs no bends made.",
            "it protects less and takes more room in a bend.",
            common_practice("flexible conduit where it moves, rigid where it doesn't"),
        )
    },
    examples=EXAMPLES,
    chapter="2497",
    draw=figure,
    help="Give the bundle: the inside has to be a quarter larger. Outside and wall give the inside.",
)
