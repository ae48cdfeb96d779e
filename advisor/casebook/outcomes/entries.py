"""Outcomes of jobs: entered, and asked for when they are due."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from sqlalchemy import Connection, func, select, update

from advisor.casebook.cases.described import Vocabulary
from advisor.casebook.cases.keep import refresh
from advisor.casebook.database.engine import insert
from advisor.casebook.database.tables import cases, outcomes
from advisor.casebook.finding.lines import CaseLine
from advisor.casebook.finding.search import line_columns
from advisor.casebook.journal.answers import new_key

YEAR_MS = 365.25 * 86_400_000
#: A job is asked after at these ages, in years, as long as nothing has failed.
ASKED_AFTER = (0.25, 1.0, 2.0, 4.0, 7.0, 10.0)


class State(StrEnum):
    """What is known of a repair."""

    HELD = "held"
    BACK = "back"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Outcome:
    """One thing heard of a repair.

    ``years`` is how long after the job: until it failed, until it was last seen whole, or
    until it was lost sight of.
    """

    state: State
    years: float | None = None
    failed: str = ""
    """What failed, in the technician's words."""
    minutes: float | None = None
    """What the job really took; None where nobody wrote it down."""
    material: float | None = None
    """What the material really cost, in the currency of the rules."""
    note: str = ""
    author: str = ""

    def __post_init__(self) -> None:
        """Raises ValueError for what no job has."""
        for name in ("years", "minutes", "material"):
            value = getattr(self, name)
            if value is not None and not (math.isfinite(value) and value >= 0):
                raise ValueError(f"{name}: found {value}; accepted: a number from 0")


def add_outcome(
    connection: Connection, key: str, outcome: Outcome, at: int, pack: Vocabulary
) -> None:
    """Enter what was heard of a case. Raises KeyError where there is no such case.

    Without ``years`` it is the time since the case was begun.
    """
    row = connection.execute(select(cases.c.id, cases.c.begun).where(cases.c.key == key)).first()
    if row is None:
        raise KeyError(key)
    years = outcome.years
    if years is None and outcome.state is not State.UNKNOWN:
        years = max(0.0, (at - row.begun) / YEAR_MS)
    values = {
        "case_id": row.id, "key": new_key(), "at": at, "author": outcome.author,
        "state": outcome.state.value, "years": years, "failed": outcome.failed,
        "minutes": outcome.minutes, "material": outcome.material, "note": outcome.note,
    }  # fmt: skip
    connection.execute(insert(connection, outcomes).values(values))
    shown = {"outcome": outcome.state.value, "follow_up": next_asked(row.begun, at, outcome.state)}
    connection.execute(update(cases).where(cases.c.id == row.id).values(shown))
    refresh(connection, key, pack)


def next_asked(begun: int, now: int, state: State | None) -> int | None:
    """When a job is asked after next; never again once it came back."""
    if state is State.BACK:
        return None
    return next(
        (due for years in ASKED_AFTER if (due := begun + int(years * YEAR_MS)) > now), None
    )


def done(connection: Connection, key: str, at: int) -> None:
    """The job was done now: it is asked after from here on. Raises KeyError."""
    row = connection.execute(select(cases.c.id).where(cases.c.key == key)).first()
    if row is None:
        raise KeyError(key)
    due = next_asked(at, at, None)
    connection.execute(update(cases).where(cases.c.id == row.id).values(follow_up=due))


def due(connection: Connection, now: int, most: int = 10) -> list[CaseLine]:
    """Jobs to be asked after, the longest overdue first."""
    asked = select(*line_columns()).where(
        cases.c.follow_up <= now, cases.c.binned.is_(None)
    ).order_by(cases.c.follow_up)  # fmt: skip
    return [CaseLine(*row) for row in connection.execute(asked.limit(most))]


def how_many_due(connection: Connection, now: int) -> int:
    """How many jobs are to be asked after."""
    asked = select(func.count()).where(cases.c.follow_up <= now, cases.c.binned.is_(None))
    return connection.execute(asked).scalar_one()


@dataclass(frozen=True)
class Job:
    """One job as far as it was followed."""

    key: str
    lead: str
    damage: str
    computed: float
    """Calculated chance that it holds for ``LIFE`` years."""
    back: bool
    years: float
    """Until it came back, or as long as it is known to have held."""
    age: float
    """Years since it was done, whether or not it was followed so long."""

    def known_after(self, years: float) -> bool:
        """Whether it belongs to a count after so many years.

        A young job that came back does not: those as young that hold could not count either.
        """
        return self.years >= years or (self.back and self.age >= years)

    def held_for(self, years: float) -> bool:
        """Whether it was whole then."""
        return not (self.back and self.years < years)


def jobs(connection: Connection, now: int) -> list[Job]:
    """All jobs that anything with a time was heard of and that had a calculated figure.

    Of several outcomes the first comeback counts, else the longest time that it held.
    """
    rows = connection.execute(
        select(
            cases.c.key, cases.c.lead, cases.c.damage, cases.c.hold, outcomes.c.state,
            outcomes.c.years, cases.c.begun,
        )
        .join(outcomes)
        .where(
            cases.c.lead.is_not(None), cases.c.hold.is_not(None), outcomes.c.years.is_not(None),
            cases.c.binned.is_(None),
        )
        .order_by(cases.c.id, outcomes.c.at)
    )  # fmt: skip
    found: dict[str, Job] = {}
    for row in rows:
        back = row.state == State.BACK
        age = max(row.years, (now - row.begun) / YEAR_MS)
        job = Job(row.key, row.lead, row.damage or "", row.hold, back, row.years, age)
        before = found.get(row.key)
        if before is None or (not before.back and (back or job.years > before.years)):
            found[row.key] = job
    return list(found.values())


def really_took(outcome: Outcome, advice: Mapping[str, Any] | None) -> str:
    """What a job took beside what was calculated; empty where nobody wrote it down.

    ``advice`` is the last one as it was stored.
    """
    said, given = [], advice or {"result": {"plan": None}}
    if outcome.minutes is not None:
        plan = given["result"]["plan"] or {}
        said.append(f"took {outcome.minutes:.0f} minutes{_calculated(plan.get('minutes'), 0)}")
    if outcome.material is not None:
        beside = _calculated(given.get("material"), 2)
        said.append(f"material {outcome.material:.2f}{beside}")
    return "; ".join(said)


def _calculated(found: Mapping[str, float] | None, digits: int) -> str:
    if found is None:
        return ""
    low, typical, high = (f"{found[end]:.{digits}f}" for end in ("low", "typical", "high"))
    return f" (calculated {typical}{'' if low == high else f', {low} to {high}'})"


def taken(connection: Connection, key: str) -> Sequence[Outcome]:
    """Everything entered about a case, the first first."""
    rows = connection.execute(
        select(outcomes).join(cases).where(cases.c.key == key)
        .order_by(outcomes.c.at, outcomes.c.id)
    )  # fmt: skip
    return [
        Outcome(State(row.state), row.years, row.failed, row.minutes, row.material, row.note,
                row.author)
        for row in rows
    ]  # fmt: skip
