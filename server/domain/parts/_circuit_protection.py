"""Fuses, breakers and switches: what protects a wire, and what a switch has to be rated for.

Source: AC 43.13-1B, Tables 11-3 and 11-4 and p. 11-17, read in a copy of the pages.
"""

from fractions import Fraction

from server.domain.parts._computed import ac

PROTECTION_TABLE = ac("11-49, Table 11-3")
SWITCH_TABLE = ac("p. 11-17, Table 11-4")
AC_RATED_RULE = ac("p. 11-17, warning on AC switches in DC circuits")

_PROTECTORS: dict[int, tuple[str, str]] = {
    22: ("5", "5"),
    20: ("7.5", "5"),
    18: ("10", "10"),
    16: ("15", "10"),
    14: ("20", "15"),
    12: ("30", "20"),
    10: ("40", "30"),
    8: ("50", "50"),
    6: ("80", "70"),
    4: ("100", "70"),
    2: ("125", "100"),
    1: ("", "150"),
    0: ("", "150"),
}
"""Copper wire gauge to breaker and fuse amperes. Conservative for ordinary installations, says the circular."""

_FACTORS: dict[tuple[int, str], int] = {
    (28, "lamp"): 8,
    (28, "inductive"): 4,
    (28, "resistive"): 2,
    (28, "motor"): 3,
    (12, "lamp"): 5,
    (12, "inductive"): 2,
    (12, "resistive"): 1,
    (12, "motor"): 2,
}

_AS_TABLED = {24: 28, 28: 28, 12: 12, 14: 12}


def greatest_protector(gauge: int, *, is_breaker: bool) -> Fraction | None:
    """The greatest breaker or fuse in A for copper wire of this gauge; None where the table has none."""
    said = _PROTECTORS.get(gauge, ("", ""))[0 if is_breaker else 1]
    return Fraction(said) if said else None


def switch_factor(system_volts: Fraction, load: str) -> int | None:
    """By what the steady current is multiplied to get the rating a switch needs; None outside the table.

    `load` is lamp, inductive, resistive or motor; 24 V is read as 28 V and 14 V as 12 V.
    """
    if system_volts.denominator != 1:
        return None
    return _FACTORS.get((_AS_TABLED.get(int(system_volts), 0), load))
