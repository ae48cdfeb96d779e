"""Laying panels on a roll: whole pieces, nap honoured, as short as can be found."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from advisor.job.cutting.packing import TOLERANCE, Ways, pack

Turn = Literal["along", "across", "free"]


@dataclass(frozen=True)
class Piece:
    """A rectangle to cut, seam allowance included [mm]."""

    title: str
    length: float
    """Side to side of the panel."""
    width: float
    """Front to back: the nap runs along it."""


@dataclass(frozen=True)
class Placed:
    """A piece on the roll [mm]: x along the roll from its start, y across from one edge."""

    piece: Piece
    x: float
    y: float
    along: float
    """Extent along the roll."""
    across: float
    """Extent across the roll."""

    @property
    def railroaded(self) -> bool:
        """True where the side-to-side of the panel lies along the roll."""
        return abs(self.along - self.piece.length) < TOLERANCE


@dataclass(frozen=True)
class Layout:
    """Pieces on a roll of usable width ``across`` [mm]; they take ``length`` of it [mm]."""

    placed: tuple[Placed, ...]
    across: float
    length: float
    bound: float
    """No layout of these pieces can be shorter than this [mm]."""

    @property
    def area(self) -> float:
        """Area of the pieces [mm2]."""
        return sum(p.along * p.across for p in self.placed)

    @property
    def waste(self) -> float:
        """Share of the taken length that is cut away, edges of the roll apart."""
        taken = self.length * self.across
        return 1.0 - self.area / taken if taken > 0.0 else 0.0

    @property
    def over_bound(self) -> float:
        """How much longer than the bound, as a share of it; 0 is proven shortest."""
        return self.length / self.bound - 1.0 if self.bound > 0.0 else 0.0


class DoesNotFitError(ValueError):
    """A piece is wider than the roll whichever way it may be turned."""

    def __init__(self, piece: Piece, across: float) -> None:
        super().__init__(
            f"{piece.title}, {piece.length:g} x {piece.width:g} mm, does not fit on a roll of "
            f"{across:g} mm"
        )
        self.piece = piece


def lay(
    pieces: Sequence[Piece], across: float, turn: Turn, *, thorough: bool = True
) -> Layout:
    """The shortest layout found on a roll of usable width ``across`` [mm].

    ``turn`` says how pieces may lie: "along" all railroaded (side to side along the roll),
    "across" all with front to back along the roll, so that the nap runs one way on all of
    them, "free" each as it fits. The layout says how far from the shortest it is at most;
    without ``thorough`` only good guesses are tried. Raises DoesNotFitError.
    """
    items = [ways_of(piece, across, turn) for piece in pieces]
    bound = shortest_bound(items, across)
    spots = pack(items, across, bound, thorough=thorough) if items else ()
    placed = tuple(
        Placed(piece, spot.x, spot.y, spot.along, spot.across)
        for piece, spot in zip(pieces, spots, strict=True)
    )
    length = max((spot.end for spot in spots), default=0.0)
    return Layout(placed, across, length, min(bound, length))


def ways_of(piece: Piece, across: float, turn: Turn) -> Ways:
    """Ways to lie as (along, across) that fit the roll. Raises DoesNotFitError."""
    along = (piece.length, piece.width)
    upright = (piece.width, piece.length)
    ways = {"along": [along], "across": [upright], "free": [along, upright]}[turn]
    fitting = tuple(way for way in dict.fromkeys(ways) if way[1] <= across + TOLERANCE)
    if not fitting:
        raise DoesNotFitError(piece, across)
    return fitting


def shortest_bound(items: Sequence[Ways], across: float) -> float:
    """No layout is shorter [mm]: the area, the longest piece, what cannot lie side by side."""
    area = sum(ways[0][0] * ways[0][1] for ways in items) / across
    longest = max((min(way[0] for way in ways) for ways in items), default=0.0)
    # Pieces wider than half the roll lie behind each other.
    wide = sum(
        min(way[0] for way in ways)
        for ways in items
        if all(way[1] > across / 2.0 + TOLERANCE for way in ways)
    )
    return max(area, longest, wide)
