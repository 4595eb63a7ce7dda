"""Electric wire: conductor, insulation and the circuit it has to serve.

Resistance decides, area warns, names mislead. Where the circuit is known the
voltage drop and the heat are two tests of their own, and both must pass.
"""

from server.domain.offer import Offered
from server.domain.parts._computed import FAMILY, between
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Example, PartClass
from server.domain.parts._wire_circuit import drop_rows, heat_rows
from server.domain.parts._wire_conductor import (
    NAME_RULE,
    area_rows,
    covering_rows,
    metal_rows,
    name_rows,
    resistance_rows,
    strand_rows,
)
from server.domain.parts._wire_damage import damage_rows
from server.domain.parts._wire_fit import class_rows, diameter_rows, length_rows, wire_figure
from server.domain.parts._wires import (
    CIRCUITS,
    CONDUCTORS,
    DUTIES,
    INSTALLATIONS,
    INSULATIONS,
    PLATINGS,
    SCREENS,
    STRANDINGS,
)
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing
from server.domain.specification import KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

CHARACTERISTICS = (
    Characteristic(
        "size_name",
        "Size as named",
        Concern.FUNCTION,
        help="As printed or drawn: “No. 18 aircraft”, “AWG 18 solid”, “2.5 mm²”, “28/0.30”, “14/.012 in”."
        " A name is no area; the table behind it is.",
    ),
    Characteristic(
        "line_resistance",
        "Resistance of the conductor at 20 °C",
        Concern.FUNCTION,
        Kind.LINE_RESISTANCE,
        help="Greatest, per length: what decides first. Measured on a known length, or from the maker's sheet.",
        plausible=between("0.05", "2000"),
        essential=True,
        effort=3,
    ),
    Characteristic(
        "conductor_area",
        "Conductor area",
        Concern.FUNCTION,
        Kind.AREA,
        help="Metal only. Count the strands, measure one: strands × π/4 × d². Never trust a printed area.",
        plausible=between("0.03", "150"),
        effort=2,
    ),
    Characteristic(
        "stranding",
        "Stranding",
        Concern.FUNCTION,
        choices=STRANDINGS,
        help="Solid breaks where it shakes; many fine strands bend best.",
        tell_with=("eye",),
    ),
    Characteristic(
        "conductor_material",
        "Conductor material",
        Concern.FUNCTION,
        choices=CONDUCTORS,
        effort=2,
        tell_with=("eye", "conductivity"),
    ),
    Characteristic("plating", "Plating of the strands", Concern.FUNCTION, choices=PLATINGS, effort=2),
    Characteristic(
        "insulation_material",
        "Insulation",
        Concern.FUNCTION,
        choices=INSULATIONS,
        essential=True,
        effort=2,
        tell_with=("eye", "analysis"),
    ),
    Characteristic(
        "insulation_class",
        "Temperature class of the insulation",
        Concern.FUNCTION,
        Kind.TEMPERATURE,
        help="At least.",
        plausible=between("50", "450"),
        essential=True,
        effort=4,
    ),
    Characteristic(
        "outside_diameter",
        "Outside diameter",
        Concern.FIT,
        Kind.LENGTH,
        help="Over the insulation; depends on the wire's specification, so measure it.",
        plausible=between("0.5", "40"),
    ),
    Characteristic(
        "nicked_strands",
        "Nicked strands",
        Concern.STRENGTH,
        Kind.COUNT,
        help="Of the find, at the worst strip or after stripping.",
        plausible=between("0", "200"),
    ),
    Characteristic("broken_strands", "Broken strands", Concern.STRENGTH, Kind.COUNT, plausible=between("0", "200")),
    Characteristic("screened", "Screened", Concern.FUNCTION, choices=SCREENS),
    Characteristic("colour", "Colour", Concern.APPEARANCE, judged=True),
    Characteristic(
        "braid", "Braid and lacquer", Concern.APPEARANCE, judged=True, help="Cotton braid, lacquer, tracer threads."
    ),
    Characteristic("marking", "Marking", Concern.APPEARANCE, judged=True, help="Keep what was printed or tagged."),
    Characteristic(
        "length_needed",
        "Length in all",
        Concern.FIT,
        Kind.LENGTH,
        help="For the need: all runs with slack and waste. For the find: what there is.",
        plausible=between("100", "2000000"),
        tell_with=("tape",),
    ),
    Characteristic(
        "current",
        "Current of the circuit",
        Concern.FUNCTION,
        Kind.CURRENT,
        help="What the load draws, at its greatest.",
        plausible=between("0.01", "400"),
        effort=2,
        of_place=True,
    ),
    Characteristic(
        "run_length",
        "Length of the run",
        Concern.FUNCTION,
        Kind.LENGTH,
        help="One way, bus to load, plus the ground wire if there is one.",
        plausible=between("100", "100000"),
        tell_with=("tape",),
        of_place=True,
    ),
    Characteristic(
        "system_voltage",
        "System voltage",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        help="Nominal: 6, 12, 14, 24, 28, 115 or 200 V.",
        plausible=between("4", "250"),
        of_place=True,
    ),
    Characteristic(
        "allowed_drop",
        "Voltage drop allowed",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        help="Only where a drawing or manual sets one; else the table for the system voltage is used.",
        plausible=between("0.05", "15"),
        of_place=True,
    ),
    Characteristic(
        "duty",
        "Duty",
        Concern.FUNCTION,
        choices=DUTIES,
        help="Intermittent only where it is written down.",
        of_place=True,
    ),
    Characteristic(
        "installation",
        "Run in",
        Concern.FUNCTION,
        choices=INSTALLATIONS,
        help="A wire in a bundle or conduit gets hotter.",
        of_place=True,
    ),
    Characteristic("circuit_part", "Part of the system", Concern.FUNCTION, choices=CIRCUITS, of_place=True),
    Characteristic(
        "ambient_temperature",
        "How hot the place gets",
        Concern.FUNCTION,
        Kind.TEMPERATURE,
        plausible=between("-60", "400"),
        effort=4,
        of_place=True,
    ),
    Characteristic(
        "smallest_hole",
        "Smallest hole it must pass",
        Concern.FIT,
        Kind.LENGTH,
        help="Grommet, clamp, connector entry or conduit on its way.",
        plausible=between("0.5", "100"),
        of_place=True,
    ),
)


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("electric_wire", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


def _circuit(amperes: str, run_ft: str, volts: str) -> tuple[Requirement, ...]:
    return (
        wants("current", size(Kind.CURRENT, amperes)),
        wants("run_length", size(Kind.LENGTH, run_ft, "ft"), known=KnownFrom.ON_ORIGINAL),
        wants("system_voltage", size(Kind.VOLTAGE, volts)),
    )


_TABLE = Source("AC 43.13-1B Table 11-9 against IEC 60228 class 5 as quoted", standing=Standing.QUOTED)
_AC_EXAMPLE = Source("AC 43.13-1B", "11-67, example 1, p. 11-26", "Change 1, 27 Sep 2001")

EXAMPLES = (
    Example(
        "Aircraft No. 18 wanted, 1.0 mm² class 5 tinned in hand, its resistance measured",
        _wanted(
            wants("size_name", "No. 18 aircraft"),
            wants("insulation_material", "PVC"),
            wants("insulation_class", size(Kind.TEMPERATURE, "90")),
        ),
        Offered(
            "electric_wire",
            (
                claims("size_name", "1.0 mm² class 5"),
                measures("line_resistance", size(Kind.LINE_RESISTANCE, "19.8"), expanded="0.4"),
                measures("insulation_material", "PVC"),
                measures("insulation_class", size(Kind.TEMPERATURE, "105"), expanded="5", instrument="heat_test"),
            ),
        ),
        Outcome.WITH_REASONS,
        _TABLE,
    ),
    Example(
        "28 V, 20 A over 50 ft with ground return: No. 10 drops too much",
        _wanted(*_circuit("20", "50", "28")),
        Offered("electric_wire", (claims("size_name", "No. 10 aircraft"),)),
        Outcome.NOT_EQUIVALENT,
        _AC_EXAMPLE,
    ),
    Example(
        "“4 mm auto cable” for a 4 mm² drawing call",
        _wanted(wants("size_name", "4 mm²")),
        Offered("electric_wire", (claims("size_name", "4 mm auto cable"),)),
        Outcome.NOT_EQUIVALENT,
        NAME_RULE,
    ),
    Example(
        "No. 20 in a bundle with 10 A: the drop would pass, the heat does not",
        _wanted(*_circuit("10", "5", "28"), wants("installation", "in a bundle")),
        Offered(
            "electric_wire",
            (claims("size_name", "No. 20 aircraft"), claims("insulation_class", size(Kind.TEMPERATURE, "105"))),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("AC 43.13-1B", "11-67a, Table 11-9", "Change 1, 27 Sep 2001"),
    ),
)

PART_CLASS = PartClass(
    key="electric_wire",
    name="Wire, electric",
    family=FAMILY,
    names=(
        "wire",
        "electric wire",
        "electrical wire",
        "electric cable",
        "hook-up wire",
        "lighting cable",
        "starter cable",
        "ignition lead",
        "Leitung",
        "Litze",
        "Kabel",
        "Draht",
        "fil électrique",
        "câble électrique",
        "cavo elettrico",
    ),
    characteristics=CHARACTERISTICS,
    checks=(
        resistance_rows,
        area_rows,
        name_rows,
        metal_rows,
        strand_rows,
        damage_rows,
        covering_rows,
        class_rows,
        diameter_rows,
        length_rows,
        drop_rows,
        heat_rows,
    ),
    covers=frozenset(
        {
            "size_name",
            "line_resistance",
            "conductor_area",
            "stranding",
            "nicked_strands",
            "broken_strands",
            "conductor_material",
            "plating",
            "insulation_material",
            "insulation_class",
            "outside_diameter",
            "length_needed",
        }
    ),
    examples=EXAMPLES,
    chapter="2497",
    draw=wire_figure,
    help="Give resistance or name of the original; with current, run and system voltage the circuit is checked too.",
)
