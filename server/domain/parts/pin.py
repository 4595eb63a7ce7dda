"""Pins: taper, clevis, split, dowel and quick-release."""

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
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._fits import fit_rows
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._section_drawings import pin_drawing
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import KnownFrom, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("taper", "Taper pin", "Kegelstift", "goupille conique", "tapered pin"),
    ("threaded taper", "Taper pin with thread and nut", "bolted taper pin", "AN386"),
    ("clevis", "Clevis pin", "headed pin", "Gabelbolzen", "axe de chape", "flat head pin"),
    ("split", "Split pin", "cotter pin", "Splint", "goupille fendue", "cotter"),
    ("dowel", "Dowel or plain parallel pin", "dowel", "Zylinderstift", "Passstift", "pion de centrage"),
    ("spring", "Slotted spring pin", "roll pin", "Spannstift", "Spannhülse", "goupille élastique"),
    ("grooved", "Grooved pin", "Kerbstift", "goupille cannelée"),
    ("hinge", "Hinge pin or wire", "Scharnierstift", "axe de charnière"),
    ("safety", "Safety or hair pin", "hair pin", "hitch pin", "Sicherungsstift", "épingle"),
    ("quick release", "Quick-release pin", "ball-lock pin", "pip pin"),
)

TAPERS = one_of(
    ("1:48", "1:48, a quarter inch to the foot", "1/4 in per foot", "inch"),
    ("1:50", "1:50, metric", "metric", "Kegel 1:50"),
)

