"""Force arrows for the section drawing, to scale. Pure geometry, no Qt."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.result import Load
from advisor.gui.section_bench import EDGE, NAMES
from advisor.gui.section_shapes import Drawing, Point

#: Row of each duration above the skin, from the bottom, and how its line is drawn.
LOOKS = {"sustained": "solid", "cyclic": "dashed", "peak": "double"}
WORDS = {"sustained": "all the time", "cyclic": "each use", "peak": "hardest pull"}
ORDER = ("sustained", "cyclic", "peak")
ALONG = frozenset({"skin", "cover", "carrier"})
"""Sites where the force runs along the layer; elsewhere it is square to it."""
PRESSES = frozenset({"support", "finish"})
ROW = 34.0
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
    room: float
    """Length that the longest arrow may have, px."""


def shown_loads(loads: Sequence[Load], site: str = "skin") -> tuple[Load, ...]:
    """The loads at ``site``, one for each duration, the steady one first.

    Where nothing pulls at ``site``, the most loaded other one is shown. What would pull
    on the seams of a new cover is no load on the damage and comes last.
    """
    alive = [load for load in loads if load.value.high > 0]
    own = [load for load in alive if load.site == site]
    alive = own or [load for load in alive if load.site != "cover"] or alive
    if not alive:
        return ()
    chief = max(alive, key=lambda load: load.value.typical)
    best: dict[str, Load] = {}
    for load in alive:
        if (load.site, load.dimension) != (chief.site, chief.dimension):
            continue
        kept = best.get(load.duration)
        if kept is None or load.value.typical > kept.value.typical:
            best[load.duration] = load
    return tuple(best[key] for key in ORDER if key in best)


def head_room(shown: Sequence[Load]) -> float:
    """Height above the part that the arrows of ``shown`` need, px."""
    return 30.0 + ROW * max(len(shown), 1)


def arrows(shown: Sequence[Load], drawing: Drawing, width: float) -> Forces | None:
    """The arrows of the loads in ``shown`` on ``drawing``; None where nothing pulls.

    An arrow is as long as its typical value; all share one scale, chosen so that the
    longest 95th percentile fits.
    """
    if not shown:
        return None
    upright = shown[0].site not in ALONG
    room = ROW * len(shown) + 4.0 if upright else _side_room(shown[0], drawing, width)
    per_unit = room / max(load.value.high for load in shown)
    found: list[Arrow] = []
    labels: list[Label] = []
    for row, load in enumerate(shown):
        found += _upright(load, row, len(shown), drawing, per_unit) if upright else _pair(
            load, row, drawing, per_unit)
        labels.append(Label(load.duration, load, (width - NAMES + 6.0, _height(row, drawing))))
    first = shown[0]
    return Forces(
        tuple(found), tuple(labels), per_unit, first.unit, first.dimension,
        room,
    )


def _side_room(load: Load, drawing: Drawing, width: float) -> float:
    """Length left for an arrow that runs sideways from a lip, px."""
    ends = drawing.carrier_lips if load.site == "carrier" else drawing.lips
    return min(ends[0][0] - EDGE, width - NAMES - ends[1][0]) - 8.0


def _height(row: int, drawing: Drawing) -> float:
    """Height of a row of arrows; below the part where the lining hangs overhead."""
    lip = drawing.lips[0][1]
    return lip + 34.0 + ROW * row if drawing.upside_down else lip - 34.0 - ROW * row


def _pair(load: Load, row: int, drawing: Drawing, per_unit: float) -> list[Arrow]:
    """Two arrows that pull the sides of the damage apart."""
    y = _height(row, drawing)
    ends = drawing.carrier_lips if load.site == "carrier" else drawing.lips
    found = []
    for sign, leader in ((-1.0, ends[0]), (1.0, ends[1])):
        x = leader[0] + sign * 6.0
        found.append(_arrow(load, (x, y), (sign, 0.0), per_unit, leader))
    return found


def _upright(
    load: Load, row: int, rows: int, drawing: Drawing, per_unit: float
) -> list[Arrow]:
    """One arrow square to the surface: it lifts an edge, presses on a skin or hangs from it."""
    x = 0.5 * (drawing.lips[0][0] + drawing.lips[1][0]) + 46.0 * (row - 0.5 * (rows - 1))
    y = drawing.lips[1][1]
    down = drawing.upside_down or load.site in PRESSES
    tail = y + 10.0 if drawing.upside_down else y - 10.0
    if load.site in PRESSES and not drawing.upside_down:
        tail -= max(load.value.typical * per_unit, LEAST)
    return [_arrow(load, (x, tail), (0.0, 1.0 if down else -1.0), per_unit, (x, y))]


def _arrow(
    load: Load, tail: Point, way: Point, per_unit: float, leader: Point
) -> Arrow:
    long = max(load.value.typical * per_unit, LEAST)
    far = max(load.value.high * per_unit, long)
    return Arrow(
        load.duration, LOOKS.get(load.duration, "solid"), tail,
        (tail[0] + way[0] * long, tail[1] + way[1] * long),
        (tail[0] + way[0] * far, tail[1] + way[1] * far),
        load.value.typical, leader,
    )
