"""Needs with all that belongs to them: rows in, records out."""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.plain import joint_from_plain, quantity_from_plain, read_fraction
from server.domain.register import (
    Attached,
    Attachment,
    Designation,
    DesignationKind,
    Enquired,
    Enquiry,
    Need,
    Reading,
    need_number,
)
from server.domain.specification import Form, Known, KnownFrom, Layer, Requirement, Role, Weight
from server.storage.tables import (
    AccountRow,
    AeroplaneRow,
    AttachmentRow,
    CandidateRow,
    DesignationRow,
    EnquiryRow,
    NeedRow,
    RequirementRow,
    StepRow,
    SupplierRow,
)
from server.storage.yard import aeroplane_of, step_of


@dataclass(frozen=True, slots=True)
class NeedLine:
    """A need as one line of a list."""

    id: int
    item: str
    part_class: str
    aeroplane: str
    place: str
    role: str
    step: str
    due: date | None
    still_wanted: int | None
    quantity_text: str
    state: str
    candidates: int
    designations: str = ""

    @property
    def number(self) -> str:
        """The running number as written on tickets."""
        return need_number(self.id)


def get_need_row(session: Session, number: int) -> NeedRow:
    """The row of a need. Raises NotFound."""
    row = session.get(NeedRow, number)
    if row is None:
        raise NotFound(f"There is no need {need_number(number)} in this register.")
    return row


def load_need(session: Session, number: int) -> Need:
    """A need whole. Raises NotFound."""
    return load_needs(session, [number])[0]


def load_needs(session: Session, numbers: Sequence[int]) -> list[Need]:
    """Needs whole, in the order asked for, with a fixed number of queries. Raises NotFound."""
    rows = {row.id: row for row in session.exec(select(NeedRow).where(col(NeedRow.id).in_(numbers)))}
    for number in numbers:
        if number not in rows:
            raise NotFound(f"There is no need {need_number(number)} in this register.")
    planes = {
        row.id: aeroplane_of(row)
        for row in session.exec(
            select(AeroplaneRow).where(col(AeroplaneRow.id).in_({row.aeroplane_id for row in rows.values()}))
        )
    }
    steps = {
        row.id: step_of(row)
        for row in session.exec(select(StepRow).where(col(StepRow.id).in_({row.step_id for row in rows.values()})))
    }
    owners = {
        row.id: row.name
        for row in session.exec(select(AccountRow).where(col(AccountRow.id).in_({r.owner_id for r in rows.values()})))
    }
    requirements = _requirements(session, numbers)
    designations = _designations(session, numbers)
    enquiries = _enquiries(session, numbers)
    attached = _attached(session, numbers)
    return [
        Need(
            id=number,
            item=rows[number].item,
            part_class=rows[number].part_class,
            aeroplane=planes[rows[number].aeroplane_id],
            zone=rows[number].zone,
            side=rows[number].side,
            station=rows[number].station,
            arm=rows[number].arm,
            chapter=rows[number].chapter,
            quantity_text=rows[number].quantity_text,
            quantity=rows[number].quantity,
            still_wanted=rows[number].still_wanted,
            wrong=tuple(rows[number].wrong),
            role=Role(rows[number].role),
            step=steps.get(rows[number].step_id),
            touches=tuple(rows[number].touches),
            joint=joint_from_plain(rows[number].joint),
            note=rows[number].note,
            text=rows[number].text,
            ref=rows[number].ref,
            owner=owners.get(rows[number].owner_id, ""),
            owner_id=rows[number].owner_id,
            version=rows[number].version,
            created_at=rows[number].created_at,
            changed_at=rows[number].changed_at,
            is_met=rows[number].met_at is not None,
            withdrawn_reason=rows[number].withdrawn_reason,
            designations=tuple(designations[number]),
            requirements=tuple(requirements[number]),
            enquiries=tuple(enquiries[number]),
            attachments=tuple(attached[number]),
        )
        for number in numbers
    ]


def requirement_of(row: RequirementRow) -> Requirement:
    """The requirement of a row."""
    parsed: dict[str, Any] = row.parsed or {}
    several = tuple(q for plain in parsed.get("one_of", ()) if (q := quantity_from_plain(plain)) is not None)
    return Requirement(
        characteristic=row.characteristic,
        form=Form(row.form),
        text=row.text,
        quantity=quantity_from_plain(parsed.get("quantity")),
        words=tuple(parsed.get("words", ())),
        one_of=several,
        layer=Layer(row.layer),
        known=Known(KnownFrom(row.known_from), row.reference, row.instrument),
        weight=Weight(row.weight) if row.weight else None,
        expanded=read_fraction(row.expanded),
        serials=row.serials,
        side=row.side,
        decided=row.decided,
        id=str(row.id),
    )


