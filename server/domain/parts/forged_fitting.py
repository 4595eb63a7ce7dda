"""Forged and machined fittings: wing-root fittings, strut ends, hinge brackets."""

from fractions import Fraction

from server.domain.casting_factor import RULE as FACTOR_RULE
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, KindChange, PartClass
from server.domain.parts._metal_rows import hole_rows, machined_bar_rows, mass_rows, plated_steel_rows
from server.domain.parts._structure import (
    CORROSION,
    CRACKS,
    FAMILY,
    FINISH,
    HAND,
    INSPECTION,
    LOOK,
    MASS,
    REPAIR,
    SMALL_LENGTH,
    length,
    marking,
    material,
)
from server.domain.parts._structure_drawing import plate_drawing
from server.domain.quantities import Kind
from server.domain.sources import Source, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

PROCESS = Characteristic(
    "process",
    "How it was made",
    Concern.STRENGTH,
    choices=(
        Choice("die forged", "die forging", ("forged", "drop forged", "Gesenkschmiedestück", "matricé")),
        Choice("hand forged", "hand forging", ("blacksmith", "Freiformschmiedestück", "forgé")),
        Choice(
            "machined", "machined from solid", ("from bar", "from billet", "aus dem Vollen", "taillé dans la masse")
        ),
        Choice("plate", "cut and bent from plate", ("plate", "sheet", "laminated")),
        Choice("welded", "welded up", ("weldment", "geschweißt", "mécano-soudé")),
        Choice("cast", "cast", ("casting", "Guss", "moulé")),
    ),
)

_FITTING = (
    wants("material", "4130 125 ksi"),
    wants("process", "die forged"),
    wants("hole_diameter", size(Kind.LENGTH, low="9.525", high="9.6")),
)
_HOLE = measures("hole_diameter", size(Kind.LENGTH, "9.56"), instrument="pin_gauge")
EXAMPLES = (
    Example(
        "The same steel and strength by papers, clear of cracks",
        Wanted("forged_fitting", _FITTING, role=Role.PRIMARY, use=Use.PERMIT, name="Lower wing root fitting"),
        Offered(
            "forged_fitting",
            (
                _HOLE,
                claims("material", "4130 125 ksi"),
                measures("process", "die forged"),
                measures("cracks", "none by magnetic"),
                measures("corrosion", "none"),
            ),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        Source("AC 43.13-1B", "para 5-42: steel fittings are magnetic-particle candidates", "8 Sep 1998"),
    ),
    Example(
        "A cracked fitting",
        Wanted("forged_fitting", _FITTING, role=Role.PRIMARY, use=Use.PERMIT, name="Lower wing root fitting"),
        Offered(
            "forged_fitting",
            (_HOLE, measures("material", "4130 125 ksi", instrument="analysis"), measures("cracks", "cracked")),
            origin=Origin.SALVAGED,
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("cracked structure is not fitted"),
    ),
)

PART_CLASS = PartClass(
    key="forged_fitting",
    name="Fitting, forged or machined",
    family=FAMILY,
    names=(
        "forged fitting",
        "forging",
        "wing fitting",
        "strut fitting",
        "strut end",
        "attach fitting",
        "lug fitting",
        "hinge bracket",
        "fork end",
        "clevis fitting",
        "Beschlag",
        "Schmiedestück",
        "ferrure",
        "pièce forgée",
        "attacco",
        "kování",
        "okucie",
    ),
    characteristics=(
        material("Alloy and temper or heat treatment: 4130 at 125 ksi, 2014-T6, 1025, DTD or BS S number."),
        PROCESS,
        length("hole_diameter", "Hole diameter", plausible=SMALL_LENGTH, essential=True),
        length(
            "bolt_diameter",
            "Bolt diameter",
            plausible=SMALL_LENGTH,
            help_text="The bolt or pin that goes through.",
            of_place=True,
        ),
        length("hole_centres", "Hole centres"),
        length("lug_width", "Lug width", plausible=SMALL_LENGTH),
        length("lug_thickness", "Lug thickness", plausible=SMALL_LENGTH),
        length("fork_gap", "Fork gap", plausible=SMALL_LENGTH),
        length("length_over_all", "Length over all"),
        length("width_over_all", "Width over all"),
        length("height_over_all", "Height over all"),
        length("bore", "Bore"),
        Characteristic("holes", "Number of holes", Concern.FIT, Kind.COUNT, plausible=(Fraction(1), Fraction(100))),
        Characteristic(
            "grain_flow",
            "Grain flow",
            Concern.STRENGTH,
            help="Which way the metal was worked against the pull of the lugs.",
            choices=(
                Choice("along", "along the pull", ("longitudinal", "L", "längs")),
                Choice("across", "across the pull", ("transverse", "LT", "quer")),
                Choice("short", "through the thickness", ("short transverse", "ST")),
            ),
            effort=5,
            tell_with=("analysis",),
        ),
        HAND,
        MASS,
        CRACKS,
        INSPECTION,
        CORROSION,
        REPAIR,
        FINISH,
        marking("forging_number", "Forging number and stamps"),
        LOOK,
    ),
    checks=(
        condition_rows,
        machined_bar_rows,
        plated_steel_rows,
        hole_rows,
        mass_rows,
    ),
    covers=CONDITION_KEYS,
    draw=plate_drawing,
    examples=EXAMPLES,
    stands_in={
        "casting": KindChange(
            gained="Quick to have in a small number.",
            lost="Strength and toughness: a casting factor of 1.25 to 2 comes on top.",
            source=FACTOR_RULE,
            refused_for=frozenset({Role.PRIMARY, Role.CONTROL}),
        ),
        "sheet_part": KindChange(
            gained="Can be cut and bent in the shop from stock with papers.",
            lost="Thickness and grain flow of the forging; bends and welds are new weak places.",
            source=common_practice("plate in place of forged"),
            refused_for=frozenset({Role.PRIMARY, Role.CONTROL}),
        ),
    },
    help="Forged or machined from solid. Look for worn holes, and for cracks where the lugs begin.",
)
