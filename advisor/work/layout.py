"""Laying panels on a roll: whole pieces, nap honoured, as short as can be found."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations
from typing import Literal

#: Up to so many pieces every order is tried.
EXACT_PIECES = 6
#: Trials of the search for larger sets; each takes well under a millisecond.
TRIALS = 150
TOLERANCE = 1e-6

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


def lay(pieces: Sequence[Piece], across: float, turn: Turn) -> Layout:
    """The shortest layout found on a roll of usable width ``across`` [mm].

    ``turn`` says how pieces may lie: "along" all railroaded (side to side along the roll),
    "across" all with front to back along the roll, so that the nap runs one way on all of
    them, "free" each as it fits. Pieces are put one by one at the lowest free place, in
    many orders: all orders for up to six pieces. Shelf packing by height alone is within
    1.7 times the shortest length and one piece (Coffman, Garey, Johnson and Tarjan 1980);
    it is one of the layouts tried. Raises DoesNotFitError.
    """
    sides = [_sides(piece, across, turn) for piece in pieces]
    if not pieces:
        return Layout((), across, 0.0, 0.0)
    bound = _bound(sides, across)
    best: tuple[Placed, ...] = _shelves(pieces, sides, across)
    shortest = _extent(best)
    for order in _orders(sides):
        if shortest <= bound + TOLERANCE:
            break
        placed = _bottom_left(pieces, sides, order, across, shortest)
        if placed is not None and _extent(placed) < shortest - TOLERANCE:
            best, shortest = placed, _extent(placed)
    return Layout(best, across, shortest, min(bound, shortest))


def _sides(piece: Piece, across: float, turn: Turn) -> list[tuple[float, float]]:
    """Ways to lie as (along, across) that fit the roll."""
    along = (piece.length, piece.width)
    upright = (piece.width, piece.length)
    ways = {"along": [along], "across": [upright], "free": [along, upright]}[turn]
    fitting = [way for way in dict.fromkeys(ways) if way[1] <= across + TOLERANCE]
    if not fitting:
        raise DoesNotFitError(piece, across)
    return fitting


def _bound(sides: Sequence[list[tuple[float, float]]], across: float) -> float:
    """The area must fit, so must the longest piece, and what cannot lie side by side."""
    area = sum(ways[0][0] * ways[0][1] for ways in sides) / across
    longest = max(min(way[0] for way in ways) for ways in sides)
    # Pieces wider than half the roll lie behind each other.
    wide = sum(
        min(way[0] for way in ways)
        for ways in sides
        if all(way[1] > across / 2.0 + TOLERANCE for way in ways)
    )
    return max(area, longest, wide)


def _extent(placed: Iterable[Placed]) -> float:
    return max((p.x + p.along for p in placed), default=0.0)


def _shelves(
    pieces: Sequence[Piece], sides: Sequence[list[tuple[float, float]]], across: float
) -> tuple[Placed, ...]:
    """First fit by decreasing extent along the roll."""
    chosen = [min(ways, key=lambda way: way[0]) for ways in sides]
    order = sorted(range(len(pieces)), key=lambda i: (-chosen[i][0], i))
    shelves: list[list[float]] = []  # start along the roll, extent, taken across
    end = 0.0
    placed = []
    for i in order:
        along, wide = chosen[i]
        shelf = next((s for s in shelves if s[2] + wide <= across + TOLERANCE), None)
        if shelf is None:
            shelf = [end, along, 0.0]
            shelves.append(shelf)
            end += along
        placed.append(Placed(pieces[i], shelf[0], shelf[2], along, wide))
        shelf[2] += wide
    return tuple(placed)


Order = tuple[tuple[int, int], ...]

#: What pieces are sorted by, large ones first: area, extent across, extent along, longer side.
KEYS: tuple[Callable[[tuple[float, float]], float], ...] = (
    lambda way: way[0] * way[1],
    lambda way: way[1],
    lambda way: way[0],
    max,
)


def _orders(sides: Sequence[list[tuple[float, float]]]) -> Iterable[Order]:
    """Orders of pieces with the way each lies; good guesses first, the same every time."""
    n = len(sides)
    ways = list(_choices(sides))
    for way in ways:
        for key in KEYS:
            sizes = [key(sides[i][way[i]]) for i in range(n)]
            ranked = sorted(range(n), key=lambda i: -sizes[i])
            yield tuple((i, way[i]) for i in ranked)
    if n <= EXACT_PIECES:
        for way in ways:
            for turn in permutations(range(n)):
                yield tuple((i, way[i]) for i in turn)
        return
    state = 12345
    for trial in range(TRIALS):
        way = ways[trial % len(ways)]
        longest = [max(sides[i][way[i]]) for i in range(n)]
        order = sorted(range(n), key=lambda i: -longest[i])
        for _ in range(1 + trial % n):
            state = (1103515245 * state + 12345) % 2**31
            a = state % n
            state = (1103515245 * state + 12345) % 2**31
            b = state % n
            order[a], order[b] = order[b], order[a]
        yield tuple((i, way[i]) for i in order)


def _choices(sides: Sequence[list[tuple[float, float]]], limit: int = 64) -> list[list[int]]:
    """Ways of lying for all pieces; like pieces lie alike beyond a limit."""
    kinds: dict[tuple[tuple[float, float], ...], list[int]] = {}
    for i, ways in enumerate(sides):
        kinds.setdefault(tuple(ways), []).append(i)
    groups = [[i] for i in range(len(sides))]
    if 2 ** sum(len(ways) > 1 for ways in sides) > limit:
        groups = list(kinds.values())
    found: list[list[int]] = [[0] * len(sides)]
    for group in groups:
        if len(sides[group[0]]) == 1 or len(found) >= limit:
            continue
        turned = []
        for choice in found:
            other = list(choice)
            for i in group:
                other[i] = 1
            turned.append(other)
        found += turned
    return found


def _bottom_left(
    pieces: Sequence[Piece],
    sides: Sequence[list[tuple[float, float]]],
    order: Order,
    across: float,
    limit: float,
) -> tuple[Placed, ...] | None:
    """Each piece at the place nearest the start of the roll; None once past ``limit``."""
    placed: list[Placed] = []
    for i, way in order:
        along, wide = sides[i][way]
        spot = _spot(placed, along, wide, across)
        if spot[0] + along >= limit - TOLERANCE:
            return None
        placed.append(Placed(pieces[i], spot[0], spot[1], along, wide))
    return tuple(placed)


def _spot(placed: list[Placed], along: float, wide: float, across: float) -> tuple[float, float]:
    """Free corner nearest the start of the roll, then nearest its edge."""
    xs = sorted({0.0, *(p.x + p.along for p in placed)})
    ys = sorted({0.0, *(p.y + p.across for p in placed)})
    for x in xs:
        near = [p for p in placed if p.x < x + along - TOLERANCE and p.x + p.along > x + TOLERANCE]
        for y in ys:
            if y + wide > across + TOLERANCE:
                break
            if all(
                p.y >= y + wide - TOLERANCE or p.y + p.across <= y + TOLERANCE for p in near
            ):
                return x, y
    raise AssertionError("behind all pieces there is always room")
