"""questions and answers on a candidate, and a second factor to sign

Revision: 0006
After: 0005

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None

TEXT = sqlmodel.sql.sqltypes.AutoString()


def upgrade() -> None:
    """Make the table and the columns; accounts that are there already have no second factor."""
    op.create_table(
        "remark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("candidate_id", sa.Integer(), nullable=False),
        sa.Column("text", TEXT, nullable=False),
        sa.Column("by", TEXT, nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("answered_to", sa.Integer(), nullable=True),
        sa.Column("withdrawn_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("withdrawn_reason", TEXT, nullable=False),
        sa.ForeignKeyConstraint(["answered_to"], ["remark.id"], name=op.f("fk_remark_answered_to_remark")),
        sa.ForeignKeyConstraint(["by_id"], ["account.id"], name=op.f("fk_remark_by_id_account")),
        sa.ForeignKeyConstraint(["candidate_id"], ["candidate.id"], name=op.f("fk_remark_candidate_id_candidate")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_remark")),
    )
    op.create_index(op.f("ix_remark_candidate_id"), "remark", ["candidate_id"])
    op.create_index(op.f("ix_remark_answered_to"), "remark", ["answered_to"])
    # written out: SQLite takes a foreign key with a new column, but not one added to a table afterwards
    op.execute(
        "ALTER TABLE attachment ADD COLUMN remark_id INTEGER "
        "CONSTRAINT fk_attachment_remark_id_remark REFERENCES remark (id)"
    )
    op.create_index(op.f("ix_attachment_remark_id"), "attachment", ["remark_id"])
    op.add_column("account", sa.Column("totp_secret", TEXT, server_default="", nullable=False))
    op.add_column("account", sa.Column("totp_pending", TEXT, server_default="", nullable=False))
    op.add_column("account", sa.Column("totp_since", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True))
    op.add_column("account", sa.Column("totp_last_step", sa.Integer(), nullable=True))


def downgrade() -> None:
    """Take them away; what they held is lost."""
    for column in ("totp_last_step", "totp_since", "totp_pending", "totp_secret"):
        op.drop_column("account", column)
    op.drop_index(op.f("ix_attachment_remark_id"), "attachment")
    op.execute("ALTER TABLE attachment DROP COLUMN remark_id")  # its foreign key goes along
    op.drop_table("remark")
