"""Sheet and wire gauges: what a gauge number means in millimetres and as a conductor's area.

Tables with their sources: tables/gauges.csv. American wire gauge follows the
rule of ASTM B258 as quoted (No. 36 = 0.0050 in, No. 0000 = 0.4600 in, 39 equal
ratios between them); its printed table is that rule rounded.
"""

import functools
import math
import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.quantities import INCH, as_decimal_text
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table

AWG_RULE = Source("ASTM B258", "diameter 0.005 in × 92^((36 − n) / 39)", standing=Standing.QUOTED)
STRANDED_NOTE = (
    "solid conductor; stranded aircraft wire of the same number differs by −10 to +19 % "
    "(computed from AC 43.13-1B Table 11-9)"
)

SYSTEMS: dict[str, str] = {
    "swg": "SWG",
    "iswg": "SWG",
    "bwg": "BWG",
    "stubs": "BWG",
    "awg": "AWG",
    "b&s": "AWG",
    "bs": "AWG",
    "uss": "USS",
    "ussg": "USS",
    "us": "USS",
    "usstd": "USS",
    "usstandard": "USS",
    "ussheet": "USS",
    "msg": "MSG",
    "mfrs": "MSG",
    "w&m": "W&M",
    "wm": "W&M",
    "dbl": "DBL",
    "dml": "DML",
}
"""Spelling in small letters, without blanks and full stops, to the system of the table."""

_SYSTEM = (
    r"i?s\.?w\.?g|a\.?w\.?g|b\.?w\.?g|b ?& ?s|u\.?s\.?(?: ?(?:standard|std\.?|sheet)|s\.?g?)?|m\.?s\.?g|w ?& ?m|dbl|dml"
)
_WORD = r"gauge|gage|gge|ga"
_NUMBER = r"(?:[1-9]/0|0{2,7}|[0-9]{1,2})"
_NAMED = rf"(?:{_SYSTEM})\.?(?: ?(?:sheet )?(?:{_WORD})\b\.?)?"

GAUGE_AFTER = re.compile(
    rf"(?P<number>{_NUMBER})[ -]?(?:(?P<system>{_NAMED})"
    rf"|(?P<word>{_WORD}|g)\.?(?:[ ]?(?P<late>{_SYSTEM})\.?)?)(?![a-z0-9])"
)
"""A number before its gauge: "16 swg", "4/0 awg", "22 gauge", "16 ga uss"."""

GAUGE_BEFORE = re.compile(rf"(?P<system>{_NAMED})[ .:#-]{{0,2}}(?:no\.? ?)?(?P<number>{_NUMBER})(?![0-9/]|[.,][0-9])")
"""A gauge before its number: "awg22", "swg 16"."""

_SQUEEZE = str.maketrans("", "", " .")
_WORDS = re.compile(rf"(?:sheet ?)?(?:{_WORD})\.?$")


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge number: thickness or diameter in mm, conductor area in mm², and who says so.

    `doubt` is how far two published tables lie apart (mm), 0 where they agree.
    """

    system: str
    number: str
    inch: Fraction | None
    mm: Fraction
    area: Fraction
    doubt: Fraction
    source: str
    remark: str = ""

    @property
    def name(self) -> str:
        """ "16 SWG"."""
        return f"{self.number} {self.system}"

    @property
    def length_note(self) -> str:
        """What was looked up for a thickness or diameter, and where."""
        inch = f"{as_decimal_text(self.inch, 4)} in = " if self.inch is not None else ""
        doubt = f"; another table differs by {as_decimal_text(self.doubt, 4)} mm" if self.doubt else ""
        remark = f"; {self.remark}" if self.remark else ""
        return f"{self.name} = {inch}{as_decimal_text(self.mm, 4)} mm{doubt}{remark} ({self.source})"

    @property
    def area_note(self) -> str:
        """What was worked out for a conductor, and by which rule."""
        if self.system == "AWG":
            return f"{self.name} = {as_decimal_text(self.area, 4)} mm² ({AWG_RULE}); {STRANDED_NOTE}"
        return f"{self.name} = {as_decimal_text(self.area, 4)} mm², round wire of the tabled diameter ({self.source})"


def system_of(spelling: str) -> str | None:
    """The system a spelling names ("s.w.g." → "SWG"), None where it names none ("gauge")."""
    bare = _WORDS.sub("", spelling.strip())
    return SYSTEMS.get(bare.translate(_SQUEEZE))


def find_gauge(system: str, number: str) -> Gauge | None:
    """The tabled gauge of this system ("SWG", "AWG", ...) and number ("16", "4/0", "000"), None if there is none."""
    return _gauges().get((system, _plain_number(number)))


def circle_area(diameter: Fraction) -> Fraction:
    """Area in mm² of a round wire of this diameter in mm, to a millionth of a mm²."""
    return Fraction(round(math.pi / 4 * float(diameter) ** 2 * 1_000_000), 1_000_000)


def awg_area(number: int) -> Fraction:
    """Area in mm² of a solid American wire gauge conductor (n/0 counts as 1 − n), to a millionth of a mm²."""
    inches = 0.005 * 92 ** ((36 - number) / 39)
    return circle_area(Fraction(inches) * INCH)


def _plain_number(number: str) -> str:
    if number.endswith("/0"):
        return number if number != "1/0" else "0"
    if number.strip("0") == "":
        return f"{len(number)}/0" if len(number) > 1 else "0"
    return number.lstrip("0")


@functools.cache
def _gauges() -> dict[tuple[str, str], Gauge]:
    found = {}
    for row in read_table("gauges"):
        system, number = row["system"], row["gauge"]
        inch = Fraction(row["inch"]) if system not in {"DBL", "DML"} else None
        mm = Fraction(row["mm"]) if inch is None else inch * INCH
        doubt = Fraction(0)
        if row["second_table_agrees"] == "no":
            doubt = abs(Fraction(row["second_table_inch"]) * INCH - mm)
        if system == "AWG":
            area = awg_area(1 - int(number[0]) if number.endswith("/0") else int(number))
        else:
            area = circle_area(mm)
        remark = row["note"] if system in {"USS", "DBL", "DML"} else ""
        found[system, number] = Gauge(system, number, inch, mm, area, doubt, row["source"].split(";")[0], remark)
    return found
