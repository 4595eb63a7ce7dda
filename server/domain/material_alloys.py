"""One alloy and temper against another: the same by its name, or compared by figures of one class."""

from fractions import Fraction

from server.domain.handbook import Handbook
from server.domain.material_meaning import Grade, Meaning, Resolution
from server.domain.material_stand_ins import find_stand_in, named_substitute, names_of
from server.domain.material_table import Properties
from server.domain.material_verdict import (
    BASE_RULE,
    CLAD_RULE,
    CLAIM_RULE,
    NAME_RULE,
    RELATED,
    TEMPER_RULE,
    Judged,
    Situation,
    claim_tail,
    how_to_tell,
    shown_as_wanted,
    standing_in,
)
from server.domain.quantities import Kind, write_both, write_value
from server.domain.sources import Source
from server.domain.strength import STRENGTH_RULE, Answer, Comparison, best_comparison, may_compare
from server.domain.verdict import Verdict


def judge_alloys(wanted: Meaning, offered: Meaning, resolution: Resolution, here: Situation) -> Judged:
    """An alloy wanted and an alloy offered, each with its temper or without."""
    if wanted.alloy == offered.alloy:
        unknown = _temper_missing(wanted, offered)
        if unknown is not None:
            return unknown
        if wanted.temper == offered.temper or not (wanted.temper and offered.temper):
            return _same_material(wanted, offered, resolution, here)
    else:
        unknown = _temper_missing(wanted, offered)
        if unknown is not None and _same_base(wanted, offered):
            return unknown
    return _other_material(wanted, offered, resolution, here)


def _same_base(wanted: Meaning, offered: Meaning) -> bool:
    return wanted.family.base == offered.family.base


def _temper_missing(wanted: Meaning, offered: Meaning) -> Judged | None:
    if wanted.needs_temper and not wanted.temper:
        letters = f" (“{wanted.temper_said}” isn't known here)" if wanted.temper_said else ""
        said = f"The original is {wanted.said}, its temper is not known{letters}: nothing can be compared with it."
        ask = "Find the temper of the original: drawing, stamp, or hardness and conductivity of the remains."
        return Judged(Verdict.OPEN, said, (TEMPER_RULE,), ask, about_original=True)
    if (offered.needs_temper or wanted.temper) and not offered.temper:
        said = f"The find is {offered.said}, its temper is not known; soft and hard look the same."
        ask = "Have the temper shown: stamp with papers, or hardness and conductivity together."
        return Judged(Verdict.OPEN, said, (TEMPER_RULE,), ask)
    return None


def _equation(wanted: Meaning, offered: Meaning) -> tuple[tuple[Source, ...], bool, str]:
    """Sources that equate two names of one alloy, whether they carry a proof, and what they say."""
    sources: list[Source] = []
    said: list[str] = []
    is_firm = True
    if wanted.alias.casefold() != offered.alias.casefold():
        for one in (wanted, offered):
            if one.grade is Grade.OWN:
                continue
            sources.append(one.source)
            said.append(f"{one.alias} is read as {one.alloy} ({one.grade})")
            is_firm = is_firm and one.grade is Grade.SAME and not one.source.is_shaky
    if (wanted.temper_said or wanted.temper) != (offered.temper_said or offered.temper):
        for one in (wanted, offered):
            if one.temper_source is not None:
                sources.append(one.temper_source)
                said.append(f"its “{one.temper_said}” as {one.temper}")
                is_firm = is_firm and not one.temper_source.is_shaky
    return tuple(dict.fromkeys(sources)), is_firm, ", ".join(dict.fromkeys(said))