def deciders_of(session: Session, number: int) -> dict[str, str]:
    """Who decided that a requirement of this need stands: its id → name, for those that somebody decided."""
    wanted = select(RequirementRow.id, RequirementRow.decided_by).where(
        RequirementRow.need_id == number, RequirementRow.decided != ""
    )
    return {str(row_id): name for row_id, name in session.exec(wanted) if name}


def _requirements(session: Session, numbers: Sequence[int]) -> dict[int, list[Requirement]]:
    found: dict[int, list[Requirement]] = defaultdict(list)
    wanted = select(RequirementRow).where(
        col(RequirementRow.need_id).in_(numbers), col(RequirementRow.withdrawn_at).is_(None)
    )
    for row in session.exec(wanted.order_by(col(RequirementRow.id))):
        found[row.need_id].append(requirement_of(row))
    return found


def _designations(session: Session, numbers: Sequence[int]) -> dict[int, list[Designation]]:
    found: dict[int, list[Designation]] = defaultdict(list)
    wanted = select(DesignationRow).where(
        col(DesignationRow.need_id).in_(numbers), col(DesignationRow.withdrawn_at).is_(None)
    )
    for row in session.exec(wanted.order_by(col(DesignationRow.id))):
        found[row.need_id].append(
            Designation(row.id or 0, row.text, DesignationKind(row.kind), Reading(row.reading), row.note)
        )
    return found


def _enquiries(session: Session, numbers: Sequence[int]) -> dict[int, list[Enquiry]]:
    found: dict[int, list[Enquiry]] = defaultdict(list)
    wanted = (
        select(EnquiryRow, SupplierRow.name)
        .join(SupplierRow, isouter=True)
        .where(col(EnquiryRow.need_id).in_(numbers), col(EnquiryRow.withdrawn_at).is_(None))
        .order_by(col(EnquiryRow.id))
    )
    for row, supplier in session.exec(wanted):
        found[row.need_id].append(
            Enquiry(
                row.id or 0,
                Enquired(row.kind),
                supplier or "",
                row.supplier_id,
                row.text,
                row.answer,
                row.on_day,
                row.by,
            )
        )
    return found


def attachment_of(row: AttachmentRow) -> Attachment:
    """The photograph or paper of a row."""
    return Attachment(
        id=row.id or 0,
        kind=Attached(row.kind),
        digest=row.digest,
        media_type=row.media_type,
        name=row.name,
        caption=row.caption,
        size=row.size,
        width=row.width,
        height=row.height,
        by=row.by,
    )


def _attached(session: Session, numbers: Sequence[int]) -> dict[int, list[Attachment]]:
    found: dict[int, list[Attachment]] = defaultdict(list)
    wanted = select(AttachmentRow).where(
        col(AttachmentRow.need_id).in_(numbers), col(AttachmentRow.withdrawn_at).is_(None)
    )
    for row in session.exec(wanted.order_by(col(AttachmentRow.id))):
        found[row.need_id or 0].append(attachment_of(row))
    return found


@dataclass(frozen=True, slots=True)
class NeedFilter:
    """Which needs a list shows; empty fields don't narrow it."""

    aeroplane_id: int | None = None
    step_id: int | None = None
    part_class: str = ""
    role: str = ""
    state: str = "open"
    place: str = ""
    owner_id: int | None = None
    numbers: tuple[int, ...] | None = None


def _narrowed(wanted: Any, chosen: NeedFilter) -> Any:
    if chosen.aeroplane_id is not None:
        wanted = wanted.where(NeedRow.aeroplane_id == chosen.aeroplane_id)
    if chosen.step_id is not None:
        wanted = wanted.where(NeedRow.step_id == chosen.step_id)
    if chosen.part_class:
        wanted = wanted.where(NeedRow.part_class == chosen.part_class)
    if chosen.role:
        wanted = wanted.where(NeedRow.role == chosen.role)
    if chosen.owner_id is not None:
        wanted = wanted.where(NeedRow.owner_id == chosen.owner_id)
    if chosen.place:
        like = f"%{chosen.place.casefold()}%"
        wanted = wanted.where(sa.or_(sa.func.lower(NeedRow.zone).like(like), sa.func.lower(NeedRow.station).like(like)))
    if chosen.numbers is not None:
        wanted = wanted.where(col(NeedRow.id).in_(chosen.numbers))
    if chosen.state == "open":
        wanted = wanted.where(col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None))
    elif chosen.state == "met":
        wanted = wanted.where(col(NeedRow.met_at).is_not(None))
    elif chosen.state == "withdrawn":
        wanted = wanted.where(col(NeedRow.withdrawn_at).is_not(None))
    return wanted


