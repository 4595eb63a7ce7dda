"""Ball and roller bearings."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import claims, wants
from server.domain.parts._examples import size as of
from server.domain.parts._fits import fit_rows
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._section_drawings import bush_drawing
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("deep groove", "Deep-groove ball", "ball bearing", "Rillenkugellager", "roulement à billes"),
    ("self-aligning", "Self-aligning ball", "Pendelkugellager", "roulement à rotule"),
    ("angular", "Angular-contact ball", "Schrägkugellager", "contact oblique"),
    ("magneto", "Magneto, separable ball", "Schulterkugellager"),
    ("airframe", "Airframe control ball", "control bearing", "torque tube bearing"),
    ("cylindrical", "Cylindrical roller", "Zylinderrollenlager", "roulement à rouleaux"),
    ("taper", "Taper roller", "tapered roller", "cup and cone", "Kegelrollenlager", "rouleaux coniques"),
    ("needle", "Needle roller", "Nadellager", "roulement à aiguilles"),
    ("thrust", "Thrust", "Axiallager", "butée"),
    ("spherical plain", "Spherical plain", "rod end", "Gelenklager", "rotule"),
)
CLOSURES = one_of(
    ("open", "Open", "offen", "ouvert"),
    ("one shield", "One metal shield", "Z"),
    ("shields", "Metal shields both sides", "ZZ", "2Z"),
    ("one seal", "One rubber seal", "RS"),
    ("seals", "Rubber seals both sides", "2RS", "DDU"),
    ("felt", "Felt seals", "felt"),
)

_TRADE = common_practice("how bearings stand for each other")
CHANGES = {
    ("self-aligning", "deep groove"): refused_flying(
        "load rating.", "it does not follow a bent or crooked shaft: it binds.", _TRADE, LOADED
    ),
    ("deep groove", "self-aligning"): allowed("it follows a crooked shaft.", "side load.", _TRADE),
    ("angular", "deep groove"): refused_flying(
        "it takes load both ways.", "side load rating and preload.", _TRADE, LOADED
    ),
    ("taper", "deep groove"): refused_flying("no adjustment.", "side load and adjustment.", _TRADE, LOADED),
    ("airframe", "deep groove"): refused_flying(
        "price.", "grease, seals and rings made for slow rocking loads.", _TRADE, LOADED
    ),
    ("magneto", "deep groove"): refused_flying(
        "it is to be had.", "the ring that comes apart at assembly.", _TRADE, LOADED
    ),
    ("needle", "deep groove"): refused("the small outside diameter.", _TRADE),
}
EXAMPLES = (
    Example(
        "An industrial 626 for a pulley bearing of 6 x 19 x 6 mm, claimed sizes only",
        Wanted(
            "bearing",
            (
                wants("kind_of_bearing", "deep groove"),
                wants("bore", of(Kind.LENGTH, low="5.992", high="6.000")),
                wants("outside_diameter", of(Kind.LENGTH, low="18.991", high="19.000")),
                wants("width", of(Kind.LENGTH, low="5.88", high="6.00")),
            ),
            role=Role.CONTROL,
            use=Use.PERMIT,
        ),
        Offered(
            "bearing",
            (
                claims("kind_of_bearing", "deep groove"),
                claims("bore", of(Kind.LENGTH, "6")),
                claims("outside_diameter", of(Kind.LENGTH, "19")),
                claims("width", of(Kind.LENGTH, "6")),
            ),
        ),
        Outcome.NOT_PROVEN,
        common_practice("a claim is no measurement"),
    ),
)

PART_CLASS = PartClass(
    key="bearing",
    name="Bearing, ball or roller",
    family="Mechanical",
    names=listed(
        "bearing, ball bearing, roller bearing, needle bearing, taper roller bearing, bearing cup, bearing cone",
        "rod end, rod-end bearing, control bearing, pulley bearing, wheel bearing, Lager, Kugellager, Wälzlager",
        "Rollenlager, Kegelrollenlager, Nadellager, Gelenkkopf, roulement, roulement à billes",
        "roulement à aiguilles, embout à rotule",
    ),
    characteristics=(
        word("kind_of_bearing", "Kind of bearing", KINDS, essential=True),
        standard_number(),
        length("bore", "Bore", ("1", "300"), essential=True, by_fit=True),
        length("outside_diameter", "Outside diameter", ("3", "400"), essential=True, by_fit=True),
        length(
            "width", "Width", ("1", "150"), "Over the rings; of a taper bearing over all, assembled.", essential=True
        ),
        length("corner_radius", "Corner radius", ("0.05", "6"), "Largest shoulder fillet it clears."),
        word("fit", "Fit on the shaft", hint="As drawn, for example shaft k6.", concern=Concern.FIT, of_place=True),
        word(
            "fit_in_housing",
            "Fit in the housing",
            hint="As drawn, for example housing H7.",
            concern=Concern.FIT,
            of_place=True,
        ),
        length(
            "mating_shaft", "Shaft in it", ("1", "300"), "Of the place, not of the bearing: as measured.", of_place=True
        ),
        length(
            "mating_housing",
            "Hole it sits in",
            ("3", "400"),
            "Of the place, not of the bearing: as measured.",
            of_place=True,
        ),
        length(
            "clearance",
            "Clearance on the shaft",
            ("-0.2", "1"),
            "Bore less shaft; below zero it is pressed.",
            of_place=True,
        ),
        length("interference", "Press in the housing", ("-1", "0.3"), "Outside diameter less hole.", of_place=True),
        word(
            "internal_clearance",
            "Internal clearance",
            one_of(
                ("c2", "C2, less than normal"),
                ("normal", "Normal", "CN", "C0"),
                ("c3", "C3, more than normal"),
                ("c4", "C4"),
            ),
            "As marked after the number.",
            effort=3,
        ),
        word("closure", "Seals or shields", CLOSURES),
        word(
            "cage",
            "Cage",
            one_of(
                ("steel", "Pressed steel", "Stahlblech"),
                ("brass", "Brass", "M", "Messing"),
                ("polyamide", "Polyamide", "nylon", "TN9"),
                ("none", "Full complement, no cage", "vollkugelig"),
            ),
        ),
        word("grease", "Grease or oil", hint="What it is filled with; of the place: what is used there."),
        size(
            "load_rating",
            "Dynamic load rating",
            Kind.FORCE,
            ("10", "2000000"),
            "Of the maker's list, with its edition.",
            concern=Concern.STRENGTH,
            effort=2,
        ),
        size(
            "static_load",
            "Static load rating",
            Kind.FORCE,
            ("10", "2000000"),
            "Of the maker's list; for slow controls this one counts.",
            concern=Concern.STRENGTH,
            effort=2,
        ),
        size("speed_limit", "Limiting speed", Kind.SPEED, ("10", "200000"), effort=2),
        warmest(),
        material("Material of rings", hint="Bearing steel or stainless steel; unmarked rings are not told by eye."),
        marking(),
        look(),
    ),
    checks=(
        word_changes("kind_of_bearing", CHANGES),
        fit_rows("bore", "mating_shaft", "fit", "clearance", own_is_hole=True),
        fit_rows(
            "outside_diameter", "mating_housing", "fit_in_housing", "interference", own_is_hole=False, gap_is_press=True
        ),
        at_least("load_rating", "static_load", "speed_limit", "temperature_high"),
        number_rows("standard_number"),
    ),
    covers=frozenset(
        {
            "kind_of_bearing",
            "fit",
            "fit_in_housing",
            "mating_shaft",
            "mating_housing",
            "clearance",
            "interference",
            "load_rating",
            "static_load",
            "speed_limit",
            "temperature_high",
            "standard_number",
        }
    ),
    stands_in={
        "bush": KindChange(
            "it stands shock and dirt.",
            "friction rises; it wants oil.",
            _TRADE,
            frozenset({Role.CONTROL, Role.PRIMARY}),
        ),
    },
    cautions=("Old grease may be hard or acid: a bearing that stood still for years is washed and looked at first.",),
    examples=EXAMPLES,
    draw=bush_drawing,
    chapter="27",
    help="Rolling bearings and spherical plain bearings, with rod ends.",
)
