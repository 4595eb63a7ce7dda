"""What was signed before for the same part: offered first, with the reasons given then and all that differs now.

A precedent is an approval that still stands, for another need that goes by
the same number, or is of the same part class with an equal or close
specification as it was frozen in the record. It decides nothing: the find is
proposed, checked and signed anew.
"""

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from server.domain.register import Decision, Find, Need, Reading, find_number, need_number, record_number
from server.domain.verdict import Outcome
from server.services.candidates import check_in
from server.services.differences import Difference, circumstances, compared, requirement_from_plain
from server.services.needs import fold_designation, wanted_of
from server.storage.chain import settles
from server.storage.finds import load_finds
from server.storage.tables import CandidateRow, DesignationRow, FindRow, NeedRow, SignOffRow

MOST_READ = 60
"""Records that are opened to be compared, the newest."""
MOST_SHOWN = 3
MOST_OTHERS = 3
_APPROVED = (Decision.APPROVED.value, Decision.CONDITIONAL.value)


@dataclass(frozen=True, slots=True)
class Precedent:
    """An approval that stands, seen from another need.

    `same_number` is the number both go by; `agrees` the characteristics that were equal or close. `left` is
    what the find still has, None where nobody counted; `is_here` says that something may be left.
    """

    record_id: int
    candidate_id: int
    need_id: int
    item: str
    find_id: int
    find_text: str
    supplier_id: int | None
    supplier: str
    decision: str
    conditions: str
    signed_by: str
    signed_at: datetime
    same_number: str
    agrees: tuple[str, ...]
    reasons: tuple[tuple[str, str], ...]
    differs: tuple[Difference, ...]
    left: int | None
    is_here: bool
    outcome_now: Outcome
    others: tuple[tuple[int, str], ...]

    @property
    def record_number(self) -> str:
        """The record's running number."""
        return record_number(self.record_id)

    @property
    def need_number(self) -> str:
        """The other need's running number."""
        return need_number(self.need_id)

    @property
    def find_number(self) -> str:
        """The find's running number."""
        return find_number(self.find_id)


@dataclass(frozen=True, slots=True)
class _Frozen:
    """A record opened: its plain form, and how its need stands to the one at hand."""

    signed: SignOffRow
    candidate: CandidateRow
    record: Mapping[str, Any]
    same_number: str
    agrees: tuple[str, ...]
    differs: tuple[Difference, ...]

    @property
    def rank(self) -> tuple[bool, int, int, int]:
        """The closest first, the newest among equals."""
        return not self.same_number, -len(self.agrees), len(self.differs), -(self.signed.id or 0)


def precedents_for(session: Session, need: Need) -> tuple[Precedent, ...]:
    """Approvals that stand for other needs like this one: what can be had of the same first; three at most."""
    opened = [_opened(need, signed, candidate) for signed, candidate in _approvals(session, need)]
    close = sorted((one for one in opened if one is not None), key=lambda one: one.rank)
    if not close:
        return ()
    finds = {one.id: one for one in load_finds(session, list({one.candidate.find_id for one in close}))}
    used = _used(session, list(finds))
    each: dict[int, _Frozen] = {}
    for one in close:  # a find signed for several needs is offered once, by its closest record
        each.setdefault(one.candidate.find_id, one)
    ranked = sorted(each.values(), key=lambda one: not _is_here(finds[one.candidate.find_id], used))
    return tuple(_precedent(session, need, one, finds[one.candidate.find_id], used) for one in ranked[:MOST_SHOWN])


def _approvals(session: Session, need: Need) -> list[tuple[SignOffRow, CandidateRow]]:
    """The newest standing approvals for other needs of the class, or that go by one of its numbers."""
    later = aliased(SignOffRow)
    marks = [fold_designation(one.text) for one in need.designations if one.reading is not Reading.GUESS]
    same_number = sa.select(col(DesignationRow.need_id)).where(
        col(DesignationRow.folded).in_([mark for mark in marks if mark]), col(DesignationRow.withdrawn_at).is_(None)
    )
    wanted = (
        select(SignOffRow, CandidateRow)
        .join(CandidateRow, col(CandidateRow.id) == col(SignOffRow.candidate_id))
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .where(
            col(SignOffRow.decision).in_(_APPROVED),
            col(SignOffRow.signed_at) >= col(CandidateRow.proposed_at),
            col(CandidateRow.withdrawn_at).is_(None),
            col(NeedRow.id) != need.id,
            sa.or_(col(NeedRow.part_class) == need.part_class, col(NeedRow.id).in_(same_number)),
            ~sa.exists().where(
                col(later.candidate_id) == col(SignOffRow.candidate_id),
                col(later.id) > col(SignOffRow.id),
                settles(later),
            ),
        )
        .order_by(col(SignOffRow.id).desc())
        .limit(MOST_READ)
    )
    return [(row[0], row[1]) for row in session.exec(wanted)]


