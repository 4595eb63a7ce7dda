"""A find against a need out of a file, without any register; examples and schemas of such files."""

import argparse
import json
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from server.domain.errors import Faults, Refused
from server.domain.verdict import Sheet
from server.jobs.register import WrongUsage

LONGEST_LINE = 1_000_000
"""Bytes that one line of a stream may have."""


def check(parsed: argparse.Namespace) -> int:
    """Check files without any register; print examples and schemas."""
    if parsed.classes:
        return _classes(as_json=parsed.json)
    if parsed.example:
        from server.services.check_file import example_of

        return _print(example_of(parsed.example))
    if parsed.schema:
        from server.services.check_schema import schema_of

        return _print(schema_of(parsed.schema))
    if not parsed.file:
        raise WrongUsage("check needs a FILE, or -, or --example CLASS, --schema CLASS, --classes")
    if parsed.file == "-":
        return _check_stream()
    return _check_file(Path(parsed.file), as_json=parsed.json)


def _print(plain: Any) -> int:
    print(json.dumps(plain, indent=2, ensure_ascii=False))
    return 0


def _classes(*, as_json: bool) -> int:
    from server.domain.parts import part_classes

    every = part_classes().values()
    if as_json:
        return _print([{"key": one.key, "name": one.name, "family": one.family} for one in every])
    for one in every:
        print(f"{one.key:<22} {one.name}")
    return 0


def _check_file(path: Path, *, as_json: bool) -> int:
    from server.services.lines import decoded

    text = decoded(path.read_bytes())
    try:
        plain = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Refused(f"{path} is no JSON: {str(error)[:200] or 'nested too deeply'}") from error
    try:
        sheet = checked(plain)
    except Faults as faults:
        if as_json:
            _print({"faults": faults.faults})
        raise
    if as_json:
        return _print(sheet_json(sheet))
    print(sheet_text(sheet))
    return 0


def checked(plain: Any) -> Sheet:
    """The sheet of a check file. Raises Faults with every fault by its path."""
    from server.domain.equivalence import compare
    from server.services.check_file import read_check

    wanted, offered = read_check(plain)
    try:
        return compare(wanted, offered)
    except ArithmeticError as error:
        raise Faults({"": f"The figures can't be computed with: {error}"}) from error


def _check_stream() -> int:
    """One JSON a line in, one JSON a line out; a bad line answers with its faults and the rest goes on."""
    faulty = False
    for number, line in _pieces(sys.stdin.buffer):
        ref: dict[str, Any] = {}
        try:
            plain = _line(line)
            if isinstance(plain, Mapping) and "ref" in plain:
                ref = {"ref": plain["ref"]}
            said = sheet_json(checked(plain))
        except Faults as faults:
            said, faulty = {"line": number, "faults": faults.faults}, True
        print(json.dumps({**ref, **said}, ensure_ascii=False), flush=True)
    return 1 if faulty else 0


def _pieces(lines: Iterable[bytes]) -> Iterator[tuple[int, bytes]]:
    """Every line that is not empty, with its number; an object over several lines, as --example prints it, is one.

    Such an object opens with “{” alone on a line, goes on indented, and ends with “}” alone. A line that is
    neither ends it, so that one torn object takes nothing of what follows with it.
    """
    first, held = 0, b""
    for number, line in enumerate(lines, start=1):
        bare = line.rstrip()
        if held:
            inside = line[:1].isspace() or not bare
            if (inside and len(held) <= LONGEST_LINE) or bare == b"}":
                held += line
                if inside:
                    continue
            yield first, held
            held = b""
            if bare == b"}":
                continue
        if bare == b"{":
            first, held = number, line
        elif bare:
            yield number, line
    if held:
        yield first, held


def _line(line: bytes) -> Any:
    if len(line) > LONGEST_LINE:
        raise Faults({"": f"The line has {len(line)} bytes; there is room for {LONGEST_LINE}."})
    try:
        return json.loads(line.removeprefix(b"\xef\xbb\xbf"))
    except (ValueError, RecursionError) as error:
        raise Faults({"": f"This is no JSON: {str(error)[:200] or 'nested too deeply'}"}) from error


def sheet_json(sheet: Sheet) -> dict[str, Any]:
    """A sheet as JSON: verdict first, then every row."""
    from server.domain.plain import as_plain

    plain: dict[str, Any] = as_plain(sheet)
    for row, made in zip(plain["rows"], sheet.rows, strict=True):
        row["needs_answer"] = made.needs_answer
        row["sources"] = [str(source) for source in made.sources]
    return {"verdict": plain["outcome"], **plain}


def sheet_text(sheet: Sheet) -> str:
    """A sheet as text for a terminal."""
    from server.domain.conformity import write_chance

    lines = [f"Will it work there: {str(sheet.outcome).upper()}"]
    if sheet.deciding_row:
        lines.append(f"Decided by: {sheet.deciding_row.label}")
    for row in sheet.rows:
        chance = "" if row.probability is None else f", chance that it conforms {write_chance(row.probability)}"
        lines += ["", f"{row.label}  [{row.verdict}{chance}; {row.weight}]"]
        lines += [f"  wanted   {row.wanted}", f"  offered  {row.offered}", f"  {row.sentence}"]
        for name, text in (("margin", row.margin), ("assumed", row.assumption), ("caution", row.caution)):
            if text:
                lines.append(f"  {name}: {text}")
        lines += [f"  rule: {source}" for source in row.sources]
    if sheet.measure_next:
        lines += ["", "Measure next:"]
        lines += [f"  {place}. {one.what} ({one.instrument})" for place, one in enumerate(sheet.measure_next, 1)]
    if sheet.cautions:
        lines += ["", *(f"Caution: {said}" for said in sheet.cautions)]
    lines += ["", f"Engine {sheet.engine}, handbook {sheet.handbook}. The tool computes; a person decides."]
    return "\n".join(lines)
