"""What plastics.yaml may contain, and how a written fact is read, as pydantic models."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from advisor.rulegraph.schema.base import Name, Note, SpreadModel, Status, Strict


class ReadsModel(Strict):
    """The choice that a mark says something about."""

    fact: Name
    unread: Name | None = None
    """Answer taken where the mark cannot be read, or is of no plastic of the rules."""


class DensityModel(SpreadModel):
    """A density in g/cm3 with its source."""

    source: Name
    status: Status


class PolymerModel(Strict):
    """Density of a polymer: its own, or that of a row of the table of hard parts."""

    row: Name | None = None
    density: DensityModel | None = None

    @model_validator(mode="after")
    def one_of_them(self) -> PolymerModel:
        if (self.row is None) == (self.density is None):
            raise ValueError("give row or density, not both")
        return self


class MarkModel(Strict):
    """What a mark of this make-up is taken for."""

    has: tuple[str, ...] = ()
    any_of: tuple[str, ...] = ()
    only: tuple[str, ...] = ()
    fillers: tuple[str, ...] | None = None
    filled: Annotated[float, Field(gt=0, lt=1)] | None = None
    plasticized: bool | None = None
    read: tuple[Name, ...]
    why: Note = ""
    source: Name
    status: Status
    note: Note = ""


class PlasticsModel(Strict):
    table: Name
    column: Name
    polymers: dict[str, PolymerModel]
    fillers: dict[str, DensityModel]
    marks: Annotated[tuple[MarkModel, ...], Field(min_length=1)]
