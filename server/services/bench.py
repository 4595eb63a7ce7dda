"""The bench: what holds up the next steps, what waits for this person, what turned up."""

from dataclasses import dataclass
from datetime import date

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.register import Actor, StepState, UserRole, find_number, need_number
from server.services.candidates import CandidateLine, list_candidates
from server.services.clocks import day_of
from server.services.watches import Watched, watched_for
from server.services.yard import require
from server.storage.conditions import ConditionCount, count_conditions
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.remarks import count_unanswered
from server.storage.tables import AeroplaneRow, CandidateRow, FindRow, NeedRow, StepRow, TurnedUpRow

NEXT_STEPS = 6
MOST_NEEDS = 8
MOST_TURNED_UP = 12


@dataclass(frozen=True, slots=True)
class Holding:
    """An open need that holds up a step, and what it waits for."""

    id: int
    item: str
    waits_for: str
    href: str

    @property
    def number(self) -> str:
        """The running number as written on tickets."""
        return need_number(self.id)


@dataclass(frozen=True, slots=True)
class HeldStep:
    """A step ahead with the open needs that must be there before it."""

    id: int
    name: str
    closes: str
    aeroplane: str
    due: date | None
    days: int | None
    holding: tuple[Holding, ...]
    more: int


@dataclass(frozen=True, slots=True)
class TurnedUp:
    """A find that may meet a need, noticed when one of them was saved."""

    need_id: int
    find_id: int
    item: str
    find_text: str

    @property
    def need_number(self) -> str:
        """The need's running number."""
        return need_number(self.need_id)

    @property
    def find_number(self) -> str:
        """The find's running number."""
        return find_number(self.find_id)


@dataclass(frozen=True, slots=True)
class Bench:
    """All of it."""

    steps: tuple[HeldStep, ...]
    to_sign: tuple[CandidateLine, ...]
    mine_open: int
    mine_undecided: tuple[CandidateLine, ...]
    turned_up: tuple[TurnedUp, ...]
    watched: tuple[Watched, ...]
    unsorted: int
    open_needs: int
    finds: int
    questions: int = 0
    questions_on: int | None = None
    conditions: tuple[ConditionCount, ...] = ()


def bench_of(store: Store, actor: Actor) -> Bench:
    """The bench of one person, with a fixed number of queries."""
    now = store.clock()
    with store.read() as session:
        today = day_of(session, now)
        undecided = list_candidates(session, undecided=True)
        questions, first = count_unanswered(session, actor.id)
        may_sign = actor.may(UserRole.APPROVER)
        return Bench(
            steps=_held_steps(session, undecided, today),
            to_sign=tuple(
                one for one in undecided if may_sign and actor.id not in {one.proposed_by_id, one.first_signed_by_id}
            ),
            mine_open=_open_needs(session, col(NeedRow.owner_id) == actor.id),
            mine_undecided=tuple(one for one in undecided if one.proposed_by_id == actor.id),
            turned_up=_turned_up(session, actor),
            watched=watched_for(session, actor),
            unsorted=_kept_finds(session, col(FindRow.part_class) == ""),
            open_needs=_open_needs(session),
            finds=_kept_finds(session),
            questions=questions,
            questions_on=first,
            conditions=tuple(count_conditions(session, today)),
        )


def _open_needs(session: Session, *narrower: sa.ColumnElement[bool]) -> int:
    wanted = sa.select(sa.func.count()).select_from(NeedRow)
    wanted = wanted.where(col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None), *narrower)
    return int(session.execute(wanted).scalar_one())


def _kept_finds(session: Session, *narrower: sa.ColumnElement[bool]) -> int:
    wanted = sa.select(sa.func.count()).select_from(FindRow)
    return int(session.execute(wanted.where(col(FindRow.withdrawn_at).is_(None), *narrower)).scalar_one())


