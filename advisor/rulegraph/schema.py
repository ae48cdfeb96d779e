"""What the YAML of a rule pack may contain, as pydantic models.

The models say what is well formed inside one entry; references between entries
are checked in ``build``.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal, get_args

from pydantic import Field, StringConstraints, field_validator, model_validator

from .pack import Looks
from .schema_base import ConditionModel, Name, Number, SpreadModel, Status, Strict, Text
from .schema_job import QuoteModel
from .schema_plastics import ReadsModel


class SourceModel(Strict):
    title: Text
    note: str = ""


class Referenced(Strict):
    source: Name
    status: Status
    note: str = ""


class DrawBranch(SpreadModel):
    when: ConditionModel


class DrawModel(SpreadModel):
    """A spread, with other spreads under conditions (the first that applies wins)."""

    by: tuple[DrawBranch, ...] = ()


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
    note: str = ""

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
    sentence: str = ""
    like: Name | None = None
    group: str = ""
    """Heading under which a long list shows it."""
    usual_in: tuple[Name, ...] = ()
    """Kinds of vehicle in which it is usual; all, where none is named."""


class FactModel(Strict):
    kind: Literal["choice", "quantity", "yes_no", "text"]
    stage: Literal["part", "damage", "hazards", "forces", "job"]
    title: Text
    ask: Text
    how: Text
    why: str = ""
    minutes: Annotated[float, Field(gt=0, le=120)] = 1.0
    gate: bool = False
    may_stay_open: bool = True
    options: dict[Name, OptionModel] = Field(default_factory=dict)
    dimension: str = "number"
    low: Number = 0.0
    high: Number = 0.0
    high_by: dict[Name, Number] = Field(default_factory=dict)
    asked_when: ConditionModel | None = None
    prior: PriorModel | None = None
    identity: bool = False
    whole: bool = False
    """What the thing is, not how it is: no flip is made of it."""
    earlier: Name | None = None
    """Method word: answered yes where an earlier repair of that method is listed."""
    reads: ReadsModel | None = None
    """A mark: the choice that it says something about."""
    narrows: Name | None = None
    """Only asked as long as that choice is not known for certain."""
    finding: str = ""
    """Said where an answer fits none of the computed cases."""

    @model_validator(mode="after")
    def complete(self) -> FactModel:
        if self.kind == "choice" and len(self.options) < 2:
            raise ValueError("a choice needs at least two options")
        if self.kind != "choice" and self.options:
            raise ValueError("only a choice has options")
        if self.kind == "quantity" and not self.low < self.high:
            raise ValueError("a quantity needs low below high: what is outside is impossible")
        if self.kind == "text" and self.prior is not None:
            raise ValueError("a text has no prior")
        if self.reads is not None and self.kind != "text":
            raise ValueError("only a text is read for another fact")
        if self.finding and (self.prior is None or self.prior.weights is None):
            raise ValueError("a finding goes with a prior that has weights")
        return self


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
    note: str = ""

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
        if self.inputs and self.relation is None:
            raise ValueError("inputs go with a relation")
        if self.pick is not None:
            rest = [i for i, branch in enumerate(self.pick) if branch.when is None]
            if rest != [len(self.pick) - 1]:
                raise ValueError(
                    "the last branch of pick, and no other, has no condition: it is what is left"
                )
        return self


class CellModel(SpreadModel):
    """One cell of a table; its unit is the column's."""


class ColumnModel(Strict):
    """A column; ``default`` stands for rows that do not give it."""

    title: Text
    unit: str
    default: CellModel | None = None


class TableModel(Strict):
    table: Name
    title: Text
    key: Name
    columns: dict[Name, ColumnModel]
    rows: dict[Name, dict[Name, CellModel]] = Field(default_factory=dict)


class MeasureModel(Strict):
    """A measured fact is evidence about the node that predicts it."""

    fact: Name
    predicted_by: Name
    error: Annotated[float, Field(gt=0, le=2)]
    floor: Annotated[float, Field(gt=0)]
    finding: Text
    when: ConditionModel | None = None
    source: Name
    status: Status


