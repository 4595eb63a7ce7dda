"""search index: the rows that matching looks through, kept in step by triggers

Revision: 0003
After: 0002

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

from alembic import op

from server.storage.search_index import create_sql, drop_sql

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the index of this database."""
    for statement in create_sql(op.get_bind().dialect.name):
        op.execute(statement)


def downgrade() -> None:
    """Take it away."""
    for statement in drop_sql(op.get_bind().dialect.name):
        op.execute(statement)
