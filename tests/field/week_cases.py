"""The week's cases as data: ``week.yaml`` and ``method_words.yaml``, checked when they are read."""

from __future__ import annotations

from functools import cache, cached_property
from pathlib import Path
from typing import Annotated, Literal

import yaml
from pydantic import BaseModel, ConfigDict, Field, model_validator

HERE = Path(__file__).parent
COLUMNS = ("mobile", "canvas", "upholsterer", "depot")
REFER = "refer"

#: An answer as a case file holds it; None takes the setting's answer away.
Answer = str | bool | int | tuple[str, ...] | None
Answers = dict[str, Answer]


class Strict(BaseModel):
    """Refuses keys it does not know."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True)


class Row(Strict):
    """One kind of job and its share of a week's jobs [%], by shop."""

    row: int
    kind: str
    mobile: int
    canvas: int
    upholsterer: int
    depot: int

    def share(self, column: str) -> int:
        """Per cent of the jobs of one shop."""
        share = getattr(self, column)
        assert isinstance(share, int)
        return share


class Wanted(Strict):
    """A fact, or answers of one, that the rules should get; in exactly one form."""

    answers: tuple[str, ...] = ()
    quantity: str = ""
    yes_no: bool = False
    why: str

    @model_validator(mode="after")
    def one_form(self) -> Wanted:
        """One of answers, quantity, yes_no."""
        if bool(self.answers) + bool(self.quantity) + self.yes_no != 1:
            raise ValueError("say one of answers, quantity, yes_no")
        return self


class Worth(Strict):
    """Hands-on minutes and bought material, each low, typical, high."""

    minutes: tuple[float, float, float]
    bought: tuple[float, float, float]

    @model_validator(mode="after")
    def rising(self) -> Worth:
        """Low, typical and high do not fall."""
        if list(self.minutes) != sorted(self.minutes) or list(self.bought) != sorted(self.bought):
            raise ValueError("low, typical and high must not fall")
        return self


class PriceRule(Strict):
    """How the price moves, or between what it lies."""

    if_: Answers | None = Field(default=None, alias="if")
    is_: Literal["dearer", "cheaper", "same", "not_cheaper"] | None = Field(
        default=None, alias="is"
    )
    further: str = ""
    worth: Worth | None = None

    @model_validator(mode="after")
    def one_form(self) -> PriceRule:
        """Exactly one of if with is, further, worth."""
        if (self.if_ is None) != (self.is_ is None):
            raise ValueError("if and is belong together")
        if (self.if_ is not None) + bool(self.further) + (self.worth is not None) != 1:
            raise ValueError("say one of if with is, further, worth")
        return self


class Sheet(Strict):
    """What the job sheet has to show."""

    deposit: Literal[True] | None = None
    cut: Literal[True] | None = None
    access_once: Literal[True] | None = None


Words = tuple[str, ...]


class WeekCase(Strict):
    """One job as it is told at intake, and what is right for it."""

    id: Annotated[str, Field(pattern=r"^(E\d\d|W\d\d-\d)$")]
    row: int
    told: str
    must_lead: str = ""
    must_never: str = ""
    setting: str
    facts: Answers = {}
    wants: Answers = {}
    lead: Annotated[Words, Field(min_length=1)]
    with_: Words = Field(default=(), alias="with")
    option: Words = ()
    never: Words = ()
    never_in_plan: Words = ()
    ask: Words = ()
    steps: Words = ()
    says: Words = ()
    says_not: Words = ()
    sheet: Sheet = Sheet()
    price: tuple[PriceRule, ...]
    from_: str = Field(alias="from")
    silent: str = ""

    @property
    def example(self) -> bool:
        """One of the acceptance examples, not one of ours."""
        return self.id.startswith("E")

    @property
    def methods(self) -> frozenset[str]:
        """Every method word in it."""
        return frozenset((*self.lead, *self.with_, *self.option, *self.never, *self.never_in_plan))

    @property
    def told_otherwise(self) -> tuple[Answers, ...]:
        """Answers of its price rules that take the place of its own."""
        return tuple(rule.if_ for rule in self.price if rule.if_ is not None)


class Telling(Strict):
    """A case as another customer words it; its answers take the place of the case's own."""

    of: str
    told: str
    answers: Answers
    apart: Annotated[Words, Field(min_length=1)]


class Week(Strict):
    """Everything in ``week.yaml``."""

    rows: tuple[Row, ...]
    settings: dict[str, Answers]
    wanted: dict[str, Wanted]
    cases: tuple[WeekCase, ...]
    tellings: tuple[Telling, ...]

    @cached_property
    def by_id(self) -> dict[str, WeekCase]:
        """The cases by their name."""
        return {case.id: case for case in self.cases}

    def of_row(self, no: int) -> tuple[WeekCase, ...]:
        """The cases of one kind of job."""
        return tuple(case for case in self.cases if case.row == no)


class MethodWords(Strict):
    """Everything in ``method_words.yaml``."""

    wanted: tuple[str, ...]
    coarser: dict[str, str]
    only: dict[str, str]

    def means(self, word: str, key: str) -> bool:
        """Whether a method of the rules, by its key, is what a word of a case means."""
        if word in self.only:
            return key == self.only[word]
        return word in (key, *key.split(".", 1))


@cache
def read_week() -> Week:
    """The week's rows and cases. Raises ValidationError where the file is not as described."""
    return Week.model_validate(yaml.safe_load((HERE / "week.yaml").read_text(encoding="utf-8")))


@cache
def read_method_words() -> MethodWords:
    """Words for methods. Raises ValidationError."""
    text = (HERE / "method_words.yaml").read_text(encoding="utf-8")
    return MethodWords.model_validate(yaml.safe_load(text))