def _same_material(wanted: Meaning, offered: Meaning, resolution: Resolution, here: Situation) -> Judged:
    sources, is_firm, equation = _equation(wanted, offered)
    equal = f"{offered.said}, as wanted" if not equation else f"{offered.said}; {equation}"
    enough = here.proof.is_firm or (
        not offered.family.needs and here.proof.tells(offered.family, strictly=here.strictly)
    )
    if not enough:
        said = f"{equal}.{claim_tail(here)}"
        return Judged(Verdict.OPEN, said, (*sources, CLAIM_RULE), how_to_tell(offered.family), departs=bool(equation))
    if bool(wanted.is_clad) != bool(offered.is_clad) and offered.family.base == "aluminium":
        return _other_cladding(wanted, offered, here)
    shown = f"{equal}, shown {here.proof.shown}."
    assumption = here.proof.assumption(resolution)
    if not is_firm:
        said = f"{shown} That reading is {_how_known(sources)}: a person has to answer for it."
        return Judged(Verdict.JUDGED, said, sources, assumption=assumption)
    return shown_as_wanted(shown, sources or (NAME_RULE,), here, assumption)


def _how_known(sources: tuple[Source, ...]) -> str:
    return " and ".join(dict.fromkeys(str(one.standing) for one in sources if one.is_shaky)) or "only near"


def _other_cladding(wanted: Meaning, offered: Meaning, here: Situation) -> Judged:
    if wanted.is_clad and offered.is_clad is None:
        said = f"Wanted is clad; of the find ({offered.said}) nobody said whether it is."
        return Judged(Verdict.OPEN, said, (CLAD_RULE,), "Try a drop of caustic soda on a scratch: the core turns dark.")
    if wanted.is_clad:
        said = f"Bare {offered.said} for clad: a little stronger, but the protection of the cladding is lost."
    elif wanted.is_clad is None:
        said = f"The find is clad ({offered.said}); of the original nobody said. Clad bears a little less than bare."
    else:
        said = f"Clad {offered.alloy} for bare: it bears a little less, about 6 % in thin 2024-T3."
    return Judged(Verdict.JUDGED, f"{said} Shown {here.proof.shown}.", (CLAD_RULE,))


def _other_material(wanted: Meaning, offered: Meaning, resolution: Resolution, here: Situation) -> Judged:
    stand_in = find_stand_in(names_of(wanted), names_of(offered)) or named_substitute(wanted, offered)
    related = any({wanted.family.base, offered.family.base} <= pair for pair in RELATED)
    compared, form_note = _compare(wanted, offered, here)
    figures = f" {write_figures(compared)}" if compared else ""
    if not _same_base(wanted, offered) and not related and stand_in is None:
        said = f"Wanted is {wanted.said}; {offered.said} is another kind of material.{figures}"
        return Judged(Verdict.AGAINST, said, (BASE_RULE, *_line_sources(compared)), assumption=form_note)
    if stand_in is not None and (stand_in.settles_strength or compared is None or compared.answer is Answer.AT_LEAST):
        return standing_in(wanted.said, offered.said, stand_in, here, figures)
    if compared is None:
        said = f"{offered.said} for {wanted.said}: no figures are held for one of them."
        return Judged(Verdict.OPEN, said, (STRENGTH_RULE,), "An engineer has to compare them, with the specifications.")
    return _by_figures(wanted, offered, compared, figures, form_note, resolution, here)


def _compare(wanted: Meaning, offered: Meaning, here: Situation) -> tuple[Comparison | None, str]:
    before, note_before = _lines(here.handbook, wanted, wanted.form or here.form, here.wanted_size)
    form = offered.form or here.offered_form or here.form
    after, note_after = _lines(here.handbook, offered, form, here.offered_size)
    notes = "; ".join(note for note in (note_before, note_after) if note)
    return best_comparison(before, after, here.scale), notes


def _lines(handbook: Handbook, one: Meaning, form: str, size: Fraction | None) -> tuple[tuple[Properties, ...], str]:
    clad = one.is_clad if one.is_clad is not None else None
    found = handbook.lines_for(one.alloy, one.temper, form, size, is_clad=clad)
    if not found and clad:
        found = handbook.lines_for(one.alloy, one.temper, form, size)
    if found or not form:
        return found, ""
    others = handbook.lines_for(one.alloy, one.temper)
    if not others:
        return (), ""
    shapes = " and ".join(sorted({shape for line in others for shape in line.forms}))
    return others, f"no figures for {one.alloy} as {form} of this size; those of {shapes} were taken"


