"""Bolts, screws and studs with a machine thread."""

from server.domain.offer import Offered
from server.domain.parts._bolts import COVERED, bolt_rows
from server.domain.parts._characteristics import (
    finish,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    thread,
    word,
)
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._fits import fit_rows
from server.domain.parts._kinds import number_rows, refused
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._section_drawings import bolt_drawing
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Joint, Ply, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

HEADS = one_of(
    ("hexagon", "Hexagon", "hex", "Sechskant", "six pans", "hexagonale"),
    ("square", "Square", "Vierkant", "carrée"),
    ("countersunk", "Countersunk", "flush", "csk", "flat head", "Senkkopf", "tête fraisée"),
    ("raised countersunk", "Raised countersunk", "oval head", "Linsensenkkopf", "tête fraisée bombée"),
    ("cheese", "Cheese", "fillister", "Zylinderkopf", "tête cylindrique"),
    ("round", "Round or button", "button head", "snap", "Halbrundkopf", "tête ronde"),
    ("pan", "Pan", "binding head", "Linsenkopf"),
    ("mushroom", "Mushroom or truss", "truss", "brazier", "Flachrundkopf"),
    ("socket", "Socket cap", "Allen", "Innensechskant"),
    ("thin hexagon", "Thin hexagon", "shear head", "half height"),
    ("eye", "Eye", "Auge", "œil"),
    ("fork", "Fork or clevis", "clevis", "Gabel", "chape"),
    ("wing", "Wing or thumb", "thumb screw", "Flügel", "papillon"),
    ("none", "No head (stud)", "stud", "headless", "grub", "Gewindestift"),
)
DRIVES = one_of(
    ("spanner", "Spanner on the head", "wrench", "hex"),
    ("slot", "Slot", "slotted", "Schlitz", "fente"),
    ("cross", "Cross recess", "Phillips", "Reed and Prince", "Kreuzschlitz", "cruciforme"),
    ("hexagon socket", "Hexagon socket", "Allen", "Inbus", "six pans creux"),
    ("holes", "Two holes or pin face", "pin spanner"),
    ("none", "None"),
)
DRILLED = one_of(
    ("none", "Not drilled", "undrilled", "A", "ungebohrt"),
    ("shank", "Shank drilled for a split pin", "cotter hole", "drilled shank", "Splintloch"),
    ("head", "Head drilled for locking wire", "wired head", "H", "drilled head"),
    ("both", "Shank and head drilled", "HA"),
)
THREAD_MAKING = one_of(
    ("rolled", "Rolled", "gerollt", "roulé"),
    ("cut", "Cut or ground", "geschnitten", "taillé"),
)

