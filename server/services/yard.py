"""Aeroplanes, steps of assembly and suppliers: entering, changing, withdrawing."""

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from sqlmodel import Session, SQLModel, select

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.domain.register import Actor, StepState, SupplierState, UserRole
from server.domain.specification import Use
from server.services import clocks
from server.services.typed import NOTE, Given, Typed
from server.storage import yard
from server.storage.engine import Store
from server.storage.log import changes_since, write_log
from server.storage.tables import AeroplaneRow, StepAfterRow, StepRow, SupplierRow

Row = TypeVar("Row", AeroplaneRow, StepRow, SupplierRow)
DRAWING_UNITS = ("", "mm", "in")


def require(actor: Actor, role: UserRole) -> None:
    """Raise NotAllowed where the account's role does not reach."""
    if not actor.may(role):
        raise NotAllowed(f"This needs the role “{role.value}”; yours is “{actor.role.value}”.")


def changed_fields(row: SQLModel, values: Mapping[str, Any]) -> dict[str, list[Any]]:
    """Which fields of a row these values would change: name → [was, will be]."""
    return {name: [getattr(row, name), value] for name, value in values.items() if getattr(row, name) != value}


def keep_count(row: Any, values: dict[str, Any], typed: Typed) -> bool:
    """Leave the pieces of a need or find alone where nobody touched its quantity; True where that is so.

    They may have been counted beside the words ("a tin") or added up, so they are not read anew out of them.
    """
    untouched: bool = values["quantity_text"] == row.quantity_text and not typed.raw("quantity")
    if untouched:
        values["quantity"] = row.quantity
    return untouched


def refuse_withdrawn(row: Any) -> None:
    """Raise Faults where the record was withdrawn: it is not changed any more."""
    if row.withdrawn_at is not None:
        raise Faults({"": "This was withdrawn; a withdrawn record is not changed any more."})


def check_version(row: Any, typed: Typed, what: str) -> None:
    """Raise Overtaken where the form was opened on an older version of the record."""
    seen = typed.number("version", "Version")
    if seen is not None and seen != row.version:
        raise Overtaken(f"{what} was changed by somebody else since you opened it.")


def _aeroplane_values(typed: Typed) -> dict[str, Any]:
    unit = typed.raw("drawing_unit")
    if unit not in DRAWING_UNITS:
        typed.fault("drawing_unit", f"Drawings are in mm, in inches, or it is not known; “{unit}” is neither.")
    return {
        "type": typed.text("type", "Type", required=True),
        "maker": typed.text("maker", "Maker"),
        "serial": typed.text("serial", "Maker's serial", most=60),
        "registration": typed.text("registration", "Registration", most=30),
        "built": typed.text("built", "Built", most=60),
        "use": typed.word("use", Use, "What it will be", required=True),
        "authority": typed.text("authority", "Authority it answers to"),
        "drawing_unit": unit,
        "note": typed.text("note", "Note", most=NOTE),
    }


def _step_values(typed: Typed) -> dict[str, Any]:
    return {
        "aeroplane_id": typed.number("aeroplane_id", "Aeroplane", low=1),
        "place_in_order": typed.number("place_in_order", "Place in the order", high=10_000) or 0,
        "name": typed.text("name", "Step", required=True),
        "closes": typed.text("closes", "What it closes over"),
        "due": typed.day("due", "Due"),
        "state": typed.word("state", StepState, "State") or StepState.AHEAD,
        "note": typed.text("note", "Note", most=NOTE),
    }


def _supplier_values(typed: Typed) -> dict[str, Any]:
    return {
        "name": typed.text("name", "Name", required=True),
        "kind": typed.text("kind", "Kind"),
        "place": typed.text("place", "Place"),
        "contact": typed.text("contact", "How to reach", most=1000),
        "state": typed.word("state", SupplierState, "State") or SupplierState.ANSWERS,
        "last_confirmed": typed.day("last_confirmed", "Last confirmed"),
        "note": typed.text("note", "Note", most=NOTE),
    }


def save_aeroplane(store: Store, actor: Actor, given: Given, number: int | None = None) -> int:
    """Enter or change an aeroplane; its number. Raises Faults, NotAllowed, NotFound, Overtaken."""
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    return _save(store, actor, typed, AeroplaneRow, _aeroplane_values(typed), number, yard.get_aeroplane)


def save_supplier(store: Store, actor: Actor, given: Given, number: int | None = None) -> int:
    """Enter or change a supplier; its number. Raises Faults, NotAllowed, NotFound, Overtaken."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    values = _supplier_values(typed)
    if values["last_confirmed"] is not None and values["last_confirmed"] > clocks.today(store):
        typed.fault("last_confirmed", "This day is still to come.")
    return _save(store, actor, typed, SupplierRow, values, number, yard.get_supplier)


def enter_supplier(session: Session, store: Store, actor: Actor, name: str) -> int:
    """Enter a supplier of whom only the name is known, inside a unit of work of the caller's; its number."""
    row = SupplierRow(name=name, state=SupplierState.ANSWERS.value)
    session.add(row)
    session.flush()
    assert row.id is not None
    _log_saved(session, store, actor, row, None)
    return row.id


