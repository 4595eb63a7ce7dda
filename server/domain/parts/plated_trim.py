"""Plated and polished trim: strips, bezels, handles, knobs and small castings that are looked at."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    METAL_FINISH,
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
from server.domain.parts._kinds import allowed, number_rows
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("strip", "Strip or moulding", "moulding", "trim strip", "Zierleiste", "baguette"),
    ("bezel", "Bezel or ring", "Frontring", "Einfassung", "lunette"),
    ("handle", "Handle", "Griff", "poignée"),
    ("knob", "Knob", "Knopf", "bouton"),
    ("escutcheon", "Escutcheon or plate", "kick plate", "Rosette", "plaque"),
    ("latch", "Latch or catch", "Verschluss", "loquet"),
    ("ashtray", "Ashtray", "Aschenbecher", "cendrier"),
    ("stud", "Trim stud or plug", "press stud", "Druckknopf", "bouton-pression"),
    ("other", "Other"),
)

_TRADE = common_practice("trim")
EXAMPLES = (
    Example(
        "A chromed handle for a nickelled one, otherwise the same, on display",
        Wanted(
            "plated_trim",
            (
                wants("kind_of_trim", "handle"),
                wants("length_over_all", of(Kind.LENGTH, low="109", high="111")),
                wants("plating", "nickel"),
            ),
            role=Role.FURNISHING,
        ),
        Offered(
            "plated_trim",
            (
                measures("kind_of_trim", "handle"),
                measures("length_over_all", of(Kind.LENGTH, "110"), instrument="calliper"),
                measures("plating", "chromium"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("plating is judged by eye"),
    ),
)

PART_CLASS = PartClass(
    key="plated_trim",
    name="Trim, plated",
    family="Furnishing",
    names=listed(
        "trim, plated trim, trim strip, moulding, bezel, handle, door handle, knob, escutcheon, latch, catch",
        "ashtray, press stud, snap fastener, kick plate, Zierleiste, Frontring, Griff, Handgriff, Knauf",
        "Verschluss, Aschenbecher, Druckknopf, Trittblech, baguette, lunette, poignée, bouton, loquet, cendrier",
        "bouton-pression, plaque de seuil",
    ),
    characteristics=(
        word("kind_of_trim", "Kind of trim", KINDS, essential=True),
        standard_number(),
        length("length_over_all", "Length over all", ("2", "5000"), general=True, essential=True),
        length("width_over_all", "Width over all", ("1", "1000"), general=True),
        length("height_over_all", "Height over all", ("0.3", "500"), general=True),
        length("thickness", "Thickness", ("0.2", "60")),
        length("bore", "Bore", ("0.5", "500")),
        length("hole_centres", "Hole centres", ("2", "3000"), general=True),
        length("plating_thickness", "Thickness of plating", ("0.0001", "0.5"), concern=Concern.FUNCTION, effort=4),
        word(
            "plating",
            "Plating",
            METAL_FINISH,
            "Nickel is yellowish and older; chromium is bluish and came in about 1930.",
            concern=Concern.APPEARANCE,
            judged=True,
            essential=True,
        ),
        word(
            "sheen",
            "Sheen",
            one_of(
                ("bright", "Bright", "polished", "hochglanz"),
                ("satin", "Satin", "brushed", "matt"),
                ("oxidised", "Oxidised or bronzed", "oxidiert"),
            ),
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        material("Metal under it", essential=True),
        word("fixing", "How it is fixed", hint="Screws, studs, clips, tabs.", concern=Concern.FIT),
        marking(),
        look(),
    ),
    checks=(number_rows("standard_number"),),
    covers=frozenset({"standard_number"}),
    stands_in={
        "paint_finish": allowed("price.", "the metal look.", _TRADE),
    },
    cautions=(
        "Plating baths and stripping are for a licensed plater: cyanide, chromic acid. Cadmium dust is poisonous.",
        "White metal castings may hold lead: no dry sanding.",
    ),
    draw=boxes("Trim, from the front", "length_over_all", "width_over_all"),
    examples=EXAMPLES,
    chapter="25",
    help="What is there to be looked at and touched.",
)
