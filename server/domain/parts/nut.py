"""Nuts: plain, castle, self-locking, anchor nuts and inserts."""

from server.domain.offer import Offered
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
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._section_drawings import thread_drawing
from server.domain.parts._sides import at_least
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("plain", "Plain hexagon", "hex nut", "full nut", "Sechskantmutter", "écrou hexagonal"),
    ("thin", "Thin or lock nut", "jam nut", "check nut", "Kontermutter", "contre-écrou"),
    ("castle", "Castle or slotted", "castellated", "slotted", "Kronenmutter", "écrou crénelé"),
    ("fibre lock", "Self-locking, fibre or nylon insert", "elastic stop", "stiffnut", "Stoppmutter", "nylon insert"),
    ("metal lock", "Self-locking, all metal", "all metal stiffnut", "Ganzmetall"),
    ("anchor", "Anchor nut", "plate nut", "nutplate", "Annietmutter", "Ankermutter", "écrou à river"),
    ("wing", "Wing nut", "butterfly nut", "Flügelmutter", "écrou papillon"),
    ("blind rivet nut", "Blind rivet nut", "rivet nut", "Blindnietmutter", "écrou à sertir"),
    ("insert", "Threaded insert", "helical insert", "Gewindeeinsatz", "filet rapporté"),
    ("cap", "Cap or dome nut", "dome nut", "acorn", "Hutmutter", "écrou borgne"),
    ("round", "Round, with slots or holes", "ring nut", "Nutmutter", "Ringmutter"),
    ("square", "Square", "Vierkantmutter", "écrou carré"),
)
LUGS = one_of(
    ("two lug", "Two lugs", "double lug", "zweilappig"),
    ("one lug", "One lug", "single lug", "einlappig"),
    ("corner", "Corner", "angle"),
    ("strip", "Strip or gang", "gang channel"),
    ("none", "No lugs"),
)

_TRADE = common_practice("how nuts are locked")
_TURNING = Source("AC 43.13-1B", "chapter 7: self-locking nuts where the bolt may turn", "8 Sep 1998", Standing.MEMORY)
CHANGES = {
    ("castle", "fibre lock"): refused_flying(
        "no split pin is needed.",
        "the split pin: a self-locking nut is not used where bolt or nut may turn, nor near heat.",
        _TURNING,
        frozenset({Role.CONTROL, Role.PRIMARY}),
    ),
    ("castle", "plain"): refused("all locking: a plain nut comes off.", _TRADE),
    ("fibre lock", "plain"): refused("all locking: a plain nut comes off.", _TRADE),
    ("metal lock", "plain"): refused("all locking: a plain nut comes off.", _TRADE),
    ("castle", "metal lock"): refused_flying(
        "it stands heat.",
        "the split pin: a self-locking nut is not used where bolt or nut may turn.",
        _TURNING,
        frozenset({Role.CONTROL, Role.PRIMARY}),
    ),
    ("fibre lock", "metal lock"): allowed("it stands heat.", "it wears the bolt's thread and plating.", _TRADE),
    ("metal lock", "fibre lock"): refused_flying("it spares the thread.", "it does not stand heat.", _TRADE, LOADED),
    ("anchor", "fibre lock"): refused("the lugs: a loose nut can't be held behind a closed panel.", _TRADE),
    ("anchor", "plain"): refused("the lugs and the locking.", _TRADE),
    ("anchor", "blind rivet nut"): refused_flying(
        "it is set from one side.", "pull-out and turning strength, locking.", _TRADE, frozenset({Role.PRIMARY})
    ),
}
EXAMPLES = (
    Example(
        "A loose fibre stiffnut offered for an anchor nut: the wrong item",
        Wanted("nut", (wants("kind_of_nut", "anchor"), wants("thread", "2BA")), use=Use.PERMIT),
        Offered("nut", (measures("kind_of_nut", "fibre lock"), measures("thread", "2BA", instrument="thread_gauge"))),
        Outcome.NOT_EQUIVALENT,
        common_practice("an anchor nut is riveted in place"),
    ),
    Example(
        "A 10-32 nut for an M5 screw: runs on with slack, and no calliper tells it",
        Wanted("nut", (wants("kind_of_nut", "plain"), wants("thread", "M5"))),
        Offered("nut", (measures("kind_of_nut", "plain"), measures("thread", "10-32 UNF", instrument="pitch_gauge"))),
        Outcome.NOT_EQUIVALENT,
        Source("thread sizes of ISO 261 and ASME B1.1", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="nut",
    name="Nut",
    family="Fasteners",
    names=listed(
        "nut, hex nut, castle nut, castellated nut, slotted nut, self-locking nut, stiffnut, stiff nut",
        "elastic stop nut, lock nut, jam nut, wing nut, anchor nut, plate nut, nutplate, blind rivet nut",
        "threaded insert, Mutter, Schraubenmutter, Kronenmutter, Stoppmutter, selbstsichernde Mutter",
        "Flügelmutter, Kontermutter, Annietmutter, Blindnietmutter, Gewindeeinsatz, écrou, écrou crénelé",
        "écrou autofreiné, écrou papillon, contre-écrou, écrou à river",
    ),
    characteristics=(
        thread(),
        word("kind_of_nut", "Kind of nut", KINDS, essential=True),
        standard_number(),
        length("across_flats", "Width across flats", ("2", "90")),
        length("height", "Height", ("0.5", "60"), "Of the nut body, without lugs."),
        length("outside_diameter", "Outside diameter", ("2", "120"), "Of a round nut, insert or flange."),
        word("lugs", "Lugs", LUGS, "Of an anchor nut.", concern=Concern.FIT),
        length("rivet_centres", "Rivet hole centres", ("5", "60"), "Of an anchor nut, between its rivet holes."),
        length("rivet_hole", "Rivet hole diameter", ("1", "6"), "Of an anchor nut."),
        word(
            "thread_class",
            "Thread class",
            hint="As called for, for example 2B, 3B, 6H.",
            concern=Concern.FIT,
            effort=4,
            tell_with=("thread_gauge",),
        ),
        warmest(),
        word(
            "strength_class",
            "Strength class",
            hint="Shear or tension nut, 8, 10, or as its standard says.",
            concern=Concern.STRENGTH,
            effort=4,
            tell_with=("hardness",),
        ),
        size(
            "tensile_load",
            "Load it carries",
            Kind.FORCE,
            ("100", "500000"),
            "Least axial load by its standard.",
            concern=Concern.STRENGTH,
            effort=5,
        ),
        word(
            "used_before",
            "Used before",
            one_of(("new", "New", "unused", "neu"), ("used", "Used before", "gebraucht")),
            "A self-locking nut keeps its grip only so often.",
        ),
        material(),
        finish(),
        marking(),
        look(),
    ),
    checks=(
        thread_rows("thread"),
        word_changes(
            "kind_of_nut",
            CHANGES,
            {"fibre lock": "A fibre or nylon insert softens near heat and is not used again once it turns by hand."},
        ),
        at_least("tensile_load", "temperature_high"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"thread", "kind_of_nut", "tensile_load", "temperature_high", "standard_number"}),
    cautions=("A nut is locked by what the drawing asks for; nuts of controls are inspected by a second person.",),
    examples=EXAMPLES,
    draw=thread_drawing("thread"),
    chapter="14",
    help="Loose nuts, anchor nuts riveted to the structure, and inserts.",
)
