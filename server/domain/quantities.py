"""Quantities: an exact value, the unit it was written in, and the text as typed.

A value is held as an exact fraction in its kind's own unit (millimetres for a
length, whatever was typed), so that inches and millimetres compare exactly
and a printed page can show what was written.

Source of the factors: the inch, pound, pound-force and degree Fahrenheit are
defined exactly in SI (international yard and pound agreement of 1959; NIST
SP 811, appendix B; the digits from memory, checked against pint in the tests).
"""

from dataclasses import dataclass, field
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN
from enum import StrEnum
from fractions import Fraction


class Kind(StrEnum):
    """What is measured. The comment gives the unit its values are held in."""

    LENGTH = "length"  # mm
    AREA = "area"  # mm²
    ANGLE = "angle"  # degrees
    TEMPERATURE = "temperature"  # °C
    MASS = "mass"  # g
    FORCE = "force"  # N
    STRESS = "stress"  # MPa
    PRESSURE = "pressure"  # bar
    LINE_FORCE = "force per length"  # N/mm
    AREA_MASS = "mass per area"  # g/m²
    DENSITY = "density"  # g/cm³
    VOLTAGE = "voltage"  # V
    CURRENT = "current"  # A
    POWER = "power"  # W
    RESISTANCE = "resistance"  # Ω
    LINE_RESISTANCE = "resistance per length"  # Ω/km
    FREQUENCY = "frequency"  # Hz
    SPEED = "rotational speed"  # 1/min
    COUNT = "count"  # pieces
    SHARE = "share"  # %
    THREADS = "threads per inch"  # 1/in
    CAPACITANCE = "capacitance"  # µF
    AIRSPEED = "airspeed"  # km/h
    INTENSITY = "luminous intensity"  # cd


UNIT_ASSUMED = "no unit typed"
"""How the note of a quantity begins whose unit nobody typed and the aeroplane's drawings gave."""

INCH = Fraction(254, 10)
_LBF = Fraction("4.4482216152605")
_LB_G = Fraction("453.59237")
# a circle of one thousandth of an inch; π to 24 figures, far below any wire's tolerance
_CIRCULAR_MIL = Fraction("3.14159265358979323846264") / 4 * (INCH / 1000) ** 2
_OZ_YD2 = Fraction("28.349523125") / (Fraction("0.9144") ** 2)


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: value in the kind's own unit = (typed + before) × factor + after."""

    name: str
    kind: Kind
    factor: Fraction
    before: Fraction = Fraction(0)
    after: Fraction = Fraction(0)
    is_base: bool = field(init=False)
    """True for the unit that values of the kind are held in."""

    def __post_init__(self) -> None:
        object.__setattr__(self, "is_base", self.factor == 1 and not self.before and not self.after)

    def to_base(self, typed: Fraction) -> Fraction:
        """The typed number in the kind's own unit, exactly."""
        return (typed + self.before) * self.factor + self.after

    def from_base(self, value: Fraction) -> Fraction:
        """The kind's own value in this unit, exactly."""
        if self.is_base:
            return value
        if not self.after and not self.before:
            return value / self.factor
        return (value - self.after) / self.factor - self.before

    def span_to_base(self, span: Fraction) -> Fraction:
        """A difference (a tolerance, an uncertainty): no offset applies."""
        return span * self.factor


