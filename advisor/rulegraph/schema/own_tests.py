"""What a shop's file of its own tests on scrap may contain."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from pydantic import Field, StringConstraints, model_validator

from advisor.rulegraph.schema.base import LARGEST, Name, Strict

Reading = Annotated[float, Field(allow_inf_nan=False, gt=0.0, le=LARGEST)]


class OwnTestModel(Strict):
    """One test: what was read on each sample, and the figure that it stands in for."""

    value: Name
    of: Name | None = None
    """The answer that a row of a table is for."""
    unit: str
    readings: tuple[Reading, ...] = Field(min_length=1, max_length=200)
    divide_by: Reading = 1.0
    hung_hours: Annotated[float, Field(ge=1.0, le=100_000.0)] | None = None
    date: date
    how: Annotated[str, StringConstraints(min_length=10, max_length=300)]

    @model_validator(mode="after")
    def shares_where_hung(self) -> OwnTestModel:
        if self.hung_hours is not None and max(self.readings) / self.divide_by >= 1.0:
            raise ValueError("what hung for hours is told as a share of the short pull, below 1")
        return self


class OwnTestsModel(Strict):
    tests: dict[Name, OwnTestModel]
