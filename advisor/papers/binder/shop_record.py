"""What a shop says of itself for the audit: people, tools, agreements, deviations, answers.

One file, ``papers/shop.yaml`` in the user's own folder (docs/audit-binder.md).
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StrictBool, StringConstraints, model_validator

from advisor.facts.faults import AnswerError
from advisor.papers.yaml_record import Day, Lines, Words, blank_is, read_record, write_record
from advisor.paths import papers_folder
from advisor.rulegraph.schema.base import Name, Strict

Needed = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=300)]


class Training(Strict):
    """One training of one person."""

    person: Needed
    what: Needed
    number: Words = None
    on: Day = None
    until: Day = None
    """The last day it counts for; left out, it does not run out."""
    given_by: Words = None
    evidence: Words = None
    """A file."""


class Tool(Strict):
    """A tool; one that measures is calibrated."""

    name: Needed
    number: Words = None
    measures: StrictBool = True
    calibrated: Day = None
    due: Day = None
    certificate: Words = None
    evidence: Words = None


class Agreement(Strict):
    """A contract with a station."""

    station: Needed
    contract: Words = None
    signed: Day = None
    access_clause: StrictBool | None = None
    audited: Day = None
    """When the station last audited the shop on site."""
    evidence: Words = None


class Deviation(Strict):
    """Something that was not as it should be, until it is closed."""

    on: Day = None
    what: Needed
    case: Words = None
    closed: Day = None
    how: Lines = None

    @model_validator(mode="after")
    def in_order(self) -> Deviation:
        if self.on and self.closed and self.closed < self.on:
            raise AnswerError(
                "closed before it was found", self.closed.isoformat(),
                f"{self.on.isoformat()} or later",
            )  # fmt: skip
        return self


class Answer(Strict):
    """What somebody found who looked."""

    state: Literal["met", "not_met", "not_applicable"]
    on: Day = None
    by: Words = None
    note: Lines = None
    evidence: Words = None


class ShopRecord(Strict):
    """Everything. What is left out is not known."""

    format: Literal["1"] = "1"
    trainings: Annotated[tuple[Training, ...], Field(max_length=500), blank_is(())] = ()
    tools: Annotated[tuple[Tool, ...], Field(max_length=500), blank_is(())] = ()
    agreements: Annotated[tuple[Agreement, ...], Field(max_length=50), blank_is(())] = ()
    deviations: Annotated[tuple[Deviation, ...], Field(max_length=1000), blank_is(())] = ()
    answers: Annotated[
        dict[Name, Answer], BeforeValidator(lambda given: {} if given is None else given)
    ] = Field(default_factory=dict)


def shop_file() -> Path:
    """Where this user's record of the shop is kept; need not exist."""
    return papers_folder() / "shop.yaml"


def read_shop(path: Path | None = None) -> ShopRecord:
    """The record; an empty one where none is kept. Raises BadInput."""
    place = path or shop_file()
    return read_record(place, ShopRecord) if place.exists() else ShopRecord()


def write_shop(record: ShopRecord, path: Path | None = None) -> None:
    """Keep it. Raises BadInput."""
    write_record(record, path or shop_file())
