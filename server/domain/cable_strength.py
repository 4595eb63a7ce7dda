"""Least breaking strength of flexible control cable, by diameter, construction and metal."""

from fractions import Fraction
from functools import lru_cache

from server.domain.quantities import INCH
from server.domain.sources import Source
from server.domain.tables.read import read_table

CABLE_TABLE = Source("AC 43.13-1B", "Table 7-3, MIL-W-83420", "8 Sep 1998")

LBF = Fraction("4.4482216152605")
_COLUMNS = {
    "galvanised": "carbon_steel_lbf",
    "tinned": "carbon_steel_lbf",
    "stainless": "corrosion_resistant_lbf",
}


@lru_cache(maxsize=1024)
def least_breaking_strength(diameter: Fraction, construction: str, metal: str) -> Fraction | None:
    """Least breaking strength in N of a cable of this nominal diameter (mm); None where the table has none.

    `construction` is "7x7", "7x19" or "3x7"; `metal` "galvanised", "tinned"
    or "stainless". A diameter fits a nominal up to the plus tolerance, never below it.
    """
    column = _COLUMNS.get(metal)
    if column is None:
        return None
    for row in read_table("cables"):
        nominal = Fraction(row["diameter_in"]) * INCH
        plus = Fraction(row["plus_in"]) * INCH
        if row["construction"] == construction and nominal <= diameter <= nominal + plus and row[column]:
            return Fraction(row[column]) * LBF
    return None
