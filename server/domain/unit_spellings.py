"""How people spell units, kind by kind, and which unit of the register each spelling means."""

import functools
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from server.domain.quantities import UNITS, Kind, Unit
from server.domain.reading_fold import fold


@dataclass(frozen=True, slots=True, eq=False)
class Spelled:
    """A spelling resolved: value in the kind's own unit = unit.to_base(typed × factor)."""

    unit: Unit
    factor: Fraction
    kind: Kind
    note: str = ""

    def to_base(self, typed: Fraction) -> Fraction:
        """The typed number in the kind's own unit, exactly."""
        return self.unit.to_base(typed * self.factor if self.factor != 1 else typed)

    def span_to_base(self, span: Fraction) -> Fraction:
        """A typed difference (tolerance, uncertainty) in the kind's own unit, exactly."""
        return self.unit.span_to_base(span * self.factor)


MIL_NOTE = "“mil” read as 0.001 in; in British and German speech it can mean a millimetre"
_KG_NOTE = "“kg” read as kilogram-force"
_ATUE_NOTE = "technical atmospheres above the air's own: 1 at = 0.980665 bar"

# kind, unit of the register, typed numbers are multiplied by this first, spellings in small letters.
# "_" may be typed as a blank, a full stop, both or nothing; "~" marks what is too short to be trusted
# outside a form field
_SPELLINGS: tuple[tuple[Kind, str, str, str], ...] = (
    (Kind.LENGTH, "mm", "1", "mm millimeter millimetre millimeters millimetres millimetern"),
    (Kind.LENGTH, "cm", "1", "cm centimetre centimeter centimetres centimeters zentimeter"),
    (Kind.LENGTH, "m", "1", "m metre meter metres meters metern mtr mtrs"),
    (Kind.LENGTH, "µm", "1", "µm ~um micron microns micrometre micrometer"),
    (Kind.LENGTH, "in", "1", "in inch inches ins zoll zollig \" ''"),
    (Kind.LENGTH, "ft", "1", "ft foot feet fuss fus '"),
    (Kind.LENGTH, "yd", "1", "yd yds yard yards"),
    (Kind.LENGTH, "thou", "1", "thou thous mil mils thousandths"),
    (Kind.AREA, "mm²", "1", "mm² mm2 sq_mm mm_sq q_mm square_mm square_millimetres"),
    (Kind.AREA, "cm²", "1", "cm² cm2 sq_cm qcm"),
    (Kind.AREA, "cm²", "10000", "m² m2 sq_m qm"),
    (Kind.AREA, "in²", "1", "in² in2 sq_in sq_inch square_inch square_inches"),
    (Kind.AREA, "in²", "144", "ft² ft2 sq_ft"),
    (Kind.AREA, "cmil", "1", "cmil cmils circ_mil circ_mils circular_mil circular_mils"),
    (Kind.AREA, "cmil", "1000", "mcm kcmil"),
    (Kind.ANGLE, "°", "1", "° deg degs degree degrees ~grad"),
    (Kind.TEMPERATURE, "°C", "1", "°c ~c deg_c degree_c degrees_c celsius centigrade ℃ °_celsius grad_c °_c"),
    (Kind.TEMPERATURE, "°F", "1", "°f ~f deg_f degree_f degrees_f fahrenheit °_fahrenheit ℉ °_f"),
    (Kind.MASS, "g", "1", "g ~gr gram grams gramme grammes gramm"),
    (Kind.MASS, "kg", "1", "kg kilo kilos kilogram kilograms kgs"),
    (Kind.MASS, "g", "0.001", "mg"),
    (Kind.MASS, "lb", "1", "lb lbs pound pounds lbm pfund"),
    (Kind.MASS, "oz", "1", "oz ozs ounce ounces"),
    (Kind.FORCE, "N", "1", "~n newton newtons"),
    (Kind.FORCE, "kN", "1", "kn kilonewton"),
    (Kind.FORCE, "N", "10", "dan"),
    (Kind.FORCE, "lbf", "1", "lbf lb lbs pound pounds pounds-force lbsf"),
    (Kind.FORCE, "lbf", "2240", "tonf tonsf"),
    (Kind.FORCE, "kgf", "1", "kgf kp kg"),
    (Kind.STRESS, "MPa", "1", "mpa"),
    (Kind.STRESS, "MPa", "1000", "gpa"),
    (Kind.STRESS, "N/mm²", "1", "n/mm² n/mm2 n/sq_mm"),
    (Kind.STRESS, "kgf/mm²", "1", "kgf/mm² kgf/mm2 kg/mm² kg/mm2 kp/mm² kp/mm2 kg/qmm kg/sq_mm"),
    (Kind.STRESS, "ksi", "1", "ksi kpsi"),
    (Kind.STRESS, "lbf/in²", "1", "lbf/in² lbf/in2 p_s_i lb/in² lb/in2 lbs/in² lbs/in2 lb/sq_in lbs/sq_in lbf/sq_in"),
    (Kind.STRESS, "tonf/in²", "1", "tonf/in² tonf/in2 ton/in² ton/in2 tons/in² tons/in2 ton/sq_in tons/sq_in tsi"),
    (Kind.PRESSURE, "bar", "1", "bar ~bars"),
    (Kind.PRESSURE, "kPa", "1", "kpa"),
    (Kind.PRESSURE, "kPa", "1000", "~mpa"),
    (Kind.PRESSURE, "kPa", "0.1", "mbar hpa"),
    (Kind.PRESSURE, "psi", "1", "p_s_i psig lb/in² lb/in2 lbs/in² lbs/in2 lbf/in² lbf/in2 lb/sq_in lbs/sq_in"),
    (Kind.PRESSURE, "at", "1", "~at kg/cm² kg/cm2 kgf/cm² kgf/cm2 kp/cm² kp/cm2 kg/qcm atu"),
    (Kind.LINE_FORCE, "N/mm", "1", "n/mm kn/m"),
    (Kind.LINE_FORCE, "N/mm", "0.02", "n/5cm"),
    (Kind.LINE_FORCE, "N/mm", "0.2", "dan/5cm"),
    (Kind.LINE_FORCE, "lbf/in", "1", "lbf/in lb/in lbs/in lbf/inch lb/inch lbs/inch"),
    (Kind.AREA_MASS, "g/m²", "1", "g/m² g/m2 gsm g/sq_m g/qm"),
    (Kind.AREA_MASS, "oz/yd²", "1", "oz/yd² oz/yd2 oz/sq_yd oz/sq_yard"),
    (Kind.DENSITY, "g/cm³", "1", "g/cm³ g/cm3 g/cc kg/dm³ kg/dm3"),
    (Kind.DENSITY, "g/cm³", "0.001", "kg/m³ kg/m3"),
    (Kind.DENSITY, "lb/in³", "1", "lb/in³ lb/in3 lb/cu_in lbs/cu_in"),
    (Kind.DENSITY, "lb/in³", "1/1728", "lb/ft³ lb/ft3 lb/cu_ft lbs/cu_ft pcf"),
    (Kind.VOLTAGE, "V", "1", "v volt volts v_d_c v_a_c volts_dc volts_ac"),
    (Kind.VOLTAGE, "V", "0.001", "mv"),
    (Kind.VOLTAGE, "V", "1000", "kv"),
    (Kind.CURRENT, "A", "1", "a amp amps ampere amperes"),
    (Kind.CURRENT, "mA", "1", "ma milliamp milliamps"),
    (Kind.CURRENT, "mA", "0.001", "µa ua"),
    (Kind.POWER, "W", "1", "w watt watts"),
    (Kind.POWER, "W", "0.001", "mw"),
    (Kind.POWER, "W", "1000", "kw kilowatt"),
    (Kind.RESISTANCE, "Ω", "1", "ω ohm ohms"),
    (Kind.RESISTANCE, "Ω", "0.001", "mω m_ohm milliohm milliohms"),
    (Kind.RESISTANCE, "kΩ", "1", "k_ω k_ohm k_ohms kiloohm ~k"),
    (Kind.RESISTANCE, "kΩ", "1000", "meg_ω meg_ohm meg_ohms mega_ω mega_ohm mega_ohms"),
    (Kind.LINE_RESISTANCE, "Ω/km", "1", "ω/km ohm/km ohms/km mω/m mohm/m"),
    (Kind.LINE_RESISTANCE, "Ω/km", "1000", "ω/m ohm/m ohms/m"),
    (Kind.LINE_RESISTANCE, "Ω/1000 ft", "1", "ω/1000_ft ohm/1000_ft ohms/1000_ft ohm/kft ohms/kft ω/kft"),
    (Kind.LINE_RESISTANCE, "Ω/1000 ft", "1000", "ω/ft ohm/ft ohms/ft"),
    (Kind.FREQUENCY, "Hz", "1", "hz hertz cps ~c/s ~cycles"),
    (Kind.FREQUENCY, "Hz", "1000", "khz ~kc kc/s"),
    (Kind.FREQUENCY, "Hz", "1000000", "mhz mc/s"),
    (Kind.SPEED, "1/min", "1", "1/min r_p_m r/min rev/min revs/min u/min min-1 min⁻¹"),
    (Kind.COUNT, "off", "1", "off pc pcs piece pieces no nos ea each stuck stk stck ~st pair pairs"),
    (Kind.SHARE, "%", "1", "% percent prozent pct"),
    (Kind.THREADS, "tpi", "1", "t_p_i threads_per_inch threads/inch threads/in"),
    (Kind.CAPACITANCE, "µF", "1", "µf uf mfd microfarad microfarads"),
    (Kind.CAPACITANCE, "µF", "0.001", "nf"),
    (Kind.CAPACITANCE, "µF", "0.000001", "pf ~mmf"),
    (Kind.INTENSITY, "cd", "1", "~cd candela candelas"),
    (Kind.AIRSPEED, "km/h", "1", "km/h kmh kph"),
    (Kind.AIRSPEED, "mph", "1", "m_p_h"),
    (Kind.AIRSPEED, "kt", "1", "kt kts knot knots"),
)

