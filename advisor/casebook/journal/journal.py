"""The journal: each answer committed to this machine's disk before anybody says "saved".

A file of SQLite, written by the standard library alone, so that an answer waits neither for
the casebook to be loaded nor for a server. The casebook takes its rows in later, as often as
it likes: a row is known by its writer and number.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import astuple, fields
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.casebook.journal.answers import AnswerRow

if TYPE_CHECKING:
    import sqlite3

#: So long another window's commit is waited for, in s.
PATIENCE = 5.0
#: With FULL each commit is synced before it returns; NORMAL may lose the last ones when
#: power goes (SQLite manual, "PRAGMA synchronous").
PRAGMAS = ("journal_mode=WAL", "synchronous=FULL")
_COLUMNS = tuple(field.name for field in fields(AnswerRow))
_NAMES = '"case", writer, serial, base, at, author, fact, value'
_MAKE = """CREATE TABLE IF NOT EXISTS answers (
    "case" TEXT NOT NULL, writer TEXT NOT NULL, serial INTEGER NOT NULL, base INTEGER NOT NULL,
    at INTEGER NOT NULL, author TEXT NOT NULL, fact TEXT NOT NULL, value TEXT NOT NULL,
    UNIQUE (writer, serial))"""
_ADD = f"INSERT OR IGNORE INTO answers ({_NAMES}) VALUES ({', '.join('?' * len(_COLUMNS))})"


class JournalFault(Exception):  # noqa: N818 - says what the technician is told
    """The journal cannot be written or read; the text says why."""


class Journal:
    """Rows waiting to be taken into the casebook. Windows and threads may share it."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._connection: sqlite3.Connection | None = None
        self._lock = threading.Lock()

    def add(self, rows: Iterable[AnswerRow]) -> None:
        """Write rows in one commit, on disk when this returns. Raises JournalFault."""
        values = [astuple(row) for row in rows]
        with self._writing() as connection:
            connection.executemany(_ADD, values)

    def waiting(self, most: int = 10_000) -> list[AnswerRow]:
        """Rows in the order written, the oldest first. Raises JournalFault."""
        with self._using() as connection:
            found = connection.execute(f"SELECT {_NAMES} FROM answers ORDER BY rowid LIMIT ?",
                                       (most,))  # fmt: skip
            return [AnswerRow(*each) for each in found]

    def forget(self, rows: Sequence[AnswerRow]) -> None:
        """Drop rows that the casebook has committed. Raises JournalFault."""
        keys = [(row.writer, row.serial) for row in rows]
        with self._writing() as connection:
            connection.executemany("DELETE FROM answers WHERE writer = ? AND serial = ?", keys)

    def close(self) -> None:
        """Close the file; it opens again when it is next needed."""
        with self._lock:
            self._drop()

    @contextlib.contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        with self._using() as connection:
            # Immediate: a transaction that reads first and is overtaken fails at once.
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                with contextlib.suppress(Exception):  # the first fault is the one to report
                    connection.execute("ROLLBACK")
                raise

    @contextlib.contextmanager
    def _using(self) -> Iterator[sqlite3.Connection]:
        import sqlite3  # the first window stands before it is needed

        with self._lock:
            try:
                yield self._opened()
            except sqlite3.Error as error:
                self._drop()
                raise JournalFault(f"{self.path}: {error}") from error
            except OSError as error:
                raise JournalFault(f"{self.path}: {error.strerror or error}") from error

    def _opened(self) -> sqlite3.Connection:
        if self._connection is None:
            import sqlite3

            from advisor.facts.whole_file import private_folder

            private_folder(self.path.parent)
            connection = sqlite3.connect(
                self.path, timeout=PATIENCE, isolation_level=None, check_same_thread=False
            )
            try:
                for pragma in PRAGMAS:
                    connection.execute(f"PRAGMA {pragma}").fetchall()
                connection.execute(_MAKE)
            except BaseException:
                connection.close()
                raise
            self._connection = connection
        return self._connection

    def _drop(self) -> None:
        connection, self._connection = self._connection, None
        if connection is not None:
            with contextlib.suppress(Exception):
                connection.close()
