"""Import and export: needs and finds, and the aeroplanes, suppliers and steps that they lean on."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from server.domain.errors import Faults, Refused
from server.domain.register import Actor, UserRole
from server.jobs.register import WrongUsage, opened, settings_of

_MOST_SHOWN = 20
"""Bad lines named one by one on a terminal."""


def take_in(parsed: argparse.Namespace) -> int:
    """Import needs, finds, aeroplanes, suppliers or steps."""
    from server.services.lines import BadLine, decoded, guess_kind, read_lines

    settings = settings_of(parsed)
    name = "" if parsed.file == "-" else parsed.file
    content = sys.stdin.buffer.read() if parsed.file == "-" else Path(parsed.file).read_bytes()
    text = decoded(content, parsed.encoding or "")
    lines = read_lines(text, parsed.format or guess_kind(text, name))
    with opened(settings) as store:
        actor = _actor(store, parsed.as_account)
        try:
            taken = _taken(parsed, store, actor, lines, settings)
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


def _taken(parsed: argparse.Namespace, store: Any, actor: Actor, lines: Any, settings: Any) -> Any:
    from server.services.exchange import import_finds, import_needs
    from server.services.exchange_yard import IMPORTS, import_steps
    from server.storage.files import Files

    if parsed.what == "finds":
        return import_finds(store, Files(settings.files), actor, lines, skip_unknown=parsed.skip_unknown)
    if parsed.what in IMPORTS:
        return IMPORTS[parsed.what](store, actor, lines, skip_unknown=parsed.skip_unknown)
    entering = import_needs if parsed.what == "needs" else import_steps
    return entering(store, actor, lines, aeroplane=parsed.aeroplane, skip_unknown=parsed.skip_unknown)


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
    """Export needs, finds, aeroplanes, suppliers or steps; UTF-8. Records go out as an archive of their own."""
    if parsed.open and parsed.what not in {"needs", "finds"}:
        raise WrongUsage("--open is for needs and finds; nothing else is open or closed.")
    if parsed.what == "records":
        from server.jobs.proving import write_records

        return write_records(parsed)
    from server.services.exchange_yard import export_yard
    from server.services.exporting import export_finds, export_needs

    kind = parsed.format or ("csv" if parsed.file.casefold().endswith(".csv") else "jsonl")
    with opened(settings_of(parsed)) as store:
        if parsed.what in {"needs", "finds"}:
            writing = export_needs if parsed.what == "needs" else export_finds
            lines = writing(store, kind, open_only=parsed.open)
        else:
            lines = export_yard(store, parsed.what, kind)
        if parsed.file == "-":
            for line in lines:
                sys.stdout.buffer.write(line.encode())
            sys.stdout.buffer.flush()
        else:
            with Path(parsed.file).open("w", encoding="utf-8", newline="") as out:
                out.writelines(lines)
    return 0
