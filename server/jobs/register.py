"""The register that a command works on: its settings and its store."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from server.domain.errors import Refused
from server.settings import MIGRATIONS, Settings, read_settings

DATABASE = "register.sqlite3"
LOOPBACK = frozenset({"127.0.0.1", "localhost", "::1"})


class NoRegister(Refused):
    """There is no register in the data folder."""


class WrongUsage(Exception):
    """A command was called in a way it can't be; the text says what would be right."""


def settings_of(parsed: argparse.Namespace) -> Settings:
    """The settings of this command. Raises WrongUsage for one that can't be."""
    try:
        settings = read_settings(folder=getattr(parsed, "data", None))
    except ValueError as wrong:
        raise WrongUsage(str(wrong)) from wrong
    port = getattr(parsed, "port", None)
    host = getattr(parsed, "host", None) or settings.host
    if port is not None and not 0 < port < 65536:
        raise WrongUsage(f"--port is {port}; a port is a number from 1 to 65535")
    return Settings(settings.folder, settings.database, host, port or settings.port, settings.secure_cookies)


def is_there(settings: Settings) -> bool:
    """True where the data folder holds a database, or another one is set."""
    return bool(settings.database) or (settings.folder / DATABASE).exists()


@contextmanager
def opened(settings: Settings) -> Iterator[Any]:
    """The store of an existing register, at this version and read by it; closed afterwards.

    Raises NoRegister, and Unread where records would not be found.
    """
    from server.services.rereading import refuse_unread
    from server.storage.engine import Store, make_engine
    from server.storage.migrate import is_current

    if not is_there(settings):
        raise NoRegister(f"There is no register in {settings.folder}. Make one with: makegood init")
    store = Store(make_engine(settings.database_url), seal_key=settings.seal_key)
    try:
        if not is_current(store.engine, MIGRATIONS):
            raise NoRegister("The database is of another version. Bring it up with: makegood upgrade")
        refuse_unread(store)
        yield store
    finally:
        store.close()


def make_store(settings: Settings) -> Any:
    """A store over a new or older database, brought to this version; the caller closes it."""
    from server.storage.engine import Store, make_engine
    from server.storage.migrate import upgrade

    settings.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    engine = make_engine(settings.database_url)
    try:
        upgrade(engine, MIGRATIONS)
    except BaseException:
        engine.dispose()
        raise
    return Store(engine, seal_key=settings.seal_key)


def remove_register(settings: Settings) -> None:
    """Take a register's own files out of its folder, and the folder if nothing else is in it."""
    import shutil

    for path in settings.folder.glob(f"{DATABASE}*"):
        path.unlink()
    settings.seal_key.unlink(missing_ok=True)
    if settings.files.is_dir():
        shutil.rmtree(settings.files)
    if settings.folder.is_dir() and not any(settings.folder.iterdir()):
        settings.folder.rmdir()
