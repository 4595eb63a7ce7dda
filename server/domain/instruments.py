"""The shop's instruments and the doubt to assume of each when nobody typed one.

The figures are expanded uncertainties (k = 2) in a workshop: dirt, wear and
temperature included. They are common practice, built up from published
greatest errors (DIN 862 for callipers, DIN 863 for micrometers, as quoted on
public pages); a shop with calibration figures types its own.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from server.domain.quantities import Kind
from server.domain.sources import Source, common_practice

SHOP_PRACTICE: Source = common_practice("usual doubt of shop instruments")


@dataclass(frozen=True, slots=True)
class Instrument:
    """One kind of instrument: what it measures and its usual doubt.

    `doubt` is U (k = 2) in the kind's own unit, as a fixed part; `doubt_share`
    adds a part of the reading. `effort` orders instruments: 1 is in the apron
    pocket, 5 is sent out.
    """

    key: str
    name: str
    kind: Kind | None
    doubt: Fraction
    effort: int
    doubt_share: Fraction = Fraction(0)
    note: str = ""

    @property
    def said(self) -> str:
        """The name inside a sentence."""
        return self.name[0].lower() + self.name[1:]

    def doubt_at(self, reading: Fraction) -> Fraction:
        """U (k = 2) to assume at this reading."""
        return self.doubt + abs(reading) * self.doubt_share if self.doubt_share else self.doubt


_TABLE = (
    Instrument("rule", "Steel rule, ½ mm", Kind.LENGTH, Fraction("0.3"), 1),
    Instrument("rule_64", "Steel rule, 1/64 in", Kind.LENGTH, Fraction("0.25"), 1),
    Instrument("magnifier", "Magnifier with scale", Kind.LENGTH, Fraction("0.1"), 2),
    Instrument("vernier", "Vernier calliper, 0.05 mm", Kind.LENGTH, Fraction("0.07"), 1),
    Instrument("calliper", "Digital calliper", Kind.LENGTH, Fraction("0.04"), 1),
    Instrument("depth_gauge", "Depth gauge", Kind.LENGTH, Fraction("0.05"), 2),
    Instrument("feeler", "Feeler gauge", Kind.LENGTH, Fraction("0.02"), 2),
    Instrument("pin_gauge", "Pin gauges, 0.01 mm steps", Kind.LENGTH, Fraction("0.01"), 3),
    Instrument("micrometer", "Micrometer", Kind.LENGTH, Fraction("0.01"), 2),
    Instrument("bore_gauge", "Bore gauge", Kind.LENGTH, Fraction("0.008"), 3),
    Instrument("tape", "Tape measure", Kind.LENGTH, Fraction(1), 1, Fraction(1, 1000)),
    Instrument("thickness_gauge", "Ultrasonic thickness gauge", Kind.LENGTH, Fraction("0.1"), 3),
    Instrument("protractor", "Bevel protractor", Kind.ANGLE, Fraction(1, 4), 2),
    Instrument("scale", "Kitchen scale, 1 g", Kind.MASS, Fraction(2), 1),
    Instrument("lab_scale", "Laboratory scale, 0.01 g", Kind.MASS, Fraction("0.02"), 3),
    Instrument("multimeter_v", "Multimeter, volts", Kind.VOLTAGE, Fraction("0.02"), 1, Fraction(1, 100)),
    Instrument("multimeter_a", "Multimeter, amperes", Kind.CURRENT, Fraction("0.02"), 2, Fraction(2, 100)),
    Instrument("multimeter_r", "Multimeter, ohms", Kind.RESISTANCE, Fraction("0.2"), 1, Fraction(1, 100)),
    Instrument("milliohm", "Four-wire milliohm meter", Kind.LINE_RESISTANCE, Fraction(0), 3, Fraction(2, 100)),
    Instrument("spring_balance", "Spring balance", Kind.FORCE, Fraction(1), 1, Fraction(2, 100)),
    Instrument("pressure_gauge", "Test pressure gauge", Kind.PRESSURE, Fraction("0.1"), 2, Fraction(1, 100)),
    Instrument("eye", "By eye", None, Fraction(0), 1, note="a look is no measurement of a size"),
    Instrument(
        "pitch_gauge", "Thread pitch gauge with calliper", None, Fraction(0), 2, note="tells no 55° from 60° form"
    ),
    Instrument("thread_profile", "Thread profile under a glass", None, Fraction(0), 3),
    Instrument("thread_gauge", "Thread gauge, go and not go", None, Fraction(0), 3, note="decides for one thread"),
    Instrument("stamp", "Read off the piece: stamp, plate or print", None, Fraction(0), 1, note="for ratings only"),
    Instrument("magnet", "Magnet", None, Fraction(0), 1, note="tells iron and steel from the rest"),
    Instrument("file_spark", "File and spark test", None, Fraction(0), 2),
    Instrument("conductivity", "Conductivity meter", None, Fraction(0), 4),
    Instrument("hardness", "Hardness tester", None, Fraction(0), 4),
    Instrument("analysis", "Analysis by a laboratory", None, Fraction(0), 5),
    Instrument("penetrant", "Dye penetrant", None, Fraction(0), 4),
    Instrument("heat_test", "Test by a laboratory", None, Fraction(0), 5),
)

INSTRUMENTS: dict[str, Instrument] = {instrument.key: instrument for instrument in _TABLE}


RATINGS = frozenset(
    {Kind.VOLTAGE, Kind.CURRENT, Kind.POWER, Kind.FREQUENCY, Kind.PRESSURE, Kind.TEMPERATURE, Kind.COUNT}
)
"""What a maker stamps on a piece as its rating: read without doubt, where no instrument could measure it."""


def measures(instrument: Instrument, kind: Kind) -> bool:
    """Can this instrument tell a size of this kind?"""
    return instrument.kind is kind or (instrument.key == "stamp" and kind in RATINGS)


@cache
def instruments_for(kind: Kind) -> tuple[Instrument, ...]:
    """Instruments that measure this kind, the handiest first."""
    fitting = [one for one in _TABLE if one.kind is kind]
    return tuple(sorted(fitting, key=lambda one: (one.effort, one.doubt)))


def handiest_within(kind: Kind, reading: Fraction, doubt_wanted: float | None) -> Instrument | None:
    """The handiest instrument whose usual doubt at this reading is small enough; None if no one is.

    Rules and tapes are left out for sizes a rule is no match for by the doubt itself.
    """
    for one in instruments_for(kind):
        if doubt_wanted is None or float(one.doubt_at(reading)) <= doubt_wanted:
            return one
    return None
