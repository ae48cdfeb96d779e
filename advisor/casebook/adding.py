"""Cases that are whole already put into the casebook: case files, autosaves."""

from __future__ import annotations

from enum import StrEnum

from sqlalchemy import Connection, select

from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.described import Vocabulary
from advisor.casebook.cases.keep import Closing, close, take_in
from advisor.casebook.cases.versions import row_of, stored
from advisor.casebook.database.tables import cases
from advisor.casebook.journal.answers import AnswerRow, changes, new_key
from advisor.facts.case import Case


class Added(StrEnum):
    """What became of a case."""

    NEW = "added"
    REVISED = "added as a new revision"
    NOTHING_NEW = "there already"


def add_case(
    connection: Connection,
    case: Case,
    author: str,
    at: int,
    pack: Vocabulary,
    advice: Advised | None = None,
) -> tuple[str, Added]:
    """Store a case; its key. One of the same name is given a revision more.

    What it held before stays in the revision before.
    """
    named = select(cases.c.key).where(cases.c.name == case.name).order_by(cases.c.id.desc())
    found = connection.execute(named).scalar()
    key = found or new_key()
    before, number = Case(""), 0
    if found is not None:
        row = row_of(connection, key)
        assert row is not None
        there = stored(connection, row)
        before, number = there.case, there.number
    writer = new_key()
    rows = [
        AnswerRow(key, writer, serial, number, at, author, fact, value)
        for serial, (fact, value) in enumerate(changes(before, case).items(), start=1)
    ]
    take_in(connection, rows, pack)
    if found is not None and not rows and number:
        return key, Added.NOTHING_NEW
    closing = Closing(case, {writer: len(rows)}, number, "added", author, at, advice)
    close(connection, key, closing, pack)
    return key, Added.NEW if found is None else Added.REVISED
