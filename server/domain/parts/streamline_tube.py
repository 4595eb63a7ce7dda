"""Streamline tube: interplane and lift struts, undercarriage legs."""

from fractions import Fraction

from server.domain.general_tolerances import stock_limits
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Example, PartClass
from server.domain.parts._metal_rows import mass_rows, plated_steel_rows, thickness_rows
from server.domain.parts._strength_rows import COLUMN_RULE, streamline_rows
from server.domain.parts._structure import (
    CORROSION,
    CRACKS,
    FAMILY,
    FINISH,
    LOOK,
    MASS,
    REPAIR,
    SMALL_LENGTH,
    length,
    marking,
    material,
)
from server.domain.parts._structure_drawing import streamline_drawing
from server.domain.parts._tube_rows import TUBE_KEYS, tube_state_rows
from server.domain.parts.tube import INSIDE, LOAD, SEAM
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

_LIFT_STRUT = (
    wants("material", "4130 N"),
    wants("major_axis", size(Kind.LENGTH, "68.5")),
    wants("minor_axis", size(Kind.LENGTH, "29")),
    wants("wall", size(Kind.LENGTH, "1.25")),
    wants("load", "compression"),
)
_AXES = (
    measures("major_axis", size(Kind.LENGTH, "68.5"), instrument="calliper"),
    measures("minor_axis", size(Kind.LENGTH, "29"), instrument="calliper"),
    claims("material", "4130 N"),
)
EXAMPLES = (
    Example(
        "The same tube by papers",
        Wanted("streamline_tube", _LIFT_STRUT, role=Role.PRIMARY, use=Use.PERMIT, name="Jury strut"),
        Offered(
            "streamline_tube",
            (*_AXES, measures("wall", size(Kind.LENGTH, "1.25"), instrument="micrometer")),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        common_practice("the same tube by a certificate that somebody has held against it"),
    ),
    Example(
        "A thinner wall in the same outline",
        Wanted("streamline_tube", _LIFT_STRUT, role=Role.PRIMARY, use=Use.PERMIT, name="Jury strut"),
        Offered(
            "streamline_tube",
            (*_AXES, measures("wall", size(Kind.LENGTH, "0.9"), instrument="micrometer")),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.NOT_EQUIVALENT,
        COLUMN_RULE,
    ),
)

PART_CLASS = PartClass(
    key="streamline_tube",
    name="Tube, streamline",
    family=FAMILY,
    names=(
        "streamline tube",
        "streamline tubing",
        "strut tube",
        "lift strut",
        "interplane strut",
        "jury strut",
        "oval tube",
        "Stromlinienrohr",
        "Profilrohr",
        "tube profilé",
        "tubo profilato",
        "profilová trubka",
        "rura profilowa",
    ),
    characteristics=(
        material("Alloy and state: 1025, 4130 N, T50, 2024-T3."),
        length("major_axis", "Long axis, outside", essential=True),
        length("minor_axis", "Short axis, outside", essential=True),
        Characteristic(
            "wall",
            "Wall thickness",
            Concern.STRENGTH,
            Kind.LENGTH,
            plausible=(Fraction(1, 5), Fraction(20)),
            essential=True,
            standard_limits=stock_limits,
        ),
        length(
            "round_diameter",
            "Round tube it was drawn from, outside",
            help_text="Old drawings name streamline tube by the round size it was made of.",
        ),
        length("length_over_all", "Length over all"),
        SEAM,
        LOAD,
        length("hole_diameter", "Hole diameter", plausible=SMALL_LENGTH),
        length("hole_centres", "Hole centres"),
        MASS,
        CRACKS,
        INSIDE,
        CORROSION,
        REPAIR,
        FINISH,
        marking("stamp", "Mill stamp"),
        LOOK,
    ),
    checks=(
        thickness_rows("wall"),
        streamline_rows,
        tube_state_rows,
        condition_rows,
        plated_steel_rows,
        mass_rows,
    ),
    covers=CONDITION_KEYS | TUBE_KEYS | {"load", "wall"},
    draw=streamline_drawing,
    examples=EXAMPLES,
    help="Drawn to a drop shape from round tube; old drawings often name the round size.",
)
