"""What all models of a rule pack share: names, conditions, spreads."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    ConfigDict,
    Field,
    StringConstraints,
    model_validator,
)

from advisor.wording.phrases import read_phrase

Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]*(\.[a-z0-9_]+)*$", max_length=80)]
#: Words for a person; the amounts in them are found when they are read.
Text = Annotated[
    str, StringConstraints(min_length=1, max_length=600), AfterValidator(read_phrase)
]
#: As `Text`, and may be left empty.
Note = Annotated[str, AfterValidator(read_phrase)]
Status = Literal["looked_up", "from_memory", "common_practice", "estimate"]
#: No figure of the trade is larger; beyond it products of several would overflow.
LARGEST = 1e12
Number = Annotated[float, Field(allow_inf_nan=False, ge=-LARGEST, le=LARGEST)]


class Strict(BaseModel):
    """Refuses keys it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class ConditionModel(Strict):
    """One of: a fact or node compared, all, any, not."""

    fact: Name | None = None
    node: Name | None = None
    is_: str | bool | tuple[str, ...] | None = Field(default=None, alias="is")
    is_not: str | tuple[str, ...] | None = None
    at_least: str | Number | None = None
    at_most: str | Number | None = None
    all: tuple[ConditionModel, ...] | None = None
    any: tuple[ConditionModel, ...] | None = None
    not_: ConditionModel | None = Field(default=None, alias="not")

    @model_validator(mode="after")
    def one_form(self) -> ConditionModel:
        forms = [self.fact, self.node, self.all, self.any, self.not_]
        if sum(form is not None for form in forms) != 1:
            raise ValueError("a condition has exactly one of fact, node, all, any, not")
        tests = [self.is_, self.is_not, self.at_least, self.at_most]
        used = sum(test is not None for test in tests)
        if (self.fact or self.node) and used == 0:
            raise ValueError("say is, is_not, at_least or at_most")
        if not (self.fact or self.node) and used:
            raise ValueError("is, is_not, at_least and at_most go with fact or node")
        limits = self.at_least is not None or self.at_most is not None
        if (self.is_ is not None) + (self.is_not is not None) + limits > 1:
            raise ValueError("say only one of is, is_not, or at_least with at_most")
        return self


class SpreadModel(Strict):
    """A value or a low/typical/high range; unit where the place does not fix it."""

    value: Number | None = None
    low: Number | None = None
    typical: Number | None = None
    high: Number | None = None
    unit: str | None = None
    source: Name | None = None
    status: Status | None = None
    note: Note = ""

    @model_validator(mode="after")
    def ordered(self) -> SpreadModel:
        three = (self.low, self.typical, self.high)
        if self.value is not None:
            if any(part is not None for part in three):
                raise ValueError("give value, or low, typical and high, not both")
        elif self.low is None or self.typical is None or self.high is None:
            raise ValueError("give value, or all of low, typical and high")
        elif not self.low <= self.typical <= self.high:
            raise ValueError("low, typical and high must not fall")
        return self

    @property
    def triple(self) -> tuple[float, float, float]:
        if self.value is not None:
            return self.value, self.value, self.value
        assert self.low is not None and self.typical is not None and self.high is not None
        return self.low, self.typical, self.high


class DrawBranch(SpreadModel):
    when: ConditionModel


class DrawModel(SpreadModel):
    """A spread, with other spreads under conditions (the first that applies wins)."""

    by: tuple[DrawBranch, ...] = ()
