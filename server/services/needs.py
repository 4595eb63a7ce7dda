"""Opening, changing and withdrawing needs, and all that is entered under them."""

import re
from collections.abc import Mapping
from datetime import datetime
from itertools import zip_longest
from typing import Any

from sqlmodel import Session, col, select

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.domain.pieces import read_pieces
from server.domain.plain import as_plain, joint_from_plain
from server.domain.register import Actor, DesignationKind, Enquired, Fault, Need, Reading, UserRole
from server.domain.specification import Role, Wanted, may_both_hold
from server.services import indexing
from server.services.clocks import day_of
from server.services.place import ARM, arm_given, joint_said, read_joint
from server.services.sizes import characteristic_said, classes_or_fault, requirement_values
from server.services.typed import NOTE, Given, Typed
from server.services.yard import changed_fields, keep_count, reason_given, refuse_withdrawn, require
from server.storage.chain import has_approval
from server.storage.engine import Store
from server.storage.log import changes_since, write_log
from server.storage.needs import get_need_row, load_need, requirement_of
from server.storage.tables import (
    AccountRow,
    AeroplaneRow,
    DesignationRow,
    EnquiryRow,
    NeedRow,
    RequirementRow,
    StepRow,
    SupplierRow,
)

SIDES = ("", "left", "right", "centre")

LABELS = {
    "item": "Item",
    "part_class": "Part class",
    "aeroplane_id": "Aeroplane",
    "zone": "Zone",
    "side": "Side",
    "station": "Station",
    "arm": ARM,
    "chapter": "Chapter",
    "quantity_text": "Quantity",
    "quantity": "Quantity, pieces",
    "still_wanted": "Still wanted",
    "wrong": "What is wrong with the original",
    "role": "Role",
    "step_id": "Needed before",
    "touches": "What it touches",
    "note": "Note",
    "owner_id": "Looked after by",
    "ref": "Own reference",
}


class NeedOvertaken(Overtaken):
    """Somebody else changed the need meanwhile: what they changed, by field label."""

    def __init__(self, version: int, changes: dict[str, tuple[Any, Any, str]]) -> None:
        super().__init__("Somebody else changed this need since you opened it. Your typing is kept below.")
        self.version = version
        self.changes = changes


def wanted_of(need: Need) -> Wanted:
    """What the check asks of a stand-in for this need."""
    return Wanted(
        part_class=need.part_class,
        requirements=need.requirements,
        joint=need.joint,
        role=need.role,
        use=need.aeroplane.use,
        touches=need.touches,
        serial=need.aeroplane.serial,
        side=need.side,
        name=need.item,
        arm=need.arm,
    )


def need_values(session: Session, typed: Typed) -> dict[str, Any]:
    """The column values of a need's own fields; faults go to the fields."""
    needed = classes_or_fault(typed, "part_class", required=True)
    side = typed.text("side", "Side", most=20).casefold()
    if side not in SIDES:
        typed.fault("side", f"Side: “{side}” is none of left, right, centre; leave it empty where there is none.")
    chapter = typed.text("chapter", "Chapter", most=7).replace("-", "")
    if chapter and not re.fullmatch(r"\d{2}(\d{2})?", chapter):
        typed.fault("chapter", "An ATA 100 / JASC chapter has two or four digits, such as 25 or 2510.")
    quantity_text = typed.text("quantity_text", "Quantity", most=60)
    quantity = typed.number("quantity", "Quantity, pieces", high=100_000)
    if quantity is None:
        quantity = read_pieces(quantity_text)
    still = typed.number("still_wanted", "Still wanted", high=100_000)
    values = {
        "item": typed.text("item", "Item", required=True),
        "part_class": needed.key if needed else "",
        "aeroplane_id": _existing(session, typed, "aeroplane_id", AeroplaneRow, "Choose the aeroplane.", required=True),
        "zone": typed.text("zone", "Zone", most=100),
        "side": side,
        "station": typed.text("station", "Station", most=60),
        "arm": arm_given(typed),
        "chapter": chapter,
        "quantity_text": quantity_text,
        "quantity": quantity,
        "still_wanted": quantity if still is None else still,
        "wrong": [one.value for one in typed.words("wrong", Fault, "What is wrong with the original")],
        "role": typed.word("role", Role, "Role") or Role.UNKNOWN,
        "step_id": _existing(session, typed, "step_id", StepRow, "There is no such step of assembly."),
        "touches": [part.strip() for part in typed.text("touches", "What it touches").split(",") if part.strip()],
        "note": typed.text("note", "Note", most=NOTE),
        "owner_id": _existing(session, typed, "owner_id", AccountRow, "There is no such account."),
        "ref": typed.text("ref", "Own reference", most=60),
    }
    step = session.get(StepRow, values["step_id"]) if values["step_id"] else None
    if step is not None and step.aeroplane_id != values["aeroplane_id"]:
        typed.fault("step_id", "This step belongs to another aeroplane.")
    return values