def _opened(need: Need, signed: SignOffRow, candidate: CandidateRow) -> _Frozen | None:
    """The record, if its need is like the one at hand; None if it is not, or can't be read."""
    try:
        record: dict[str, Any] = json.loads(signed.record)
        theirs = [requirement_from_plain(plain) for plain in record["need"]["requirements"]]
        was = record["need"]
        number = _same_number(need, was)
    except (ValueError, KeyError, TypeError):
        return None
    agrees, differs, against = compared(need, theirs)
    if not number:
        ours = {one.characteristic for one in need.requirements}
        if was["part_class"] != need.part_class or against or not agrees or 2 * len(agrees) < len(ours):
            return None
    return _Frozen(signed, candidate, record, number, agrees, (*differs, *circumstances(need, was)))


def _same_number(need: Need, was: Mapping[str, Any]) -> str:
    """A number that both needs go by, surely or doubtfully read; "" for none."""
    theirs = {fold_designation(one["text"]) for one in was["designations"] if one["reading"] != Reading.GUESS.value}
    ours = [one.text for one in need.designations if one.reading is not Reading.GUESS]
    return next((text for text in ours if fold_designation(text) in theirs - {""}), "")


# --- what can be had --------------------------------------------------------------------------------------------------


def _used(session: Session, finds: Sequence[int]) -> dict[int, int | None]:
    """Pieces of each find that standing approvals use; None where one of them used an unsaid number."""
    wanted = (
        select(SignOffRow, CandidateRow)
        .join(CandidateRow, col(CandidateRow.id) == col(SignOffRow.candidate_id))
        .where(col(CandidateRow.find_id).in_(finds), settles())
        .order_by(col(SignOffRow.id))
    )
    last = {candidate.id: (signed, candidate) for signed, candidate in session.exec(wanted)}
    counted: Counter[int] = Counter()
    unsaid: set[int] = set()
    for signed, candidate in last.values():
        if signed.decision not in _APPROVED or signed.signed_at < candidate.proposed_at:
            continue
        used = json.loads(signed.record).get("used")
        if used is None:
            unsaid.add(candidate.find_id)
        else:
            counted[candidate.find_id] += int(used)
    return {number: None if number in unsaid else counted[number] for number in finds}


def _left(find: Find, used: Mapping[int, int | None]) -> int | None:
    """Pieces left; None where the find was not counted. An approval that said no number took all of it."""
    if find.quantity is None:
        return None
    taken = used[find.id]
    return 0 if taken is None else max(0, find.quantity - taken)


def _is_here(find: Find, used: Mapping[int, int | None]) -> bool:
    return not find.withdrawn_reason and _left(find, used) != 0


def _precedent(session: Session, need: Need, one: _Frozen, find: Find, used: Mapping[int, int | None]) -> Precedent:
    labels = {row["key"]: row["label"] for row in one.record["sheet"]["rows"]}
    reasons = [(labels.get(key, key.replace("_", " ")), str(text)) for key, text in one.record["reasons"].items()]
    if one.record.get("reason"):
        reasons.append(("The whole", str(one.record["reason"])))
    return Precedent(
        record_id=one.signed.id or 0,
        candidate_id=one.signed.candidate_id,
        need_id=one.candidate.need_id,
        item=str(one.record["need"]["item"]),
        find_id=find.id,
        find_text=find.text,
        supplier_id=find.supplier.id if find.supplier else None,
        supplier=find.supplier.name if find.supplier else "",
        decision=one.signed.decision,
        conditions=str(one.record.get("conditions", "")),
        signed_by=one.signed.signed_by,
        signed_at=one.signed.signed_at,
        same_number=one.same_number,
        agrees=one.agrees,
        reasons=tuple(reasons),
        differs=one.differs,
        left=_left(find, used),
        is_here=_is_here(find, used),
        outcome_now=check_in(session, wanted_of(need), find.offered()).outcome,
        others=_others(session, find),
    )


def _others(session: Session, find: Find) -> tuple[tuple[int, str], ...]:
    """Other finds in stock of the same class from the same supplier: where the signed one is used up."""
    if find.supplier is None or not find.part_class:
        return ()
    wanted = (
        sa.select(col(FindRow.id), col(FindRow.text))
        .where(
            col(FindRow.supplier_id) == find.supplier.id,
            col(FindRow.part_class) == find.part_class,
            col(FindRow.id) != find.id,
            col(FindRow.withdrawn_at).is_(None),
        )
        .order_by(col(FindRow.id).desc())
        .limit(MOST_OTHERS)
    )
    return tuple((row[0], row[1]) for row in session.execute(wanted))
