"""What each command does. Everything slow to import is imported where it is used."""

import argparse
import getpass
import json
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from server.domain.errors import Faults, Refused
from server.settings import MIGRATIONS, Settings, read_settings

Command = Callable[[argparse.Namespace], int]


class NoRegister(Refused):
    """There is no register in the data folder."""


def settings_of(parsed: argparse.Namespace) -> Settings:
    """The settings of this command."""
    settings = read_settings(folder=getattr(parsed, "data", None))
    port = getattr(parsed, "port", None) or settings.port
    host = getattr(parsed, "host", settings.host)
    if not 0 < port < 65536:
        raise ValueError(f"--port is {port}; a port is a number from 1 to 65535")
    return Settings(settings.folder, settings.database, host, port, settings.secure_cookies)


def open_store(settings: Settings) -> Any:
    """The store of an existing register, at this version. Raises NoRegister."""
    from server.storage.engine import Store, make_engine
    from server.storage.migrate import is_current

    if not settings.database and not (settings.folder / "register.sqlite3").exists():
        raise NoRegister(f"There is no register in {settings.folder}. Make one with: makegood init")
    engine = make_engine(settings.database_url)
    if not is_current(engine, MIGRATIONS):
        engine.dispose()
        raise NoRegister("The database is of another version. Bring it up with: makegood upgrade")
    return Store(engine)


def make_store(settings: Settings) -> Any:
    """A store over a new or older database, brought to this version."""
    from server.storage.engine import Store, make_engine
    from server.storage.migrate import upgrade

    settings.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    engine = make_engine(settings.database_url)
    upgrade(engine, MIGRATIONS)
    return Store(engine)


def run_server(settings: Settings, store: Any) -> int:
    """Listen until stopped."""
    import uvicorn

    from server.app import create_app

    app = create_app(settings, store)
    uvicorn.run(app, host=settings.host, port=settings.port, log_level="warning", server_header=False)
    return 0


def serve(parsed: argparse.Namespace) -> int:
    """Serve the register of the data folder."""
    settings = settings_of(parsed)
    store = open_store(settings)
    _no_demo_outside(settings, store)
    print(f"Makegood listens on http://{settings.host}:{settings.port}/  (stop with Ctrl-C)", flush=True)
    return run_server(settings, store)


def _no_demo_outside(settings: Settings, store: Any) -> None:
    """A demonstration register, with its known passwords, is served on the loopback address only."""
    from server.storage.log import read_setting

    with store.read() as session:
        is_demo = bool(read_setting(session, "is_demo", False))
    if is_demo and settings.host not in {"127.0.0.1", "localhost", "::1"}:
        raise Refused("A demonstration register is served on the loopback address only: its passwords are printed.")


def demo(parsed: argparse.Namespace) -> int:
    """Load the demonstration register if it is not there, and serve it."""
    import shutil

    from server.jobs.load_seed import PASSWORD, load_seed
    from server.services.accounts import matches  # noqa: F401  (fails early where argon2 is missing)
    from server.storage.accounts import list_accounts
    from server.storage.files import Files
    from server.storage.log import read_setting

    settings = settings_of(parsed)
    if not getattr(parsed, "data", None) and not settings.database:
        settings = Settings(settings.folder / "demo", "", settings.host, settings.port, settings.secure_cookies)
    there = (settings.folder / "register.sqlite3").exists()
    if there:
        store = make_store(settings)
        with store.read() as session:
            if not read_setting(session, "is_demo", False):
                raise Refused(
                    f"{settings.folder} holds a register that is no demonstration; choose another with --data."
                )
        if parsed.fresh:
            store.close()
            shutil.rmtree(settings.folder)
            there = False
    if not there:
        print("Loading the demonstration register …", file=sys.stderr, flush=True)
        store = make_store(settings)
        try:
            load_seed(store, Files(settings.files))
        except BaseException:
            # half a demonstration is none: the next start loads it anew
            store.close()
            if not settings.database:
                shutil.rmtree(settings.folder)
            raise
    _no_demo_outside(settings, store)
    with store.read() as session:
        people = [(row.sign_in, row.name, row.role) for row in list_accounts(session)]
    print(f"Makegood, demonstration: http://{settings.host}:{settings.port}/   Everything in it is invented.")
    print(f"Accounts (password for each: {PASSWORD}):")
    for sign_in, name, role in people:
        print(f"  {sign_in:<12} {role:<9} {name}")
    sys.stdout.flush()
    if parsed.load_only:
        store.close()
        return 0
    return run_server(settings, store)


