"""Rows of what is looked at and read: wording of placards, colour of lamps, one paint over another, restraint."""

from collections.abc import Iterable

from server.domain.demand import demand_for
from server.domain.offer import Basis
from server.domain.parts._computed import label_row, statement_row
from server.domain.parts._kit import Case
from server.domain.rows import characteristic_row, missing_offer, missing_original, offered_text, with_demand
from server.domain.sources import Source, Standing, common_practice, method
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

WORDING_RULE = method("a placard is compared letter by letter")
PLATE_RULE = common_practice("identity plates are under the control of the authority")
COLOUR_RULE = common_practice("the colour of a navigation light has limits of its authority, judged lit with its lamp")
RESTRAINT_RULE = Source(
    "Canadian Standard 571, appendix A: seats, harness and their attachment count as major", standing=Standing.QUOTED
)
PAINT_RULE = Source("finishers' practice: what lifts or cracks over what", standing=Standing.COMMON_PRACTICE)

LIFTS: dict[tuple[str, str], str] = {
    ("nitrate dope", "butyrate dope"): "nitrate dope does not hold over butyrate; the other way round it does",
    ("cellulose lacquer", "synthetic enamel"): "cellulose lacquer lifts synthetic enamel beneath it",
    ("cellulose lacquer", "oil paint"): "cellulose lacquer lifts oil paint beneath it",
    ("nitrate dope", "oil paint"): "dope lifts oil paint beneath it",
    ("butyrate dope", "oil paint"): "dope lifts oil paint beneath it",
    ("nitrate dope", "synthetic enamel"): "dope lifts synthetic enamel beneath it",
    ("butyrate dope", "synthetic enamel"): "dope lifts synthetic enamel beneath it",
    ("polyurethane", "cellulose lacquer"): "two-pack paint lifts cellulose lacquer beneath it",
}


def wording_row(case: Case) -> Iterable[Row]:
    """The words of a placard, letter by letter."""
    one = case.part_class.characteristic("wording")
    assert one is not None
    demand = demand_for(case, one)
    statement = case.statement("wording")
    if demand is None:
        yield missing_original(case, one, statement)
        return
    if statement is None:
        yield with_demand(missing_offer(case, one, demand), demand)
        return
    ours, theirs = demand.text.split(), statement.text.split()
    measure = None
    if ours == theirs and statement.basis is Basis.MEASURED:
        verdict, said = Verdict.PROVEN, f"{one.label}: the same, letter by letter."
    elif ours == theirs:
        verdict, said = Verdict.OPEN, f"{one.label}: the same by its claim; read it on the piece."
        measure = MeasureNext(one.key, "Read the placard itself", "a look", 1)
    else:
        at = next((n for n, pair in enumerate(zip(ours, theirs, strict=False)) if pair[0] != pair[1]), None)
        first = at if at is not None else min(len(ours), len(theirs))
        there = theirs[first] if first < len(theirs) else "nothing"
        wanted = ours[first] if first < len(ours) else "nothing"
        verdict = Verdict.AGAINST if case.wanted.use.flies else Verdict.JUDGED
        said = f"{one.label}: word {first + 1} is “{there}”, wanted “{wanted}”."
    row = statement_row(
        case,
        one,
        verdict,
        said,
        wanted=demand.text,
        offered=offered_text(statement),
        sources=(WORDING_RULE,),
        wished=demand.wished,
        departs=ours != theirs,
        measure=measure,
    )
    yield with_demand(row, demand)


def plate_row(case: Case) -> Iterable[Row]:
    """An identity plate is no part to be sourced: whoever makes or fits one needs the authority."""
    one = case.part_class.characteristic("duty")
    assert one is not None
    row = characteristic_row(case, one)
    if row is not None:
        yield row
    if "identity" in {case.wanted_word("duty"), case.word("duty")}:
        yield statement_row(
            case,
            label_row("identity_plate", "Identity plate", Concern.HAZARD),
            Verdict.JUDGED,
            "An identity or data plate says what an aeroplane is. Making, moving or fitting one is for the authority.",
            wanted=case.wanted_word("duty") or "not known",
            offered=case.word("duty") or "not said",
            sources=(PLATE_RULE,),
            caution="Don't make, move or fit an identity plate without the authority's consent.",
            departs=True,
        )


def lens_colour_row(case: Case) -> Iterable[Row]:
    """The colour of a lens: a person's eye, and for navigation lights the authority's limits besides."""
    one = case.part_class.characteristic("colour")
    assert one is not None
    row = characteristic_row(case, one)
    if row is not None:
        yield row
    if case.wanted_word("kind_of_glass") == "navigation lens" and case.wanted.use.flies:
        statement = case.statement("colour")
        yield statement_row(
            case,
            label_row("light_colour", "Colour of the light", Concern.FUNCTION),
            Verdict.JUDGED,
            "The light through it is judged lit, with the lamp it will have, against the authority's colour limits.",
            wanted="colour limits of the authority",
            offered=statement.text if statement is not None else "not said",
            sources=(COLOUR_RULE,),
            departs=True,
            measure=None,
        )


def over_row(case: Case) -> Iterable[Row]:
    """One finish over another: the pairs known to lift or crack."""
    beneath, finish = case.wanted_word("over"), case.word("kind_of_finish")
    why = LIFTS.get((finish, beneath))
    if why is None:
        return
    yield statement_row(
        case,
        label_row("over_what", "Over the coat beneath", Concern.FIT),
        Verdict.AGAINST,
        f"{why[0].upper()}{why[1:]}.",
        wanted=beneath,
        offered=finish,
        sources=(PAINT_RULE,),
        departs=True,
    )


def restraint_row(case: Case) -> Iterable[Row]:
    """A belt that holds a person in an aeroplane that flies: approval, age and strength have to be shown."""
    if not case.wanted.use.flies:
        return
    if not case.wanted_word("restrains"):
        one = case.part_class.characteristic("restrains")
        assert one is not None
        yield missing_original(case, one, None)
        return
    if case.wanted_word("restrains") != "yes":
        return
    label, made = case.statement("approval"), case.statement("made_on")
    missing = [name for name, said in (("approval", label), ("date of making", made)) if said is None]
    if missing:
        verdict = Verdict.OPEN
        said = f"It restrains a person, and nobody knows its {' and its '.join(missing)}."
    else:
        verdict = Verdict.JUDGED
        said = "It restrains a person: approval, age, strength and attachment are for a licensed person to answer for."
    yield statement_row(
        case,
        label_row("restraint", "Restraint of a person", Concern.STRENGTH),
        verdict,
        said,
        wanted="approved, of known age",
        offered=", ".join(statement.text for statement in (label, made) if statement is not None) or "not said",
        sources=(RESTRAINT_RULE,),
        caution="A belt that looks sound may have lost its strength by age and light. Test or renew it.",
        departs=True,
        measure=MeasureNext("approval", "Read the label: approval and date", "a look at the label", 1)
        if verdict is Verdict.OPEN
        else None,
    )
