"""Cutting layouts and timelines as sketches of a report."""

from __future__ import annotations

from advisor.drawing.cutting_layout import CutLayout, arrow, caption, marks, size_text
from advisor.drawing.timeline import Timeline
from advisor.facts.quantity import System
from advisor.report.blocks import Oblong, Sketch, Tick, Tone
from advisor.wording.amounts import unit_shown


def layout_sketch(layout: CutLayout, system: System) -> Sketch:
    """The pieces drawn to scale: the roll runs to the right."""
    mark = arrow(layout, runs_down=False)
    end = f"  {mark}" if mark else ""
    oblongs = tuple(
        Oblong(p.x, p.y, p.along, p.across,
               f"{number}{end}  {p.piece.title} {size_text(p, system)}")
        for number, p in enumerate(layout.placed, 1)
    )  # fmt: skip
    unit = unit_shown("cloth", system)
    ticks = tuple(Tick(at, f"{figure} {unit}") for at, figure in marks(layout.length, system))
    return Sketch(layout.length, layout.across, oblongs, ticks, caption(layout), (), of=layout)


def timeline_sketch(course: Timeline) -> Sketch:
    """Hands-on work and cures in the order of time, cures dashed."""
    oblongs = tuple(
        Oblong(
            one.start, row, max(one.end - one.start, course.end / 400.0), 0.85, one.label,
            Tone.PLAIN if one.hands else Tone.WARN,
        )
        for row, one in enumerate(course.stretches)
    )  # fmt: skip
    ticks = tuple(Tick(at, words) for at, words in course.marks)
    said = tuple(one.words for one in course.stretches)
    rows = float(len(course.stretches))
    return Sketch(
        course.end, rows, oblongs, ticks, course.caption, said, true_scale=False, of=course
    )
