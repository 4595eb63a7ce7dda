"""Rows of control cables: breaking strength by the public table, and the state of the wires."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from server.domain.cable_strength import CABLE_TABLE, least_breaking_strength
from server.domain.demand import standing_requirements
from server.domain.offer import Basis, Statement
from server.domain.parts._computed import one_sided_row, statement_row
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.sources import Source
from server.domain.specification import Form, Requirement
from server.domain.verdict import MeasureNext, Row, Verdict

INSPECTION = Source("AC 43.13-1B", "para 7-149", "Change 1, 27 Sep 2001")
REJECTED = {
    "broken wires": "Wires are broken; one in a stretch that bends or is worn is enough to reject the cable.",
    "worn": "Outer wires are worn by 40 to 50 % and seem to blend together: the cable is to be replaced.",
    "rusty": "Rust between the strands counts as failure: the cable is to be replaced.",
}


def strength_row(case: Case) -> Iterable[Row]:
    """Breaking load against the original's; either side is looked up by construction where no figure is stated."""
    filled = _looked_up(case)
    row = one_sided_row(filled, "breaking_load", Form.AT_LEAST, "the original's figure taken as the least")
    if row is None:
        return
    if filled is not case:
        row = replace(row, sources=(*row.sources, CABLE_TABLE))
    yield row


def _looked_up(case: Case) -> Case:
    wanted, offered = case.wanted, case.offered
    ours = _by_table(case.wanted_size("diameter"), case.wanted_word("construction"), case.wanted_word("cable_metal"))
    theirs = _by_table(case.size("diameter"), case.word("construction"), case.word("cable_metal"))
    if ours is not None and not standing_requirements(case, "breaking_load")[0]:
        size = _force(ours)
        known = standing_requirements(case, "construction")[0][0].known
        added = Requirement("breaking_load", Form.AT_LEAST, size.text, size, known=known)
        wanted = replace(wanted, requirements=(*wanted.requirements, added))
    if theirs is not None and case.statement("breaking_load") is None:
        size = _force(theirs)
        claim = Statement("breaking_load", Basis.CLAIMED, f"{size.text}, if made to that", size)
        offered = replace(offered, statements=(*offered.statements, claim))
    if wanted is case.wanted and offered is case.offered:
        return case
    return replace(case, wanted=wanted, offered=offered)


def _by_table(diameter: Fraction | None, construction: str, metal: str) -> Fraction | None:
    return None if diameter is None else least_breaking_strength(diameter, construction, metal)


def _force(value: Fraction) -> Quantity:
    text = f"{write_value(value, Kind.FORCE, 0, unit='lbf')} by MIL-W-83420"
    return Quantity(Kind.FORCE, value, "lbf", text)


def condition_row(case: Case) -> Iterable[Row]:
    """What the wires look like, by the limits of AC 43.13-1B; a bar to flight, not to display."""
    one = case.part_class.characteristic("condition")
    assert one is not None
    statement = case.statement("condition")
    state = case.word("condition")
    measure = None
    if statement is None or not state:
        verdict, said = Verdict.OPEN, "Nobody has looked the cable over yet."
        measure = MeasureNext(
            one.key, "Draw a cloth along the whole cable and look between the strands", "cloth, light and lens", 1
        )
    elif state in REJECTED:
        verdict = Verdict.AGAINST if case.wanted.use.flies else Verdict.JUDGED
        said = REJECTED[state]
    elif statement.basis is Basis.CLAIMED:
        verdict, said = Verdict.OPEN, f"Condition by its claim: {statement.text}. Look it over before you lean on it."
        measure = MeasureNext(one.key, "Look the cable over", "cloth, light and lens", 1)
    elif state in {"new", "sound"}:
        verdict, said = Verdict.PROVEN, f"Condition: {statement.text}, looked over here."
    else:
        verdict, said = Verdict.OPEN, f"Condition “{statement.text}” is none of the listed words."
    yield statement_row(
        case,
        one,
        verdict,
        said,
        wanted="no broken, worn or rusty wire",
        offered=statement.text if statement is not None else "not said",
        sources=(INSPECTION,),
        departs=state in REJECTED,
        measure=measure,
    )
