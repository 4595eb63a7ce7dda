"""Paint, dope, varnish and surface treatment."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    flame_test,
    length,
    listed,
    look,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._furnishings import NITRATE_CAUTION, burn_row
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._sides import at_least
from server.domain.parts._trim_rows import over_row
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("nitrate dope", "Nitrate dope", "cellulose nitrate dope", "Nitrospannlack", "enduit nitrocellulosique"),
    ("butyrate dope", "Butyrate dope", "CAB dope", "Butyratlack"),
    ("acetate dope", "Acetate dope", "Azetatspannlack"),
    ("cellulose lacquer", "Cellulose lacquer", "nitrocellulose lacquer", "Nitrolack"),
    ("synthetic enamel", "Synthetic enamel", "alkyd", "Kunstharzlack", "glycérophtalique"),
    ("oil paint", "Oil paint", "Ölfarbe", "peinture à l'huile"),
    ("spirit varnish", "Varnish", "spar varnish", "Klarlack", "vernis"),
    ("shellac", "Shellac", "Schellack", "gomme-laque"),
    ("chromate primer", "Zinc chromate primer", "zinc chromate", "Zinkchromat", "chromate de zinc"),
    ("epoxy primer", "Epoxy primer", "Epoxidgrundierung"),
    ("polyurethane", "Two-pack polyurethane", "2K", "polyuréthane"),
    ("wrinkle", "Wrinkle or crackle finish", "crackle", "Schrumpflack", "Kräusellack", "vermiculé"),
    ("stove enamel", "Stove enamel", "baked enamel", "Einbrennlack"),
    ("anodising", "Anodising", "anodizing", "Eloxal", "anodisation"),
    ("cadmium plating", "Cadmium plating", "Kadmierung", "cadmiage"),
    ("zinc plating", "Zinc plating", "Verzinkung", "zingage"),
    ("nickel plating", "Nickel plating", "Vernickelung", "nickelage"),
    ("chromium plating", "Chromium plating", "Verchromung", "chromage"),
    ("conversion", "Chemical conversion coat", "chromate dip", "Alodine", "Chromatierung"),
    ("luminous paint", "Luminous paint", "Leuchtfarbe", "peinture lumineuse"),
    ("wax or oil", "Wax or oil", "Wachs", "cire"),
)
GROUNDS = one_of(
    ("fabric", "Fabric", "cloth", "Stoff", "toile"),
    ("aluminium", "Aluminium alloy", "dural", "Aluminium"),
    ("steel", "Steel", "Stahl", "acier"),
    ("magnesium", "Magnesium alloy", "Elektron", "magnésium"),
    ("wood", "Wood", "Holz", "bois"),
    ("brass", "Brass or bronze", "Messing", "laiton"),
    ("plastic", "Plastic", "Kunststoff"),
)
GLOSSES = one_of(
    ("matt", "Matt", "flat", "matt", "mat"),
    ("eggshell", "Eggshell", "satin", "seidenmatt", "satiné"),
    ("gloss", "Gloss", "glänzend", "brillant"),
)

_TRADE = common_practice("paints and finishes")
_FIRE = common_practice("nitrate dope burns; butyrate burns less")
CHROMATE_CAUTION = (
    "Chromate primer causes cancer as dust and mist: wet methods, extraction, no blowing off; its waste is regulated."
)
CADMIUM_CAUTION = (
    "Cadmium is poisonous: no dry sanding, grinding or heating; wash hands. Plating is for a licensed plater."
)
CHANGES = {
    ("nitrate dope", "butyrate dope"): allowed(
        "it burns less.", "grip on bare cloth; the system is approved whole.", _FIRE
    ),
    ("butyrate dope", "nitrate dope"): refused_flying("it grips bare cloth.", "it burns more fiercely.", _FIRE),
    ("cellulose lacquer", "polyurethane"): allowed("it lasts.", "the look of its time; it can't be taken off.", _TRADE),
    ("cellulose lacquer", "synthetic enamel"): allowed("it is to be had.", "the look of its time.", _TRADE),
    ("chromate primer", "epoxy primer"): allowed("no chromate.", "protection has to be shown again.", _TRADE),
    ("cadmium plating", "zinc plating"): refused_flying(
        "no cadmium.", "protection against aluminium, and lubricity of threads.", _TRADE, LOADED
    ),
    ("anodising", "conversion"): allowed("no bath needed.", "wear and protection.", _TRADE),
    ("nickel plating", "chromium plating"): allowed("it stays bright.", "the yellowish look of its time.", _TRADE),
    ("stove enamel", "polyurethane"): allowed("no oven.", "hardness and look.", _TRADE),
    ("spirit varnish", "polyurethane"): allowed("it lasts.", "it can't be taken off, and the look.", _TRADE),
}
EXAMPLES = (
    Example(
        "Dope over an oil-painted surface",
        Wanted(
            "paint_finish",
            (
                wants("kind_of_finish", "butyrate dope"),
                wants("ground", "fabric"),
                wants("over", "oil paint"),
                wants("colour", "cream", form=Form.AS_SAMPLE),
            ),
        ),
        Offered("paint_finish", (measures("kind_of_finish", "butyrate dope"), measures("colour", "cream"))),
        Outcome.NOT_EQUIVALENT,
        common_practice("what lifts over what"),
    ),
)

PART_CLASS = PartClass(
    key="paint_finish",
    name="Paint or finish",
    family="Furnishing",
    names=listed(
        "paint, dope, nitrate dope, butyrate dope, lacquer, enamel, varnish, spar varnish, primer",
        "zinc chromate primer, wrinkle finish, crackle finish, anodising, cadmium plating, chromium plating",
        "nickel plating, zinc plating, Lack, Farbe, Spannlack, Klarlack, Grundierung, Schrumpflack, Eloxal",
        "Kadmierung, Verchromung, Vernickelung, Verzinkung, peinture, enduit, vernis, apprêt, chromage",
        "nickelage, cadmiage, anodisation, zingage",
    ),
    characteristics=(
        word("kind_of_finish", "Kind of finish", KINDS, essential=True),
        word("ground", "What it goes on", GROUNDS, concern=Concern.FIT, essential=True),
        standard_number(),
        word(
            "over",
            "Coat beneath",
            KINDS,
            "What it goes over; one paint lifts another.",
            concern=Concern.FUNCTION,
            of_place=True,
        ),
        word(
            "colour",
            "Colour",
            hint="Name, code, and the sample it is held against in daylight.",
            concern=Concern.APPEARANCE,
            judged=True,
            essential=True,
        ),
        word("gloss", "Gloss", GLOSSES, concern=Concern.APPEARANCE, judged=True),
        length(
            "film_thickness",
            "Thickness of the film",
            ("0.0005", "2"),
            "On a flat face; on a fit it counts twice.",
            effort=2,
        ),
        size("coats", "Coats", Kind.COUNT, ("1", "60")),
        size("mass_per_area", "Mass per area", Kind.AREA_MASS, ("1", "2000"), "Dry."),
        warmest(),
        flame_test("Burn test of the finished surface"),
        word(
            "removable",
            "Can be taken off again",
            one_of(("yes", "Yes"), ("no", "No")),
            "Asked of an exhibit.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        look(),
    ),
    checks=(
        word_changes(
            "kind_of_finish",
            CHANGES,
            {
                "nitrate dope": NITRATE_CAUTION,
                "chromate primer": CHROMATE_CAUTION,
                "conversion": CHROMATE_CAUTION,
                "cadmium plating": CADMIUM_CAUTION,
            },
        ),
        over_row,
        at_least("temperature_high"),
        burn_row,
        number_rows("standard_number"),
    ),
    covers=frozenset({"kind_of_finish", "over", "temperature_high", "flame_test", "standard_number"}),
    cautions=(
        "Old primers hold chromate, old enamels lead, old luminous paint radium: no dry sanding before you know.",
        "Two-pack paint is sprayed with supplied air only.",
    ),
    examples=EXAMPLES,
    chapter="51",
    help="Anything put on a surface to protect or colour it.",
)
