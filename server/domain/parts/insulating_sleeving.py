"""Insulating sleeving: cloth, varnish, glass, plastic or heat-shrink tube over a wire or a bundle.

The need is opened on the diameter to be covered, the heat of the place and
the look; the old material comes last. Original asbestos is never fitted again.
"""

from collections.abc import Iterable

from server.domain.offer import Offered
from server.domain.parts._computed import FAMILY, between, one_sided_row
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._hazards import ASBESTOS_CAUTION, ASBESTOS_RULE
from server.domain.parts._kit import Case, Characteristic, Example, PartClass
from server.domain.parts._sleeve_fit import SHRINK_RULE, bore_rows, length_rows, size_name_row, sleeve_figure
from server.domain.parts._sleeve_heat import construction_rows, heat_rows, material_rows
from server.domain.parts._sleeving import CONSTRUCTIONS, MATERIALS
from server.domain.parts._thermal import IEC_60085, THERMAL_CLASSES
from server.domain.quantities import Kind
from server.domain.sources import Source
from server.domain.specification import Form, KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row

CHARACTERISTICS = (
    Characteristic(
        "material",
        "Material",
        Concern.FUNCTION,
        help="What the sleeve is made of. An old white or grey cloth sleeve near heat may be asbestos: don't guess.",
        choices=MATERIALS,
        essential=True,
        effort=2,
        tell_with=("eye", "magnifier", "analysis"),
    ),
    Characteristic(
        "construction",
        "Construction",
        Concern.FUNCTION,
        help="How the tube is made: braid, varnished cloth, plain tube, heat-shrink.",
        choices=CONSTRUCTIONS,
    ),
    Characteristic(
        "size_name",
        "Size as named",
        Concern.FIT,
        help="The size as the reel or the drawing names it: “No. 20”, “5.5 mm”, “1/4 in 2:1”."
        " A gauge number means a bare conductor of that gauge.",
    ),
    Characteristic(
        "bore",
        "Bore as supplied",
        Concern.FIT,
        Kind.LENGTH,
        help="Inside diameter before fitting; for heat-shrink the expanded bore, for expandable braid the nominal.",
        plausible=between("0.3", "120"),
        essential=True,
    ),
    Characteristic(
        "recovered_bore",
        "Bore after shrinking",
        Concern.FIT,
        Kind.LENGTH,
        help="Heat-shrink only: the greatest bore once it is fully shrunk.",
        plausible=between("0.1", "80"),
    ),
    Characteristic("wall", "Wall", Concern.FIT, Kind.LENGTH, plausible=between("0.1", "5"), effort=2),
    Characteristic(
        "thermal_class",
        "Thermal class letter",
        Concern.FUNCTION,
        help="The letter of IEC 60085, where a sheet or a tag gives one.",
        choices=THERMAL_CLASSES,
    ),
    Characteristic(
        "temperature_class",
        "Temperature class",
        Concern.FUNCTION,
        Kind.TEMPERATURE,
        help="The temperature the sleeve is rated to stand, at least.",
        plausible=between("60", "700"),
        essential=True,
        effort=4,
    ),
    Characteristic(
        "breakdown_voltage",
        "Breakdown voltage",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        help="At least; on the sheet of the reel, or from a test.",
        plausible=between("100", "30000"),
        effort=4,
    ),
    Characteristic("colour", "Colour", Concern.APPEARANCE, judged=True),
    Characteristic(
        "tracer", "Tracer or fleck", Concern.APPEARANCE, judged=True, help="Coloured thread or fleck in the braid."
    ),
    Characteristic("weave", "Weave", Concern.APPEARANCE, judged=True, help="Coarse, fine, herringbone, glazed…"),
    Characteristic(
        "fluids",
        "Fluids it must stand",
        Concern.FUNCTION,
        help="Fuel, oil, glycol, damp, fungus: what runs or drips there.",
        judged=True,
        effort=3,
    ),
    Characteristic(
        "length_needed",
        "Length in all",
        Concern.FIT,
        Kind.LENGTH,
        help="For the need: all pieces together, with waste. For the find: what there is.",
        plausible=between("10", "500000"),
        tell_with=("tape",),
    ),
    Characteristic(
        "covers_diameter",
        "Diameter to be covered",
        Concern.FIT,
        Kind.LENGTH,
        help="Outside diameter of the wire or bundle that goes inside, measured where it is thickest.",
        plausible=between("0.3", "100"),
        of_place=True,
    ),
    Characteristic(
        "covered_wires",
        "Wires inside",
        Concern.FIT,
        Kind.COUNT,
        help="How many wires the bundle has: for the figure, and for its size where it can't be measured.",
        plausible=between("1", "200"),
        of_place=True,
    ),
    Characteristic(
        "covered_wire_diameter",
        "Diameter of one wire inside",
        Concern.FIT,
        Kind.LENGTH,
        help="Over its insulation.",
        plausible=between("0.3", "30"),
        of_place=True,
    ),
    Characteristic(
        "largest_to_pass",
        "Largest thing to slip it over",
        Concern.FIT,
        Kind.LENGTH,
        help="A terminal or plug that is already on the wire; none if it can be fitted from a free end.",
        plausible=between("0.3", "150"),
        of_place=True,
    ),
    Characteristic(
        "location_temperature",
        "How hot the place gets",
        Concern.FUNCTION,
        Kind.TEMPERATURE,
        help="Measured or estimated at the sleeve, engine running. Rate the place, not the old material.",
        plausible=between("-60", "700"),
        effort=4,
        of_place=True,
    ),
)


