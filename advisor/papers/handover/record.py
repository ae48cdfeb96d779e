"""The hand-over record of one job: what the station must be told (docs/hand-over.md)."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, StrictBool, StringConstraints, model_validator

from advisor.facts.faults import AnswerError
from advisor.papers.yaml_record import Day, Lines, Words, blank_is
from advisor.rulegraph.model.layers import Layer
from advisor.rulegraph.schema.base import Strict

NONE = "none"
"""What is written where there was nothing to report; a blank is not an answer."""

Count = Annotated[
    Annotated[str, StringConstraints(pattern=r"^[0-9]{1,4}$")] | None,
    BeforeValidator(lambda given: str(given) if isinstance(given, int) else given or None),
]
Digest = Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")]

OperatorRule = Literal["part_91", "part_121", "part_135", "part_91_147"]
Shown = Literal[
    "photo_before", "photo_after", "burn_certificate", "conformity", "method_data", "contract",
    "drug_alcohol", "training", "calibration", "other",
]  # fmt: skip


class Station(Strict):
    """Who accepts the work, and under which contract."""

    name: Words = None
    work_order: Words = None
    contract: Words = None
    access_clause: StrictBool | None = None
    """Whether the contract lets the authority inspect the shop."""


class Operator(Strict):
    """Under which rule the aircraft flies."""

    rule: OperatorRule | None = None
    drug_alcohol_proof: Words = None


class Part(Strict):
    """What was worked on, and how many came and went."""

    registration: Words = None
    part_number: Words = None
    serial_number: Words = None
    location: Words = None
    quantity_in: Count = None
    quantity_out: Count = None
    rule_set: Words = None
    """The flammability rule, as the station gave it; a rule set of docs/burn-record.md."""
    before_first_sale: StrictBool | None = None
    """A road vehicle that was never sold at retail yet."""


class Method(Strict):
    """The data worked to."""

    reference: Words = None
    revision: Words = None
    supplied_by: Words = None


class Work(Strict):
    """What was done, by whom and when."""

    done: Lines = None
    where: Words = None
    amount: Words = None
    performer: Words = None
    training: Words = None
    started: Day = None
    completed: Day = None

    @model_validator(mode="after")
    def in_order(self) -> Work:
        if self.started and self.completed and self.completed < self.started:
            raise AnswerError(
                "completed before it was started", self.completed.isoformat(),
                f"{self.started.isoformat()} or later",
            )  # fmt: skip
        return self


class MaterialUsed(Strict):
    """One material that went into the part."""

    what: Words = None
    layer: Layer | None = None
    """What it becomes in the build-up."""
    lot: Words = None
    """The shop's own name of the lot, where it keeps lots."""
    maker: Words = None
    reference: Words = None
    """The maker's part number."""
    batch: Words = None
    conformity: Words = None
    """Number of the certificate of conformity."""
    conformity_batch: Words = None
    """The batch that certificate names."""
    shelf_life: Words = None
    """Use by, date of cure, or: none."""
    amount: Words = None


class Certificate(Strict):
    """A burn certificate, or a maker's statement that stands for one."""

    number: Words = None
    covers: Annotated[tuple[str, ...], Field(max_length=50), blank_is(())] = ()
    """Materials, by their ``what``: one, or those of a build-up that was tested together."""
    issued_by: Words = None
    """The laboratory, or the maker of a statement."""
    date: Day = None
    rule_set: Words = None
    test: Words = None
    says: Words = None
    """Standard and paragraph word for word."""
    thickness: Words = None
    finish: Words = None
    batch: Words = None
    record: Words = None
    """A burn-test record with its readings, beside this file."""
    maker_statement: StrictBool | None = None
    national_standard: Words = None
    station_accepts: StrictBool | None = None
    """A letter of the station, with number and date, that accepts a material without papers."""


class Inspection(Strict):
    """What the shop found itself; the station inspects for itself."""

    findings: Lines = None
    measurements: Lines = None


class Open(Strict):
    """What was not as planned; ``none`` where there is nothing."""

    deviations: Lines = None
    hidden_damage: Lines = None
    refusals: Lines = None
    open_items: Lines = None


class AttachedFile(Strict):
    """A file that goes along."""

    path: Annotated[str, StringConstraints(min_length=1, max_length=1000)]
    what: Shown = "other"
    sha256: Digest | None = None
    """Its digest when it was taken up; another one later is found."""


class Advisory(Strict):
    """Good to have; nothing waits for it."""

    spare_specimens: Words = None
    tool_calibration: Words = None
    cleaning_agents: Words = None


class HandoverRecord(Strict):
    """Everything the papers say that is not in the case. What is left out is not known."""

    format: Literal["1"] = "1"
    case: Annotated[str, StringConstraints(min_length=1, max_length=80)]
    prepared_by: Words = None
    prepared_on: Day = None
    station: Annotated[Station, blank_is({})] = Station()
    operator: Annotated[Operator, blank_is({})] = Operator()
    part: Annotated[Part, blank_is({})] = Part()
    method: Annotated[Method, blank_is({})] = Method()
    work: Annotated[Work, blank_is({})] = Work()
    materials: Annotated[tuple[MaterialUsed, ...], Field(max_length=100), blank_is(())] = ()
    certificates: Annotated[tuple[Certificate, ...], Field(max_length=100), blank_is(())] = ()
    inspection: Annotated[Inspection, blank_is({})] = Inspection()
    open: Annotated[Open, blank_is({})] = Open()
    files: Annotated[tuple[AttachedFile, ...], Field(max_length=200), blank_is(())] = ()
    advisory: Annotated[Advisory, blank_is({})] = Advisory()
    station_inspection: Lines = None
    """Stays blank: whatever stands here refers the papers back."""
    return_to_service: Lines = None
    """As above."""
