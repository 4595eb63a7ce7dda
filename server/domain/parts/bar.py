"""Bar, rod and sections: stock that parts are turned or milled from, and angles and channels used as they are."""

from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
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
from server.domain.quantities import Kind
from server.domain.sources import Source
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

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

_BAR = (wants("material", "2017-T4"), wants("section", "round"), wants("diameter", size(Kind.LENGTH, "20")))
_ROUND = (
    measures("section", "round"),
    measures("diameter", size(Kind.LENGTH, "20.02"), instrument="micrometer"),
)
EXAMPLES = (
    Example(
        "6061-T6 bar for 2017-T4 bar",
        Wanted("bar", _BAR, role=Role.SECONDARY, use=Use.PERMIT),
        Offered(
            "bar",
            (*_ROUND, claims("material", "6061-T6")),
            origin=Origin.INDUSTRIAL,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("MIL-HDBK-5J", "Tables 3.2.2.0(b) and 3.6.2.0(d), digitised copy", "31 Jan 2003"),
    ),
    Example(
        "2024-T4 bar with papers for 2017-T4 bar",
        Wanted("bar", _BAR, role=Role.SECONDARY, use=Use.PERMIT),
        Offered(
            "bar",
            (*_ROUND, claims("material", "2024-T4")),
            origin=Origin.AVIATION,
            evidence=(Evidence.CERTIFICATE,),
        ),
        Outcome.WITH_REASONS,
        Source("MIL-HDBK-5J", "Tables 3.2.2.0(b) and 3.2.3.0(i2), digitised copy", "31 Jan 2003"),
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
    checks=(condition_rows, plated_steel_rows, mass_rows),
    covers=CONDITION_KEYS,
    draw=bar_drawing,
    examples=EXAMPLES,
    help="Stock, or a section used as it is. Read the stamp or the painted end before it is cut off.",
)
