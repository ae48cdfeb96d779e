"""Cases handed on in one file, and taken in from one; the ending says what kind it is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from pathlib import Path

from sqlalchemy import Connection, RowMapping, select

from advisor.casebook.archives.archive import import_archive, write_archive
from advisor.casebook.book import Casebook
from advisor.casebook.database.tables import cases
from advisor.casebook.finding.lines import CaseLine
from advisor.casebook.finding.tables_out import csv_lines, json_lines
from advisor.casebook.taking_over import TakenOver, take_over
from advisor.facts.whole_file import write_whole

#: An archive with photos, a table for a spreadsheet, JSON lines.
WRITTEN = (".zip", ".csv", ".jsonl")
_AT_ONCE = 500


def export_cases(
    book: Casebook, to: Path, chosen: Callable[[Connection], Iterable[CaseLine]]
) -> int:
    """Write the cases that ``chosen`` gives into a file, whole or not at all; how many.

    Its ending is one of ``WRITTEN``. Raises OSError, or BadInput.
    """

    def put(connection: Connection) -> int:
        lines = list(chosen(connection))
        if to.suffix.lower() == ".zip":
            return write_archive(connection, _rows(connection, lines), book.files, to)
        csv = to.suffix.lower() == ".csv"
        write_whole(to, "".join(
            csv_lines(lines) if csv else json_lines(connection, lines)).encode())
        return len(lines)

    return book.read(put)


def import_file(book: Casebook, path: Path) -> TakenOver:
    """Take in an archive, or a casebook of this shop (``.sqlite``); twice changes nothing.

    Raises BadInput with the reason where it is refused: nothing of it is there then.
    """
    if path.suffix.lower() == ".sqlite":
        return take_over(book, path)
    took = partial(import_archive, path=path, photos=book.files, pack=book.pack)
    return TakenOver(book.write(took), ())


def _rows(connection: Connection, lines: list[CaseLine]) -> Iterator[RowMapping]:
    """The cases in the order begun, some hundred at a time, for they are large."""
    ids = sorted(line.id for line in lines)
    for start in range(0, len(ids), _AT_ONCE):
        asked = select(cases).where(cases.c.id.in_(ids[start : start + _AT_ONCE]))
        yield from connection.execute(asked.order_by(cases.c.id)).mappings().all()
