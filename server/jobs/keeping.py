"""Making a register, its accounts, its records, its version."""

import argparse
import getpass
import json
import sys
from typing import Any

from server.domain.errors import Faults, Refused
from server.jobs.register import NoRegister, WrongUsage, is_there, make_store, opened, remove_register, settings_of


def init(parsed: argparse.Namespace) -> int:
    """Make an empty register and its first account."""
    from server.services.accounts import open_account
    from server.services.seals import seal_all
    from server.storage.accounts import list_accounts
    from server.storage.log import write_setting

    settings = settings_of(parsed)
    if not settings.database and is_there(settings):
        raise Refused(f"There is a register in {settings.folder} already.")
    password, generated = _new_password(ask=not parsed.no_input)
    store = make_store(settings)
    with store.read() as session:
        held = list_accounts(session)
    if held:
        store.close()
        raise Refused("This database holds a register already.")
    try:
        with store.write() as session:
            write_setting(session, "name", parsed.name)
            write_setting(session, "is_demo", False)
        given = {"sign_in": parsed.account, "name": parsed.account, "role": "keeper"}
        open_account(store, None, given, password=password)
        seal_all(store)  # makes the key
    except BaseException:
        # a register without an account is no use to anybody
        store.close()
        if not settings.database:
            remove_register(settings)
        raise
    store.close()
    said = {"folder": str(settings.folder), "account": parsed.account, "role": "keeper"}
    if generated:
        said["password"] = password
    if parsed.json:
        print(json.dumps(said, ensure_ascii=False))
        return 0
    print(f"An empty register stands in {settings.folder}.")
    print(f"First account: {parsed.account} (keeper of the register)")
    if generated:
        print(f"Password, shown this once: {password}")
    data = f" --data {settings.folder}" if getattr(parsed, "data", None) else ""
    print(f"Serve it with: makegood{data} serve")
    return 0


def _new_password(*, ask: bool) -> tuple[str, bool]:
    """A password typed twice, or a generated one; and whether it was generated."""
    from server.services.accounts import check_password, make_password

    if not ask:
        return make_password(), True
    if not sys.stdin.isatty():
        raise WrongUsage("There is nobody to ask for a password here; with --no-input one is made up and printed.")
    try:
        first = getpass.getpass("Password for the account (empty: make one up): ")
        if not first:
            return make_password(), True
        if fault := check_password(first):
            raise Faults({"password": fault})
        if getpass.getpass("The same again: ") != first:
            raise Faults({"password": "The two were not the same."})
    except EOFError:
        raise Refused("No password was typed.") from None
    return first, False


def account(parsed: argparse.Namespace) -> int:
    """List accounts, open one, or give one a new password."""
    with opened(settings_of(parsed)) as store:
        if parsed.verb == "list":
            return _list(store, as_json=parsed.json)
        return _change(store, parsed)


def _list(store: Any, *, as_json: bool) -> int:
    from server.storage.accounts import list_accounts

    with store.read() as session:
        rows: list[dict[str, Any]] = [
            {"sign_in": row.sign_in, "name": row.name, "role": row.role, "active": row.is_active}
            for row in list_accounts(session)
        ]
    if as_json:
        print(json.dumps(rows, ensure_ascii=False))
        return 0
    for row in rows:
        print(f"{row['sign_in']:<16} {row['role']:<9} {row['name']}{'' if row['active'] else '  (shut)'}")
    return 0


def _change(store: Any, parsed: argparse.Namespace) -> int:
    from server.services.accounts import open_account, set_password_of
    from server.services.second_factor import forget
    from server.storage.accounts import find_account
    from server.storage.log import write_log

    with store.read() as session:
        known = find_account(session, parsed.sign_in)
    if parsed.verb == "password" and known is None:
        raise Refused(f"There is no account “{parsed.sign_in}”.")
    password, generated = _new_password(ask=not parsed.no_input)
    if parsed.verb == "add":
        names = ("sign_in", "name", "role", "licence_kind", "licence_number", "licence_until")
        open_account(store, None, {name: getattr(parsed, name) for name in names}, password=password)
    else:
        with store.write() as session:
            row = find_account(session, parsed.sign_in)
            assert row is not None
            set_password_of(session, row, password)
            forget(row)  # whoever is at the machine itself is the way back in for the only keeper
            write_log(session, store.clock(), None, "set a new password", f"account/{row.id}")
    if parsed.json:
        said = {"account": parsed.sign_in} | ({"password": password} if generated else {})
        print(json.dumps(said, ensure_ascii=False))
        return 0
    print(f"Account {parsed.sign_in}: {'opened' if parsed.verb == 'add' else 'a new password is set'}.")
    if generated:
        print(f"Password, shown this once: {password}")
    return 0


def upgrade(parsed: argparse.Namespace) -> int:
    """Bring the database to this version, and read every record anew that another version read."""
    settings = settings_of(parsed)
    if not is_there(settings):
        raise NoRegister(f"There is no register in {settings.folder}.")
    from server.services.rereading import bring_up_to_date
    from server.services.seals import seal_all

    store = make_store(settings)
    try:
        read = bring_up_to_date(store)
        sealed = seal_all(store)
    finally:
        store.close()
    print("The database is of this version.")
    print(f"Needs and finds read anew: {read}.")
    if sealed:
        print(f"Records from before the seals that are sealed now: {sealed}.")
    return 0
