"""What another database of this shop has, taken over: one put aside by restoring, or a backup.

Unlike an archive it brings all that belongs to its cases: customers, vehicles, rules, lots.
"""

from __future__ import annotations

import contextlib
import sqlite3
import tempfile
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Row, Table, func, select, update
from sqlalchemy.exc import DatabaseError

from advisor.casebook.archives.backups import copied
from advisor.casebook.archives.whole_case import AT_ONCE, Imported, WholeCase, store, written
from advisor.casebook.book import Casebook
from advisor.casebook.cases.chain import broken
from advisor.casebook.database.engine import database_file, forget_for_good, insert
from advisor.casebook.database.tables import (
    answers,
    case_files,
    cases,
    customers,
    files,
    lot_files,
    lot_uses,
    lots,
    outcomes,
    packs,
    saved_searches,
    vehicles,
)
from advisor.casebook.people import erase_again, erased, short
from advisor.casebook.photos.files import FileMissing, FileStore
from advisor.facts.faults import BadInput, Fault

Standing = tuple[bytes, int, int, int]


@dataclass(frozen=True)
class TakenOver:
    """What became of the cases of another database."""

    became: Counter[Imported]
    left: tuple[str, ...]
    """What could not be taken over, with the reason."""

    @property
    def text(self) -> str:
        """The counts for a person."""
        said = ", ".join(f"{count} {how}" for how, count in sorted(self.became.items()))
        return said or "nothing new"


@dataclass(frozen=True)
class Beside:
    """What another database has that this casebook has not."""

    not_here: int
    """Cases that are only there."""
    otherwise: int
    """Cases that stand otherwise there: with more, or with less."""

    @property
    def text(self) -> str:
        """For a person; empty where all is the same."""
        said = []
        if self.not_here:
            said.append(f"{_cases(self.not_here)} there {_are(self.not_here)} not in this one")
        if self.otherwise:
            said.append(f"{_cases(self.otherwise)} {_are(self.otherwise)} not the same in both")
        return ", ".join(said)


def after_restoring(book: Casebook, aside: Path) -> Beside:
    """What the casebook put aside has that the one put in its place has not.

    Customers and vehicles that were erased there are erased here too. Raises BadInput where
    it cannot be read.
    """
    with _opened(book, aside) as other:
        if book.write(partial(erase_again, gone=other.read(erased))):
            forget_for_good(book.engine)
        there, here = other.read(_standings), book.read(_standings)
    return Beside(
        sum(key not in here for key in there),
        sum(key in here and here[key] != each for key, each in there.items()),
    )


def take_over(book: Casebook, path: Path) -> TakenOver:
    """Add what a database has and this casebook has not; doing it twice changes nothing.

    Where both went on from the same revision, the other's state becomes a version beside ours.
    A case that is damaged there is left out and named. Customers and vehicles erased in either
    casebook stay erased. Raises BadInput where it cannot be read at all; nothing is changed then.
    """
    with _opened(book, path) as other:
        return book.write(partial(_taken, book=book, other=other, path=path))


@contextlib.contextmanager
def _opened(book: Casebook, path: Path) -> Iterator[Casebook]:
    """A copy of a database, brought to the form of this program; the file stays as it is."""
    accepted = "a casebook that restoring put aside, or a backup"
    if not path.is_file():
        raise BadInput(Fault(str(path), 0, 0, "", "no such file", "", accepted))
    beside_it = None if book.on_server else book.place  # there is room for databases there
    with tempfile.TemporaryDirectory(prefix=".taking-over-", dir=beside_it) as made:
        try:
            copied(path, database_file(Path(made)))
            with contextlib.closing(sqlite3.connect(database_file(Path(made)))) as connection:
                connection.execute("SELECT count(*) FROM cases, alembic_version").fetchone()
        except (OSError, sqlite3.Error) as error:
            problem = f"not a casebook that can be read: {error}"
            raise BadInput(Fault(str(path), 0, 0, "", problem, "", accepted)) from None
        other = Casebook.open(made, book.pack)
        try:
            yield other
        finally:
            other.shut()


def _standings(connection: Connection) -> dict[str, Standing]:
    """Of each case its last revision and how much else belongs to it."""
    counts = [
        {row[0]: row[1] for row in connection.execute(
            select(table.c.case_id, func.count()).group_by(table.c.case_id))}
        for table in (answers, outcomes, case_files)
    ]  # fmt: skip
    listed = connection.execute(select(cases.c.id, cases.c.key, cases.c.head))
    return {
        row.key: (row.head, *(each.get(row.id, 0) for each in counts))
        for row in listed
    }


