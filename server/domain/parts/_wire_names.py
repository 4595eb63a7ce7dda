"""What the names of wire sizes mean: gauge numbers, square millimetres, strands, and the traps among them.

A gauge number is no area: stranded aircraft wire differs from solid wire of
the same number by up to a fifth. A mm² name is bought by its greatest
resistance. “4 mm” auto cable names its OUTSIDE diameter. Sources: the rows of
tables/wire.csv; ASTM B258 for the gauge rule; 17.241 Ω·mm²/km is copper of
100 % IACS.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from math import pi

from server.domain.parts._computed import ac
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table

COPPER = Fraction("17.241")
"""Ω·mm²/km of annealed copper at 20 °C (100 % IACS)."""

ALUMINIUM = Fraction("28.264")
"""Ω·mm²/km of aluminium at 20 °C (61 % IACS), from memory."""

IACS = Source("IACS copper, 0.017241 Ω·mm²/m at 20 °C", standing=Standing.DERIVED)
ASTM_B258 = Source("ASTM B258", "No. 36 = 0.0050 in, No. 0000 = 0.4600 in, 39 equal ratios", standing=Standing.QUOTED)

AIRCRAFT = "AWG aircraft stranded"
SOLID_GAUGE = "AWG solid"
METRIC = "IEC 60228 class 5"
METRIC_7 = "IEC 60228 class 2"
METRIC_SMALL = "DIN VDE 0295 small flexible"
BY_OUTSIDE = "Australian auto cable (named by OUTSIDE diameter)"
BY_STRANDS = "strands"

_LAY = Fraction(104, 100)


@dataclass(frozen=True, slots=True)
class WireSize:
    """One size by name: area in mm², greatest resistance in Ω/km at 20 °C.

    `resistance_low` is what the copper alone would have; the two are equal
    where a table gives a greatest value. `gauge` is the gauge number, 00
    counted as -1.
    """

    system: str
    name: str
    area: Fraction
    resistance: Fraction
    resistance_low: Fraction
    source: Source
    gauge: int | None = None
    note: str = ""


def awg_diameter_in(number: int) -> float:
    """Diameter in inches of solid wire No. `number` (0 for 0, -1 for 00, -2 for 000, -3 for 0000).

    Raises ValueError outside 0000 to 40. Source: ASTM B258.
    """
    if not -3 <= number <= 40:
        raise ValueError(f"there is no gauge No. {number} here")
    return float(0.005 * 92 ** ((36 - number) / 39))


def awg_area_mm2(number: int) -> float:
    """Area in mm² of solid wire of this gauge number."""
    return pi / 4 * (awg_diameter_in(number) * 25.4) ** 2


def circular_mils(diameter_in: float) -> float:
    """Area in circular mils: the square of the diameter in thousandths of an inch."""
    return (1000 * diameter_in) ** 2


def strand_area(strands: int, strand_mm: Fraction) -> Fraction:
    """Metal area in mm² of so many round strands of this diameter in mm."""
    return (strands * Fraction(pi) / 4 * strand_mm**2).limit_denominator(10**9)


_SQUARE = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:mm2|mm²|mm\^2|sq\.?\s*mm|qmm|mm\s*squared|mm\s*carr)", re.IGNORECASE)
_STRANDS = re.compile(r"\b(\d{1,4})\s*/\s*(0?[.,]\d+)\s*(in\b|inch|\"|″|mm)?", re.IGNORECASE)
_GAUGE = re.compile(
    r"(?:\b(?:no|nr|awg|gauge|size|an)\b\.?\s*|#\s*)-?\s*(0{1,4}|[1-4]/0|\d{1,2})(?![\d/.,])"
    r"|\b(0{1,4}|[1-4]/0|\d{1,2})\s*awg\b",
    re.IGNORECASE,
)
_AUTO = re.compile(
    r"(\d)\s*mm\b[\"”»']?\s*(?:auto|automotive|car)\b|auto\w*\s+cable\W+(\d)\s*mm\b(?!\s*[²2])", re.IGNORECASE
)


def read_wire_name(text: str, *, is_wanted: bool) -> WireSize | None:
    """The size a name stands for; None where it names none.

    Takes “No. 18 aircraft”, “AWG 18 solid”, “2.5 mm²”, “28/0.30”, “14/.012 in”
    and “4 mm auto cable”. A gauge number that does not say solid or aircraft
    is read the cautious way: the larger of the two where it is wanted, the
    smaller where it is offered; the note says so.
    """
    auto = _AUTO.search(text)
    if auto:
        return _row(BY_OUTSIDE, f'"{auto.group(1) or auto.group(2)} mm" auto cable')
    square = _SQUARE.search(text)
    if square:
        return _metric(Fraction(square.group(1).replace(",", ".")), text)
    strands = _STRANDS.search(text)
    if strands:
        return _strands(int(strands.group(1)), strands.group(2), strands.group(3) or "")
    gauge = _GAUGE.search(text)
    if gauge:
        return _gauge(gauge.group(1) or gauge.group(2), text.casefold(), is_wanted=is_wanted)
    return None


def _gauge(said: str, text: str, *, is_wanted: bool) -> WireSize | None:
    label = "0" * int(said[0]) if said.endswith("/0") else said.lstrip("0") or said
    solid, aircraft = _row(SOLID_GAUGE, label), _row(AIRCRAFT, label)
    if re.search(r"solid|massiv|single", text):
        return solid
    if re.search(r"aircraft|aviation|strand|mil|\ban\b|19/|37/|7/", text):
        return aircraft
    both = [one for one in (solid, aircraft) if one is not None]
    if len(both) < 2:
        return both[0] if both else None
    pick = (max if is_wanted else min)(both, key=lambda one: one.area)
    size = "larger" if is_wanted else "smaller"
    return WireSize(
        pick.system,
        pick.name,
        pick.area,
        pick.resistance,
        pick.resistance_low,
        pick.source,
        pick.gauge,
        f"“No. {label}” says neither solid nor aircraft stranded; the {size} of the two was taken",
    )


def _metric(nominal: Fraction, text: str) -> WireSize | None:
    label = f"{float(nominal):g} mm2"
    system = METRIC_7 if re.search(r"class\s*2|\b7\b", text) else METRIC
    found = _row(system, label) or _row(METRIC_SMALL, label)
    if found is not None:
        return found
    return WireSize(METRIC, label, nominal, COPPER / nominal, COPPER / nominal, IACS, note="no standard size")


def _strands(number: int, said: str, unit: str) -> WireSize:
    strand = Fraction("0" + said.replace(",", ".").lstrip("0"))
    inches = unit not in {"", "mm"} or (unit == "" and strand < Fraction(5, 100))
    note = ""
    if unit == "" and Fraction(5, 100) <= strand <= Fraction(15, 100):
        note = f"“{said}” read as mm; if a zero was lost and inches were meant, the wire is far thicker"
    area = strand_area(number, strand * Fraction(254, 10) if inches else strand)
    bare = COPPER / area
    name = f"{number}/{said}{' in' if inches else ''}"
    return WireSize(BY_STRANDS, name, area, bare * _LAY, bare, IACS, note=note)


@lru_cache(maxsize=256)
def _row(system: str, label: str) -> WireSize | None:
    for row in read_table("wire"):
        if row["system"] == system and row["size"] == label:
            return _from_row(row)
    return None


def _from_row(row: dict[str, str]) -> WireSize:
    area, greatest = Fraction(row["area_mm2"]), Fraction(row["ohm_per_km_20C"])
    note = row["note"]
    if row["system"] == AIRCRAFT and row["size"] == "24":
        # the circular's 28.40 breaks the pattern of its own column: too high to be a limit for copper
        greatest = COPPER / area
        note = "the table's resistance for No. 24 looks like an alloy's; copper of its area was taken"
    gauge = None
    if row["system"] in {AIRCRAFT, SOLID_GAUGE}:
        gauge = 1 - len(row["size"]) if row["size"].startswith("0") else int(row["size"])
    if row["system"] == AIRCRAFT:
        source = ac("Table 11-9")
    else:
        quoted = row["verification"].startswith("quoted")
        source = Source(row["source"], row["system"], standing=Standing.QUOTED if quoted else Standing.DERIVED)
    # computed rows give the copper alone; tin and lay add a few per cent to what is bought
    is_nominal = row["system"] in {SOLID_GAUGE, BY_OUTSIDE}
    return WireSize(
        row["system"], row["size"], area, greatest * _LAY if is_nominal else greatest, greatest, source, gauge, note
    )


@cache
def aircraft_sizes() -> tuple[tuple[WireSize, dict[int, Fraction], Fraction | None], ...]:
    """Stranded aircraft sizes, the smallest first: size, bundle amperes by class (105, 150, 200 °C), free-air amperes.

    Bundle currents: AC 43.13-1B Table 11-9; free-air currents from memory.
    """
    sizes = []
    for row in read_table("wire"):
        if row["system"] != AIRCRAFT:
            continue
        bundle = {degrees: Fraction(row[f"amp_bundle_{degrees}C"]) for degrees in (105, 150, 200)}
        free = Fraction(row["amp_single_free_air"]) if row["amp_single_free_air"] else None
        sizes.append((_from_row(row), bundle, free))
    return tuple(sorted(sizes, key=lambda one: -one[0].resistance))
