"""Frozen records read back: one, those that stand for an aeroplane, and what is fitted under them."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from server.domain.drawing import Drawing
from server.domain.drawing_plain import drawing_from_plain
from server.domain.errors import NotFound
from server.domain.register import Decision, Reversible, record_number
from server.domain.seals import Seal
from server.domain.sheet_plain import sheet_from_plain
from server.domain.verdict import Sheet
from server.services.seals import seal_of
from server.storage.chain import settles
from server.storage.tables import CandidateRow, NeedRow, SignOffRow

ALLOWED = (Decision.APPROVED.value, Decision.CONDITIONAL.value)


@dataclass(frozen=True, slots=True)
class Frozen:
    """One record as it was signed: its text, its values, its seal. Nothing in it is computed anew."""

    id: int
    candidate_id: int
    signed_at: datetime
    text: str
    plain: dict[str, Any]
    digest: str
    previous: str
    seal: Seal | None

    @property
    def number(self) -> str:
        """The record's running number."""
        return record_number(self.id)

    @property
    def sheet(self) -> Sheet:
        """The comparison as it was signed."""
        return sheet_from_plain(self.plain["sheet"])

    @property
    def drawings(self) -> tuple[Drawing, ...]:
        """The drawings that were frozen with it; none in records from before they were."""
        return tuple(drawing_from_plain(one) for one in self.plain.get("drawings", ()))


def load_record(session: Session, number: int) -> Frozen:
    """One record. Raises NotFound."""
    row = session.get(SignOffRow, number)
    if row is None:
        raise NotFound("There is no such record.")
    return _frozen(session, row)


def _frozen(session: Session, row: SignOffRow) -> Frozen:
    number = row.id or 0
    plain = json.loads(row.record)
    return Frozen(
        number,
        row.candidate_id,
        row.signed_at,
        row.record,
        plain,
        row.digest,
        row.previous,
        seal_of(session, number),
    )


def record_numbers(session: Session) -> list[int]:
    """Every record of the register, the oldest first."""
    return [number for number in session.exec(select(SignOffRow.id).order_by(col(SignOffRow.id))) if number is not None]


def standing_records(session: Session, aeroplane_id: int) -> list[Frozen]:
    """The approvals that stand for an aeroplane: the last decision on each candidate, where it allows it."""
    wanted = (
        select(SignOffRow)
        .join(CandidateRow, col(CandidateRow.id) == col(SignOffRow.candidate_id))
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .where(NeedRow.aeroplane_id == aeroplane_id, settles())
        .order_by(col(SignOffRow.id))
    )
    last: dict[int, SignOffRow] = {}
    for row in session.exec(wanted):
        last[row.candidate_id] = row
    standing = [row for row in last.values() if row.decision in ALLOWED]
    return [_frozen(session, row) for row in sorted(standing, key=lambda one: one.id or 0)]


@dataclass(frozen=True, slots=True)
class Fitted:
    """Something on the aeroplane that is not the original, in words; "" where the record does not say."""

    record: int
    number: str
    position: str
    chapter: str
    was: str
    designations: tuple[str, ...]
    now: str
    pieces: str
    since: datetime
    outcome: str
    decision: str
    conditions: str
    marking: str
    reversible: Reversible
    authenticity: str

    @property
    def part_number(self) -> str:
        """The first number or name the original goes by."""
        return self.designations[0] if self.designations else ""


def fitted_of(record: Frozen) -> Fitted:
    """What a standing record says is on the aeroplane."""
    plain = record.plain
    need, find = plain["need"], plain["find"]
    used = plain.get("used")
    return Fitted(
        record=record.id,
        number=record.number,
        position=", ".join(part for part in (need["zone"], need["side"], need["station"]) if part),
        chapter=need["chapter"],
        was=need["item"],
        designations=tuple(one["text"] for one in need["designations"]),
        now=find["text"],
        pieces=str(used) if used else "",
        since=record.signed_at,
        outcome=plain["sheet"]["outcome"],
        decision=plain["decision"],
        conditions=plain.get("conditions", ""),
        marking=plain.get("marking", ""),
        reversible=Reversible(plain.get("reversible", Reversible.UNKNOWN)),
        authenticity=plain["authenticity"]["answer"] or "",
    )
