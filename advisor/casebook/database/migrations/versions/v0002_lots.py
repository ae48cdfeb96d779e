"""Lots of material with their files, and the jobs that used them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

_KEY = sa.BigInteger().with_variant(sa.Integer, "sqlite")


def upgrade() -> None:
    """Add the tables."""
    op.create_table(
        "lots",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_lots"),
        sa.UniqueConstraint("name", "number", name="uq_lots_name"),
    )
    op.create_table(
        "lot_files",
        sa.Column("lot_id", _KEY, nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=20), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.ForeignKeyConstraint(
            ["lot_id"], ["lots.id"], name="fk_lot_files_lot_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["digest"], ["files.digest"], name="fk_lot_files_digest"),
        sa.PrimaryKeyConstraint("lot_id", "name", "role", name="pk_lot_files"),
    )
    op.create_table(
        "lot_uses",
        sa.Column("lot", sa.String(length=80), nullable=False),
        sa.Column("case_key", sa.String(length=64), nullable=False),
        sa.Column("job", sa.Text(), nullable=False),
        sa.Column("amount", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("lot", "case_key", name="pk_lot_uses"),
    )
    op.create_index("ix_lot_uses_case_key", "lot_uses", ["case_key"])