_TRADE = common_practice("what pins are used for")
CHANGES = {
    ("taper", "split"): refused("the tight seat: a split pin locks, it carries no torque.", _TRADE),
    ("taper", "dowel"): refused_flying(
        "it needs no taper reamer.", "the seat that takes up wear and the tightness.", _TRADE, LOADED
    ),
    ("taper", "spring"): refused_flying("it needs no reamer.", "fatigue strength and the tight seat.", _TRADE, LOADED),
    ("taper", "grooved"): refused_flying("it needs no reamer.", "the tight seat.", _TRADE, LOADED),
    ("taper", "threaded taper"): allowed("a nut keeps it in.", "room for the nut; the look.", _TRADE),
    ("threaded taper", "taper"): refused_flying("it is smaller.", "the nut that keeps it in.", _TRADE, LOADED),
    ("clevis", "split"): refused("a bearing surface: a split pin is no pivot.", _TRADE),
    ("clevis", "dowel"): refused_flying("none.", "head and cross hole: nothing keeps it in.", _TRADE, LOADED),
    ("clevis", "quick release"): refused_flying(
        "it comes out without tools.", "it comes out without tools.", _TRADE, LOADED
    ),
    ("split", "safety"): refused_flying(
        "it can be used again.", "the bent ends: it can be pulled out.", _TRADE, LOADED
    ),
    ("split", "spring"): refused_flying("none.", "the lock of a castle nut is the split pin's work.", _TRADE, LOADED),
    ("dowel", "spring"): refused_flying(
        "a drilled hole is enough.", "accurate location, fatigue strength.", _TRADE, LOADED
    ),
}
EXAMPLES = (
    Example(
        "A split pin offered for a taper pin of a control lever",
        Wanted(
            "pin",
            (wants("kind_of_pin", "taper"), wants("small_end_diameter", of(Kind.LENGTH, low="3.9", high="4.1"))),
            role=Role.CONTROL,
            use=Use.PERMIT,
        ),
        Offered("pin", (measures("kind_of_pin", "split"),)),
        Outcome.NOT_EQUIVALENT,
        common_practice("a split pin locks, a taper pin carries torque"),
    ),
    Example(
        "A clevis pin drawn 8 H8/f7 in a measured hole: the clearance is proven with the doubt of both",
        Wanted(
            "pin",
            (
                wants("kind_of_pin", "clevis"),
                wants("fit", "8 H8/f7"),
                wants("shank_diameter", of(Kind.LENGTH, low="7.972", high="7.987")),
                wants("mating_hole", of(Kind.LENGTH, "8.010"), known=KnownFrom.ON_ORIGINAL, expanded="0.006"),
                wants("grip", of(Kind.LENGTH, low="14", high="14.4")),
            ),
            role=Role.SECONDARY,
            use=Use.PERMIT,
        ),
        Offered(
            "pin",
            (
                measures("kind_of_pin", "clevis"),
                measures("shank_diameter", of(Kind.LENGTH, "7.980"), expanded="0.004", instrument="micrometer"),
                measures("grip", of(Kind.LENGTH, "14.2"), instrument="calliper"),
            ),
        ),
        Outcome.WITH_REASONS,
        Source("ISO 286-1 limits of 8 H8/f7, 13 to 50 µm", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="pin",
    name="Pin",
    family="Fasteners",
    names=listed(
        "pin, taper pin, clevis pin, split pin, cotter pin, dowel, dowel pin, roll pin, spring pin, safety pin",
        "hair pin, hinge pin, wing pin, pivot pin, quick-release pin, Stift, Kegelstift, Zylinderstift",
        "Passstift, Splint, Gabelbolzen, Spannstift, Sicherungsstift, Scharnierstift, goupille, goupille conique",
        "goupille fendue, goupille élastique, axe de chape, axe de charnière",
    ),
    characteristics=(
        word("kind_of_pin", "Kind of pin", KINDS, essential=True),
        standard_number(),
        length(
            "shank_diameter",
            "Shank diameter",
            ("0.4", "80"),
            "Of a parallel or clevis pin. For a split pin the hole it is sold for. Not for taper pins.",
            essential=False,
            by_fit=True,
            in_sizes=True,
        ),
        length("small_end_diameter", "Diameter at the small end", ("0.4", "60"), "Of a taper pin."),
        length("large_end_diameter", "Diameter at the large end", ("0.5", "60"), "Of a taper pin."),
        word(
            "taper",
            "Taper",
            TAPERS,
            "Of a taper pin and its reamer. Inch pins taper 1/4 in to the foot, metric ones 1:50: they don't mix.",
            concern=Concern.FIT,
        ),
        length(
            "grip",
            "Grip",
            ("0.5", "300"),
            "Of a clevis pin: from under the head to the near edge of the split-pin hole.",
        ),
        length("length_under_head", "Length under head", ("1", "400"), general=True),
        length("length_over_all", "Length over all", ("1", "500"), general=True),
        length("head_diameter", "Head diameter", ("1", "100")),
        length("head_height", "Head height", ("0.3", "40")),
        length("split_pin_hole", "Split-pin hole", ("0.5", "12"), "The cross hole of a clevis pin."),
        word(
            "fit",
            "Fit",
            hint="As drawn: hole and shaft of ISO 286, for example 8 H8/f7.",
            concern=Concern.FIT,
            of_place=True,
        ),
        length(
            "mating_hole",
            "Hole it goes in",
            ("0.4", "80"),
            "Of the place, not of the pin: as measured or as it will be reamed, with its doubt.",
            of_place=True,
        ),
        length(
            "clearance",
            "Clearance in its hole",
            ("-0.3", "2"),
            "Hole less pin; below zero is a press fit.",
            of_place=True,
        ),
        size(
            "shear_load",
            "Shear load",
            Kind.FORCE,
            ("10", "1000000"),
            "Single or double as the document says; write which.",
            concern=Concern.STRENGTH,
            effort=5,
        ),
        material(),
        finish(),
        marking(),
        look(),
    ),
    has_joint=True,
    checks=(
        word_changes("kind_of_pin", CHANGES),
        fit_rows("shank_diameter", "mating_hole", "fit", "clearance", own_is_hole=False),
        at_least("shear_load"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"kind_of_pin", "fit", "mating_hole", "clearance", "shear_load", "standard_number"}),
    stands_in={
        "bolt": KindChange(
            "head and nut keep it in.",
            "free turning where nut and head clamp; its thread must not lie in the bearing length.",
            _TRADE,
        ),
        "wood_screw": refused("everything a pin is for.", _TRADE),
        "solid_rivet": KindChange(
            "it can't fall out.",
            "it can't be taken out, and it clamps.",
            _TRADE,
            frozenset({Role.CONTROL, Role.PRIMARY}),
        ),
        "split_rivet": refused("everything a pin is for.", _TRADE),
    },
    cautions=("A pin that is lost can lose a control or a wing. Split pins and locking wire are never used twice.",),
    examples=EXAMPLES,
    draw=pin_drawing,
    chapter="14",
    help="Pins that locate, pivot or lock. For a pin with a machine thread and nut see bolt.",
)
