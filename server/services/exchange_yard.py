"""Export and import of what needs and finds lean on: aeroplanes, suppliers, steps of assembly.

The same lines as for needs and finds, all or nothing. What is here already under the same name is refused, line by
line: an import adds and never changes.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from sqlmodel import Session

from server.domain.register import Actor, Aeroplane, Step, Supplier, UserRole
from server.services import yard
from server.services.exchange import TakenIn, Taking, as_given
from server.services.exchange_names import Yard
from server.services.exporting import csv_lines, json_lines
from server.services.flat import Group, gathered, is_column
from server.services.lines import Line
from server.services.written import Faulted
from server.services.yard import require
from server.storage.engine import OneUnit, Store
from server.storage.yard import list_aeroplanes, list_steps, list_suppliers

AEROPLANE_COLUMNS = (
    "number",
    "type",
    "maker",
    "serial",
    "registration",
    "built",
    "use",
    "authority",
    "drawing_unit",
    "note",
)
SUPPLIER_COLUMNS = ("number", "name", "kind", "place", "contact", "state", "last_confirmed", "note")
STEP_COLUMNS = ("number", "aeroplane", "name", "place_in_order", "closes", "due", "state", "note")
AFTER = (Group("after", "after", ("step",), frozenset({"step"})),)
"""The steps that come before one, by name: after1_step, after2_step … in CSV."""
_HERE = "is here already; take this line out."


@dataclass(frozen=True, slots=True)
class _Kind:
    columns: tuple[str, ...]
    plain: Callable[[Session], Iterator[dict[str, Any]]]
    groups: tuple[Group, ...] = ()


def _aeroplanes(session: Session) -> Iterator[dict[str, Any]]:
    for one in list_aeroplanes(session):
        yield {"number": one.id, **_texts(one, AEROPLANE_COLUMNS[1:])}


def _suppliers(session: Session) -> Iterator[dict[str, Any]]:
    for one in list_suppliers(session):
        yield {"number": one.id, **_texts(one, SUPPLIER_COLUMNS[1:])}


def _steps(session: Session) -> Iterator[dict[str, Any]]:
    planes = {one.id: one.label for one in list_aeroplanes(session, withdrawn=True)}
    steps = list_steps(session)
    names = {one.id: one.name for one in steps}
    for one in steps:
        # a step before it that was withdrawn holds nothing up any more
        after = [{"step": names[number]} for number in one.after if number in names]
        plain = {"number": one.id, "aeroplane": planes[one.aeroplane_id], **_texts(one, STEP_COLUMNS[2:])}
        yield plain | {"place_in_order": one.place_in_order, "after": after}


def _texts(one: Aeroplane | Supplier | Step, names: Iterable[str]) -> dict[str, str]:
    """The fields as they are typed."""
    values = {name: getattr(one, name) for name in names}
    return {name: "" if value is None else str(value) for name, value in values.items()}


_KINDS = {
    "aeroplanes": _Kind(AEROPLANE_COLUMNS, _aeroplanes),
    "suppliers": _Kind(SUPPLIER_COLUMNS, _suppliers),
    "steps": _Kind(STEP_COLUMNS, _steps, AFTER),
}


def export_yard(store: Store, what: str, kind: str) -> Iterator[str]:
    """All aeroplanes, suppliers or steps (`what`) but the withdrawn ones, a line each, as CSV or JSON lines."""
    chosen = _KINDS[what]
    with store.read() as session:
        plain = chosen.plain(session)
        yield from csv_lines(plain, chosen.columns, chosen.groups) if kind == "csv" else json_lines(plain)


def import_aeroplanes(store: Store, actor: Actor, lines: Iterable[Line], *, skip_unknown: bool = False) -> TakenIn:
    """Enter an aeroplane for each line. Raises BadLine with every bad line, and keeps nothing then; NotAllowed."""
    require(actor, UserRole.KEEPER)
    with store.write() as session:
        unit = OneUnit(store, session)

        def labels() -> set[str]:
            return {one.label.casefold() for one in list_aeroplanes(session)}

        def take(line: Line, faults: Faulted) -> None:
            before = labels()
            yard.save_aeroplane(unit, actor, as_given(line.plain))
            if labels() == before:
                faults["type"] = f"This aeroplane {_HERE}"

        return _taking(AEROPLANE_COLUMNS, skip_unknown=skip_unknown).all(lines, take)


def import_suppliers(store: Store, actor: Actor, lines: Iterable[Line], *, skip_unknown: bool = False) -> TakenIn:
    """Enter a supplier for each line. Raises BadLine with every bad line, and keeps nothing then; NotAllowed."""
    require(actor, UserRole.RESTORER)
    with store.write() as session:
        unit = OneUnit(store, session)
        names = {one.name.casefold() for one in list_suppliers(session)}

        def take(line: Line, faults: Faulted) -> None:
            given = as_given(line.plain)
            name = str(given.get("name", "")).strip().casefold()
            if name in names:
                faults["name"] = f"A supplier of this name {_HERE}"
                return
            yard.save_supplier(unit, actor, given)
            names.add(name)

        return _taking(SUPPLIER_COLUMNS, skip_unknown=skip_unknown).all(lines, take)


def import_steps(
    store: Store, actor: Actor, lines: Iterable[Line], *, aeroplane: int | None = None, skip_unknown: bool = False
) -> TakenIn:
    """Enter a step for each line, then what comes before each; `aeroplane` is that of lines that name none.

    Raises BadLine with every bad line, and keeps nothing then; NotAllowed.
    """
    require(actor, UserRole.RESTORER)
    with store.write() as session:
        unit = OneUnit(store, session)
        planes = Yard(session, store, actor, aeroplane)
        known = (*STEP_COLUMNS, "aeroplane_id", "after")
        taking = _taking(known, skip_unknown=skip_unknown, is_numbered=partial(is_column, groups=AFTER))
        entered: dict[int, tuple[int, dict[str, str | list[str]]]] = {}
        held = Counter((one.aeroplane_id, one.name.casefold()) for one in list_steps(session))

        def enter(line: Line, faults: Faulted) -> None:
            given = as_given(gathered(line.plain, AFTER).plain, nested=("after",))
            planes.place(given, faults)
            name = (int(str(given.get("aeroplane_id") or 0)), str(given.get("name", "")).strip().casefold())
            if held[name]:
                faults["name"] = f"This aeroplane’s step of this name {_HERE}"
            if faults:
                return
            entered[line.number] = yard.save_step(unit, actor, given), given
            held[name] += 1

        def follow(line: Line, faults: Faulted) -> None:
            after = gathered(line.plain, AFTER).plain.get("after")
            if not after or line.number not in entered:
                return
            number, given = entered[line.number]
            before = _numbers(session, int(str(given["aeroplane_id"])), after, faults)
            if not faults:
                yard.save_step(unit, actor, {**given, "after": before}, number)

        every = list(lines)
        taken = taking.all(every, enter)
        # a step may come after one that stands further down
        taking.all(every, follow)
        return taken


def _numbers(session: Session, aeroplane_id: int, after: Any, faults: Faulted) -> list[str]:
    """The numbers of steps by their names; a fault where there is no such step."""
    names = [one.get("step") if isinstance(one, Mapping) else one for one in after] if isinstance(after, list) else []
    known = {one.name.casefold(): one.id for one in list_steps(session, aeroplane_id)}
    if not names:
        faults["after"] = "This is a list of steps by name."
    for name in names:
        if str(name).strip().casefold() not in known:
            faults["after"] = f"This aeroplane has no step of assembly “{str(name)[:80]}”; enter it first."
    return [str(known[str(name).strip().casefold()]) for name in names] if not faults else []


def _taking(
    known: Iterable[str], *, skip_unknown: bool, is_numbered: Callable[[str], bool] = lambda _name: False
) -> Taking:
    fields = frozenset(known) - {"number"}
    return Taking(fields, is_numbered, skip_unknown=skip_unknown, has_states=True)


IMPORTS = {"aeroplanes": import_aeroplanes, "suppliers": import_suppliers}
"""Imports that ask for nothing more than their lines."""