UNITS: dict[str, Unit] = {
    unit.name: unit
    for unit in (
        Unit("mm", Kind.LENGTH, Fraction(1)),
        Unit("µm", Kind.LENGTH, Fraction(1, 1000)),
        Unit("cm", Kind.LENGTH, Fraction(10)),
        Unit("m", Kind.LENGTH, Fraction(1000)),
        Unit("in", Kind.LENGTH, INCH),
        Unit("ft", Kind.LENGTH, INCH * 12),
        Unit("yd", Kind.LENGTH, INCH * 36),
        Unit("thou", Kind.LENGTH, INCH / 1000),
        Unit("mm²", Kind.AREA, Fraction(1)),
        Unit("cm²", Kind.AREA, Fraction(100)),
        Unit("in²", Kind.AREA, INCH**2),
        Unit("cmil", Kind.AREA, _CIRCULAR_MIL),
        Unit("°", Kind.ANGLE, Fraction(1)),
        Unit("°C", Kind.TEMPERATURE, Fraction(1)),
        Unit("°F", Kind.TEMPERATURE, Fraction(5, 9), before=Fraction(-32)),
        Unit("g", Kind.MASS, Fraction(1)),
        Unit("kg", Kind.MASS, Fraction(1000)),
        Unit("lb", Kind.MASS, _LB_G),
        Unit("oz", Kind.MASS, _LB_G / 16),
        Unit("N", Kind.FORCE, Fraction(1)),
        Unit("kN", Kind.FORCE, Fraction(1000)),
        Unit("lbf", Kind.FORCE, _LBF),
        Unit("kgf", Kind.FORCE, Fraction("9.80665")),
        Unit("MPa", Kind.STRESS, Fraction(1)),
        Unit("N/mm²", Kind.STRESS, Fraction(1)),
        Unit("kgf/mm²", Kind.STRESS, Fraction("9.80665")),
        Unit("ksi", Kind.STRESS, _LBF * 1000 / INCH**2),
        Unit("lbf/in²", Kind.STRESS, _LBF / INCH**2),
        Unit("tonf/in²", Kind.STRESS, _LBF * 2240 / INCH**2),
        Unit("bar", Kind.PRESSURE, Fraction(1)),
        Unit("kPa", Kind.PRESSURE, Fraction(1, 100)),
        Unit("psi", Kind.PRESSURE, _LBF / INCH**2 * 10),
        Unit("at", Kind.PRESSURE, Fraction("0.980665")),
        Unit("N/mm", Kind.LINE_FORCE, Fraction(1)),
        Unit("lbf/in", Kind.LINE_FORCE, _LBF / INCH),
        Unit("g/m²", Kind.AREA_MASS, Fraction(1)),
        Unit("oz/yd²", Kind.AREA_MASS, _OZ_YD2),
        Unit("g/cm³", Kind.DENSITY, Fraction(1)),
        Unit("lb/in³", Kind.DENSITY, _LB_G / (INCH / 10) ** 3),
        Unit("V", Kind.VOLTAGE, Fraction(1)),
        Unit("A", Kind.CURRENT, Fraction(1)),
        Unit("mA", Kind.CURRENT, Fraction(1, 1000)),
        Unit("W", Kind.POWER, Fraction(1)),
        Unit("Ω", Kind.RESISTANCE, Fraction(1)),
        Unit("kΩ", Kind.RESISTANCE, Fraction(1000)),
        Unit("Ω/km", Kind.LINE_RESISTANCE, Fraction(1)),
        Unit("Ω/1000 ft", Kind.LINE_RESISTANCE, 1 / (INCH * 12 / 1000)),
        Unit("Hz", Kind.FREQUENCY, Fraction(1)),
        Unit("1/min", Kind.SPEED, Fraction(1)),
        Unit("off", Kind.COUNT, Fraction(1)),
        Unit("%", Kind.SHARE, Fraction(1)),
        Unit("tpi", Kind.THREADS, Fraction(1)),
        Unit("µF", Kind.CAPACITANCE, Fraction(1)),
        Unit("km/h", Kind.AIRSPEED, Fraction(1)),
        Unit("mph", Kind.AIRSPEED, Fraction("1.609344")),
        Unit("kt", Kind.AIRSPEED, Fraction("1.852")),
        Unit("cd", Kind.INTENSITY, Fraction(1)),
    )
}

