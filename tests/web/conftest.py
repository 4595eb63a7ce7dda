"""What the tests of the pages stand on: a register of their own, over HTTP, with nothing replaced.

The database is brought up by the migrations and given its accounts once a
run; every test gets a copy of that file.
"""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from server.app import create_app, serve
from server.domain.register import Actor, UserRole
from server.services import accounts, finds, needs, yard
from server.settings import MIGRATIONS, Settings
from server.storage.accounts import actor_of, find_account
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.migrate import upgrade
from tests.builders import quick_hash
from tests.one_engine import OneEngine

PASSWORD = "four rivets and a washer"
"""The password of every account of the tests."""

OURS = "http://testserver"
LICENCE = {
    "licence_kind": "Inspector (invented)",
    "licence_number": "INV-1",
    "licence_until": date(2099, 1, 1).isoformat(),
}


@dataclass
class Moving:
    """A clock for the tests: stands at the present, and can be moved on."""

    now: datetime = field(default_factory=lambda: datetime.now(UTC))

    def __call__(self) -> datetime:
        """The time it is in this test."""
        return self.now


@dataclass
class Register:
    """One register under test: its store, its application, and browsers that are signed in to it."""

    settings: Settings
    store: Store
    files: Files
    app: FastAPI
    clock: Moving
    password: str = PASSWORD
    _cookies: dict[str, str] = field(default_factory=dict)

    def client(self, **headers: str) -> TestClient:
        """A browser on our own pages, with nobody signed in. It does not follow redirects."""
        return TestClient(
            self.app,
            base_url=OURS,
            headers={"Origin": OURS, **headers},
            follow_redirects=False,
        )

    def client_as(self, sign_in: str) -> TestClient:
        """A browser signed in as "viewer", "restorer", "approver", "keeper", or "second" (another approver)."""
        client = self.client()
        if sign_in not in self._cookies:
            answer = client.post("/sign-in", data={"sign_in": sign_in, "password": self.password})
            assert answer.status_code == 303, answer.text
            self._cookies[sign_in] = client.cookies["makegood"]
        client.cookies.set("makegood", self._cookies[sign_in], domain="testserver.local")
        return client

    def actor(self, sign_in: str) -> Actor:
        """The acting person of an account."""
        with self.store.read() as session:
            row = find_account(session, sign_in)
            assert row is not None
            return actor_of(row)

    def token(self, sign_in: str, *, may_write: bool = True) -> str:
        """A token for the API of this account."""
        return accounts.make_token(self.store, self.actor(sign_in), "tests", may_write=may_write)

    def aeroplane(self, **fields: str) -> int:
        """Enter an aeroplane; its number."""
        given = {"type": "Testbird T.1", "serial": "3", "use": "PERMIT", "drawing_unit": "mm", **fields}
        return yard.save_aeroplane(self.store, self.actor("keeper"), given)

    def step(self, aeroplane: int, **fields: str | list[str]) -> int:
        """Enter a step of assembly; its number."""
        given = {"aeroplane_id": str(aeroplane), "name": "Close the left wing", **fields}
        return yard.save_step(self.store, self.actor("restorer"), given)

    def supplier(self, **fields: str) -> int:
        """Enter a supplier; its number."""
        return yard.save_supplier(self.store, self.actor("restorer"), {"name": "Nobody & Daughters", **fields})

    def need(self, aeroplane: int, **fields: str | list[str]) -> int:
        """Open a need; its number."""
        given = {
            "item": "Sleeve over the magneto lead",
            "part_class": "general",
            "aeroplane_id": str(aeroplane),
            "role": "FURNISHING",
            "quantity_text": "2",
            **fields,
        }
        return needs.open_need(self.store, self.actor("restorer"), given)

    def find(self, **fields: str | list[str]) -> int:
        """Log a find; its number."""
        given = {"text": "Black sleeving from a tin", "part_class": "general", **fields}
        return finds.log_find(self.store, self.files, self.actor("restorer"), given)


@pytest.fixture(scope="session")
def template_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database at the newest revision with one account a role, made once."""
    path = tmp_path_factory.mktemp("template") / "register.sqlite3"
    engine = make_engine(f"sqlite:///{path}")
    upgrade(engine, MIGRATIONS)
    store = Store(engine)
    for role in UserRole:
        licence = LICENCE if role is UserRole.APPROVER else {}
        given = {"sign_in": role.value, "name": f"A {role.value.title()}", "role": role.value, **licence}
        accounts.open_account(store, None, given, password=PASSWORD, hashed=quick_hash(PASSWORD))
    second = {"sign_in": "second", "name": "A Second Approver", "role": "approver", **LICENCE}
    accounts.open_account(store, None, second, password=PASSWORD, hashed=quick_hash(PASSWORD))
    with engine.connect() as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.exec_driver_sql("BEGIN")
    store.close()
    return path


@pytest.fixture(scope="session")
def application(template_database: Path) -> FastAPI:
    """The application, joined once: FastAPI works its routes out at the first request, which takes a while.

    It keeps nothing of a register but what `serve` gives it, and every test gives it its own.
    """
    return create_app(Settings(folder=template_database.parent))


@pytest.fixture(scope="session")
def one_engine(template_database: Path) -> OneEngine:
    """The engine of all registers under test."""
    return OneEngine(template_database)


@pytest.fixture
def register(
    application: FastAPI, one_engine: OneEngine, template_database: Path, tmp_path: Path
) -> Iterator[Register]:
    """A register of this test's own."""
    settings = Settings(folder=tmp_path)
    one_engine.path = tmp_path / "register.sqlite3"
    shutil.copyfile(template_database, one_engine.path)
    clock = Moving()
    store = Store(one_engine.engine, clock, settings.seal_key)
    serve(application, settings, store)
    yield Register(settings, store, Files(settings.files), application, clock)
    store.close()


@pytest.fixture
def words_of() -> Any:
    """A page's text without its tags, blanks folded: for asking what it says."""
    import re
    from html import unescape

    def words(html: str) -> str:
        return " ".join(unescape(re.sub(r"<[^>]+>", " ", html)).split())

    return words
