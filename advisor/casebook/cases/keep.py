"""Taking answers in, and closing them into revisions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from sqlalchemy import Connection, select, update

from advisor.casebook.cases.advised import Advised
from advisor.casebook.cases.chain import START, link
from advisor.casebook.cases.described import Vocabulary, describe
from advisor.casebook.cases.versions import (
    NAMELESS,
    StoredCase,
    body,
    closed_by,
    holds_all_of,
    revised,
    row_of,
    stored,
)
from advisor.casebook.database.engine import filter_words, insert, plain_words, upsert
from advisor.casebook.database.tables import (
    answers,
    case_files,
    cases,
    closings,
    customers,
    outcomes,
    revisions,
    texts,
    vehicles,
)
from advisor.casebook.journal.answers import AnswerRow, case_form
from advisor.facts.case import Case

FORMAT = 1


class OtherVersion(Exception):  # noqa: N818 - says what happened; the caller asks what to do
    """Somebody else made a revision meanwhile: both versions stay, and are to be merged."""

    def __init__(self, mine: Case, theirs: Case, base: Case, number: int) -> None:
        super().__init__(number)
        self.mine, self.theirs, self.base = mine, theirs, base
        self.number = number
        """Of the revision that holds ``theirs``."""


@dataclass(frozen=True)
class Closing:
    """What is closed into a revision."""

    case: Case
    writers: Mapping[str, int]
    """Writers whose answers it holds, each with the serial of the last one."""
    seen: int
    """Number of the latest revision that whoever closes has seen."""
    reason: str
    """Why now: a stage, a verdict, merged, closed."""
    author: str
    at: int
    advice: Advised | None = None


def take_in(connection: Connection, rows: Iterable[AnswerRow], pack: Vocabulary) -> None:
    """Store answers; those that are there already change nothing."""
    by_case: dict[str, list[AnswerRow]] = {}
    for row in rows:
        by_case.setdefault(row.case, []).append(row)
    for key, listed in by_case.items():  # cases are numbered in the order begun
        case_id = _case_id(connection, key, listed[0].at)
        values = [{**asdict(row), "case_id": case_id} for row in listed]
        for value in values:
            del value["case"]
        connection.execute(insert(connection, answers), values)
        refresh(connection, key, pack)


def _case_id(connection: Connection, key: str, at: int) -> int:
    """The case with this key, made where there is none."""
    asked = select(cases.c.id).where(cases.c.key == key)
    found: int | None = connection.execute(asked).scalar()
    if found is None:
        new = {"key": key, "name": "", "called": "", "begun": at, "changed": at,
               "version": 0, "head": START}  # fmt: skip
        connection.execute(insert(connection, cases).values(new))
        found = connection.execute(asked).scalar_one()
    return found


def refresh(connection: Connection, key: str, pack: Vocabulary) -> None:
    """Have lists and search show a case as it stands now."""
    row = row_of(connection, key)
    if row is None:
        return
    try:
        there = stored(connection, row)
    except ValueError:
        return  # a damaged record keeps what was last shown of it, and is reported when opened
    lead = row["lead"] or ""
    more = " ".join(
        f"{each.state} {each.failed} {each.note}"
        for each in connection.execute(select(outcomes).where(outcomes.c.case_id == there.id))
    )
    said = describe(there.case, pack, lead, more)
    changed = max([row["changed"], *(version.at for version in there.versions)])
    values = {**said.columns, "changed": changed}
    connection.execute(update(cases).where(cases.c.id == there.id).values(values))
    shown = {"lead": lead, "verdict": row["verdict"], "outcome": row["outcome"], **said.columns}
    words = " ".join([*filter_words(shown), *plain_words(said.words)])
    upsert(connection, texts, {"case_id": there.id, "words": words})


def close(connection: Connection, key: str, closing: Closing, pack: Vocabulary) -> int:
    """Make a revision; its number, or that of the last one where nothing is new.

    Raises OtherVersion where somebody made one since that holds answers which this does not,
    KeyError where there is no such case.
    """
    row = row_of(connection, key)
    if row is None:
        raise KeyError(key)
    there = stored(connection, row)
    _check_seen(connection, there, closing)
    holds = _held(connection, there, closing)
    said = body(connection, there.id, there.number)
    number = there.number
    if any(said.get(name) != value for name, value in holds.items()):
        number = _append(connection, there, closing, holds)
    for writer, upto in closing.writers.items():
        upsert(
            connection, closings,
            {"case_id": there.id, "writer": writer, "number": number, "upto": upto},
        )  # fmt: skip
    refresh(connection, key, pack)
    return number


def _check_seen(connection: Connection, there: StoredCase, closing: Closing) -> None:
    closed = closed_by(connection, there.id)
    seen = max([closing.seen, *(closed.get(writer, (0, 0))[0] for writer in closing.writers)])
    if seen >= there.number:  # greater where an older backup was put back
        return
    theirs = revised(connection, there.id, there.number)
    base = revised(connection, there.id, seen)
    if not holds_all_of(closing.case, base, theirs):
        raise OtherVersion(closing.case, theirs, base, there.number)


def _held(connection: Connection, there: StoredCase, closing: Closing) -> dict[str, Any]:
    """What a revision is made for: another one follows only where any of it is new."""
    return {
        "content": case_form(closing.case),
        "advice": asdict(closing.advice) if closing.advice is not None else None,
        "files": list(connection.execute(
            select(case_files.c.digest).where(case_files.c.case_id == there.id)
            .order_by(case_files.c.digest)).scalars()),
        "customer": _commitment(connection, customers.c, there.row["customer_id"]),
        "vehicle": _commitment(connection, vehicles.c, there.row["vehicle_id"]),
    }  # fmt: skip


def _append(
    connection: Connection, there: StoredCase, closing: Closing, holds: Mapping[str, Any]
) -> int:
    number = there.number + 1
    data = {
        "format": FORMAT,
        "case": there.key,
        "number": number,
        "at": closing.at,
        "author": closing.author,
        "reason": closing.reason,
        "closes": dict(closing.writers),
        **holds,
    }
    made = link(number, there.row["head"], data)
    values = {"version": number, "head": made.digest, "changed": closing.at}
    if closing.advice is not None:
        advice = closing.advice
        verdict = advice.result["verdict"]
        values |= {"verdict": verdict, "lead": advice.lead or None, "hold": advice.hold}
    # The number is part of the condition: of two who close at once, one finds no row.
    mine = cases.c.id == there.id, cases.c.version == there.number
    done = connection.execute(update(cases).where(*mine).values(values))
    if done.rowcount != 1:
        raise _overtaken(connection, there, closing)
    connection.execute(revisions.insert(), {
        "case_id": there.id, "number": number, "at": closing.at,
        "previous": made.previous, "digest": made.digest, "body": made.body,
    })  # fmt: skip
    return number


def _overtaken(connection: Connection, there: StoredCase, closing: Closing) -> OtherVersion:
    row = row_of(connection, there.key)
    number = row["version"] if row is not None else there.number
    theirs = revised(connection, there.id, number)
    return OtherVersion(closing.case, theirs, there.case, number)


def _commitment(connection: Connection, of: Any, found: int | None) -> str | None:
    """What stands for a customer or vehicle; says nothing without its row."""
    if found is None:
        return None
    return connection.execute(select(of.commitment).where(of.id == found)).scalar()


def open_for_work(
    connection: Connection, key: str, author: str, at: int, pack: Vocabulary
) -> StoredCase:
    """A case to go on with: what no revision holds yet is closed into one first.

    A window that still works on it elsewhere goes on on top of that revision, and is told of
    ours as we are of its. Raises KeyError, or ValueError where the record is damaged.
    """
    row = row_of(connection, key)
    if row is None:
        raise KeyError(key)
    there = stored(connection, row)
    on_top = [version for version in there.versions if version.base == there.number]
    if on_top and there.case != NAMELESS:
        last = on_top[-1]
        closing = Closing(there.case, {last.writer: last.upto}, there.number, "opened", author, at)
        close(connection, key, closing, pack)
        row = row_of(connection, key)
        assert row is not None
        there = stored(connection, row)
    return there

