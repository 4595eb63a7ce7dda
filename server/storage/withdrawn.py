"""What was entered under a need or a find and withdrawn again: kept, to be shown struck through with who and why."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session, SQLModel, col, select

from server.storage.tables import (
    AttachmentRow,
    DesignationRow,
    EnquiryRow,
    EvidenceRow,
    LogRow,
    RequirementRow,
    StatementRow,
    SupplierRow,
)

ENTRIES = ("designation", "requirement", "enquiry", "statement", "evidence")


@dataclass(frozen=True, slots=True)
class Gone:
    """A withdrawn entry. `note` is what stood beside its text; `who` is "" where the log does not tell."""

    kind: str
    characteristic: str
    text: str
    note: str
    at: datetime
    who: str
    why: str


def withdrawn_of(session: Session, *, need_id: int | None = None, find_id: int | None = None) -> tuple[Gone, ...]:
    """All withdrawn entries of one need or of one find, kind by kind in the order they were entered."""
    if need_id is not None:
        found = [
            *_rows(session, DesignationRow, DesignationRow.need_id, need_id),
            *_rows(session, RequirementRow, RequirementRow.need_id, need_id),
            *_rows(session, EnquiryRow, EnquiryRow.need_id, need_id),
            *_rows(session, AttachmentRow, AttachmentRow.need_id, need_id),
        ]
    else:
        found = [
            *_rows(session, StatementRow, StatementRow.find_id, find_id),
            *_rows(session, EvidenceRow, EvidenceRow.find_id, find_id),
            *_rows(session, AttachmentRow, AttachmentRow.find_id, find_id),
        ]
    if not found:
        return ()
    subject = f"need/{need_id}" if need_id is not None else f"find/{find_id}"
    told = session.exec(select(LogRow).where(LogRow.subject == subject, col(LogRow.did).startswith("withdrew a")))
    lines = list(told)
    return tuple(_gone(session, row, lines) for row in found)


def by_kind(gone: Iterable[Gone]) -> dict[str, list[Gone]]:
    """Withdrawn entries by kind, each kind of entry there; photographs and papers under "attached"."""
    found: dict[str, list[Gone]] = {kind: [] for kind in (*ENTRIES, "attached")}
    for one in gone:
        found[one.kind if one.kind in ENTRIES else "attached"].append(one)
    return found


def _rows(session: Session, table: type[SQLModel], owner: Any, number: int | None) -> list[Any]:
    columns: Any = table
    wanted = select(table).where(owner == number, col(columns.withdrawn_at).is_not(None))
    return list(session.exec(wanted.order_by(col(columns.id))))


def _gone(session: Session, row: Any, lines: list[LogRow]) -> Gone:
    kind, characteristic, text, note = _said(session, row)
    # the row keeps when and why; who did it stands in the log, written in the same unit of work
    who = next(
        (
            line.who
            for line in lines
            if line.at == row.withdrawn_at
            and line.did.startswith(f"withdrew a {kind}")
            and line.did.endswith(f": {row.withdrawn_reason}")
        ),
        "",
    )
    return Gone(kind, characteristic, text, note, row.withdrawn_at, who, row.withdrawn_reason)


def _said(session: Session, row: Any) -> tuple[str, str, str, str]:
    """An entry in words: its kind, its characteristic where it has one, its text, and what stood beside that."""
    if isinstance(row, DesignationRow):
        return "designation", "", row.text, _listed(row.kind, row.reading, row.note)
    if isinstance(row, RequirementRow):
        return "requirement", row.characteristic, row.text, _listed(row.layer, row.known_from, row.reference)
    if isinstance(row, EnquiryRow):
        supplier = session.get(SupplierRow, row.supplier_id) if row.supplier_id else None
        said = _listed(supplier.name if supplier else "", row.text)
        return "enquiry", "", " → ".join(part for part in (said, row.answer) if part), _listed(row.kind, row.by)
    if isinstance(row, StatementRow):
        return "statement", row.characteristic, row.text, _listed(row.basis, row.by)
    if isinstance(row, EvidenceRow):
        return "evidence", "", row.kind, row.note
    return row.kind, "", row.name or row.caption, row.caption if row.name else ""


def _listed(*parts: str) -> str:
    return ", ".join(part for part in parts if part)
