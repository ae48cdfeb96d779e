"""A cutting layout to scale: pieces on the roll or on a hide, with its words."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.quantity import System
from advisor.job.cutting.hides import HideLayout
from advisor.job.cutting.layout import Placed
from advisor.job.cutting.yardage import Cutting
from advisor.job.model import CutPlan
from advisor.wording.amounts import in_system, one_amount, unit_shown

#: Steps of the rule along the roll, in the unit that cloth is bought in.
STEPS = (0.05, 0.1, 0.25, 0.5, 1.0, 2.0)
LONGEST_STEP = 5.0
DOWN, RIGHT = "\u2193", "\u2192"


@dataclass(frozen=True)
class CutLayout:
    """Pieces on what they are cut from [mm]; x along the roll, y across it."""

    placed: tuple[Placed, ...]
    length: float
    """Taken of the roll; the whole length of a hide."""
    across: float
    """Usable width."""
    edge: float
    """Lost on each side of the roll; 0 for a hide."""
    nap: str
    """"along" or "across" the roll, "" for none: the way front to back runs."""
    name: str
    """"The roll", or which hide."""
    way: str
    """The way of cutting from the roll; empty for a hide."""
    said: tuple[str, ...]
    """What the drawing shows, in sentences."""


def edge_text(millimetres: float, system: System) -> str:
    """An edge of a piece, without its unit."""
    value = in_system(millimetres, "length", system)
    return f"{value:.1f}" if system is System.IMPERIAL else f"{value:.0f}"


def length_text(millimetres: float, system: System) -> str:
    """A length of cloth in metres or yards."""
    return one_amount(millimetres / 1000.0, "cloth", system)


def size_text(placed: Placed, system: System) -> str:
    """A piece along and across the roll, without the unit."""
    return f"{edge_text(placed.along, system)} x {edge_text(placed.across, system)}"


def place_text(placed: Placed, system: System) -> str:
    """Where a piece begins, along and across the roll, without the unit."""
    return f"{edge_text(placed.x, system)}, {edge_text(placed.y, system)}"


def marks(length: float, system: System, most: float = 7.0) -> tuple[tuple[float, str], ...]:
    """At most about ``most`` round lengths along the roll: share of ``length`` [mm], and figure."""
    whole = in_system(length / 1000.0, "cloth", system)
    step = next((s for s in STEPS if whole / s <= most), LONGEST_STEP)
    return tuple((i * step / whole, f"{i * step:g}") for i in range(int(whole / step + 1e-9) + 1))


def arrow(layout: CutLayout, *, runs_down: bool) -> str:
    """The arrow of the nap as drawn; "" where there is none."""
    if not layout.nap:
        return ""
    return DOWN if (layout.nap == "across") != runs_down else RIGHT


def caption(layout: CutLayout, *, runs_down: bool = False) -> str:
    """What the drawing shows; ``runs_down`` where it has the roll from top to bottom."""
    said = list(layout.said)
    if layout.nap:
        mark = arrow(layout, runs_down=runs_down)
        said.insert(0, f"Arrows {mark}: the nap, the same on every panel.")
    if layout.way:
        said.insert(0, f"{layout.way}. The roll runs {'down' if runs_down else 'to the right'}.")
    return " ".join(said)


def layouts(cut: CutPlan, system: System) -> tuple[CutLayout, ...]:
    """Every hide with its pieces, or the roll as it is best cut; nothing without a layout."""
    if cut.hides is not None:
        return tuple(_hide(hide, i, system) for i, hide in enumerate(cut.hides.layouts, 1))
    return (_roll(cut, cut.cuttings[0], system),) if cut.cuttings else ()


def _roll(cut: CutPlan, cutting: Cutting, system: System) -> CutLayout:
    layout, unit = cutting.layout, unit_shown("length", system)
    nap = "" if not cut.nap else "along" if cutting.turn == "across" else "across"
    said = (
        f"Usable width {edge_text(layout.across, system)} of "
        f"{edge_text(cut.roll_width, system)} {unit}.",
        f"The sizes include an allowance of {edge_text(cut.allowance, system)} {unit} on every "
        "side.",
        f"Waste {100 * layout.waste:.0f} %.",
        _shortest(cutting),
    )
    edge = max(cut.roll_width - layout.across, 0.0) / 2.0
    return CutLayout(
        layout.placed, layout.length, layout.across, edge, nap, "The roll", cutting.title, said
    )


def _shortest(cutting: Cutting) -> str:
    """How far the layout is from the shortest there can be."""
    over = cutting.layout.over_bound
    if over < 1e-6:
        return "No layout of these pieces is shorter."
    return f"At most {max(100 * over, 1):.0f} % longer than the shortest there can be."


def _hide(hide: HideLayout, number: int, system: System) -> CutLayout:
    size = f"{edge_text(hide.length, system)} x {edge_text(hide.width, system)}"
    said = (
        f"Hide {number}, drawn on the largest piece a hide gives: {size} "
        f"{unit_shown('length', system)}. Mark holes and brands first and shift the pieces round "
        "them; the back of the hide is best for the faces."
    )
    return CutLayout(
        hide.placed, hide.length, hide.width, 0.0, "", f"Hide {number}", "", (said,)
    )
