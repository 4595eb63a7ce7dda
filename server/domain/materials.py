"""Materials: what a designation means and whether one may stand for another.

The row of the sheet: the original's material against the find's. Proven only
where the same alloy and temper is shown by papers, by analysis or by two
tests together; another alloy is compared by figures of one class; what isn't
known stays open.
"""

from fractions import Fraction

from server.domain.demand import Demand, demand_for
from server.domain.designations import resolve
from server.domain.hazards import Hazard, Level, hazards_of_material
from server.domain.material_evidence import Proof, Shown, material_text, proof_of
from server.domain.material_judgement import judge_material
from server.domain.material_meaning import Found, Resolution
from server.domain.material_verdict import NAME_RULE, Judged, Situation, shown_as_wanted
from server.domain.material_words import CAST_FORMS, fold_material
from server.domain.offer import Statement
from server.domain.parts._kit import Case, Characteristic
from server.domain.rows import SAMPLE_RULE, offered_text
from server.domain.sources import common_practice
from server.domain.specification import Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

__all__ = ["material_row", "resolve"]

_FORMS = {"sheet_part": "sheet", "tube": "tube", "streamline_tube": "tube", "bar": "bar", "forged_fitting": "forging"}
_PROCESS_FORMS = {
    "machined": "bar",
    "extruded": "extrusion",
    "drawn": "bar",
    "die forged": "forging",
    "hand forged": "forging",
    "forged": "forging",
    "plate": "sheet",
    "bent": "sheet",
    "fabricated": "sheet",
}
_ORDER = (Verdict.PROVEN, Verdict.JUDGED, Verdict.OPEN, Verdict.AGAINST)


def forms_of(case: Case) -> tuple[str, str]:
    """The form of the original and of the find, by part class and how each was made; "" where nothing tells."""
    usual = _FORMS.get(case.part_class.key, "")
    return _form(case.wanted_word("process"), usual), _form(case.word("process"), usual)


def _form(process: str, usual: str) -> str:
    if process in CAST_FORMS:
        return process
    return _PROCESS_FORMS.get(process, usual)


def material_row(case: Case, one: Characteristic, demand: Demand, statement: Statement) -> Row:
    """The find's material against the original's."""
    if demand.is_sample:
        sentence = f"{one.label}: to be held against the sample; a person says whether it will do."
        return _row(case, one, demand, statement, Judged(Verdict.JUDGED, sentence, (SAMPLE_RULE,)))
    form, offered_form = forms_of(case)
    text = material_text(statement)
    offered = case.handbook.resolve(text, offered_form)
    proof = proof_of(case, one.key, offered_form)
    hazards = hazards_of_material(text, case.handbook)
    refused = next((hazard for hazard in hazards if hazard.level is Level.REFUSED), None)
    if refused is not None:
        return _refused(case, one, demand, statement, refused)
    wanted = _wanted_readings(case, demand, form)
    if wanted is None:
        said = f"{demand.contradiction}. Somebody has to decide which stands, with a reason."
        rule = common_practice("where sources disagree both stand until a person decides")
        judged = Judged(Verdict.OPEN, said, (rule,), "Decide between the sources.", about_original=True)
        return _row(case, one, demand, statement, judged)
    here = _situation(case, one, demand, proof, form, offered_form)
    every = [_judge(reading, offered, here) for reading in wanted]
    judged = min(every, key=lambda made: _ORDER.index(made.verdict))
    cautions = (*hazards, *(each for reading in wanted for each in hazards_of_material(reading.text, case.handbook)))
    return _row(case, one, demand, statement, judged, tuple(dict.fromkeys(cautions)))


def _wanted_readings(case: Case, demand: Demand, form: str) -> tuple[Resolution, ...] | None:
    """What the original may be, each accepted word by itself; None where the sources truly disagree."""
    if not demand.contradiction:
        return tuple(case.handbook.resolve(word, form) for word in demand.words or (demand.text,))
    readings = [case.handbook.resolve(text, form) for text in demand.text.split(" · ")]
    first = readings[0]
    if first.alloy and all((one.alloy, one.temper) == (first.alloy, first.temper) for one in readings):
        return (first,)
    return None


