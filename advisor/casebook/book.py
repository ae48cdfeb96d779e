"""The casebook: one shop's cases in a folder of this machine, or on a server for several.

    book = Casebook.open(place, pack)     # a folder, or postgresql://user@host/database
    book.take_in(journal)                 # what windows have kept
    there = book.open_for_work(key)
    book.close(key, Closing(...))
    book.read(lambda connection: page(connection, Search("armrest")))

What the modules of this folder do with a connection, `read` and `write` do with a casebook.

Everything raises BadInput, with the reason in plain words, where the database cannot be
reached, written or read; nothing is changed then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from sqlalchemy import Connection, Engine, select
from sqlalchemy.exc import SQLAlchemyError

from advisor.casebook.archives.backups import back_up, due
from advisor.casebook.cases.chain import broken
from advisor.casebook.cases.described import Vocabulary
from advisor.casebook.cases.keep import Closing, close, open_for_work, take_in
from advisor.casebook.cases.versions import StoredCase, links, row_of, stored
from advisor.casebook.database.engine import (
    connect,
    database_file,
    forget_for_good,
    is_url,
    problem_of,
    reading,
    writing,
)
from advisor.casebook.database.migrate import bring_up_to_date
from advisor.casebook.database.tables import cases
from advisor.casebook.finding.bin import empty
from advisor.casebook.journal.journal import Journal, JournalFault
from advisor.casebook.journal.keeper import now_ms, user_name
from advisor.casebook.people import erase_customer, erase_vehicle
from advisor.casebook.photos.files import FileStore
from advisor.facts.faults import BadInput, Fault
from advisor.facts.whole_file import private_folder

#: Rows of the journal taken in at once: a second's work.
AT_ONCE = 2_000

T = TypeVar("T")


class Casebook:
    """Opened cases, under the words of one rule pack. Threads may share it."""

    def __init__(self, engine: Engine, place: str, pack: Vocabulary) -> None:
        self.engine = engine
        self.place = place
        self.pack = pack
        self.files = FileStore(None if is_url(place) else Path(place) / "files")

    @classmethod
    def open(cls, place: str | Path, pack: Vocabulary) -> Casebook:
        """The casebook at a place, made where there is none. Raises BadInput."""
        place = str(place)
        try:
            if not is_url(place):
                private_folder(Path(place))
        except OSError as error:
            problem = f"this folder cannot be made: {error.strerror or error}"
            accepted = "a folder that may be written to"
            raise BadInput(Fault(place, 0, 0, "", problem, "", accepted)) from None
        book = cls(connect(place), place, pack)
        try:
            with book._told():
                bring_up_to_date(book.engine, book.called, book._before_migration)
        except BaseException:
            book.shut()
            raise
        return book

    @property
    def on_server(self) -> bool:
        """Whether other machines use it too."""
        return is_url(self.place)

    @property
    def called(self) -> str:
        """What a message calls it: its folder, or the server's address without a password."""
        return self.engine.url.render_as_string(hide_password=True) if self.on_server else (
            str(database_file(Path(self.place)))
        )  # fmt: skip

    def shut(self) -> None:
        """Close all connections; SQLite looks at what it has learnt of its tables first."""
        if not self.on_server:
            with suppress(SQLAlchemyError), self.engine.connect() as connection:
                connection.exec_driver_sql("PRAGMA optimize")
        self.engine.dispose()

    # -- answers and revisions -----------------------------------------------------------

    def take_in(self, journal: Journal) -> int:
        """Store what the journal holds, and drop it there; how many answers that were."""
        taken = 0
        try:
            while rows := journal.waiting(AT_ONCE):
                with self._told(), writing(self.engine) as connection:
                    take_in(connection, rows, self.pack)
                journal.forget(rows)
                taken += len(rows)
        except JournalFault as fault:
            raise BadInput(Fault(str(fault), 0, 0, "", "answers wait there", "", "")) from None
        return taken

    def close(self, key: str, closing: Closing) -> int:
        """Make a revision; its number. Raises OtherVersion where there is one not seen yet."""
        return self.write(lambda connection: close(connection, key, closing, self.pack))

    def open_for_work(self, key: str, author: str | None = None) -> StoredCase:
        """A case to go on with. Raises BadInput where it is not there or damaged."""
        who = user_name() if author is None else author
        with self._damage_told(key):
            return self.write(
                lambda connection: open_for_work(connection, key, who, now_ms(), self.pack)
            )

    def case(self, key: str) -> StoredCase:
        """A case to look at. Raises BadInput where it is not there or damaged."""

        def found(connection: Connection) -> StoredCase:
            row = row_of(connection, key)
            if row is None:
                raise KeyError(key)
            return stored(connection, row)

        with self._damage_told(key):
            return self.read(found)

    def damage(self, key: str) -> str:
        """What is wrong with the chain of a case's revisions; empty where it is whole."""

        def check(connection: Connection) -> str:
            row = row_of(connection, key)
            if row is None:
                raise KeyError(key)
            return broken(links(connection, row["id"]), row["head"])

        with self._damage_told(key):
            return self.read(check)

    def all_keys(self) -> list[str]:
        """Every case, in the order begun here."""
        asked = select(cases.c.key).order_by(cases.c.id)
        return self.read(lambda connection: list(connection.execute(asked).scalars()))

    # -- anything else -------------------------------------------------------------------

    def write(self, work: Callable[[Connection], T]) -> T:
        """Do something in one transaction: all of it or nothing. Raises BadInput."""
        with self._told(), writing(self.engine) as connection:
            return work(connection)

    def read(self, work: Callable[[Connection], T]) -> T:
        """Look something up. Raises BadInput."""
        with self._told(), reading(self.engine) as connection:
            return work(connection)

    def back_up_if_due(self, now: datetime) -> Path | None:
        """Make a backup where the last one is old; a server's is its keeper's. Raises BadInput."""
        folder = Path(self.place)
        return None if self.on_server or not due(folder, now) else back_up(folder, now)

    def clear_unused(self, now: int) -> int:
        """Delete files that nothing has named for weeks; how many. Raises BadInput."""
        old = self.write(lambda connection: self.files.note_unused(connection, now))
        for digest in old:
            with suppress(OSError):
                self.files.delete(digest)
        return len(old)

    def erase(self, customer: int | None = None, vehicle: int | None = None) -> None:
        """Erase a customer or vehicle from the tables and from the file; the cases stay.

        Backups and archives made before still hold what was erased. Raises BadInput.
        """
        if customer is not None:
            self.write(lambda connection: erase_customer(connection, customer))
        if vehicle is not None:
            self.write(lambda connection: erase_vehicle(connection, vehicle))
        with self._told():
            forget_for_good(self.engine)

    def empty_bin(self) -> int:
        """Delete what was thrown away, from the file too; how many cases. Raises BadInput."""
        count = self.write(empty)
        with self._told():
            forget_for_good(self.engine)
        return count

    # -- inside --------------------------------------------------------------------------

    def _before_migration(self) -> None:
        if not self.on_server:
            back_up(Path(self.place), datetime.now())

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except SQLAlchemyError as error:
            problem = f"the casebook cannot be used: {problem_of(error)}"
            raise BadInput(Fault(self.called, 0, 0, "", problem, "", "")) from error

    @contextmanager
    def _damage_told(self, key: str) -> Iterator[None]:
        try:
            yield
        except KeyError:
            problem, accepted = "no such case", "the key or name of a case in the casebook"
            raise BadInput(Fault(self.called, 0, 0, "", problem, key, accepted)) from None
        except ValueError as error:
            problem = f"case {key} is damaged: {error}"
            accepted = "a backup restored with: trim-advisor casebook restore"
            raise BadInput(Fault(self.called, 0, 0, "", problem, "", accepted)) from None
