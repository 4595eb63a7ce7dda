"""signed rows stay: sign-offs and the log can only be added to

Revision: 0002
After: 0001

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

KEPT = ("sign_off", "log_entry")


def upgrade() -> None:
    """Refuse UPDATE and DELETE on both tables, in the database itself."""
    if op.get_bind().dialect.name == "sqlite":
        for table in KEPT:
            for verb in ("UPDATE", "DELETE"):
                op.execute(
                    f"CREATE TRIGGER {table}_no_{verb.lower()} BEFORE {verb} ON {table} "
                    f"BEGIN SELECT RAISE(ABORT, '{table} rows are only ever added'); END"
                )
        return
    op.execute(
        "CREATE FUNCTION rows_are_only_added() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION '% rows are only ever added', TG_TABLE_NAME; END $$"
    )
    for table in KEPT:
        op.execute(
            f"CREATE TRIGGER {table}_kept BEFORE UPDATE OR DELETE ON {table} "
            "FOR EACH ROW EXECUTE FUNCTION rows_are_only_added()"
        )
        op.execute(
            f"CREATE TRIGGER {table}_kept_whole BEFORE TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION rows_are_only_added()"
        )


def downgrade() -> None:
    """Take the triggers off again."""
    if op.get_bind().dialect.name == "sqlite":
        for table in KEPT:
            op.execute(f"DROP TRIGGER {table}_no_update")
            op.execute(f"DROP TRIGGER {table}_no_delete")
        return
    for table in KEPT:
        op.execute(f"DROP TRIGGER {table}_kept ON {table}")
        op.execute(f"DROP TRIGGER {table}_kept_whole ON {table}")
    op.execute("DROP FUNCTION rows_are_only_added()")
