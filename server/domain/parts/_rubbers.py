"""Rows of rubber parts: cure date, and the fluid the rubber stands in."""

from collections.abc import Iterable

from server.domain.demand import demand_for
from server.domain.offer import Basis
from server.domain.parts._computed import label_row, statement_row, warning_weight
from server.domain.parts._kinds import where_from
from server.domain.parts._kit import Case
from server.domain.rows import CLAIM_RULE, missing_original, offered_text, with_demand
from server.domain.rubber import CURE_RULE, FLUID_RULE, is_spoiled, read_cure_date
from server.domain.sources import method
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

AGE_RULE = method("how old rubber may be is for its maker, its specification or the shop to say")


def cure_row(case: Case) -> Iterable[Row]:
    """The cure date against the oldest that is asked for; without a limit a person judges the age."""
    one = case.part_class.characteristic("cure_date")
    assert one is not None
    demand = demand_for(case, one)
    statement = case.statement("cure_date")
    oldest = read_cure_date(demand.text) if demand is not None else None
    cured = read_cure_date(statement.text) if statement is not None else None
    read_it = MeasureNext("cure_date", "Read the cure date off it", "a look at the part and its packet", 1)
    measure = None
    if cured is None:
        verdict = Verdict.OPEN
        said = "No cure date is known; rubber of unknown age is old rubber."
        measure = read_it
    elif oldest is None:
        verdict = Verdict.JUDGED
        said = f"Cured {cured}. No limit of age is set here; a person says whether it is young enough."
    elif cured < oldest:
        verdict, said = Verdict.AGAINST, f"Cured {cured}, before {oldest}, the oldest that is allowed."
    elif statement is not None and statement.basis is Basis.CLAIMED:
        verdict, said, measure = Verdict.OPEN, f"Cured {cured} by its claim; read it off the part.", read_it
    else:
        verdict, said = Verdict.PROVEN, f"Cured {cured}, not before {oldest}."
    weight = warning_weight(case, one.concern) if demand is None else case.weight(one.concern, demand.wished)
    row = Row(
        one.key,
        one.label,
        one.concern,
        weight,
        demand.text if demand is not None else "no limit set",
        offered_text(statement) if statement is not None else "not said",
        verdict,
        said,
        sources=(CURE_RULE, AGE_RULE, CLAIM_RULE) if verdict is Verdict.OPEN else (CURE_RULE, AGE_RULE),
        offered_from=where_from(statement) if statement is not None else "",
        departs=verdict is Verdict.JUDGED,
        measure=measure,
    )
    yield with_demand(row, demand) if demand is not None else row


def swelling_row(case: Case) -> Iterable[Row]:
    """A compound that the fluid of the place is known to spoil; nothing where the pair is not listed."""
    fluid, compound = case.wanted_word("fluid"), case.word("compound")
    if not fluid:
        one = case.part_class.characteristic("fluid")
        assert one is not None
        yield missing_original(case, one, None)
        return
    if not is_spoiled(compound, fluid):
        return
    said = f"The compound, {compound}, swells or rots in {fluid}."
    yield statement_row(
        case,
        label_row("swelling", "Compound in its fluid", Concern.FUNCTION),
        Verdict.AGAINST,
        said,
        wanted=fluid,
        offered=compound,
        sources=(FLUID_RULE,),
        departs=True,
    )
