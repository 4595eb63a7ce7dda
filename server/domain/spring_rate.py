"""The rate of a coil spring from its sizes.

k = G d⁴ / (8 D³ n), with D the mean diameter: the textbook formula for round
wire, small pitch and no end effects, as on two public spring pages. The
shear moduli are as those two pages print them; where they disagree the span
of both is kept and counts as doubt.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

from server.domain.sources import Source, Standing

RATE_RULE = Source("rate of a helical spring, G d⁴ / (8 D³ n), textbook formula", standing=Standing.QUOTED)
MODULUS_RULE = Source("shear moduli of spring wire on two public spring pages", standing=Standing.QUOTED)

_PSI = Fraction("4.4482216152605") / Fraction(254, 10) ** 2
"""One psi in MPa."""

MODULI: dict[str, tuple[Fraction, Fraction]] = {
    "steel": (Fraction("11.5e6") * _PSI, Fraction(80000)),
    "stainless": (Fraction(70000), Fraction("11.2e6") * _PSI),
    "phosphor bronze": (Fraction("5.9e6") * _PSI, Fraction(44000)),
    "beryllium copper": (Fraction(47000), Fraction("6.9e6") * _PSI),
}
"""Least and greatest shear modulus in MPa."""

_WORDS = (
    ("stainless", ("stainless", "302", "1.4310", "rostfrei", "inox", "corrosion-resistant", "corrosion resistant")),
    ("phosphor bronze", ("phosphor bronze", "phosphorbronze", "bronze phosphoreux")),
    ("beryllium copper", ("beryllium", "kupferberyllium", "berylliumkupfer")),
    ("steel", ("music wire", "piano wire", "spring steel", "oil tempered", "oil-tempered", "chrome vanadium",
               "federstahl", "klavierdraht", "acier à ressort", "carbon steel")),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Measured:
    """A size with its doubt U (k = 2), both in mm."""

    value: Fraction
    doubt: Fraction = Fraction(0)


def modulus_key(material: str) -> str | None:
    """Which of the moduli a material's name calls for; None if it calls for none of them."""
    low = material.casefold()
    return next((key for key, words in _WORDS if any(word in low for word in words)), None)


def rate(wire: Fraction, outside: Fraction, turns: Fraction, modulus: Fraction) -> Fraction:
    """Rate in N/mm of a coil spring: wire and outside diameter in mm, active turns, shear modulus in MPa.

    Raises ValueError where the wire is too thick for the coil or a size is not above zero.
    """
    mean = outside - wire
    if wire <= 0 or turns <= 0 or mean <= wire:
        raise ValueError("no coil can be wound of this wire")
    return modulus * wire**4 / (8 * mean**3 * turns)


def rate_with_doubt(wire: Measured, outside: Measured, turns: Fraction, key: str) -> Measured:
    """Rate and its U (k = 2) in N/mm: the wire's doubt counts fourfold and more, the modulus is rectangular."""
    low, high = MODULI[key]
    middle = (low + high) / 2
    k = rate(wire.value, outside.value, turns, middle)
    mean = float(outside.value - wire.value)
    by_wire = (4 / float(wire.value) + 3 / mean) * float(wire.doubt)
    by_coil = 3 / mean * float(outside.doubt)
    by_modulus = 2 * float((high - low) / 2 / middle) / sqrt(3)
    share = sqrt(by_wire**2 + by_coil**2 + by_modulus**2)
    return Measured(k, Fraction(float(k) * share).limit_denominator(10**9))
