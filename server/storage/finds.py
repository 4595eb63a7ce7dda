"""Finds with their statements, provenance and pictures: rows in, records out."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.offer import Basis, Evidence, Origin, Stage, Statement
from server.domain.plain import quantity_from_plain, read_fraction
from server.domain.register import Attachment, Find, Proof, find_number
from server.storage.needs import attachment_of
from server.storage.tables import (
    AttachmentRow,
    CandidateRow,
    EvidenceRow,
    FindRow,
    JoinedCaptureRow,
    StatementRow,
    SupplierRow,
)
from server.storage.yard import supplier_of


@dataclass(frozen=True, slots=True)
class FindLine:
    """A find as one line of a list."""

    id: int
    text: str
    part_class: str
    origin: str
    supplier: str
    bin: str
    quantity_text: str
    logged_by: str
    logged_at: datetime
    proposed: int
    photo_id: int | None
    state: str

    @property
    def number(self) -> str:
        """The running number as written on tags."""
        return find_number(self.id)


def get_find_row(session: Session, number: int) -> FindRow:
    """The row of a find. Raises NotFound."""
    row = session.get(FindRow, number)
    if row is None:
        raise NotFound(f"There is no find {find_number(number)} in this register.")
    return row


def find_of_capture(session: Session, capture_id: str) -> int | None:
    """The find that a phone's capture already became or was added to, if it did."""
    own = session.exec(select(FindRow.id).where(FindRow.capture_id == capture_id)).first()
    if own is not None:
        return own
    joined = session.get(JoinedCaptureRow, capture_id)
    return joined.find_id if joined is not None else None


def load_find(session: Session, number: int) -> Find:
    """A find whole. Raises NotFound."""
    return load_finds(session, [number])[0]


def load_finds(session: Session, numbers: Sequence[int]) -> list[Find]:
    """Finds whole, in the order asked for, with a fixed number of queries. Raises NotFound."""
    rows = {row.id: row for row in session.exec(select(FindRow).where(col(FindRow.id).in_(numbers)))}
    for number in numbers:
        if number not in rows:
            raise NotFound(f"There is no find {find_number(number)} in this register.")
    suppliers = {
        row.id: supplier_of(row)
        for row in session.exec(
            select(SupplierRow).where(col(SupplierRow.id).in_({row.supplier_id for row in rows.values()}))
        )
    }
    statements = _statements(session, numbers)
    proofs = _proofs(session, numbers)
    attached = _attached(session, numbers)
    return [
        Find(
            id=number,
            text=rows[number].text,
            part_class=rows[number].part_class,
            origin=Origin(rows[number].origin) if rows[number].origin else None,
            supplier=suppliers.get(rows[number].supplier_id),
            condition=rows[number].condition,
            quantity_text=rows[number].quantity_text,
            quantity=rows[number].quantity,
            smallest_lot=rows[number].smallest_lot,
            price_text=rows[number].price_text,
            lead_time=rows[number].lead_time,
            bin=rows[number].bin,
            finish_to_come=rows[number].finish_to_come,
            note=rows[number].note,
            ref=rows[number].ref,
            logged_by=rows[number].logged_by,
            logged_at=rows[number].logged_at,
            changed_at=rows[number].changed_at,
            version=rows[number].version,
            withdrawn_reason=rows[number].withdrawn_reason,
            statements=tuple(statements[number]),
            proofs=tuple(proofs[number]),
            attachments=tuple(attached[number]),
        )
        for number in numbers
    ]


def statement_of(row: StatementRow) -> Statement:
    """The statement of a row."""
    parsed: dict[str, Any] = row.parsed or {}
    return Statement(
        characteristic=row.characteristic,
        basis=Basis(row.basis),
        text=row.text,
        quantity=quantity_from_plain(parsed.get("quantity")),
        words=tuple(parsed.get("words", ())),
        expanded=read_fraction(row.expanded),
        instrument=row.instrument,
        stage=Stage(row.stage),
        by=row.by,
        on=row.on_day.isoformat() if row.on_day else "",
        id=str(row.id),
    )


def _statements(session: Session, numbers: Sequence[int]) -> dict[int, list[Statement]]:
    found: dict[int, list[Statement]] = defaultdict(list)
    wanted = select(StatementRow).where(
        col(StatementRow.find_id).in_(numbers), col(StatementRow.withdrawn_at).is_(None)
    )
    for row in session.exec(wanted.order_by(col(StatementRow.id))):
        found[row.find_id].append(statement_of(row))
    return found


