"""Cases thrown away, until the bin is emptied."""

from __future__ import annotations

from sqlalchemy import Connection, delete, select, update

from advisor.casebook.database.tables import cases, texts


def throw_away(connection: Connection, key: str, at: int) -> None:
    """Put a case into the bin: it is found there only. Raises KeyError."""
    _mark(connection, key, at)


def take_back(connection: Connection, key: str) -> None:
    """Take a case out of the bin. Raises KeyError."""
    _mark(connection, key, None)


def empty(connection: Connection) -> int:
    """Delete what is in the bin; how many cases that were."""
    gone = select(cases.c.id).where(cases.c.binned.is_not(None))
    connection.execute(delete(texts).where(texts.c.case_id.in_(gone)))
    return connection.execute(delete(cases).where(cases.c.binned.is_not(None))).rowcount


def _mark(connection: Connection, key: str, at: int | None) -> None:
    done = connection.execute(update(cases).where(cases.c.key == key).values(binned=at))
    if done.rowcount != 1:
        raise KeyError(key)
