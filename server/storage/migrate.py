"""Bringing a database to the newest revision, from inside the program."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, Engine


def alembic_config(migrations: Path, connection: Connection) -> Config:
    """Alembic's settings for one open connection."""
    config = Config()
    config.set_main_option("script_location", str(migrations))
    config.attributes["connection"] = connection
    return config


def upgrade(engine: Engine, migrations: Path, revision: str = "head") -> None:
    """Upgrade to a revision, the newest unless told."""
    with engine.execution_options(writes=True).connect() as connection:
        command.upgrade(alembic_config(migrations, connection), revision)
        connection.commit()


def downgrade(engine: Engine, migrations: Path, revision: str = "base") -> None:
    """Go back to a revision; for the tests of the migrations."""
    with engine.execution_options(writes=True).connect() as connection:
        command.downgrade(alembic_config(migrations, connection), revision)
        connection.commit()


def is_current(engine: Engine, migrations: Path) -> bool:
    """True where the database stands at the newest revision."""
    with engine.connect() as connection:
        stands = MigrationContext.configure(connection).get_current_revision()
    config = Config()
    config.set_main_option("script_location", str(migrations))
    return stands == ScriptDirectory.from_config(config).get_current_head()
