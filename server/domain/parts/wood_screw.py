"""Wood screws and sheet-metal screws: those that cut their own thread."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import finish, length, listed, look, material, one_of, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("wood", "Wood screw", "Holzschraube", "vis à bois"),
    ("sheet metal", "Sheet-metal screw", "self-tapping", "Blechschraube", "vis à tôle", "PK"),
    ("coach", "Coach screw", "lag screw", "Schlüsselschraube", "tire-fond"),
    ("drive", "Drive screw", "hammer drive", "Schlagschraube"),
)
HEADS = one_of(
    ("countersunk", "Countersunk", "flat head", "csk", "Senkkopf", "tête fraisée"),
    ("raised countersunk", "Raised countersunk", "oval head", "Linsensenkkopf", "tête fraisée bombée"),
    ("round", "Round", "Halbrundkopf", "tête ronde"),
    ("pan", "Pan", "Linsenkopf"),
    ("hexagon", "Hexagon", "Sechskant"),
    ("square", "Square", "Vierkant"),
)
DRIVES = one_of(
    ("slot", "Slot", "slotted", "Schlitz", "fente"),
    ("cross", "Cross recess", "Phillips", "Pozidriv", "Kreuzschlitz", "cruciforme"),
    ("spanner", "Spanner on the head", "hex"),
)

_TRADE = common_practice("screws in wood and thin sheet")
CHANGES = {
    ("wood", "sheet metal"): refused_flying(
        "a stronger thread.", "the plain shank: it splits wood and binds the top piece.", _TRADE, LOADED
    ),
    ("sheet metal", "wood"): refused("hold: a wood screw's taper strips thin sheet.", _TRADE),
    ("coach", "wood"): refused_flying("a smaller head.", "strength.", _TRADE, LOADED),
    ("drive", "wood"): allowed("it can be taken out.", "the look.", _TRADE),
}
EXAMPLES = (
    Example(
        "A cross-head steel wood screw for a slotted brass one, same gauge",
        Wanted(
            "wood_screw",
            (
                wants("kind_of_screw", "wood"),
                wants("shank_diameter", of(Kind.LENGTH, low="4.0", high="4.3")),
                wants("length_under_head", of(Kind.LENGTH, low="24.5", high="26.0")),
                wants("drive", "slot"),
            ),
            role=Role.FURNISHING,
        ),
        Offered(
            "wood_screw",
            (
                measures("kind_of_screw", "wood"),
                measures("shank_diameter", of(Kind.LENGTH, "4.16"), instrument="calliper"),
                measures("length_under_head", of(Kind.LENGTH, "25.4"), instrument="calliper"),
                measures("drive", "cross"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("the drive is seen and judged by a person"),
    ),
)

PART_CLASS = PartClass(
    key="wood_screw",
    name="Wood or self-tapping screw",
    family="Fasteners",
    names=listed(
        "wood screw, woodscrew, self-tapping screw, sheet metal screw, PK screw, coach screw, drive screw",
        "Holzschraube, Blechschraube, Schlagschraube, vis à bois, vis à tôle, vis autotaraudeuse",
    ),
    characteristics=(
        word("kind_of_screw", "Kind of screw", KINDS, essential=True),
        standard_number(),
        word(
            "gauge_number",
            "Gauge number",
            hint="The number of a wood screw, for example No. 8. British and American numbers mean the same shank.",
            concern=Concern.FIT,
        ),
        length("shank_diameter", "Shank diameter", ("0.8", "20"), "The plain part under the head.", essential=True),
        length(
            "length_under_head",
            "Length that enters",
            ("2", "200"),
            "What goes into the wood: for a countersunk head from its face.",
            essential=True,
            general=True,
        ),
        length("thread_diameter", "Thread diameter", ("0.8", "20")),
        length("head_diameter", "Head diameter", ("1.5", "40")),
        word("head", "Head", HEADS, concern=Concern.FIT),
        word("drive", "Drive", DRIVES, concern=Concern.APPEARANCE, judged=True),
        material(hint="Brass, steel, bronze; steel rusts in damp wood and brass shears when driven dry."),
        finish(),
        look(),
    ),
    checks=(word_changes("kind_of_screw", CHANGES), number_rows("standard_number")),
    covers=frozenset({"kind_of_screw", "standard_number"}),
    stands_in={
        "bolt": allowed("a nut and a known strength.", "it needs a hole right through and room for the nut.", _TRADE),
    },
    cautions=("Old varnish and wood dust: extract, wear a mask. In structure of wood a licensed person decides.",),
    draw=boxes("Shank, from the side", "length_under_head", "shank_diameter"),
    examples=EXAMPLES,
    chapter="14",
    help="Screws without a nut, that form their thread in wood or thin sheet.",
)