def _existing(
    session: Session, typed: Typed, name: str, table: type[Any], sentence: str, *, required: bool = False
) -> int | None:
    number = typed.number(name, LABELS.get(name, name), low=1, high=2_000_000_000)
    if number is None:
        if required:
            typed.fault(name, sentence)
        return None
    if session.get(table, number) is None:
        typed.fault(name, sentence)
        return None
    return number


def open_need(store: Store, actor: Actor, given: Given) -> int:
    """Open a need; its running number. Raises Faults, NotAllowed."""
    with store.write() as session:
        return open_need_in(session, store, actor, given)


def open_need_in(session: Session, store: Store, actor: Actor, given: Given) -> int:
    """The same inside a unit of work of the caller's (an import)."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    values = need_values(session, typed)
    text = typed.text("text", "The line as typed", most=1000)
    typed.done()
    now = store.clock()
    values["owner_id"] = values["owner_id"] or actor.id
    row = NeedRow(**_plain(values), text=text, created_at=now, changed_at=now)
    session.add(row)
    session.flush()
    assert row.id is not None
    came = first_entries(session, row, typed, actor, now, is_new=True)
    said = {"version": 1, "entered": came} if came else {"version": 1}
    write_log(session, now, actor, f"opened need “{row.item}”", f"need/{row.id}", said)
    indexing.index_need(session, row.id, now)
    return row.id


def first_entries(
    session: Session, row: NeedRow, typed: Typed, actor: Actor, now: datetime, *, is_new: bool = False
) -> list[str]:
    """Designations and requirements that came with the opening (read out of its one line, and confirmed).

    What the need has already is not entered a second time; a need just made has nothing (`is_new`).
    Gives back what was entered, in words for the log.
    """
    assert row.id is not None
    held = None if is_new else load_need(session, row.id)
    marks = {fold_designation(one.text) for one in held.designations} if held else set()
    said = {(one.characteristic, one.text.casefold(), one.known.how) for one in held.requirements} if held else set()
    came: list[str] = []
    for text, kind, reading in _marks_given(typed):
        if fold_designation(text) in marks:
            continue
        try:
            designation_of(session, row.id, Typed({"text": text, "kind": kind, "reading": reading}))
        except Faults as refused:
            for name, sentence in refused.faults.items():
                typed.fault(_MARK_FIELDS[name], f"“{text[:40]}”: {sentence}")
        else:
            came.append(f"{kind} “{text}”")
    plane = session.get(AeroplaneRow, row.aeroplane_id)
    unit = plane.drawing_unit if plane else ""
    for number in range(1, 13):
        prefix = f"r{number}_"
        if not typed.raw(f"{prefix}characteristic") or not typed.raw(f"{prefix}text"):
            continue
        values = requirement_values(typed, row.part_class, unit, prefix)
        again = (values["characteristic"], values["text"].casefold(), values["known_from"]) in said
        if not again and not any(name.startswith(prefix) for name in typed.faults):
            session.add(RequirementRow(need_id=row.id, **values, created_by=actor.name, created_at=now))
            came.append(_requirement_said(row, values["layer"], values["characteristic"], values["text"]))
    typed.done()
    return came


def _requirement_said(need: NeedRow, layer: str, characteristic: str, text: str) -> str:
    return f"{layer}: {characteristic_said(need.part_class, characteristic)} {text}"


_MARK_FIELDS = {"text": "mark", "kind": "mark_kind", "reading": "mark_reading"}


def _marks_given(typed: Typed) -> list[tuple[str, str, str]]:
    """Numbers with the kind and the reading chosen beside each; an empty field is passed over with both.

    One without a kind is of a drawing.
    """
    return [
        (text, kind or DesignationKind.DRAWING.value, reading)
        for text, kind, reading in zip_longest(*map(typed.places, _MARK_FIELDS.values()), fillvalue="")
        if text
    ]


def usual_reading(text: str) -> Reading:
    """How surely a number was read that nobody says it of: a question mark in it is a doubt."""
    return Reading.DOUBTFUL if "?" in text else Reading.SURE


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    return {name: getattr(value, "value", value) for name, value in values.items()}


def change_need(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Change a need's own fields.

    The form carries the version it was opened on. Raises NeedOvertaken with
    what the other person changed, so that nothing typed is lost; Faults,
    NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        refuse_withdrawn(row)
        seen = typed.number("version", "Version", low=1)
        if seen is None or seen != row.version:
            raise NeedOvertaken(row.version, changes_since(session, f"need/{number}", seen or 0))
        values = _plain(need_values(session, typed))
        typed.done()
        if keep_count(row, values, typed) and not typed.raw("still_wanted"):
            values["still_wanted"] = None if row.still_wanted is None else row.quantity
        changes = changed_fields(row, values)
        if not changes:
            return
        for name, value in values.items():
            setattr(row, name, value)
        touch(session, row, now)
        write_log(
            session,
            now,
            actor,
            f"changed need “{row.item}”",
            f"need/{number}",
            {"version": row.version, "changes": changes},
        )
        session.flush()
        indexing.index_need(session, number, now)


def touch(session: Session, row: NeedRow, now: Any) -> None:
    """Note that the need changed: a new version."""
    row.version += 1
    row.changed_at = now
    session.add(row)


def add_designation(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Add a number or name the part goes by. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        refuse_withdrawn(row)
        added = designation_of(session, number, typed)
        entered(session, row, actor, now, f"added the {added.kind} “{added.text}”")


_SEVERAL_NUMBERS = re.compile(r";\s*|,\s+")


def designation_of(session: Session, number: int, typed: Typed) -> DesignationRow:
    """Enter a number or name of a need; several in one field ("W 41, W 42") each for itself. Raises Faults."""
    text = typed.text("text", "Number or name", most=120, required=True)
    kind = typed.word("kind", DesignationKind, "Kind of number", required=True)
    reading = typed.word("reading", Reading, "How surely it was read") or usual_reading(text)
    note = typed.text("note", "Note", most=500)
    typed.done()
    assert kind is not None
    pieces = [piece for piece in _SEVERAL_NUMBERS.split(text) if piece]
    if not all(any(sign.isdigit() for sign in piece) for piece in pieces):
        pieces = [text]
    rows = [
        DesignationRow(
            need_id=number,
            text=piece,
            folded=fold_designation(piece),
            kind=kind.value,
            reading=reading.value,
            note=note,
        )
        for piece in pieces
    ]
    session.add_all(rows)
    return rows[0]


def fold_designation(text: str) -> str:
    """Letters and digits only, in capitals: "T2-41-207 / 9" and "t2 41 207/9" are one."""
    return "".join(sign for sign in text.upper() if sign.isalnum())


def add_requirement(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Add what one source says of one characteristic of the original. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        refuse_withdrawn(row)
        plane = session.get(AeroplaneRow, row.aeroplane_id)
        values = requirement_values(typed, row.part_class, plane.drawing_unit if plane else "")
        typed.done()
        session.add(RequirementRow(need_id=number, **values, created_by=actor.name, created_at=now))
        said = _requirement_said(row, values["layer"], values["characteristic"], values["text"])
        entered(session, row, actor, now, f"added {said}")


def decide_requirement(store: Store, actor: Actor, requirement_id: int, reason: str) -> int:
    """Where sources disagree: this one stands, with a reason; the need's number.

    It overrules an earlier decision of the same layer that holds for some of the same serials and sides.
    Raises Faults without a reason, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        chosen = _requirement_row(session, requirement_id)
        others = select(RequirementRow).where(
            RequirementRow.need_id == chosen.need_id,
            RequirementRow.characteristic == chosen.characteristic,
            RequirementRow.layer == chosen.layer,
            col(RequirementRow.withdrawn_at).is_(None),
        )
        need = get_need_row(session, chosen.need_id)
        refuse_withdrawn(need)
        name = characteristic_said(need.part_class, chosen.characteristic)
        overruled: dict[str, list[Any]] = {}
        for row in session.exec(others):
            if row.decided and may_both_hold(requirement_of(row), requirement_of(chosen)):
                overruled[_source_said(name, row)] = [f"stands ({row.decided_by}): {row.decided}", ""]
                row.decided = row.decided_by = ""
                session.add(row)
        chosen.decided, chosen.decided_by = reason, actor.name
        session.add(chosen)
        if _source_said(name, chosen) in overruled:
            overruled[_source_said(name, chosen)][1] = f"stands ({actor.name}): {reason}"
        entered(session, need, actor, now, f"decided that {name} {chosen.text} stands: {reason}", overruled)
        return chosen.need_id