def count_needs(session: Session, chosen: NeedFilter) -> int:
    """How many needs the filter lets through."""
    return session.exec(_narrowed(select(sa.func.count()).select_from(NeedRow), chosen)).one()  # type: ignore[no-any-return]


def need_numbers(session: Session, chosen: NeedFilter) -> set[int]:
    """The numbers of the needs that the filter lets through: for narrowing what was found otherwise."""
    return set(session.exec(_narrowed(select(NeedRow.id), chosen)))


def list_needs(session: Session, chosen: NeedFilter, *, after: int = 0, most: int = 50) -> list[NeedLine]:
    """Lines of a list in order of number; `after` is the last number of the page before."""
    offered = (
        select(sa.func.count())
        .select_from(CandidateRow)
        .where(CandidateRow.need_id == NeedRow.id, col(CandidateRow.withdrawn_at).is_(None))
        .scalar_subquery()
    )
    marks = (
        select(sa.func.min(DesignationRow.text))
        .where(DesignationRow.need_id == NeedRow.id, col(DesignationRow.withdrawn_at).is_(None))
        .scalar_subquery()
    )
    wanted = (
        sa.select(
            NeedRow,
            col(AeroplaneRow.type).label("plane"),
            col(AeroplaneRow.registration).label("mark"),
            col(StepRow.name).label("step"),
            col(StepRow.due).label("due"),
            offered.label("offered"),
            marks.label("marks"),
        )
        .join(AeroplaneRow, col(AeroplaneRow.id) == col(NeedRow.aeroplane_id))
        .join(StepRow, col(StepRow.id) == col(NeedRow.step_id), isouter=True)
    )
    wanted = _narrowed(wanted, chosen).order_by(col(NeedRow.id)).limit(most)
    if after:
        wanted = wanted.where(col(NeedRow.id) > after)
    return [_line(row) for row in session.execute(wanted)]


def _line(row: Any) -> NeedLine:
    need: NeedRow = row[0]
    state = "withdrawn" if need.withdrawn_at else "met" if need.met_at else "open"
    return NeedLine(
        id=need.id or 0,
        item=need.item,
        part_class=need.part_class,
        aeroplane=", ".join(part for part in (row.plane, row.mark) if part),
        place=", ".join(part for part in (need.zone, need.side, need.station) if part),
        role=need.role,
        step=row.step or "",
        due=row.due,
        still_wanted=need.still_wanted,
        quantity_text=need.quantity_text,
        state=state,
        candidates=row.offered,
        designations=row.marks or "",
    )


LONGEST_NUMBER = 5
"""Neighbouring words that one part number may be torn into."""


def numbers_in_use(session: Session, text: str) -> frozenset[str]:
    """Part numbers of the register that stand in this text, however blanks and dashes tear them apart.

    In small letters and digits only, as the matching takes them.
    """
    words = re.findall(r"[^\W_]+", text[:2000])[:200]
    forms = {
        "".join(words[start:end]).upper()
        for start in range(len(words))
        for end in range(start + 1, min(start + LONGEST_NUMBER, len(words)) + 1)
    }
    asked = sorted(form for form in forms if 3 <= len(form) <= 40 and any(sign.isdigit() for sign in form))
    found: set[str] = set()
    for start in range(0, len(asked), 500):
        wanted = select(DesignationRow.folded).where(
            col(DesignationRow.folded).in_(asked[start : start + 500]), col(DesignationRow.withdrawn_at).is_(None)
        )
        found.update(session.exec(wanted))
    return frozenset(form.lower() for form in found)


MOST_LIKE = 2_000
"""Numbers that a mistyped one is compared with."""


def numbers_like(session: Session, form: str) -> list[str]:
    """Part numbers in use, as written, that begin with the same two signs as this one; at most 2,000.

    `form` is in capital letters and digits only.
    """
    wanted = (
        select(DesignationRow.text)
        .where(
            col(DesignationRow.folded).between(form[:2], form[:2] + "Z" * 8),
            col(DesignationRow.withdrawn_at).is_(None),
        )
        .distinct()
        .limit(MOST_LIKE)
    )
    return list(session.exec(wanted))