_TRADE = common_practice("what fasteners are used for")
_STACK = Joint(
    plies=(
        Ply("lug", "steel", of(Kind.LENGTH, "0.40", "in")),
        Ply("fitting", "steel", of(Kind.LENGTH, "0.40", "in")),
    )
)
_AN4 = Wanted(
    "bolt",
    (
        wants("standard_number", "AN4-12A"),
        wants("shank_diameter", of(Kind.LENGTH, low="0.246", high="0.249", unit="in")),
    ),
    joint=_STACK,
    role=Role.SECONDARY,
    use=Use.PERMIT,
    name="Bolt through lug and fitting",
)
EXAMPLES = (
    Example(
        "A metric bolt of class 8.8 for an AN4 bolt: other thread, weaker, loose in the hole",
        _AN4,
        Offered(
            "bolt",
            (
                measures("thread", "M6", instrument="pitch_gauge"),
                measures("shank_diameter", of(Kind.LENGTH, "5.97"), instrument="micrometer"),
                measures("grip", of(Kind.LENGTH, "20"), instrument="calliper"),
                measures("length_under_head", of(Kind.LENGTH, "35"), instrument="calliper"),
                claims("strength_class", "8.8"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("threads and strengths computed from ISO 898-1 and MIL-HDBK-5", standing=Standing.QUOTED),
    ),
    Example(
        "The right AN number on the packet only: nothing is proven before it is gauged and measured",
        _AN4,
        Offered("bolt", (claims("standard_number", "AN4-12A"),)),
        Outcome.NOT_PROVEN,
        common_practice("a claim is no measurement"),
    ),
    Example(
        "The same AN bolt, gauged and measured, its number read off the sealed packet",
        _AN4,
        Offered(
            "bolt",
            (
                measures("standard_number", "AN4-12A"),
                measures("thread", "1/4-28 UNF", instrument="thread_gauge"),
                measures("shank_diameter", of(Kind.LENGTH, "6.287"), instrument="micrometer"),
                measures("grip", of(Kind.LENGTH, "20.64"), instrument="calliper"),
                measures("length_under_head", of(Kind.LENGTH, "32.7"), instrument="calliper"),
                measures("strength_class", "AN steel", instrument="hardness"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("like for like, with strength figures that are quoted and so to be answered for"),
    ),
)

PART_CLASS = PartClass(
    key="bolt",
    name="Bolt or screw",
    family="Fasteners",
    names=listed(
        "bolt, screw, machine screw, set screw, stud, eye bolt, eyebolt, clevis bolt, close-tolerance bolt",
        "fitted bolt, wing bolt, hex bolt, cap screw, AN bolt, AGS bolt, Schraube, Sechskantschraube",
        "Passschraube, Passbolzen, Stiftschraube, Stehbolzen, Augenschraube, Ringschraube, boulon, vis",
        "boulon ajusté, goujon, piton",
    ),
    characteristics=(
        thread(),
        standard_number(),
        word("head", "Head", HEADS, "The form of the head, or none for a stud.", concern=Concern.FIT),
        word(
            "drive",
            "Drive",
            DRIVES,
            "How it is turned. A cross recess on a 1930s aeroplane is seen at once.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        length(
            "shank_diameter",
            "Shank diameter",
            ("0.8", "60"),
            "The plain part that sits in the hole, after plating. A 3/16 in bolt of the AN series is 0.190 in.",
            essential=True,
            by_fit=True,
        ),
        length(
            "grip",
            "Grip",
            ("0.3", "400"),
            "The plain part under the head, without thread. For a countersunk head from the face.",
            essential=True,
        ),
        length("length_under_head", "Length under head", ("1", "500"), general=True),
        length(
            "length_over_all",
            "Length over all",
            ("1", "600"),
            "With the head; for studs and countersunk heads.",
            general=True,
        ),
        length("thread_length", "Length of thread", ("1", "400")),
        length("across_flats", "Width across flats", ("2", "90"), "Of the head, between two flats."),
        length("head_diameter", "Head diameter", ("1", "90")),
        length("head_height", "Head height", ("0.3", "60")),
        word(
            "fit",
            "Fit",
            hint="As drawn: hole and shaft of ISO 286, for example 8 H7/h6.",
            concern=Concern.FIT,
            of_place=True,
        ),
        length(
            "mating_hole",
            "Hole it goes in",
            ("0.8", "60"),
            "Of the place, not of the bolt: as measured or as it will be reamed, with its doubt.",
            of_place=True,
        ),
        length(
            "clearance",
            "Clearance in the hole",
            ("-0.2", "2"),
            "Hole less shank, where the drawing asks for it; below zero is a press fit.",
            of_place=True,
        ),
        word("drilled", "Drilled for locking", DRILLED, "Holes for a split pin or locking wire."),
        word(
            "thread_class",
            "Thread class",
            hint="As called for, for example 2A, 3A, 6g, medium fit.",
            concern=Concern.FIT,
            effort=4,
            tell_with=("thread_gauge",),
        ),
        word(
            "thread_making",
            "Thread rolled or cut",
            THREAD_MAKING,
            "A rolled thread and root stand repeated load far better.",
            concern=Concern.STRENGTH,
            effort=3,
        ),
        word(
            "strength_class",
            "Strength class",
            hint="As marked on the head or called for: AN steel, 8.8, 10.9, R, S, T. The mark is a claim until tested.",
            concern=Concern.STRENGTH,
            effort=4,
            tell_with=("hardness", "analysis"),
        ),
        size(
            "tensile_strength",
            "Tensile strength of the metal",
            Kind.STRESS,
            ("100", "2000"),
            "Least ultimate strength by specification or test.",
            concern=Concern.STRENGTH,
            effort=4,
        ),
        material(),
        finish(),
        marking(),
        look(),
    ),
    has_joint=True,
    checks=(
        bolt_rows,
        fit_rows("shank_diameter", "mating_hole", "fit", "clearance", own_is_hole=False),
        number_rows("standard_number"),
    ),
    covers=COVERED | {"fit", "mating_hole", "clearance"},
    stands_in={
        "pin": KindChange(
            "it pulls out quickly.",
            "clamping, and the nut that holds it; a pin carries no tension.",
            _TRADE,
            frozenset({Role.PRIMARY, Role.CONTROL}),
        ),
        "wood_screw": refused("nut, clamping and a known strength: a wood screw never stands for a bolt.", _TRADE),
        "solid_rivet": KindChange(
            "it can't come loose.",
            "it can't be taken out, and carries little tension.",
            _TRADE,
            frozenset({Role.PRIMARY, Role.CONTROL}),
        ),
        "blind_rivet": KindChange(
            "it is set from one side.",
            "tension and fatigue strength; a blind rivet is no bolt.",
            _TRADE,
            frozenset({Role.PRIMARY, Role.SECONDARY, Role.CONTROL}),
        ),
    },
    cautions=(
        "A bolt of unknown steel is no bolt for structure or controls: traceable ones only; a licensed person decides.",
        "Cadmium on old bolts is poisonous: no dry sanding, grinding or heating; wash hands.",
    ),
    examples=EXAMPLES,
    draw=bolt_drawing,
    chapter="14",
    help="Anything with a machine thread and a shank: bolts, machine screws, studs, eye bolts.",
)
