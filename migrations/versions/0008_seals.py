"""seals: what signs the head of the chain of records; they can only be added to

Revision: 0008
After: 0007

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table, and refuse UPDATE and DELETE on it as on the signed rows."""
    op.create_table(
        "seal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("record_id", sa.Integer(), nullable=False),
        sa.Column("sealed_at", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("head", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("key", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("previous", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("signature", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.ForeignKeyConstraint(["record_id"], ["sign_off.id"], name=op.f("fk_seal_record_id_sign_off")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_seal")),
        sa.UniqueConstraint("previous", name=op.f("uq_seal_previous")),
        sa.UniqueConstraint("record_id", name=op.f("uq_seal_record_id")),
    )
    if op.get_bind().dialect.name == "sqlite":
        for verb in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER seal_no_{verb.lower()} BEFORE {verb} ON seal "
                "BEGIN SELECT RAISE(ABORT, 'seal rows are only ever added'); END"
            )
        return
    op.execute(
        "CREATE TRIGGER seal_kept BEFORE UPDATE OR DELETE ON seal FOR EACH ROW EXECUTE FUNCTION rows_are_only_added()"
    )
    op.execute(
        "CREATE TRIGGER seal_kept_whole BEFORE TRUNCATE ON seal "
        "FOR EACH STATEMENT EXECUTE FUNCTION rows_are_only_added()"
    )


def downgrade() -> None:
    """Take the seals away; the records stay."""
    op.drop_table("seal")