def breakdown_rows(case: Case) -> Iterable[Row]:
    """Breakdown voltage at least the original's."""
    row = one_sided_row(case, "breakdown_voltage", Form.AT_LEAST, "the original's figure taken as the least allowed")
    return (row,) if row is not None else ()


def _wanted(*requirements: Requirement, use: Use = Use.DISPLAY) -> Wanted:
    return Wanted("insulating_sleeving", requirements, role=Role.SYSTEMS, use=use)


_UL_224 = Source("UL 224 maker's sheet", "AWG-number sizes: No. 20 has 0.75 to 0.95 mm bore")

EXAMPLES = (
    Example(
        "Varnished cotton on a display aeroplane, silicone glass offered and measured",
        _wanted(
            wants("material", "varnished cotton"),
            wants("covers_diameter", size(Kind.LENGTH, "5.2"), known=KnownFrom.ON_ORIGINAL, expanded="0.1"),
            wants("length_needed", size(Kind.LENGTH, "3000"), form=Form.AT_LEAST),
            wants("colour", "black"),
        ),
        Offered(
            "insulating_sleeving",
            (
                measures("material", "silicone glass"),
                measures("bore", size(Kind.LENGTH, "6.1"), expanded="0.2"),
                claims("temperature_class", size(Kind.TEMPERATURE, "180")),
                measures("length_needed", size(Kind.LENGTH, "5000"), instrument="tape"),
                measures("colour", "black"),
            ),
        ),
        Outcome.WITH_REASONS,
        IEC_60085,
    ),
    Example(
        "“No. 20” sleeving for an insulated No. 20 wire of 1.5 mm",
        _wanted(
            wants("material", "pvc"),
            wants("covers_diameter", size(Kind.LENGTH, "1.5"), known=KnownFrom.ON_ORIGINAL, expanded="0.04"),
            use=Use.PERMIT,
        ),
        Offered("insulating_sleeving", (measures("material", "pvc"), claims("size_name", "No. 20"))),
        Outcome.NOT_EQUIVALENT,
        _UL_224,
    ),
    Example(
        "Heat-shrink 2:1 that passes the terminal but shrinks no further than 0.125 in, on a 0.090 in wire",
        _wanted(
            wants("material", "polyolefin"),
            wants("covers_diameter", size(Kind.LENGTH, "0.090", "in"), expanded="0.04"),
            wants("largest_to_pass", size(Kind.LENGTH, "0.240", "in"), expanded="0.04"),
        ),
        Offered(
            "insulating_sleeving",
            (
                measures("material", "polyolefin"),
                measures("construction", "heat shrink"),
                claims("size_name", "1/4 in"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        SHRINK_RULE,
    ),
    Example(
        "Original asbestos, old stock of the same offered",
        _wanted(wants("material", "asbestos"), wants("covers_diameter", size(Kind.LENGTH, "8"))),
        Offered(
            "insulating_sleeving",
            (measures("material", "asbestos"), measures("bore", size(Kind.LENGTH, "9.5"), instrument="calliper")),
        ),
        Outcome.NOT_EQUIVALENT,
        ASBESTOS_RULE,
    ),
)

PART_CLASS = PartClass(
    key="insulating_sleeving",
    name="Sleeving, insulating",
    family=FAMILY,
    names=(
        "sleeving",
        "insulating sleeving",
        "cloth sleeving",
        "cotton sleeving",
        "wire sleeve",
        "spaghetti",
        "spaghetti tubing",
        "varnished cambric",
        "heat shrink",
        "Isolierschlauch",
        "Gewebeschlauch",
        "Bougierohr",
        "Schrumpfschlauch",
        "gaine isolante",
        "souplisseau",
        "guaina isolante",
    ),
    characteristics=CHARACTERISTICS,
    checks=(
        material_rows,
        construction_rows,
        size_name_row,
        bore_rows,
        heat_rows,
        breakdown_rows,
        length_rows,
    ),
    covers=frozenset(
        {
            "material",
            "construction",
            "size_name",
            "bore",
            "recovered_bore",
            "thermal_class",
            "temperature_class",
            "breakdown_voltage",
            "length_needed",
        }
    ),
    cautions=(ASBESTOS_CAUTION,),
    examples=EXAMPLES,
    chapter="2497",
    draw=sleeve_figure,
    help="Give the diameter to be covered and how hot the place gets; bore and class are judged against those.",
)
