"""What is shown of a supplier: finds from them, what they were asked, what of theirs was refused."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import Faults
from server.domain.register import Actor, Decision, Supplier, SupplierState, UserRole
from server.services.candidates import reason_in
from server.services.clocks import day_of
from server.services.yard import changed_fields, require
from server.storage import yard
from server.storage.engine import Store
from server.storage.finds import FindFilter, FindLine, count_finds, list_finds
from server.storage.log import write_log
from server.storage.tables import CandidateRow, EnquiryRow, FindRow, NeedRow, SignOffRow

MOST = 50


@dataclass(frozen=True, slots=True)
class Asked:
    """One question to this supplier about a need, and the answer."""

    need_id: int
    item: str
    is_open: bool
    text: str
    answer: str
    on: date | None
    by: str


@dataclass(frozen=True, slots=True)
class Refusal:
    """A part of this supplier's that was refused, or whose approval was withdrawn, and why."""

    candidate_id: int
    need_id: int
    find_id: int
    item: str
    find_text: str
    decision: str
    reason: str
    signed_by: str
    signed_at: datetime


@dataclass(frozen=True, slots=True)
class SupplierSheet:
    """A supplier with all that is known of dealing with them."""

    supplier: Supplier
    days_since: int | None
    finds: tuple[FindLine, ...]
    find_count: int
    asked: tuple[Asked, ...]
    refusals: tuple[Refusal, ...]


@dataclass(frozen=True, slots=True)
class SupplierLine:
    """A supplier as one line of the list."""

    supplier: Supplier
    days_since: int | None
    finds: int
    refusals: int


def list_supplier_lines(store: Store, today: date) -> list[SupplierLine]:
    """All suppliers by name, with how many finds came from them and how many were refused."""
    with store.read() as session:
        found = _counted(
            session,
            sa.select(col(FindRow.supplier_id), sa.func.count()).where(col(FindRow.withdrawn_at).is_(None)),
        )
        refused = _counted(
            session,
            sa.select(col(FindRow.supplier_id), sa.func.count())
            .join(CandidateRow, col(CandidateRow.find_id) == col(FindRow.id))
            .join(SignOffRow, col(SignOffRow.candidate_id) == col(CandidateRow.id))
            .where(col(SignOffRow.decision).in_(AGAINST)),
        )
        return [
            SupplierLine(one, _days_since(one, today), found.get(one.id, 0), refused.get(one.id, 0))
            for one in yard.list_suppliers(session)
        ]


AGAINST = (Decision.REFUSED.value, Decision.WITHDRAWN.value)


def _counted(session: Session, wanted: Any) -> dict[int, int]:
    rows = session.execute(wanted.where(col(FindRow.supplier_id).is_not(None)).group_by(col(FindRow.supplier_id)))
    return {number: count for number, count in rows}  # noqa: C416  (rows are no pairs to the type checker)


def _days_since(supplier: Supplier, today: date) -> int | None:
    return None if supplier.last_confirmed is None else (today - supplier.last_confirmed).days


def get_supplier_sheet(store: Store, number: int, today: date) -> SupplierSheet:
    """A supplier with finds, questions and refusals. Raises NotFound."""
    with store.read() as session:
        supplier = yard.supplier_of(yard.get_supplier(session, number))
        theirs = FindFilter(supplier_id=number, state="all")
        return SupplierSheet(
            supplier=supplier,
            days_since=_days_since(supplier, today),
            finds=tuple(list_finds(session, theirs, most=MOST)),
            find_count=count_finds(session, theirs),
            asked=tuple(_asked(session, number)),
            refusals=tuple(_refusals(session, number)),
        )


def _asked(session: Session, number: int) -> list[Asked]:
    wanted = (
        select(EnquiryRow, NeedRow)
        .join(NeedRow, col(NeedRow.id) == col(EnquiryRow.need_id))
        .where(EnquiryRow.supplier_id == number, col(EnquiryRow.withdrawn_at).is_(None))
        .order_by(col(EnquiryRow.on_day).desc(), col(EnquiryRow.id).desc())
    )
    return [
        Asked(
            need_id=enquiry.need_id,
            item=need.item,
            is_open=need.met_at is None and need.withdrawn_at is None,
            text=enquiry.text,
            answer=enquiry.answer,
            on=enquiry.on_day,
            by=enquiry.by,
        )
        for enquiry, need in session.exec(wanted)
    ]


def _refusals(session: Session, number: int) -> list[Refusal]:
    wanted = (
        select(SignOffRow, CandidateRow, FindRow, NeedRow)
        .join(CandidateRow, col(CandidateRow.id) == col(SignOffRow.candidate_id))
        .join(FindRow, col(FindRow.id) == col(CandidateRow.find_id))
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .where(col(SignOffRow.decision).in_(AGAINST), FindRow.supplier_id == number)
        .order_by(col(SignOffRow.id).desc())
    )
    return [
        Refusal(
            candidate_id=candidate.id or 0,
            need_id=candidate.need_id,
            find_id=candidate.find_id,
            item=need.item,
            find_text=find.text,
            decision=signed.decision,
            reason=reason_in(signed.record),
            signed_by=signed.signed_by,
            signed_at=signed.signed_at,
        )
        for signed, candidate, find, need in session.exec(wanted)
    ]


def confirm_supplier(store: Store, actor: Actor, number: int) -> None:
    """Note that the supplier answered today. Raises NotAllowed, NotFound, Faults where it was withdrawn."""
    require(actor, UserRole.RESTORER)
    now = store.clock()
    with store.write() as session:
        row = yard.get_supplier(session, number)
        if row.withdrawn_at is not None:
            raise Faults({"": "This supplier was withdrawn."})
        today = day_of(session, now)
        values = {"state": SupplierState.ANSWERS.value, "last_confirmed": today}
        changes = changed_fields(row, values)
        if not changes:
            return
        row.state, row.last_confirmed = SupplierState.ANSWERS.value, today
        row.version += 1
        session.add(row)
        said = {"version": row.version, "changes": changes}
        write_log(session, now, actor, f"noted that “{row.name}” answered", f"supplier/{number}", said)
