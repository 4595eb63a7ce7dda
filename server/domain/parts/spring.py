"""Springs: coil springs in compression, tension and torsion, leaf springs and clips."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    finish,
    length,
    listed,
    look,
    material,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import coil_drawing
from server.domain.parts._sides import at_least
from server.domain.parts._springs import rate_row
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("compression", "Compression coil", "push spring", "Druckfeder", "ressort de compression"),
    ("tension", "Tension coil", "extension spring", "pull spring", "Zugfeder", "ressort de traction"),
    ("torsion", "Torsion coil", "mousetrap", "Drehfeder", "Schenkelfeder", "ressort de torsion"),
    ("leaf", "Leaf or flat", "flat spring", "Blattfeder", "ressort à lames"),
    ("spiral", "Spiral, clock type", "Spiralfeder"),
    ("disc", "Disc or cone", "Belleville", "Tellerfeder"),
    ("volute", "Volute"),
)
ENDS = one_of(
    ("plain", "Plain"),
    ("closed", "Closed", "squared", "angelegt"),
    ("closed ground", "Closed and ground", "squared and ground", "angelegt und geschliffen"),
    ("hook", "Hooks", "Haken", "crochet"),
    ("loop", "Loops or eyes", "Öse", "boucle"),
    ("legs", "Straight legs", "Schenkel"),
    ("screwed", "Screwed-in ends", "threaded plug"),
)
HANDS = one_of(("right", "Right hand", "rechts", "à droite"), ("left", "Left hand", "links", "à gauche"))

_TRADE = common_practice("how springs stand for each other")
CHANGES = {
    ("compression", "tension"): refused("the direction of the force.", _TRADE),
    ("tension", "compression"): refused("the direction of the force, without a draw-bar cage.", _TRADE),
}
EXAMPLES = (
    Example(
        "A heavy door spring for a light pedal return spring: worked out from wire and coil it is far too stiff",
        Wanted(
            "spring",
            (
                wants("kind_of_spring", "tension"),
                wants("material", "music wire"),
                wants("rate", of(Kind.LINE_FORCE, low="0.10", high="0.30")),
                wants("free_length", of(Kind.LENGTH, low="120", high="135")),
            ),
            role=Role.CONTROL,
            use=Use.PERMIT,
        ),
        Offered(
            "spring",
            (
                measures("kind_of_spring", "tension"),
                measures("material", "music wire", instrument="magnet"),
                measures("wire_diameter", of(Kind.LENGTH, "2.03"), instrument="micrometer"),
                measures("coil_outside_diameter", of(Kind.LENGTH, "15.9"), instrument="calliper"),
                measures("active_turns", of(Kind.COUNT, "60"), instrument="eye"),
                measures("free_length", of(Kind.LENGTH, "127"), instrument="rule"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("textbook rate of a helical spring", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="spring",
    name="Spring",
    family="Mechanical",
    names=listed(
        "spring, coil spring, tension spring, extension spring, compression spring, torsion spring, leaf spring",
        "flat spring, return spring, valve spring, spring clip, Feder, Zugfeder, Druckfeder, Blattfeder",
        "Drehfeder, Rückholfeder, ressort, ressort de traction, ressort de compression, ressort à lames",
        "ressort de rappel",
    ),
    characteristics=(
        word("kind_of_spring", "Kind of spring", KINDS, essential=True),
        standard_number(),
        size(
            "rate",
            "Rate",
            Kind.LINE_FORCE,
            ("0.0001", "10000"),
            "Force for each length of travel, from a drawing or from two readings of a spring balance and a rule.",
            effort=2,
        ),
        length(
            "wire_diameter",
            "Wire diameter",
            ("0.05", "30"),
            "The rate goes with its fourth power: take a micrometer.",
            effort=2,
        ),
        length("coil_outside_diameter", "Coil diameter, outside", ("0.5", "300")),
        size(
            "active_turns", "Active turns", Kind.COUNT, ("0.5", "500"), "Turns that move; closed end turns don't count."
        ),
        length(
            "free_length",
            "Free length",
            ("1", "2000"),
            "Unloaded; of a tension spring inside the hooks.",
            essential=True,
        ),
        length("solid_length", "Solid length", ("0.5", "1500"), "Pressed coil to coil."),
        length("working_length", "Length at load", ("1", "3000"), "The length at which the load is asked for."),
        size("load", "Load at that length", Kind.FORCE, ("0.01", "100000"), effort=2),
        size(
            "initial_tension",
            "Initial tension",
            Kind.FORCE,
            ("0", "10000"),
            "Of a tension spring wound tight.",
            effort=2,
        ),
        word("end_a", "End A", ENDS, concern=Concern.FIT),
        word("end_b", "End B", ENDS, concern=Concern.FIT),
        word("hand", "Hand of the coil", HANDS, concern=Concern.FIT),
        length("width", "Width", ("0.5", "300"), "Of a leaf."),
        length("thickness", "Thickness", ("0.05", "50"), "Of a leaf."),
        warmest(),
        material(hint="Music wire, oil-tempered, stainless, phosphor bronze: the rate goes with its stiffness."),
        finish(),
        look(),
    ),
    checks=(
        rate_row,
        word_changes("kind_of_spring", CHANGES),
        at_least("temperature_high"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"kind_of_spring", "rate", "temperature_high", "standard_number"}),
    stands_in={
        "cord_thread": refused_flying(
            "it is to be had.",
            "a steady rate: rubber ages and creeps.",
            _TRADE,
            frozenset({Role.CONTROL, Role.PRIMARY}),
        ),
    },
    cautions=(
        "A loaded spring stores energy: hold or pin it before anything is undone.",
        "Springs are not plated or pickled in the shop: hydrogen cracks hard wire.",
        "A stronger return spring is no better: with a broken cable it holds the control over.",
    ),
    draw=coil_drawing,
    examples=EXAMPLES,
    chapter="27",
    help="Coil, leaf and disc springs. The rate counts, not only the sizes.",
)
