"""Hinges, in lengths or single."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import finish, length, listed, look, material, one_of, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows, refused_flying
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("piano", "Continuous or piano", "continuous", "Stangenscharnier", "Klavierband", "charnière piano"),
    ("butt", "Butt", "Scharnierband"),
    ("strap", "Strap or tee", "tee hinge", "Bandscharnier"),
    ("lift-off", "Lift-off", "aushängbar"),
    ("offset", "Offset or concealed", "concealed"),
    ("bracket", "Bracket hinge of a control surface", "surface hinge"),
)

_TRADE = common_practice("how hinges are used")
EXAMPLES = (
    Example(
        "A hinge of the right look with a pin half as thick",
        Wanted(
            "hinge",
            (
                wants("kind_of_hinge", "piano"),
                wants("length_over_all", of(Kind.LENGTH, low="299", high="301")),
                wants("open_width", of(Kind.LENGTH, low="31", high="33")),
                wants("leaf_thickness", of(Kind.LENGTH, low="0.95", high="1.05")),
                wants("pin_diameter", of(Kind.LENGTH, low="2.2", high="2.5")),
            ),
            use=Use.PERMIT,
        ),
        Offered(
            "hinge",
            (
                measures("kind_of_hinge", "piano"),
                measures("length_over_all", of(Kind.LENGTH, "300"), instrument="rule"),
                measures("open_width", of(Kind.LENGTH, "32"), instrument="calliper"),
                measures("leaf_thickness", of(Kind.LENGTH, "1.0"), instrument="micrometer"),
                measures("pin_diameter", of(Kind.LENGTH, "1.6"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("measured outside its limits"),
    ),
)

PART_CLASS = PartClass(
    key="hinge",
    name="Hinge",
    family="Mechanical",
    names=listed(
        "hinge, piano hinge, continuous hinge, butt hinge, cowl hinge, door hinge, Scharnier, Klavierband",
        "Stangenscharnier, charnière, charnière piano",
    ),
    characteristics=(
        word("kind_of_hinge", "Kind of hinge", KINDS, essential=True),
        standard_number(),
        length("length_over_all", "Length along the pin", ("5", "4000"), general=True, essential=True),
        length("open_width", "Width opened flat", ("5", "400"), general=True, essential=True),
        length("leaf_thickness", "Leaf thickness", ("0.2", "12"), essential=True),
        length("pin_diameter", "Pin diameter", ("0.5", "20"), essential=True),
        length("knuckle_length", "Knuckle length", ("2", "200"), "Of one knuckle, along the pin."),
        length("knuckle_diameter", "Knuckle diameter", ("1.5", "50")),
        length("hole_pitch", "Hole pitch", ("5", "400"), "Between rivet or screw holes along the leaf."),
        length("hole_diameter", "Hole diameter", ("1", "15")),
        word("pin_locking", "How the pin is kept", hint="Bent over, peened, wired, screwed.", concern=Concern.FUNCTION),
        word(
            "made_by",
            "How it is made",
            one_of(
                ("rolled", "Rolled from sheet", "gerollt"),
                ("extruded", "Extruded", "stranggepresst"),
                ("cast", "Cast", "gegossen"),
                ("machined", "Machined", "gefräst"),
            ),
            concern=Concern.STRENGTH,
        ),
        material("Material of the leaves", essential=True),
        word(
            "pin_material",
            "Material of the pin",
            hint="Steel, stainless steel, brass, aluminium.",
            concern=Concern.STRENGTH,
            effort=3,
            tell_with=("magnet", "analysis"),
        ),
        finish(),
        look(),
    ),
    checks=(number_rows("standard_number"),),
    covers=frozenset({"standard_number"}),
    stands_in={
        "fabric_tape": refused_flying("it is light.", "strength and a known line of turning.", _TRADE),
        "webbing_belt": refused_flying("it is to be had.", "strength and a known line of turning.", _TRADE),
    },
    cautions=("A hinge pin that walks out frees a door, a cowl or a surface: lock it as the drawing asks.",),
    draw=boxes("Hinge, opened flat", "length_over_all", "open_width"),
    examples=EXAMPLES,
    chapter="52",
    help="Hinges of doors, cowls, lids and small surfaces, with their pin.",
)
