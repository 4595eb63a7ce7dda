"""The thread row: is the offered thread the wanted one, and how far has somebody told it from its twins?"""

from collections.abc import Iterable
from dataclasses import replace

from server.domain.demand import demand_for, standing_requirements
from server.domain.offer import Basis, Statement
from server.domain.parts._kinds import where_from
from server.domain.parts._kit import Case, Characteristic, Check, in_sentence
from server.domain.quantities import as_decimal_text
from server.domain.rows import CLAIM_RULE, judge_words, missing_offer, missing_original, offered_text, with_demand
from server.domain.sources import method
from server.domain.threads import (
    THREAD_RULE,
    Difference,
    Differs,
    Thread,
    Tool,
    crest_limits,
    differences,
    listed_threads,
    read_thread,
    remark_on,
    told_apart_by,
    twins_left,
)
from server.domain.verdict import MeasureNext, Row, Verdict

TELL_RULE = method("a calliper tells threads apart from 0.20 mm, a leaf gauge from 2 %, a profile gauge the form")
TOOLS: dict[str, frozenset[Tool]] = {
    "thread_gauge": frozenset({Tool.GAUGE}),
    "thread_profile": frozenset({Tool.CALLIPER, Tool.PITCH_GAUGE, Tool.PROFILE}),
    "pitch_gauge": frozenset({Tool.CALLIPER, Tool.PITCH_GAUGE}),
    "calliper": frozenset({Tool.CALLIPER}),
    "vernier": frozenset({Tool.CALLIPER}),
    "micrometer": frozenset({Tool.CALLIPER}),
}
"""Instrument of the statement to what it tells; a profile is only looked at after pitch and diameter."""

FORCED = "A wrong thread often starts by hand, then binds or strips. Never force it; try a gauge."


def thread_rows(*keys: str) -> Check:
    """A check that writes the rows of these thread characteristics; they belong into the `covers` of the class."""

    def check(case: Case) -> Iterable[Row]:
        for key in keys:
            one = case.part_class.characteristic(key)
            assert one is not None
            row = thread_row(case, one)
            if row is not None:
                yield row

    return check


def thread_row(case: Case, one: Characteristic) -> Row | None:
    """One thread of the find against the wanted one; None where nothing is asked of it."""
    demand = demand_for(case, one)
    statement = case.statement(one.key)
    if demand is None:
        return missing_original(case, one, statement) if one.essential else None
    if statement is None:
        return with_demand(missing_offer(case, one, demand), demand)
    if demand.is_sample:
        return with_demand(judge_words(case, one, demand, statement), demand)
    row = _judged(case, one, statement)
    weight = case.weight(one.concern, demand.wished)
    # the words of two sources may differ and still name one thread: their own contradiction is not carried over
    return with_demand(replace(row, weight=weight, wanted=demand.text), demand)


def wanted_threads(case: Case, key: str) -> tuple[tuple[Thread, ...], str]:
    """The threads that satisfy every standing source, and what stopped the reading ("" if nothing did)."""
    standing, _ = standing_requirements(case, key)
    each: list[tuple[Thread, ...]] = []
    for row in standing:
        said = row.words or (row.text,)
        read = [read_thread(word) for word in said]
        if None in read:
            return (), said[read.index(None)]
        each.append(tuple(thread for thread in read if thread is not None))
    if not each:
        return (), ""
    first, *rest = each
    return tuple(one for one in first if all(any(not differences(one, other) for other in more) for more in rest)), ""


def offered_thread(case: Case, key: str) -> Thread | None:
    """The thread of the find as stated; None if it was not said or can't be read."""
    statement = case.statement(key)
    return None if statement is None else read_thread(statement.words[0] if statement.words else statement.text)


def _judged(case: Case, one: Characteristic, statement: Statement) -> Row:
    blank = Row(
        one.key,
        one.label,
        one.concern,
        case.weight(one.concern),
        "",
        offered_text(statement),
        Verdict.OPEN,
        "",
        sources=(THREAD_RULE,),
        offered_from=where_from(statement),
    )
    accepted, unread = wanted_threads(case, one.key)
    if unread:
        return _unread(blank, unread, about_original=True)
    if not accepted:
        return replace(
            blank,
            sentence=f"{one.label}: the sources name different threads. Somebody has to decide, with a reason.",
            sources=(method("where sources disagree both stand until a person decides"),),
            measure=MeasureNext(one.key, "Decide between the sources: thread", "a person, with a reason", 1, True),
        )
    offered = offered_thread(case, one.key)
    if offered is None:
        return _unread(blank, statement.text, about_original=False)
    wanted = min(accepted, key=lambda thread: len(differences(thread, offered)))
    return _compared(one, statement, wanted, offered, replace(blank, assumption=_assumed(wanted)))


def _unread(blank: Row, text: str, *, about_original: bool) -> Row:
    return replace(
        blank,
        sentence=(
            f"{blank.label}: “{text}” can't be read as a thread. Write it as a designation, like 1/4-28 UNF, M6 × 1,"
            " 2BA, 1/4 BSF or G1/8, or as diameter and count, like 5/16 × 18 tpi."
        ),
        measure=MeasureNext(blank.key, "Say the thread by its designation", "a person", 1, about_original),
    )


