"""Bar, rod and sections: stock that parts are turned or milled from, and angles and channels used as they are."""

from server.domain.galvanic_rows import galvanic_rows
from server.domain.hazards import hazard_rows
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._kit import Characteristic, Choice, PartClass
from server.domain.parts._metal_rows import mass_rows, plated_steel_rows
from server.domain.parts._structure import (
    CORROSION,
    CRACKS,
    FAMILY,
    FINISH,
    LOOK,
    MASS,
    SMALL_LENGTH,
    WALL,
    length,
    marking,
    material,
)
from server.domain.parts._structure_drawing import bar_drawing
from server.domain.verdict import Concern

SECTION = Characteristic(
    "section",
    "Section",
    Concern.FIT,
    choices=(
        Choice("round", "round", ("rod", "rund", "rond", "kulatá", "okrągły")),
        Choice("hexagon", "hexagon", ("hex", "Sechskant", "six pans")),
        Choice("square", "square", ("Vierkant", "carré")),
        Choice("flat", "flat", ("rectangular", "flach", "plat")),
        Choice("angle", "angle", ("L", "Winkel", "cornière")),
        Choice("channel", "channel", ("U", "U-Profil")),
        Choice("tee", "tee", ("T", "T-Profil")),
        Choice("other", "another section", ("special", "Profil", "profilé")),
    ),
)
PROCESS = Characteristic(
    "process",
    "How it was made",
    Concern.STRENGTH,
    choices=(
        Choice("drawn", "rolled or cold drawn", ("cold drawn", "rolled", "gezogen", "étiré")),
        Choice("extruded", "extruded", ("extrusion", "stranggepresst", "filé")),
        Choice("forged", "forged", ("hand forged", "geschmiedet")),
        Choice("bent", "bent from sheet", ("rolled from sheet", "folded", "gekantet", "plié")),
        Choice("ground", "ground", ("silver steel", "geschliffen")),
    ),
)

PART_CLASS = PartClass(
    key="bar",
    name="Bar, rod or section",
    family=FAMILY,
    names=(
        "bar",
        "rod",
        "bar stock",
        "hexagon bar",
        "extrusion",
        "extruded section",
        "angle section",
        "Stange",
        "Rundstange",
        "Profil",
        "barre",
        "rond",
        "profilé",
        "barra",
        "tyč",
        "pręt",
    ),
    characteristics=(
        material("Alloy and temper, or the steel and what it was heat treated to."),
        SECTION,
        PROCESS,
        length("diameter", "Diameter", plausible=SMALL_LENGTH),
        length("across_flats", "Across flats", plausible=SMALL_LENGTH),
        length("width", "Width"),
        length("height", "Height"),
        length("thickness", "Thickness of the section", plausible=WALL),
        length("length_over_all", "Length over all"),
        MASS,
        CRACKS,
        CORROSION,
        FINISH,
        marking("stamp", "Mill stamp or colour", "Stamps, printing or a painted end."),
        LOOK,
    ),
    checks=(condition_rows, plated_steel_rows, mass_rows, galvanic_rows, hazard_rows),
    covers=CONDITION_KEYS,
    draw=bar_drawing,
)