def _proofs(session: Session, numbers: Sequence[int]) -> dict[int, list[Proof]]:
    found: dict[int, list[Proof]] = defaultdict(list)
    wanted = select(EvidenceRow).where(col(EvidenceRow.find_id).in_(numbers), col(EvidenceRow.withdrawn_at).is_(None))
    for row in session.exec(wanted.order_by(col(EvidenceRow.id))):
        found[row.find_id].append(Proof(row.id or 0, Evidence(row.kind), row.note))
    return found


def _attached(session: Session, numbers: Sequence[int]) -> dict[int, list[Attachment]]:
    found: dict[int, list[Attachment]] = defaultdict(list)
    wanted = select(AttachmentRow).where(
        col(AttachmentRow.find_id).in_(numbers), col(AttachmentRow.withdrawn_at).is_(None)
    )
    for row in session.exec(wanted.order_by(col(AttachmentRow.id))):
        found[row.find_id or 0].append(attachment_of(row))
    return found


@dataclass(frozen=True, slots=True)
class FindFilter:
    """Which finds a list shows; empty fields don't narrow it."""

    part_class: str = ""
    origin: str = ""
    supplier_id: int | None = None
    place: str = ""
    state: str = "here"
    numbers: tuple[int, ...] | None = None


def _narrowed(wanted: Any, chosen: FindFilter) -> Any:
    if chosen.part_class == "?":
        wanted = wanted.where(FindRow.part_class == "")
    elif chosen.part_class:
        wanted = wanted.where(FindRow.part_class == chosen.part_class)
    if chosen.origin:
        wanted = wanted.where(FindRow.origin == chosen.origin)
    if chosen.supplier_id is not None:
        wanted = wanted.where(FindRow.supplier_id == chosen.supplier_id)
    if chosen.place:
        wanted = wanted.where(sa.func.lower(FindRow.bin).like(f"%{chosen.place.casefold()}%"))
    if chosen.numbers is not None:
        wanted = wanted.where(col(FindRow.id).in_(chosen.numbers))
    if chosen.state == "withdrawn":
        return wanted.where(col(FindRow.withdrawn_at).is_not(None))
    if chosen.state == "here":
        return wanted.where(col(FindRow.withdrawn_at).is_(None))
    if chosen.state == "unproposed":
        proposed = sa.exists().where(col(CandidateRow.find_id) == col(FindRow.id))
        return wanted.where(col(FindRow.withdrawn_at).is_(None), ~proposed)
    return wanted


def count_finds(session: Session, chosen: FindFilter) -> int:
    """How many finds the filter lets through."""
    return session.exec(_narrowed(select(sa.func.count()).select_from(FindRow), chosen)).one()  # type: ignore[no-any-return]


def find_numbers(session: Session, chosen: FindFilter) -> set[int]:
    """The numbers of the finds that the filter lets through: for narrowing what was found otherwise."""
    return set(session.exec(_narrowed(select(FindRow.id), chosen)))


def list_finds(session: Session, chosen: FindFilter, *, before: int = 0, most: int = 50) -> list[FindLine]:
    """Lines of a list, newest first; `before` is the last number of the page before."""
    proposed = (
        select(sa.func.count())
        .select_from(CandidateRow)
        .where(CandidateRow.find_id == FindRow.id, col(CandidateRow.withdrawn_at).is_(None))
        .scalar_subquery()
    )
    picture = (
        select(sa.func.min(AttachmentRow.id))
        .where(
            AttachmentRow.find_id == FindRow.id,
            AttachmentRow.kind == "photograph",
            col(AttachmentRow.withdrawn_at).is_(None),
        )
        .scalar_subquery()
    )
    wanted = sa.select(
        FindRow, col(SupplierRow.name).label("supplier"), proposed.label("proposed"), picture.label("picture")
    ).join(SupplierRow, col(SupplierRow.id) == col(FindRow.supplier_id), isouter=True)
    wanted = _narrowed(wanted, chosen).order_by(col(FindRow.id).desc()).limit(most)
    if before:
        wanted = wanted.where(col(FindRow.id) < before)
    lines: list[FindLine] = []
    for row in session.execute(wanted):
        find: FindRow = row[0]
        lines.append(
            FindLine(
                id=find.id or 0,
                text=find.text,
                part_class=find.part_class,
                origin=find.origin,
                supplier=row.supplier or "",
                bin=find.bin,
                quantity_text=find.quantity_text,
                logged_by=find.logged_by,
                logged_at=find.logged_at,
                proposed=row.proposed,
                photo_id=row.picture,
                state="withdrawn" if find.withdrawn_at else "here",
            )
        )
    return lines
