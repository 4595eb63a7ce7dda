"""Serving a register, the demonstration's among them."""

import argparse
import socket
import sys
from typing import Any

from server.domain.errors import Refused
from server.jobs.register import LOOPBACK, is_there, make_store, opened, remove_register, settings_of
from server.settings import Settings


def serve(parsed: argparse.Namespace) -> int:
    """Serve the register of the data folder; one that is not wholly read by this version is refused (`opened`)."""
    settings = settings_of(parsed)
    with opened(settings) as store:
        _refuse_demo_outside(settings, store)
        count_words(store)
        return _listen(settings, store, "Makegood listens on {}  (stop with Ctrl-C)")


def demo(parsed: argparse.Namespace) -> int:
    """Load the demonstration register if it is not there, and serve it."""
    from server.jobs.load_seed import PASSWORD
    from server.storage.accounts import list_accounts

    settings = settings_of(parsed)
    if not getattr(parsed, "data", None) and not settings.database:
        settings = Settings(settings.folder / "demo", "", settings.host, settings.port, settings.secure_cookies)
    if settings.host not in LOOPBACK:
        raise Refused(_LOOPBACK_ONLY)
    store = _demonstration(settings, fresh=parsed.fresh)
    try:
        with store.read() as session:
            people = [(row.sign_in, row.name, row.role) for row in list_accounts(session)]
        print("Makegood, demonstration. Everything in it is invented.")
        print(f"Accounts (password for each: {PASSWORD}):")
        for sign_in, name, role in people:
            print(f"  {sign_in:<12} {role:<9} {name}")
        sys.stdout.flush()
        if parsed.load_only:
            print(f"It stands in {settings.folder}." if not settings.database else "It stands in the database.")
            return 0
        return _listen(settings, store, "Open {}  (stop with Ctrl-C)")
    finally:
        store.close()


_LOOPBACK_ONLY = "A demonstration register is served on the loopback address only: its passwords are printed."


def _demonstration(settings: Settings, *, fresh: bool) -> Any:
    """The store of the whole demonstration; loaded where it is not there, or only half."""
    from server.jobs.load_seed import load_seed
    from server.services.rereading import bring_up_to_date
    from server.storage.accounts import list_accounts
    from server.storage.files import Files
    from server.storage.log import read_setting

    if is_there(settings):
        store = make_store(settings)
        with store.read() as session:
            is_demo, is_empty = bool(read_setting(session, "is_demo", False)), not list_accounts(session)
        if is_demo and not fresh:
            bring_up_to_date(store)  # few records, and nobody's work
            return store
        store.close()
        if not is_demo and not is_empty:
            where = "The database" if settings.database else str(settings.folder)
            raise Refused(f"{where} holds a register that is no demonstration; choose another with --data.")
        if is_demo and settings.database:
            raise Refused("--fresh can't empty a database of another server; give an empty one.")
        if not settings.database:
            remove_register(settings)
    print("Loading the demonstration register …", file=sys.stderr, flush=True)
    store = make_store(settings)
    try:
        load_seed(store, Files(settings.files))
    except BaseException:
        # nothing of it went in; its pictures go, too
        store.close()
        if not settings.database:
            remove_register(settings)
        raise
    return store


def count_words(store: Any) -> None:
    """What was typed in one by one since the last import or upgrade is counted, too (PostgreSQL)."""
    from server.storage.search_index import refresh_counts

    with store.write() as session:
        refresh_counts(session)


def _refuse_demo_outside(settings: Settings, store: Any) -> None:
    from server.storage.log import read_setting

    with store.read() as session:
        is_demo = bool(read_setting(session, "is_demo", False))
    if is_demo and settings.host not in LOOPBACK:
        raise Refused(_LOOPBACK_ONLY)


def _listen(settings: Settings, store: Any, sentence: str) -> int:
    """Listen until stopped; the address is said once it is ours. Raises Refused where it can't be had."""
    import uvicorn

    from server.app import create_app

    listening = _bound(settings)
    with listening:
        shown = f"[{settings.host}]" if ":" in settings.host else settings.host
        print(sentence.format(f"http://{shown}:{settings.port}/"), flush=True)
        app = create_app(settings, store)
        server = uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False))
        server.run(sockets=[listening])
    return 0


def _bound(settings: Settings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((settings.host, settings.port))
    except OSError as error:
        made.close()
        reason = error.strerror or str(error)
        raise Refused(
            f"Can't listen on {settings.host}, port {settings.port}: {reason.lower()}. Choose another with --port."
        ) from error
    return made
