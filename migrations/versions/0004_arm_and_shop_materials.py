"""how far from the datum a need sits, and the shop's own handbook

Revision: 0004
After: 0003

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

import sqlalchemy as sa
import sqlmodel
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table; needs that are there already say nothing of their arm."""
    op.create_table(
        "shop_material",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("designation", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("folded", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("alloy", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("family", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("form", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("temper", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("is_clad", sa.Boolean(), nullable=True),
        sa.Column("grade", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("figures", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("value_class", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("document", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("edition", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("place", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("is_quoted", sa.Boolean(), nullable=False),
        sa.Column("note", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("entered_by", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("created_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=False),
        sa.Column("withdrawn_by", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.Column("withdrawn_at", sqlmodel.sql.sqltypes.UTCDateTime(), nullable=True),
        sa.Column("withdrawn_reason", sqlmodel.sql.sqltypes.AutoString(), nullable=False),
        sa.CheckConstraint("kind IN ('figures', 'name')", name=op.f("ck_shop_material_kind_known")),
        sa.CheckConstraint(
            "value_class IN ('design minimum', 'specification minimum', 'typical', 'casting, in the part', "
            "'casting test bar', 'wood design value', 'memory, do not decide on it', 'not comparable', '')",
            name=op.f("ck_shop_material_value_class_known"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_material")),
    )
    op.create_index(op.f("ix_shop_material_folded"), "shop_material", ["folded"])
    op.add_column("need", sa.Column("arm", sqlmodel.sql.sqltypes.AutoString(), server_default="", nullable=False))


def downgrade() -> None:
    """Take both away; what they held is lost."""
    # not as a batch: rebuilding the table would drop the triggers that keep the search index in step
    op.execute("ALTER TABLE need DROP COLUMN arm")
    op.drop_table("shop_material")
