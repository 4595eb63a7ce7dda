"""Import and export of needs and finds, as CSV or JSON lines.

A line has the fields of the form; a need's line may hold nothing but `text`
(and a `ref` of the user's own), which is then read as the one-line opening.
An import is all or nothing: with one bad line nothing is kept, and every bad
line is named with its number.
"""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlmodel import Session, col, select

from server.domain.errors import Faults
from server.domain.plain import as_plain
from server.domain.register import Actor
from server.domain.specification import Use
from server.services.finds import log_find_in
from server.services.needs import open_need_in
from server.services.opening import read_opening
from server.services.typed import Typed
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import load_finds
from server.storage.log import write_log
from server.storage.needs import load_needs
from server.storage.tables import AeroplaneRow, FindRow, NeedRow

LONGEST_LINE = 100_000
CHUNK = 200


class BadLine(Faults):
    """Lines that could not be taken in: line number → sentence."""


def read_lines(text: str, kind: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """Numbered lines of a CSV (with a heading) or of JSON lines. Raises BadLine."""
    if kind == "csv":
        for number, row in enumerate(csv.DictReader(io.StringIO(text)), start=2):
            if None in row:
                raise BadLine({str(number): "has more cells than the heading."})
            yield number, {key: value for key, value in row.items() if value}
        return
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        if len(line) > LONGEST_LINE:
            raise BadLine({str(number): f"has over {LONGEST_LINE} characters."})
        try:
            plain = json.loads(line)
        except ValueError as error:
            raise BadLine({str(number): f"is no JSON: {error}"}) from error
        if not isinstance(plain, dict):
            raise BadLine({str(number): "is no JSON object."})
        yield number, plain


def as_given(plain: Mapping[str, Any]) -> dict[str, str | list[str]]:
    """A line's values as a form's texts."""
    given: dict[str, str | list[str]] = {}
    for key, value in plain.items():
        if value is None:
            continue
        if isinstance(value, list):
            given[key] = [str(one) for one in value if not isinstance(one, dict | list)]
        elif isinstance(value, bool):
            given[key] = "yes" if value else ""
        elif not isinstance(value, dict):
            given[key] = str(value)
    return given


def import_needs(
    store: Store, actor: Actor, lines: Iterable[tuple[int, dict[str, Any]]], *, aeroplane: int | None = None
) -> int:
    """Open a need for each line; how many. Raises BadLine with every bad line; then nothing was kept."""
    faults: dict[str, str] = {}
    count = 0
    with store.write() as session:
        plane = aeroplane or _only_aeroplane(session, store, actor)
        for number, plain in lines:
            given = as_given(plain)
            if set(given) <= {"text", "ref"} and given.get("text"):
                given = {**read_opening(str(given["text"])).given(), **given}
            if "aeroplane_id" not in given and plane is not None:
                given["aeroplane_id"] = str(plane)
            try:
                open_need_in(session, store, actor, given)
            except Faults as refused:
                faults[str(number)] = str(refused)
            count += 1
        if faults:
            raise BadLine(faults)
    return count


def _only_aeroplane(session: Session, store: Store, actor: Actor) -> int | None:
    """The aeroplane to enter under where a line names none: the only one, or a new one still to be named."""
    rows = list(session.exec(select(AeroplaneRow).where(col(AeroplaneRow.withdrawn_at).is_(None)).limit(2)))
    if len(rows) == 1:
        return rows[0].id
    if rows:
        return None
    # the strictest use until the keeper says otherwise
    row = AeroplaneRow(
        type="Aeroplane still to be named",
        use=Use.CERTIFIED.value,
        note="Entered by an import that named no aeroplane. Held to the strictest use until somebody says what it is.",
    )
    session.add(row)
    session.flush()
    write_log(session, store.clock(), actor, "entered an aeroplane still to be named", f"aeroplane/{row.id}")
    return row.id


def import_finds(store: Store, files: Files, actor: Actor, lines: Iterable[tuple[int, dict[str, Any]]]) -> int:
    """Log a find for each line; how many. Raises BadLine with every bad line; then nothing was kept."""
    faults: dict[str, str] = {}
    count = 0
    with store.write() as session:
        for number, plain in lines:
            try:
                log_find_in(session, store, files, actor, Typed(as_given(plain)))
            except Faults as refused:
                faults[str(number)] = str(refused)
            count += 1
        if faults:
            raise BadLine(faults)
    return count


NEED_FIELDS = (
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
    "still_wanted",
    "wrong",
    "role",
    "step",
    "touches",
    "designations",
    "note",
    "state",
    "text",
)
FIND_FIELDS = (
    "number",
    "ref",
    "text",
    "part_class",
    "origin",
    "supplier",
    "condition",
    "quantity_text",
    "smallest_lot",
    "price_text",
    "lead_time",
    "bin",
    "note",
    "logged_by",
    "logged_at",
)


def export_needs(store: Store, kind: str) -> Iterator[str]:
    """All needs, a line each: CSV of the main fields, or JSON lines with everything under them."""
    with store.read() as session:
        numbers = [number for number in session.exec(select(NeedRow.id).order_by(col(NeedRow.id))) if number]
        if kind == "csv":
            yield _csv_line(NEED_FIELDS)
        for start in range(0, len(numbers), CHUNK):
            for need in load_needs(session, numbers[start : start + CHUNK]):
                plain = as_plain(need)
                if kind == "csv":
                    flat = {
                        **plain,
                        "number": need.id,
                        "aeroplane": need.aeroplane.label,
                        "step": need.step.name if need.step else "",
                        "wrong": "; ".join(need.wrong),
                        "touches": ", ".join(need.touches),
                        "designations": "; ".join(one.text for one in need.designations),
                        "state": "withdrawn" if need.withdrawn_reason else "met" if need.is_met else "open",
                    }
                    yield _csv_line([flat[name] for name in NEED_FIELDS])
                else:
                    yield json.dumps(plain, ensure_ascii=False) + "\n"


def export_finds(store: Store, kind: str) -> Iterator[str]:
    """All finds, a line each: CSV of the main fields, or JSON lines with everything under them."""
    with store.read() as session:
        numbers = [number for number in session.exec(select(FindRow.id).order_by(col(FindRow.id))) if number]
        if kind == "csv":
            yield _csv_line(FIND_FIELDS)
        for start in range(0, len(numbers), CHUNK):
            for find in load_finds(session, numbers[start : start + CHUNK]):
                plain = as_plain(find)
                if kind == "csv":
                    flat = {**plain, "number": find.id, "supplier": find.supplier.name if find.supplier else ""}
                    yield _csv_line([flat[name] for name in FIND_FIELDS])
                else:
                    yield json.dumps(plain, ensure_ascii=False) + "\n"


FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a cell begins with that a spreadsheet would work out."""


def _csv_line(cells: Iterable[Any]) -> str:
    """One CSV line; a cell that a spreadsheet would take for a formula is marked as text."""
    written = io.StringIO()
    safe = [f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA) else cell for cell in cells]
    csv.writer(written, lineterminator="\n").writerow(["" if cell is None else cell for cell in safe])
    return written.getvalue()
