"""The record of one burn test as a YAML file (docs/burn-record.md)."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    PlainValidator,
    StrictBool,
    StringConstraints,
    TypeAdapter,
    ValidationError,
    WithJsonSchema,
    model_validator,
)

from advisor.facts.faults import AnswerError, BadInput, Fault, nearest_name, one_of
from advisor.facts.marked_yaml import Marked, marked_text
from advisor.facts.text_file import MAX_BYTES, read_text
from advisor.papers.burn.exact_amount import Amount, read_amount
from advisor.papers.burn.rule_sets import READINGS, BurnRules
from advisor.papers.yaml_record import as_written
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Strict

NO_DRIPS = "no drips"

Words = Annotated[str, StringConstraints(min_length=1, max_length=300)]


def _kind(kind: str, least: int | None = 0) -> Any:
    return PlainValidator(lambda given: read_amount(given, kind, least=least))


def _drips(given: object) -> Amount:
    if isinstance(given, str) and " ".join(given.split()).casefold() == NO_DRIPS:
        given = "0 s"
    try:
        return read_amount(given, "time")
    except AnswerError as error:
        accepted = f"{error.accepted}, or: {NO_DRIPS}"
        raise AnswerError(
            error.problem, error.found, accepted, error.nearest, error.found_is
        ) from None


def _whole(given: object) -> object:
    if isinstance(given, str) and given.isascii() and given.isdigit() and len(given) < 10:
        return int(given)
    found = given if isinstance(given, str) else ""
    raise AnswerError("not a whole number", found, "a whole number such as 19")


def _above_zero(amount: Amount) -> Amount:
    if amount.value == 0:
        problem = "a rate or share cannot be calculated from it"
        raise AnswerError(problem, amount.written, "more than 0")
    return amount


def _blank_is(empty: Any) -> Any:
    return BeforeValidator(lambda given: empty if given is None else given)


_TEXT = WithJsonSchema({"type": "string"})
Length = Annotated[Amount, _kind("length"), _TEXT]
Time = Annotated[Amount, _kind("time"), _TEXT]
DripTime = Annotated[Amount, PlainValidator(_drips), _TEXT]
Speed = Annotated[Amount, _kind("speed"), _TEXT]
Mass = Annotated[Amount, _kind("mass"), _TEXT]
Share = Annotated[Amount, _kind("share"), _TEXT]
HeatFlux = Annotated[Amount, _kind("heat_flux"), _TEXT]
Heat = Annotated[Amount, _kind("heat"), _TEXT]
Number = Annotated[Amount, _kind("number"), _TEXT]
Temperature = Annotated[Amount, _kind("temperature", None), _TEXT]
Whole = Annotated[int, BeforeValidator(_whole)]
WentOut = Literal["before_first_mark", "before_last_mark", "did_not"]


class Conditioning(Strict):
    """What the specimens lay in before the test."""

    temperature: Temperature | None = None
    humidity: Share | None = None
    time: Time | None = None
    equilibrium: StrictBool | None = None


class Specimen(Strict):
    """What was read on one specimen, or on one set of cushions. None: not given."""

    burn_length: Length | None = None
    flame_time: Time | None = None
    drip_flame_time: DripTime | None = None
    glow_time: Time | None = None
    penetration: StrictBool | None = None
    went_out: WentOut | None = None
    distance: Length | None = None
    time: Annotated[Time, AfterValidator(_above_zero)] | None = None
    rate: Speed | None = None
    weight_before: Annotated[Mass, AfterValidator(_above_zero)] | None = None
    weight_after: Mass | None = None
    weight_loss: Share | None = None
    far_side_reached: StrictBool | None = None
    heat_peak: HeatFlux | None = None
    heat_total: Heat | None = None
    smoke_density: Number | None = None
    cotton_lit: StrictBool | None = None
    note: Words | None = None

    @model_validator(mode="after")
    def one_way(self) -> Specimen:
        if self.rate is not None and (self.distance is not None or self.time is not None):
            raise AnswerError(
                "the rate is given twice", "rate with distance or time",
                "rate, or distance and time",
            )  # fmt: skip
        if self.went_out == "before_first_mark" and (self.rate or self.distance or self.time):
            raise AnswerError(
                "a flame that went out before the first mark has no rate",
                "went_out: before_first_mark with a rate, distance or time",
                "went_out alone, or another word for it",
            )
        weighed = self.weight_before is not None or self.weight_after is not None
        if self.weight_loss is not None and weighed:
            raise AnswerError(
                "the loss of weight is given twice", "weight_loss with weight_before or _after",
                "weight_loss, or weight_before and weight_after",
            )  # fmt: skip
        if self.weight_before is not None and self.weight_after is not None:
            before, after = self.weight_before, self.weight_after
            if after.value > before.value:
                raise AnswerError("heavier after the test", after.written, f"to {before.written}")
        return self


Direction = Literal["warp", "fill", "any"]
Specimens = Annotated[tuple[Specimen, ...], Field(max_length=200), _blank_is(())]


class Material(Strict):
    """What was tested, as the certificate names it."""

    what: Words | None = None
    maker: Words | None = None
    part_number: Words | None = None
    batch: Words | None = None
    colour: Words | None = None
    build_up: Words | None = None
    finish: Words | None = None
    thickness: Length | None = None
    thinnest_in_use: Length | None = None


class BurnRecord(Strict):
    """One test of one material. What is left out is not known, and never 0."""

    format: Literal["1"]
    record: Annotated[str, StringConstraints(min_length=1, max_length=80)]
    title: Words | None = None
    rule_set: Words | None = None
    item: Words | None = None
    test: Words | None = None
    passengers: Whole | None = None
    agreed_limit: Speed | None = None
    laboratory: Words | None = None
    certificate: Words | None = None
    date: Words | None = None
    material: Annotated[Material, _blank_is({})] = Material()
    directional: StrictBool | None = None
    conditioning: Annotated[Conditioning, _blank_is({})] = Conditioning()
    specimens: Annotated[dict[Direction, Specimens], _blank_is({})] = Field(default_factory=dict)
    note: Annotated[str, StringConstraints(max_length=2000)] | None = None


_FORM: TypeAdapter[BurnRecord] = TypeAdapter(BurnRecord)


def read_burn_record(path: Path, rules: BurnRules) -> BurnRecord:
    """The record in a file. Raises BadInput with all its faults."""
    return burn_record_in(read_text(path, MAX_BYTES), str(path), rules)


def burn_record_in(text: str, file: str, rules: BurnRules) -> BurnRecord:
    """The record in the text of ``file``. Raises BadInput with all its faults."""
    faults: list[Fault] = []
    marked = marked_text(text, file, faults=faults)
    record = None
    try:
        record = _FORM.validate_python(as_written(marked.data, marked))
    except ValidationError as error:
        faults += faults_of(PackFile(file, Path(file), marked), error, _FORM)
    faults += _unknown_names(marked, rules)
    if faults or record is None:
        raise BadInput(faults)
    return record


def _unknown_names(marked: Marked, rules: BurnRules) -> Iterator[Fault]:
    """Words for the rule set, the item and the test that nobody knows, and readings out of place.

    Judged on the file itself, so that it is reported with all other faults.
    """
    rule_set = marked.data.get("rule_set")
    known = rules.sets.get(rule_set) if isinstance(rule_set, str) else None
    asked = (
        ("rule_set", rules.sets, "no such rule set"),
        ("item", known.items if known else None, f"no such item in {rule_set}"),
        ("test", rules.tests, "no such test"),
    )
    for key, names, problem in asked:
        word = marked.data.get(key)
        if names and isinstance(word, str) and word not in names:
            yield marked.fault(
                (key,), problem, found=word, accepted=one_of(names),
                nearest=nearest_name(word, names),
            )  # fmt: skip
    named = marked.data.get("test")
    test = rules.tests.get(named) if isinstance(named, str) else None
    groups = marked.data.get("specimens")
    if test is None or not isinstance(groups, dict):
        return
    wanted = [name for quantity in test.reads for name in READINGS[quantity]]
    fields = set(Specimen.model_fields) - {"note"}
    for direction, listed in groups.items():
        for i, specimen in enumerate(listed if isinstance(listed, list) else ()):
            for name in specimen if isinstance(specimen, dict) else ():
                if name in fields and name not in wanted:
                    yield marked.fault(
                        ("specimens", direction, i, name), "not read in this test",
                        accepted=", ".join(wanted), at_key=True,
                    )  # fmt: skip