def save_step(store: Store, actor: Actor, given: Given, number: int | None = None) -> int:
    """Enter or change a step and what comes before it; its number.

    Raises Faults (a step of another aeroplane, a ring of steps), NotAllowed, NotFound, Overtaken.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    values = _step_values(typed)
    if values["aeroplane_id"] is None:
        typed.fault("aeroplane_id", "Choose the aeroplane.")
    after = [int(text) for text in typed.all("after") if re.fullmatch(r"[0-9]{1,9}", text)]

    def check(session: Session, row: StepRow | None) -> None:
        plane = session.get(AeroplaneRow, values["aeroplane_id"])
        if plane is None or plane.withdrawn_at is not None:
            raise Faults({"aeroplane_id": "Choose an aeroplane of this register."})
        if row is not None:
            values.pop("state")  # done and ahead are said with a reason, not in passing
            if row.aeroplane_id != values["aeroplane_id"]:
                raise Faults({"aeroplane_id": "A step stays with its aeroplane; enter a new step for the other one."})

    def keep_order(session: Session, step_id: int) -> dict[str, list[Any]]:
        was = sorted(yard.steps_before(session, [step_id]).get(step_id, []))
        for old in session.exec(select(StepAfterRow).where(StepAfterRow.step_id == step_id)):
            session.delete(old)
        session.flush()
        known = {step.id: step for step in yard.list_steps(session, values["aeroplane_id"])}
        for before in dict.fromkeys(after):
            if before not in known or before == step_id:
                raise Faults({"after": "A step comes after other steps of the same aeroplane."})
            if _comes_after(before, step_id, {one.id: one.after for one in known.values()}):
                raise Faults({"after": f"“{known[before].name}” comes after this step already: that would be a ring."})
            session.add(StepAfterRow(step_id=step_id, after_id=before))
        will = sorted(set(after))
        return {} if was == will else {"after": [was, will]}

    return _save(store, actor, typed, StepRow, values, number, yard.get_step, check, keep_order)


def _comes_after(step: int, wanted: int, after: Mapping[int, tuple[int, ...]]) -> bool:
    """True where `step` comes after `wanted`, directly or over others."""
    seen: set[int] = set()
    ahead = [step]
    while ahead:
        one = ahead.pop()
        if one == wanted:
            return True
        if one not in seen:
            seen.add(one)
            ahead.extend(after.get(one, ()))
    return False


def _save(
    store: Store,
    actor: Actor,
    typed: Typed,
    table: type[Row],
    values: dict[str, Any],
    number: int | None,
    get: Callable[[Session, int], Row],
    check: Callable[[Session, Row | None], None] | None = None,
    further: Callable[[Session, int], dict[str, list[Any]]] | None = None,
) -> int:
    typed.done()
    with store.write() as session:
        row = None if number is None else get(session, number)
        if row is not None:
            refuse_withdrawn(row)
            check_version(row, typed, "This record")
        if check is not None:
            check(session, row)
        kept = {name: getattr(value, "value", value) for name, value in values.items()}
        changes = changed_fields(row, kept) if row is not None else {}
        if row is None:
            row = table(**kept)
        for name, value in kept.items():
            setattr(row, name, value)
        session.add(row)
        session.flush()
        assert row.id is not None
        if further is not None:
            changes |= further(session, row.id)
        if number is not None:
            if not changes:
                return row.id
            row.version += 1
        _log_saved(session, store, actor, row, changes if number is not None else None)
        return row.id


def _log_saved(
    session: Session,
    store: Store,
    actor: Actor,
    row: AeroplaneRow | StepRow | SupplierRow,
    changes: dict[str, list[Any]] | None,
) -> None:
    """Note an entry (`changes` None) or a change."""
    what = row.__tablename__
    name = row.type if isinstance(row, AeroplaneRow) else row.name
    did = f"entered {what} “{name}”" if changes is None else f"changed {what} “{name}”"
    said = {"version": row.version, "changes": changes} if changes else {"version": row.version}
    write_log(session, store.clock(), actor, did, f"{what}/{row.id}", said)


def changed_meanwhile(
    store: Store, kind: str, number: int, version: int
) -> tuple[int, dict[str, tuple[Any, Any, str]]]:
    """The version a record has now, and what was changed after `version`: field → (was, is, who). Raises NotFound."""
    with store.read() as session:
        row = _GETS[kind](session, number)
        return row.version, changes_since(session, f"{kind}/{number}", version)


_GETS: dict[str, Callable[[Session, int], Any]] = {
    "aeroplane": yard.get_aeroplane,
    "step": yard.get_step,
    "supplier": yard.get_supplier,
}


def withdraw(store: Store, actor: Actor, kind: str, number: int, reason: str) -> None:
    """Withdraw an aeroplane, step or supplier with a reason; nothing is deleted.

    Raises Faults without a reason, where it was withdrawn before, or while open needs name the step;
    NotAllowed, NotFound.
    """
    require(actor, UserRole.KEEPER if kind == "aeroplane" else UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = _GETS[kind](session, number)
        if row.withdrawn_at is not None:
            raise Faults({"reason": "This was withdrawn before."})
        if kind == "step" and (waiting := yard.count_open_needs(session).get(number, 0)):
            those = "need is" if waiting == 1 else "needs are"
            raise Faults({"reason": f"{waiting} open {those} to be there before this step; give them another first."})
        row.withdrawn_at, row.withdrawn_reason = now, reason
        row.version += 1
        session.add(row)
        name = row.type if kind == "aeroplane" else row.name
        write_log(session, now, actor, f"withdrew {kind} “{name}”", f"{kind}/{number}", {"reason": reason})


def reason_given(given: Given) -> str:
    """The typed reason. Raises Faults where there is none."""
    typed = Typed(given)
    reason = typed.text("reason", "The reason", most=NOTE, required=True)
    typed.done()
    return reason
