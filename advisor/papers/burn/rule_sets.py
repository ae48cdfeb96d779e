"""Rule sets for burn tests: items, tests and limits, from the files in ``limits``.

They are the words of authorities, not a shop's own, so no overlay changes them. Each
figure says where it was read, or that it is from memory.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import Field, PlainValidator, TypeAdapter, ValidationError, WithJsonSchema

from advisor.facts.faults import BadInput, Fault
from advisor.facts.marked_yaml import Marked, read_marked
from advisor.papers.burn.exact_amount import Amount, read_amount
from advisor.rulegraph.reading.pack_files import PackFile
from advisor.rulegraph.reading.validation_faults import faults_of
from advisor.rulegraph.schema.base import Name, Strict

FOLDER = Path(__file__).parent / "limits"

#: What is compared with a limit, to the kind of amount it is; "" where it is yes or no.
KINDS: Mapping[str, str] = {
    "burn_length": "length", "flame_time": "time", "drip_flame_time": "time",
    "glow_time": "time", "penetration": "", "rate": "speed", "weight_loss": "share",
    "cushion_burn_length": "length", "heat_peak": "heat_flux", "heat_total": "heat",
    "smoke_density": "number", "cotton_lit": "",
}  # fmt: skip
#: The fields of a specimen that it is taken from.
READINGS: Mapping[str, tuple[str, ...]] = {
    **{name: (name,) for name in KINDS},
    "rate": ("went_out", "distance", "time", "rate"),
    "weight_loss": ("weight_before", "weight_after", "weight_loss"),
    "cushion_burn_length": ("burn_length", "far_side_reached"),
}

Quantity = Literal[
    "burn_length", "flame_time", "drip_flame_time", "glow_time", "penetration", "rate",
    "weight_loss", "cushion_burn_length", "heat_peak", "heat_total", "smoke_density", "cotton_lit",
]  # fmt: skip
Sentence = Annotated[str, Field(min_length=1, max_length=600)]


def _of(kind: str, least: int | None = 0) -> Any:
    return PlainValidator(lambda given: read_amount(given, kind, least=least))


_TEXT = WithJsonSchema({"type": "string"})
Length = Annotated[Amount, _of("length"), _TEXT]
Time = Annotated[Amount, _of("time"), _TEXT]


class Sourced(Strict):
    """Something that stands in a publication."""

    source: Name
    status: Literal["looked_up", "from_memory", "common_practice", "estimate"]
    where: str = ""
    """The paragraph."""


class Said(Sourced):
    """A sentence with its source."""

    text: Sentence


class SelfOut(Strict):
    """A specimen whose flame went out before the last mark meets the limit where this holds."""

    distance_at_most: Length | None = None
    time_below: Time | None = None


class Limit(Sourced):
    """What a quantity may be, and of what the comparison is made."""

    quantity: Quantity
    judged: Literal["mean", "each", "share", "never"]
    at_most: str | None = None
    agreed: bool = False
    """The figure is agreed with the buyer, and is in the record."""
    share: Annotated[str, Field(pattern=r"^[1-9]/[1-9]$")] | None = None
    self_out: SelfOut | None = None

    @property
    def amount(self) -> Amount | None:
        """The figure of the rule; None where it has none."""
        return None if self.at_most is None else read_amount(self.at_most, KINDS[self.quantity])


class Band(Sourced):
    """The air that specimens lie in before the test, and for how long."""

    temperature: tuple[
        Annotated[Amount, _of("temperature", None), _TEXT],
        Annotated[Amount, _of("temperature", None), _TEXT],
    ]
    humidity: tuple[Annotated[Amount, _of("share"), _TEXT], Annotated[Amount, _of("share"), _TEXT]]
    time: Time
    or_equilibrium: bool = False
    exact: bool = False
    """The rule names a value and no tolerance: what differs from it is for review."""


class Counted(Sourced):
    """How many specimens are tested."""

    least: Annotated[int, Field(ge=1)]


class Measured(Sourced):
    """An amount that the method names."""

    amount: str


class BurnTest(Strict):
    """How a test is done, whatever item it is for."""

    title: Sentence
    reads: Annotated[tuple[Quantity, ...], Field(min_length=1)]
    specimens: Counted
    directions: bool = True
    """Materials with directions are tested along both."""
    conditioning: Band
    resolution: dict[Quantity, Measured] = Field(default_factory=dict)
    thickest: Measured | None = None
    least_distance: Measured | None = None
    notes: tuple[Said, ...] = ()


class ItemTest(Strict):
    """What a test of an item is compared with."""

    limits: tuple[Limit, ...] = ()
    from_passengers: int | None = None
    """Asked of vehicles with so many passengers or more."""
    instead_of: tuple[Name, ...] = ()
    """Tests of the item that need not be done where this one is within its limits."""
    review: Said | None = None
    """Why somebody else decides, whatever the figures."""


class ItemClass(Strict):
    """A class of items that a rule set treats alike."""

    title: Sentence
    paragraph: str = ""
    tests: dict[Name, ItemTest] = Field(default_factory=dict)
    not_required: Said | None = None
    """Why the rule set asks nothing of it."""
    tests_not_required: dict[Name, Said] = Field(default_factory=dict)
    notes: tuple[Said, ...] = ()


class RuleSet(Strict):
    """One rule or standard, with the items it knows."""

    rule_set: Name
    title: Sentence
    applies_to: Sentence
    defer_to: Sentence
    items: dict[Name, ItemClass] = Field(default_factory=dict)
    review: Said | None = None
    """Why nothing can be judged under it here."""
    notes: tuple[Said, ...] = ()


@dataclass(frozen=True)
class BurnRules:
    """All that is known of burn tests."""

    sets: Mapping[str, RuleSet]
    tests: Mapping[str, BurnTest]
    sources: Mapping[str, str]
    digest: str
    """A fingerprint of the files they were read from."""


@lru_cache(maxsize=1)
def shipped_rules() -> BurnRules:
    """The rule sets that ship with the program."""
    return read_rules(FOLDER)


def read_rules(folder: Path) -> BurnRules:
    """The rule sets in ``folder``. Raises BadInput with the faults of all files."""
    faults: list[Fault] = []
    sources = _content(folder / "sources.yaml", dict[Name, Sentence], faults) or {}
    tests = _content(folder / "tests.yaml", dict[Name, BurnTest], faults) or {}
    sets = {}
    for path in sorted(folder.glob("*.yaml")):
        if path.name in ("sources.yaml", "tests.yaml"):
            continue
        one = _content(path, RuleSet, faults)
        if one is not None:
            sets[one.rule_set] = one
            faults += _loose_ends(path, one, tests)
    for place, sourced in _sourced([*sets.values(), *tests.values()]):
        if sourced.source not in sources:
            problem = f"no such source in {place}"
            fault = Fault(str(folder), 0, 0, "", problem, sourced.source, "one of sources.yaml")
            faults.append(fault)
    if faults:
        raise BadInput(faults)
    digest = hashlib.sha256()
    for path in sorted(folder.glob("*.yaml")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return BurnRules(sets, tests, sources, digest.hexdigest())


def _content(path: Path, form: Any, faults: list[Fault]) -> Any:
    adapter: TypeAdapter[Any] = TypeAdapter(form)
    try:
        marked: Marked = read_marked(path, faults=faults)
        return adapter.validate_python(marked.data)
    except BadInput as bad:
        faults += bad.faults
    except ValidationError as error:
        faults += faults_of(PackFile(path.name, path, marked), error, adapter)
    return None


def _loose_ends(path: Path, rules: RuleSet, tests: Mapping[str, BurnTest]) -> Iterator[Fault]:
    """Tests that are not described, limits on what a test does not read, amounts of no kind."""
    for name, item in rules.items.items():
        where = f"items.{name}"
        for test in {*item.tests, *item.tests_not_required} - set(tests):
            yield Fault(str(path), 0, 0, where, "no such test", test, ", ".join(tests))
        for test, asked in item.tests.items():
            for other in set(asked.instead_of) - set(item.tests):
                yield Fault(str(path), 0, 0, where, "no such test of the item", other, "")
            for limit in asked.limits if test in tests else ():
                if limit.quantity not in tests[test].reads:
                    problem = f"{test} does not read it"
                    yield Fault(str(path), 0, 0, where, problem, limit.quantity, "")
                try:
                    figure = limit.amount
                except ValueError as error:
                    yield Fault(str(path), 0, 0, where, str(error), "", "")
                    continue
                told = (figure is not None) + limit.agreed + (limit.judged == "never")
                if told != 1 or (limit.judged == "share") != (limit.share is not None):
                    problem = "say at_most, agreed or judged: never; share with judged: share"
                    yield Fault(str(path), 0, 0, where, problem, limit.quantity, "")


def _sourced(models: Any, place: str = "") -> Iterator[tuple[str, Sourced]]:
    """Everything with a source, however deep it lies."""
    if isinstance(models, Sourced):
        yield place, models
    if isinstance(models, Strict):
        models = {name: getattr(models, name) for name in type(models).model_fields}
    if isinstance(models, Mapping):
        for key, inside in models.items():
            yield from _sourced(inside, f"{place}.{key}".lstrip("."))
    elif isinstance(models, (list, tuple)):
        for inside in models:
            yield from _sourced(inside, place)
