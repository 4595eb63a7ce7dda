"""Timber and plywood: spars, longerons, ribs, bulkheads, skins."""

from fractions import Fraction

from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import repair_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
from server.domain.parts._metal_rows import mass_rows
from server.domain.parts._structure import FAMILY, FINISH, LOOK, MASS, REPAIR, length, marking, material
from server.domain.parts._structure_drawing import timber_drawing
from server.domain.parts._timber_rows import TIMBER_KEYS, timber_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

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

_SPAR = (
    wants("material", "Sitka spruce"),
    wants("build", "solid"),
    wants("thickness", size(Kind.LENGTH, "19")),
    wants("width", size(Kind.LENGTH, "120")),
)
_PANEL = (
    wants("material", "birch plywood"),
    wants("build", "plywood"),
    wants("thickness", size(Kind.LENGTH, "2")),
    wants("plies", size(Kind.COUNT, "3")),
)
EXAMPLES = (
    Example(
        "Douglas fir for Sitka spruce, straight and clear",
        Wanted("timber", _SPAR, role=Role.SECONDARY, use=Use.PERMIT, name="False spar"),
        Offered(
            "timber",
            (
                claims("material", "Douglas fir"),
                measures("build", "solid"),
                measures("thickness", size(Kind.LENGTH, "19.1"), instrument="calliper"),
                measures("width", size(Kind.LENGTH, "120.1"), instrument="calliper"),
                measures("grain_slope", size(Kind.COUNT, "18")),
                measures("defects", "none"),
            ),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        Source("AC 43.13-1B", "Table 1-1", "8 Sep 1998"),
    ),
    Example(
        "Birch plywood of the right thickness and too many plies",
        Wanted("timber", _PANEL, role=Role.SECONDARY, use=Use.PERMIT, name="Web panel"),
        Offered(
            "timber",
            (
                measures("material", "birch plywood"),
                measures("build", "plywood"),
                measures("thickness", size(Kind.LENGTH, "2"), instrument="micrometer"),
                measures("plies", size(Kind.COUNT, "5")),
                measures("defects", "none"),
            ),
            origin=Origin.INDUSTRIAL,
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("three plies are three plies: the grain of the web carries the load"),
    ),
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
    checks=(timber_rows, repair_rows, mass_rows),
    covers=TIMBER_KEYS | {"repair"},
    draw=timber_drawing,
    examples=EXAMPLES,
    help="Species first, then grain. Name plywood by plies, thickness and the run of the face grain.",
)