BASE_UNIT: dict[Kind, str] = {
    Kind.LENGTH: "mm",
    Kind.AREA: "mm²",
    Kind.ANGLE: "°",
    Kind.TEMPERATURE: "°C",
    Kind.MASS: "g",
    Kind.FORCE: "N",
    Kind.STRESS: "MPa",
    Kind.PRESSURE: "bar",
    Kind.LINE_FORCE: "N/mm",
    Kind.AREA_MASS: "g/m²",
    Kind.DENSITY: "g/cm³",
    Kind.VOLTAGE: "V",
    Kind.CURRENT: "A",
    Kind.POWER: "W",
    Kind.RESISTANCE: "Ω",
    Kind.LINE_RESISTANCE: "Ω/km",
    Kind.FREQUENCY: "Hz",
    Kind.SPEED: "1/min",
    Kind.COUNT: "off",
    Kind.SHARE: "%",
    Kind.THREADS: "tpi",
    Kind.CAPACITANCE: "µF",
    Kind.AIRSPEED: "km/h",
    Kind.INTENSITY: "cd",
}


@dataclass(frozen=True, slots=True)
class Quantity:
    """One size as somebody wrote it, exact in its kind's own unit.

    `low` and `high` are the limits where the text gave any ("10–12 mm",
    "6 ± 0.1", "max 35 mm"); a side with no limit is None. `value` is the
    nominal or the single value; for a bare range it is None. `half_step` is
    half of the last decimal written, 0 for a fraction or a whole number.
    """

    kind: Kind
    value: Fraction | None
    unit: str
    text: str
    low: Fraction | None = None
    high: Fraction | None = None
    half_step: Fraction = Fraction(0)
    is_approximate: bool = False
    note: str = ""
    """What was assumed or looked up: "16 SWG = 1.6256 mm (…)", "drawings of this aeroplane are in mm"."""

    @property
    def has_limits(self) -> bool:
        """True where the text itself gave a tolerance, a range or a one-sided limit."""
        return self.low is not None or self.high is not None


def as_decimal_text(value: Fraction, places: int, rounding: str = ROUND_HALF_EVEN, *, keep_zeros: bool = False) -> str:
    """A fraction written with so many decimals; trailing zeros dropped unless kept."""
    bottom = value.denominator
    whole, rest = divmod(value.numerator * 10**places, bottom)
    if rounding == ROUND_CEILING:
        whole += rest > 0
    elif rounding == ROUND_HALF_EVEN:
        whole += 2 * rest + whole % 2 > bottom
    elif rounding != ROUND_FLOOR:
        raise ValueError(rounding)
    sign = "-" if whole < 0 else ""
    if not places:
        return f"{sign}{abs(whole)}"
    figures = str(abs(whole)).zfill(places + 1)
    text = f"{figures[:-places]}.{figures[-places:]}"
    return sign + (text if keep_zeros else text.rstrip("0").rstrip("."))


def write_value(
    value: Fraction, kind: Kind, places: int | None = None, *, unit: str | None = None, rounding: str = ROUND_HALF_EVEN
) -> str:
    """A value with its unit as the register prints it: "6.35 mm", "155 °C"; of a count only the number.

    Lengths are told to the micrometre up to 100 mm, for there fits are decided.
    """
    name = unit or BASE_UNIT[kind]
    number = UNITS[name].from_base(value) if unit else value
    if places is None:
        places = _places(abs(number.numerator) // number.denominator, kind)
    text = as_decimal_text(number, places, rounding)
    if kind is Kind.COUNT:
        return text
    joint = "" if name in {"°", "%"} else "\u202f"
    return f"{text}{joint}{name}"


def _places(whole: int, kind: Kind) -> int:
    """Decimals for a value of so many whole units."""
    if kind is Kind.LENGTH:
        return 3 if whole < 100 else 2 if whole < 1000 else 1
    return 3 if whole < 10 else 2 if whole < 100 else 1 if whole < 1000 else 0


def write_both(value: Fraction) -> str:
    """A length in both systems: "3.175 mm (0.125 in)"."""
    return f"{write_value(value, Kind.LENGTH)} ({write_value(value, Kind.LENGTH, 4, unit='in')})"
