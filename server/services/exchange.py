"""Import of needs and finds, as CSV or JSON lines.

A line has the fields of the form. A need's line may hold nothing but `text`
(and a `ref` of the user's own), which is then read as the one-line opening.
JSON lines may also hold what stands under a record: requirements,
designations, joint, enquiries; statements, evidence. An import is all or
nothing: with one bad line nothing is kept, and every bad line is named.
"""

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from server.domain.errors import Faults, Refused
from server.domain.offer import Evidence
from server.domain.plain import as_plain
from server.domain.register import Actor, Enquired, UserRole
from server.domain.specification import Use
from server.matching.lexicon import Lexicon
from server.services.dictionary import lexicon_of
from server.services.finds import log_find_in
from server.services.indexing import gathered_in
from server.services.lines import BadLine, Line
from server.services.needs import designation_of, open_need_in
from server.services.opening import read_opening
from server.services.typed import Typed
from server.services.written import Faulted, list_of, read_joint_of, read_requirement, read_statement
from server.services.yard import require
from server.storage.accounts import list_accounts
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import find_of_capture
from server.storage.log import write_log
from server.storage.tables import (
    AeroplaneRow,
    EnquiryRow,
    EvidenceRow,
    NeedRow,
    RequirementRow,
    StatementRow,
)
from server.storage.yard import list_aeroplanes, list_steps, list_suppliers

NEED_FIELDS = frozenset(
    [
        "ref",
        "item",
        "text",
        "part_class",
        "aeroplane",
        "aeroplane_id",
        "zone",
        "side",
        "station",
        "arm",
        "chapter",
        "quantity",
        "quantity_text",
        "still_wanted",
        "wrong",
        "role",
        "step",
        "step_id",
        "touches",
        "mark",
        "mark_kind",
        "designations",
        "requirements",
        "joint",
        "enquiries",
        "note",
        "owner",
        "owner_id",
    ]
)
FIND_FIELDS = frozenset(
    [
        "ref",
        "text",
        "part_class",
        "origin",
        "supplier",
        "supplier_id",
        "condition",
        "quantity",
        "quantity_text",
        "smallest_lot",
        "price_text",
        "lead_time",
        "bin",
        "finish_to_come",
        "evidence",
        "evidence_note",
        "statements",
        "note",
        "capture_id",
    ]
)
OF_THE_EXPORT = frozenset({"number", "state", "created_at", "version", "logged_by", "logged_at"})
"""What an export says of its own register; it is not taken over, and only what is open is taken in."""

_NUMBERED_NEED = re.compile(
    r"r(?:[1-9]|1[0-2])_(?:characteristic|text|form|layer|known_from|reference|instrument|uncertainty|weight|serials"
    r"|side|sure)"
)
_NUMBERED_FIND = re.compile(r"m(?:[1-9]|1[0-2])_(?:characteristic|text|basis|instrument|uncertainty|stage|by|on|sure)")
_SEVERAL = frozenset({"wrong", "evidence", "mark", "mark_kind", "designations"})
"""Fields of several values; in one text they are parted by semicolons."""
_READ_FROM_TEXT = re.compile(r"r\d+_\w+")
_UNNAMED = "Aeroplane still to be named"


@dataclass(frozen=True, slots=True)
class TakenIn:
    """How many records were taken in, and which columns nobody knows were left out."""

    count: int
    left_out: tuple[str, ...] = ()


def import_needs(
    store: Store, actor: Actor, lines: Iterable[Line], *, aeroplane: int | None = None, skip_unknown: bool = False
) -> TakenIn:
    """Open a need for each line.

    `aeroplane` is that of lines that name none; without it the only one of the
    register, or a new one still to be named. `skip_unknown` leaves out columns
    that nobody knows. Raises BadLine with every bad line, and keeps nothing then.
    """
    require(actor, UserRole.RESTORER)
    with store.write() as session, gathered_in(session):
        yard = _Yard(session, store, actor, aeroplane)
        lexicon = lexicon_of(session)
        taking = _Taking(NEED_FIELDS, _NUMBERED_NEED, skip_unknown=skip_unknown)

        def take(line: Line, faults: Faulted) -> None:
            plain = dict(line.plain)
            given = as_given(plain, nested=("requirements", "joint", "enquiries", "designations"))
            _read_from_text(given, lexicon)
            marks = plain.get("designations")
            if isinstance(marks, str):
                given.setdefault("mark", _parts(marks))
            yard.place(given, faults)
            if faults:
                return
            number = open_need_in(session, store, actor, given)
            _under_need(session, store, actor, number, plain, yard, faults)

        return taking.all(lines, take)


