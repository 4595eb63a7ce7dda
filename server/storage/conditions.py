"""Conditions of approvals: rows in, records out."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.conditions import Condition, Term
from server.domain.errors import NotFound
from server.storage.tables import AeroplaneRow, CandidateRow, ConditionRow, FindRow, NeedRow
from server.storage.yard import aeroplane_of


def add_conditions(
    session: Session, terms: Iterable[Term], *, record: int, candidate: int, aeroplane: int, at: datetime
) -> None:
    """Keep the conditions of an approval, inside the unit of work that signs it."""
    for term in terms:
        session.add(
            ConditionRow(
                sign_off_id=record,
                candidate_id=candidate,
                aeroplane_id=aeroplane,
                text=term.text,
                due=term.due,
                due_words=term.due_words,
                made_at=at,
            )
        )


def get_condition_row(session: Session, number: int) -> ConditionRow:
    """The row of a condition. Raises NotFound."""
    row = session.get(ConditionRow, number)
    if row is None:
        raise NotFound("There is no such condition in this register.")
    return row


def close_row(session: Session, row: ConditionRow, *, record: int, by: str, reason: str, at: datetime) -> None:
    """Note which signed entry closed it."""
    row.closed_at, row.closed_by, row.closed_reason, row.closed_by_sign_off_id = at, by, reason, record
    session.add(row)


def open_rows_of(session: Session, candidate: int) -> list[ConditionRow]:
    """The open conditions of one candidate."""
    wanted = select(ConditionRow).where(ConditionRow.candidate_id == candidate, col(ConditionRow.closed_at).is_(None))
    return list(session.exec(wanted.order_by(col(ConditionRow.id))))


def list_conditions(
    session: Session, *, aeroplane: int | None = None, candidate: int | None = None, closed: bool = False
) -> list[Condition]:
    """The open or the closed conditions of an aeroplane or a candidate, in order of their number."""
    wanted = (
        sa.select(ConditionRow, col(NeedRow.item), col(FindRow.text))
        .join(CandidateRow, col(CandidateRow.id) == col(ConditionRow.candidate_id))
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .join(FindRow, col(FindRow.id) == col(CandidateRow.find_id))
        .where(col(ConditionRow.closed_at).is_not(None) if closed else col(ConditionRow.closed_at).is_(None))
        .order_by(col(ConditionRow.id))
    )
    if aeroplane is not None:
        wanted = wanted.where(col(ConditionRow.aeroplane_id) == aeroplane)
    if candidate is not None:
        wanted = wanted.where(col(ConditionRow.candidate_id) == candidate)
    return [condition_of(row, item, text) for row, item, text in session.execute(wanted)]


def condition_of(row: ConditionRow, item: str, find_text: str) -> Condition:
    """The condition of a row."""
    return Condition(
        id=row.id or 0,
        candidate_id=row.candidate_id,
        aeroplane_id=row.aeroplane_id,
        record_id=row.sign_off_id,
        item=item,
        find_text=find_text,
        term=Term(row.text, row.due, row.due_words),
        made_at=row.made_at,
        closed_at=row.closed_at,
        closed_by=row.closed_by,
        closed_record_id=row.closed_by_sign_off_id,
        closed_reason=row.closed_reason,
    )


@dataclass(frozen=True, slots=True)
class ConditionCount:
    """An aeroplane's open conditions, and how many of them are past their day."""

    aeroplane_id: int
    aeroplane: str
    open: int
    overdue: int


def count_conditions(session: Session, today: date) -> list[ConditionCount]:
    """Aeroplanes with open conditions, those with overdue ones first."""
    is_late = sa.case((col(ConditionRow.due) < today, 1), else_=0)
    late = sa.func.sum(is_late)
    wanted = (
        sa.select(AeroplaneRow, sa.func.count(), late)
        .join(ConditionRow, col(ConditionRow.aeroplane_id) == col(AeroplaneRow.id))
        .where(col(ConditionRow.closed_at).is_(None))
        .group_by(col(AeroplaneRow.id))
        .order_by(late.desc(), col(AeroplaneRow.id))
    )
    planes = ((aeroplane_of(row), many, int(past)) for row, many, past in session.execute(wanted))
    return [ConditionCount(plane.id, plane.label, many, past) for plane, many, past in planes]
