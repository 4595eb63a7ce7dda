"""The database engine and the unit of work.

SQLite: write-ahead log, foreign keys on, and BEGIN IMMEDIATE for units that
write, so that two writers wait for each other instead of failing half way.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlmodel import Session

from server.storage.seal_key import FILE as SEAL_KEY

Clock = Callable[[], datetime]


def now_utc() -> datetime:
    """The server's clock, in UTC."""
    return datetime.now(UTC)


def make_engine(url: str) -> Engine:
    """An engine for SQLite or PostgreSQL, set up as the register needs it."""
    if url.startswith("sqlite"):
        engine = create_engine(
            url,
            connect_args={"check_same_thread": False, "isolation_level": None, "timeout": 10},
            pool_size=10,
            max_overflow=40,
            hide_parameters=True,  # hashes and secrets are values, too: a fault in the log names none
        )
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
        return engine
    return create_engine(url, pool_size=10, max_overflow=40, pool_pre_ping=True, hide_parameters=True)


def _set_up_sqlite(connection: Any, _record: Any) -> None:
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "foreign_keys=ON", "busy_timeout=10000", "synchronous=NORMAL"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


class Store:
    """Gives out units of work over one database.

    `seal_key` is the file of the key that seals the records; where it is not
    said it lies beside an SQLite file, and elsewhere nothing can be signed.
    """

    def __init__(self, engine: Engine, clock: Clock = now_utc, seal_key: Path | None = None) -> None:
        self.engine = engine
        self.clock = clock
        beside = engine.url.database if engine.dialect.name == "sqlite" else None
        self.seal_key = seal_key or (Path(beside).with_name(SEAL_KEY) if beside else None)
        self._writing = engine.execution_options(writes=True)

    @property
    def is_postgres(self) -> bool:
        """True on PostgreSQL."""
        return self.engine.dialect.name == "postgresql"

    @contextmanager
    def read(self) -> Iterator[Session]:
        """A session for reading; nothing it holds is saved."""
        with Session(self.engine, expire_on_commit=False, autoflush=False) as session:
            yield session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """A session that writes: committed at the end, rolled back on any error."""
        with Session(self._writing, expire_on_commit=False) as session:
            try:
                yield session
                session.commit()
            except BaseException:
                session.rollback()
                raise

    def close(self) -> None:
        """Give all connections back."""
        self.engine.dispose()


class OneUnit(Store):
    """A store whose every unit of work is part of one that its maker saves: several services in all or nothing."""

    def __init__(self, store: Store, session: Session) -> None:
        super().__init__(store.engine, store.clock, store.seal_key)
        self.session = session

    @contextmanager
    def read(self) -> Iterator[Session]:
        """The one session; what was written before is seen."""
        yield self.session

    @contextmanager
    def write(self) -> Iterator[Session]:
        """The one session; it is saved when everything is in, and written as far as a question needs it."""
        yield self.session
