"""What the file of a method may contain, as pydantic models."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from advisor.rulegraph.model.layers import Layer
from advisor.rulegraph.model.rules import Looks, Renewed
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
from advisor.rulegraph.schema.job import LifeModel, TipModel, WaitModel
from advisor.rulegraph.schema.loads import NodeModel


class ModeModel(Strict):
    title: Text
    capacity: str | Number
    sustained: str | Number
    cyclic: str | Number
    hot: str | Number = 1.0
    warm: str | Number = 1.0
    cold: str | Number = 1.0
    """Factor on what it carries of the frost, which no warmth weakens."""
    relief: str | None = None
    """What the skin around a short damage carries in place of the joint."""
    lasting_share: str | Number = 1.0
    """Share of the sustained load that reaches the joint."""
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
    at: Literal["beforehand", "opening", "closing"] | None = None
    """What is got beforehand, then taking apart, come before all other work of a plan; closing up
    after it, each once."""
    when: ConditionModel | None = None


class WhyModel(Strict):
    """A condition that must hold for the method, with the sentence said if it does not."""

    if_not: Text
    when: ConditionModel
    not_shown: bool = False
    """Where it never holds the method is for something else, and is not spoken of."""
    source: Name
    status: Status


class MinutesModel(Strict):
    what: Text
    minutes: SpreadModel
    set_up: bool = False
    """Time that is spent whatever the size of the damage."""
    access: bool = False
    """Taking apart and refitting: of several methods in a plan only the longest counts."""
    extent: bool = False
    """What size or number adds to the work named before it: priced, not told to the customer."""
    per: str | Number | None = None
    when: ConditionModel | None = None


class MaterialModel(Strict):
    what: Text
    adds: tuple[Layer, ...] | None = None
    """Layers of the repaired part that it becomes; none of a cleaner. Left out: not known."""
    extent: bool = False
    """It only says what size or number add to the material named before it."""
    price: SpreadModel
    per: str | Number | None = None
    when: ConditionModel | None = None


class CalledModel(Strict):
    """What the method is called where a condition holds."""

    title: Text
    when: ConditionModel


class FollowModel(Strict):
    method: Name
    when: ConditionModel | None = None


class QuantityModel(Strict):
    """A calculator of quantities, or an amount that a node gives.

    A name alone stands for a calculator without inputs and condition.
    """

    of: Name | None = None
    inputs: dict[Name, str | Number] = Field(default_factory=dict)
    title: Note = ""
    amount: str | None = None
    """A fact or node, in the unit of ``dimension``."""
    dimension: Literal[
        "number", "length", "cloth", "big_area", "small_volume", "small_mass"
    ] = "number"
    whole: bool = False
    """Sold by the piece: rounded up, at least one."""
    note: Note = ""
    source: Name | None = None
    when: ConditionModel | None = None

    @model_validator(mode="after")
    def one_form(self) -> QuantityModel:
        own = self.amount is not None
        if own == (self.of is not None):
            raise ValueError("a quantity says one of of, amount")
        if own != bool(self.title) or own != (self.source is not None):
            raise ValueError("title and source go with amount, and it needs both")
        if own and self.inputs:
            raise ValueError("inputs go with of")
        return self


class DrawingModel(Strict):
    """A drawing of the bench sheet; a name alone stands for one without a condition."""

    of: Name
    when: ConditionModel | None = None


class RenewalModel(Strict):
    """The method puts something new in the place of the damaged part or cover."""

    what: Renewed
    title: Text


class MethodModel(Strict):
    """Keys in the order of the page: what it is, when, how, what it takes, what has to hold."""

    method: Name
    variant_of: Name | None = None
    """Method from whose file it takes what it does not say itself."""
    variant: Name | None = None
    """Another way of doing the same method, with a file of its own."""
    title: Text
    called: tuple[CalledModel, ...] = ()
    """Titles that say better what is done in some cases; the first that holds is used."""
    meets: Annotated[tuple[Name, ...], Field(min_length=1)]
    remark: Note = ""
    possible_when: tuple[WhyModel, ...] = ()
    steps: tuple[StepModel, ...]
    cautions: tuple[Name, ...] = ()
    tools: tuple[Text, ...] = ()
    work: tuple[MinutesModel, ...] = ()
    materials: tuple[MaterialModel, ...] = ()
    quantities: tuple[QuantityModel, ...] = ()
    drawings: tuple[DrawingModel, ...] = ()
    tips: tuple[TipModel, ...] = ()
    waits: tuple[WaitModel, ...] = ()
    """Times in which nobody works. These, tips and years count for the variants too."""
    lasts: LifeModel | None = None
    """Years such work lasts where it holds at all."""
    renewal: RenewalModel | None = None
    cuts_panel: bool = False
    """One panel is cut new, so that its cutting layout is wanted."""
    looks: Looks
    order: Annotated[int, Field(ge=0, le=100)]
    reliability: SpreadModel
    each_place: Name | None = None
    """Node with the power its reliability goes to, where that is the reliability of one place."""
    spared: Name | None = None
    """Node with the chance that nothing new comes beside what was repaired."""
    follow_with: tuple[FollowModel, ...] = ()
    only_beside: tuple[Name, ...] = ()
    """Methods that must carry the load; this one only helps them."""
    fallback: bool = False
    """What is done when another repair comes back."""
    joints: tuple[JointModel, ...] = ()
    nodes: dict[Name, NodeModel] = Field(default_factory=dict)

    @field_validator("quantities", "drawings", mode="before")
    @classmethod
    def named(cls, entries: Any) -> Any:
        if not isinstance(entries, list):
            return entries
        return [{"of": entry} if isinstance(entry, str) else entry for entry in entries]

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
