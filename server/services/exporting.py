"""Export of needs and finds, as CSV or JSON lines, in the fields that an import takes.

CSV holds what stands under a record in numbered columns (`flat`); as many as the fullest record fills.
"""

import csv
import io
import json
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from sqlmodel import Session, col, select

from server.domain.parts import GENERAL
from server.domain.register import UNIDENTIFIED, Find, Need
from server.services.flat import FIND_GROUPS, NEED_GROUPS, Group, columns, flat
from server.services.lines import guarded
from server.services.writing import write_joint, write_requirement, write_statement
from server.storage.engine import Store
from server.storage.finds import load_finds
from server.storage.needs import load_needs
from server.storage.tables import FindRow, NeedRow

CHUNK = 200

NEED_COLUMNS = (
    "number",
    "ref",
    "item",
    "part_class",
    "aeroplane",
    "zone",
    "side",
    "station",
    "arm",
    "chapter",
    "quantity_text",
    "quantity",
    "still_wanted",
    "wrong",
    "role",
    "step",
    "touches",
    "note",
    "owner",
    "state",
    "text",
)
FIND_COLUMNS = (
    "number",
    "ref",
    "text",
    "part_class",
    "origin",
    "supplier",
    "condition",
    "quantity_text",
    "quantity",
    "smallest_lot",
    "price_text",
    "lead_time",
    "bin",
    "finish_to_come",
    "note",
    "state",
    "logged_by",
    "logged_at",
)


def export_needs(store: Store, kind: str, *, open_only: bool = False) -> Iterator[str]:
    """All needs with everything under them, a line each, as CSV or JSON lines; `open_only` as an import takes them."""
    with store.read() as session:
        plain = _needs(session, open_only=open_only)
        yield from csv_lines(plain, NEED_COLUMNS, NEED_GROUPS) if kind == "csv" else json_lines(plain)


def export_finds(store: Store, kind: str, *, open_only: bool = False) -> Iterator[str]:
    """All finds with everything under them, a line each, as CSV or JSON lines; `open_only` as an import takes them."""
    with store.read() as session:
        plain = _finds(session, open_only=open_only)
        yield from csv_lines(plain, FIND_COLUMNS, FIND_GROUPS) if kind == "csv" else json_lines(plain)


def _needs(session: Session, *, open_only: bool) -> Iterator[dict[str, Any]]:
    wanted = select(NeedRow.id).order_by(col(NeedRow.id))
    if open_only:
        wanted = wanted.where(col(NeedRow.met_at).is_(None), col(NeedRow.withdrawn_at).is_(None))
    for some in _chunks([number for number in session.exec(wanted) if number]):
        yield from map(plain_need, load_needs(session, some))


def _finds(session: Session, *, open_only: bool) -> Iterator[dict[str, Any]]:
    wanted = select(FindRow.id).order_by(col(FindRow.id))
    if open_only:
        wanted = wanted.where(col(FindRow.withdrawn_at).is_(None))
    for some in _chunks([number for number in session.exec(wanted) if number]):
        yield from map(plain_find, load_finds(session, some))


def json_lines(several: Iterable[dict[str, Any]]) -> Iterator[str]:
    """Each record as one line of JSON."""
    for plain in several:
        yield json.dumps(plain, ensure_ascii=False) + "\n"


def csv_lines(several: Iterable[dict[str, Any]], fixed: Sequence[str], groups: Sequence[Group] = ()) -> Iterator[str]:
    """A heading and a line for each record: the fixed columns, then those of what stands under the records.

    Which of those there are is known at the last record only: the cells wait in a file that nobody sees.
    """
    used: set[str] = set()
    with tempfile.TemporaryFile("w+", encoding="utf-8") as waiting:
        for plain in several:
            under = flat(plain, groups)
            used.update(under)
            waiting.write(json.dumps({name: _flat_cell(plain[name]) for name in fixed} | under) + "\n")
        names = [*fixed, *columns(used, groups)]
        yield _csv_line(names)
        waiting.seek(0)
        for line in waiting:
            cells = json.loads(line)
            yield _csv_line([cells.get(name) for name in names])


def _flat_cell(value: Any) -> Any:
    if isinstance(value, list):
        return "; ".join(value)
    if isinstance(value, bool):
        return "yes" if value else ""
    return value


def _chunks(numbers: Sequence[int]) -> Iterator[Sequence[int]]:
    for start in range(0, len(numbers), CHUNK):
        yield numbers[start : start + CHUNK]


def plain_need(need: Need) -> dict[str, Any]:
    """A need in an import's fields, with everything under it."""
    return {
        "number": need.id,
        "ref": need.ref,
        "state": "withdrawn" if need.withdrawn_reason else "met" if need.is_met else "open",
        "item": need.item,
        "text": need.text,
        "part_class": need.part_class,
        "aeroplane": need.aeroplane.label,
        "zone": need.zone,
        "side": need.side,
        "station": need.station,
        "arm": need.arm,
        "chapter": need.chapter,
        "quantity_text": need.quantity_text,
        "quantity": need.quantity,
        "still_wanted": need.still_wanted,
        "wrong": [str(one) for one in need.wrong],
        "role": need.role.value,
        "step": need.step.name if need.step else "",
        "touches": ", ".join(need.touches),
        "designations": [
            {"text": one.text, "kind": one.kind.value, "reading": one.reading.value, "note": one.note}
            for one in need.designations
        ],
        "requirements": [write_requirement(one, need.part_class) for one in need.requirements],
        "joint": write_joint(need.joint) if need.joint is not None else None,
        "enquiries": [
            {
                "kind": one.kind.value,
                "supplier": one.supplier,
                "text": one.text,
                "answer": one.answer,
                "on": one.on.isoformat() if one.on else "",
                "by": one.by,
            }
            for one in need.enquiries
        ],
        "note": need.note,
        "owner": need.owner,
        "version": need.version,
        "created_at": need.created_at.isoformat(),
    }


def plain_find(find: Find) -> dict[str, Any]:
    """A find in an import's fields, with everything under it."""
    return {
        "number": find.id,
        "ref": find.ref,
        "state": "withdrawn" if find.withdrawn_reason else "open",
        # photographs stay behind: where only they stood for the words, the word that is shown goes out
        "text": find.text or ("" if find.statements else UNIDENTIFIED),
        "part_class": find.part_class,
        "origin": find.origin.value if find.origin else "",
        "supplier": find.supplier.name if find.supplier else "",
        "condition": find.condition,
        "quantity_text": find.quantity_text,
        "quantity": find.quantity,
        "smallest_lot": find.smallest_lot,
        "price_text": find.price_text,
        "lead_time": find.lead_time,
        "bin": find.bin,
        "finish_to_come": find.finish_to_come,
        "statements": [write_statement(one, find.part_class or GENERAL) for one in find.statements],
        "evidence": [{"kind": one.kind.value, "note": one.note} for one in find.proofs],
        "note": find.note,
        "version": find.version,
        "logged_by": find.logged_by,
        "logged_at": find.logged_at.isoformat(),
    }


def _csv_line(cells: Iterable[Any]) -> str:
    """One CSV line; a cell that a spreadsheet would take for a formula is marked as text."""
    written = io.StringIO()
    safe = ["" if cell is None else guarded(cell) if isinstance(cell, str) else cell for cell in cells]
    csv.writer(written, lineterminator="\n").writerow(safe)
    return written.getvalue()