def init(parsed: argparse.Namespace) -> int:
    """Make an empty register and its first account."""
    from server.services.accounts import open_account
    from server.storage.accounts import list_accounts
    from server.storage.log import write_setting

    settings = settings_of(parsed)
    if not settings.database and (settings.folder / "register.sqlite3").exists():
        raise Refused(f"There is a register in {settings.folder} already.")
    password, generated = _new_password(ask=not parsed.no_input)
    store = make_store(settings)
    with store.read() as session:
        if list_accounts(session):
            raise Refused("This database holds a register already.")
    with store.write() as session:
        write_setting(session, "name", parsed.name)
        write_setting(session, "is_demo", False)
    open_account(store, None, {"sign_in": parsed.account, "name": parsed.account, "role": "keeper"}, password=password)
    store.close()
    said = {"folder": str(settings.folder), "account": parsed.account, "role": "keeper"}
    if generated:
        said["password"] = password
    if parsed.json:
        print(json.dumps(said))
    else:
        print(f"An empty register stands in {settings.folder}.")
        print(f"First account: {parsed.account} (keeper of the register)")
        if generated:
            print(f"Password, shown this once: {password}")
        print("Serve it with: makegood serve")
    return 0


def _new_password(*, ask: bool) -> tuple[str, bool]:
    """A password typed twice, or a generated one; and whether it was generated."""
    from server.services.accounts import check_password, make_password

    if not ask:
        return make_password(), True
    first = getpass.getpass("Password for the account (empty: make one up): ")
    if not first:
        return make_password(), True
    if fault := check_password(first):
        raise Faults({"password": fault})
    if getpass.getpass("The same again: ") != first:
        raise Faults({"password": "The two were not the same."})
    return first, False


def account(parsed: argparse.Namespace) -> int:
    """List accounts, open one, or give one a new password."""
    from server.services.accounts import open_account, set_password_of
    from server.services.second_factor import forget
    from server.storage.accounts import find_account, list_accounts
    from server.storage.log import write_log

    store = open_store(settings_of(parsed))
    if parsed.verb == "list":
        with store.read() as session:
            rows = [
                {"sign_in": row.sign_in, "name": row.name, "role": row.role, "active": row.is_active}
                for row in list_accounts(session)
            ]
        if parsed.json:
            print(json.dumps(rows))
        else:
            for row in rows:
                print(f"{row['sign_in']:<16} {row['role']:<9} {row['name']}{'' if row['active'] else '  (shut)'}")
        return 0
    password, generated = _new_password(ask=not parsed.no_input)
    if parsed.verb == "add":
        given = {
            "sign_in": parsed.sign_in,
            "name": parsed.name,
            "role": parsed.role,
            "licence_kind": parsed.licence_kind,
            "licence_number": parsed.licence_number,
            "licence_until": parsed.licence_until,
        }
        open_account(store, None, given, password=password)
    else:
        with store.write() as session:
            row = find_account(session, parsed.sign_in)
            if row is None:
                raise Refused(f"There is no account “{parsed.sign_in}”.")
            set_password_of(session, row, password)
            forget(row)  # whoever is at the machine itself is the way back in for the only keeper
            write_log(session, store.clock(), None, "set a new password", f"account/{row.id}")
    if generated:
        print(f"Password, shown this once: {password}")
    return 0


def match(parsed: argparse.Namespace) -> int:
    """Print the hits of one text, or of one text a line."""
    from server.services.matching import finds_for_text, needs_for_text

    store = open_store(settings_of(parsed))
    ask = finds_for_text if parsed.finds else needs_for_text
    limit = max(1, min(parsed.limit, 100))
    texts: Iterable[str] = sys.stdin if parsed.text == "-" else [parsed.text]
    as_json = parsed.json or parsed.text == "-"
    for text in texts:
        answer = ask(store, text.rstrip("\n"), limit=limit)
        if as_json:
            print(json.dumps(answer.plain(text.rstrip("\n")), ensure_ascii=False), flush=parsed.text == "-")
            continue
        if answer.read:
            print("Read as: " + " · ".join(answer.read))
        if not answer.hits:
            print("Nothing fits.")
        for hit in answer.hits:
            ref = f" [{hit.ref}]" if hit.ref else ""
            print(f"{hit.number}{ref}  {hit.score:.2f}  {hit.title}" + (f"  ({hit.outcome})" if hit.outcome else ""))
            for sign, reasons in (("+", hit.speaks_for), ("-", hit.speaks_against)):
                if reasons:
                    print(f"    {sign} " + " · ".join(reasons))
    return 0


def check(parsed: argparse.Namespace) -> int:
    """Check files without any register; print examples and schemas."""
    from server.domain.parts import part_classes
    from server.services.check_file import example_of, schema_of

    if parsed.classes:
        for one in part_classes().values():
            print(f"{one.key:<22} {one.name}")
        return 0
    if parsed.example or parsed.schema:
        plain = example_of(parsed.example) if parsed.example else schema_of(parsed.schema)
        print(json.dumps(plain, indent=2, ensure_ascii=False))
        return 0
    if not parsed.file:
        raise ValueError("check needs a FILE, or -, or --example CLASS, --schema CLASS, --classes")
    if parsed.file == "-":
        return _check_stream()
    path = Path(parsed.file)
    if not path.is_file():
        raise Refused(f"There is no file {path}.")
    try:
        plain = json.loads(path.read_text(encoding="utf-8"))
    except (ValueError, UnicodeDecodeError) as error:
        raise Refused(f"{path} is no JSON: {error}") from error
    sheet = _sheet_of(plain)
    if parsed.json:
        print(json.dumps(sheet_json(sheet), ensure_ascii=False, indent=2))
    else:
        print(sheet_text(sheet))
    return 0


