"""Cases that are whole already put into the casebook: case files, autosaves.

A case file that is opened again is the case of its name that is there, not another one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from sqlalchemy import Connection, delete, select

from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.described import Vocabulary
from advisor.casebook.cases.keep import Closing, OtherVersion, close, open_for_work, take_in
from advisor.casebook.cases.versions import holds_all_of, revised, row_of, stored
from advisor.casebook.database.tables import cases, texts
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


@dataclass(frozen=True)
class Recognised:
    """The case of the casebook that a case file is."""

    key: str
    base: int
    """Number of the revision that the file goes on from; 0 where none says what it says."""
    based: Case
    """What that one holds; an empty case for 0."""
    other: OtherVersion | None
    """What the casebook has that the file has not, where there is any."""


def recognise(
    connection: Connection, case: Case, besides: str, author: str, at: int, pack: Vocabulary
) -> Recognised | None:
    """Find the case that was opened from a file; None where there is none of its name.

    ``besides`` is the key that it is kept under until it is found, if anything was answered.

    Of several of one name it is the last one that ever said what the file says, else the
    newest. What is not closed yet there is closed first, as for any case that is opened.
    Damaged ones are passed over.
    """
    asked = select(cases.c.key).where(cases.c.name == case.name, cases.c.binned.is_(None))
    here = row_of(connection, besides)
    if here is not None:
        asked = asked.where(cases.c.id < here["id"])  # what was begun since looks for this one
    found: Recognised | None = None
    for key in connection.execute(asked.order_by(cases.c.id.desc()).limit(9)).scalars().all():
        try:
            there = open_for_work(connection, key, author, at, pack)
            earlier = range(there.number, 0, -1)
            said = ((number, revised(connection, there.id, number)) for number in earlier)
            base, based = next(
                ((number, held) for number, held in said if not changes(held, case)),
                (0, Case("")),
            )
        except ValueError:
            continue
        if holds_all_of(case, based, there.case):
            return Recognised(key, there.number, there.case, None)
        told = OtherVersion(case, there.case, based, there.number)
        if base:
            return Recognised(key, base, based, told)
        found = found or Recognised(key, base, based, told)
    return found


def moved(
    connection: Connection, was: str, to: Recognised | None, author: str, at: int,
    pack: Vocabulary,
) -> None:
    """Have the answers kept under ``was``, before the file was recognised, in the case found.

    With None they are there already. Nothing is done where a revision was made of them.
    """  # fmt: skip
    row = row_of(connection, was)
    if row is None or row["version"]:
        return
    if to is not None:
        writer, case = new_key(), stored(connection, row).case
        rows = [
            AnswerRow(to.key, writer, serial, to.base, at, author, fact, value)
            for serial, (fact, value) in enumerate(changes(to.based, case).items(), start=1)
        ]
        take_in(connection, rows, pack)
    connection.execute(delete(texts).where(texts.c.case_id == row["id"]))
    connection.execute(delete(cases).where(cases.c.id == row["id"]))
