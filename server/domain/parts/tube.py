"""Round tube: fuselage tube, struts, axles, torque tubes."""

from fractions import Fraction

from server.domain.general_tolerances import stock_limits
from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
from server.domain.parts._metal_rows import mass_rows, plated_steel_rows, thickness_rows
from server.domain.parts._strength_rows import tube_rows
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
from server.domain.parts._structure_drawing import tube_drawing
from server.domain.parts._tube_rows import TUBE_KEYS, tube_state_rows
from server.domain.quantities import Kind
from server.domain.sources import Source
from server.domain.specification import Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

SEAM = Characteristic(
    "seam",
    "Seam",
    Concern.STRENGTH,
    help="A seam shows inside as a bright line or a ridge.",
    choices=(
        Choice("seamless", "seamless", ("drawn seamless", "nahtlos", "sans soudure", "bezešvá", "bez szwu")),
        Choice("welded", "welded and drawn", ("DOM", "welded", "geschweißt", "soudé")),
        Choice("brazed", "brazed or lap seam", ("brazed", "lock seam", "gelötet")),
        Choice("not known", "not known", ("unknown",)),
    ),
    effort=2,
)
LOAD = Characteristic(
    "load",
    "What it has to carry",
    Concern.STRENGTH,
    help="A long strut fails by bowing out: then stiffness counts, not strength.",
    choices=(
        Choice("compression", "push: strut, longeron", ("strut", "column", "Druck")),
        Choice("tension", "pull", ("tension", "tie", "Zug")),
        Choice("bending", "bending", ("bending", "axle", "Biegung", "flexion")),
        Choice("torsion", "twist", ("torque tube", "torsion")),
        Choice("none", "next to nothing", ("conduit", "spacer", "not structural")),
        Choice("not known", "not known", ("unknown",)),
    ),
    of_place=True,
)
INSIDE = Characteristic(
    "inside",
    "Inside of the tube",
    Concern.STRENGTH,
    help="Rust inside eats the wall where nobody sees it. Tap, look in with a light, gauge the wall.",
    choices=(
        Choice("clean", "seen clean, oiled", ("clean", "oiled")),
        Choice("rust film", "light rust, wall gauged", ("rust film",)),
        Choice("rusted", "rusted or pitted", ("rust", "pitted", "rostig", "rouillé")),
        Choice("not looked", "not looked into", ("not looked", "unknown")),
    ),
    effort=3,
)


def _strut(material_name: str, wall: str) -> tuple[Requirement, ...]:
    return (
        wants("material", material_name),
        wants("outside_diameter", size(Kind.LENGTH, "1", "in")),
        wants("wall", size(Kind.LENGTH, wall, "in")),
        wants("load", "compression"),
    )


_OUTSIDE = measures("outside_diameter", size(Kind.LENGTH, "25.41"), instrument="micrometer")
EXAMPLES = (
    Example(
        "A thinner wall of stronger steel, as a strut",
        Wanted("tube", _strut("1025 N", "0.049"), role=Role.PRIMARY, use=Use.PERMIT, name="Fuselage upright"),
        Offered(
            "tube",
            (
                _OUTSIDE,
                measures("wall", size(Kind.LENGTH, "0.89"), instrument="micrometer"),
                claims("material", "4130 N"),
            ),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("MIL-HDBK-5J", "Tables 2.2.1.0(b) and 2.3.1.0(c1): one modulus for both steels", "31 Jan 2003"),
    ),
    Example(
        "4130 N in the same size for 1025",
        Wanted("tube", _strut("1025 N", "0.049"), role=Role.SECONDARY, use=Use.PERMIT, name="Fuselage upright"),
        Offered(
            "tube",
            (
                _OUTSIDE,
                measures("wall", size(Kind.LENGTH, "1.25"), instrument="micrometer"),
                claims("material", "4130 N"),
            ),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        Source("MIL-HDBK-5J", "Tables 2.2.1.0(b) and 2.3.1.0(c1), digitised copy", "31 Jan 2003"),
    ),
)

PART_CLASS = PartClass(
    key="tube",
    name="Tube, round",
    family=FAMILY,
    names=(
        "tube",
        "tubing",
        "round tube",
        "chrome-moly tube",
        "steel tube",
        "fuselage tube",
        "longeron tube",
        "torque tube",
        "axle tube",
        "Rohr",
        "Stahlrohr",
        "tube acier",
        "tubo",
        "trubka",
        "rura",
    ),
    characteristics=(
        material("Alloy and state: 1025, 4130 N, X4130, T45, 2024-T3, 61S-T6."),
        length("outside_diameter", "Outside diameter", plausible=SMALL_LENGTH, essential=True),
        Characteristic(
            "wall",
            "Wall thickness",
            Concern.STRENGTH,
            Kind.LENGTH,
            help="Gauge numbers as written: 20 SWG, 0.035, 1 mm.",
            plausible=(Fraction(1, 5), Fraction(20)),
            essential=True,
            standard_limits=stock_limits,
        ),
        length("bore", "Bore", plausible=SMALL_LENGTH),
        length("length_over_all", "Length over all"),
        SEAM,
        LOAD,
        length("hole_diameter", "Hole diameter", plausible=SMALL_LENGTH),
        length("hole_centres", "Hole centres"),
        Characteristic(
            "bow",
            "Bow over its length",
            Concern.STRENGTH,
            Kind.LENGTH,
            help="Greatest distance from a straight edge.",
            plausible=(Fraction(0), Fraction(100)),
        ),
        Characteristic(
            "dents",
            "Dents",
            Concern.STRENGTH,
            choices=(
                Choice("none", "none", ("no", "none seen")),
                Choice("slight", "slight, smooth", ("slight", "shallow")),
                Choice("sharp", "sharp, creased or at a joint", ("creased", "kinked", "flattened")),
                Choice("not looked", "not looked for", ("unknown",)),
            ),
        ),
        MASS,
        CRACKS,
        INSIDE,
        CORROSION,
        REPAIR,
        FINISH,
        marking("stamp", "Mill stamp", "Printing or stamps along the tube."),
        LOOK,
    ),
    checks=(
        thickness_rows("wall"),
        tube_rows,
        tube_state_rows,
        condition_rows,
        plated_steel_rows,
        mass_rows,
    ),
    covers=CONDITION_KEYS | TUBE_KEYS | {"load", "wall"},
    draw=tube_drawing,
    examples=EXAMPLES,
    help="Round tube. A long strut fails by bowing out, so diameter and wall count for more than the steel.",
)
