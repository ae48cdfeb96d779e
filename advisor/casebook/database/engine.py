"""Connecting to the casebook's database, and all that SQLite and PostgreSQL do differently."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Engine,
    FromClause,
    Integer,
    Table,
    cast,
    column,
    create_engine,
    event,
    literal_column,
    make_url,
    table,
)
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.dialects.postgresql import TSQUERY
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError
from sqlalchemy.sql.dml import Insert

from advisor.casebook.database import tables
from advisor.facts.faults import BadInput, Fault

#: synchronous=FULL: one sync a commit; secure_delete: what is deleted is overwritten.
PRAGMAS = (
    "journal_mode=WAL",
    "synchronous=FULL",
    "foreign_keys=ON",
    "busy_timeout=5000",
    "secure_delete=ON",
    "cache_size=-16000",
    "mmap_size=268435456",
)
#: The index of words keeps what was deleted until it is put in order, the journal until it is
#: emptied, and the file until it is written anew.
_FORGETTING = (
    "INSERT INTO found(found) VALUES('optimize')",
    "PRAGMA wal_checkpoint(TRUNCATE)",
    "VACUUM",
    "PRAGMA wal_checkpoint(TRUNCATE)",
)
ACCEPTED = "a folder, or postgresql://user@host/database"
#: Seconds after which a server that does not answer counts as not there.
PATIENCE = 5
#: Characters of a text and of a word that are indexed; PostgreSQL takes no more than a
#: megabyte of words, and none longer than two kilobytes.
LONGEST_TEXT, LONGEST_WORD = 100_000, 100
#: Columns of the list of cases that a search filters by.
FILTERED = ("part", "skin", "damage", "lead", "verdict", "outcome")


def is_url(place: str) -> bool:
    """Whether a casebook's place is, or is meant as, a server and not a folder.

    A mistyped address would else become a folder, and an empty casebook in it.
    """
    return "://" in place or re.match(r"[a-z][a-z0-9+]+:", place) is not None


def database_file(folder: Path) -> Path:
    """The database in a casebook's folder."""
    return folder / "casebook.sqlite"


def connect(place: str) -> Engine:
    """The engine for a folder or a URL; nothing is opened yet.

    Raises BadInput for a URL of another database, or that cannot be read.
    """
    if not is_url(place):
        return _sqlite(Path(place))
    try:
        url = make_url(place)
        if url.get_backend_name() != "postgresql":
            raise ArgumentError(url.drivername)
        engine = create_engine(
            url.set(drivername="postgresql+psycopg"),
            pool_pre_ping=True,
            # A commit has been synced when it returns, whatever the server does for others.
            connect_args={"connect_timeout": PATIENCE, "options": "-c synchronous_commit=on"},
        )
    except (ArgumentError, NoSuchModuleError, ValueError):
        # The URL itself may hold a password and is not repeated.
        problem = "not the address of a database that can be used"
        raise BadInput(Fault("casebook", 0, 0, "", problem, "", ACCEPTED)) from None
    return engine


def _sqlite(folder: Path) -> Engine:
    engine = create_engine(f"sqlite:///{database_file(folder)}")

    @event.listens_for(engine, "connect")
    def _prepare(connection: Any, _record: object) -> None:
        connection.isolation_level = None  # BEGIN is said below
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}").fetchall()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # A writer that reads first and is overtaken fails at once, whatever the timeout;
        # one that says IMMEDIATE waits its turn.
        write = connection.get_execution_options().get("write")
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that writes: all of it is committed, or nothing."""
    with engine.connect().execution_options(write=True) as connection, connection.begin():
        yield connection


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A transaction that only reads."""
    with engine.connect() as connection:
        yield connection


def insert(connection: Connection, table: Table) -> Insert:
    """An insert that passes over rows which are there already."""
    if connection.dialect.name == "sqlite":
        return sqlite.insert(table).on_conflict_do_nothing()
    return postgresql.insert(table).on_conflict_do_nothing()


def upsert(connection: Connection, table: Table, values: dict[str, Any]) -> None:
    """Insert one row, or replace the one with the same primary key."""
    keys = [column.name for column in table.primary_key]
    changed = {name: value for name, value in values.items() if name not in keys}
    dialect = sqlite if connection.dialect.name == "sqlite" else postgresql
    made: Any = dialect.insert(table).values(values)
    connection.execute(made.on_conflict_do_update(index_elements=keys, set_=changed))


def plain_words(written: str) -> list[str]:
    """The words of a text as both databases index them: each once, in small letters without
    accents, letters and digits only.
    """
    spread = unicodedata.normalize("NFKD", written[:LONGEST_TEXT]).casefold()
    letters = (c if c.isalnum() else "" if unicodedata.combining(c) else " " for c in spread)
    return list(dict.fromkeys(word[:LONGEST_WORD] for word in "".join(letters).split()))


def filter_words(columns: Mapping[str, Any]) -> list[str]:
    """A word for each column that is filtered by, so that the index of words finds all that
    match several filters and words together. It begins as nobody begins a word.
    """
    return [
        f"0{name}0{_letters(str(value))}" for name, value in columns.items()
        if name in FILTERED and value
    ]  # fmt: skip


def _letters(value: str) -> str:
    plain = value.replace("_", "0")
    usual = plain.isascii() and plain.isalnum() and plain.islower()
    return plain if usual else value.encode().hex()


def matching(
    connection: Connection, written: str, filters: Mapping[str, Any]
) -> tuple[FromClause, ColumnElement[bool], ColumnElement[int]]:
    """Cases in which every word occurs, the last one as a beginning, and every filter: where
    from, under what condition, and the column that puts the newest last without sorting.

    Whatever is typed is taken as words, never as the search language of either database.
    Raises ValueError where there is neither a word nor a filter.
    """
    *whole, last = [*filter_words(filters), *plain_words(written)] or [""]
    if not last:
        raise ValueError("nothing to look for")
    begins = bool(plain_words(written))
    if connection.dialect.name == "sqlite":
        found = table("found", column("rowid", Integer), column("found"))
        query = " ".join([*(f'"{word}"' for word in whole), f'"{last}"{"*" if begins else ""}'])
        source = found.join(tables.cases, tables.cases.c.id == found.c.rowid)
        return source, found.c.found.op("MATCH", is_comparison=True)(query), found.c.rowid
    query = " & ".join([*(f"'{word}'" for word in whole), f"'{last}'{':*' if begins else ''}"])
    matches: ColumnElement[bool] = literal_column("search_words").op("@@", is_comparison=True)(
        cast(query, TSQUERY)
    )
    return tables.texts.join(tables.cases), matches, tables.cases.c.id


def problem_of(error: SQLAlchemyError) -> str:
    """What is wrong with the database, on one line and without its address."""
    reason = error.orig if isinstance(error, DBAPIError) and error.orig is not None else error
    return " ".join(str(reason).split())[:300]


def forget_for_good(engine: Engine) -> None:
    """Have what was deleted disappear from the file, not only from the tables."""
    if engine.dialect.name == "sqlite":
        connection = engine.raw_connection()  # none of this goes into a transaction
        try:
            for statement in _FORGETTING:
                connection.cursor().execute(statement).fetchall()
        finally:
            connection.close()
    else:
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connected:
            connected.exec_driver_sql("VACUUM FULL")