_NOTES = {
    (Kind.LENGTH, "mil"): MIL_NOTE,
    (Kind.LENGTH, "mils"): MIL_NOTE,
    (Kind.FORCE, "kg"): _KG_NOTE,
    (Kind.PRESSURE, "atu"): _ATUE_NOTE,
}

# in running text a spelling means the first of these kinds that knows it
_TEXT_KINDS = (
    Kind.LENGTH,
    Kind.AREA,
    Kind.VOLTAGE,
    Kind.CURRENT,
    Kind.POWER,
    Kind.RESISTANCE,
    Kind.LINE_RESISTANCE,
    Kind.CAPACITANCE,
    Kind.FREQUENCY,
    Kind.PRESSURE,
    Kind.STRESS,
    Kind.MASS,
    Kind.FORCE,
    Kind.AREA_MASS,
    Kind.TEMPERATURE,
    Kind.ANGLE,
    Kind.SPEED,
    Kind.AIRSPEED,
    Kind.THREADS,
    Kind.INTENSITY,
)
_SQUEEZE = str.maketrans("", "", " .^_")


def _rows(kind: Kind | None) -> Iterator[tuple[Kind, str, str, str]]:
    for wanted in _TEXT_KINDS if kind is None else (kind,):
        for one, unit, factor, spellings_text in _SPELLINGS:
            if one is wanted:
                for spelling in spellings_text.split():
                    if kind is not None:
                        yield one, unit, factor, spelling.removeprefix("~")
                    elif not spelling.startswith("~"):
                        yield one, unit, factor, spelling
    if kind is not None:
        # every unit is read as it is printed
        for name, printed in UNITS.items():
            if printed.kind is kind:
                yield kind, name, "1", fold(name).replace(" ", "_")