def _assumed(wanted: Thread) -> str:
    """Metric threads written without a pitch: where an older pitch of the same diameter exists, say what was taken."""
    if wanted.form != "M" or "×" in wanted.designation or wanted.pitch is None:
        return ""
    older = [
        one
        for one in listed_threads()
        if one.form == "M" and one.major == wanted.major and (one.pitch or 0) > wanted.pitch
    ]
    if not older:
        return ""
    return f"{wanted.designation} taken with today's coarse pitch; an old French or Japanese one would be {older[0]}"


def _compared(one: Characteristic, statement: Statement, wanted: Thread, offered: Thread, blank: Row) -> Row:
    found = differences(wanted, offered)
    told = [difference for difference in found if difference.what is not Differs.UNKNOWN]
    if told:
        return _differs(one, statement, wanted, offered, told, blank)
    if found:
        reasons = "; ".join(difference.said for difference in found)
        return replace(
            blank,
            sentence=f"{one.label}: {offered} against {wanted} can't be settled: {reasons}.",
            measure=_gauge(one, wanted),
        )
    if statement.basis is Basis.CLAIMED:
        return replace(
            blank,
            sentence=f"{one.label}: claimed as {offered}, as wanted; nobody here has gauged it.",
            sources=(THREAD_RULE, CLAIM_RULE),
            measure=_gauge(one, wanted),
        )
    tools = TOOLS.get(statement.instrument, frozenset())
    if not tools:
        return replace(
            blank,
            sentence=f"{one.label}: {offered}, as wanted, but it was not gauged; a look tells no thread.",
            sources=(THREAD_RULE, TELL_RULE),
            measure=_gauge(one, wanted),
        )
    twins = twins_left(wanted, tools)
    if twins:
        names = " or ".join(str(twin) for twin in twins[:4])
        return replace(
            blank,
            sentence=f"{one.label}: {offered}, as wanted, but what it was gauged with can't tell it from {names}.",
            sources=(THREAD_RULE, TELL_RULE),
            measure=_gauge(one, wanted),
        )
    return replace(
        blank,
        verdict=Verdict.PROVEN,
        sentence=f"{one.label}: {offered}, {offered.sizes}: the wanted thread.",
        sources=(THREAD_RULE, TELL_RULE),
    )


def _differs(
    one: Characteristic, statement: Statement, wanted: Thread, offered: Thread, told: list[Difference], blank: Row
) -> Row:
    is_claimed = statement.basis is Basis.CLAIMED
    by = ", by its own claim," if is_claimed else ","
    reasons = "; ".join(difference.said for difference in told)
    said = [f"{one.label}: wanted {wanted}{by} offered {offered}: {reasons}."]
    if {difference.what for difference in told} == {Differs.FORM}:
        said.append(
            "Same diameter and pitch, other form: at most the whole joint, screw and nut, is replaced together,"
            " and a person decides."
        )
    remark = remark_on(wanted, offered)
    if remark:
        said.append(f"{remark[0].upper()}{remark[1:]}.")
    tools = told_apart_by(wanted, offered)
    by_sight = {Differs.HAND, Differs.STARTS} & {difference.what for difference in told}
    if not by_sight and not tools & {Tool.CALLIPER, Tool.PITCH_GAUGE}:
        settle = " and ".join(sorted(tools))
        said.append(f"Calliper and pitch gauge can't tell these two apart; a {settle} does.{_crests(wanted, offered)}")
    return replace(
        blank,
        verdict=Verdict.AGAINST,
        sentence=" ".join(said),
        sources=(THREAD_RULE, TELL_RULE, CLAIM_RULE) if is_claimed else (THREAD_RULE, TELL_RULE),
        caution=FORCED,
        departs=True,
    )


def _crests(*threads: Thread) -> str:
    """How wide real crests of both are; "" where the limits of one are not known."""
    limits = [crest_limits(thread) for thread in threads]
    if None in limits:
        return ""
    ranges = [
        f"{thread} {as_decimal_text(found[0], 3)} to {as_decimal_text(found[1], 3)}"
        for thread, found in zip(threads, limits, strict=True)
        if found is not None
    ]
    return f" Good crests: {', '.join(ranges)}\u202fmm."


def _gauge(one: Characteristic, wanted: Thread) -> MeasureNext:
    """The handiest tool that leaves no twin standing."""
    for tools, name, effort in (
        (TOOLS["pitch_gauge"], "pitch gauge and calliper", 2),
        (TOOLS["thread_profile"], "pitch gauge, calliper and thread profile", 3),
    ):
        if not twins_left(wanted, tools):
            return MeasureNext(one.key, f"Gauge: {in_sentence(one.label)}", name, effort)
    return MeasureNext(one.key, f"Gauge: {in_sentence(one.label)}", f"go and not-go gauge for {wanted}", 3)
