"""Bushes, plain bearings, spacers and sleeves."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import finish, length, listed, look, material, one_of, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._fits import fit_rows
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused_flying, word_changes
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._section_drawings import bush_drawing
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import KnownFrom, Role, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("plain", "Plain bush", "bushing", "sleeve bearing", "Buchse", "bague", "Gleitlager"),
    ("flanged", "Flanged bush", "collared", "Bundbuchse", "bague à collerette"),
    ("oil-filled", "Oil-filled sintered bush", "sintered", "self-lubricating", "Sinterbuchse", "Oilite"),
    ("lined", "Steel-backed, lined", "PTFE lined", "DU bush"),
    ("rubber", "Rubber bonded bush", "silentbloc", "metalastik", "Gummibuchse"),
    ("spacer", "Spacer or distance tube", "distance piece", "Abstandshülse", "entretoise"),
    ("fibre", "Fibre or phenolic bush", "Hartgewebe", "Tufnol"),
)

_TRADE = common_practice("what bushes are made of and why")
CHANGES = {
    ("plain", "oil-filled"): refused_flying(
        "it needs no grease.", "toughness: sintered bronze cracks under shock and edge load.", _TRADE, LOADED
    ),
    ("flanged", "plain"): refused_flying("none.", "the flange that takes side load and sets the gap.", _TRADE, LOADED),
    ("plain", "flanged"): allowed("it can't walk through.", "the width of the flange; it can be turned off.", _TRADE),
    ("rubber", "plain"): refused_flying("no wear.", "the give that keeps vibration away.", _TRADE, LOADED),
    ("fibre", "plain"): allowed("strength.", "insulation, quietness and its running without oil.", _TRADE),
    ("plain", "fibre"): refused_flying("it runs dry.", "strength and size: it swells when wet.", _TRADE, LOADED),
    ("spacer", "plain"): allowed("a running surface.", "nothing where it only keeps a distance.", _TRADE),
}
EXAMPLES = (
    Example(
        "20 H7/g6 with both members measured: the clearance is proven",
        Wanted(
            "bush",
            (
                wants("kind_of_bush", "plain"),
                wants("material", "phosphor bronze"),
                wants("fit", "20 H7/g6"),
                wants("bore", of(Kind.LENGTH, low="20", high="20.021")),
                wants("mating_shaft", of(Kind.LENGTH, "19.988"), known=KnownFrom.ON_ORIGINAL, expanded="0.005"),
                wants("outside_diameter", of(Kind.LENGTH, low="26.0", high="26.1")),
                wants("length_over_all", of(Kind.LENGTH, low="24.8", high="25.2")),
            ),
            role=Role.SYSTEMS,
        ),
        Offered(
            "bush",
            (
                measures("kind_of_bush", "plain"),
                measures("material", "phosphor bronze", instrument="analysis"),
                measures("bore", of(Kind.LENGTH, "20.012"), expanded="0.008", instrument="bore_gauge"),
                measures("outside_diameter", of(Kind.LENGTH, "26.05"), instrument="micrometer"),
                measures("length_over_all", of(Kind.LENGTH, "25.0"), instrument="calliper"),
            ),
        ),
        Outcome.WITH_REASONS,
        Source("ISO 286-1 limits of 20 H7/g6, 7 to 41 µm; probability 0.9997 computed", standing=Standing.QUOTED),
    ),
    Example(
        "The same fit with a bore measured by calliper: its doubt is wider than the fit",
        Wanted(
            "bush",
            (
                wants("kind_of_bush", "plain"),
                wants("fit", "20 H7/g6"),
                wants("bore", of(Kind.LENGTH, low="20", high="20.021")),
                wants("mating_shaft", of(Kind.LENGTH, "19.988"), known=KnownFrom.ON_ORIGINAL, expanded="0.005"),
            ),
            role=Role.SYSTEMS,
        ),
        Offered(
            "bush",
            (
                measures("kind_of_bush", "plain"),
                measures("bore", of(Kind.LENGTH, "20.01"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_PROVEN,
        Source("ISO 14253-1 decision rule", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="bush",
    name="Bush or spacer",
    family="Mechanical",
    names=listed(
        "bush, bushing, sleeve bearing, plain bearing, flanged bush, spacer, distance piece, distance tube",
        "sleeve, Buchse, Büchse, Lagerbuchse, Abstandshülse, Distanzstück, Gleitlager, bague, douille",
        "entretoise, palier lisse",
    ),
    characteristics=(
        word("kind_of_bush", "Kind of bush", KINDS, essential=True),
        standard_number(),
        length(
            "bore",
            "Bore",
            ("0.5", "300"),
            "Inside diameter as fitted: a press fit closes the bore.",
            essential=True,
            by_fit=True,
        ),
        length("outside_diameter", "Outside diameter", ("1", "400"), essential=True, by_fit=True),
        length(
            "length_over_all",
            "Length over all",
            ("0.5", "500"),
            "Along the axis, with the flange.",
            essential=True,
            general=True,
        ),
        length("flange_diameter", "Flange diameter", ("2", "500")),
        length("flange_thickness", "Flange thickness", ("0.2", "50")),
        word(
            "fit",
            "Fit on the shaft",
            hint="As drawn: hole and shaft of ISO 286, for example 20 H7/g6.",
            concern=Concern.FIT,
            of_place=True,
        ),
        word(
            "fit_in_housing",
            "Fit in the housing",
            hint="As drawn, for example 28 H7/p6.",
            concern=Concern.FIT,
            of_place=True,
        ),
        length(
            "mating_shaft",
            "Shaft in it",
            ("0.5", "300"),
            "Of the place, not of the bush: as measured, with its doubt.",
            of_place=True,
        ),
        length(
            "mating_housing",
            "Hole it is pressed in",
            ("1", "400"),
            "Of the place, not of the bush: as measured.",
            of_place=True,
        ),
        length("clearance", "Clearance on the shaft", ("-0.5", "3"), "Bore less shaft.", of_place=True),
        length(
            "interference",
            "Press in the housing",
            ("-1", "1"),
            "Outside diameter less hole; above zero it is pressed.",
            of_place=True,
        ),
        word("oil_ways", "Oil ways", hint="Grooves, holes or grease nipple, and where."),
        material(essential=True, hint="As certified, with its temper: phosphor bronze, steel, brass, phenolic."),
        finish(),
        look(),
    ),
    checks=(
        word_changes("kind_of_bush", CHANGES),
        fit_rows("bore", "mating_shaft", "fit", "clearance", own_is_hole=True),
        fit_rows(
            "outside_diameter", "mating_housing", "fit_in_housing", "interference", own_is_hole=False, gap_is_press=True
        ),
        number_rows("standard_number"),
    ),
    covers=frozenset(
        {
            "kind_of_bush",
            "fit",
            "fit_in_housing",
            "mating_shaft",
            "mating_housing",
            "clearance",
            "interference",
            "standard_number",
        }
    ),
    stands_in={
        "bearing": KindChange(
            "less friction.",
            "strength against shock; dirt and standing still harm it.",
            _TRADE,
            frozenset({Role.PRIMARY}),
        ),
        "tube": KindChange(
            "it is cut from stock.",
            "running surface and exact bore; good for spacers only.",
            _TRADE,
            frozenset({Role.CONTROL}),
        ),
    },
    cautions=("Dust of beryllium copper is poisonous: no dry grinding or sanding. Ream under extraction.",),
    examples=EXAMPLES,
    draw=bush_drawing,
    chapter="27",
    help="Anything round with a bore that a shaft, pin or bolt runs or sits in.",
)