def import_finds(
    store: Store, files: Files, actor: Actor, lines: Iterable[Line], *, skip_unknown: bool = False
) -> TakenIn:
    """Log a find for each line; one whose capture_id is there already is left as it is. Raises BadLine as above."""
    require(actor, UserRole.RESTORER)
    with store.write() as session, gathered_in(session):
        suppliers = {one.name.casefold(): one.id for one in list_suppliers(session)}
        taking = _Taking(FIND_FIELDS, _NUMBERED_FIND, skip_unknown=skip_unknown)

        def take(line: Line, faults: Faulted) -> None:
            plain = dict(line.plain)
            proofs = plain.get("evidence")
            has_notes = isinstance(proofs, list) and any(isinstance(one, dict) for one in proofs)
            given = as_given(plain, nested=("statements", *(("evidence",) if has_notes else ())))
            _named(given, "supplier", "supplier_id", suppliers, "There is no supplier “{}”; enter it first.", faults)
            capture = str(given.get("capture_id") or "")
            if faults or (capture and find_of_capture(session, capture) is not None):
                return
            number = log_find_in(session, store, files, actor, Typed(given))
            _under_find(session, store, actor, number, plain, faults, has_notes=has_notes)

        return taking.all(lines, take)


class _Taking:
    """One import: which columns are known, and what went wrong in which line."""

    def __init__(self, known: frozenset[str], numbered: re.Pattern[str], *, skip_unknown: bool) -> None:
        self.known = known
        self.numbered = numbered
        self.skip_unknown = skip_unknown
        self.left_out: dict[str, None] = {}

    def all(self, lines: Iterable[Line], take: Callable[[Line, Faulted], None]) -> TakenIn:
        """Take every line in; BadLine at the end where one was bad."""
        faults: dict[str, str] = {}
        count = 0
        for line in lines:
            said: Faulted = {"": line.fault} if line.fault else {}
            kept = self._kept(line, said)
            if not said:
                try:
                    take(kept, said)
                except Faults as refused:
                    said |= refused.faults
            if said:
                faults[str(line.number)] = "; ".join(f"{at}: {text}" if at else text for at, text in said.items())
            count += 1
        if faults:
            raise BadLine(faults)
        if not count:
            raise Refused("There are no lines to take in.")
        return TakenIn(count, tuple(self.left_out))

    def _kept(self, line: Line, faults: Faulted) -> Line:
        unknown = [
            key
            for key in line.plain
            if key not in self.known and key not in OF_THE_EXPORT and not self.numbered.fullmatch(key)
        ]
        state = line.plain.get("state") or "open"
        if state != "open":
            faults["state"] = f"“{str(state)[:40]}”: only what is open is taken in; take this line out."
        if unknown and not self.skip_unknown:
            for key in unknown:
                faults[key[:60]] = f"is not known here; known are {', '.join(sorted(self.known))}."
        self.left_out |= dict.fromkeys(unknown)
        dropped = OF_THE_EXPORT.union(unknown)
        return Line(line.number, {key: value for key, value in line.plain.items() if key not in dropped}, line.fault)


def as_given(plain: Mapping[str, Any], nested: Iterable[str] = ()) -> dict[str, str | list[str]]:
    """A line's values as a form's texts; `nested` are entries that are read by themselves."""
    given: dict[str, str | list[str]] = {}
    faults: Faulted = {}
    others = {*nested}
    for key, value in plain.items():
        if value is None or key in others:
            continue
        if isinstance(value, list):
            if any(isinstance(one, dict | list) for one in value):
                faults[key] = "holds an object where a text or a number is wanted."
            several = [str(one) for one in value]
            given[key] = ", ".join(several) if key == "touches" else several
        elif isinstance(value, dict):
            faults[key] = "is an object; a text or a number is wanted."
        elif isinstance(value, bool):
            given[key] = "yes" if value else ""
        else:
            text = str(value)
            given[key] = _parts(text) if key in _SEVERAL else text
    if faults:
        raise Faults(faults)
    return given


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]


def _read_from_text(given: dict[str, str | list[str]], lexicon: Lexicon) -> None:
    """What a line does not say itself is read out of its text, where it has no item of its own."""
    text = given.get("text")
    if given.get("item") or not isinstance(text, str) or not text.strip():
        return
    read = read_opening(text, lexicon).given()
    same_class = given.get("part_class", read["part_class"]) == read["part_class"]
    has_own = any(_READ_FROM_TEXT.fullmatch(key) for key in given)
    for key, value in read.items():
        if _READ_FROM_TEXT.fullmatch(key) and (has_own or not same_class):
            continue
        given.setdefault(key, value)


def _named(
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


class _Yard:
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
        _named(
            given,
            "aeroplane",
            "aeroplane_id",
            self.planes,
            "There is no one aeroplane “{}” here; give its registration, or --aeroplane.",
            faults,
        )
        if not given.get("aeroplane_id") and not faults:
            if self.usual is None and self.is_empty:
                self.usual = self._enter(_UNNAMED)
            if self.usual is not None:
                given["aeroplane_id"] = str(self.usual)
        plane = str(given.get("aeroplane_id", ""))
        steps = {name: one for (of, name), one in self.steps.items() if str(of) == plane}
        _named(given, "step", "step_id", steps, "This aeroplane has no step of assembly “{}”; enter it first.", faults)
        _named(given, "owner", "owner_id", self.people, "There is no account “{}”.", faults)

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


def _under_need(
    session: Session, store: Store, actor: Actor, number: int, plain: dict[str, Any], yard: _Yard, faults: Faulted
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


def _enquiry(typed: Typed, number: int, actor: Actor, now: Any, yard: _Yard, path: str, faults: Faulted) -> EnquiryRow:
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


def _under_find(
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
            values["on_day"] = values["on_day"] or now.date()
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
