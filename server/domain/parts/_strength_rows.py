"""Strength and stiffness of tube and sheet where size or metal differs from the original's: ratios with their doubt."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi, sqrt

from server.domain.conformity import Finding, judge
from server.domain.material_meaning import Found, Meaning
from server.domain.material_table import Properties
from server.domain.materials import counts_as_same, forms_of, thickness_key
from server.domain.offer import Basis
from server.domain.parts._kit import Case
from server.domain.quantities import write_both
from server.domain.sources import Source, common_practice
from server.domain.strength import (
    STRENGTH_RULE,
    Answer,
    Comparison,
    best_comparison,
    may_compare,
    thickness_for_bending,
    thickness_for_stiffness,
    tube_area,
    tube_inertia,
    tube_section_modulus,
)
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

COLUMN_RULE = common_practice("a long strut bows out at a load that goes with E × I, not with strength")
ELLIPSE = "the section is taken as an ellipse of even wall"

Sizes = Mapping[str, float]
Shape = Callable[[Sizes], float]


@dataclass(frozen=True, slots=True)
class Metals:
    """What the two metals make of it: ratios candidate over original, and whether they may decide.

    `weakest` is the smaller of tension and yield, `shear` and `stiffness` likewise; None where not held.
    """

    weakest: float | None
    shear: float | None
    stiffness: float | None
    may_decide: bool
    sources: tuple[Source, ...]
    said: str

    @property
    def are_same(self) -> bool:
        """True for one alloy in one temper."""
        return not self.sources and self.may_decide


def metals_of(case: Case) -> Metals | None:
    """The two metals of a case; None while either is not known down to its temper."""
    form, offered_form = forms_of(case)
    was = case.handbook.resolve(case.wanted_word("material"), form)
    now = case.handbook.resolve(case.word("material"), offered_form or form)
    if was.found is not Found.ONE or now.found is not Found.ONE:
        return None
    before, after = was.meanings[0], now.meanings[0]
    if any(one.needs_temper and not one.temper for one in (before, after)):
        return None
    if (before.alloy, before.temper) == (after.alloy, after.temper):
        return Metals(1.0, 1.0, 1.0, True, (), after.said)
    key = thickness_key(case)
    compared = best_comparison(
        _lines(case, before, form, case.wanted_size(key)),
        _lines(case, after, offered_form or form, case.size(key)),
    )
    return _from_figures(compared, f"{after.said} for {before.said}") if compared else None


def _lines(case: Case, one: Meaning, form: str, size: Fraction | None) -> tuple[Properties, ...]:
    book = case.handbook
    return book.lines_for(one.alloy, one.temper, form, size) or book.lines_for(one.alloy, one.temper)


def _from_figures(compared: Comparison, said: str) -> Metals:
    ratios = {one.what: float(one.value) for one in compared.strengths}
    pulls = [ratios[name] for name in ("tension", "yield") if name in ratios]
    stiff = compared.stiffness
    outright = may_compare(compared.original.value_class, compared.candidate.value_class)[0]
    shaky = any(line.source.is_shaky for line in (compared.original, compared.candidate))
    decides = (outright and not shaky) or (compared.answer is Answer.AT_LEAST and not shaky)
    return Metals(
        min(pulls) if pulls else None,
        ratios.get("shear"),
        float(stiff.value) if stiff and not stiff.is_memory else None,
        decides,
        tuple(dict.fromkeys((compared.original.source, compared.candidate.source))),
        said,
    )


# ---- one ratio ----


@dataclass(frozen=True, slots=True)
class _Need:
    key: str
    label: str
    shape: Shape
    what: str
    rule: Source


def _spread(shape: Shape, sizes: dict[str, float], doubts: dict[str, float]) -> float:
    """U (k = 2) of a shape from the doubts of its sizes: small steps, squares added."""
    total = 0.0
    for key, doubt in doubts.items():
        step = doubt / 2 or 1e-9
        up, down = dict(sizes), dict(sizes)
        up[key] += step
        down[key] = max(down[key] - step, 1e-9)
        total += ((shape(up) - shape(down)) / (2 * step) * doubt) ** 2
    return sqrt(total)


def _ratio_rows(case: Case, keys: tuple[str, ...], needs: list[_Need], assumption: str = "") -> Iterator[Row]:
    wanted = {key: case.wanted_size(key) for key in keys}
    offered = {key: case.size(key) for key in keys}
    if not needs or any(value is None for value in (*wanted.values(), *offered.values())):
        return
    metals = metals_of(case)
    same_size = all(counts_as_same(case, key) for key in keys)
    if same_size and metals is not None and metals.are_same:
        return
    was = {key: float(value) for key, value in wanted.items() if value is not None}
    now = was if same_size else {key: float(value) for key, value in offered.items() if value is not None}
    said = {key: case.statement(key) for key in keys}
    claimed = any(one is None or one.basis is Basis.CLAIMED for one in said.values())
    doubts = {} if same_size else {key: float(case.doubt(key) or 0) for key in keys}
    for need in needs:
        try:
            geometry = need.shape(now) / need.shape(was)
            doubt = _spread(need.shape, now, doubts) / need.shape(was)
        except (ValueError, ZeroDivisionError):
            continue
        yield _ratio_row(case, need, geometry, doubt, metals, claimed=claimed, assumption=assumption)


def _ratio_row(
    case: Case, need: _Need, geometry: float, doubt: float, metals: Metals | None, *, claimed: bool, assumption: str
) -> Row:
    factor = None
    if metals is not None:
        factor = {"strength": metals.weakest, "shear": metals.shear, "stiffness": metals.stiffness}[need.what]
    if metals is None or factor is None:
        verdict = Verdict.OPEN
        missing = "a metal is not known down to its temper" if metals is None else "no figure is held for one metal"
        sentence = f"By the sizes alone × {geometry:.3f} of the original; {missing}."
        sources: tuple[Source, ...] = (need.rule,)
    else:
        value = geometry * factor
        judged = judge(_exact(value), _exact(doubt * factor), Fraction(1), None, case.probability)
        verdict = {Finding.CONFORMS: Verdict.PROVEN, Finding.DOES_NOT: Verdict.AGAINST}.get(
            judged.finding, Verdict.OPEN
        )
        spread = f" ± {doubt * factor:.3f}" if doubt else ""
        sentence = (
            f"{metals.said}: × {value:.3f}{spread} of the original (size × {geometry:.3f}, metal × {factor:.3f})."
        )
        verdict, tail = _held_back(verdict, metals, claimed=claimed)
        sentence, sources = f"{sentence}{tail}", (*metals.sources, need.rule)
    measure = MeasureNext("wall", "Measure diameter and wall, and have the metal shown", "Micrometer, papers", 3)
    return Row(
        need.key,
        need.label,
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        "at least as the original",
        f"× {geometry * (factor or 1):.2f}" if factor else "not known",
        verdict,
        sentence,
        sources=sources,
        assumption=assumption,
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure if verdict is Verdict.OPEN else None,
    )


def _held_back(verdict: Verdict, metals: Metals, *, claimed: bool) -> tuple[Verdict, str]:
    """A ratio proves no more than its inputs: claims stay open, shaky figures are a person's."""
    if claimed and verdict is Verdict.PROVEN:
        return Verdict.OPEN, " Sizes that are only claimed prove nothing."
    if not metals.may_decide:
        return (
            Verdict.JUDGED if verdict is Verdict.PROVEN else Verdict.OPEN
        ), " The handbook's figures don't decide it."
    return verdict, ""


