"""Strength of solid rivets against each other and against the sheet.

The published shear figures were not seen, but for one cell; so figures inform
and the seen rules decide: a weaker rivet only one size up and only within its
limits (FAA AC 43.13-1B, para 4-57b).
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache
from math import pi

from server.domain import rivet_sources as src
from server.domain.designations import resolve
from server.domain.joints import inch_of, nominal_inch
from server.domain.material_meaning import Found
from server.domain.material_table import ValueClass, lines_for
from server.domain.parts._kit import fold_word
from server.domain.quantities import INCH, UNITS
from server.domain.sources import Source
from server.domain.tables.read import read_table

EDGE, CSK_EDGE, PITCH = Fraction(2), Fraction(5, 2), Fraction(3)
"""Least edge distance and pitch as parts of D; the countersunk edge is a stricter rule of an examination guide."""

LEAST_SHEET_RATIO, REDUCED_BELOW = Fraction("0.18"), Fraction("0.33")
"""Sheet thickness over diameter: below the first no bearing is computed, below the second single shear is reduced."""

_RANK = ("1100", "5056", "2117", "2017", "2024")
"""Weakest first. 2117 under 2017 under 2024 is the order of AC 43.13-1B para 4-57b; the ends are from memory."""

_LIMIT = {"2017": INCH * 3 / 16, "2024": INCH * 5 / 32}
"""Up to this diameter 2117 may stand in for the alloy, one size up."""

_NEAR = INCH / 1000


@dataclass(frozen=True, slots=True)
class Alloy:
    """An alloy of solid rivets: its code letters and head mark; `shear` is in MPa, None where nothing is published."""

    key: str
    designation: str
    code: str
    head_mark: str
    shear: Fraction | None
    shear_source: Source | None

    @property
    def name(self) -> str:
        """As it is said: "2117-T4 (AD)"."""
        return f"{self.designation} ({self.code})"


@cache
def _alloys() -> dict[str, Alloy]:
    found: dict[str, Alloy] = {}
    for row in read_table("rivets_alloys"):
        shear, source = None, None
        if row["fsu_ksi"]:
            shear = UNITS["ksi"].to_base(Fraction(row["fsu_ksi"]))
            source = Source(row["fsu_source"], standing=src.STATUS[row["fsu_status"]])
        one = Alloy(row["key"], row["designation"], row["code"], row["head_mark"], shear, source)
        for word in row["words"].split(";"):
            found[fold_word(word)] = one
    return found


def alloy_of(text: str) -> Alloy | None:
    """The rivet alloy that this designation, letter code or old name means; None where it tells no alloy."""
    said = fold_word(text)
    for prefix in ("aluminium alloy ", "aluminium ", "aluminum alloy ", "aluminum ", "alloy "):
        said = said.removeprefix(prefix)
    return _alloys().get(said) or _alloys().get(fold_word(resolve(text).alloy))


@dataclass(frozen=True, slots=True)
class Replacement:
    """May this alloy stand in for that one? `allowed` None: a person has to say."""

    allowed: bool | None
    same: bool
    said: str
    sources: tuple[Source, ...]
    caution: str = ""


def replacement(original: Alloy, offered: Alloy, was: Fraction | None, now: Fraction | None) -> Replacement:
    """May a solid rivet of `offered` alloy and diameter `now` (mm) stand in for one of `original` and `was`?"""
    if original.key == offered.key:
        return Replacement(True, True, f"Both are {original.name}.", (src.AC43_REPLACE,))
    if original.key not in _RANK or offered.key not in _RANK:
        said = f"{offered.name} for {original.name}: no published rule covers this."
        return Replacement(None, False, said, (src.NAVY_SELECTION,))
    if offered.key == "1100":
        said = f"{offered.name} is no structural rivet, and {original.name} was one."
        return Replacement(False, False, said, (src.AC43_NONSTRUCTURAL, src.NAVY_MATERIALS))
    if _RANK.index(offered.key) > _RANK.index(original.key):
        said = f"{offered.name} is stronger than {original.name}: harder to drive, and it may spread a thin sheet."
        caution = ""
        if offered.key in {"2017", "2024"}:
            caution = (
                "2017 and 2024 rivets are heat treated and driven soft from the ice box: within 20 minutes of the"
                " quench, or held at or below 0 °C for up to a day."
            )
        return Replacement(None, False, said, (src.NAVY_MATERIALS,), caution)
    limit = _LIMIT.get(original.key)
    if offered.key != "2117" or limit is None:
        said = f"{offered.name} is weaker than {original.name}, and no rule lets it stand in."
        return Replacement(False, False, said, (src.NAVY_SELECTION, src.AC43_REPLACE))
    largest = f"{Fraction(limit / INCH)} in"
    if was is None or now is None:
        said = (
            f"{offered.name} may stand in for {original.name} up to {largest}, 1/32 in larger; a diameter is missing."
        )
        return Replacement(None, False, said, (src.AC43_REPLACE,))
    old, new = nominal_inch(was) or was, nominal_inch(now) or now
    if old > limit + _NEAR:
        said = f"{offered.name} may stand in for {original.name} only up to {largest}; this one is larger."
        return Replacement(False, False, said, (src.AC43_REPLACE,))
    if new < old + INCH / 32 - _NEAR:
        said = f"{offered.name} is weaker than {original.name}: it has to be 1/32 in larger, and it isn't."
        return Replacement(False, False, said, (src.AC43_REPLACE, src.NAVY_SELECTION))
    said = (
        f"{offered.name}, 1/32 in larger, may stand in for {original.name} up to {largest},"
        " if edge distance and pitch still hold for the larger rivet."
    )
    return Replacement(True, False, said, (src.AC43_REPLACE,))


@lru_cache(maxsize=1024)
def handbook_hole(diameter: Fraction) -> Fraction | None:
    """The hole in mm that shear may be counted on, by nominal inch size; None for others."""
    nominal = nominal_inch(diameter)
    return None if nominal is None else _handbook_holes().get(nominal)


@cache
def _handbook_holes() -> dict[Fraction, Fraction]:
    return {inch_of(row["d_in"]): inch_of(row["hole_in"]) for row in read_table("rivets_solid")}


_QUARTER_PI = Fraction(pi) / 4


def shear_strength(alloy: Alloy, diameter: Fraction, planes: int = 1) -> Fraction | None:
    """Shear in N of one driven rivet over this many planes, on the handbook's hole; None where a figure is missing.

    A larger hole earns nothing (MIL-HDBK-5H, para 8.1.2).
    """
    hole = handbook_hole(diameter)
    if alloy.shear is None or hole is None:
        return None
    return alloy.shear * _QUARTER_PI * hole**2 * planes


def bearing_strength(bearing: Fraction, diameter: Fraction, thickness: Fraction) -> Fraction | None:
    """Bearing in N of a sheet of this bearing strength (MPa); None where t/D is below 0.18 and only a test tells."""
    nominal = nominal_inch(diameter) or diameter
    if thickness / nominal < LEAST_SHEET_RATIO:
        return None
    return bearing * nominal * thickness


@dataclass(frozen=True, slots=True)
class SheetBearing:
    """Ultimate bearing strength of a sheet in MPa, at two diameters from its edge."""

    strength: Fraction
    source: Source


def sheet_bearing(material: str, thickness: Fraction) -> SheetBearing | None:
    """Bearing of this aluminium sheet (designation with temper, "2024-T3 clad") and thickness in mm; None if not held.

    Design minima only. Where the words don't say bare or clad, the weaker one
    counts.
    """
    known = resolve(material, "sheet")
    if known.found is not Found.ONE:
        return None
    found = [
        SheetBearing(line.bearing, line.source)
        for line in lines_for(known.alloy, known.temper, "sheet", thickness, is_clad=known.is_clad)
        if line.bearing is not None and line.value_class is ValueClass.DESIGN_MINIMUM
    ]
    return min(found, key=lambda one: one.strength, default=None)


_SPLICE = {
    "4-9": (Fraction("0.40"), Fraction("1.60")),
    "4-10": (Fraction("0.50"), Fraction("1.60")),
    "4-11": (Fraction("0.70"), Fraction("1.65")),
}
"""Rivet shear and sheet bearing over sheet tensile strength, by table. The notes state 0.40 and 1.60 of 4-9 and
0.70 of 4-11; 0.50 and 1.65 are backed out of the printed figures (4-11 states 1.60, which doesn't meet them)."""

_SPLICE_SHEETS = {"2024": ("4-9", "4-10"), "2014": ("4-9",), "7075": ("4-9",), "2017": ("4-10",), "5052": ("4-11",)}
"""Which tables name which sheet. 4-9 and 4-10 both name 2024-T3: the larger count is taken, and said so."""


def rivets_per_inch(table: str, thickness: Fraction, diameter: Fraction) -> tuple[Fraction, str] | None:
    """2117 rivets per inch of width for a full-strength splice, and what governs; lengths in mm.

    None for a diameter with no handbook hole. Computed by the rule behind FAA
    AC 43.13-1B Tables 4-9 to 4-11; the tests hold it against every printed cell.
    """
    hole = handbook_hole(diameter)
    if hole is None:
        return None
    shear_ratio, bearing_ratio = _SPLICE[table]
    t, h = thickness / INCH, hole / INCH
    by_shear = t / (shear_ratio * _QUARTER_PI * h**2)
    by_bearing = 1 / (bearing_ratio * h)
    return (by_shear, "shear") if by_shear >= by_bearing else (by_bearing, "bearing")


def splice_tables(sheet: str) -> tuple[str, ...]:
    """The splice tables that name a sheet whose designation begins so ("2024-T3"); empty where none does."""
    said = fold_word(sheet)
    return next((tables for alloy, tables in _SPLICE_SHEETS.items() if alloy in said), ())


def splice_count(sheet: str, thickness: Fraction, diameter: Fraction) -> str:
    """What the splice tables ask in this sheet, in words; "" where they don't name it or hold no such cell."""
    counts = {table: found for table in splice_tables(sheet) if (found := rivets_per_inch(table, thickness, diameter))}
    if not counts:
        return ""
    table, (count, governs) = max(counts.items(), key=lambda item: item[1][0])
    both = " (both tables name this sheet; the larger count is taken)" if len(counts) > 1 else ""
    return (
        f"A full-strength splice of this sheet asks {float(count):.1f} rivets of 2117 per inch of width,"
        f" {governs} governing, by the rule of Table {table}{both}."
    )
