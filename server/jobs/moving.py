"""Import and export of needs and finds."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from server.domain.errors import Faults, Refused
from server.domain.register import Actor, UserRole
from server.jobs.register import opened, settings_of

_MOST_SHOWN = 20
"""Bad lines named one by one on a terminal."""


def take_in(parsed: argparse.Namespace) -> int:
    """Import needs or finds."""
    from server.services.exchange import import_finds, import_needs
    from server.services.lines import BadLine, decoded, guess_kind, read_lines
    from server.storage.files import Files

    settings = settings_of(parsed)
    name = "" if parsed.file == "-" else parsed.file
    content = sys.stdin.buffer.read() if parsed.file == "-" else Path(parsed.file).read_bytes()
    text = decoded(content, parsed.encoding or "")
    lines = read_lines(text, parsed.format or guess_kind(text, name))
    with opened(settings) as store:
        actor = _actor(store, parsed.as_account)
        try:
            if parsed.what == "needs":
                taken = import_needs(store, actor, lines, aeroplane=parsed.aeroplane, skip_unknown=parsed.skip_unknown)
            else:
                taken = import_finds(store, Files(settings.files), actor, lines, skip_unknown=parsed.skip_unknown)
        except BadLine as bad:
            if parsed.json:
                print(json.dumps({"imported": 0, "faults": bad.faults}, ensure_ascii=False))
            raise Faults(_shown(bad.faults)) from bad
    if taken.left_out:
        print(f"Left out, as nobody knows them: {', '.join(taken.left_out)}", file=sys.stderr)
    if parsed.json:
        print(json.dumps({"imported": taken.count, "left_out": list(taken.left_out)}, ensure_ascii=False))
    else:
        print(f"{taken.count} {parsed.what} taken in.")
    return 0


def _shown(faults: dict[str, str]) -> dict[str, str]:
    shown = {f"line {line}" if line else "": said for line, said in list(faults.items())[:_MOST_SHOWN]}
    if len(faults) > _MOST_SHOWN:
        shown["and more"] = f"{len(faults) - _MOST_SHOWN} further lines are bad; --json names them all."
    shown["nothing was taken in"] = "put these right and import the whole file again."
    return shown


def _actor(store: Any, name: str | None) -> Actor:
    """The account an import is done as: the one named, else the first keeper."""
    from server.storage.accounts import actor_of, find_account, list_accounts

    with store.read() as session:
        if name:
            row = find_account(session, name)
            if row is None or not row.is_active:
                raise Refused(f"There is no account “{name}”, or it is shut.")
            return actor_of(row)
        keepers = (one for one in list_accounts(session) if one.role == UserRole.KEEPER.value and one.is_active)
        row = next(keepers, None)
        if row is None:
            raise Refused("There is no account to do it as; name one with --as.")
        return actor_of(row)


def write_out(parsed: argparse.Namespace) -> int:
    """Export needs or finds; UTF-8. Records go out as an archive of their own."""
    if parsed.what == "records":
        from server.jobs.proving import write_records

        return write_records(parsed)
    from server.services.exporting import export_finds, export_needs

    kind = parsed.format or ("csv" if parsed.file.casefold().endswith(".csv") else "jsonl")
    with opened(settings_of(parsed)) as store:
        lines = (export_needs if parsed.what == "needs" else export_finds)(store, kind)
        if parsed.file == "-":
            for line in lines:
                sys.stdout.buffer.write(line.encode())
            sys.stdout.buffer.flush()
        else:
            with Path(parsed.file).open("w", encoding="utf-8", newline="") as out:
                out.writelines(lines)
    return 0