def _taken(connection: Connection, book: Casebook, other: Casebook, path: Path) -> TakenOver:
    became: Counter[Imported] = Counter()
    left: list[str] = []
    with other.engine.connect() as theirs:
        erase_again(connection, erased(theirs))
        gone = erased(connection)
        people = {table.name: _people(connection, theirs, table, gone)
                  for table in (customers, vehicles)}  # fmt: skip
        here = _standings(connection)
        named = [key for key, each in _standings(theirs).items() if here.get(key) != each]
        for start in range(0, len(named), AT_ONCE):
            page = dict(_readable(theirs, named[start : start + AT_ONCE], left))
            became.update(store(connection, [case for _, case in page.values()], book.pack))
            for row, _ in page.values():
                _belongs(connection, row, row.key not in here, people)
        for table in (packs, saved_searches, lot_uses):
            _rows(connection, theirs, table)
        _lots(connection, theirs, left)
        _photos(connection, book.files, [FileStore(each / "files") for each in path.parents[:2]])
    return TakenOver(became, tuple(left))


def _readable(
    theirs: Connection, keys: list[str], left: list[str]
) -> Iterator[tuple[str, tuple[Row[Any], WholeCase]]]:
    """Those of these cases that are whole; the others are named in ``left``."""
    for key in keys:
        try:
            row = theirs.execute(select(cases).where(cases.c.key == key)).one()
            [(_, case)] = written(theirs, [row._mapping])
            wrong = broken((each.link for each in case.revisions), row.head)
        except (DatabaseError, ValueError) as error:
            reason = getattr(error, "orig", None) or error
            wrong = f"cannot be read: {reason}"
        if wrong:
            left.append(f"case {key[:12]}: {wrong}")
        else:
            yield key, (row, case)


def _people(
    connection: Connection, theirs: Connection, table: Table, gone: frozenset[str]
) -> dict[int, int]:
    """Their numbers of customers or vehicles with ours; those that are erased have none."""
    numbers: dict[int, int] = {}
    for row in theirs.execute(select(table)).mappings():
        if short(row["commitment"]) in gone:
            continue
        values = {name: value for name, value in row.items()
                  if name not in ("id", "customer_id")}  # fmt: skip
        connection.execute(insert(connection, table).values(values))
        same = select(table.c.id).where(table.c.commitment == row["commitment"])
        numbers[row["id"]] = connection.execute(same).scalar_one()
    return numbers


def _belongs(
    connection: Connection, row: Row[Any], new: bool, people: Mapping[str, Mapping[int, int]]
) -> None:
    """Whose a case is there, where nobody said so here; one thrown away there is so here."""
    mine = cases.c.key == row.key
    for table, number in (("customers", row.customer_id), ("vehicles", row.vehicle_id)):
        column = cases.c[f"{table[:-1]}_id"]
        if (ours := people[table].get(number)) is not None:
            put = update(cases).where(mine, column.is_(None)).values({column.name: ours})
            connection.execute(put)
    if new and row.binned is not None:
        connection.execute(update(cases).where(mine).values(binned=row.binned))


def _rows(connection: Connection, theirs: Connection, table: Table) -> None:
    rows = [dict(row) for row in theirs.execute(select(table)).mappings()]
    if rows:
        connection.execute(insert(connection, table), rows)


def _lots(connection: Connection, theirs: Connection, left: list[str]) -> None:
    """Versions of lots that are not here, with their papers."""
    here = {(row.name, row.number): row for row in connection.execute(select(lots))}
    for row in theirs.execute(select(lots).order_by(lots.c.id)).mappings():
        ours = here.get((row["name"], row["number"]))
        if ours is not None:
            if ours.body != row["body"]:
                left.append(f"lot {row['name']}: version {row['number']} is another one here")
            continue
        values = {name: value for name, value in row.items() if name != "id"}
        key: Any = connection.execute(lots.insert().values(values)).inserted_primary_key
        papers = select(lot_files, files.c.size, files.c.kind).join(files).where(
            lot_files.c.lot_id == row["id"])  # fmt: skip
        for paper in theirs.execute(papers):
            file = {"digest": paper.digest, "size": paper.size, "kind": paper.kind}
            connection.execute(insert(connection, files).values(file))
            kept = {"lot_id": int(key[0]), "name": paper.name, "role": paper.role}
            connection.execute(lot_files.insert().values(**kept, digest=paper.digest))


def _photos(connection: Connection, ours: FileStore, theirs: list[FileStore]) -> None:
    """Bytes of files that are named here and lie in the other's folder only."""
    for row in connection.execute(select(files.c.digest, files.c.kind)).all():
        if ours.has(connection, row.digest):
            continue
        for store_of in theirs:
            with contextlib.suppress(FileMissing):
                ours.add(connection, store_of.read(connection, row.digest), row.kind)
                break


def _cases(count: int) -> str:
    return "1 case" if count == 1 else f"{count:,} cases"


def _are(count: int) -> str:
    return "is" if count == 1 else "are"
