"""The work space of a section drawing: its limits, its surfaces. Pure geometry, no Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from advisor.drawing.section_shapes import Layers, Note, Point, Shape, Stroke

#: Limits within which a layer is drawn to scale, px.
SKIN_PX = (6.0, 30.0)
FOAM_PX = (18.0, 170.0)
CARRIER_PX = (12.0, 48.0)
GAP_PX = (4.0, 0.34)
"""Least gap in px, and the largest as a share of the width."""
SAG_PX = 34.0
STEPS = 24
FOAM_WORDS = {
    "sound": "padding", "collapsed": "padding, hollow", "crumbled": "padding, crumbly",
    "tired": "padding, flat", "wet": "padding, wet",
}
EDGE = 14.0
NAMES = 146.0
"""Width kept free on the right for words, px."""
LEGEND = 46.0
"""Height kept free at the bottom for the scale bars, px."""


@dataclass
class DrawingFrame:
    """What a drawing is built in: the places of the layers, and the shapes so far."""

    layers: Layers
    left: float
    right: float
    top: float
    scale: float
    skin: float
    foam: float
    carrier: float
    gap: float
    shapes: list[Shape] = field(default_factory=list)
    strokes: list[Stroke] = field(default_factory=list)
    notes: list[Note] = field(default_factory=list)

    @property
    def middle(self) -> float:
        return 0.5 * (self.left + self.right)

    @property
    def lip(self) -> float:
        return 0.5 * self.gap


def held(value: float, low: float, high: float) -> float:
    """``value`` held between two limits."""
    return min(max(value, low), high)


def nice(value: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is not above ``value``."""
    if value <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(value))
    return float(max(step * power for step in (1, 2, 5) if step * power <= value * 1.0000001))


def scale_bar(per_unit: float, room: float) -> tuple[float, float]:
    """Round value and length of a printed scale bar of at most ``room`` px.

    ``per_unit`` is the number of pixels for one of the units that are shown.
    """
    value = nice(room / per_unit)
    return value, value * per_unit


def drop(x: float, radius: float | None, half: float) -> float:
    """How far a curved surface lies below its crown, px.

    ``x`` and ``half`` in px from the crown, ``radius`` in px. The circle is flattened
    where it would fall more than ``SAG_PX`` over the half width.
    """
    if radius is None or radius <= 0:
        return 0.0
    flat = max(radius, (half * half + SAG_PX * SAG_PX) / (2 * SAG_PX))
    return flat - math.sqrt(max(flat * flat - x * x, 0.0))


def radius_px(frame: DrawingFrame) -> float | None:
    return frame.layers.radius * frame.scale if frame.layers.radius else None


def surface(frame: DrawingFrame, x0: float, x1: float, depth: float) -> list[Point]:
    """Points of a surface ``depth`` px under the crown, from ``x0`` to ``x1``."""
    half = 0.5 * (frame.right - frame.left)
    radius = radius_px(frame)
    xs = [x0 + (x1 - x0) * i / STEPS for i in range(STEPS + 1)]
    return [(x, frame.top + depth + drop(x - frame.middle, radius, half)) for x in xs]


def band(
    frame: DrawingFrame, x0: float, x1: float, depth: float, thick: float
) -> tuple[Point, ...]:
    above = surface(frame, x0, x1, depth)
    below = surface(frame, x0, x1, depth + thick)
    return (*above, *reversed(below))
