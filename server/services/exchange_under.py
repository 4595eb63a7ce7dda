"""What stands under a need or a find that is taken in: requirements, designations, joint, enquiries; statements,
provenance.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlmodel import Session

from server.domain.errors import Faults
from server.domain.offer import Evidence
from server.domain.plain import as_plain
from server.domain.register import Actor, Enquired
from server.services.clocks import day_of
from server.services.exchange_names import Yard
from server.services.needs import designation_of
from server.services.typed import Typed
from server.services.written import Faulted, list_of, read_joint_of, read_requirement, read_statement
from server.storage.engine import Store
from server.storage.tables import AeroplaneRow, EnquiryRow, EvidenceRow, NeedRow, RequirementRow, StatementRow


def under_need(
    session: Session, store: Store, actor: Actor, number: int, plain: dict[str, Any], yard: Yard, faults: Faulted
) -> None:
    """What stands under a need: requirements, designations, joint, enquiries."""
    if not any(plain.get(name) for name in ("requirements", "designations", "joint", "enquiries")):
        return
    now = store.clock()
    row = session.get(NeedRow, number)
    assert row is not None
    plane = session.get(AeroplaneRow, row.aeroplane_id)
    unit = plane.drawing_unit if plane else ""
    for place, one in enumerate(list_of(plain, "requirements", "", faults)):
        values = read_requirement(one, f"requirements[{place}]", row.part_class, unit, faults)
        if values is not None:
            decided_by = actor.name if values["decided"] else ""
            session.add(
                RequirementRow(need_id=number, **values, decided_by=decided_by, created_by=actor.name, created_at=now)
            )
    if not isinstance(plain.get("designations"), str):
        for place, one in enumerate(list_of(plain, "designations", "", faults)):
            at = f"designations[{place}]"
            typed = _object(one, at, ("text", "kind", "reading", "note"), faults)
            try:
                if typed is not None:
                    designation_of(session, number, typed)
            except Faults as refused:
                faults |= {f"{at}.{name}": sentence for name, sentence in refused.faults.items()}
    if plain.get("joint") is not None:
        joint = read_joint_of(plain["joint"], "joint", unit, faults)
        row.joint = as_plain(joint) if joint is not None else None
        session.add(row)
    for place, one in enumerate(list_of(plain, "enquiries", "", faults)):
        at = f"enquiries[{place}]"
        if typed := _object(one, at, ("kind", "supplier", "text", "answer", "on", "by"), faults):
            session.add(_enquiry(typed, number, actor, now, yard, at, faults))


def _enquiry(
    typed: Typed, number: int, actor: Actor, now: datetime, yard: Yard, path: str, faults: Faulted
) -> EnquiryRow:
    kind = typed.word("kind", Enquired, "Tried or asked") or Enquired.TRIED
    supplier = typed.raw("supplier")
    supplier_id = yard.suppliers.get(supplier.casefold())
    if supplier and supplier_id is None:
        typed.fault("supplier", f"There is no supplier “{supplier[:80]}”; enter it first.")
    row = EnquiryRow(
        need_id=number,
        kind=kind.value,
        supplier_id=supplier_id,
        text=typed.text("text", "What", most=1000),
        answer=typed.text("answer", "Answer", most=1000),
        on_day=typed.day("on", "When"),
        by=typed.text("by", "By", most=100) or actor.name,
        created_at=now,
    )
    faults |= {f"{path}.{name}": sentence for name, sentence in typed.faults.items()}
    return row


def under_find(
    session: Session,
    store: Store,
    actor: Actor,
    number: int,
    plain: dict[str, Any],
    faults: Faulted,
    *,
    has_notes: bool,
) -> None:
    """What stands under a find: statements and provenance."""
    now = store.clock()
    key = str(plain.get("part_class") or "general")
    for place, one in enumerate(list_of(plain, "statements", "", faults)):
        values = read_statement(one, f"statements[{place}]", key, faults)
        if values is not None:
            values["by"] = values["by"] or actor.name
            values["on_day"] = values["on_day"] or day_of(session, now)
            session.add(StatementRow(find_id=number, **values, created_by=actor.name, created_at=now))
    if not has_notes:
        return
    for place, one in enumerate(list_of(plain, "evidence", "", faults)):
        at = f"evidence[{place}]"
        if typed := _object({"kind": one} if isinstance(one, str) else one, at, ("kind", "note"), faults):
            kind = typed.word("kind", Evidence, "Kind of evidence", required=True)
            note = typed.text("note", "What it says", most=1000)
            faults |= {f"{at}.{name}": sentence for name, sentence in typed.faults.items()}
            if kind is not None:
                session.add(
                    EvidenceRow(find_id=number, kind=kind.value, note=note, created_by=actor.name, created_at=now)
                )


def _object(plain: Any, path: str, known: Sequence[str], faults: Faulted) -> Typed | None:
    if not isinstance(plain, dict):
        faults[path] = f"This is an object with {', '.join(known)}."
        return None
    unknown = [key for key in plain if key not in known]
    for key in unknown:
        faults[f"{path}.{key}"] = f"There is no such entry; known are {', '.join(known)}."
    return None if unknown else Typed({key: str(value) for key, value in plain.items() if value is not None})
