"""Commands that prove the record: verify, seal-key, export records."""

import argparse
import json
import re
import sys
from pathlib import Path
from typing import Any

from server.domain.errors import Refused
from server.domain.register import record_number
from server.domain.seals import is_key
from server.jobs.register import WrongUsage, opened, settings_of


def verify(parsed: argparse.Namespace) -> int:
    """Check every signed record of the register, or an exported file; exit code 1 where something does not hold."""
    keys = [read_public_key(one) for one in parsed.public_key or ()]
    kept = [read_digest(one) for one in parsed.has or ()]
    if parsed.file:
        from server.services.exported import check_export

        if kept:
            raise WrongUsage("--has asks the register; leave FILE out.")
        checked = check_export(Path(parsed.file), keys)
        return _said(parsed, checked.records, checked.broken, checked.notes)
    from server.services.verifying import last_record
    from server.services.verifying import verify as walk
    from server.storage.files import Files

    settings = settings_of(parsed)
    with opened(settings) as store:
        count, broken = walk(store, Files(settings.files), keys, kept)
        last = last_record(store)
    if last is None or kept or broken:
        return _said(parsed, count, broken, [])
    number, digest = last
    note = (
        f"The last is {record_number(number)}, digest {digest}. Kept elsewhere, it shows later that none was cut off:"
    )
    return _said(parsed, count, broken, [f"{note} makegood verify --has {digest}"])


def _said(parsed: argparse.Namespace, count: int, broken: list[Any], notes: list[str]) -> int:
    if parsed.json:
        faults = [{"record": one.record, "what": one.what} for one in broken]
        print(json.dumps({"records": count, "broken": faults, "notes": notes}, ensure_ascii=False))
        return 1 if broken else 0
    for note in notes:
        print(note, file=sys.stderr)
    if not broken:
        said = f"{count} {'record' if count == 1 else 'records'}, every one as it was signed."
        print(said if count else "No record has been signed yet.")
        return 0
    first, *others = broken
    print(f"The first that does not hold: {first.record}: {first.what}", file=sys.stderr)
    for one in others:
        print(f"{one.record}: {one.what}", file=sys.stderr)
    return 1


def read_public_key(given: str) -> str:
    """A public key as typed, or out of a file. Raises WrongUsage."""
    text = given.strip()
    if text and not is_key(text) and Path(text).is_file():
        text = Path(text).read_text(encoding="utf-8", errors="replace").strip()
    if not is_key(text):
        raise WrongUsage(f"--public-key: “{given}” is neither a key (64 signs, 0 to 9 and a to f) nor a file with one.")
    return text


def read_digest(given: str) -> str:
    """A record's digest as typed. Raises WrongUsage."""
    text = "".join(given.split()).casefold()
    if not re.fullmatch(r"[0-9a-f]{64}", text):
        raise WrongUsage(f"--has: “{given}” is no digest (64 signs, 0 to 9 and a to f, as the record prints it).")
    return text


def seal_key(parsed: argparse.Namespace) -> int:
    """Print the register's public keys, the newest last; with --new make another where the key file is lost."""
    from server.services.seals import public_keys, replace_key, seal_all

    with opened(settings_of(parsed)) as store:
        if parsed.new:
            replace_key(store)
        else:
            seal_all(store)  # makes the key where there never was one
        with store.read() as session:
            keys = public_keys(session)
    if parsed.json:
        print(json.dumps({"public_keys": keys}))
    else:
        print("\n".join(keys))
    return 0


def write_records(parsed: argparse.Namespace) -> int:
    """Write all records out, with everything they rest on, into a new folder or one zip."""
    from server.services.archive import archive_files, write_folder, zip_of
    from server.services.house_rules import shop_of
    from server.storage.files import Files
    from server.web.paper import Imprint, record_drawings, record_pdf

    if parsed.file == "-":
        raise WrongUsage("export records needs a new folder, or FILE.zip")
    settings = settings_of(parsed)
    files, target = Files(settings.files), Path(parsed.file)
    is_zip = target.suffix.casefold() == ".zip"
    if is_zip and target.exists():
        raise Refused(f"{target} is there already; records are never written over others.")
    with opened(settings) as store:
        shop = shop_of(store)
        imprint = Imprint(shop.name, shop.is_demo, "the command line", store.clock(), zone=shop.zone)
        held = archive_files(
            store, files, lambda one: {".pdf": record_pdf(one, files, imprint), **record_drawings(one)}
        )
        if is_zip:
            target.write_bytes(zip_of(held, store.clock()))
        else:
            write_folder(held, target)
    print(f"All records are in {target}. Prove them with: makegood verify {target} --public-key KEY")
    return 0
