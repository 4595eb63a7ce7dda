"""The migrations: from the first revision to the last on both databases, with rows in, and back."""

import uuid
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy.exc import DatabaseError
from sqlmodel import SQLModel

import server.storage.tables  # noqa: F401
from server.services import signing
from server.settings import MIGRATIONS
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.migrate import downgrade, is_current, upgrade
from server.storage.search_index import Scope, SearchIndex, check
from tests.builders import shop, sign_form


def differences(engine: sa.Engine) -> list[object]:
    def ours(name: str | None, kind: str, _parents: object) -> bool:
        return not (kind == "table" and str(name).startswith(("search_", "sqlite_")))

    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "include_name": ours})
        return [*compare_metadata(context, SQLModel.metadata), *other_checks(connection)]


def other_checks(connection: sa.Connection) -> list[tuple[str, str, str]]:
    """Each CHECK that one side has and the other has not or words otherwise; Alembic compares none of them.

    The tables are made once more beside the migrated ones, since a database answers a CHECK in words of its own.
    """
    if connection.dialect.name == "sqlite":
        with sa.create_engine("sqlite://").connect() as beside:
            SQLModel.metadata.create_all(beside)
            return sorted(checks(beside) ^ checks(connection))
    schema = f"said_{uuid.uuid4().hex[:12]}"
    connection.execute(sa.schema.CreateSchema(schema))
    SQLModel.metadata.create_all(connection.execution_options(schema_translate_map={None: schema}))
    found = sorted(checks(connection, schema) ^ checks(connection))
    connection.rollback()
    return found


def checks(connection: sa.Connection, schema: str | None = None) -> set[tuple[str, str, str]]:
    """Table, name and text of every CHECK of the register's own tables."""
    look = sa.inspect(connection)
    return {
        (name, str(check["name"]), " ".join(check["sqltext"].split()))
        for name in SQLModel.metadata.tables
        for check in look.get_check_constraints(name, schema=schema)
    }


def test_the_migrations_make_what_the_tables_say(store: Store) -> None:
    assert is_current(store.engine, MIGRATIONS)
    assert differences(store.engine) == []


def test_a_word_that_no_migration_lets_in_is_seen(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that says a word more than the database: with it the first such row would be refused."""
    check = next(
        one
        for one in SQLModel.metadata.tables["designation"].constraints
        if isinstance(one, sa.CheckConstraint) and "reading" in str(one.sqltext)
    )
    monkeypatch.setattr(check, "sqltext", sa.text(str(check.sqltext).replace(")", ", 'hearsay')")))
    seen = differences(store.engine)
    assert len(seen) == 2
    assert any("hearsay" in str(one) for one in seen)


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


def test_rows_survive_a_migration(store: Store, files: Files) -> None:
    """Down to the first tables and up again: every row and every value that the first tables hold is as before."""
    made = shop(store, files)
    need, find = made.need(), made.find()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    made.measure(find, "body_diameter", "3.00 mm", instrument="micrometer")
    candidate = made.propose(need, find)
    signing.sign(store, made.approver, candidate, sign_form(store, candidate))
    before = rows_of(store.engine)
    downgrade(store.engine, MIGRATIONS, "0001")
    assert not sa.inspect(store.engine).has_table("seal")
    older = rows_of(store.engine)
    upgrade(store.engine, MIGRATIONS)
    after = rows_of(store.engine)
    held = {name: set(rows[0]) for name, rows in older.items() if rows}
    assert {"need", "requirement", "find", "statement", "candidate", "sign_off", "log_entry"} <= set(held)
    for name, columns in held.items():
        assert cut(before[name], columns) == older[name] == cut(after[name], columns), name
    assert differences(store.engine) == []
    if store.engine.dialect.name == "sqlite":
        with store.engine.connect() as connection:
            assert connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall() == []


def rows_of(engine: sa.Engine) -> dict[str, list[dict[str, Any]]]:
    """All rows of every table of the register, by the order of their keys, as the database has them."""
    found: dict[str, list[dict[str, Any]]] = {}
    with engine.connect() as connection:
        look = sa.inspect(connection)
        for name in SQLModel.metadata.tables:
            if look.has_table(name):
                order = ", ".join(look.get_pk_constraint(name)["constrained_columns"])
                rows = connection.exec_driver_sql(f'SELECT * FROM "{name}" ORDER BY {order}')
                found[name] = [dict(row._mapping) for row in rows]
    return found


def cut(rows: list[dict[str, Any]], columns: set[str]) -> list[dict[str, Any]]:
    """The rows with these columns only."""
    return [{name: value for name, value in row.items() if name in columns} for row in rows]


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
