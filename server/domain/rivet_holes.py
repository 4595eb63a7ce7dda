"""Holes that rivets sit in, and the grip that blind rivets take: published limits, all in mm."""

from dataclasses import dataclass
from fractions import Fraction

from server.domain import rivet_sources as src
from server.domain.joints import (
    NEAR_NOMINAL,
    WHOLE_STEP,
    inch_of,
    is_inch,
    mm_of,
    nominal_inch,
    semi_tubular_rows,
    write_mm,
)
from server.domain.quantities import INCH
from server.domain.sources import Source
from server.domain.tables.read import read_table


@dataclass(frozen=True, slots=True)
class HoleLimits:
    """The largest hole a rivet may sit in, in mm, and a tighter one that needs no question."""

    largest: Fraction
    said: str
    sources: tuple[Source, ...]
    smallest: Fraction | None = None


HOLE_BAND = INCH * Fraction("0.004")
"""How far a drilled hole may come out over its drill: the width of the Army's hole bands."""


def solid_hole(diameter: Fraction, unit: str) -> HoleLimits:
    """Largest hole for a solid rivet: over the handbook's drill for inch sizes, over D + 0.1 mm for others."""
    nominal = nominal_inch(diameter) if is_inch(diameter, unit) else None
    for row in read_table("rivets_solid"):
        if nominal is None or inch_of(row["d_in"]) != nominal:
            continue
        drill, wartime = inch_of(row["hole_in"]), row["hole_p40_in"]
        source = Source(row["hole_source"], standing=src.STATUS[row["hole_status"]])
        said = f"drill {row['hole_in'].lstrip('0')} in for a {row['d_frac_in']} in rivet, up to 0.004 in over"
        if wartime and inch_of(wartime) == drill:
            source = src.P40
        elif wartime:
            said += f"; the wartime manual drills {wartime.lstrip('0')} in"
        return HoleLimits(drill + HOLE_BAND, said, (src.AC43_HOLES, source, src.HOLE_BANDS))
    said = "drill D + 0.1 mm, up to 0.1 mm over"
    return HoleLimits(diameter + Fraction(1, 10) + HOLE_BAND, said, (src.GERMAN_SCRIPT, src.HOLE_BANDS))


SEMI_TUBULAR_AIR = INCH * Fraction("0.015")
"""What the hole for a semi-tubular rivet may be over its body at most, mm."""


def semi_tubular_work_holes(diameter: Fraction) -> tuple[Fraction, ...]:
    """Holes in the work in mm as the makers' tables print them for this body."""
    return tuple(sorted({inch_of(row["work_hole_in"]) for row in semi_tubular_rows(diameter) if row["work_hole_in"]}))


def semi_tubular_hole(diameter: Fraction) -> HoleLimits:
    """Largest hole in the work for a semi-tubular rivet, or a tubular one in inches."""
    rule = diameter + SEMI_TUBULAR_AIR
    printed = semi_tubular_work_holes(diameter)
    if not printed:
        return HoleLimits(rule, "D + 0.010 to 0.015 in", (src.SEMI_RULE,))
    return HoleLimits(
        max(rule, *printed),
        f"D + 0.010 to 0.015 in; makers' tables {' or '.join(write_mm(one) for one in printed)}",
        (src.SEMI_RULE, src.SEMI_TABLES),
    )


_H12 = ((Fraction(3), Fraction(100, 1000)), (Fraction(6), Fraction(120, 1000)), (Fraction(10), Fraction(150, 1000)))
"""IT12 of ISO 286 up to and including this size, mm (ten times IT7)."""


def tubular_hole(diameter: Fraction) -> HoleLimits:
    """Largest hole in the work for a tubular rivet: DIN 7340's H12 hole, else as for semi-tubular ones."""
    for row in read_table("rivets_metric"):
        if row["standard"] == "DIN 7340" and mm_of(row["d_min"]) <= diameter <= mm_of(row["d_max"]):
            hole = mm_of(row["work_hole"])
            spread = next(spread for up_to, spread in _H12 if hole <= up_to)
            return HoleLimits(hole + spread, f"{write_mm(hole)} H12", (src.DIN_7340,))
    return semi_tubular_hole(diameter)


def blind_hole(diameter: Fraction) -> HoleLimits | None:
    """Hole limits of a blind rivet by the Army's table; None for a diameter it doesn't print."""
    for row in read_table("rivets_blind"):
        if abs(inch_of(row["d_frac_in"]) - diameter) <= NEAR_NOMINAL:
            return HoleLimits(
                inch_of(row["hole_max_in"]),
                f"{row['hole_min_in']} to {row['hole_max_in']} in",
                (src.ARMY_BLIND,),
                inch_of(row["hole_min_in"]),
            )
    return None


def blind_lower_end(diameter: Fraction | None, grip_max: Fraction) -> tuple[Fraction, Source] | None:
    """The smallest grip in mm that goes with this largest one, by published bands; None where none fits.

    A blind rivet tolerates about 1/16 in of grip: below its band it is as
    wrong as above.
    """
    near = INCH / 500
    if diameter is not None:
        for row in read_table("rivets_blind"):
            same = abs(inch_of(row["d_frac_in"]) - diameter) <= NEAR_NOMINAL
            if same and abs(inch_of(row["grip_max_in"]) - grip_max) <= near:
                return inch_of(row["grip_min_in"]), src.ARMY_BLIND
    sixteenths = grip_max / WHOLE_STEP
    if abs(sixteenths - round(sixteenths)) * WHOLE_STEP <= near and round(sixteenths) > 1:
        return (round(sixteenths) - 1) * WHOLE_STEP, src.BLIND_GRIPS
    return None


def blind_code(code: str) -> tuple[Fraction, Fraction, Fraction]:
    """Diameter, smallest and largest grip in mm of the Army's blind-rivet code ("43"). Raises KeyError for others."""
    for row in read_table("rivets_blind"):
        if row["code"] == code.strip():
            return inch_of(row["d_frac_in"]), inch_of(row["grip_min_in"]), inch_of(row["grip_max_in"])
    raise KeyError(code)


def countersink_depth(head_diameter: Fraction, diameter: Fraction, half_tangent: Fraction) -> Fraction:
    """Depth in mm of a countersunk head's cone; `half_tangent` is the tangent of half the whole angle."""
    return (head_diameter - diameter) / (2 * half_tangent)
