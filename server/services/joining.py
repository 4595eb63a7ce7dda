"""Adding a second logging to the record that is here already, so that nothing of it is lost and nothing stands twice.

Whether the pieces are the same ones or further ones only the person knows:
quantities are added up where the form says that they are further ones.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlmodel import Session

from server.domain.errors import Faults
from server.domain.offer import Evidence
from server.domain.register import Actor, UserRole
from server.services.clocks import day_of
from server.services.finds import cleaned, entered, find_values, first_said, first_statements, is_pictured, photo_row
from server.services.from_whom import enter_new_supplier
from server.services.held_photos import claim_held
from server.services.needs import entered as need_entered
from server.services.needs import first_entries, need_values
from server.services.typed import NOTE, Given, Typed
from server.services.yard import changed_fields, require
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import find_of_capture, get_find_row
from server.storage.needs import get_need_row
from server.storage.tables import (
    EvidenceRow,
    FindRow,
    JoinedCaptureRow,
    NeedRow,
    StatementRow,
    StepRow,
    SupplierRow,
)

_FILLS = (
    "text",
    "part_class",
    "origin",
    "supplier_id",
    "condition",
    "smallest_lot",
    "price_text",
    "lead_time",
    "bin",
    "ref",
)
_SAID = {
    "text": "“{}”",
    "quantity_text": "{}",
    "condition": "condition: {}",
    "smallest_lot": "smallest lot: {}",
    "price_text": "price: {}",
    "lead_time": "lead time: {}",
    "bin": "lies in: {}",
    "ref": "own reference: {}",
    "origin": "kind of source: {}",
    "note": "{}",
}


def join_find(
    store: Store,
    files: Files,
    actor: Actor,
    number: int,
    given: Given,
    photos: Sequence[tuple[str, bytes]] = (),
) -> int:
    """Add what a form says of a find to the one that is here; its number.

    Readings, provenance and photographs are added, empty fields filled, all else is noted with name and
    day. `further` says that these are further pieces, whose number is added. A capture sent twice is added
    once. Raises Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    kept = cleaned(typed, photos)
    capture = typed.raw("capture_id")[:64]
    now = store.clock()
    with store.write() as session:
        before = find_of_capture(session, capture) if capture else None
        if before is not None:
            return before
        row = get_find_row(session, number)
        if row.withdrawn_at is not None:
            raise Faults({"": "That find was withdrawn meanwhile. Keep yours as a find of its own."})
        values = find_values(session, typed, is_shown=is_pictured(session, actor, typed, kept))
        statements = first_statements(typed, row.part_class or values["part_class"])
        evidence = typed.words("evidence", Evidence, "Provenance")
        evidence_note = typed.text("evidence_note", "About the provenance", most=1000)
        further = typed.flag("further")
        _count_asked(typed, row, values, further=further)
        typed.done()
        enter_new_supplier(session, store, actor, typed, values)
        changes = _joined(session, row, values, actor, day_of(session, now), further=further)
        for statement in statements:
            statement["by"] = statement["by"] or actor.name
            statement["on_day"] = statement["on_day"] or day_of(session, now)
            session.add(StatementRow(find_id=number, **statement, created_by=actor.name, created_at=now))
        for kind in evidence:
            session.add(
                EvidenceRow(find_id=number, kind=kind.value, note=evidence_note, created_by=actor.name, created_at=now)
            )
        for name, picture in kept:
            session.add(photo_row(files, picture, name, actor, now, find_id=number))
        names = [name for name, _ in kept] + claim_held(session, actor, typed.all("held"), number, now)
        if capture:
            session.add(JoinedCaptureRow(capture_id=capture, find_id=number, joined_at=now))
        what = "further pieces" if further else "a second logging of the same"
        came = first_said(row.part_class, statements, evidence, evidence_note, names)
        entered(session, row, actor, now, f"added {what} to the find", changes, came)
    return number