def _source_said(name: str, row: RequirementRow) -> str:
    """A requirement so that it is told from the others of its characteristic."""
    serials = f"serials {row.serials}" if row.serials else ""
    further = [part for part in (row.reference or row.known_from, serials, row.side) if part]
    return f"{name} {row.text}, {', '.join(further)}"


def _requirement_row(session: Session, number: int) -> RequirementRow:
    row = session.get(RequirementRow, number)
    if row is None or row.withdrawn_at is not None:
        raise NotAllowed("This entry was withdrawn or never was.")
    return row


def add_enquiry(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Note what was tried, or who was asked with what answer. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    kind = typed.word("kind", Enquired, "Tried or asked") or Enquired.TRIED
    text = typed.text("text", "What", most=1000, required=kind is Enquired.TRIED)
    answer = typed.text("answer", "Answer", most=1000)
    on_day = typed.day("on", "When")
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        refuse_withdrawn(row)
        supplier = _existing(session, typed, "supplier_id", SupplierRow, "Choose a supplier from the list.")
        if kind is Enquired.ASKED and supplier is None and not text:
            typed.fault("supplier_id", "Who was asked? Choose a supplier or write it in.")
        typed.done()
        session.add(
            EnquiryRow(
                need_id=number,
                kind=kind.value,
                supplier_id=supplier,
                text=text,
                answer=answer,
                on_day=on_day or day_of(session, now),
                by=actor.name,
                created_at=now,
            )
        )
        entered(session, row, actor, now, f"noted as {kind.value}: {text or answer}")


def set_joint(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Enter the joint: plies from the made head inwards, hole, edge distance, pitch, access.

    Fields: ply1_name, ply1_material, ply1_thickness, ply1_uncertainty … ply8_…, hole, hole_uncertainty,
    edge_distance, pitch, seat_angle, access, joint_known_from, joint_reference, joint_instrument; `version`
    of the need that the form was opened on, which only a need without a joint can do without; `reason`, where
    every field is empty and the joint that is there is taken off.
    Raises NeedOvertaken with what the other person changed; Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        refuse_withdrawn(row)
        seen = typed.number("version", "Version", low=1)
        if seen != row.version and (seen is not None or row.joint is not None):
            raise NeedOvertaken(row.version, changes_since(session, f"need/{number}", seen or 0))
        plane = session.get(AeroplaneRow, row.aeroplane_id)
        joint = read_joint(typed, plane.drawing_unit if plane else "")
        typed.done()
        plain = as_plain(joint) if joint is not None else None
        if plain == row.joint:
            return
        did = "entered the joint" if joint else f"cleared the joint: {reason_given(given)}"
        was, will = joint_said(joint_from_plain(row.joint)), joint_said(joint)
        changes = {name: [was.get(name, ""), will.get(name, "")] for name in was | will}
        row.joint = plain
        entered(session, row, actor, now, did, {name: pair for name, pair in changes.items() if pair[0] != pair[1]})


def entered(
    session: Session,
    row: NeedRow,
    actor: Actor,
    now: Any,
    did: str,
    changes: dict[str, list[Any]] | None = None,
    further: Mapping[str, Any] | None = None,
) -> None:
    """Something under the need was changed or added: new version, log (`further` stands in it too), index."""
    assert row.id is not None
    touch(session, row, now)
    said: dict[str, Any] = {"version": row.version, **(further or {})}
    if changes:
        said["changes"] = changes
    write_log(session, now, actor, did, f"need/{row.id}", said)
    indexing.index_need(session, row.id, now)


WITHDRAWABLE: dict[str, type[Any]] = {
    "designation": DesignationRow,
    "requirement": RequirementRow,
    "enquiry": EnquiryRow,
}


def withdraw_entry(store: Store, actor: Actor, kind: str, entry_id: int, reason: str) -> int:
    """Withdraw a designation, requirement or enquiry with a reason; the need's number.

    Raises Faults without a reason, NotAllowed.
    """
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        entry = session.get(WITHDRAWABLE[kind], entry_id)
        if entry is None or entry.withdrawn_at is not None:
            raise NotAllowed("This entry was withdrawn already or never was.")
        need = get_need_row(session, entry.need_id)
        refuse_withdrawn(need)
        entry.withdrawn_at, entry.withdrawn_reason = now, reason
        session.add(entry)
        said = entry.text
        if isinstance(entry, RequirementRow):
            said = _requirement_said(need, entry.layer, entry.characteristic, entry.text)
        elif isinstance(entry, EnquiryRow):
            said = entry.text or entry.answer
        entered(session, need, actor, now, f"withdrew a {kind}, “{said}”: {reason}")
        number: int = entry.need_id
        return number


def withdraw_need(store: Store, actor: Actor, number: int, reason: str) -> None:
    """Withdraw a need with a reason.

    Raises Faults without one, where it was withdrawn before, or while an approval stands on it, be it for some
    of the pieces; NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = get_need_row(session, number)
        if row.withdrawn_at is not None:
            raise Faults({"reason": "This was withdrawn before."})
        if has_approval(session, number):
            raise Faults({"reason": "A signed substitute stands for this need; withdraw the approval first."})
        row.withdrawn_at, row.withdrawn_reason = now, reason
        entered(session, row, actor, now, f"withdrew the need: {reason}")


def get_need(store: Store, number: int) -> Need:
    """A need whole. Raises NotFound."""
    with store.read() as session:
        return load_need(session, number)
