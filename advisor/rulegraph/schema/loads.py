"""What a file of loads may contain: nodes, sites and measurements, as pydantic models."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from advisor.rulegraph.schema.base import (
    ConditionModel,
    DrawModel,
    Name,
    Note,
    Number,
    SpreadModel,
    Status,
    Strict,
    Text,
)


class BranchModel(Strict):
    when: ConditionModel | None = None
    use: str | Number


class NodeModel(Strict):
    """One node of the load-path graph: how its value comes about."""

    title: Text
    unit: str
    draw: DrawModel | None = None
    table: Name | None = None
    column: Name | None = None
    tied_to: Name | None = None
    """A drawn node with which this one varies."""
    tied_by: Annotated[float, Field(gt=0, le=1)] = 0.8
    relation: Name | None = None
    inputs: dict[Name, str | Number | SpreadModel] = Field(default_factory=dict)
    sum: tuple[str | Number, ...] | None = None
    product: tuple[str | Number, ...] | None = None
    least: tuple[str | Number, ...] | None = None
    largest: tuple[str | Number, ...] | None = None
    pick: tuple[BranchModel, ...] | None = None
    when: ConditionModel | None = None
    otherwise: Number = 0.0
    driver: Name | None = None
    cause: bool = False
    source: Name | None = None
    status: Status | None = None
    note: Note = ""

    @model_validator(mode="after")
    def one_kind(self) -> NodeModel:
        kinds = {
            "draw": self.draw,
            "table": self.table,
            "relation": self.relation,
            "sum": self.sum,
            "product": self.product,
            "least": self.least,
            "largest": self.largest,
            "pick": self.pick,
        }
        used = [kind for kind, value in kinds.items() if value is not None]
        if len(used) != 1:
            raise ValueError("a node has exactly one of " + ", ".join(kinds))
        if (self.table is None) != (self.column is None):
            raise ValueError("table and column go together")
        if self.tied_to is not None and self.draw is None and self.table is None:
            raise ValueError("tied_to goes with a draw or a table")
        if self.inputs and self.relation is None:
            raise ValueError("inputs go with a relation")
        if self.pick is not None:
            rest = [i for i, branch in enumerate(self.pick) if branch.when is None]
            if rest != [len(self.pick) - 1]:
                raise ValueError(
                    "the last branch of pick, and no other, has no condition: it is what is left"
                )
        return self


class MeasureModel(Strict):
    """A measured fact is evidence about the node that predicts it."""

    fact: Name
    predicted_by: Name
    error: Annotated[float, Field(gt=0, le=2)]
    floor: Annotated[float, Field(gt=0)]
    finding: Text
    silent_on: Name | None = None
    """Choice of which the reading says nothing, though it goes with it in the model."""
    when: ConditionModel | None = None
    source: Name
    status: Status


class SiteModel(Strict):
    title: Text
    unit: str
    sustained: Name
    cyclic: Name
    peak: Name
    frost: Name | None = None
    """The part of the repeated load that comes on cold nights."""


class LoadsModel(Strict):
    nodes: dict[Name, NodeModel] = Field(default_factory=dict)
    sites: dict[Name, SiteModel] = Field(default_factory=dict)
    measurements: tuple[MeasureModel, ...] = ()
