"""Seals, gaskets, rubber rings and profiles."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    FLUIDS,
    coldest,
    cure_date,
    length,
    listed,
    look,
    marking,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._hazards import ASBESTOS_CAUTION, ASBESTOS_RULE
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._rubbers import cure_row, swelling_row
from server.domain.parts._sides import at_least, at_most
from server.domain.quantities import Kind
from server.domain.rubber import FLUID_RULE
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("o-ring", "O-ring", "Dichtring", "joint torique"),
    ("flat gasket", "Flat gasket", "joint", "Flachdichtung", "joint plat"),
    ("lip seal", "Lip or cup seal", "oil seal", "shaft seal", "Wellendichtring", "Manschette", "joint à lèvre"),
    ("felt ring", "Felt ring", "Filzring", "feutre"),
    ("profile", "Rubber profile or weather strip", "weather strip", "extrusion", "Dichtungsprofil", "Keder"),
    ("grommet", "Grommet", "Tülle", "passe-fil"),
    ("sealing washer", "Sealing washer", "copper washer", "crush washer", "Kupferdichtring"),
    ("packing", "Packing cord", "gland packing", "Stopfbuchspackung", "tresse"),
    ("diaphragm", "Diaphragm", "Membran", "membrane"),
    ("moulded ring", "Moulded ring", "filler neck ring", "Formring"),
)
COMPOUNDS = one_of(
    ("natural rubber", "Natural rubber", "NR", "Naturkautschuk", "caoutchouc naturel"),
    ("nitrile", "Nitrile rubber", "NBR", "Buna-N", "Perbunan"),
    ("chloroprene", "Chloroprene rubber", "neoprene", "CR"),
    ("epdm", "Ethylene-propylene rubber", "EPDM", "EPR"),
    ("silicone", "Silicone rubber", "VMQ", "Silikon"),
    ("fluorocarbon", "Fluorocarbon rubber", "FKM", "Viton"),
    ("fluorosilicone", "Fluorosilicone rubber", "FVMQ"),
    ("butyl", "Butyl rubber", "IIR"),
    ("sponge", "Sponge rubber", "Moosgummi", "caoutchouc mousse"),
    ("cork", "Cork", "Kork", "liège"),
    ("rubberised cork", "Rubberised cork"),
    ("fibre", "Vulcanised fibre or paper", "Vulkanfiber", "fibre vulcanisée", "oiled paper"),
    ("leather", "Leather", "Leder", "cuir"),
    ("felt", "Felt", "Filz", "feutre"),
    ("copper", "Copper", "Kupfer", "cuivre"),
    ("aluminium", "Aluminium", "aluminum"),
    ("asbestos", "Asbestos", "Asbest", "amiante", "copper-asbestos", "CAF"),
    ("aramid sheet", "Asbestos-free fibre sheet", "aramid", "asbestfrei"),
    ("ptfe", "PTFE", "teflon"),
    ("graphite", "Graphite or graphited yarn", "Graphit"),
)

_TRADE = common_practice("what seals are made of and why")
CHANGES = {
    ("*", "asbestos"): refused("asbestos is never fitted again.", ASBESTOS_RULE),
    ("asbestos", "asbestos"): refused("asbestos is never fitted again.", ASBESTOS_RULE),
    ("asbestos", "aramid sheet"): allowed("no asbestos.", "heat: ask for the warmth of the place.", _TRADE),
    ("asbestos", "copper"): allowed("no asbestos.", "it gives less: the faces must be true.", _TRADE),
    ("asbestos", "graphite"): allowed("no asbestos.", "it is soft and eats light metal.", _TRADE),
    ("natural rubber", "nitrile"): allowed("it stands oil and petrol.", "cold and tear strength.", FLUID_RULE),
    ("natural rubber", "chloroprene"): allowed("it stands weather and some oil.", "give.", FLUID_RULE),
    ("leather", "nitrile"): allowed("it seals without soaking.", "groove sizes differ.", _TRADE),
    ("leather", "ptfe"): allowed("it does not age.", "give: groove sizes differ.", _TRADE),
    ("nitrile", "fluorocarbon"): allowed("heat and fuel.", "cold: it stiffens.", FLUID_RULE),
    ("cork", "rubberised cork"): allowed("it keeps its shape.", "the look.", _TRADE),
    ("nitrile", "silicone"): refused_flying("cold and heat.", "it swells in petrol and tears.", FLUID_RULE, LOADED),
}
EXAMPLES = (
    Example(
        "An ethylene-propylene ring for a petrol cock: it swells",
        Wanted(
            "seal_gasket",
            (
                wants("kind_of_seal", "o-ring"),
                wants("compound", "nitrile"),
                wants("fluid", "petrol"),
                wants("bore", of(Kind.LENGTH, low="9.8", high="10.2")),
                wants("section", of(Kind.LENGTH, low="1.7", high="1.87")),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "seal_gasket",
            (
                measures("kind_of_seal", "o-ring"),
                claims("compound", "epdm"),
                measures("bore", of(Kind.LENGTH, "10.0"), instrument="calliper"),
                measures("section", of(Kind.LENGTH, "1.78"), expanded="0.02"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        FLUID_RULE,
    ),
)

PART_CLASS = PartClass(
    key="seal_gasket",
    name="Seal or gasket",
    family="Mechanical",
    names=listed(
        "seal, gasket, O-ring, oil seal, lip seal, felt ring, weather strip, rubber extrusion, sealing washer",
        "copper washer, packing, grommet, rubber grommet, rubber ring, diaphragm, Dichtung, Flachdichtung",
        "Dichtring, Wellendichtring, Filzring, Dichtungsprofil, Gummitülle, Membran, joint, joint torique",
        "joint d'étanchéité, passe-fil, membrane",
    ),
    characteristics=(
        word("kind_of_seal", "Kind of seal", KINDS, essential=True),
        standard_number(),
        word(
            "compound",
            "Compound or material",
            COMPOUNDS,
            "Black rubber tells nothing: look for the marking or the packet.",
            essential=True,
            effort=3,
            tell_with=("analysis",),
        ),
        word("fluid", "Fluid", FLUIDS, "What it touches.", essential=True, of_place=True),
        length("bore", "Inside diameter", ("0.5", "1500"), essential=True),
        length("section", "Section", ("0.3", "60"), "Cord diameter of a ring, or height of a profile.", essential=True),
        length("outside_diameter", "Outside diameter", ("1", "1600")),
        length("thickness", "Thickness", ("0.05", "60"), "Of a gasket or washer, before it is clamped."),
        length("width", "Width", ("0.5", "200"), "Of a lip seal, felt ring or profile."),
        length("panel_thickness", "Panel it sits in", ("0.2", "20"), "Of a grommet or profile."),
        length("panel_hole", "Panel hole", ("1", "200"), "Of a grommet."),
        length("length_over_all", "Length over all", ("5", "50000"), "Of a profile.", general=True),
        size("hardness", "Hardness, Shore A", Kind.COUNT, ("10", "100"), "In points of the Shore A scale.", effort=3),
        warmest(),
        coldest(),
        size("pressure", "Pressure", Kind.PRESSURE, ("0", "700"), concern=Concern.FUNCTION, effort=3),
        cure_date(),
        marking(),
        look(),
    ),
    checks=(
        word_changes("compound", CHANGES, {"asbestos": ASBESTOS_CAUTION}),
        swelling_row,
        cure_row,
        at_least("temperature_high", "pressure"),
        at_most("temperature_low"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"compound", "cure_date", "temperature_high", "pressure", "temperature_low", "standard_number"}),
    stands_in={
        "cord_thread": refused_flying(
            "it is to be had.", "shape and compound: packing cord only in a gland.", _TRADE, LOADED
        ),
    },
    cautions=("Old gaskets, packings and heat shields may hold asbestos: don't scrape or blow, have them sampled.",),
    draw=rings("Seal, seen from above", "bore", "outside_diameter"),
    examples=EXAMPLES,
    chapter="14",
    help="What keeps oil, fuel, water, air or dust where it belongs.",
)
