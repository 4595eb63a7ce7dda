"""One material for another: ratios of strength, stiffness and weight, and the thickness that makes up for them.

The formulas are elementary strength of materials (common practice). What may
be compared follows the class of each figure: minimum with minimum, typical
with typical; a typical original against a candidate's minimum only where the
candidate still comes out ahead, for then the true answer can only be better.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise
from math import pi, sqrt
from typing import NamedTuple

from server.domain.material_table import Properties, ValueClass, properties
from server.domain.sources import common_practice

STRENGTH_RULE = common_practice("equal strength: thickness times stress; the smallest ratio counts")
CLASS_RULE = common_practice("a minimum is never compared with a typical or a test-bar figure")


class Answer(StrEnum):
    """What the figures say."""

    AT_LEAST = "at least as strong"
    WEAKER = "weaker"
    REFUSED = "not to be computed"


class Ratio(NamedTuple):
    """Candidate over original for one property; both in the property's unit (MPa, GPa, g/cm³, %)."""

    what: str
    original: Fraction
    candidate: Fraction
    is_memory: bool = False

    @property
    def value(self) -> Fraction:
        """Candidate divided by original."""
        return self.candidate / self.original


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two lines of the handbook against each other, with the ratios that decided."""

    original: Properties
    candidate: Properties
    strengths: tuple[Ratio, ...]
    stiffness: Ratio | None
    weight: Ratio | None
    elongation: Ratio | None
    answer: Answer
    why: str

    @property
    def least(self) -> Ratio | None:
        """The strength ratio that is smallest; None where there is none."""
        return min(self.strengths, key=lambda one: one.value, default=None)


STRENGTHS = (
    ("tension", "uts", "uts"),
    ("yield", "yield_", "yield"),
    ("shear", "shear", "shear_ult"),
    ("bearing", "bearing", "bearing_ult_eD2"),
)


_RATIOS = {
    **{name: (attribute, cell) for name, attribute, cell in STRENGTHS},
    "stiffness": ("modulus_gpa", "modulus"),
    "weight": ("density", "density"),
    "elongation": ("elongation", "elongation_pct"),
}
"""Attribute and table cell of what a ratio is made of, by its name."""


def ratio(original: Properties, candidate: Properties, what: str) -> Ratio | None:
    """One ratio by name: tension, yield, shear, bearing (at e/D 2.0), stiffness, weight, elongation.

    None where either line has no such figure. Raises KeyError for another name.
    """
    attribute, cell = _RATIOS[what]
    before: Fraction | None = getattr(original, attribute)
    after: Fraction | None = getattr(candidate, attribute)
    if before is None or after is None or before == 0:
        return None
    memory = any(one.is_memory or cell in one.memory_cells for one in (original, candidate))
    return Ratio(what, before, after, memory)


def may_compare(original: ValueClass, candidate: ValueClass) -> tuple[bool, bool, str]:
    """Whether two classes of figure may decide: (outright, only if the candidate is ahead, why not)."""
    if ValueClass.MEMORY in {original, candidate}:
        return False, False, "a figure is from memory: shown, not decided on"
    if ValueClass.NONE in {original, candidate}:
        return False, False, "there are no figures that could be compared"
    if original is candidate or (original.is_minimum and candidate.is_minimum):
        return True, True, ""
    if candidate.is_minimum and original in {ValueClass.TYPICAL, ValueClass.IN_THE_CASTING}:
        return False, True, f"{original} against {candidate}: only a candidate that is ahead anyway can be told"
    return False, False, f"{original} figure against {candidate} figure: not comparable"


def compare_strength(original: Properties, candidate: Properties, scale: Fraction = Fraction(1)) -> Comparison:
    """Compare two lines at the same shape; `scale` multiplies the candidate (its thickness over the original's)."""
    outright, if_ahead, why = may_compare(original.value_class, candidate.value_class)
    strengths = tuple(
        Ratio(one.what, one.original, one.candidate * scale, one.is_memory)
        for name, _, _ in STRENGTHS
        if (one := ratio(original, candidate, name)) is not None
    )
    missing = [name for name, attribute, _ in STRENGTHS[:2] if getattr(candidate, attribute) is None]
    ahead = bool(strengths) and all(one.value >= 1 for one in strengths)
    if not strengths:
        answer, why = Answer.REFUSED, "there are no figures that could be compared"
    elif any(one.is_memory for one in strengths) and (outright or if_ahead):
        answer, why = Answer.REFUSED, "a figure is from memory: shown, not decided on"
    elif missing and (outright or if_ahead) and ahead:
        answer, why = Answer.REFUSED, f"no figure for the candidate in {' and '.join(missing)}"
    elif outright or (if_ahead and ahead):
        answer = Answer.AT_LEAST if ahead else Answer.WEAKER
    else:
        answer = Answer.REFUSED
    return Comparison(
        original,
        candidate,
        strengths,
        ratio(original, candidate, "stiffness"),
        ratio(original, candidate, "weight"),
        ratio(original, candidate, "elongation"),
        answer,
        why,
    )


def best_comparison(
    originals: tuple[Properties, ...],
    candidates: tuple[Properties, ...],
    scale: Fraction = Fraction(1),
) -> Comparison | None:
    """The pair of lines to judge by: one that can decide before one that can't, the cautious one of those."""
    every = [compare_strength(one, other, scale) for one in originals for other in candidates]
    if not every:
        return None

    def order(one: Comparison) -> tuple[int, bool, Fraction]:
        outright = may_compare(one.original.value_class, one.candidate.value_class)[0]
        least = one.least.value if one.least else Fraction(10**6)
        return (0 if outright and one.answer is not Answer.REFUSED else 1, one.answer is Answer.REFUSED, least)

    return min(every, key=order)


# ---- thickness that makes up for another metal ----


def thickness_for_strength(thickness: Fraction, original: Properties, candidate: Properties) -> Fraction | None:
    """Sheet thickness, unit of `thickness`, for equal tension, yield, shear and bearing: the largest of them.

    None where no strength is known of both.
    """
    ratios = [one.value for name, _, _ in STRENGTHS if (one := ratio(original, candidate, name)) is not None]
    return thickness / min(ratios) if ratios else None


def thickness_for_bending(thickness: float, original_mpa: float, candidate_mpa: float) -> float:
    """Thickness of a flat panel for equal bending strength: t × √(F_o / F_c); unit of `thickness`."""
    return thickness * sqrt(original_mpa / candidate_mpa)


def thickness_for_stiffness(thickness: float, original_gpa: float, candidate_gpa: float) -> float:
    """Thickness of a flat panel for equal bending stiffness and buckling: t × ∛(E_o / E_c); unit of `thickness`."""
    return float(thickness * (original_gpa / candidate_gpa) ** (1 / 3))


def thickness_for_axial_stiffness(thickness: float, original_gpa: float, candidate_gpa: float) -> float:
    """Thickness for equal stretch under the same pull: t × E_o / E_c; unit of `thickness`."""
    return thickness * original_gpa / candidate_gpa


def weight_change(original: Properties, candidate: Properties, thickness_ratio: float = 1.0) -> float | None:
    """Change of weight as a share (0.1 is ten percent more) at a thickness ratio candidate over original."""
    heavier = ratio(original, candidate, "weight")
    return None if heavier is None else float(heavier.value) * thickness_ratio - 1


def conductor_area_ratio(original: Properties, candidate: Properties) -> Fraction | None:
    """Cross-section candidate over original for equal resistance, from the conductivities in % IACS."""
    if original.iacs is None or candidate.iacs is None:
        return None
    return original.iacs / candidate.iacs


# ---- tubes ----


def tube_area(outside: float, wall: float) -> float:
    """Cross-section of the metal of a round tube; unit of the sizes squared. Raises ValueError for no tube."""
    _sound(outside, wall)
    return pi / 4 * (outside**2 - (outside - 2 * wall) ** 2)


def tube_inertia(outside: float, wall: float) -> float:
    """Second moment of area of a round tube about a diameter; unit of the sizes to the fourth."""
    _sound(outside, wall)
    return pi / 64 * (outside**4 - (outside - 2 * wall) ** 4)


def tube_section_modulus(outside: float, wall: float) -> float:
    """Section modulus of a round tube in bending; unit of the sizes cubed."""
    return tube_inertia(outside, wall) / (outside / 2)


def _sound(outside: float, wall: float) -> None:
    if outside <= 0 or wall <= 0 or 2 * wall > outside:
        raise ValueError("a tube needs a wall, and its wall at most half its diameter")


def column_ratio(original_gpa: float, original_inertia: float, candidate_gpa: float, candidate_inertia: float) -> float:
    """E × I candidate over original: the load a long slender strut bears before it bows out (Euler)."""
    return candidate_gpa * candidate_inertia / (original_gpa * original_inertia)


# ---- wire and plating ----


def music_wire_minimum(diameter_mm: Fraction) -> Fraction | None:
    """Least tensile strength of ASTM A228 music wire, MPa, interpolated in diameter (mm) between tabled sizes.

    None outside the table. The table is quoted from a wire supplier.
    """
    points = sorted(
        (line.size_low, line.uts)
        for key in ("020", "032", "040", "063", "125")
        if (line := properties(f"st-musicwire-{key}")).size_low is not None and line.uts is not None
    )
    for (low, strong), (high, weak) in pairwise(points):
        if low <= diameter_mm <= high:
            return strong + (weak - strong) * (diameter_mm - low) / (high - low)
    return None


PLATED_HARD_STEEL_MPA = 1000
"""From here up a plated steel part needs evidence that the hydrogen was baked out (plater's page, quoted)."""


def needs_bake_record(uts_mpa: Fraction) -> bool:
    """Is this steel strong enough to crack from hydrogen left by plating? From 1000 MPa, as platers state (quoted)."""
    return uts_mpa >= PLATED_HARD_STEEL_MPA
