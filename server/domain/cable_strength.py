"""Least breaking strength of flexible control cable, by diameter, construction and metal."""

from fractions import Fraction
from functools import lru_cache

from server.domain.parts._kit import StandardLimits
from server.domain.quantities import INCH
from server.domain.sources import Source
from server.domain.specification import Requirement
from server.domain.tables.read import read_table

CABLE_TABLE = Source("AC 43.13-1B", "Table 7-3, MIL-W-83420", "8 Sep 1998")

LBF = Fraction("4.4482216152605")
_COLUMNS = {
    "galvanised": "carbon_steel_lbf",
    "tinned": "carbon_steel_lbf",
    "stainless": "corrosion_resistant_lbf",
}


def diameter_limits(nominal: Fraction, _requirement: Requirement) -> StandardLimits | None:
    """Limits of a cable's diameter in mm: never under the nominal, over it by the table's plus; None for other sizes.

    The plus is the same for every construction of a nominal.
    """
    for row in read_table("cables"):
        if Fraction(row["diameter_in"]) * INCH == nominal:
            said = f"the source gives no limits; the cable table's +{row['plus_in']} in, plus only, assumed"
            return StandardLimits(nominal, nominal + Fraction(row["plus_in"]) * INCH, CABLE_TABLE, said)
    return None


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
