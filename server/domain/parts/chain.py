"""Control and drive chains."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    breaking_load,
    finish,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows, refused, refused_flying
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import chain_drawing
from server.domain.parts._sides import at_least, at_most
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("roller", "Roller", "Rollenkette", "chaîne à rouleaux"),
    ("bush", "Bush", "bushed", "Hülsenkette"),
    ("block", "Block", "Blockkette"),
    ("leaf", "Leaf", "Fleyer", "Flyerkette"),
    ("ladder", "Ladder or bead", "Ladderkette", "ball chain"),
    ("inverted tooth", "Inverted tooth", "silent", "Zahnkette"),
    ("link", "Welded link", "Gliederkette"),
)

_TRADE = common_practice("how chains fit their wheels")
EXAMPLES = (
    Example(
        "8 mm bicycle-trade chain for one of 3/8 in pitch: it climbs the wheel",
        Wanted(
            "chain",
            (
                wants("kind_of_chain", "roller"),
                wants("pitch", of(Kind.LENGTH, low="9.49", high="9.56")),
                wants("roller_diameter", of(Kind.LENGTH, low="5.9", high="6.4")),
                wants("inner_width", of(Kind.LENGTH, low="3.8", high="4.2")),
            ),
            role=Role.CONTROL,
            use=Use.PERMIT,
        ),
        Offered(
            "chain",
            (
                measures("kind_of_chain", "roller"),
                measures("pitch", of(Kind.LENGTH, "8.00"), expanded="0.02", instrument="calliper"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("a chain has the pitch of its wheels"),
    ),
)

PART_CLASS = PartClass(
    key="chain",
    name="Chain",
    family="Mechanical",
    names=listed(
        "chain, roller chain, control chain, block chain, trim chain, Kette, Rollenkette, Gliederkette, chaîne",
        "chaîne à rouleaux",
    ),
    characteristics=(
        word("kind_of_chain", "Kind of chain", KINDS, essential=True),
        standard_number(),
        length(
            "pitch",
            "Pitch",
            ("2", "80"),
            "Between pin centres: measure over ten links under light tension and divide.",
            essential=True,
        ),
        length("roller_diameter", "Roller diameter", ("1", "50"), essential=True),
        length("inner_width", "Width between inner plates", ("1", "60"), essential=True),
        length("pin_diameter", "Pin diameter", ("0.5", "30")),
        length("plate_height", "Plate height", ("2", "60")),
        length("over_pin", "Width over the pins", ("2", "120")),
        size("links", "Links", Kind.COUNT, ("1", "2000"), "Pitches between the end pins.", concern=Concern.FIT),
        breaking_load(),
        word(
            "end_a", "End A", hint="Spring link, riveted link, fork, threaded rod, cable shackle.", concern=Concern.FIT
        ),
        word("end_b", "End B", hint="As for end A.", concern=Concern.FIT),
        size("stretch", "Stretch by wear", Kind.SHARE, ("0", "10"), "Length over new length, less one, in per cent."),
        material(),
        finish(),
        marking(),
        look(),
    ),
    checks=(at_least("breaking_load"), at_most("stretch"), number_rows("standard_number")),
    covers=frozenset({"breaking_load", "stretch", "standard_number"}),
    stands_in={
        "control_cable": refused_flying("less weight.", "the positive drive on the wheel.", _TRADE),
        "cord_thread": refused("strength, and the drive on the wheel.", _TRADE),
    },
    cautions=("A spring link is fitted with its closed end forwards, or riveted; controls are inspected twice.",),
    draw=chain_drawing,
    examples=EXAMPLES,
    chapter="27",
    help="Chains of trim gear, controls and drives, with their end links.",
)
