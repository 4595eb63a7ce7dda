"""Aeroplane fabric and the tapes that go with it."""

from server.domain.fabric_strength import FABRIC_CHANGE, FABRIC_TABLE
from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    YES_NO,
    flame_test,
    length,
    listed,
    look,
    marking,
    one_of,
    size,
    standard_number,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._fabrics import strength_rows
from server.domain.parts._furnishings import burn_row
from server.domain.parts._kinds import allowed, number_rows, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("covering", "Covering fabric", "aircraft fabric", "Bespannstoff", "toile", "entoilage"),
    ("reinforcing tape", "Reinforcing tape", "rib tape", "Verstärkungsband", "bande de renfort"),
    ("finishing tape", "Finishing tape", "surface tape", "pinked tape", "Zackenband", "bande crantée"),
    ("bracing tape", "Inter-rib bracing tape", "Rippenband", "ruban d'entretoisement"),
    ("chafe tape", "Anti-chafe tape", "chafe patch", "Scheuerschutz"),
    ("canvas", "Canvas or duck", "Segeltuch", "toile à voile"),
    ("lining", "Lining or trim cloth", "headliner", "Himmelstoff", "ciel de pavillon"),
    ("carpet", "Carpet", "Teppich", "moquette"),
)
FIBRES = one_of(
    ("cotton", "Cotton", "grade A", "Baumwolle", "coton"),
    ("linen", "Linen", "Irish linen", "flax", "Leinen", "lin"),
    ("polyester", "Polyester", "Dacron", "Ceconite", "Terylene"),
    ("glass", "Glass cloth", "fibreglass", "Glasgewebe", "fibre de verre"),
    ("wool", "Wool", "Wolle", "laine"),
    ("silk", "Silk", "Seide", "soie"),
    ("nylon", "Nylon", "polyamide"),
    ("mixed", "Mixed"),
)
COVERING_DUTY = one_of(
    ("upper", "Wing loading 9 psf or more, or 160 mph or more", "grade A duty"),
    ("lower", "Below 9 psf and below 160 mph", "intermediate duty"),
    ("glider", "Glider, 8 psf or less and 135 mph or less", "sailplane"),
)