def _joined(
    session: Session, row: FindRow, values: Mapping[str, Any], actor: Actor, day: Any, *, further: bool
) -> dict[str, list[Any]]:
    """Bring a form's values into the row of a find; what was changed."""
    fills = {name: values[name] for name in _FILLS if values[name] and not getattr(row, name)}
    new: dict[str, Any] = dict(fills)
    if "price_text" in fills:
        new |= {name: values[name] for name in ("price_minor", "price_currency")}
    if further:
        new |= _added_up(row.quantity, row.quantity_text, values["quantity"], values["quantity_text"])
    elif values["quantity_text"] and not row.quantity_text:
        new |= {"quantity": values["quantity"], "quantity_text": values["quantity_text"]}
    if values["finish_to_come"] and not row.finish_to_come:
        new["finish_to_come"] = True
    said = [
        words.format(values[name])
        for name, words in _SAID.items()
        if values[name] and name not in fills and str(values[name]).strip() != str(getattr(row, name)).strip()
    ]
    supplier = session.get(SupplierRow, values["supplier_id"]) if values["supplier_id"] else None
    if supplier is not None and row.supplier_id not in {None, supplier.id}:
        said.append(f"from: {supplier.name}")
    what = "further pieces" if further else "logged again"
    said = [one for one in said if one]
    new["note"] = _noted(
        row.note, f"{day.isoformat()}, {actor.name}, {what}" + (": " if said else ".") + "; ".join(said)
    )
    return _changed(row, new)


def _changed(row: FindRow | NeedRow, new: Mapping[str, Any]) -> dict[str, list[Any]]:
    changes = changed_fields(row, new)
    for name, value in new.items():
        setattr(row, name, value)
    return changes


def _noted(note: str, line: str) -> str:
    """A note with one more line. Raises Faults where there is no room."""
    longer = f"{note}\n{line}".strip()
    if len(longer) > NOTE:
        raise Faults({"": "There is no room left in the notes of that record. Keep yours as one of its own."})
    return longer


def _count_asked(typed: Typed, row: FindRow | NeedRow, values: Mapping[str, Any], *, further: bool) -> None:
    """Further pieces of what was counted have to be counted too, or the count would be lost."""
    if further and row.quantity is not None and values["quantity"] is None:
        typed.fault("quantity_text", "Say how many further ones, as a number: the others are counted.")


def _added_up(count: int | None, text: str, more: int | None, more_text: str) -> dict[str, Any]:
    """Quantities of further pieces; where one side was not counted, the whole is not counted either."""
    whole = count + more if count is not None and more is not None else None
    return {"quantity": whole, "quantity_text": f"{text or 'not counted'} + {more_text or 'not counted'}"[:60]}


def join_need(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Add what a form says of a need to the one that is open; its number.

    Numbers and requirements are added as further sources, empty fields filled, all else is noted. `further`
    says that more pieces are wanted, whose number is added. Raises Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        if row.withdrawn_at is not None or row.met_at is not None:
            raise Faults({"": "That need was met or withdrawn meanwhile. Open yours as a need of its own."})
        values = need_values(session, typed)
        text = typed.text("text", "The line as typed", most=1000)
        further = typed.flag("further")
        _count_asked(typed, row, values, further=further)
        typed.done()
        came = first_entries(session, row, typed, actor, now)
        fills: dict[str, Any] = {
            name: values[name]
            for name in ("zone", "side", "station", "chapter", "touches", "wrong", "ref")
            if values[name] and not getattr(row, name)
        }
        new = dict(fills)
        if further:
            new |= _added_up(row.quantity, row.quantity_text, values["quantity"], values["quantity_text"])
            if row.still_wanted is not None and values["still_wanted"] is not None:
                new["still_wanted"] = row.still_wanted + values["still_wanted"]
        said = _need_said(session, row, values, text, fills)
        what = "more wanted" if further else "wanted again"
        line = f"{day_of(session, now).isoformat()}, {actor.name}, {what}" + (": " if said else ".") + "; ".join(said)
        new["note"] = _noted(row.note, line)
        changes = _changed(row, new)
        need_entered(session, row, actor, now, f"added to the need: {what}", changes, {"entered": came} if came else {})
    return number


def _need_said(
    session: Session, row: NeedRow, values: Mapping[str, Any], text: str, fills: Mapping[str, Any]
) -> list[str]:
    """What the form says and the need says otherwise, for its note."""
    said = [f"“{text}”"] if text and text != row.text else []
    if values["item"] != row.item:
        said.append(values["item"])
    if values["quantity_text"] and values["quantity_text"] != row.quantity_text:
        said.append(values["quantity_text"])
    for name, label in (("zone", "zone"), ("station", "station"), ("chapter", "chapter"), ("ref", "own reference")):
        if values[name] and name not in fills and values[name] != getattr(row, name):
            said.append(f"{label}: {values[name]}")
    step = session.get(StepRow, values["step_id"]) if values["step_id"] else None
    if step is not None and step.id != row.step_id:
        said.append(f"needed before: {step.name}")
    if values["note"]:
        said.append(values["note"])
    return said
