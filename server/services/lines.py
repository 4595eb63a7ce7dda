"""Lines of a file to take in: CSV with a heading, JSON lines, or one JSON list; whatever is wrong, by line number."""

import codecs
import csv
import io
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from server.domain.errors import Faults, Refused

LONGEST_LINE = 100_000
"""Characters a line may have."""
KINDS = ("csv", "jsonl")
GUARDED = "=+-@\t\r＝＋－＠"
"""First signs of a cell that a spreadsheet would take for a formula; an export puts an apostrophe before them."""

_BOMS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


class BadLine(Faults):
    """Lines that could not be taken in: line number → sentence."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line: its number in the file, what it holds, and what was wrong with it ("" for nothing)."""

    number: int
    plain: dict[str, Any] = field(default_factory=dict)
    fault: str = ""


def decoded(content: bytes, encoding: str = "") -> str:
    """The text of a file. Raises Refused, naming the place, where it is in another encoding than it should be."""
    marked = next((name for mark, name in _BOMS if content.startswith(mark)), "")
    name = encoding or marked or "utf-8"
    if encoding in {"utf-8", "utf8"} and marked == "utf-8-sig":
        name = marked
    try:
        return content.decode(name)
    except LookupError:
        raise Refused(f"There is no encoding “{encoding}”.") from None
    except UnicodeDecodeError as wrong:
        line = content.count(b"\n", 0, wrong.start) + 1
        byte = content[wrong.start]
        raise Refused(
            f"Line {line} is not {name.removesuffix('-sig').upper()} (byte 0x{byte:02x}). Save the file as UTF-8, "
            "or name its encoding with --encoding, such as --encoding cp1252."
        ) from wrong


def guess_kind(text: str, name: str = "") -> str:
    """ "csv" or "jsonl", by the file's ending, else by its first sign."""
    low = name.casefold()
    if low.endswith((".csv", ".tsv", ".txt")):
        return "csv"
    if low.endswith((".jsonl", ".ndjson", ".json")):
        return "jsonl"
    return "jsonl" if text.lstrip()[:1] in {"{", "["} else "csv"


def read_lines(text: str, kind: str) -> Iterator[Line]:
    """The lines of a text. Raises BadLine for a CSV heading that can't be used."""
    return _csv_lines(text) if kind == "csv" else _json_lines(text)


def _json_lines(text: str) -> Iterator[Line]:
    if text.lstrip().startswith("["):
        yield from _json_list(text)
        return
    # only a real line end parts lines: a JSON text may hold other signs that break lines
    for number, line in enumerate(text.split("\n"), start=1):
        if not line.strip():
            continue
        if len(line) > LONGEST_LINE:
            yield Line(number, fault=f"has {len(line)} characters; there is room for {LONGEST_LINE}.")
            continue
        try:
            plain = json.loads(line)
        except (ValueError, RecursionError) as error:
            yield Line(number, fault=f"is no JSON: {_short(error)}")
            continue
        yield _as_line(number, plain)


def _json_list(text: str) -> Iterator[Line]:
    try:
        several = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadLine({"": f"The file is no JSON: {_short(error)}"}) from error
    for number, plain in enumerate(several, start=1):
        yield _as_line(number, plain)


def _as_line(number: int, plain: Any) -> Line:
    return Line(number, plain) if isinstance(plain, dict) else Line(number, fault="is no JSON object.")


def _short(error: Exception) -> str:
    return str(error)[:120] or type(error).__name__


def _csv_lines(text: str) -> Iterator[Line]:
    body = io.StringIO(text, newline="")
    reader = csv.reader(body, delimiter=_delimiter(text), strict=True)
    heading: list[str] = []
    number = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield Line(number, fault=f"is no CSV: {_short(error)}. Nothing behind it was read.")
            return
        at, number = number, reader.line_num + 1
        if not any(cell.strip() for cell in cells):
            continue
        if not heading:
            heading = _heading(cells)
            continue
        if sum(map(len, cells)) > LONGEST_LINE:
            yield Line(at, fault=f"has over {LONGEST_LINE} characters.")
        elif len(cells) > len(heading):
            yield Line(at, fault=f"has {len(cells)} cells, the heading {len(heading)}.")
        else:
            yield Line(at, {key: unguarded(cell) for key, cell in zip(heading, cells, strict=False) if cell.strip()})


def _delimiter(text: str) -> str:
    first = next((line for line in text.splitlines() if line.strip()), "")
    return max(",;\t", key=first.count)


def _heading(cells: list[str]) -> list[str]:
    names = [cell.strip().casefold().replace(" ", "_") for cell in cells]
    faults = [f"column {place} has no name" for place, name in enumerate(names, start=1) if not name]
    faults += [f"the column “{name}” stands twice" for name in dict.fromkeys(names) if name and names.count(name) > 1]
    if faults:
        raise BadLine({"1": f"The heading can't be used: {'; '.join(faults)}."})
    return names


def guarded(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell[:1] and cell[0] in GUARDED else cell


def unguarded(cell: str) -> str:
    """The cell as it was before `guarded`."""
    return cell[1:] if cell[:1] == "'" and cell[1:2] and cell[1] in GUARDED else cell