def _held_steps(session: Session, undecided: list[CandidateLine], today: date) -> tuple[HeldStep, ...]:
    waiting = (
        select(NeedRow.step_id, sa.func.count().label("open"))
        .where(col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None), col(NeedRow.step_id).is_not(None))
        .group_by(col(NeedRow.step_id))
        .subquery()
    )
    ahead = (
        sa.select(StepRow, col(AeroplaneRow.type), waiting.c.open)
        .join(waiting, waiting.c.step_id == col(StepRow.id))
        .join(AeroplaneRow, col(AeroplaneRow.id) == col(StepRow.aeroplane_id))
        .where(col(StepRow.state) == StepState.AHEAD.value, col(StepRow.withdrawn_at).is_(None))
        .order_by(col(StepRow.due).is_(None), col(StepRow.due), col(StepRow.place_in_order))
        .limit(NEXT_STEPS)
    )
    rows = list(session.execute(ahead))
    numbers = [row[0].id for row in rows]
    needs = session.exec(
        select(NeedRow)
        .where(col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None), col(NeedRow.step_id).in_(numbers))
        .order_by(col(NeedRow.id))
    )
    by_step: dict[int, list[NeedRow]] = {}
    for need in needs:
        by_step.setdefault(need.step_id or 0, []).append(need)
    offered: dict[int, list[CandidateLine]] = {}
    for line in undecided:
        offered.setdefault(line.need_id, []).append(line)
    refused = set(session.exec(select(CandidateRow.need_id).distinct()))
    held: list[HeldStep] = []
    for step, plane, count in rows:
        few = by_step.get(step.id, [])[:MOST_NEEDS]
        held.append(
            HeldStep(
                id=step.id,
                name=step.name,
                closes=step.closes,
                aeroplane=plane,
                due=step.due,
                days=(step.due - today).days if step.due else None,
                holding=tuple(_holding(need, offered.get(need.id or 0, []), need.id in refused) for need in few),
                more=max(0, count - len(few)),
            )
        )
    return tuple(held)


def _holding(need: NeedRow, offered: list[CandidateLine], was_offered: bool) -> Holding:
    """What an open need waits for: a decision, a measurement, or anything at all."""
    number = need.id or 0
    if offered:
        first = offered[0]
        word = "decision" if first.outcome != "not proven" else "measuring, then a decision"
        return Holding(number, need.item, word, f"/candidates/{first.id}")
    waits = "another offer; what was offered did not do" if was_offered else "something to turn up"
    return Holding(number, need.item, waits, f"/needs/{number}")


def _turned_up(session: Session, actor: Actor) -> tuple[TurnedUp, ...]:
    wanted = (
        sa.select(TurnedUpRow, col(NeedRow.item), col(FindRow.text))
        .join(NeedRow, col(NeedRow.id) == col(TurnedUpRow.need_id))
        .join(FindRow, col(FindRow.id) == col(TurnedUpRow.find_id))
        .where(
            col(TurnedUpRow.set_aside_at).is_(None),
            col(NeedRow.met_at).is_(None),
            col(NeedRow.withdrawn_at).is_(None),
            col(FindRow.withdrawn_at).is_(None),
            ~sa.exists().where(
                col(CandidateRow.need_id) == col(TurnedUpRow.need_id),
                col(CandidateRow.find_id) == col(TurnedUpRow.find_id),
            ),
        )
        # one's own needs first, then the newest
        .order_by((col(NeedRow.owner_id) == actor.id).desc(), col(TurnedUpRow.noticed_at).desc())
        .limit(MOST_TURNED_UP)
    )
    return tuple(TurnedUp(row[0].need_id, row[0].find_id, row[1], row[2]) for row in session.execute(wanted))


def set_aside(store: Store, actor: Actor, need_id: int, find_id: int) -> None:
    """Somebody looked: this find is not for that need. It is not brought up again."""
    require(actor, UserRole.RESTORER)
    now = store.clock()
    with store.write() as session:
        row = session.get(TurnedUpRow, (need_id, find_id))
        if row is None or row.set_aside_at is not None:
            return
        row.set_aside_at, row.set_aside_by = now, actor.name
        session.add(row)
        write_log(session, now, actor, f"set aside {find_number(find_id)}", f"need/{need_id}")
