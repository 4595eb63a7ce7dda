"""Runs the migrations: on the register's own database, one transaction for all of them.

Foreign keys are off while SQLite tables are rebuilt (a batch change would
empty the child tables by cascade) and checked afterwards.
"""

from typing import Any

from alembic import context
from sqlalchemy import Connection
from sqlmodel import SQLModel

import server.storage.tables  # noqa: F401  (fills the metadata)
from server.settings import read_settings
from server.storage.engine import make_engine

NOT_OURS = ("search_", "sqlite_")
"""Tables that migrations write by hand: the full-text index and what belongs to it."""


def include_name(name: str | None, kind: str, _parents: Any) -> bool:
    """Leave the hand-written search tables out of comparisons."""
    return not (kind == "table" and name is not None and name.startswith(NOT_OURS))


def run(connection: Connection) -> None:
    """Bring one database to the asked revision."""
    is_sqlite = connection.dialect.name == "sqlite"
    if is_sqlite:
        connection.connection.driver_connection.execute("PRAGMA foreign_keys=OFF")  # type: ignore[union-attr]
    context.configure(
        connection=connection,
        target_metadata=SQLModel.metadata,
        render_as_batch=is_sqlite,
        include_name=include_name,
        compare_type=True,
    )
    with context.begin_transaction():
        context.run_migrations()
        if is_sqlite:
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchall()
            if broken:
                raise RuntimeError(f"the migration left rows without their parent: {broken[:3]}")
    if is_sqlite:
        connection.commit()
        connection.connection.driver_connection.execute("PRAGMA foreign_keys=ON")  # type: ignore[union-attr]


given = context.config.attributes.get("connection")
if given is not None:
    run(given)
else:
    engine = make_engine(read_settings().database_url)
    with engine.execution_options(writes=True).connect() as connection:
        run(connection)
        connection.commit()
    engine.dispose()
