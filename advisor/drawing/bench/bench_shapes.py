"""What a drawing of the bench sheet is made of, and how each line of it is drawn: no Qt."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from advisor.drawing.section_shapes import Note, Point, Shape, Stroke

WIDE = 460.0
"""Width of every drawing, in its own units; letters are ``LETTER`` of them high."""
LETTER = 12.5


@dataclass(frozen=True)
class Line:
    """How a stroke is drawn, in units of the drawing; ``colour`` names a look."""

    colour: str
    """``ink``, ``quiet``, ``act`` or ``bad``."""
    width: float
    dashes: tuple[float, ...] = ()
    arrow: bool = False
    """Whether it ends in an arrow head."""


#: The lines by the ``look`` of a stroke.
LINES: Mapping[str, Line] = {
    "thin": Line("ink", 1.0),
    "cut": Line("bad", 2.0),
    "hidden": Line("ink", 1.0, (5.0, 3.0)),
    "first_needle": Line("act", 2.6),
    "second_needle": Line("bad", 2.0, (5.0, 2.5)),
    "measure": Line("quiet", 0.9),
    "move": Line("act", 1.8, (), arrow=True),
}


@dataclass(frozen=True)
class BenchDrawing:
    """One drawing; x grows to the right, y down, both from 0 to ``width`` and ``height``."""

    title: str
    height: float
    shapes: tuple[Shape, ...]
    strokes: tuple[Stroke, ...]
    notes: tuple[Note, ...]
    caption: str
    """What to watch, in a sentence or two; with ``notes`` it says all the drawing shows."""
    width: float = WIDE

    @property
    def words(self) -> tuple[str, ...]:
        """What is written in the drawing, for a reader without it."""
        return tuple(note.text for note in self.notes)


def placed(note: Note) -> tuple[Literal["start", "middle", "end"], float]:
    """How the words of a note are set: the end that stands at its point, and how far down.

    The second figure is from the point to the foot of the letters, in units of the drawing.
    """
    anchors: Mapping[str, Literal["start", "middle", "end"]] = {"right": "start", "left": "end"}
    down = {"above": -6.0, "below": LETTER}.get(note.side, 0.34 * LETTER)
    return anchors.get(note.side, "middle"), down


#: What the job sheet says of an amount of the method, "" where it has none of that key.
Told = Callable[[str], str]


def box(name: str, x: float, y: float, wide: float, high: float, fill: str,
        hatch: str = "", *, dashed: bool = False) -> Shape:  # fmt: skip
    """A rectangle."""
    points = ((x, y), (x + wide, y), (x + wide, y + high), (x, y + high))
    return Shape(name, points, fill, hatch, dashed)


def rounded(name: str, x: float, y: float, wide: float, high: float, fill: str,
            corner: float = 12.0, *, dashed: bool = False) -> Shape:  # fmt: skip
    """A rectangle whose corners are rounded by eight short sides."""
    import math

    centres = (
        (x + wide - corner, y + high - corner, 0.0), (x + corner, y + high - corner, 90.0),
        (x + corner, y + corner, 180.0), (x + wide - corner, y + corner, 270.0),
    )  # fmt: skip
    points = tuple(
        (cx + corner * math.cos(math.radians(start + turn)),
         cy + corner * math.sin(math.radians(start + turn)))
        for cx, cy, start in centres
        for turn in (0.0, 22.5, 45.0, 67.5, 90.0)
    )  # fmt: skip
    return Shape(name, points, fill, dashed=dashed)


def disc(name: str, x: float, y: float, radius: float, fill: str) -> Shape:
    """A round thing, as a polygon."""
    import math

    points = tuple(
        (x + radius * math.cos(math.radians(turn)), y + radius * math.sin(math.radians(turn)))
        for turn in range(0, 360, 20)
    )
    return Shape(name, points, fill)


def measure(start: Point, end: Point, text: str, side: str = "above") -> tuple[
    list[Stroke], list[Note]
]:  # fmt: skip
    """A measure along x or y with a tick at both ends, and what it says."""
    (x0, y0), (x1, y1) = start, end
    dx, dy = (0.0, 5.0) if abs(x1 - x0) >= abs(y1 - y0) else (5.0, 0.0)
    strokes = [Stroke("measure", (start, end), "measure")] + [
        Stroke("measure", ((x - dx, y - dy), (x + dx, y + dy)), "measure") for x, y in (start, end)
    ]
    notes = [Note(text, (0.5 * (x0 + x1), 0.5 * (y0 + y1)), side)] if text else []
    return strokes, notes
