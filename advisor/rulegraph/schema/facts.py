"""What a file of facts may contain, and what is assumed of an open fact, as pydantic models."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from advisor.rulegraph.schema.base import (
    ConditionModel,
    DrawModel,
    Name,
    Note,
    Number,
    Status,
    Strict,
    Text,
)
from advisor.rulegraph.schema.plastics import ReadsModel


class WeightsBranch(Strict):
    when: ConditionModel
    weights: dict[str, Annotated[float, Field(ge=0)]]


class PriorModel(Strict):
    """What is assumed of an open fact: weights, a spread, or a table column."""

    weights: dict[str, Annotated[float, Field(ge=0)]] | None = None
    by: tuple[WeightsBranch, ...] = ()
    spread: DrawModel | None = None
    table: Name | None = None
    column: Name | None = None
    source: Name
    status: Status
    note: Note = ""

    @model_validator(mode="after")
    def one_kind(self) -> PriorModel:
        kinds = [self.weights is not None, self.spread is not None, self.table is not None]
        if sum(kinds) != 1:
            raise ValueError("a prior has exactly one of weights, spread, table")
        if (self.table is None) != (self.column is None):
            raise ValueError("table and column go together")
        if self.weights is not None and sum(self.weights.values()) <= 0:
            raise ValueError("the weights add up to nothing")
        return self


class OptionModel(Strict):
    title: Text
    sentence: Note = ""
    like: Name | None = None
    group: str = ""
    """Heading under which a long list shows it."""
    usual_in: tuple[Name, ...] = ()
    """Kinds of vehicle in which it is usual; all, where none is named."""
    not_covered: bool = False
    """None of the others fits: nothing is calculated then."""
    words: tuple[Text, ...] = ()
    """What people also call it, for the search."""


class FactModel(Strict):
    kind: Literal["choice", "quantity", "yes_no", "text"]
    stage: Literal["part", "damage", "hazards", "forces", "job"]
    title: Text
    ask: Text
    how: Text
    why: Note = ""
    minutes: Annotated[float, Field(gt=0, le=120)] = 1.0
    gate: bool = False
    may_stay_open: bool = True
    options: dict[Name, OptionModel] = Field(default_factory=dict)
    dimension: str = "number"
    low: Number = 0.0
    high: Number = 0.0
    high_by: dict[Name, Number] = Field(default_factory=dict)
    asked_when: ConditionModel | None = None
    before_quote: ConditionModel | None = None
    """Where it holds nothing is quoted before this is known, even if it changes no method."""
    prior: PriorModel | None = None
    identity: bool = False
    whole: bool = False
    prices: bool = False
    """The price goes by it: asked before a quote, whatever the method."""
    """What the thing is, not how it is: no flip is made of it."""
    earlier: Name | None = None
    """Method word: answered yes where an earlier repair of that method is listed."""
    tool: Note = ""
    """What it takes that not every shop has; empty for nothing."""
    spoils: bool = False
    """Looking harms the part a little: asked after all that does not."""
    reads: ReadsModel | None = None
    """A mark: the choice that it says something about."""
    narrows: Name | None = None
    """Only asked as long as that choice is not known for certain."""
    finding: Note = ""
    """Said where an answer fits none of the simulated cases."""

    @model_validator(mode="after")
    def complete(self) -> FactModel:
        if self.kind == "choice" and len(self.options) < 2:
            raise ValueError("a choice needs at least two options")
        if self.kind != "choice" and self.options:
            raise ValueError("only a choice has options")
        if self.kind == "quantity" and not self.low < self.high:
            raise ValueError("a quantity needs low below high")
        if self.kind == "text" and self.prior is not None:
            raise ValueError("a text has no prior")
        if self.reads is not None and self.kind != "text":
            raise ValueError("only a text is read for another fact")
        if self.finding and (self.prior is None or self.prior.weights is None):
            raise ValueError("a finding goes with a prior that has weights")
        return self