def _exact(value: float) -> Fraction:
    return Fraction(value).limit_denominator(10**9)


# ---- tubes ----


def _round(function: Callable[[float, float], float]) -> Shape:
    return lambda sizes: function(sizes["outside_diameter"], sizes["wall"])


def _needs_of(load: str, area: Shape, inertia: Shape, modulus: Shape) -> list[_Need]:
    strut = _Need("as_strut", "Stiffness as a strut (E × I)", inertia, "stiffness", COLUMN_RULE)
    pull = _Need("pull", "Strength in pull and short push", area, "strength", STRENGTH_RULE)
    bend = _Need("bend", "Strength in bending", modulus, "strength", STRENGTH_RULE)
    twist = _Need("twist", "Strength in twist", modulus, "shear", STRENGTH_RULE)
    return {
        "compression": [strut, pull],
        "tension": [pull],
        "bending": [bend, strut],
        "torsion": [twist],
        "none": [],
    }.get(load, [strut, pull, bend])


def tube_rows(case: Case) -> Iterator[Row]:
    """A round tube of another size or metal, by what it has to carry; all of it where nobody said."""
    needs = _needs_of(case.wanted_word("load"), _round(tube_area), _round(tube_inertia), _round(tube_section_modulus))
    yield from _ratio_rows(case, ("outside_diameter", "wall"), needs)


def _ellipse_area(sizes: Sizes) -> float:
    a, b, t = sizes["major_axis"], sizes["minor_axis"], sizes["wall"]
    if 2 * t > min(a, b):
        raise ValueError("the wall is thicker than the tube")
    return pi / 4 * (a * b - (a - 2 * t) * (b - 2 * t))


def _ellipse_inertia(sizes: Sizes) -> float:
    """About the long axis: a streamline strut bows out flatwise."""
    a, b, t = sizes["major_axis"], sizes["minor_axis"], sizes["wall"]
    if 2 * t > min(a, b):
        raise ValueError("the wall is thicker than the tube")
    return pi / 64 * (a * b**3 - (a - 2 * t) * (b - 2 * t) ** 3)


def streamline_rows(case: Case) -> Iterator[Row]:
    """A streamline tube of another size or metal; the section is taken as an ellipse."""
    needs = _needs_of(
        case.wanted_word("load"),
        _ellipse_area,
        _ellipse_inertia,
        lambda sizes: _ellipse_inertia(sizes) / (sizes["minor_axis"] / 2),
    )
    yield from _ratio_rows(case, ("major_axis", "minor_axis", "wall"), needs, ELLIPSE)


# ---- sheet ----


def sheet_rows(case: Case) -> Iterator[Row]:
    """A panel of another thickness or metal: bending and buckling. In-plane strength stands in the material's row."""
    load = case.wanted_word("load")
    bend = _Need(
        "panel_bending", "Bending strength of the panel", lambda s: s["thickness"] ** 2, "strength", STRENGTH_RULE
    )
    stiff = _Need("panel_stiffness", "Stiffness of the panel", lambda s: s["thickness"] ** 3, "stiffness", COLUMN_RULE)
    needs = {"bending": [bend], "stiffness": [stiff], "tension": [], "none": []}.get(load, [bend, stiff])
    for row in _ratio_rows(case, ("thickness",), needs):
        yield _with_thickness(case, row)


def _with_thickness(case: Case, row: Row) -> Row:
    """The thickness that would make up for the other metal, in words."""
    metals, was = metals_of(case), case.wanted_size("thickness")
    if row.verdict is not Verdict.AGAINST or metals is None or was is None:
        return row
    needed = None
    if row.key == "panel_bending" and metals.weakest:
        needed = thickness_for_bending(float(was), 1.0, metals.weakest)
    elif row.key == "panel_stiffness" and metals.stiffness:
        needed = thickness_for_stiffness(float(was), 1.0, metals.stiffness)
    if needed is None:
        return row
    return replace(row, sentence=f"{row.sentence} It would take at least {write_both(_exact(needed))}.")
