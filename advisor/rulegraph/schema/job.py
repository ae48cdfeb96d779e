"""What job.yaml may contain, and the shop's part of prices.yaml, as pydantic models."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator

from advisor.rulegraph.schema.base import (
    ConditionModel,
    Name,
    Note,
    Number,
    SpreadModel,
    Status,
    Strict,
    Text,
)


class KnownModel(SpreadModel):
    """A figure that names its source; its unit is fixed by the place or written."""

    title: str = ""
    source: Name
    status: Status


class ThreadModel(Strict):
    title: Text
    fibre: Literal["polyester", "nylon"]
    tex: Annotated[float, Field(gt=0, le=1000)]
    strength: KnownModel
    needle: KnownModel
    why: Text
    when: ConditionModel | None = None


class PointModel(Strict):
    title: Text
    why: Text
    when: ConditionModel | None = None
    source: Name
    status: Status


class RodModel(Strict):
    air: KnownModel


class FoamModel(Strict):
    title: Text
    density: KnownModel
    hardness: KnownModel
    when: ConditionModel | None = None


class WaitModel(Strict):
    title: Text
    minutes: KnownModel
    before: Literal["next", "use"]
    when: ConditionModel | None = None


class TipModel(Strict):
    text: Text
    when: ConditionModel | None = None
    source: Name
    status: Status


class ClauseModel(TipModel):
    """A text for some methods; for any where none is named."""

    methods: tuple[Name, ...] = ()


class PanelModel(Strict):
    title: Text
    length: KnownModel
    width: KnownModel
    count: Annotated[int, Field(ge=1, le=40)] = 1
    may_join: bool = False
    allowance: KnownModel | None = None
    """Cut larger on every side, where it is not the seam allowance of job.yaml."""


class CoverModel(Strict):
    title: Text
    form: Literal["roll", "hide"]
    nap: bool
    limit: KnownModel | None = None


class LifeBranch(KnownModel):
    when: ConditionModel


class LifeModel(KnownModel):
    by: tuple[LifeBranch, ...] = ()


class JobModel(Strict):
    values: dict[Name, KnownModel]
    threads: dict[Name, ThreadModel]
    points: tuple[PointModel, ...]
    rods: dict[Name, RodModel]
    foams: tuple[FoamModel, ...]
    exclusions: tuple[ClauseModel, ...]
    new_cover: tuple[ClauseModel, ...]
    covers: dict[Name, CoverModel]

    @model_validator(mode="after")
    def fallbacks(self) -> JobModel:
        threads = list(self.threads.values())
        for entries, what in ((threads, "threads"), (self.points, "points"), (self.foams, "foams")):
            if not entries or entries[-1].when is not None:
                raise ValueError(f"the last of {what} has no condition: it is what is left")
        return self


class StockModel(Strict):
    what: Text
    special_order: bool = False
    price: SpreadModel | None = None
    note: Note = ""

    @model_validator(mode="after")
    def not_below_nothing(self) -> StockModel:
        if self.price is not None and self.price.triple[0] < 0:
            raise ValueError("a price is not below 0")
        return self


class QuoteModel(Strict):
    shop: Annotated[str, StringConstraints(max_length=120)] = ""
    certainty: Annotated[float, Field(ge=0.5, le=0.99)] = 0.8
    mileage: Annotated[Number, Field(ge=0)] = 0.0
    usual_distance: Annotated[Number, Field(ge=0, le=2000)] = 0.0
    tax_label: Annotated[str, StringConstraints(max_length=40)] = ""
    tax_rate: Annotated[Number, Field(ge=0, le=1)] = 0.0
    interest: Annotated[Number, Field(gt=-0.5, le=1)] = 0.05
    valid_days: Annotated[int, Field(ge=1, le=365)] = 30
    worth_repairing: Annotated[Number, Field(gt=0, le=2)] = 0.55
    stock: tuple[StockModel, ...] = ()
