"""Import of needs and finds, as CSV or JSON lines.

A line has the fields of the form. A need's line may hold nothing but `text`
(and a `ref` of the user's own), which is then read as the one-line opening.
What stands under a record (requirements, designations, joint, enquiries;
statements, evidence) comes as lists in JSON lines, or in numbered columns
(`flat`). An import is all or nothing: with one bad line nothing is kept, and
every bad line is named.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from server.domain.errors import Faults, Refused
from server.domain.register import Actor, UserRole
from server.matching.lexicon import Lexicon
from server.services.dictionary import lexicon_of
from server.services.exchange_names import Yard, by_name
from server.services.exchange_under import under_find, under_need
from server.services.finds import log_find_in
from server.services.flat import FIND_GROUPS, NEED_GROUPS, REQUIREMENTS, gathered, is_column
from server.services.indexing import gathered_in
from server.services.lines import BadLine, Line
from server.services.needs import open_need_in
from server.services.opening import read_opening
from server.services.typed import Typed
from server.services.written import Faulted
from server.services.yard import require
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import find_of_capture
from server.storage.yard import list_suppliers

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
        "mark_reading",
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

_SEVERAL = frozenset({"wrong", "evidence", "mark", "mark_kind", "mark_reading", "designations"})
"""Fields of several values; in one text they are parted by semicolons."""
_PAIRED = frozenset({"mark", "mark_kind", "mark_reading"})
"""Of these the first belongs to the first: an empty place is kept."""
_READ_FROM_TEXT = re.compile(r"r\d+_\w+")


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
        yard = Yard(session, store, actor, aeroplane)
        lexicon = lexicon_of(session)
        taking = Taking(NEED_FIELDS, partial(is_column, groups=NEED_GROUPS, joint=True), skip_unknown=skip_unknown)

        def take(line: Line, faults: Faulted) -> None:
            plain = dict(line.plain)
            marks = plain.pop("designations") if isinstance(plain.get("designations"), str) else ""
            has_sizes = any(is_column(key, [REQUIREMENTS]) for key in plain)
            under = gathered(plain, NEED_GROUPS, joint=True)
            given = as_given(under.plain, nested=("requirements", "joint", "enquiries", "designations"))
            _read_from_text(given, lexicon, has_sizes=has_sizes)
            if marks:
                given.setdefault("mark", _parts(marks))
            yard.place(given, faults)
            if faults:
                return
            number = open_need_in(session, store, actor, given)
            under_need(session, store, actor, number, under.plain, yard, faults)
            under.in_columns(faults)

        return taking.all(lines, take)


def import_finds(
    store: Store, files: Files, actor: Actor, lines: Iterable[Line], *, skip_unknown: bool = False
) -> TakenIn:
    """Log a find for each line; one whose capture_id is there already is left as it is. Raises BadLine as above."""
    require(actor, UserRole.RESTORER)
    with store.write() as session, gathered_in(session):
        suppliers = {one.name.casefold(): one.id for one in list_suppliers(session)}
        taking = Taking(FIND_FIELDS, partial(is_column, groups=FIND_GROUPS), skip_unknown=skip_unknown)

        def take(line: Line, faults: Faulted) -> None:
            under = gathered(_evidence_as_list(line.plain), FIND_GROUPS)
            plain = under.plain
            proofs = plain.get("evidence")
            has_notes = isinstance(proofs, list) and any(isinstance(one, dict) for one in proofs)
            given = as_given(plain, nested=("statements", *(("evidence",) if has_notes else ())))
            by_name(given, "supplier", "supplier_id", suppliers, "There is no supplier “{}”; enter it first.", faults)
            capture = str(given.get("capture_id") or "")
            if faults or (capture and find_of_capture(session, capture) is not None):
                return
            is_shown = bool(plain.get("statements"))
            number = log_find_in(session, store, files, actor, Typed(given), is_shown=is_shown)
            under_find(session, store, actor, number, plain, faults, has_notes=has_notes)
            under.in_columns(faults)

        return taking.all(lines, take)


def _evidence_as_list(plain: Mapping[str, Any]) -> dict[str, Any]:
    """A find's line; words of evidence beside columns of it are made entries like those, with the note they share."""
    words = plain.get("evidence")
    if not isinstance(words, str) or not any(is_column(key, FIND_GROUPS[1:]) for key in plain):
        return dict(plain)
    rest = {key: value for key, value in plain.items() if key != "evidence_note"}
    note = plain.get("evidence_note")
    return {**rest, "evidence": [{"kind": word, "note": note} for word in _parts(words)]}


class Taking:
    """One import: which columns are known, and what went wrong in which line.

    `is_numbered` knows the columns of what stands under a record. `has_states` where `state` is a field like others.
    """

    def __init__(
        self,
        known: frozenset[str],
        is_numbered: Callable[[str], bool],
        *,
        skip_unknown: bool,
        has_states: bool = False,
    ) -> None:
        self.known = known
        self.is_numbered = is_numbered
        self.skip_unknown = skip_unknown
        self.has_states = has_states
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
            if key not in self.known and key not in OF_THE_EXPORT and not self.is_numbered(key)
        ]
        state = line.plain.get("state") or "open"
        if state != "open" and not self.has_states:
            faults["state"] = f"“{str(state)[:40]}”: only what is open is taken in; take this line out."
        if unknown and not self.skip_unknown:
            for key in unknown:
                faults[key[:60]] = f"is not known here; known are {', '.join(sorted(self.known))}."
        self.left_out |= dict.fromkeys(unknown)
        dropped = OF_THE_EXPORT.difference(self.known).union(unknown)
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
            given[key] = _places(text) if key in _PAIRED else _parts(text) if key in _SEVERAL else text
    if faults:
        raise Faults(faults)
    return given


def _parts(text: str) -> list[str]:
    return [part for part in _places(text) if part]


def _places(text: str) -> list[str]:
    return [part.strip() for part in text.split(";")]


def _read_from_text(given: dict[str, str | list[str]], lexicon: Lexicon, *, has_sizes: bool) -> None:
    """What a line does not say itself is read out of its text, where it has no item of its own.

    A line that names characteristics in columns (`has_sizes`) names all of them.
    """
    text = given.get("text")
    if given.get("item") or not isinstance(text, str) or not text.strip():
        return
    read = read_opening(text, lexicon).given()
    same_class = given.get("part_class", read["part_class"]) == read["part_class"]
    for key, value in read.items():
        if _READ_FROM_TEXT.fullmatch(key) and (has_sizes or not same_class):
            continue
        given.setdefault(key, value)
