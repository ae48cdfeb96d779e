"""How much material to buy for a re-cover, and the cutting layout that shows it fits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from advisor.facts.units import INCH
from advisor.job.cutting.layout import DoesNotFitError, Layout, Piece, Turn, lay

YARD = 36.0 * INCH
HALF_YARD = YARD / 2.0
#: Extra length by the repeats along and across together, in inches from each limit up.
REPEAT_STEPS = ((46, 0.35), (37, 0.30), (28, 0.25), (20, 0.20), (15, 0.15), (3, 0.10))
LARGEST_REPEAT = 54 * INCH
#: Strips that are cut in two at most to fill gaps.
MOST_HALVED = 3


@dataclass(frozen=True)
class Panel:
    """A finished panel of a cover [mm], without seam allowance."""

    title: str
    length: float
    width: float
    count: int = 1
    may_join: bool = False


@dataclass(frozen=True)
class Cutting:
    """One way of cutting a cover from a roll."""

    title: str
    turn: Turn
    layout: Layout
    needed: float
    """Length of the layout with reserve and pattern repeat [mm]."""
    half_yards: int
    joins: tuple[str, ...]
    """Panels that get a seam because the roll is too narrow for them."""
    seam_shows: bool
    """True where a joined panel is not one in which a cross seam is usual."""

    @property
    def to_buy(self) -> float:
        """Length to buy, in whole and half yards [mm]."""
        return self.half_yards * HALF_YARD

    @property
    def yards(self) -> float:
        """The same in yards."""
        return self.half_yards / 2.0


def repeat_allowance(repeat: float) -> float:
    """Extra length for matching a pattern, by its repeats along and across added up [mm].

    0 for a plain cloth, 0.10 to 0.35 for repeats of 3 to 54 inches. Raises ValueError beyond.
    Source: fabric repeat charts, three that agree (54 inch cloth).
    """
    if repeat > LARGEST_REPEAT + 1e-6:
        raise ValueError(f"repeats of {repeat:g} mm together are beyond the charts")
    inches = math.floor(repeat / INCH + 1e-6)
    return next((extra for limit, extra in REPEAT_STEPS if inches >= limit), 0.0)


def half_yards(length: float) -> int:
    """Half yards to buy for a length [mm], rounded up."""
    return math.ceil(length / HALF_YARD - 1e-9)


def cut_pieces(
    panels: Sequence[Panel], allowance: float, across: float, turn: Turn, halved: int = 0
) -> tuple[list[Piece], list[Panel]]:
    """Pieces to cut with seam allowance [mm], and the panels that are divided.

    A panel that is too long for the way it must lie is divided into equal parts, each with
    its allowance at the new seam. ``halved`` of the panels that may have a cross seam are
    divided besides, the longest first.
    """
    pieces: list[Piece] = []
    divided: list[Panel] = []
    for panel in sorted(panels, key=lambda p: -p.length):
        parts = [_parts(panel, allowance, across, turn)] * panel.count
        for i in range(panel.count):
            if halved and panel.may_join and parts[i] == 1:
                parts[i], halved = 2, halved - 1
        if max(parts) > 1:
            divided.append(panel)
        number = 0
        for share in parts:
            for _ in range(share):
                number += 1
                title = f"{panel.title} {number}" if sum(parts) > 1 else panel.title
                length = panel.length / share + 2.0 * allowance
                pieces.append(Piece(title, length, panel.width + 2.0 * allowance))
    return pieces, divided


def _parts(panel: Panel, allowance: float, across: float, turn: Turn) -> int:
    """Into how many parts a panel is divided so that each fits across the roll."""
    wide = panel.width + 2.0 * allowance
    if turn != "across" and wide <= across:
        return 1
    room = across - 2.0 * allowance
    if room <= 0.0:
        raise DoesNotFitError(Piece(panel.title, panel.length, panel.width), across)
    return max(1, math.ceil(panel.length / room - 1e-9))


NAMES: dict[Turn, str] = {
    "along": "Railroaded: the length of the panels along the roll",
    "across": "Upright: front to back along the roll",
    "free": "Each panel as it fits",
}


@dataclass(frozen=True)
class Roll:
    """Cloth on a roll; lengths in mm, ``reserve`` a share of the length."""

    width: float
    edge: float
    reserve: float
    repeat: float
    nap: bool

    @property
    def across(self) -> float:
        """Usable width."""
        return self.width - self.edge


@lru_cache(maxsize=256)
def cut_from_roll(
    panels: tuple[Panel, ...], allowance: float, roll: Roll
) -> tuple[Cutting, ...]:
    """Ways of cutting the panels, the one to prefer first; ``allowance`` in mm.

    With a nap all panels lie one way, railroaded or upright; without it each may be
    turned. A cut without a seam in a face is preferred, then the shorter one. Raises
    DoesNotFitError where no way fits the roll.
    """
    turns: tuple[Turn, ...] = ("along", "across") if roll.nap else ("free", "along", "across")
    found: list[Cutting] = []
    problem: DoesNotFitError | None = None
    for turn in turns:
        try:
            found.append(_best_cut(panels, allowance, roll, turn))
        except DoesNotFitError as error:
            problem = error
    if not found:
        assert problem is not None
        raise problem
    return tuple(sorted(found, key=_preference))


def _best_cut(
    panels: Sequence[Panel], allowance: float, roll: Roll, turn: Turn
) -> Cutting:
    """The best way to divide strips, then laid as well as can be found."""
    joinable = sum(panel.count for panel in panels if panel.may_join)
    ways = [
        _cut(panels, allowance, roll, turn, halved, thorough=False)
        for halved in range(min(joinable, MOST_HALVED) + 1)
    ]
    best = min(range(len(ways)), key=lambda halved: _preference(ways[halved]))
    return _cut(panels, allowance, roll, turn, best, thorough=True)


def _preference(cutting: Cutting) -> tuple[bool, int, int, float]:
    return cutting.seam_shows, cutting.half_yards, len(cutting.layout.placed), cutting.needed


def _cut(
    panels: Sequence[Panel], allowance: float, roll: Roll, turn: Turn, halved: int, *,
    thorough: bool,
) -> Cutting:  # fmt: skip
    pieces, divided = cut_pieces(panels, allowance, roll.across, turn, halved)
    layout = lay(pieces, roll.across, turn, thorough=thorough)
    needed = layout.length * (1.0 + repeat_allowance(roll.repeat)) * (1.0 + roll.reserve)
    joins = tuple(panel.title for panel in divided)
    shows = any(not panel.may_join for panel in divided)
    return Cutting(NAMES[turn], turn, layout, needed, half_yards(needed), joins, shows)
