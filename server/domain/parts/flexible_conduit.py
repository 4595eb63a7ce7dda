"""Flexible conduit: named by its INSIDE diameter."""

from collections.abc import Iterable

from server.domain.drawing import Drawing
from server.domain.offer import Offered
from server.domain.parts._computed import FAMILY, between, found, may_differ, one_sided_row
from server.domain.parts._conduit import (
    CONTINUITY_RULE,
    PLACE,
    SIZE_RULE,
    YES_NO,
    bend_rows,
    bundle_inside,
    conduit_figure,
    fill_rows,
    yes_row,
)
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Case, Characteristic, Choice, Example, KindChange, PartClass
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row

BRASS_RULE = Source(
    "FAA-H-8083", "conduit: brass in place of aluminium against radio interference", standing=Standing.QUOTED
)
COVER_RULE = common_practice("a cover keeps oil and chafing off and hides the look of the metal")

MATERIALS = (
    Choice("aluminium", "Aluminium", ("aluminum", "Al", "aluminium alloy")),
    Choice("brass", "Brass", ("Messing", "laiton")),
    Choice("steel", "Steel", ("Stahl", "galvanised steel")),
    Choice("plastic", "Plastic or rubber only", ("PVC", "nylon", "rubber")),
)

COVERS = (
    Choice("bare", "Bare", ("type I", "none")),
    Choice("rubber", "Rubber covered", ("type II", "rubber", "Gummi")),
    Choice("braid", "Metal braid over", ("braided", "overbraid")),
)

CHARACTERISTICS = (
    Characteristic("material", "Metal", Concern.FUNCTION, choices=MATERIALS, essential=True),
    Characteristic("covering", "Covering", Concern.FUNCTION, choices=COVERS),
    Characteristic(
        "inside_diameter",
        "Inside diameter",
        Concern.FIT,
        Kind.LENGTH,
        help="Flexible conduit is named by its inside; measure it all the same.",
        plausible=between("3", "80"),
        essential=True,
    ),
    Characteristic("outside_diameter", "Outside diameter", Concern.FIT, Kind.LENGTH, plausible=between("4", "100")),
    Characteristic(
        "screening_continuity",
        "Continuous as a screen",
        Concern.FUNCTION,
        choices=YES_NO,
        help="Ferrule to ferrule, for radio interference.",
        tell_with=("multimeter_r",),
    ),
    Characteristic("end_fitting", "End fittings", Concern.FIT, help="Thread and form of each end."),
    Characteristic(
        "length_between_ferrules",
        "Length between ferrules",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("20", "20000"),
        tell_with=("tape",),
        general_tolerance=True,
    ),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True),
    *PLACE,
)


def room_rows(case: Case) -> Iterable[Row]:
    """Room for the bundle; without a bundle no narrower than the original."""
    yield from fill_rows(case, found(case, "inside_diameter"))
    if bundle_inside(case) is None:
        row = one_sided_row(case, "inside_diameter", Form.AT_LEAST, "no narrower than the original taken as enough")
        if row is not None:
            yield row


def kind_rows(case: Case) -> Iterable[Row]:
    """Metal, covering and screening."""
    metal = "Brass instead of aluminium screens better; what touches it, its mass and its ends differ."
    rows = (
        may_differ(case, "material", metal, BRASS_RULE),
        may_differ(case, "covering", "Another covering is a person's decision.", COVER_RULE),
        yes_row(case, "screening_continuity", CONTINUITY_RULE),
    )
    yield from (row for row in rows if row is not None)


def bent_rows(case: Case) -> Iterable[Row]:
    """The tightest bend on its way."""
    return bend_rows(case, "flex_conduit_bend", found(case, "inside_diameter"))


def figure(case: Case) -> Drawing | None:
    """The conduit with its bundle."""
    outside = found(case, "outside_diameter")
    return conduit_figure(case, found(case, "inside_diameter"), outside.value if outside is not None else None)


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("flexible_conduit", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


_SEVEN = (
    wants("material", "aluminium"),
    wants("bundle_wires", size(Kind.COUNT, "7")),
    wants("bundle_wire_diameter", size(Kind.LENGTH, "0.085", "in"), expanded="0.02"),
)

EXAMPLES = (
    Example(
        "Seven wires of 0.085 in: 0.337 in is the least, 3/8 in is offered",
        _wanted(*_SEVEN),
        Offered(
            "flexible_conduit",
            (
                measures("material", "aluminium"),
                measures("inside_diameter", size(Kind.LENGTH, "0.375", "in"), expanded="0.1"),
            ),
        ),
        Outcome.WITH_REASONS,
        SIZE_RULE,
    ),
    Example(
        "The same bundle in 1/4 in conduit",
        _wanted(*_SEVEN),
        Offered(
            "flexible_conduit",
            (
                measures("material", "aluminium"),
                measures("inside_diameter", size(Kind.LENGTH, "0.250", "in"), expanded="0.1"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        SIZE_RULE,
    ),
)

PART_CLASS = PartClass(
    key="flexible_conduit",
    name="Conduit, flexible",
    family=FAMILY,
    names=("flexible conduit", "flex conduit", "conduit hose", "Metallschlauch", "Schutzschlauch", "gaine métallique"),
    characteristics=CHARACTERISTICS,
    checks=(room_rows, kind_rows, bent_rows),
    covers=frozenset({"material", "covering", "inside_diameter", "screening_continuity"}),
    stands_in={
        "rigid_conduit": KindChange(
            "it protects better and looks tidy.",
            "it follows no movement; the wires chafe where the two ends move.",
            common_practice("flexible conduit where it moves, rigid where it doesn't"),
        )
    },
    examples=EXAMPLES,
    chapter="2497",
    draw=figure,
    help="Give the bundle: the inside has to be a quarter larger.",
)
