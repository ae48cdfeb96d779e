"""What the YAML of a rule pack may contain, file by file, as pydantic models.

The models say what is well formed inside one entry; references between entries
are checked in ``build``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Annotated, Any, get_args

from pydantic import Field, StringConstraints, field_validator

from advisor.rulegraph.model.rules import Looks
from advisor.rulegraph.schema.base import (
    ConditionModel,
    Name,
    Note,
    SpreadModel,
    Status,
    Strict,
    Text,
)
from advisor.rulegraph.schema.coverage import CoverageModel
from advisor.rulegraph.schema.facts import FactModel
from advisor.rulegraph.schema.job import JobModel, QuoteModel
from advisor.rulegraph.schema.loads import LoadsModel
from advisor.rulegraph.schema.methods import MethodModel
from advisor.rulegraph.schema.own_tests import OwnTestsModel
from advisor.rulegraph.schema.plastics import PlasticsModel
from advisor.rulegraph.schema.roles import RolesModel
from advisor.rulegraph.schema.section import DrawingModel
from advisor.rulegraph.schema.tables import PartModel, TableModel


class SourceModel(Strict):
    title: Text
    place: Note = ""
    note: Note = ""


class NeedModel(Strict):
    title: Text
    when: ConditionModel
    leads_for: tuple[Name, ...] = ()
    source: Name
    status: Status


class NeedsModel(Strict):
    needs: dict[Name, NeedModel]


class AskedForModel(Strict):
    """Vehicles and parts for which a hazard is asked; what is left out means all of them.

    A part stands for itself and for every part that is like it, but for those named in
    ``except_parts`` and what is like these.
    """

    vehicles: Annotated[tuple[Name, ...], Field(min_length=1)] | None = None
    parts: Annotated[tuple[Name, ...], Field(min_length=1)] | None = None
    except_parts: tuple[Name, ...] = ()


class GateModel(Strict):
    fact: Name
    title: Text
    asked_for: tuple[AskedForModel, ...] = ()
    """Where nothing is said: for the parts whose files name it; where none does, for all."""
    asked_when: ConditionModel | None = None
    closed_when: ConditionModel
    caution_when: ConditionModel | None = None
    refer: Text
    caution: Note = ""
    about_papers: bool = False
    """It is about papers of what a repair adds: the advice says which method needs the fewest."""
    source: Name
    status: Status


class CautionModel(Strict):
    text: Text
    source: Name
    status: Status


class SwitchedOffModel(Strict):
    """A hazard question that a shop does not ask: why, who says so, and when."""

    reason: Annotated[str, StringConstraints(min_length=10, max_length=300)]
    name: Annotated[str, StringConstraints(min_length=3, max_length=80)]
    date: date


class HazardsModel(Strict):
    gates: dict[Name, GateModel] = Field(default_factory=dict)
    parts_without_hazards: tuple[Name, ...] = ()
    """Looked at, and asked only what every part is asked."""
    cautions: dict[Name, CautionModel] = Field(default_factory=dict)
    switched_off: dict[Name, SwitchedOffModel] = Field(default_factory=dict)


#: Three capital letters, as in ISO 4217.
CURRENCY = r"^[A-Z]{3}$"


class PricesModel(Strict):
    currency: Annotated[str, StringConstraints(pattern=CURRENCY)]
    hourly_rate: SpreadModel
    call_out_minimum: SpreadModel
    material_markup: SpreadModel
    comeback_goodwill: SpreadModel
    aborted_minutes: SpreadModel
    question_overhead: SpreadModel
    looks: dict[Looks, SpreadModel]
    looks_weight: Name
    holds_at: Annotated[float, Field(gt=0, le=1)]
    declines_below: Annotated[float, Field(ge=0, lt=1)]
    tells_need_from: Annotated[float, Field(ge=0, le=0.5)] = 0.1
    quote: QuoteModel = QuoteModel()
    note: Note = ""

    @field_validator(
        "hourly_rate", "call_out_minimum", "material_markup", "comeback_goodwill",
        "aborted_minutes", "question_overhead",
    )  # fmt: skip
    @classmethod
    def not_negative(cls, spread: SpreadModel) -> SpreadModel:
        if spread.triple[0] < 0:
            raise ValueError("a price, a rate or minutes may not be below 0")
        return spread

    @field_validator("looks")
    @classmethod
    def complete(cls, looks: dict[Looks, SpreadModel]) -> dict[Looks, SpreadModel]:
        missing = [word for word in get_args(Looks) if word not in looks]
        if missing:
            raise ValueError(f"looks lacks {', '.join(missing)}")
        if any(spread.triple[0] < 0 for spread in looks.values()):
            raise ValueError("a charge for looks may not be below 0")
        return looks

    def spreads(self) -> Iterator[tuple[tuple[str, ...], SpreadModel]]:
        """Every value the advice is priced with, and its place."""
        for name in type(self).model_fields:
            value = getattr(self, name)
            if isinstance(value, SpreadModel):
                yield (name,), value
        for word, spread in self.looks.items():
            yield ("looks", word), spread


class PackModel(Strict):
    version: Text
    title: Text


#: File of the pack to the model of its whole content; a folder stands for every file in it.
CONTENTS: Mapping[str, Any] = {
    "pack.yaml": PackModel,
    "sources.yaml": dict[Name, SourceModel],
    "needs.yaml": NeedsModel,
    "hazards.yaml": HazardsModel,
    "coverage.yaml": CoverageModel,
    "prices.yaml": PricesModel,
    "job.yaml": JobModel,
    "roles.yaml": RolesModel,
    "drawing.yaml": DrawingModel,
    "plastics.yaml": PlasticsModel,
    "own_tests.yaml": OwnTestsModel,
    "parts.yaml": TableModel,
    "facts/": dict[Name, FactModel],
    "loads/": LoadsModel,
    "parts/": PartModel,
    "materials/": TableModel,
    "methods/": MethodModel,
}
#: What a pack may do without.
OPTIONAL = ("plastics.yaml", "coverage.yaml", "own_tests.yaml")
