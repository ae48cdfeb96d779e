"""A case with all that belongs to it, out of one casebook and into another.

Importing twice changes nothing. What another casebook added is added here; where both went
on from the same revision, the other's state becomes a version beside ours, to be merged.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, ValidationError, field_validator
from sqlalchemy import Connection, RowMapping, Table, func, select, update

from advisor.casebook.cases.chain import START, Link, broken, content
from advisor.casebook.cases.described import Vocabulary, describe
from advisor.casebook.cases.keep import refresh
from advisor.casebook.cases.versions import links, revised
from advisor.casebook.database.engine import filter_words, insert, plain_words
from advisor.casebook.database.tables import (
    answers,
    case_files,
    cases,
    closings,
    files,
    outcomes,
    revisions,
    texts,
)
from advisor.casebook.journal.answers import (
    FIELD,
    AnswerRow,
    answer_of,
    case_of,
    changed,
    changes,
    field_of,
)
from advisor.facts.case import Case

#: Cases stored in one go.
AT_ONCE = 500
HEX = r"^[0-9a-f]{64}$"
KEY = r"^[0-9a-zA-Z-]{1,64}$"


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True)


class Revision(_Part):
    """One revision; ``body`` is what was digested, deflated, in base 64."""

    number: int = Field(ge=1)
    at: int
    previous: str = Field(pattern=HEX)
    digest: str = Field(pattern=HEX)
    body: str

    @property
    def link(self) -> Link:
        """As the chain has it. Raises ValueError for what is not base 64."""
        previous, digest = bytes.fromhex(self.previous), bytes.fromhex(self.digest)
        return Link(self.number, previous, digest, base64.b64decode(self.body, validate=True))


class Answer(_Part):
    """One answer row."""

    writer: str = Field(pattern=KEY)
    serial: int = Field(ge=1)
    base: int = Field(ge=0)
    at: int
    author: str
    fact: str = Field(min_length=1, max_length=200)
    value: str

    @field_validator("value")
    @classmethod
    def _json(cls, value: str) -> str:
        json.loads(value)
        return value

    def row(self, key: str) -> AnswerRow:
        """As the journal has it."""
        return AnswerRow(
            key, self.writer, self.serial, self.base, self.at, self.author, self.fact, self.value
        )

    def check(self) -> None:
        """Raises ValueError for a value that no answer has."""
        data = json.loads(self.value)
        if self.fact.startswith(FIELD):
            field_of(self.fact.removeprefix(FIELD), data)
        elif data is not None:
            answer_of(data)


class Closed(_Part):
    """Answers of a writer that a revision holds."""

    writer: str = Field(pattern=KEY)
    number: int = Field(ge=1)
    upto: int = Field(ge=0)


class OutcomeRow(_Part):
    """What came of it."""

    key: str = Field(pattern=KEY)
    at: int
    author: str
    state: str = Field(pattern=r"^(held|back|unknown)$")
    years: float | None = Field(ge=0)
    failed: str
    minutes: float | None = Field(ge=0)
    material: float | None = Field(ge=0)
    note: str


class AttachedFile(_Part):
    """A photo or other file that belongs to the case."""

    digest: str = Field(pattern=HEX)
    size: int = Field(ge=0)
    kind: str = Field(max_length=60)
    name: str
    moment: str = Field(max_length=10)
    added: int


class WholeCase(_Part):
    """One case as an archive holds it; nothing of a customer or vehicle."""

    key: str = Field(pattern=KEY)
    begun: int
    changed: int
    follow_up: int | None
    revisions: tuple[Revision, ...]
    answers: tuple[Answer, ...]
    closings: tuple[Closed, ...]
    outcomes: tuple[OutcomeRow, ...]
    files: tuple[AttachedFile, ...]

    @property
    def head(self) -> bytes:
        """Digest of the last revision."""
        return bytes.fromhex(self.revisions[-1].digest) if self.revisions else START


class Imported(StrEnum):
    """What became of one case."""

    NEW = "new"
    NOTHING_NEW = "nothing new"
    ADDED_TO = "added to"
    BESIDE = "beside ours"


def whole_of(written: bytes) -> WholeCase:
    """A case from its line in an archive. Raises ValueError where anything is wrong with it."""
    try:
        case = WholeCase.model_validate_json(written)
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(part) for part in first["loc"])
        raise ValueError(f"{where}: {first['msg']}") from None
    wrong = broken((each.link for each in case.revisions), case.head)
    if wrong:
        raise ValueError(f"case {case.key}: {wrong}")
    for each in case.revisions:
        said = content(each.link.body)
        try:
            case_of(said["content"])
        except (KeyError, TypeError, AttributeError):
            raise ValueError(f"case {case.key}: revision {each.number} holds no case") from None
    for answer in case.answers:
        answer.check()
    return case


def written(connection: Connection, rows: Iterable[RowMapping]) -> Iterator[tuple[str, WholeCase]]:
    """Cases with all that belongs to them, each with its key."""
    for row in rows:
        case_id = row["id"]
        yield row["key"], WholeCase(
            key=row["key"],
            begun=row["begun"],
            changed=row["changed"],
            follow_up=row["follow_up"],
            revisions=tuple(
                Revision(number=each.number, at=each.at, previous=each.previous.hex(),
                         digest=each.digest.hex(), body=base64.b64encode(each.body).decode())
                for each in connection.execute(
                    select(revisions).where(revisions.c.case_id == case_id)
                    .order_by(revisions.c.number))
            ),
            answers=tuple(
                Answer(writer=each.writer, serial=each.serial, base=each.base, at=each.at,
                       author=each.author, fact=each.fact, value=each.value)
                for each in connection.execute(
                    select(answers).where(answers.c.case_id == case_id).order_by(answers.c.id))
            ),
            closings=tuple(
                Closed(writer=each.writer, number=each.number, upto=each.upto)
                for each in connection.execute(
                    select(closings).where(closings.c.case_id == case_id)
                    .order_by(closings.c.number, closings.c.writer))
            ),
            outcomes=tuple(
                OutcomeRow(key=each.key, at=each.at, author=each.author, state=each.state,
                           years=each.years, failed=each.failed, minutes=each.minutes,
                           material=each.material, note=each.note)
                for each in connection.execute(
                    select(outcomes).where(outcomes.c.case_id == case_id).order_by(outcomes.c.id))
            ),
            files=tuple(
                # What a photo was called may name the customer: it goes by its content here.
                AttachedFile(digest=each.digest, size=each.size, kind=each.kind,
                             name=f"{each.digest[:12]}.jpg", moment=each.moment, added=each.added)
                for each in connection.execute(
                    select(case_files, files.c.size, files.c.kind).join(files)
                    .where(case_files.c.case_id == case_id).order_by(case_files.c.digest))
            ),
        )  # fmt: skip


def store(
    connection: Connection, given: Sequence[WholeCase], pack: Vocabulary
) -> list[Imported]:
    """Store cases; what became of each. Raises ValueError; the transaction is then undone."""
    known: dict[str, RowMapping] = {}
    keys = [case.key for case in given]
    if len(set(keys)) != len(keys):
        raise ValueError("one case is there twice")
    for start in range(0, len(keys), AT_ONCE):
        asked = select(cases).where(cases.c.key.in_(keys[start : start + AT_ONCE]))
        known |= {row["key"]: row for row in connection.execute(asked).mappings()}
    new = [case for case in given if case.key not in known]
    for start in range(0, len(new), AT_ONCE):
        _store_new(connection, new[start : start + AT_ONCE], pack)
    return [
        _added(connection, case, known[case.key], pack) if case.key in known else Imported.NEW
        for case in given
    ]


def _store_new(connection: Connection, given: Sequence[WholeCase], pack: Vocabulary) -> None:
    described = {case.key: _description(case, pack) for case in given}
    connection.execute(cases.insert(), [
        {"key": case.key, "begun": case.begun, "changed": case.changed, "binned": None,
         "follow_up": case.follow_up, "version": len(case.revisions), "head": case.head,
         **described[case.key][0]}
        for case in given
    ])  # fmt: skip
    found = select(cases.c.key, cases.c.id).where(cases.c.key.in_([case.key for case in given]))
    ids: dict[str, int] = {row.key: row.id for row in connection.execute(found)}
    connection.execute(texts.insert(), [
        {"case_id": ids[key], "words": words} for key, (_, words) in described.items()
    ])  # fmt: skip
    _store_parts(connection, [(ids[case.key], case, 0) for case in given])


def _description(case: WholeCase, pack: Vocabulary) -> tuple[dict[str, Any], str]:
    """Columns and words of a case that is not in the casebook yet."""
    said = content(case.revisions[-1].link.body) if case.revisions else None
    now = case_of(said["content"]) if said else Case("")
    closed: dict[str, int] = {}
    for each in case.closings:
        closed[each.writer] = max(each.upto, closed.get(each.writer, 0))
    later = [each for each in case.answers if each.serial > closed.get(each.writer, 0)]
    if later:
        last = later[-1].writer
        now = changed(now, [each.row(case.key) for each in later if each.writer == last])
    advice = next((one for each in reversed(case.revisions)
                   if (one := content(each.link.body)["advice"])), None)  # fmt: skip
    plan = (advice["result"]["plan"] or {}) if advice else {}
    more = " ".join(f"{each.state} {each.failed} {each.note}" for each in case.outcomes)
    told = describe(now, pack, str(plan.get("lead", "")), more)
    shown = {
        "verdict": advice["result"]["verdict"] if advice else None,
        "lead": plan.get("lead"),
        "hold": plan.get("hold_probability"),
        "outcome": case.outcomes[-1].state if case.outcomes else None,
    }
    columns = {**told.columns, **shown}
    return columns, " ".join([*filter_words(columns), *plain_words(told.words)])


def _store_parts(
    connection: Connection, given: Sequence[tuple[int, WholeCase, int]]
) -> None:
    """Of each case by its number: revisions after one, and whatever else is not there yet."""
    rows: dict[Table, list[dict[str, Any]]] = {
        table: [] for table in (revisions, answers, closings, outcomes, files, case_files)
    }
    for case_id, case, beyond in given:
        of = {"case_id": case_id}
        rows[revisions] += [
            {**of, "at": each.at, **each.link._asdict()}
            for each in case.revisions if each.number > beyond
        ]  # fmt: skip
        rows[answers] += [{**of, **each.model_dump()} for each in case.answers]
        rows[closings] += [
            {**of, **each.model_dump()}
            for each in case.closings if each.number <= len(case.revisions)
        ]  # fmt: skip
        rows[outcomes] += [{**of, **each.model_dump()} for each in case.outcomes]
        for each in case.files:
            rows[files].append({"digest": each.digest, "size": each.size, "kind": each.kind})
            rows[case_files].append({**of, "digest": each.digest, "name": each.name,
                                     "moment": each.moment, "added": each.added})  # fmt: skip
    for table, listed in rows.items():
        if listed:
            connection.execute(insert(connection, table), listed)


def _added(
    connection: Connection, case: WholeCase, row: RowMapping, pack: Vocabulary
) -> Imported:
    """Add what is new in a case that is there already."""
    ours = links(connection, row["id"])
    theirs = [each.link for each in case.revisions]
    common = sum(1 for one, other in zip(ours, theirs, strict=False) if one.digest == other.digest)
    before = _standing(connection, row["id"])
    if common in (len(ours), len(theirs)):
        _store_parts(connection, [(row["id"], case, common)])
        if len(theirs) > len(ours):
            columns, _ = _description(case, pack)
            kept = {name: columns[name] for name in ("verdict", "lead", "hold")}
            values = {"version": len(theirs), "head": case.head, "changed": case.changed, **kept}
            connection.execute(update(cases).where(cases.c.id == row["id"]).values(values))
        became = Imported.ADDED_TO
    else:
        _set_beside(connection, row["id"], case, common)
        became = Imported.BESIDE
    if _standing(connection, row["id"]) == before:
        return Imported.NOTHING_NEW
    state = connection.execute(
        select(outcomes.c.state).where(outcomes.c.case_id == row["id"])
        .order_by(outcomes.c.at.desc(), outcomes.c.id.desc())
    ).scalar()  # fmt: skip
    connection.execute(update(cases).where(cases.c.id == row["id"]).values(outcome=state))
    refresh(connection, case.key, pack)
    return became


def _set_beside(connection: Connection, case_id: int, case: WholeCase, common: int) -> None:
    """The other's state as a version on top of the last revision that both have."""
    base = revised(connection, case_id, common)
    theirs = case_of(content(case.revisions[-1].link.body)["content"])
    last = case.revisions[-1]
    writer = f"import-{last.digest[:32]}"
    rows = [
        {"case_id": case_id, "writer": writer, "serial": serial, "base": common, "at": last.at,
         "author": "imported", "fact": fact, "value": value}
        for serial, (fact, value) in enumerate(changes(base, theirs).items(), start=1)
    ]  # fmt: skip
    if rows:
        connection.execute(insert(connection, answers), rows)
    only_files = case.model_copy(update={"revisions": (), "answers": (), "closings": ()})
    _store_parts(connection, [(case_id, only_files, 0)])


def _standing(connection: Connection, case_id: int) -> tuple[int, ...]:
    """How many rows of each kind there are: a row is only ever added."""
    return tuple(
        connection.execute(
            select(func.count()).select_from(table).where(table.c.case_id == case_id)
        ).scalar_one()
        for table in (revisions, answers, outcomes, case_files)
    )
