"""The first tables, and the search over all words of a case."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

_KEY = sa.BigInteger().with_variant(sa.Integer, "sqlite")

#: The index of words keeps no text of its own; triggers follow what ``texts`` holds.
SQLITE = (
    """CREATE VIRTUAL TABLE found USING fts5(words, content='texts', content_rowid='case_id',
       tokenize='unicode61 remove_diacritics 2', prefix='2 3')""",
    """CREATE TRIGGER texts_added AFTER INSERT ON texts BEGIN
       INSERT INTO found(rowid, words) VALUES (new.case_id, new.words); END""",
    """CREATE TRIGGER texts_deleted AFTER DELETE ON texts BEGIN
       INSERT INTO found(found, rowid, words) VALUES ('delete', old.case_id, old.words); END""",
    """CREATE TRIGGER texts_changed AFTER UPDATE ON texts BEGIN
       INSERT INTO found(found, rowid, words) VALUES ('delete', old.case_id, old.words);
       INSERT INTO found(rowid, words) VALUES (new.case_id, new.words); END""",
)
#: No language: names and words of the trade are found as they are typed.
POSTGRESQL = (
    """ALTER TABLE texts ADD COLUMN search_words tsvector
       GENERATED ALWAYS AS (array_to_tsvector(string_to_array(words, ' '))) STORED""",
    "CREATE INDEX ix_texts_search_words ON texts USING gin (search_words)",
)


def upgrade() -> None:
    """Make everything."""
    op.create_table(
        "customers",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("commitment", sa.String(length=64), nullable=False),
        sa.Column("salt", sa.LargeBinary(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("reference", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_customers"),
        sa.UniqueConstraint("commitment", name="uq_customers_commitment"),
    )
    op.create_table(
        "files",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("kind", sa.String(length=60), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.PrimaryKeyConstraint("digest", name="pk_files"),
    )
    op.create_table(
        "packs",
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("version", sa.Text(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("digest", name="pk_packs"),
    )
    op.create_table(
        "saved_searches",
        sa.Column("name", sa.String(length=100), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_saved_searches"),
    )
    op.create_table(
        "settings",
        sa.Column("name", sa.String(length=60), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_settings"),
    )
    op.create_table(
        "vehicles",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("commitment", sa.String(length=64), nullable=False),
        sa.Column("salt", sa.LargeBinary(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("mark", sa.Text(), nullable=False),
        sa.Column("customer_id", _KEY, nullable=True),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customers.id"], name="fk_vehicles_customer_id", ondelete="SET NULL"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_vehicles"),
        sa.UniqueConstraint("commitment", name="uq_vehicles_commitment"),
    )
    op.create_index("ix_vehicles_customer_id", "vehicles", ["customer_id"])
    op.create_table(
        "cases",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("called", sa.Text(), nullable=False),
        sa.Column("part", sa.String(length=60), nullable=True),
        sa.Column("skin", sa.String(length=60), nullable=True),
        sa.Column("damage", sa.String(length=60), nullable=True),
        sa.Column("vehicle_kind", sa.String(length=60), nullable=True),
        sa.Column("lead", sa.String(length=60), nullable=True),
        sa.Column("verdict", sa.String(length=10), nullable=True),
        sa.Column("hold", sa.Float(), nullable=True),
        sa.Column("outcome", sa.String(length=10), nullable=True),
        sa.Column("begun", sa.BigInteger(), nullable=False),
        sa.Column("changed", sa.BigInteger(), nullable=False),
        sa.Column("follow_up", sa.BigInteger(), nullable=True),
        sa.Column("binned", sa.BigInteger(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("head", sa.LargeBinary(length=32), nullable=False),
        sa.Column("customer_id", _KEY, nullable=True),
        sa.Column("vehicle_id", _KEY, nullable=True),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customers.id"], name="fk_cases_customer_id", ondelete="SET NULL"
        ),
        sa.ForeignKeyConstraint(
            ["vehicle_id"], ["vehicles.id"], name="fk_cases_vehicle_id", ondelete="SET NULL"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_cases"),
        sa.UniqueConstraint("key", name="uq_cases_key"),
    )
    op.create_index("ix_cases_changed", "cases", ["changed"])
    op.create_index("ix_cases_customer_id", "cases", ["customer_id"])
    op.create_index("ix_cases_follow_up", "cases", ["follow_up"])
    op.create_index("ix_cases_vehicle_id", "cases", ["vehicle_id"])
    op.create_table(
        "answers",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("writer", sa.String(length=64), nullable=False),
        sa.Column("serial", sa.Integer(), nullable=False),
        sa.Column("base", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("fact", sa.Text(), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_answers_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_answers"),
        sa.UniqueConstraint("writer", "serial", name="uq_answers_writer"),
    )
    op.create_index("ix_answers_case_id", "answers", ["case_id"])
    op.create_table(
        "case_files",
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("moment", sa.String(length=10), nullable=False),
        sa.Column("added", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_case_files_case_id", ondelete="CASCADE"
        ),
        sa.ForeignKeyConstraint(["digest"], ["files.digest"], name="fk_case_files_digest"),
        sa.PrimaryKeyConstraint("case_id", "digest", name="pk_case_files"),
    )
    op.create_table(
        "closings",
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("writer", sa.String(length=64), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("upto", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_closings_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("case_id", "writer", "number", name="pk_closings"),
    )
    op.create_table(
        "outcomes",
        sa.Column("id", _KEY, nullable=False),
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("key", sa.String(length=64), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("author", sa.Text(), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.Column("years", sa.Float(), nullable=True),
        sa.Column("failed", sa.Text(), nullable=False),
        sa.Column("minutes", sa.Float(), nullable=True),
        sa.Column("material", sa.Float(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_outcomes_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_outcomes"),
        sa.UniqueConstraint("key", name="uq_outcomes_key"),
    )
    op.create_index("ix_outcomes_case_id", "outcomes", ["case_id"])
    op.create_table(
        "recalculated",
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("pack", sa.String(length=64), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("identical", sa.Boolean(), nullable=False),
        sa.Column("result", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_recalculated_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("case_id", "pack", "revision", name="pk_recalculated"),
    )
    op.create_table(
        "revisions",
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.BigInteger(), nullable=False),
        sa.Column("previous", sa.LargeBinary(length=32), nullable=False),
        sa.Column("digest", sa.LargeBinary(length=32), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_revisions_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("case_id", "number", name="pk_revisions"),
    )
    op.create_table(
        "texts",
        sa.Column("case_id", _KEY, nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["case_id"], ["cases.id"], name="fk_texts_case_id", ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("case_id", name="pk_texts"),
    )
    for statement in SQLITE if op.get_bind().dialect.name == "sqlite" else POSTGRESQL:
        op.execute(statement)
