"""Whom a find comes from, by name: somebody the register knows, or somebody new who is entered with the find."""

from typing import Any

from sqlmodel import Session, select

from server.domain.register import Actor
from server.services.typed import Typed
from server.services.yard import enter_supplier
from server.storage.engine import Store
from server.storage.tables import SupplierRow

FIELD = "from_whom"


def known_supplier(session: Session, typed: Typed, chosen: int | None) -> int | None:
    """The supplier chosen, or the one that is known by the name in `from_whom`; None for nobody, or for a new one.

    Faults go to `from_whom`: a name beside another choice, a name of several, of one withdrawn.
    """
    name = _one_blank(typed.text(FIELD, "From whom"))
    if not name or FIELD in typed.faults:
        return chosen
    rows = [row for row in session.exec(select(SupplierRow)) if _one_blank(row.name).casefold() == name.casefold()]
    known = [row for row in rows if row.withdrawn_at is None]
    if chosen is not None and chosen not in {row.id for row in rows}:
        typed.fault(FIELD, "Choose from the list or write a name, not both.")
    elif chosen is None and len(known) > 1:
        typed.fault(FIELD, f"{len(known)} suppliers are called “{name}”; choose from the list.")
    elif chosen is None and rows and not known:
        reason = rows[-1].withdrawn_reason
        typed.fault(FIELD, f"“{name}” was withdrawn ({reason}). Write the name otherwise if it is somebody else.")
    return known[0].id if chosen is None and len(known) == 1 else chosen


def enter_new_supplier(session: Session, store: Store, actor: Actor, typed: Typed, values: dict[str, Any]) -> None:
    """Enter whom a form names and nobody knows yet, and set it as the supplier of the find's values."""
    name = _one_blank(typed.raw(FIELD))
    if name and values["supplier_id"] is None:
        values["supplier_id"] = enter_supplier(session, store, actor, name)


def _one_blank(text: str) -> str:
    return " ".join(text.split())
