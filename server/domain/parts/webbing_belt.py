"""Webbing, straps, belts and harness."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    breaking_load,
    finish,
    flame_test,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    standard_number,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._furnishings import burn_row
from server.domain.parts._kinds import allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.parts._sides import at_least
from server.domain.parts._trim_rows import restraint_row
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("lap belt", "Lap belt", "seat belt", "safety belt", "Sicherheitsgurt", "Bauchgurt", "ceinture"),
    ("shoulder harness", "Shoulder harness", "shoulder strap", "Schultergurt", "bretelles", "harnais"),
    ("webbing", "Webbing by length", "Gurtband", "sangle"),
    ("cargo strap", "Cargo or tie-down strap", "tie-down", "Zurrgurt"),
    ("leather strap", "Leather strap", "Riemen", "courroie"),
    ("hand strap", "Hand or pull strap", "Halteschlaufe"),
    ("buckle", "Buckle or fitting alone", "Schnalle", "boucle"),
)
FIBRES = one_of(
    ("cotton", "Cotton", "Baumwolle", "coton"),
    ("linen", "Linen or flax", "Leinen", "lin"),
    ("silk", "Silk", "Seide", "soie"),
    ("nylon", "Nylon", "polyamide"),
    ("polyester", "Polyester", "Terylene", "Dacron"),
    ("leather", "Leather", "Leder", "cuir"),
    ("hemp", "Hemp or jute", "Hanf", "chanvre"),
)

_TRADE = common_practice("webbings and belts")
FIBRE_CHANGES = {
    ("cotton", "nylon"): allowed("strength and life.", "it stretches; look and sheen.", _TRADE),
    ("cotton", "polyester"): allowed("strength and life.", "look and sheen.", _TRADE),
    ("linen", "polyester"): allowed("strength and life.", "look and sheen.", _TRADE),
    ("linen", "cotton"): allowed("it is to be had.", "strength.", _TRADE),
    ("leather", "nylon"): allowed("strength.", "look.", _TRADE),
}
KIND_CHANGES = {
    ("shoulder harness", "lap belt"): refused_flying("none.", "restraint of the body.", _TRADE),
    ("lap belt", "webbing"): refused_flying("price.", "buckle, fittings and approval.", _TRADE),
    ("lap belt", "cargo strap"): refused("approval, release and comfort: a cargo strap restrains no person.", _TRADE),
    ("shoulder harness", "cargo strap"): refused("approval and release.", _TRADE),
}
EXAMPLES = (
    Example(
        "A period cotton lap belt without label or date for an aeroplane that flies",
        Wanted(
            "webbing_belt",
            (
                wants("kind_of_belt", "lap belt"),
                wants("restrains", "yes"),
                wants("fibre", "cotton"),
                wants("width", of(Kind.LENGTH, low="48", high="52")),
                wants("breaking_load", of(Kind.FORCE, "6700"), form=Form.AT_LEAST),
            ),
            role=Role.FURNISHING,
            use=Use.PERMIT,
        ),
        Offered(
            "webbing_belt",
            (
                measures("kind_of_belt", "lap belt"),
                measures("fibre", "cotton"),
                measures("width", of(Kind.LENGTH, "50"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_PROVEN,
        common_practice("restraint of unknown age and approval is not proven"),
    ),
)

PART_CLASS = PartClass(
    key="webbing_belt",
    name="Belt, harness or webbing",
    family="Furnishing",
    names=listed(
        "safety belt, seat belt, lap belt, lap strap, shoulder harness, shoulder strap, harness strap, webbing",
        "strap, leather strap, buckle, tie-down strap, Sicherheitsgurt, Anschnallgurt, Bauchgurt, Schultergurt",
        "Gurtband, Riemen, Schnalle, ceinture, ceinture de sécurité, harnais, bretelles, sangle, courroie, boucle",
    ),
    characteristics=(
        word("kind_of_belt", "Kind of belt", KINDS, essential=True),
        standard_number(),
        word(
            "approval",
            "Approval marked on it",
            hint="The label as it reads, for example a TSO number; none is an answer.",
            concern=Concern.STRENGTH,
        ),
        word(
            "restrains",
            "Restrains a person",
            one_of(("yes", "Yes", "ja"), ("no", "No", "nein")),
            concern=Concern.STRENGTH,
            essential=True,
            of_place=True,
        ),
        word(
            "fibre", "Fibre", FIBRES, concern=Concern.STRENGTH, essential=True, effort=2, tell_with=("eye", "analysis")
        ),
        length("width", "Width", ("5", "200"), essential=True),
        length("thickness", "Thickness", ("0.3", "15")),
        length(
            "length_over_all",
            "Length over all",
            ("50", "10000"),
            "Laid flat, from end fitting to end fitting.",
            general=True,
        ),
        breaking_load(essential=True),
        word("end_a", "End A", hint="Ring, hook, bolt plate, snap; with its bore.", concern=Concern.FIT),
        length("bore_a", "Bolt bore at end A", ("2", "40")),
        word("end_b", "End B", hint="As for end A.", concern=Concern.FIT),
        length("bore_b", "Bolt bore at end B", ("2", "40")),
        word("release", "Buckle and release", hint="How it opens, under load too.", concern=Concern.FUNCTION),
        word(
            "made_on",
            "Date of making",
            hint="As on the label; without it the age is not known.",
            concern=Concern.STRENGTH,
        ),
        word("stitching", "Stitching", hint="Pattern, thread, rows.", concern=Concern.STRENGTH, effort=2),
        word("colour", "Colour and weave", concern=Concern.APPEARANCE, judged=True),
        flame_test(),
        material("Material of the fittings"),
        finish(),
        marking(),
        look(),
    ),
    checks=(
        word_changes("kind_of_belt", KIND_CHANGES),
        word_changes("fibre", FIBRE_CHANGES),
        restraint_row,
        at_least("breaking_load"),
        burn_row,
        number_rows("standard_number"),
    ),
    covers=frozenset({"kind_of_belt", "fibre", "restrains", "breaking_load", "flame_test", "standard_number"}),
    stands_in={
        "cord_thread": refused_flying("none.", "width, buckle and strength.", _TRADE),
        "leathercloth": refused_flying("the look.", "strength.", _TRADE),
        "fabric_tape": refused_flying("the look.", "strength.", _TRADE),
    },
    cautions=("Seats, belts and what they are bolted to hold people: a licensed person decides.",),
    draw=boxes("Webbing, cut across", "width", "thickness"),
    examples=EXAMPLES,
    chapter="25",
    help="Belts and harness of seats, straps and webbing, and their buckles.",
)
