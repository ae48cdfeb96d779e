"""What drawing.yaml may contain, and the drawing of a part, as pydantic models."""

from __future__ import annotations

from pydantic import Field

from advisor.rulegraph.model.section import Arrows, BaseState, Layer, PaddingState, SkinState
from advisor.rulegraph.schema.base import Name, Number, Strict, Text


class LookModel(Strict):
    """How the section of a part is drawn where an answer holds."""

    radius: str | Number | None = None
    without: tuple[Layer, ...] = ()
    skin: SkinState | None = None
    seam: bool | None = None
    padding: PaddingState | None = None
    base: BaseState | None = None
    base_called: Text | None = None
    loaded_at: Name | None = None


class UsualModel(Strict):
    skin: str | Number
    padding: str | Number
    base: str | Number
    loaded_at: Name


class SiteLookModel(Strict):
    arrows: Arrows = "lifts"
    last: bool = False


class DrawingModel(Strict):
    usual: UsualModel
    forces: dict[Name, SiteLookModel] = Field(default_factory=dict)
    answers: dict[Name, dict[Name, LookModel]] = Field(default_factory=dict)
