"""Lamp: the bulb or sealed beam that is changed, in its holder and behind its own glass."""

from server.domain.offer import Offered
from server.domain.parts._computed import FAMILY, between
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
from server.domain.parts._lamps import (
    BASE_RULE,
    BASES,
    POSITION_LIGHTS,
    STAMPED_RULE,
    base_rows,
    light_rows,
    voltage_rows,
    watts_rows,
)
from server.domain.parts._outline_drawings import boxes
from server.domain.parts._position_lights import INTENSITY_RULE
from server.domain.quantities import Kind
from server.domain.specification import Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

SOURCES_OF_LIGHT = (
    Choice("filament", "Filament", ("incandescent", "tungsten", "Glühlampe")),
    Choice("halogen", "Halogen", ("quartz halogen", "quartz iodine")),
    Choice("led", "LED", ("light emitting diode",)),
)

RETURNS = (
    Choice("shell", "Return through the shell", ("single pole", "earth return", "one wire")),
    Choice("insulated", "Insulated return", ("double pole", "two wire")),
)

CHARACTERISTICS = (
    Characteristic(
        "base",
        "Base (cap)",
        Concern.FIT,
        choices=BASES,
        help="Family, diameter, contacts and pins: BA15s and BAU15s look alike.",
        essential=True,
    ),
    Characteristic(
        "voltage",
        "Voltage",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        help="As stamped on the cap: read it off as measured, ± 0.",
        plausible=between("1", "250"),
        essential=True,
    ),
    Characteristic("watts", "Power", Concern.HAZARD, Kind.POWER, plausible=between("0.1", "1000"), essential=True),
    Characteristic("light_source", "Source of light", Concern.FUNCTION, choices=SOURCES_OF_LIGHT),
    Characteristic("filaments", "Filaments", Concern.FUNCTION, Kind.COUNT, plausible=between("1", "3")),
    Characteristic(
        "light_centre_length",
        "Light centre length",
        Concern.FUNCTION,
        Kind.LENGTH,
        help="From the filament's centre to the pin (bayonet), the lower pin (offset pins), the contact (screw)"
        " or the flange.",
        plausible=between("3", "150"),
        effort=2,
    ),
    Characteristic("bulb_diameter", "Diameter of the glass", Concern.FIT, Kind.LENGTH, plausible=between("3", "220")),
    Characteristic("length_over_all", "Length over all", Concern.FIT, Kind.LENGTH, plausible=between("5", "250")),
    Characteristic("glass_colour", "Colour of the glass", Concern.FUNCTION, help="Clear, red, green, frosted…"),
    Characteristic("vibration_service", "Made for vibration", Concern.FUNCTION, effort=3, judged=True),
    Characteristic(
        "intensity_ahead",
        "Candles, 0 to 10° from ahead",
        Concern.FUNCTION,
        Kind.INTENSITY,
        help="Red and green position lights, measured with their own cover and filter.",
        plausible=between("0.1", "5000"),
        effort=5,
        tell_with=("heat_test",),
    ),
    Characteristic(
        "intensity_off",
        "Candles, 10 to 20° from ahead",
        Concern.FUNCTION,
        Kind.INTENSITY,
        plausible=between("0.1", "5000"),
        effort=5,
        tell_with=("heat_test",),
    ),
    Characteristic(
        "intensity_side",
        "Candles, 20 to 110° from ahead",
        Concern.FUNCTION,
        Kind.INTENSITY,
        plausible=between("0.1", "5000"),
        effort=5,
        tell_with=("heat_test",),
    ),
    Characteristic(
        "intensity_aft",
        "Candles, 110 to 180° from ahead",
        Concern.FUNCTION,
        Kind.INTENSITY,
        help="White tail light.",
        plausible=between("0.1", "5000"),
        effort=5,
        tell_with=("heat_test",),
    ),
    Characteristic(
        "chromaticity",
        "Chromaticity",
        Concern.FUNCTION,
        help="CIE 1931 coordinates behind the light's own glass: “x 0.690 y 0.309”.",
        effort=5,
        tell_with=("heat_test",),
    ),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True),
    Characteristic(
        "system_voltage",
        "System voltage",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        plausible=between("1", "250"),
        of_place=True,
    ),
    Characteristic(
        "fitting_watts",
        "Greatest power the fitting bears",
        Concern.HAZARD,
        Kind.POWER,
        help="From the fitting's plate or the drawing: heat, wire and fuse.",
        plausible=between("0.1", "1000"),
        of_place=True,
    ),
    Characteristic(
        "return_path",
        "Return of the holder",
        Concern.FUNCTION,
        choices=RETURNS,
        help="Two-wire circuits need both leads on contacts and a dead shell.",
        of_place=True,
    ),
    Characteristic(
        "position_light",
        "Position light",
        Concern.FUNCTION,
        choices=POSITION_LIGHTS,
        help="Which of the three, if it is one.",
        of_place=True,
    ),
)


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("lamp", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


_PANEL_LAMP = (
    wants("base", "BA15s"),
    wants("voltage", size(Kind.VOLTAGE, "24")),
    wants("watts", size(Kind.POWER, "5")),
)

EXAMPLES = (
    Example(
        "A BA15s lamp of 24 V 5 W for the same",
        _wanted(*_PANEL_LAMP),
        Offered(
            "lamp",
            (
                measures("base", "BA15s"),
                measures("voltage", size(Kind.VOLTAGE, "24"), expanded="0"),
                measures("watts", size(Kind.POWER, "5"), expanded="0"),
            ),
        ),
        Outcome.WITH_REASONS,
        STAMPED_RULE,
    ),
    Example(
        "A BA15s lamp for a BAU15s holder: the pins stand at another angle",
        _wanted(wants("base", "BAU15s"), *_PANEL_LAMP[1:]),
        Offered("lamp", (measures("base", "BA15s"), measures("voltage", size(Kind.VOLTAGE, "24"), expanded="0"))),
        Outcome.NOT_EQUIVALENT,
        BASE_RULE,
    ),
    Example(
        "A red position light with 35 candles where 40 are the least",
        _wanted(*_PANEL_LAMP, wants("position_light", "red")),
        Offered(
            "lamp",
            (
                measures("base", "BA15s"),
                measures("voltage", size(Kind.VOLTAGE, "24"), expanded="0"),
                measures("watts", size(Kind.POWER, "5"), expanded="0"),
                measures("intensity_ahead", size(Kind.INTENSITY, "35"), expanded="2"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        INTENSITY_RULE,
    ),
)

PART_CLASS = PartClass(
    key="lamp",
    name="Lamp",
    family=FAMILY,
    names=(
        "lamp",
        "bulb",
        "light bulb",
        "navigation light",
        "position light",
        "landing light",
        "sealed beam",
        "Lampe",
        "Glühlampe",
        "Positionslicht",
        "ampoule",
        "feu de position",
    ),
    characteristics=CHARACTERISTICS,
    checks=(base_rows, voltage_rows, watts_rows, light_rows),
    covers=frozenset(
        {
            "base",
            "voltage",
            "watts",
            "light_source",
            "intensity_ahead",
            "intensity_off",
            "intensity_side",
            "intensity_aft",
            "chromaticity",
        }
    ),
    draw=boxes("Lamp, seen from the side", "length_over_all", "bulb_diameter"),
    examples=EXAMPLES,
    chapter="33",
    help="A position light is judged with its own glass fitted, by what it was certified to.",
)
