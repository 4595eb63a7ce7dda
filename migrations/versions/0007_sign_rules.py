"""the first of two signatures and closed conditions in the chain; conditions with their due

Revision: 0007
After: 0006

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

KNOWN = "ck_sign_off_decision_known"
BEFORE = "decision IN ('approved', 'approved with conditions', 'refused', 'approval withdrawn')"
AFTER = (
    "decision IN ('approved', 'approved with conditions', 'refused', 'approval withdrawn', "
    "'first signature', 'condition closed')"
)


def upgrade() -> None:
    """Let the chain hold two more kinds of entry, and make the table of conditions."""
    _allow(AFTER)
    op.create_table(
        "condition",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sign_off_id", sa.Integer(), nullable=False),
        sa.Column("candidate_id", sa.Integer(), nullable=False),
        sa.Column("aeroplane_id", sa.Integer(), nullable=False),
        sa.Column("text", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("due", sa.Date(), nullable=True),
        sa.Column("due_words", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("made_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("closed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("closed_by", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("closed_reason", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("closed_by_sign_off_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["sign_off_id"], ["sign_off.id"], name=op.f("fk_condition_sign_off_id_sign_off")),
        sa.ForeignKeyConstraint(["candidate_id"], ["candidate.id"], name=op.f("fk_condition_candidate_id_candidate")),
        sa.ForeignKeyConstraint(["aeroplane_id"], ["aeroplane.id"], name=op.f("fk_condition_aeroplane_id_aeroplane")),
        sa.ForeignKeyConstraint(
            ["closed_by_sign_off_id"], ["sign_off.id"], name=op.f("fk_condition_closed_by_sign_off_id_sign_off")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_condition")),
    )
    for column in ("sign_off_id", "candidate_id", "aeroplane_id"):
        op.create_index(op.f(f"ix_condition_{column}"), "condition", [column])


def downgrade() -> None:
    """Take the table away. Refused while the chain holds an entry that the older table can't: it is never cut."""
    newer = "SELECT count(*) FROM sign_off WHERE decision IN ('first signature', 'condition closed')"
    if op.get_bind().exec_driver_sql(newer).scalar_one():
        raise RuntimeError(
            "there are first signatures or closed conditions in the chain; an older release can't hold them"
        )
    op.drop_table("condition")
    _allow(BEFORE)


def _allow(check: str) -> None:
    if op.get_bind().dialect.name != "sqlite":
        op.drop_constraint(op.f(KNOWN), "sign_off", type_="check")
        op.create_check_constraint(op.f(KNOWN), "sign_off", check)
        return
    # SQLite builds the table anew; its triggers go with the old one and are put back
    for verb in ("UPDATE", "DELETE"):
        op.execute(f"DROP TRIGGER sign_off_no_{verb.lower()}")
    with op.batch_alter_table("sign_off") as batch:
        batch.drop_constraint(op.f(KNOWN), type_="check")
        batch.create_check_constraint(op.f(KNOWN), check)
    for verb in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER sign_off_no_{verb.lower()} BEFORE {verb} ON sign_off "
            "BEGIN SELECT RAISE(ABORT, 'sign_off rows are only ever added'); END"
        )