@functools.cache
def _spelled(unit: str, factor: str, kind: Kind, note: str) -> Spelled:
    # one object for all spellings of a unit: "in", "inch" and the double prime are the same
    return Spelled(UNITS[unit], Fraction(factor), kind, note)


@functools.cache
def spellings(kind: Kind | None) -> Mapping[str, Spelled]:
    """Squeezed spelling to unit, of one kind; of all kinds that can stand in running text for None."""
    table: dict[str, Spelled] = {}
    for one, unit, factor, spelling in _rows(kind):
        key = spelling.translate(_SQUEEZE)
        table.setdefault(key, _spelled(unit, factor, one, _NOTES.get((one, key), "")))
    return table


@functools.cache
def unit_pattern(kind: Kind | None) -> re.Pattern[str]:
    """Finds a unit of this kind (None: of any kind, in running text) right behind a number."""
    every = sorted({spelling for _, _, _, spelling in _rows(kind)}, key=len, reverse=True)
    # a sign ends itself; letters must not run on, but "6mmx8" is a unit and a times sign
    words = "|".join(_loosely(one) for one in every if one[-1].isalnum() or one == "'")
    signs = "|".join(_loosely(one) for one in every if not (one[-1].isalnum() or one == "'"))
    ends = r"(?![a-wyzµω0-9²³]|x(?![ ]?[0-9.ø]))\.?"
    either = f"(?:{words}){ends}|(?:{signs})" if signs else f"(?:{words}){ends}"
    return re.compile(rf"[ ]{{0,2}}-?({either})")


def _loosely(spelling: str) -> str:
    if spelling == "'":
        return "'(?!')"
    pattern = re.escape(spelling).replace("_", "[. ]{0,2}").replace("/", "[ ]?/[ ]?")
    return re.sub(r"(?<=[a-z])([23])$", r"\^?\1", pattern)


def unit_at(original: str, low: str, at: int, kind: Kind | None) -> tuple[Spelled, str, int] | None:
    """The unit right behind a number: what it means, its squeezed spelling and where it ends.

    Large and small letters count only where they must: MΩ is not mΩ.
    """
    found = unit_pattern(kind).match(low, at)
    if found is None:
        return None
    key = found.group(1).translate(_SQUEEZE)
    if key.startswith(("mω", "mohm")) and original[found.start(1)] == "M" and not key.endswith("/m"):
        key = "mega" + key[1:]
    return spellings(kind)[key], key, found.end()
