"""Words of which one may stand for another: what is gained, what is lost, where it is refused."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from server.domain.demand import demand_for
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Statement
from server.domain.parts._computed import warning_weight
from server.domain.parts._kit import Case, Check, KindChange, fold_word, in_sentence
from server.domain.rows import characteristic_row, offered_text, with_demand
from server.domain.sources import Source, method
from server.domain.specification import Role
from server.domain.verdict import MeasureNext, Row, Verdict

Pair = tuple[str, str]
"""Wanted word and offered word, by their keys; "*" stands for any."""

NUMBER_RULE = method("a number names a part, it measures none")

EVERYWHERE = frozenset(Role)
LOADED = frozenset({Role.PRIMARY, Role.SECONDARY, Role.CONTROL})


def refused(lost: str, source: Source) -> KindChange:
    """A word that never stands for the other, on display neither."""
    return KindChange("nothing.", lost, source, EVERYWHERE, refused_only_flying=False)


def refused_flying(gained: str, lost: str, source: Source, roles: frozenset[Role] = EVERYWHERE) -> KindChange:
    """A word that never stands for the other in these roles of an aeroplane that flies."""
    return KindChange(gained, lost, source, roles)


def allowed(gained: str, lost: str, source: Source) -> KindChange:
    """A word that may stand for the other where a person answers for it."""
    return KindChange(gained, lost, source)


def word_changes(key: str, changes: Mapping[Pair, KindChange], cautions: Mapping[str, str] | None = None) -> Check:
    """A check of one characteristic in words: the general row, with the listed changes judged by their rule.

    `cautions` are by offered word. The characteristic belongs into the `covers` of its class.
    """

    def check(case: Case) -> Iterable[Row]:
        one = case.part_class.characteristic(key)
        assert one is not None
        row = characteristic_row(case, one)
        if row is None:
            return
        statement = case.statement(key)
        offered = case.word(key)
        if statement is not None and offered:
            row = _changed(case, row, statement, changes, (case.wanted_word(key), offered))
        caution = (cautions or {}).get(offered, "")
        yield replace(row, caution=caution) if caution else row

    return check


def _changed(case: Case, row: Row, statement: Statement, changes: Mapping[Pair, KindChange], pair: Pair) -> Row:
    wanted, offered = pair
    change = changes.get(pair)
    if change is None and wanted and wanted != offered and row.verdict is not Verdict.PROVEN:
        change = changes.get((wanted, "*")) or changes.get(("*", offered))
    if change is None:
        return row
    said = f"{row.label}: wanted {row.wanted}, offered {row.offered}."
    words = f"Gained: {change.gained} Lost: {change.lost}"
    if case.wanted.role in change.refused_for and (case.wanted.use.flies or not change.refused_only_flying):
        where = "" if not change.refused_only_flying else f" in {case.wanted.role} of an aeroplane that flies"
        return replace(
            row,
            verdict=Verdict.AGAINST,
            sentence=f"{said} Refused{where}. {words}",
            sources=(change.source,),
            departs=True,
            measure=None,
        )
    if statement.basis is Basis.CLAIMED:
        return replace(
            row,
            verdict=Verdict.OPEN,
            sentence=f"{said} By its claim only; look first. {words}",
            sources=(change.source,),
            departs=True,
        )
    return replace(
        row,
        verdict=Verdict.JUDGED,
        sentence=f"{said} A person has to answer for it. {words}",
        sources=(change.source,),
        departs=True,
        measure=None,
    )


def where_from(statement: Statement) -> str:
    """Basis, instrument, person and date of a statement, as the sheet prints them."""
    instrument = INSTRUMENTS.get(statement.instrument)
    said = [
        str(statement.basis),
        instrument.name if instrument else statement.instrument,
        statement.by,
        statement.on,
    ]
    return ", ".join(part for part in said if part)


def number_rows(*keys: str) -> Check:
    """A check of numbers that name a part: the same number helps to know it, another one is to be answered for.

    A number proves no size, so these rows contribute and never govern by themselves.
    """

    def check(case: Case) -> Iterable[Row]:
        for key in keys:
            row = _number_row(case, key)
            if row is not None:
                yield row

    return check


def _number_row(case: Case, key: str) -> Row | None:
    one = case.part_class.characteristic(key)
    assert one is not None
    demand = demand_for(case, one)
    if demand is None:
        return None
    statement = case.statement(key)
    same = statement is not None and any(fold_word(word) in demand.words for word in statement.words)
    measure = MeasureNext(one.key, f"Find out: {in_sentence(one.label)}", "a look at the part and its packet", 1)
    if statement is None:
        verdict, said = Verdict.OPEN, f"{one.label}: none on the find; its sizes have to show what it is."
    elif same and statement.basis is Basis.MEASURED:
        verdict, said = Verdict.PROVEN, f"{one.label}: {statement.text}, read off the part."
    elif same:
        verdict, said = Verdict.OPEN, f"{one.label}: {statement.text} by its claim; it is not read off the part."
    else:
        verdict = Verdict.JUDGED
        said = f"{one.label}: {statement.text} instead of {demand.text}; what it is made like decides, not the number."
    return with_demand(
        Row(
            one.key,
            one.label,
            one.concern,
            warning_weight(case, one.concern, demand.wished),
            demand.text,
            offered_text(statement) if statement is not None else "not said",
            verdict,
            said,
            sources=(NUMBER_RULE,),
            offered_from=where_from(statement) if statement is not None else "",
            departs=verdict is Verdict.JUDGED,
            measure=measure if verdict is Verdict.OPEN else None,
        ),
        demand,
    )
