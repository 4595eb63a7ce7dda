"""the shop's own words, watches, and what a form that came back holds

Revision: 0005
After: 0004

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the tables; nothing that is there already changes."""
    op.create_table(
        "shop_word",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("word", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("folded", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("meaning", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("language", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("state", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("proposed_by", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("proposed_by_id", sa.Integer(), nullable=True),
        sa.Column("proposed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("found_in", sa.JSON(), nullable=False),
        sa.Column("decided_by", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("decided_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("reason", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint("state IN ('proposed', 'accepted', 'refused')", name=op.f("ck_shop_word_state_known")),
        sa.ForeignKeyConstraint(["proposed_by_id"], ["account.id"], name=op.f("fk_shop_word_proposed_by_id_account")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_word")),
        sa.UniqueConstraint("folded", "meaning", name=op.f("uq_shop_word_folded_meaning")),
    )
    op.create_index(op.f("ix_shop_word_folded"), "shop_word", ["folded"])
    op.create_table(
        "read_again",
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('need', 'find')", name=op.f("ck_read_again_kind_known")),
        sa.PrimaryKeyConstraint("kind", "subject_id", name=op.f("pk_read_again")),
    )
    op.create_table(
        "watch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("text", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("filters", sa.JSON(), nullable=True),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("last_seen", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("withdrawn_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name=op.f("fk_watch_account_id_account")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_watch")),
    )
    op.create_index(op.f("ix_watch_account_id"), "watch", ["account_id"])
    op.create_table(
        "watch_hit",
        sa.Column("watch_id", sa.Integer(), nullable=False),
        sa.Column("find_id", sa.Integer(), nullable=False),
        sa.Column("score", sa.Float(), nullable=False),
        sa.Column("noticed_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("set_aside_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.ForeignKeyConstraint(["find_id"], ["find.id"], name=op.f("fk_watch_hit_find_id_find")),
        sa.ForeignKeyConstraint(["watch_id"], ["watch.id"], name=op.f("fk_watch_hit_watch_id_watch")),
        sa.PrimaryKeyConstraint("watch_id", "find_id", name=op.f("pk_watch_hit")),
    )
    op.create_index(op.f("ix_watch_hit_find_id"), "watch_hit", ["find_id"])
    op.create_table(
        "held_photo",
        sa.Column("digest", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("account_id", sa.Integer(), nullable=False),
        sa.Column("name", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("width", sa.Integer(), nullable=False),
        sa.Column("height", sa.Integer(), nullable=False),
        sa.Column("held_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["account_id"], ["account.id"], name=op.f("fk_held_photo_account_id_account")),
        sa.PrimaryKeyConstraint("digest", "account_id", name=op.f("pk_held_photo")),
    )
    op.create_table(
        "joined_capture",
        sa.Column("capture_id", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("find_id", sa.Integer(), nullable=False),
        sa.Column("joined_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.ForeignKeyConstraint(["find_id"], ["find.id"], name=op.f("fk_joined_capture_find_id_find")),
        sa.PrimaryKeyConstraint("capture_id", name=op.f("pk_joined_capture")),
    )
    op.create_index(op.f("ix_joined_capture_find_id"), "joined_capture", ["find_id"])


def downgrade() -> None:
    """Take them away; what they held is lost."""
    for table in ("joined_capture", "held_photo", "watch_hit", "watch", "read_again", "shop_word"):
        op.drop_table(table)