def _situation(
    case: Case, one: Characteristic, demand: Demand, proof: Proof, form: str, offered_form: str
) -> Situation:
    key = thickness_key(case)
    size, doubt, wanted = case.size(key), case.doubt(key), case.wanted_size(key)
    if size is not None:
        size = wanted if counts_as_same(case, key) else size - (doubt or 0)
    return Situation(
        proof,
        strictly=case.weight(one.concern, demand.wished) is Weight.GOVERNS,
        form=form,
        offered_form=offered_form,
        wanted_size=wanted,
        offered_size=size,
        handbook=case.handbook,
    )


def thickness_key(case: Case) -> str:
    """The characteristic that is the thickness of the metal: of a sheet, or of a tube's wall."""
    return "thickness" if case.part_class.characteristic("thickness") else "wall"


_STOCK = Fraction(3, 100)
"""Stock of one nominal thickness runs about so far off it (common practice); beyond that the real size is taken."""


def counts_as_same(case: Case, key: str) -> bool:
    """Is the offered size the wanted one as far as stock goes: within what is asked and near the nominal?"""
    one, size, wanted = case.part_class.characteristic(key), case.size(key), case.wanted_size(key)
    demand = demand_for(case, one) if one else None
    if demand is None or size is None or wanted is None or abs(size - wanted) > wanted * _STOCK:
        return False
    inside = [(low is None or size >= low) and (high is None or size <= high) for low, high in demand.spans]
    return any(inside) or size == wanted


def _judge(wanted: Resolution, offered: Resolution, here: Situation) -> Judged:
    same_words = fold_material(wanted.text) == fold_material(offered.text)
    if same_words and Found.UNKNOWN in {wanted.found, offered.found}:
        return _unknown_to_us(offered, here)
    return judge_material(wanted, offered, here)


def _unknown_to_us(offered: Resolution, here: Situation) -> Judged:
    """The same words on both sides, of which the handbook knows nothing."""
    said = f"“{offered.text}” on both sides; the handbook here doesn't know it"
    if here.proof.is_firm or (not here.strictly and here.proof.shown is not Shown.CLAIM):
        return shown_as_wanted(f"{said}. Told {here.proof.shown}.", (NAME_RULE,), here, here.proof.assumption(offered))
    return Judged(Verdict.OPEN, f"{said}, and only {here.proof.shown} is it the same.", (NAME_RULE,), offered.ask)


def _refused(case: Case, one: Characteristic, demand: Demand, statement: Statement, hazard: Hazard) -> Row:
    return Row(
        one.key,
        one.label,
        Concern.HAZARD,
        case.weight(Concern.HAZARD),
        demand.text,
        offered_text(statement),
        Verdict.AGAINST,
        f"{one.label}: {hazard.name} is not fitted again, whatever the original was. {hazard.instead}".strip(),
        sources=(hazard.source,),
        known_from=demand.known_from,
        offered_from=_offered_from(statement),
        caution=hazard.caution,
        departs=True,
    )


def _row(
    case: Case,
    one: Characteristic,
    demand: Demand,
    statement: Statement,
    judged: Judged,
    hazards: tuple[Hazard, ...] = (),
) -> Row:
    verdict, departs = judged.verdict, judged.departs
    if one.concern is Concern.APPEARANCE and verdict is not Verdict.JUDGED:
        verdict = Verdict.JUDGED
    measure = None
    if verdict is Verdict.OPEN:
        what = judged.ask or "Have the material shown: certificate, analysis, or conductivity and hardness together."
        measure = MeasureNext(one.key, what, _tool(judged), 2 if judged.about_original else 4, judged.about_original)
    return Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern, demand.wished),
        demand.text,
        offered_text(statement),
        verdict,
        f"{one.label}: {judged.sentence}",
        sources=judged.sources,
        known_from=demand.known_from,
        offered_from=_offered_from(statement),
        assumption=judged.assumption,
        caution=" ".join(dict.fromkeys(hazard.caution for hazard in hazards if hazard.level is not Level.SUSPECT)),
        departs=departs,
        measure=measure,
    )


def _tool(judged: Judged) -> str:
    if judged.about_original:
        return "drawing, manual, stamp, or the remains"
    return "certificate, analysis, or conductivity meter and hardness tester"


def _offered_from(statement: Statement) -> str:
    return ", ".join(part for part in (str(statement.basis), statement.instrument, statement.by, statement.on) if part)
