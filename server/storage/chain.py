"""The chain of signed records: adding to it, one at a time, and which of its entries decide."""

from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.register import Decision
from server.storage.tables import CandidateRow, SignOffRow

_APPROVING = frozenset({Decision.APPROVED.value, Decision.CONDITIONAL.value})
_SETTLING = tuple(one.value for one in Decision if one.settles)


def settles(entry: Any = SignOffRow) -> sa.ColumnElement[bool]:
    """True for an entry that decides its candidate; a first signature or a closed condition only stands beside it.

    Whoever asks for the last entry of a candidate has to ask for the last of these.
    """
    return col(entry.decision).in_(_SETTLING)


def has_approval(session: Session, need_id: int) -> bool:
    """Does an approval stand on a candidate of this need, one not withdrawn by a later entry or proposed anew since?"""
    signed = (
        select(CandidateRow.id, SignOffRow.decision)
        .join(SignOffRow, col(SignOffRow.candidate_id) == col(CandidateRow.id))
        .where(CandidateRow.need_id == need_id, settles(), SignOffRow.signed_at >= CandidateRow.proposed_at)
        .order_by(col(SignOffRow.id))
    )
    standing = dict(session.exec(signed).all())  # the last entry of each candidate
    return any(decision in _APPROVING for decision in standing.values())


def hold_chain(session: Session) -> None:
    """Let nobody else add to the chain until this unit of work ends; whoever waited reads what was added meanwhile.

    Called before anything is read that a signature rests on. SQLite's writers wait for each other anyway.
    """
    if session.get_bind().dialect.name == "postgresql":
        session.execute(sa.text("LOCK TABLE sign_off IN SHARE ROW EXCLUSIVE MODE"))
