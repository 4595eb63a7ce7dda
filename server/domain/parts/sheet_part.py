"""Sheet-metal parts: skins, ribs, brackets, fairings, bent angles."""

from fractions import Fraction

from server.domain.general_tolerances import stock_limits
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._bend_rows import bend_rows
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
from server.domain.parts._metal_rows import mass_rows, plated_steel_rows, thickness_rows
from server.domain.parts._sheet_rows import SHEET_KEYS, sheet_state_rows
from server.domain.parts._strength_rows import sheet_rows
from server.domain.parts._structure import (
    CORROSION,
    CRACKS,
    FAMILY,
    FINISH,
    HAND,
    LOOK,
    MASS,
    REPAIR,
    SMALL_LENGTH,
    length,
    marking,
    material,
)
from server.domain.parts._structure_drawing import bent_drawing
from server.domain.quantities import Kind
from server.domain.sources import Source, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

CLAD = Characteristic(
    "cladding",
    "Cladding",
    Concern.STRENGTH,
    help="A skin of purer aluminium rolled on; a drop of caustic soda on a scratch shows whether the core is reached.",
    choices=(
        Choice("clad", "clad", ("Alclad", "plattiert", "plaqué", "placcata", "plátovaný", "platerowana")),
        Choice("bare", "bare", ("unclad", "unplattiert", "nu")),
    ),
    effort=2,
)
TREATMENT = Characteristic(
    "heat_treatment",
    "Heat treatment",
    Concern.STRENGTH,
    help="Formed soft and never treated looks the same as the strong temper.",
    choices=(
        Choice("as bought", "left as bought", ("mill temper", "as received", "none since")),
        Choice("by the shop", "heat treated after forming", ("shop heat treated", "re-treated", "by user")),
        Choice("soft", "formed soft and left soft", ("annealed", "O", "weich", "recuit")),
        Choice("heated", "heated in a fire or by welding", ("fire", "burnt", "welded near")),
        Choice("not known", "not known", ("unknown",)),
    ),
    effort=4,
    tell_with=("hardness", "conductivity"),
)
LOAD = Characteristic(
    "load",
    "What it has to carry",
    Concern.STRENGTH,
    help="Decides which thickness makes up for another metal.",
    choices=(
        Choice("tension", "pull or shear in its plane", ("tension", "shear", "skin")),
        Choice("bending", "bending strength of the sheet", ("bending", "floor")),
        Choice("stiffness", "stiffness, buckling", ("stiffness", "buckling", "compression")),
        Choice("none", "next to nothing", ("fairing", "cover", "not structural")),
    ),
    of_place=True,
)

_SKIN = (wants("material", "2024-T3"), wants("thickness", size(Kind.LENGTH, "0.8")), wants("load", "tension"))
_EIGHT = measures("thickness", size(Kind.LENGTH, "0.81"), instrument="micrometer")
EXAMPLES = (
    Example(
        "6061-T6 in the thickness of 2024-T3",
        Wanted("sheet_part", _SKIN, role=Role.SECONDARY, use=Use.PERMIT, name="Fuselage side skin"),
        Offered(
            "sheet_part",
            (_EIGHT, claims("material", "6061-T6")),
            origin=Origin.INDUSTRIAL,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("MIL-HDBK-5J", "Tables 3.2.3.0(b1) and 3.6.2.0(b1), digitised copy", "31 Jan 2003"),
    ),
    Example(
        "Sheet of the right alloy and no known temper",
        Wanted("sheet_part", _SKIN, role=Role.SECONDARY, use=Use.PERMIT, name="Fuselage side skin"),
        Offered("sheet_part", (_EIGHT, measures("material", "2024", instrument="analysis")), origin=Origin.OLD_STOCK),
        Outcome.NOT_PROVEN,
        common_practice("an unknown temper is never taken for the strong one"),
    ),
    Example(
        "2024-T3 with papers for 2017-T4",
        Wanted(
            "sheet_part",
            (wants("material", "2017-T4"), wants("thickness", size(Kind.LENGTH, "0.8")), wants("load", "tension")),
            role=Role.SECONDARY,
            use=Use.PERMIT,
        ),
        Offered(
            "sheet_part",
            (_EIGHT, claims("material", "2024-T3 bare sheet")),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        Source("MIL-HDBK-5J", "Table 3.2.3.0(b1), against typical values of 2017-T4 as quoted", "31 Jan 2003"),
    ),
)

PART_CLASS = PartClass(
    key="sheet_part",
    name="Sheet-metal part",
    family=FAMILY,
    names=(
        "sheet part",
        "sheet metal",
        "skin panel",
        "rib",
        "sheet bracket",
        "bent angle",
        "stringer",
        "fairing",
        "doubler",
        "patch",
        "Blechteil",
        "Blech",
        "Beplankung",
        "tôle",
        "pièce de tôlerie",
        "lamiera",
        "plech",
        "blacha",
    ),
    characteristics=(
        material("Alloy and temper as stamped or drawn: 24S-T, 2024-T3 Alclad, 17ST, A-U4G, L72, 3S-1/2H."),
        Characteristic(
            "thickness",
            "Sheet thickness",
            Concern.STRENGTH,
            Kind.LENGTH,
            help="Paint off. Gauge numbers as written: 22 SWG, 0.032, 0,8 mm.",
            plausible=(Fraction(1, 10), Fraction(12)),
            essential=True,
            standard_limits=stock_limits,
        ),
        CLAD,
        TREATMENT,
        LOAD,
        Characteristic(
            "bend_radius",
            "Inside bend radius",
            Concern.FIT,
            Kind.LENGTH,
            plausible=(Fraction(0), Fraction(100)),
            general_tolerance=True,
            tell_with=("eye",),
        ),
        Characteristic(
            "bend_angle",
            "Bent through",
            Concern.FIT,
            Kind.ANGLE,
            help="From flat: a square angle is bent through 90°, an open one through less.",
            plausible=(Fraction(0), Fraction(180)),
        ),
        length("leg_a", "First leg, outside", plausible=(Fraction(1), Fraction(3000))),
        length("leg_b", "Second leg, outside", plausible=(Fraction(1), Fraction(3000))),
        length("length_over_all", "Length over all"),
        length("width_over_all", "Width over all"),
        length("height_over_all", "Height over all"),
        length("hole_diameter", "Hole diameter", plausible=SMALL_LENGTH),
        length("hole_centres", "Hole centres"),
        length("edge_distance", "Edge distance", plausible=SMALL_LENGTH, help_text="Hole centre to the nearest edge."),
        HAND,
        MASS,
        CRACKS,
        CORROSION,
        REPAIR,
        FINISH,
        marking("stamp", "Mill stamp", "Printing or stamps on the metal."),
        LOOK,
    ),
    checks=(
        thickness_rows("thickness"),
        sheet_state_rows,
        sheet_rows,
        bend_rows,
        condition_rows,
        plated_steel_rows,
        mass_rows,
    ),
    covers=CONDITION_KEYS | SHEET_KEYS | {"load", "thickness"},
    draw=bent_drawing,
    examples=EXAMPLES,
    help="Cut and bent from sheet. Paint off before the thickness; the temper decides more than the alloy.",
)
