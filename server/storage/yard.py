"""Aeroplanes, steps of assembly and suppliers: rows in, records out."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.register import Aeroplane, Step, StepState, Supplier, SupplierState
from server.domain.specification import Use
from server.storage.tables import AeroplaneRow, NeedRow, StepAfterRow, StepRow, SupplierRow


def aeroplane_of(row: AeroplaneRow) -> Aeroplane:
    """The aeroplane of a row."""
    assert row.id is not None
    return Aeroplane(
        id=row.id,
        type=row.type,
        maker=row.maker,
        serial=row.serial,
        registration=row.registration,
        built=row.built,
        use=Use(row.use),
        authority=row.authority,
        drawing_unit=row.drawing_unit,
        note=row.note,
        version=row.version,
        withdrawn_reason=row.withdrawn_reason,
    )


def get_aeroplane(session: Session, number: int) -> AeroplaneRow:
    """The row of an aeroplane. Raises NotFound."""
    row = session.get(AeroplaneRow, number)
    if row is None:
        raise NotFound("There is no such aeroplane in this register.")
    return row


def list_aeroplanes(session: Session, *, withdrawn: bool = False) -> list[Aeroplane]:
    """All aeroplanes, by type and serial."""
    wanted = select(AeroplaneRow).order_by(col(AeroplaneRow.type), col(AeroplaneRow.serial))
    if not withdrawn:
        wanted = wanted.where(col(AeroplaneRow.withdrawn_at).is_(None))
    return [aeroplane_of(row) for row in session.exec(wanted)]


def step_of(row: StepRow, after: Iterable[int] = ()) -> Step:
    """The step of a row."""
    assert row.id is not None
    return Step(
        id=row.id,
        aeroplane_id=row.aeroplane_id,
        place_in_order=row.place_in_order,
        name=row.name,
        closes=row.closes,
        due=row.due,
        state=StepState(row.state),
        note=row.note,
        after=tuple(after),
        version=row.version,
        withdrawn_reason=row.withdrawn_reason,
    )


def get_step(session: Session, number: int) -> StepRow:
    """The row of a step. Raises NotFound."""
    row = session.get(StepRow, number)
    if row is None:
        raise NotFound("There is no such step of assembly.")
    return row


def list_steps(session: Session, aeroplane_id: int | None = None) -> list[Step]:
    """Steps in their order, of one aeroplane or of all."""
    wanted = select(StepRow).where(col(StepRow.withdrawn_at).is_(None))
    if aeroplane_id is not None:
        wanted = wanted.where(StepRow.aeroplane_id == aeroplane_id)
    rows = list(session.exec(wanted.order_by(col(StepRow.aeroplane_id), col(StepRow.place_in_order), col(StepRow.id))))
    after = steps_before(session, [row.id for row in rows if row.id is not None])
    return [step_of(row, after.get(row.id or 0, ())) for row in rows]


def steps_before(session: Session, numbers: Sequence[int]) -> dict[int, list[int]]:
    """For each step the steps that come before it."""
    before: dict[int, list[int]] = defaultdict(list)
    for row in session.exec(select(StepAfterRow).where(col(StepAfterRow.step_id).in_(numbers))):
        before[row.step_id].append(row.after_id)
    return before


def count_open_needs(session: Session) -> dict[int, int]:
    """For each step how many open needs are to be there before it; a step with none is absent."""
    wanted = (
        sa.select(col(NeedRow.step_id), sa.func.count())
        .where(col(NeedRow.step_id).is_not(None), col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None))
        .group_by(col(NeedRow.step_id))
    )
    return {number: count for number, count in session.execute(wanted) if number is not None}


def supplier_of(row: SupplierRow) -> Supplier:
    """The supplier of a row."""
    assert row.id is not None
    return Supplier(
        id=row.id,
        name=row.name,
        kind=row.kind,
        place=row.place,
        contact=row.contact,
        state=SupplierState(row.state),
        last_confirmed=row.last_confirmed,
        note=row.note,
        version=row.version,
        withdrawn_reason=row.withdrawn_reason,
    )


def get_supplier(session: Session, number: int) -> SupplierRow:
    """The row of a supplier. Raises NotFound."""
    row = session.get(SupplierRow, number)
    if row is None:
        raise NotFound("There is no such supplier in this register.")
    return row


def list_suppliers(session: Session) -> list[Supplier]:
    """All suppliers, by name."""
    wanted = select(SupplierRow).where(col(SupplierRow.withdrawn_at).is_(None)).order_by(col(SupplierRow.name))
    return [supplier_of(row) for row in session.exec(wanted)]
