"""Force arrows for the section drawing, to scale. Pure geometry, no Qt."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from advisor.advice.result import Load
from advisor.drawing.section_frame import EDGE, NAMES
from advisor.drawing.section_shapes import Drawing, Point
from advisor.rulegraph.model.section import Arrows, SiteLook

#: Row of each duration above the skin, from the bottom, and how its line is drawn.
LOOKS = {"sustained": "solid", "cyclic": "dashed", "peak": "double"}
WORDS = {"sustained": "sustained", "cyclic": "repeated", "peak": "peak"}
TOGETHER = "Separate loads, acting together:"
"""Said over two or more: none of them holds another."""
WEIGHED = "repeated loads include how often they occur"
"""Said where the repeated load is more than the peak."""
ORDER = ("sustained", "cyclic", "peak")
APART = ("skin_apart", "base_apart")
"""Where the force runs along the layer; elsewhere it is square to it."""
ROW = 34.0
LEAST = 10.0
"""Shortest arrow still seen, px; below this a force is drawn as this long."""
CLEAR = 6.0
"""Distance of an upright arrow from the outline, px."""
BETWEEN = 46.0
"""Distance of two upright arrows, px."""


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


Looks = Mapping[str, SiteLook]
"""How the forces at a site are drawn, by site."""


def shown_loads(loads: Sequence[Load], site: str, looks: Looks) -> tuple[Load, ...]:
    """The loads at ``site``, one for each duration, the steady one first.

    Where nothing pulls at ``site``, the most loaded other one is shown. What would pull
    on the seams of a new cover is no load on the damage and comes last.
    """
    alive = [load for load in loads if load.value.high > 0]
    own = [load for load in alive if load.site == site]
    alive = own or [load for load in alive if not _look(load, looks).last] or alive
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


def _look(load: Load, looks: Looks) -> SiteLook:
    return looks.get(load.site, SiteLook())


def head_room(shown: Sequence[Load]) -> float:
    """Height above the part that the arrows of ``shown`` need, px."""
    return 30.0 + ROW * max(len(shown), 1)


def arrows(
    shown: Sequence[Load], drawing: Drawing, width: float, looks: Looks
) -> Forces | None:
    """The arrows of the loads in ``shown`` on ``drawing``; None where nothing pulls.

    An arrow is as long as its typical value; all share one scale, chosen so that the
    longest 95th percentile fits.
    """
    if not shown:
        return None
    look = _look(shown[0], looks)
    ends = drawing.carrier_lips if look.arrows == "base_apart" else drawing.lips
    upright = look.arrows not in APART
    room = ROW * len(shown) - 4.0 if upright else _side_room(ends, width)
    per_unit = room / max(load.value.high for load in shown)
    found: list[Arrow] = []
    labels: list[Label] = []
    for row, load in enumerate(shown):
        if upright:
            found += _upright(load, row, len(shown), drawing, per_unit, look.arrows)
        else:
            found += _pair(load, _height(row, drawing), ends, per_unit)
        labels.append(Label(load.duration, load, (width - NAMES + 6.0, _height(row, drawing))))
    first = shown[0]
    return Forces(
        tuple(found), tuple(labels), per_unit, first.unit, first.dimension,
        room,
    )


def _side_room(ends: tuple[Point, Point], width: float) -> float:
    """Length left for an arrow that runs sideways from a lip, px."""
    return min(ends[0][0] - EDGE, width - NAMES - ends[1][0]) - 8.0


def _height(row: int, drawing: Drawing) -> float:
    """Height of a row of arrows; below the part where the lining hangs overhead."""
    lip = drawing.lips[0][1]
    return lip + 34.0 + ROW * row if drawing.upside_down else lip - 34.0 - ROW * row


def _pair(
    load: Load, y: float, ends: tuple[Point, Point], per_unit: float
) -> list[Arrow]:
    """Two arrows that pull the sides of the damage apart."""
    found = []
    for sign, leader in ((-1.0, ends[0]), (1.0, ends[1])):
        x = leader[0] + sign * 6.0
        found.append(_arrow(load, (x, y), (sign, 0.0), per_unit, leader))
    return found


def _upright(
    load: Load, row: int, rows: int, drawing: Drawing, per_unit: float, way: Arrows
) -> list[Arrow]:
    """One arrow square to the surface: it lifts an edge, presses on a skin or hangs from it."""
    x = 0.5 * (drawing.lips[0][0] + drawing.lips[1][0]) + BETWEEN * (row - 0.5 * (rows - 1))
    if way == "lifts_lip":
        x = drawing.lips[1][0] + 16.0 + BETWEEN * row
    y = outline(drawing, x)
    down = drawing.upside_down or way == "presses"
    tail = y + CLEAR if drawing.upside_down else y - CLEAR
    if way == "presses" and not drawing.upside_down:
        tail -= max(load.value.typical * per_unit, LEAST)
    return [_arrow(load, (x, tail), (0.0, 1.0 if down else -1.0), per_unit, (x, y))]


def outline(drawing: Drawing, x: float) -> float:
    """Height of the outermost surface at ``x``; over an opening that of the nearer side."""
    skins = [s for s in drawing.shapes if s.fill == "skin"]
    lines = [s.points[: len(s.points) // 2] for s in skins or drawing.shapes[:1]]
    if not lines:
        return drawing.lips[1][1]
    line = min(lines, key=lambda points: max(points[0][0] - x, x - points[-1][0], 0.0))
    for one, other in pairwise(line):
        if one[0] <= x <= other[0]:
            share = (x - one[0]) / max(other[0] - one[0], 1e-9)
            return one[1] + share * (other[1] - one[1])
    return line[0][1] if x < line[0][0] else line[-1][1]


def weighed(shown: Sequence[Load]) -> bool:
    """Whether the repeated load is more than the peak."""
    typical = {load.duration: load.value.typical for load in shown}
    return "peak" in typical and typical.get("cyclic", 0.0) > typical["peak"]


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
