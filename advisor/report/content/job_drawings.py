"""Drawings of a job sheet: cutting layouts to scale, and the timeline."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.quantity import System
from advisor.job.cutting.hides import HideLayout
from advisor.job.cutting.layout import Placed
from advisor.job.cutting.material import CutPlan
from advisor.job.cutting.yardage import Cutting
from advisor.job.effort import finished
from advisor.job.model import Slot
from advisor.report.blocks import Oblong, Sketch, Tick, Tone
from advisor.wording.amounts import in_system, one_amount, unit_shown
from advisor.wording.durations import clock, duration_text

#: Steps of the timeline's scale [min].
HOURS = (5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 240.0, 480.0, 1440.0)
DOWN, RIGHT = "\u2193", "\u2192"


def length_text(millimetres: float, system: System) -> str:
    """A length of cloth in metres or yards."""
    return one_amount(millimetres / 1000.0, "cloth", system)


def edge_text(millimetres: float, system: System) -> str:
    """An edge of a piece, without its unit."""
    value = in_system(millimetres, "length", system)
    return f"{value:.1f}" if system is System.IMPERIAL else f"{value:.0f}"


def size_text(placed: Placed, system: System) -> str:
    """A piece along and across the roll, without the unit."""
    return f"{edge_text(placed.along, system)} x {edge_text(placed.across, system)}"


def place_text(placed: Placed, system: System) -> str:
    """Where a piece begins, along and across the roll, without the unit."""
    return f"{edge_text(placed.x, system)}, {edge_text(placed.y, system)}"


def shortest_said(cutting: Cutting) -> str:
    """How far the layout is from the shortest there can be."""
    over = cutting.layout.over_bound
    if over < 1e-6:
        return "No layout of these pieces is shorter."
    return f"At most {max(100 * over, 1):.0f} % longer than the shortest there can be."


def nap_mark(cutting: Cutting, nap: bool) -> str:
    """Arrow of the nap, front to back of every panel; "" where there is none."""
    return "" if not nap else RIGHT if cutting.turn == "across" else DOWN


def layout_sketch(cut: CutPlan, system: System) -> Sketch:
    """The preferred cut drawn to scale: the roll runs to the right."""
    cutting = cut.cuttings[0]
    layout = cutting.layout
    mark = nap_mark(cutting, cut.nap)
    unit = unit_shown("length", system)
    said = [
        f"{cutting.title}. The roll runs to the right.",
        f"Usable width {edge_text(layout.across, system)} of "
        f"{edge_text(cut.roll_width, system)} {unit}.",
        f"The sizes include a seam allowance of {edge_text(cut.allowance, system)} {unit} on every "
        "side.",
        f"Waste {100 * layout.waste:.0f} %.",
        shortest_said(cutting),
    ]
    if mark:
        said.insert(1, f"Arrows {mark}: the nap, the same on every panel.")
    oblongs = _oblongs(layout.placed, system, mark)
    ticks = _ticks(layout.length, system)
    return Sketch(layout.length, layout.across, oblongs, ticks, " ".join(said), ())


def hide_sketch(hide: HideLayout, number: int, system: System) -> Sketch:
    """Pieces on one hide, drawn on the largest rectangle it gives."""
    unit = unit_shown("length", system)
    caption = (
        f"Hide {number}, drawn on the largest piece a hide gives: {edge_text(hide.length, system)} "
        f"x {edge_text(hide.width, system)} {unit}. Mark holes and brands first and shift the "
        "pieces round them; the back of the hide is best for the faces."
    )
    oblongs, ticks = _oblongs(hide.placed, system, ""), _ticks(hide.length, system)
    return Sketch(hide.length, hide.width, oblongs, ticks, caption, ())


def _oblongs(placed: Sequence[Placed], system: System, mark: str) -> tuple[Oblong, ...]:
    end = f"  {mark}" if mark else ""
    return tuple(
        Oblong(p.x, p.y, p.along, p.across,
               f"{number}{end}  {p.piece.title} {size_text(p, system)}")
        for number, p in enumerate(placed, 1)
    )  # fmt: skip


def _ticks(length: float, system: System) -> tuple[Tick, ...]:
    """Marks along the roll at round lengths."""
    whole = in_system(length / 1000.0, "cloth", system)
    step = next((s for s in (0.1, 0.25, 0.5, 1.0, 2.0) if whole / s <= 7.0), 5.0)
    unit = unit_shown("cloth", system)
    marks = range(int(whole / step) + 1)
    return tuple(Tick(i * step / whole, f"{i * step:g} {unit}") for i in marks)


def timeline_sketch(slots: Sequence[Slot], several: bool) -> Sketch | None:
    """Hands-on work and cures in the order of time; None where nothing takes time."""
    end = finished(slots)
    if end <= 0.0:
        return None
    oblongs, said = [], []
    parts = list(dict.fromkeys(slot.part for slot in slots))
    letters = {part: f"{chr(65 + i % 26)}  " if several else "" for i, part in enumerate(parts)}
    for row, slot in enumerate(slots):
        name = f"{letters[slot.part]}{slot.title}"
        span = f"{duration_text(slot.end - slot.start)}"
        what = span if slot.hands else f"{span}, nobody needed"
        tone = Tone.PLAIN if slot.hands else Tone.WARN
        width = max(slot.end - slot.start, end / 400.0)
        oblongs.append(Oblong(slot.start, row, width, 0.85, f"{name}, {what}", tone))
        said.append(f"{clock(slot.start)} to {clock(slot.end)}  {name}, {what}")
    step = next((s for s in HOURS if end / s <= 8.0), 2880.0)
    ticks = tuple(Tick(i * step / end, clock(i * step)) for i in range(int(end / step) + 1))
    caption = "Hours and minutes from the start."
    if not all(slot.hands for slot in slots):
        caption += " Dashed: it cures, work elsewhere can go on."
    if several:
        caption += " " + ". ".join(f"{letters[part].strip()}: {part}" for part in parts) + "."
    return Sketch(
        end, float(len(slots)), tuple(oblongs), ticks, caption, tuple(said), true_scale=False
    )
