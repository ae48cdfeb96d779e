"""The words in which a method's file names the drawings of its bench sheet."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.rulegraph.model.conditions import Condition

#: Every drawing; `advisor.drawing.bench` has one function for each.
DRAWINGS = (
    "stitch_path",
    "stitch_path_every_other_hole",
    "machine_path",
    "weld_groove",
    "wire_staples",
    "strip_behind",
    "patch_behind",
    "patch_sewn_on",
    "filling_through_split",
    "filling_through_carrier",
)


@dataclass(frozen=True)
class DrawingRule:
    """A drawing that a method names."""

    of: str
    when: Condition | None
    """Holds in half of the simulated cases or more, or the drawing is left out."""
