"""What all tests share: a register of their own, on SQLite and on PostgreSQL.

PostgreSQL: set MAKEGOOD_TEST_POSTGRES to an address whose user may create
databases. Without it those tests are skipped and say so; where
MAKEGOOD_TESTS_COMPLETE is set nothing may be skipped for a missing service.
"""

import os
import shutil
import uuid
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
import sqlalchemy as sa

from server.settings import MIGRATIONS
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.migrate import upgrade
from server.storage.seal_key import FILE as SEAL_KEY
from tests.one_engine import OneEngine

COMPLETE = bool(os.environ.get("MAKEGOOD_TESTS_COMPLETE"))
POSTGRES = os.environ.get("MAKEGOOD_TEST_POSTGRES", "")


def lacking(what: str) -> None:
    """Skip for a missing service, or fail where the run has to be complete."""
    if COMPLETE:
        pytest.fail(what)
    pytest.skip(what)


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(scope="session")
def migrated_sqlite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty register, made once by the migrations and copied for each test."""
    path = tmp_path_factory.mktemp("migrated") / "register.sqlite3"
    engine = make_engine(f"sqlite:///{path}")
    upgrade(engine, MIGRATIONS)
    engine.dispose()  # the last connection to close writes the log back into the file
    return path


@pytest.fixture(scope="session")
def one_sqlite(migrated_sqlite: Path) -> OneEngine:
    return OneEngine(migrated_sqlite)


@pytest.fixture
def sqlite_store(one_sqlite: OneEngine, migrated_sqlite: Path, tmp_path: Path, clock: Clock) -> Iterator[Store]:
    one_sqlite.path = tmp_path / "register.sqlite3"
    shutil.copy(migrated_sqlite, one_sqlite.path)
    store = Store(one_sqlite.engine, clock, tmp_path / SEAL_KEY)
    yield store
    store.close()


@pytest.fixture(scope="session")
def migrated_postgres() -> Iterator[sa.URL]:
    """A migrated template database on the PostgreSQL server of the tests."""
    if not POSTGRES:
        lacking("needs PostgreSQL: set MAKEGOOD_TEST_POSTGRES to an address whose user may create databases")
    url = sa.make_url(POSTGRES).set(drivername="postgresql+psycopg")
    name = f"makegood_{uuid.uuid4().hex[:12]}"
    admin = sa.create_engine(url, isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    template = url.set(database=name)
    engine = make_engine(template.render_as_string(hide_password=False))
    upgrade(engine, MIGRATIONS)
    engine.dispose()
    yield template
    with admin.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    admin.dispose()


@pytest.fixture
def postgres_store(migrated_postgres: sa.URL, tmp_path: Path, clock: Clock) -> Iterator[Store]:
    name = f"makegood_{uuid.uuid4().hex[:12]}"
    admin = sa.create_engine(sa.make_url(POSTGRES).set(drivername="postgresql+psycopg"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name} TEMPLATE {migrated_postgres.database}")
    url = migrated_postgres.set(database=name)
    store = Store(make_engine(url.render_as_string(hide_password=False)), clock, tmp_path / "seal.key")
    yield store
    store.close()
    with admin.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    admin.dispose()


@pytest.fixture(params=["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)])
def store(request: pytest.FixtureRequest) -> Store:
    """The same test on both databases."""
    made: Store = request.getfixturevalue(f"{request.param}_store")
    return made


@pytest.fixture
def files(tmp_path: Path) -> Files:
    return Files(tmp_path / "files")
