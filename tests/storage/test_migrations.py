"""The migrations: from the first revision to the last on both databases, with rows in, and back."""

import shutil
import uuid
from pathlib import Path

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy.exc import DatabaseError
from sqlmodel import SQLModel

import server.storage.tables  # noqa: F401
from server.settings import MIGRATIONS
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.migrate import downgrade, is_current, upgrade
from server.storage.search_index import Scope, SearchIndex, check
from tests.builders import shop


def differences(engine: sa.Engine) -> list[object]:
    def ours(name: str | None, kind: str, _parents: object) -> bool:
        return not (kind == "table" and str(name).startswith(("search_", "sqlite_")))

    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "include_name": ours})
        return list(compare_metadata(context, SQLModel.metadata))


def test_the_migrations_make_what_the_tables_say(store: Store) -> None:
    assert is_current(store.engine, MIGRATIONS)
    assert differences(store.engine) == []


def test_they_go_back_and_forth_on_sqlite(tmp_path: Path) -> None:
    engine = make_engine(f"sqlite:///{tmp_path / 'r.sqlite3'}")
    upgrade(engine, MIGRATIONS)
    downgrade(engine, MIGRATIONS)
    assert not is_current(engine, MIGRATIONS)
    upgrade(engine, MIGRATIONS)
    assert differences(engine) == []
    engine.dispose()


@pytest.mark.postgres
def test_they_go_back_and_forth_on_postgres(migrated_postgres: sa.URL) -> None:
    name = f"makegood_{uuid.uuid4().hex[:12]}"
    admin = sa.create_engine(migrated_postgres.set(database="postgres"), isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    engine = make_engine(migrated_postgres.set(database=name).render_as_string(hide_password=False))
    upgrade(engine, MIGRATIONS)
    downgrade(engine, MIGRATIONS)
    upgrade(engine, MIGRATIONS)
    assert differences(engine) == []
    engine.dispose()
    with admin.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    admin.dispose()


def test_rows_survive_a_migration(sqlite_store: Store, tmp_path: Path) -> None:
    made = shop(sqlite_store, Files(tmp_path / "files"))
    need = made.need()
    sqlite_store.close()
    copy = tmp_path / "copy.sqlite3"
    shutil.copy(tmp_path / "register.sqlite3", copy)
    engine = make_engine(f"sqlite:///{copy}")
    downgrade(engine, MIGRATIONS, "0001")
    upgrade(engine, MIGRATIONS)
    with engine.connect() as connection:
        found = connection.execute(sa.text("SELECT item FROM need WHERE id = :n"), {"n": need}).scalar_one()
        assert found == "Rivet, tubular: door lining rail"
        assert connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall() == []
    engine.dispose()


def test_the_search_index_survives_getting_its_counts(sqlite_store: Store, tmp_path: Path) -> None:
    made = shop(sqlite_store, Files(tmp_path / "files"))
    need = made.need()
    engine = sqlite_store.engine
    downgrade(engine, MIGRATIONS, "0008")
    upgrade(engine, MIGRATIONS)
    with sqlite_store.write() as session:
        index = SearchIndex(session, Scope("need"))
        assert [one[0] for one in index.propose([["ttubularrivet"]], 10)] == [need]
        assert index.doc_counts(["ttubularrivet"]) == {"ttubularrivet": 1}
        check(session)
        counts = session.execute(sa.text("SELECT token, docs FROM search_count ORDER BY token")).all()
        assert counts == session.execute(sa.text("SELECT term, doc FROM search_vocab ORDER BY term")).all()


@pytest.mark.parametrize("statement", ["UPDATE log_entry SET who = 'nobody'", "DELETE FROM log_entry"])
def test_the_log_can_only_be_added_to(store: Store, files: Files, statement: str) -> None:
    shop(store, files)
    with pytest.raises(DatabaseError, match="only ever added"), store.engine.begin() as connection:
        connection.exec_driver_sql(statement)


def test_foreign_keys_are_on(sqlite_store: Store) -> None:
    with sqlite_store.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar_one() == 1
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar_one() == "wal"
