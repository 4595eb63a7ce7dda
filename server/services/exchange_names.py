"""What lines of an import may call by name: aeroplanes, steps, suppliers, people."""

from collections.abc import Mapping
from typing import Any

from sqlmodel import Session

from server.domain.errors import Refused
from server.domain.register import Actor
from server.domain.specification import Use
from server.services.written import Faulted
from server.storage.accounts import list_accounts
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.tables import AeroplaneRow
from server.storage.yard import list_aeroplanes, list_steps, list_suppliers

UNNAMED = "Aeroplane still to be named"


def by_name(
    given: dict[str, str | list[str]],
    name: str,
    number: str,
    known: Mapping[str, int | None],
    sentence: str,
    faults: Faulted,
) -> None:
    """Put the number of a record in place of its name."""
    text = str(given.pop(name, "") or "").strip()
    if not text or given.get(number):
        return
    found = known.get(text.casefold())
    if found is None:
        faults[name] = sentence.format(text[:80])
    else:
        given[number] = str(found)


class Yard:
    """The aeroplanes, steps and people that lines may name."""

    def __init__(self, session: Session, store: Store, actor: Actor, aeroplane: int | None) -> None:
        self.session, self.store, self.actor = session, store, actor
        self.planes: dict[str, int | None] = {}
        self.held: list[Any] = []
        every = list_aeroplanes(session)
        self.is_empty = not every
        for one in every:
            self._know(one.id, one.label, one.registration, one.serial, one.type)
        if aeroplane is not None and aeroplane not in {one.id for one in every}:
            raise Refused(f"There is no aeroplane {aeroplane} in this register.")
        self.usual = aeroplane or (every[0].id if len(every) == 1 else None)
        # the session forgets what nobody holds, and would ask for the aeroplane again with every line
        self.held = [session.get(AeroplaneRow, one.id) for one in every]
        self.steps = {(one.aeroplane_id, one.name.casefold()): one.id for one in list_steps(session)}
        self.suppliers = {one.name.casefold(): one.id for one in list_suppliers(session)}
        self.people: dict[str, int | None] = {}
        for row in list_accounts(session):
            self.people |= {row.sign_in.casefold(): row.id, row.name.casefold(): row.id}

    def _know(self, number: int, *names: str) -> None:
        for name in {one.casefold() for one in names if one}:
            # a name that two aeroplanes have says neither
            self.planes[name] = None if name in self.planes else number

    def place(self, given: dict[str, str | list[str]], faults: Faulted) -> None:
        """Put numbers in place of the names of aeroplane, step and owner."""
        said = str(given.get("aeroplane") or "").strip()
        if said and self.is_empty and said.casefold() not in self.planes:
            self._know(self._enter(said), said)
        by_name(
            given,
            "aeroplane",
            "aeroplane_id",
            self.planes,
            "There is no one aeroplane “{}” here; give its registration, or --aeroplane.",
            faults,
        )
        if not given.get("aeroplane_id") and not faults:
            if self.usual is None and self.is_empty:
                self.usual = self._enter(UNNAMED)
            if self.usual is not None:
                given["aeroplane_id"] = str(self.usual)
        plane = str(given.get("aeroplane_id", ""))
        steps = {name: one for (of, name), one in self.steps.items() if str(of) == plane}
        by_name(given, "step", "step_id", steps, "This aeroplane has no step of assembly “{}”; enter it first.", faults)
        by_name(given, "owner", "owner_id", self.people, "There is no account “{}”.", faults)

    def _enter(self, name: str) -> int:
        # the strictest use until the keeper says otherwise
        row = AeroplaneRow(
            type=name,
            use=Use.CERTIFIED.value,
            note="Entered by an import. Held to the strictest use until somebody says what it is.",
        )
        self.session.add(row)
        self.session.flush()
        assert row.id is not None
        self.held.append(row)
        write_log(
            self.session, self.store.clock(), self.actor, f"entered the aeroplane “{name}”", f"aeroplane/{row.id}"
        )
        return row.id
