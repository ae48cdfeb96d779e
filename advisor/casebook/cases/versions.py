"""A case as it stands: the last revision with the answers given since, in each window.

Answers that nobody has closed yet lie on top of a revision. Where two people worked on the
same one, both versions are there; whoever closes second is told, and merges answer by answer.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, RowMapping, func, select

from advisor.casebook.cases.chain import Link, content
from advisor.casebook.database.tables import answers, cases, closings, revisions
from advisor.casebook.journal.answers import AnswerRow, case_of, changed, changes
from advisor.facts.case import Case

#: A case of which no name was stored.
NAMELESS = Case("")


@dataclass(frozen=True)
class Version:
    """The answers of one writer that no revision holds yet."""

    writer: str
    author: str
    base: int
    """Number of the revision that they are on top of."""
    upto: int
    """Serial of the last of them."""
    at: int
    case: Case
    """The case with them."""


@dataclass(frozen=True)
class StoredCase:
    """One case of the casebook."""

    id: int
    key: str
    case: Case
    """As it stands: the last revision, or the latest version on top of it."""
    number: int
    """Of the last revision; 0 where there is none yet."""
    versions: tuple[Version, ...]
    """What no revision holds yet, the latest last."""
    row: RowMapping
    """What lists show of it."""
    advice: dict[str, Any] | None
    """What the last revision says was advised."""

    @property
    def others(self) -> tuple[Version, ...]:
        """Versions besides the one shown: there is something to merge."""
        return tuple(each for each in self.versions if each.case is not self.case)


def links(connection: Connection, case_id: int) -> list[Link]:
    """The revisions of a case, the first one first."""
    columns = revisions.c.number, revisions.c.previous, revisions.c.digest, revisions.c.body
    asked = select(*columns).where(revisions.c.case_id == case_id).order_by(revisions.c.number)
    return [Link(*row) for row in connection.execute(asked)]


def body(connection: Connection, case_id: int, number: int) -> dict[str, Any]:
    """What a revision says; empty for number 0. Raises ValueError where it is damaged."""
    if not number:
        return {}
    asked = select(revisions.c.body).where(
        revisions.c.case_id == case_id, revisions.c.number == number
    )
    found = connection.execute(asked).scalar()
    if found is None:
        raise ValueError(f"revision {number} is missing")
    return content(found)


def revised(connection: Connection, case_id: int, number: int) -> Case:
    """The case as a revision holds it. Raises ValueError."""
    said = body(connection, case_id, number)
    return case_of(said["content"]) if said else NAMELESS


def closed_by(connection: Connection, case_id: int) -> dict[str, tuple[int, int]]:
    """For each writer the last revision that closed answers of it, and up to which."""
    asked = select(
        closings.c.writer, func.max(closings.c.number), func.max(closings.c.upto)
    ).where(closings.c.case_id == case_id).group_by(closings.c.writer)  # fmt: skip
    return {writer: (number, upto) for writer, number, upto in connection.execute(asked)}


def open_versions(
    connection: Connection, case_id: int, number: int, head: Case
) -> tuple[Version, ...]:
    """Versions of which answers are in no revision yet, the one answered last at the end.

    ``head`` is what the last revision, of this number, holds. Raises ValueError for a damaged
    revision or answer.
    """
    closed = closed_by(connection, case_id)
    asked = select(answers).where(answers.c.case_id == case_id).order_by(answers.c.id)
    # In the order of their last answers' arrival: the clocks of two machines differ.
    given: dict[str, list[AnswerRow]] = {}
    for row in connection.execute(asked):
        if row.serial > closed.get(row.writer, (0, 0))[1]:
            rows = given.pop(row.writer, [])
            values = row.writer, row.serial, row.base, row.at, row.author, row.fact, row.value
            given[row.writer] = [*rows, AnswerRow("", *values)]
    bases = {number: head}
    found = []
    for writer, rows in given.items():
        rows.sort(key=lambda row: row.serial)
        # A backup put back may be older than what was answered: that lies on its last revision.
        base = min(max(rows[0].base, closed.get(writer, (0, 0))[0]), number)
        if base not in bases:
            bases[base] = revised(connection, case_id, base)
        last = rows[-1]
        case = changed(bases[base], rows)
        found.append(Version(writer, last.author, base, last.serial, last.at, case))
    return tuple(found)


def stored(connection: Connection, row: RowMapping) -> StoredCase:
    """The case of a row of ``cases``. Raises ValueError where it is damaged."""
    case_id, number = row["id"], row["version"]
    said = body(connection, case_id, number)
    head = case_of(said["content"]) if said else NAMELESS
    versions = open_versions(connection, case_id, number, head)
    on_top = [version for version in versions if version.base == number]
    case = on_top[-1].case if on_top else head
    return StoredCase(case_id, row["key"], case, number, versions, row, said.get("advice"))


def row_of(connection: Connection, key: str) -> RowMapping | None:
    """What lists show of a case."""
    return connection.execute(select(cases).where(cases.c.key == key)).mappings().first()


def holds_all_of(mine: Case, base: Case, theirs: Case) -> bool:
    """Whether everything that ``theirs`` changed since ``base`` is in ``mine`` as well."""
    missing = changes(mine, theirs)
    return not (missing.keys() & changes(base, theirs).keys())
