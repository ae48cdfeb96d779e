"""The tables. Times are milliseconds since 1970, UTC; digests are SHA-256."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

METADATA = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)
#: SQLite numbers rows by itself only where the key is its own INTEGER.
Key = BigInteger().with_variant(Integer, "sqlite")


def _case(*, primary_key: bool = False) -> Column[int]:
    return Column(
        "case_id", Key, ForeignKey("cases.id", ondelete="CASCADE"), primary_key=primary_key,
        nullable=False, index=not primary_key,
    )  # fmt: skip


#: What lists show of a case, taken from it each time that it changes. What is filtered by
#: stands in the index of words too (`filter_words`), which finds several together.
cases = Table(
    "cases",
    METADATA,
    Column("id", Key, primary_key=True),
    Column("key", String(64), unique=True, nullable=False),
    Column("name", Text, nullable=False),
    Column("called", Text, nullable=False),
    Column("part", String(60)),
    Column("skin", String(60)),
    Column("damage", String(60)),
    Column("vehicle_kind", String(60)),
    Column("lead", String(60)),
    Column("verdict", String(10)),
    Column("hold", Float),
    Column("outcome", String(10)),
    Column("begun", BigInteger, nullable=False),
    Column("changed", BigInteger, nullable=False, index=True),
    Column("follow_up", BigInteger, index=True),
    Column("binned", BigInteger),
    Column("version", Integer, nullable=False),
    Column("head", LargeBinary(32), nullable=False),
    Column("customer_id", Key, ForeignKey("customers.id", ondelete="SET NULL"), index=True),
    Column("vehicle_id", Key, ForeignKey("vehicles.id", ondelete="SET NULL"), index=True),
)

#: All words of a case that may be searched; no customer's.
texts = Table("texts", METADATA, _case(primary_key=True), Column("words", Text, nullable=False))

revisions = Table(
    "revisions",
    METADATA,
    _case(primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("at", BigInteger, nullable=False),
    Column("previous", LargeBinary(32), nullable=False),
    Column("digest", LargeBinary(32), nullable=False),
    Column("body", LargeBinary, nullable=False),
)

#: Which answers a revision closes: those of a writer up to a number.
closings = Table(
    "closings",
    METADATA,
    _case(primary_key=True),
    Column("writer", String(64), primary_key=True),
    Column("number", Integer, primary_key=True),
    Column("upto", Integer, nullable=False),
)

answers = Table(
    "answers",
    METADATA,
    Column("id", Key, primary_key=True),
    _case(),
    Column("writer", String(64), nullable=False),
    Column("serial", Integer, nullable=False),
    Column("base", Integer, nullable=False),
    Column("at", BigInteger, nullable=False),
    Column("author", Text, nullable=False),
    Column("fact", Text, nullable=False),
    Column("value", Text, nullable=False),
    UniqueConstraint("writer", "serial"),
)

#: Files by content; the bytes lie in the folder of files, or here for a server.
files = Table(
    "files",
    METADATA,
    Column("digest", String(64), primary_key=True),
    Column("size", BigInteger, nullable=False),
    Column("kind", String(60), nullable=False),
    Column("content", LargeBinary),
)

case_files = Table(
    "case_files",
    METADATA,
    _case(primary_key=True),
    Column("digest", String(64), ForeignKey("files.digest"), primary_key=True),
    Column("name", Text, nullable=False),
    Column("moment", String(10), nullable=False),
    Column("added", BigInteger, nullable=False),
)

outcomes = Table(
    "outcomes",
    METADATA,
    Column("id", Key, primary_key=True),
    _case(),
    Column("key", String(64), unique=True, nullable=False),
    Column("at", BigInteger, nullable=False),
    Column("author", Text, nullable=False),
    Column("state", String(10), nullable=False),
    Column("years", Float),
    Column("failed", Text, nullable=False),
    Column("minutes", Float),
    Column("material", Float),
    Column("note", Text, nullable=False),
)

customers = Table(
    "customers",
    METADATA,
    Column("id", Key, primary_key=True),
    Column("commitment", String(64), unique=True, nullable=False),
    Column("salt", LargeBinary(32), nullable=False),
    Column("name", Text, nullable=False),
    Column("contact", Text, nullable=False),
    Column("reference", Text, nullable=False),
)

vehicles = Table(
    "vehicles",
    METADATA,
    Column("id", Key, primary_key=True),
    Column("commitment", String(64), unique=True, nullable=False),
    Column("salt", LargeBinary(32), nullable=False),
    Column("name", Text, nullable=False),
    Column("mark", Text, nullable=False),
    Column("customer_id", Key, ForeignKey("customers.id", ondelete="SET NULL"), index=True),
)

#: Rule packs as they were when they advised: a zip of their files.
packs = Table(
    "packs",
    METADATA,
    Column("digest", String(64), primary_key=True),
    Column("version", Text, nullable=False),
    Column("content", LargeBinary, nullable=False),
)

#: Lots of material: a row a version, the last one counts.
lots = Table(
    "lots",
    METADATA,
    Column("id", Key, primary_key=True),
    Column("name", String(80), nullable=False),
    Column("number", Integer, nullable=False),
    Column("at", BigInteger, nullable=False),
    Column("author", Text, nullable=False),
    Column("body", Text, nullable=False),
    UniqueConstraint("name", "number"),
)

lot_files = Table(
    "lot_files",
    METADATA,
    Column(
        "lot_id", Key, ForeignKey("lots.id", ondelete="CASCADE"), primary_key=True, nullable=False
    ),
    Column("name", Text, primary_key=True),
    Column("role", String(20), primary_key=True),
    Column("digest", String(64), ForeignKey("files.digest"), nullable=False),
)

#: Which job used which lot. No foreign key to the case: the trace outlives it, and a case may
#: wait in a journal still.
lot_uses = Table(
    "lot_uses",
    METADATA,
    Column("lot", String(80), primary_key=True),
    Column("case_key", String(64), primary_key=True, index=True),
    Column("job", Text, nullable=False),
    Column("amount", Text, nullable=False),
    Column("number", Integer, nullable=False),
    Column("at", BigInteger, nullable=False),
    Column("author", Text, nullable=False),
)

saved_searches = Table(
    "saved_searches",
    METADATA,
    Column("name", String(100), primary_key=True),
    Column("search", Text, nullable=False),
)

#: What holds for the whole book: the shop factor's switch, who was erased.
settings = Table(
    "settings",
    METADATA,
    Column("name", String(60), primary_key=True),
    Column("value", Text, nullable=False),
)

#: What the advice of a revision came to under some rules, so that a replay can go on where it
#: stopped; ``result`` is JSON, with the version of the program.
recalculated = Table(
    "recalculated",
    METADATA,
    _case(primary_key=True),
    Column("pack", String(64), primary_key=True),
    Column("revision", Integer, primary_key=True),
    Column("identical", Boolean, nullable=False),
    Column("result", Text, nullable=False),
)