class SiteModel(Strict):
    title: Text
    unit: str
    sustained: Name
    cyclic: Name
    peak: Name


class LoadsModel(Strict):
    nodes: dict[Name, NodeModel] = Field(default_factory=dict)
    sites: dict[Name, SiteModel] = Field(default_factory=dict)
    measurements: tuple[MeasureModel, ...] = ()


class PartModel(Strict):
    part: Name
    title: Text
    gates: tuple[Name, ...] = ()
    values: dict[Name, CellModel] = Field(default_factory=dict)
    priors: dict[Name, PriorModel] = Field(default_factory=dict)


class NeedModel(Strict):
    title: Text
    when: ConditionModel
    leads_for: tuple[Name, ...] = ()
    source: Name
    status: Status


class NeedsModel(Strict):
    needs: dict[Name, NeedModel]


class ModeModel(Strict):
    title: Text
    capacity: str | Number
    sustained: str | Number
    cyclic: str | Number
    hot: str | Number = 1.0
    warm: str | Number = 1.0
    source: Name
    status: Status


class JointModel(Strict):
    meets: tuple[Name, ...]
    site: Name
    when: ConditionModel | None = None
    modes: Annotated[dict[Name, ModeModel], Field(min_length=1)]


class StepModel(Strict):
    text: Text
    cautions: tuple[Name, ...] = ()
    when: ConditionModel | None = None


class WhyModel(Strict):
    """A condition that must hold for the method, with the sentence said if it does not."""

    if_not: Text
    when: ConditionModel
    source: Name
    status: Status


class MinutesModel(Strict):
    what: Text
    minutes: SpreadModel
    set_up: bool = False
    """Time that is spent whatever the size of the damage."""
    per: str | Number | None = None
    when: ConditionModel | None = None


class MaterialModel(Strict):
    what: Text
    price: SpreadModel
    per: str | Number | None = None
    when: ConditionModel | None = None


class FollowModel(Strict):
    method: Name
    when: ConditionModel | None = None


class MethodModel(Strict):
    method: Name
    variant: Name | None = None
    """Another way of doing the same method, with a file of its own."""
    title: Text
    meets: Annotated[tuple[Name, ...], Field(min_length=1)]
    nodes: dict[Name, NodeModel] = Field(default_factory=dict)
    possible_when: tuple[WhyModel, ...] = ()
    joints: tuple[JointModel, ...] = ()
    reliability: SpreadModel
    follow_with: tuple[FollowModel, ...] = ()
    only_beside: tuple[Name, ...] = ()
    """Methods that must carry the load; this one only helps them."""
    order: Annotated[int, Field(ge=0, le=100)]
    looks: Looks
    work: tuple[MinutesModel, ...] = ()
    materials: tuple[MaterialModel, ...] = ()
    tools: tuple[Text, ...] = ()
    steps: tuple[StepModel, ...]
    cautions: tuple[Name, ...] = ()
    remark: str = ""
    fallback: bool = False
    """What is done when another repair comes back."""

    @field_validator("reliability")
    @classmethod
    def share(cls, reliability: SpreadModel) -> SpreadModel:
        low, _, high = reliability.triple
        if not 0.0 <= low <= high <= 1.0:
            raise ValueError("reliability is a share between 0 and 1")
        return reliability

    @property
    def key(self) -> str:
        """Name of the method and, where there is one, of the variant."""
        return self.method if self.variant is None else f"{self.method}.{self.variant}"


class GateModel(Strict):
    fact: Name
    title: Text
    asked_when: ConditionModel | None = None
    closed_when: ConditionModel
    caution_when: ConditionModel | None = None
    refer: Text
    caution: str = ""
    source: Name
    status: Status


class CautionModel(Strict):
    text: Text
    source: Name
    status: Status


class HazardsModel(Strict):
    gates: dict[Name, GateModel]
    cautions: dict[Name, CautionModel]


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
    quote: QuoteModel = QuoteModel()
    note: str = ""

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