_MAJOR = "the approved covering system: another fabric is a major alteration with data of its own."
FIBRE_CHANGES = {
    ("cotton", "polyester"): allowed("strength and life.", _MAJOR, FABRIC_CHANGE),
    ("linen", "polyester"): allowed("strength and life.", _MAJOR, FABRIC_CHANGE),
    ("cotton", "linen"): allowed("strength.", _MAJOR, FABRIC_CHANGE),
    ("linen", "cotton"): allowed("it is to be had.", _MAJOR, FABRIC_CHANGE),
    ("cotton", "glass"): allowed("life.", _MAJOR, FABRIC_CHANGE),
    ("linen", "glass"): allowed("life.", _MAJOR, FABRIC_CHANGE),
    ("wool", "nylon"): allowed("wear.", "look and feel; it melts when it burns.", common_practice("trim cloth")),
    ("wool", "mixed"): allowed("price.", "look; how it burns.", common_practice("trim cloth")),
}
EXAMPLES = (
    Example(
        "Cotton on the wing that still tests 50 lbf/in, lower duty: above the least strength",
        Wanted(
            "fabric_tape",
            (wants("kind_of_fabric", "covering"), wants("fibre", "cotton"), wants("covering_duty", "lower")),
            role=Role.SECONDARY,
            use=Use.PERMIT,
        ),
        Offered(
            "fabric_tape",
            (
                measures("kind_of_fabric", "covering"),
                measures("fibre", "cotton"),
                measures("condition", "in service"),
                measures("strength_warp", of(Kind.LINE_FORCE, "50", "lbf/in"), expanded="0.3"),
                measures("strength_fill", of(Kind.LINE_FORCE, "50", "lbf/in"), expanded="0.3"),
            ),
        ),
        Outcome.LIKE_FOR_LIKE,
        FABRIC_TABLE,
    ),
    Example(
        "The same cloth on a faster aeroplane: below the least strength",
        Wanted(
            "fabric_tape",
            (wants("kind_of_fabric", "covering"), wants("fibre", "cotton"), wants("covering_duty", "upper")),
            role=Role.SECONDARY,
            use=Use.PERMIT,
        ),
        Offered(
            "fabric_tape",
            (
                measures("kind_of_fabric", "covering"),
                measures("fibre", "cotton"),
                measures("condition", "in service"),
                measures("strength_warp", of(Kind.LINE_FORCE, "50", "lbf/in"), expanded="0.3"),
                measures("strength_fill", of(Kind.LINE_FORCE, "50", "lbf/in"), expanded="0.3"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        FABRIC_TABLE,
    ),
)

PART_CLASS = PartClass(
    key="fabric_tape",
    name="Fabric or tape",
    family="Furnishing",
    names=listed(
        "fabric, aircraft fabric, covering fabric, linen, Irish linen, grade A cotton, cotton tape",
        "reinforcing tape, rib tape, finishing tape, surface tape, pinked tape, canvas, duck, upholstery cloth",
        "headliner, carpet, Bespannstoff, Bespannung, Leinen, Zackenband, Verstärkungsband, Segeltuch",
        "Polsterstoff, Himmel, Teppich, toile, entoilage, bande crantée, bande de renfort, toile à voile",
        "ciel de pavillon, moquette",
    ),
    characteristics=(
        word("kind_of_fabric", "Kind of fabric", KINDS, essential=True),
        standard_number(),
        word(
            "fibre",
            "Fibre",
            FIBRES,
            "Burn a thread: cotton and linen leave ash, polyester melts to a bead.",
            concern=Concern.STRENGTH,
            essential=True,
            effort=2,
            tell_with=("eye", "analysis"),
        ),
        word(
            "covering_duty",
            "Duty of the covering",
            COVERING_DUTY,
            "By wing loading and never-exceed speed of the aeroplane.",
            concern=Concern.STRENGTH,
            of_place=True,
        ),
        word(
            "condition",
            "Condition",
            one_of(("new", "New, undoped", "neu"), ("in service", "In service", "doped", "used")),
            "New cloth and cloth on the wing have different least strengths.",
        ),
        size(
            "strength_warp",
            "Strength along the warp",
            Kind.LINE_FORCE,
            ("0.5", "200"),
            "Of a strip pulled in a test.",
            concern=Concern.STRENGTH,
            effort=4,
        ),
        size(
            "strength_fill",
            "Strength across, the fill",
            Kind.LINE_FORCE,
            ("0.5", "200"),
            concern=Concern.STRENGTH,
            effort=4,
        ),
        size(
            "breaking_load",
            "Breaking load of a tape",
            Kind.FORCE,
            ("5", "20000"),
            "Of the whole width.",
            concern=Concern.STRENGTH,
            effort=4,
        ),
        size("threads_warp", "Threads per inch, warp", Kind.THREADS, ("5", "400")),
        size("threads_fill", "Threads per inch, fill", Kind.THREADS, ("5", "400")),
        size("mass_per_area", "Mass per area", Kind.AREA_MASS, ("20", "3000")),
        length("width", "Width", ("3", "4000"), "Of a tape or of the roll."),
        length("thickness", "Thickness", ("0.05", "30"), effort=2),
        word(
            "edge",
            "Edge",
            one_of(
                ("selvedge", "Selvedge", "Webkante"),
                ("pinked", "Pinked", "gezackt", "cranté"),
                ("straight", "Cut straight"),
                ("frayed", "Frayed"),
            ),
            concern=Concern.FIT,
        ),
        word(
            "weave", "Weave", hint="Plain, twill, herringbone, ribbed, pile.", concern=Concern.APPEARANCE, judged=True
        ),
        word("colour", "Colour", concern=Concern.APPEARANCE, judged=True),
        word("preshrunk", "Shrinks on the frame", YES_NO, "By dope or by heat: it decides how it is put on."),
        flame_test(),
        marking(),
        look(),
    ),
    checks=(
        word_changes("fibre", FIBRE_CHANGES),
        strength_rows,
        at_least("breaking_load"),
        burn_row,
        number_rows("standard_number"),
    ),
    covers=frozenset(
        {"strength_warp", "strength_fill", "covering_duty", "fibre", "breaking_load", "flame_test", "standard_number"}
    ),
    stands_in={
        "leathercloth": allowed("wear and wiping clean.", "the look and the give of cloth.", common_practice("trim")),
        "webbing_belt": allowed("strength.", "thickness and edge.", common_practice("tapes")),
    },
    cautions=(
        "Doped fabric burns fast; nitrate dope dust may burn by itself. Old cloth may carry poisonous treatment.",
        "Covering an aeroplane that flies with another fabric needs approved data: a licensed person decides.",
    ),
    draw=boxes("Tape, cut across", "width", "thickness"),
    examples=EXAMPLES,
    chapter="51",
    help="Covering cloth, tapes over it, canvas, lining cloth and carpet.",
)
