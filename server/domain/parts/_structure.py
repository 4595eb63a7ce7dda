"""Characteristics that structural parts share: material, hand, condition, marks and look."""

from fractions import Fraction

from server.domain.parts._characteristics import METAL_FINISH
from server.domain.parts._kit import Characteristic, Choice
from server.domain.quantities import Kind
from server.domain.verdict import Concern

FAMILY = "Structure"

ANY_LENGTH = (Fraction(1, 10), Fraction(10000))
SMALL_LENGTH = (Fraction(1, 10), Fraction(150))
WALL = (Fraction(1, 5), Fraction(30))


def material(help_text: str = "") -> Characteristic:
    """The material, alloy and temper; resolved by the handbook."""
    return Characteristic(
        "material",
        "Material",
        Concern.STRENGTH,
        help=help_text or "Alloy and temper as stamped or drawn: 24S-T, 2017-T4, A-U4G, 4130 N, Sitka spruce.",
        is_material=True,
        essential=True,
        effort=4,
        tell_with=("analysis", "conductivity", "hardness"),
    )


def length(
    key: str,
    label: str,
    *,
    plausible: tuple[Fraction, Fraction] = ANY_LENGTH,
    essential: bool = False,
    help_text: str = "",
    of_place: bool = False,
) -> Characteristic:
    """One length that has to fit; general tolerances where the drawing gives none."""
    return Characteristic(
        key,
        label,
        Concern.FIT,
        Kind.LENGTH,
        help=help_text,
        plausible=plausible,
        essential=essential,
        general_tolerance=True,
        of_place=of_place,
    )


HAND = Characteristic(
    "hand",
    "Hand",
    Concern.FIT,
    help="Which side of the aeroplane it is made for, looking forward.",
    choices=(
        Choice("left", "left-hand", ("left", "port", "LH", "links", "gauche", "sinistra", "levý", "lewy")),
        Choice("right", "right-hand", ("right", "starboard", "RH", "rechts", "droite", "destra", "pravý", "prawy")),
        Choice("either", "fits either side", ("symmetrical", "both", "unhanded", "beidseitig", "symétrique")),
    ),
)

CRACKS = Characteristic(
    "cracks",
    "Cracks",
    Concern.STRENGTH,
    help="What was looked for and what was found. Not looked is an answer.",
    choices=(
        Choice("none by penetrant", "none found by dye penetrant", ("penetrant clear", "no cracks, dye penetrant")),
        Choice("none by magnetic", "none found by magnetic particle", ("magnaflux clear", "no cracks, magnetic")),
        Choice("none by radiograph", "none found by radiograph", ("X-ray clear", "no cracks, X-ray")),
        Choice("none seen", "none seen by eye", ("none seen", "no cracks seen", "no cracks")),
        Choice("cracked", "cracked", ("crack", "crack found", "gerissen", "fissuré")),
        Choice("not looked", "not looked for", ("not looked", "not inspected", "unknown")),
    ),
    effort=4,
    tell_with=("penetrant",),
)

INSPECTION = Characteristic(
    "inspection",
    "Inspected how",
    Concern.STRENGTH,
    help="Methods used on this very piece, and by whom.",
    choices=(
        Choice("none", "not inspected", ("no", "nothing")),
        Choice("visual", "by eye, with lens and light", ("visual", "by eye")),
        Choice("visual and penetrant", "by eye and dye penetrant", ("penetrant", "dye penetrant")),
        Choice("visual and magnetic", "by eye and magnetic particle", ("magnetic particle", "magnaflux")),
        Choice("full", "by eye, radiograph, and penetrant or magnetic particle", ("radiograph", "X-ray")),
    ),
    effort=4,
    tell_with=("penetrant",),
)

CORROSION = Characteristic(
    "corrosion",
    "Corrosion",
    Concern.STRENGTH,
    help="With the paint off where it bubbles; inside, if hollow.",
    choices=(
        Choice("none", "none found with the finish off", ("none", "clean")),
        Choice("none seen", "none seen, finish still on", ("none seen",)),
        Choice("surface", "on the surface only, cleaned", ("surface", "light", "film")),
        Choice("pitted", "pitted", ("pits", "pitting", "Lochfraß", "piqué")),
        Choice("heavy", "swollen, layered or through", ("heavy", "exfoliated", "swollen", "through")),
        Choice("not looked", "not looked for", ("not looked", "unknown")),
    ),
    effort=2,
)

REPAIR = Characteristic(
    "repair",
    "Earlier repair",
    Concern.STRENGTH,
    help="Welds, bushes, plugs, straightening, filed lugs.",
    choices=(
        Choice("none", "none", ("no", "unrepaired")),
        Choice("bushed", "bushed hole", ("bush", "sleeved", "ausgebuchst", "bagué")),
        Choice("welded", "welded or brazed", ("weld", "welded", "brazed", "geschweißt", "soudé")),
        Choice("straightened", "bent back or straightened", ("straightened", "bent back")),
        Choice("patched", "patched or plugged", ("patch", "plugged", "scarfed")),
        Choice("not looked", "not known", ("unknown", "not looked")),
    ),
)

MASS = Characteristic(
    "mass",
    "Mass",
    Concern.FUNCTION,
    Kind.MASS,
    plausible=(Fraction(1, 10), Fraction(200000)),
)
FINISH = Characteristic(
    "finish",
    "Surface finish",
    Concern.FUNCTION,
    help="Plating, anodising, primer, paint or bare: it decides what touches what.",
    choices=(
        *METAL_FINISH,
        Choice("hard anodised", "Hard anodised", ("hard anodized", "harteloxiert", "anodisation dure")),
        Choice("primed", "Primed", ("primer", "grundiert", "apprêté")),
        Choice("varnished", "Varnished", ("varnish", "doped", "Klarlack", "verni")),
    ),
)
LOOK = Characteristic("look", "Look once fitted", Concern.APPEARANCE, judged=True)


def marking(key: str, label: str, help_text: str = "") -> Characteristic:
    """Marks that tell what a piece is; a person compares them."""
    return Characteristic(key, label, Concern.APPEARANCE, help=help_text, judged=True)
