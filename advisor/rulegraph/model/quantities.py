"""The words in which a method's file names the quantities of its job sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.rulegraph.model.conditions import Condition
from advisor.rulegraph.model.nodes import Ref
from advisor.rulegraph.model.roles import ROLE_UNITS

_LINE = ("damage_length", "damage_count")
_SEWN = (*_LINE, "stitch_pitch", "skin_thickness")
#: Every calculator of quantities, with the inputs that a method may set for it. An input
#: that is not set is the fact or node of that role.
CALCULATORS: Mapping[str, tuple[str, ...]] = {
    "hand_seam": _SEWN,
    "hand_seam_every_other_hole": _SEWN,
    "machine_seam": _SEWN,
    "cover_seams": ("stitch_pitch", "skin_thickness"),
    "old_panel": (),
    "thread_and_needle": (),
    "sewn_patch": (*_SEWN, "damage_opening"),
    "glued_patch": (*_LINE, "damage_opening"),
    "strips_behind": _LINE,
    "doublers_behind": _LINE,
    "welding_rod": (*_LINE, "base_thickness", "base_density"),
    "stop_holes": ("damage_count",),
    "hot_staples": _LINE,
    "staples_behind_weld": _LINE,
    "hollow_and_pad": ("padding_thickness",),
    "canned_foam": ("padding_thickness",),
    "two_part_foam": ("padding_thickness",),
    "new_padding": ("padding_thickness",),
    "filler_cure": (),
    "colour_coats": ("coloured_area",),
    "cement_for_lining": (),
    "cement_for_edge": (*_LINE, "edge_width"),
}
#: Inputs that are no role: the unit, and the figure that is taken where none is set.
OWN_INPUTS: Mapping[str, tuple[str, float]] = {"edge_width": ("mm", 40.0)}
INPUT_UNITS: Mapping[str, str] = {
    **ROLE_UNITS,
    **{name: unit for name, (unit, _) in OWN_INPUTS.items()},
}


@dataclass(frozen=True)
class OwnAmount:
    """An amount that a fact or node gives, in the unit of its dimension."""

    key: str
    title: str
    amount: Ref
    dimension: str
    whole: bool
    """Sold by the piece: rounded up, at least one."""
    note: str
    source: str


@dataclass(frozen=True)
class QuantityRule:
    """One calculator that a method names, with the inputs set for it, or an amount of its own."""

    of: str
    """Empty where it is an amount of its own."""
    inputs: Mapping[str, Ref]
    own: OwnAmount | None
    when: Condition | None
    """Holds in half of the simulated cases or more, or the quantity is left out."""