def _line_sources(compared: Comparison | None) -> tuple[Source, ...]:
    if compared is None:
        return ()
    return tuple(dict.fromkeys((compared.original.source, compared.candidate.source)))


def write_figures(compared: Comparison) -> str:
    """The ratios as the sheet says them: strengths, weight, stiffness, ductility where they differ."""
    parts = [f"{one.what} × {float(one.value):.2f}" for one in compared.strengths]
    said = "Candidate over original: " + ", ".join(parts) if parts else ""
    more = []
    if compared.weight is not None and abs(compared.weight.value - 1) >= Fraction(5, 100):
        more.append(f"weight {float(compared.weight.value - 1) * 100:+.0f} % at the same size")
    if compared.stiffness is not None and abs(compared.stiffness.value - 1) >= Fraction(5, 100):
        more.append(f"stiffness × {float(compared.stiffness.value):.2f}")
    stretch = compared.elongation
    alike = may_compare(compared.original.value_class, compared.candidate.value_class)[0]
    if stretch is not None and alike and stretch.value <= Fraction(2, 3):
        more.append(f"less ductile ({float(stretch.candidate):g} against {float(stretch.original):g} % elongation)")
    if more:
        said = "; ".join(part for part in (said, ", ".join(more)) if part)
    return f"{said}." if said else ""


def _by_figures(
    wanted: Meaning,
    offered: Meaning,
    compared: Comparison,
    figures: str,
    form_note: str,
    resolution: Resolution,
    here: Situation,
) -> Judged:
    sources = (*_line_sources(compared), STRENGTH_RULE)
    name = f"{offered.said} for {wanted.said}"
    shaky = any(line.source.is_shaky for line in (compared.original, compared.candidate))
    if compared.answer is Answer.AT_LEAST:
        said = f"{name}: at least as strong in every figure held.{figures}"
        if not here.proof.is_firm:
            return Judged(Verdict.OPEN, f"{said}{claim_tail(here)}", sources, how_to_tell(offered.family))
        assumption = "; ".join(part for part in (here.proof.assumption(resolution), form_note) if part)
        return Judged(
            Verdict.JUDGED,
            f"{said} Shown {here.proof.shown}; another alloy is a person's to answer for.",
            sources,
            assumption=assumption,
        )
    if compared.answer is Answer.WEAKER:
        said = f"{name}: weaker.{figures}{_remedy(compared, here)}"
        if shaky:
            ask = "Have an engineer look up the strengths: the figures held are not firm enough to decide."
            return Judged(Verdict.OPEN, said, sources, ask, assumption=form_note)
        return Judged(Verdict.AGAINST, said, sources, assumption=form_note)
    trap = ""
    if wanted.alloy == offered.alloy and offered.temper == "O":
        trap = " O is the soft temper, about a third of the strength: formed soft and never treated looks the same."
    said = f"{name}: the handbook can't decide, {compared.why}.{trap}{figures}"
    return Judged(
        Verdict.OPEN, said, sources, "Have an engineer compare them with figures of one kind.", assumption=form_note
    )


def _remedy(compared: Comparison, here: Situation) -> str:
    least = compared.least
    if least is None or here.form not in {"sheet", "tube", "bar"}:
        return ""
    if here.form == "sheet" and here.wanted_size:
        needed = here.wanted_size * here.scale / least.value
        now = f" instead of {write_value(here.wanted_size, Kind.LENGTH)}"
        return f" Equal strength in its plane takes at least {write_both(needed)}{now}: the next stock gauge above."
    what = "thickness" if here.form == "sheet" else "cross-section"
    return f" Equal strength takes at least {float(1 / least.value):.2f} times the {what}."