def _sheet_of(plain: Any) -> Any:
    from server.domain.equivalence import compare
    from server.services.check_file import read_check

    return compare(*read_check(plain))


def _check_stream() -> int:
    """One JSON a line in, one JSON a line out; a bad line answers with its faults and the rest goes on."""
    faulty = False
    for line in sys.stdin:
        if not line.strip():
            continue
        said: dict[str, Any]
        try:
            plain = json.loads(line)
            said = sheet_json(_sheet_of(plain))
            if isinstance(plain, dict) and "ref" in plain:
                said["ref"] = plain["ref"]
        except Faults as faults:
            said, faulty = {"faults": faults.faults}, True
        except ValueError as error:
            said, faulty = {"faults": {"": f"no JSON: {error}"}}, True
        print(json.dumps(said, ensure_ascii=False), flush=True)
    return 1 if faulty else 0


def sheet_json(sheet: Any) -> dict[str, Any]:
    """A sheet as JSON: verdict first, then every row."""
    from server.domain.plain import as_plain

    plain: dict[str, Any] = as_plain(sheet)
    for row, made in zip(plain["rows"], sheet.rows, strict=True):
        row["needs_answer"] = made.needs_answer
        row["sources"] = [str(source) for source in made.sources]
    return {"verdict": plain["outcome"], **plain}


def sheet_text(sheet: Any) -> str:
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


def _format(parsed: argparse.Namespace) -> str:
    if parsed.format:
        return str(parsed.format)
    return "csv" if str(parsed.file).casefold().endswith(".csv") else "jsonl"


def take_in(parsed: argparse.Namespace) -> int:
    """Import needs or finds."""
    from server.domain.register import UserRole
    from server.services.exchange import import_finds, import_needs, read_lines
    from server.storage.accounts import actor_of, find_account, list_accounts
    from server.storage.files import Files

    settings = settings_of(parsed)
    store = open_store(settings)
    if parsed.file == "-":
        text = sys.stdin.read()
    else:
        path = Path(parsed.file)
        if not path.is_file():
            raise Refused(f"There is no file {path}.")
        text = path.read_text(encoding="utf-8-sig")
    with store.read() as session:
        if parsed.as_account:
            row = find_account(session, parsed.as_account)
        else:
            keepers = (one for one in list_accounts(session) if one.role == UserRole.KEEPER.value and one.is_active)
            row = next(keepers, None)
        if row is None:
            raise Refused("There is no account to do it as; name one with --as.")
        actor = actor_of(row)
    lines = read_lines(text, _format(parsed))
    if parsed.what == "needs":
        count = import_needs(store, actor, lines, aeroplane=parsed.aeroplane)
    else:
        count = import_finds(store, Files(settings.files), actor, lines)
    print(json.dumps({"imported": count}) if parsed.json else f"{count} {parsed.what} taken in.")
    return 0


def write_out(parsed: argparse.Namespace) -> int:
    """Export needs or finds."""
    from server.services.exchange import export_finds, export_needs

    store = open_store(settings_of(parsed))
    lines = (export_needs if parsed.what == "needs" else export_finds)(store, _format(parsed))
    if parsed.file == "-":
        sys.stdout.writelines(lines)
    else:
        with Path(parsed.file).open("w", encoding="utf-8") as out:
            out.writelines(lines)
    return 0


def verify(parsed: argparse.Namespace) -> int:
    """Check every signed record; exit code 1 where one does not hold."""
    from server.services.signing import verify as walk
    from server.storage.files import Files

    settings = settings_of(parsed)
    count, broken = walk(open_store(settings), Files(settings.files))
    if parsed.json:
        print(json.dumps({"records": count, "broken": [{"record": one.record, "what": one.what} for one in broken]}))
    elif broken:
        for one in broken:
            print(f"{one.record}: {one.what}", file=sys.stderr)
    else:
        print(f"{count} records, every one as it was signed.")
    return 1 if broken else 0


def bring_up(parsed: argparse.Namespace) -> int:
    """Bring the database to this version."""
    settings = settings_of(parsed)
    if not settings.database and not (settings.folder / "register.sqlite3").exists():
        raise NoRegister(f"There is no register in {settings.folder}.")
    make_store(settings).close()
    print("The database is of this version.")
    return 0


COMMANDS: dict[str, Command] = {
    "serve": serve,
    "demo": demo,
    "init": init,
    "account": account,
    "match": match,
    "check": check,
    "import": take_in,
    "export": write_out,
    "verify": verify,
    "upgrade": bring_up,
}
