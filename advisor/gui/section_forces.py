"""Force arrows for the section drawing, to scale. Pure geometry, no Qt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.result import Load
from advisor.gui.section_geometry import held, nice
from advisor.gui.section_shapes import Drawing, Point

#: Row of each duration above the skin, from the bottom, and how its line is drawn.
LOOKS = {"sustained": "solid", "cyclic": "dashed", "peak": "double"}
WORDS = {"sustained": "all the time", "cyclic": "each use", "peak": "hardest pull"}
ORDER = ("sustained", "cyclic", "peak")
ROW = 27.0
LEAST = 2.0
"""Shortest arrow still seen, px; below this a force is drawn as this long."""


@dataclass(frozen=True)
class Arrow:
    """One arrow from ``tail`` to ``tip``; ``reach`` is where it ends at the 95th percentile."""

    duration: str
    look: str
    tail: Point
    tip: Point
    reach: Point
    value: float
    leader: Point
    """The point on the part the force acts on."""

    @property
    def length(self) -> float:
        """Length in px."""
        return math.dist(self.tail, self.tip)


@dataclass(frozen=True)
class Label:
    """The words and the figure of one duration."""

    duration: str
    load: Load
    at: Point


@dataclass(frozen=True)
class Forces:
    """All arrows of one drawing, in one scale."""

    arrows: tuple[Arrow, ...]
    labels: tuple[Label, ...]
    per_unit: float
    """Pixels for one unit of ``unit``."""
    unit: str
    dimension: str
    bar: tuple[float, float]
    """Value and px length of the printed scale bar."""


def shown_loads(loads: Sequence[Load]) -> tuple[Load, ...]:
    """The loads of the site that decides: line forces before pressures, the largest site first."""
    alive = [load for load in loads if load.value.high > 0]
    if not alive:
        return ()
    lines = [load for load in alive if load.dimension == "line_force"] or alive
    chief = max(lines, key=lambda load: load.value.typical)
    same = [
        load for load in lines if load.site == chief.site and load.dimension == chief.dimension
    ]
    best: dict[str, Load] = {}
    for load in same:
        kept = best.get(load.duration)
        if kept is None or load.value.typical > kept.value.typical:
            best[load.duration] = load
    return tuple(best[key] for key in ORDER if key in best)


def head_room(loads: Sequence[Load]) -> float:
    """Height above the part that the arrows need, px."""
    return 30.0 + ROW * max(len(shown_loads(loads)), 1)


def arrows(loads: Sequence[Load], drawing: Drawing, width: float) -> Forces | None:
    """The arrows of ``loads`` on ``drawing``; None where nothing pulls.

    An arrow is as long as its typical value; all share one scale, chosen so that the
    longest 95th percentile fits.
    """
    shown = shown_loads(loads)
    if not shown:
        return None
    room = 0.5 * width - 90.0
    peak = max(load.value.high for load in shown)
    per_unit = room / peak
    pairs: list[Arrow] = []
    labels: list[Label] = []
    for row, load in enumerate(shown):
        pairs += _pair(load, row, drawing, per_unit)
        labels.append(Label(load.duration, load, _label_at(load, row, drawing)))
    bar = nice(0.4 * room / per_unit)
    first = shown[0]
    return Forces(
        tuple(pairs), tuple(labels), per_unit, first.unit, first.dimension,
        (bar, bar * per_unit),
    )


def _height(row: int, drawing: Drawing) -> float:
    """Height of a row of arrows; below the part where the lining hangs overhead."""
    lip = drawing.lips[0][1]
    return lip + 22.0 + ROW * row if drawing.upside_down else lip - 20.0 - ROW * row


def _pair(load: Load, row: int, drawing: Drawing, per_unit: float) -> list[Arrow]:
    """Two arrows that pull the lips apart, or one that lifts, presses or hangs."""
    look = LOOKS.get(load.duration, "solid")
    long = max(load.value.typical * per_unit, LEAST)
    far = max(load.value.high * per_unit, long)
    y = _height(row, drawing)
    ends = drawing.carrier_lips if load.site == "carrier" else drawing.lips
    found = []
    for sign, leader in ((-1.0, ends[0]), (1.0, ends[1])):
        x = leader[0] + sign * 6.0
        found.append(
            Arrow(
                load.duration, look, (x, y), (x + sign * long, y), (x + sign * far, y),
                load.value.typical, leader,
            )
        )
    return found


def _label_at(load: Load, row: int, drawing: Drawing) -> Point:
    return (held(0.5 * (drawing.lips[0][0] + drawing.lips[1][0]), 0, 1e9),
            _height(row, drawing) - 8.0)
