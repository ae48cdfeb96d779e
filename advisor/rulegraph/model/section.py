"""What the rules say of the section drawing: shape of the part, state of its layers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Literal

SkinState = Literal["whole", "open", "missing", "lifted", "hanging", "worn"]
PaddingState = Literal["sound", "collapsed", "crumbled", "tired", "wet"]
BaseState = Literal["sound", "cracked", "rotten", "fixing_broken"]
Layer = Literal["skin", "padding", "base"]
Arrows = Literal["skin_apart", "base_apart", "lifts", "lifts_lip", "presses"]


@dataclass(frozen=True)
class SectionLook:
    """What one answer says of the drawing; None and () where it says nothing."""

    radius: float | None = None
    """Radius that the part is drawn with [mm]; 0 is flat."""
    without: tuple[Layer, ...] = ()
    skin: SkinState | None = None
    seam: bool | None = None
    padding: PaddingState | None = None
    base: BaseState | None = None
    base_called: str | None = None
    loaded_at: str | None = None
    """Site at which the forces are drawn."""

    def over(self, other: SectionLook) -> SectionLook:
        """This look, and of ``other`` what this one says nothing of."""
        silent = [f.name for f in fields(self) if getattr(self, f.name) in (None, ())]
        return replace(self, **{name: getattr(other, name) for name in silent})


@dataclass(frozen=True)
class SiteLook:
    """How the forces at a site are drawn."""

    arrows: Arrows = "lifts"
    last: bool = False
    """No load on the damage itself: drawn only where nothing else is."""


@dataclass(frozen=True)
class SectionRules:
    """Looks by fact and answer; a later fact overrules an earlier one."""

    skin: float
    """Thickness drawn where the case does not say [mm], as the two below."""
    padding: float
    base: float
    site: str
    """Where the damage is loaded, unless an answer says another."""
    looks: Mapping[str, Mapping[str, SectionLook]]
    forces: Mapping[str, SiteLook]
    """By site; one that is not named lifts."""
