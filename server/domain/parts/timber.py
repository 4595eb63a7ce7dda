"""Timber and plywood: spars, longerons, ribs, bulkheads, skins."""

from fractions import Fraction

from server.domain.hazards import hazard_rows
from server.domain.parts._condition import repair_rows
from server.domain.parts._kit import Characteristic, Choice, PartClass
from server.domain.parts._metal_rows import mass_rows
from server.domain.parts._structure import FAMILY, FINISH, LOOK, MASS, REPAIR, length, marking, material
from server.domain.parts._structure_drawing import timber_drawing
from server.domain.parts._timber_rows import TIMBER_KEYS, timber_rows
from server.domain.quantities import Kind
from server.domain.verdict import Concern

BUILD = Characteristic(
    "build",
    "Build",
    Concern.STRENGTH,
    choices=(
        Choice("solid", "solid", ("plank", "one piece", "massiv", "massif")),
        Choice("laminated", "laminated, grain all one way", ("laminated", "lamelliert", "lamellé")),
        Choice("plywood", "plywood", ("ply", "Sperrholz", "contreplaqué", "compensato", "překližka", "sklejka")),
    ),
    essential=True,
)
FACE_GRAIN = Characteristic(
    "face_grain",
    "Face grain",
    Concern.STRENGTH,
    help="How the outer ply runs against the length of the part.",
    choices=(
        Choice("lengthwise", "lengthwise", ("0°", "along", "längs")),
        Choice("crosswise", "crosswise", ("90°", "across", "quer")),
        Choice("diagonal", "at 45°", ("45°", "diagonal", "bias")),
    ),
)
DEFECTS = Characteristic(
    "defects",
    "Defects",
    Concern.STRENGTH,
    help="Look along the grain with a low light; a compression failure is a fine line across it.",
    choices=(
        Choice("none", "none found", ("none", "clear")),
        Choice("pin knots", "sound pin knots", ("pin knots", "small knots")),
        Choice("knots", "knots, spike knots or clusters", ("knot", "spike knot")),
        Choice("pitch pocket", "pitch pocket or mineral streak", ("pitch", "resin pocket")),
        Choice("checks", "checks, shakes or splits", ("check", "shake", "split", "crack")),
        Choice("compression", "compression wood or compression failure", ("compression failure", "crushed")),
        Choice("decay", "decay, stain or worm", ("rot", "decay", "stain", "worm")),
        Choice("not looked", "not looked for", ("unknown",)),
    ),
)
GLUE = Characteristic(
    "glue",
    "Glue",
    Concern.STRENGTH,
    choices=(
        Choice("casein", "casein", ("cold casein", "Kasein", "caséine")),
        Choice("urea", "urea formaldehyde", ("UF", "beetle", "Kaurit", "Aerolite")),
        Choice("resorcinol", "resorcinol or phenolic", ("RF", "resorcinol", "phenolic", "Resorcin")),
        Choice("epoxy", "epoxy", ("epoxy resin", "Epoxid", "époxy")),
        Choice("hide", "hide or animal glue", ("hide glue", "Hautleim")),
        Choice("other", "another glue", ("PVA", "white glue")),
        Choice("not known", "not known", ("unknown",)),
    ),
    effort=4,
)

PART_CLASS = PartClass(
    key="timber",
    name="Timber or plywood",
    family=FAMILY,
    names=(
        "timber",
        "wood",
        "spar stock",
        "spruce",
        "plank",
        "longeron, wooden",
        "plywood",
        "aircraft plywood",
        "birch ply",
        "Holz",
        "Sperrholz",
        "Kiefer",
        "bois",
        "contreplaqué",
        "legno",
        "compensato",
        "dřevo",
        "překližka",
        "drewno",
        "sklejka",
    ),
    characteristics=(
        material("Species: Sitka spruce, Douglas fir, ash, birch ply to its specification number."),
        BUILD,
        length("thickness", "Thickness", plausible=(Fraction(2, 5), Fraction(200)), essential=True),
        length("width", "Width"),
        length("length_over_all", "Length over all"),
        Characteristic("plies", "Number of plies", Concern.STRENGTH, Kind.COUNT, plausible=(Fraction(2), Fraction(40))),
        FACE_GRAIN,
        Characteristic(
            "grain_slope",
            "Slope of grain, 1 in …",
            Concern.STRENGTH,
            Kind.COUNT,
            help="How many units along for one across: 15 for 1 in 15.",
            plausible=(Fraction(3), Fraction(100)),
            effort=2,
        ),
        Characteristic(
            "rings",
            "Annual rings per inch",
            Concern.STRENGTH,
            Kind.COUNT,
            plausible=(Fraction(3), Fraction(60)),
            effort=2,
        ),
        Characteristic(
            "moisture",
            "Moisture",
            Concern.STRENGTH,
            Kind.SHARE,
            plausible=(Fraction(4), Fraction(40)),
            effort=2,
        ),
        DEFECTS,
        GLUE,
        MASS,
        REPAIR,
        FINISH,
        marking("stamp", "Specification stamp"),
        LOOK,
    ),
    checks=(timber_rows, repair_rows, mass_rows, hazard_rows),
    covers=TIMBER_KEYS | {"repair"},
    draw=timber_drawing,
)
