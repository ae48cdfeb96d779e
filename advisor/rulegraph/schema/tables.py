"""What a table of materials and the file of a part may contain, as pydantic models."""

from __future__ import annotations

from pydantic import Field

from advisor.rulegraph.schema.base import Name, SpreadModel, Strict, Text
from advisor.rulegraph.schema.facts import PriorModel
from advisor.rulegraph.schema.job import PanelModel
from advisor.rulegraph.schema.section import LookModel


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


class PartModel(Strict):
    part: Name
    title: Text
    gates: tuple[Name, ...] = ()
    values: dict[Name, CellModel] = Field(default_factory=dict)
    priors: dict[Name, PriorModel] = Field(default_factory=dict)
    drawing: LookModel = LookModel()
    panels: tuple[PanelModel, ...] = ()
    """Usual panels of its cover, finished, before seam allowance."""
