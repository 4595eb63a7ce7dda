"""Remarks on a candidate: rows in, questions and answers out."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.register import Attachment
from server.storage.chain import settles
from server.storage.needs import attachment_of
from server.storage.tables import AttachmentRow, CandidateRow, RemarkRow, SignOffRow


@dataclass(frozen=True, slots=True)
class Remark:
    """Something said on a candidate: a question, or the answer to one."""

    id: int
    text: str
    by: str
    by_id: int
    at: datetime
    answers: int | None
    attachments: tuple[Attachment, ...] = ()


def load_remarks(session: Session, candidate_id: int) -> tuple[Remark, ...]:
    """What was said on a candidate and not taken back, the oldest first, with its photographs."""
    wanted = select(RemarkRow).where(RemarkRow.candidate_id == candidate_id, col(RemarkRow.withdrawn_at).is_(None))
    rows = list(session.exec(wanted.order_by(col(RemarkRow.id))))
    if not rows:
        return ()
    pictures: dict[int, list[Attachment]] = defaultdict(list)
    attached = select(AttachmentRow).where(
        col(AttachmentRow.remark_id).in_([row.id for row in rows]), col(AttachmentRow.withdrawn_at).is_(None)
    )
    for one in session.exec(attached.order_by(col(AttachmentRow.id))):
        pictures[one.remark_id or 0].append(attachment_of(one))
    return tuple(
        Remark(row.id or 0, row.text, row.by, row.by_id, row.at, row.answered_to, tuple(pictures[row.id or 0]))
        for row in rows
    )


def count_unanswered(session: Session, account_id: int) -> tuple[int, int | None]:
    """Questions of others on this account's undecided candidates, with no answer yet: how many, and on which first."""
    answer = sa.orm.aliased(RemarkRow)
    wanted = (
        sa.select(sa.func.count(), sa.func.min(col(RemarkRow.candidate_id)))
        .join(CandidateRow, col(CandidateRow.id) == col(RemarkRow.candidate_id))
        .where(
            col(CandidateRow.proposed_by_id) == account_id,
            col(CandidateRow.withdrawn_at).is_(None),
            ~sa.exists().where(
                col(SignOffRow.candidate_id) == col(CandidateRow.id),
                col(SignOffRow.signed_at) >= col(CandidateRow.proposed_at),
                settles(),
            ),
            col(RemarkRow.withdrawn_at).is_(None),
            col(RemarkRow.answered_to).is_(None),
            col(RemarkRow.by_id) != account_id,
            ~sa.exists().where(
                col(answer.answered_to) == col(RemarkRow.id),
                col(answer.withdrawn_at).is_(None),
            ),
        )
    )
    count, first = session.execute(wanted).one()
    return int(count), first
