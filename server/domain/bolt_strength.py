"""What a bolt carries in tension and in shear, by its class and thread.

Tension of metric classes goes by the stress area (ISO 898-1), of AN bolts by
the root area, on which their old ratings rest; shear by the shank, or by the
thread's root where the thread lies in the shear plane. Strength is
necessary, never sufficient: fit, grip, thread run-out, fatigue, plating and
papers are asked besides.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.sources import Source, Standing, common_practice
from server.domain.threads import Thread, area_source, circle_area, root_area, stress_area

KSI = Fraction("4.4482216152605") * 1000 / Fraction(254, 10) ** 2
"""One ksi in MPa."""

AN_STRENGTH = Source("MIL-HDBK-5", "Table 8.1.5(a): 0.250 in single shear 3680 lb", standing=Standing.QUOTED)
METRIC_STRENGTH = Source("ISO 898-1", "property classes", standing=Standing.QUOTED)
SHEAR_SHARE = common_practice("shear strength of a steel bolt taken as 0.6 of its tensile strength")
AN_ROOT = Source("AN bolt tension ratings follow the root area", standing=Standing.DERIVED)


@dataclass(frozen=True, slots=True)
class BoltMetal:
    """Strength of a bolt's metal in MPa; `by_root` where its tension is rated on the root area.

    `proof` is None where no source has it (AN steel).
    """

    name: str
    tensile: Fraction
    shear: Fraction
    by_root: bool
    sources: tuple[Source, ...]
    proof: Fraction | None = None
    caution: str = ""


_METRIC_CLASS = re.compile(r"\b(4\.6|4\.8|5\.6|5\.8|6\.8|8\.8|9\.8|10\.9|12\.9)\b")
_METRIC: dict[str, tuple[int, int]] = {"8.8": (800, 580), "10.9": (1040, 830), "12.9": (1220, 970)}
"""Tensile and proof strength in MPa (ISO 898-1 as quoted)."""
_BRITTLE = (
    "12.9 is prone to cracking by hydrogen when it is plated; a higher class is no free win. Ask a licensed person."
)


def read_strength_class(text: str, major: Fraction | None) -> BoltMetal | None:
    """The metal of a class as marked ("AN steel", "125 ksi", "8.8"); None if the class is not in the tables here.

    `major` is the thread's diameter in mm: class 8.8 is 800 MPa up to M16, 830 above.
    """
    low = text.casefold().replace(",", ".")
    found = _METRIC_CLASS.search(low)
    if found is not None:
        if found.group() not in _METRIC:
            return None
        tensile, proof = _METRIC[found.group()]
        if found.group() == "8.8" and major is not None and major > 16:
            tensile, proof = 830, 600
        caution = _BRITTLE if found.group() == "12.9" else ""
        return BoltMetal(
            f"class {found.group()}",
            Fraction(tensile),
            Fraction(6, 10) * tensile,
            False,
            (METRIC_STRENGTH, SHEAR_SHARE),
            Fraction(proof),
            caution,
        )
    if re.search(r"\ban\b.*\bsteel\b|\ban steel\b|125 ?(?:ksi|000 psi|,000 psi)|\ban ?[3-8]\b", low):
        return BoltMetal("AN steel, 125 ksi", 125 * KSI, 75 * KSI, True, (AN_STRENGTH, AN_ROOT))
    return None


def metal_of(tensile: Fraction) -> BoltMetal:
    """A metal known only by its tensile strength in MPa; its shear strength is assumed."""
    return BoltMetal("tensile strength as stated", tensile, Fraction(6, 10) * tensile, False, (SHEAR_SHARE,))


def tension(metal: BoltMetal, thread: Thread) -> Fraction | None:
    """Greatest axial load in N; None where the thread's area is not known."""
    area = root_area(thread) if metal.by_root else stress_area(thread)
    return metal.tensile * area if area is not None else None


def proof_load(metal: BoltMetal, thread: Thread) -> Fraction | None:
    """Load in N that leaves no stretch behind; None where proof strength or area is not known."""
    area = stress_area(thread)
    return metal.proof * area if area is not None and metal.proof is not None else None


def shear(metal: BoltMetal, diameter: Fraction) -> Fraction:
    """Greatest load in N in single shear of a plain shank of this diameter (mm)."""
    return metal.shear * circle_area(diameter)


def shear_in_thread(metal: BoltMetal, thread: Thread) -> Fraction | None:
    """Greatest load in N in single shear with the thread in the shear plane; None if the root is not known."""
    area = root_area(thread)
    return metal.shear * area if area is not None else None


def tension_sources(metal: BoltMetal, thread: Thread) -> tuple[Source, ...]:
    """Where a tension figure comes from."""
    return metal.sources if metal.by_root else (*metal.sources, area_source(thread))
