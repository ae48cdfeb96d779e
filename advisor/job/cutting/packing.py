"""Rectangles put one by one at the free place nearest the start of a strip, in many orders."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

TOLERANCE = 1e-6
#: Up to so many rectangles every order is tried, as far as `NODES` reach.
EXACT = 6
#: Placings tried at most for a small set; all orders of five that may be turned need 6330.
NODES = 8000
#: Orders tried for a larger set, each a change of the best one so far.
TRIALS = 400
#: Up to so many rectangles all of these; of more, fewer, for each takes their third power.
FULLY = 16
#: More rectangles than this are packed in shares of so many, one share behind the other.
MANY = 40

Way = tuple[float, float]
"""A rectangle as it may lie: extent along the strip, extent across it [mm]."""
Ways = tuple[Way, ...]


@dataclass(frozen=True)
class Spot:
    """Where a rectangle lies [mm]."""

    x: float
    y: float
    along: float
    across: float

    @property
    def end(self) -> float:
        """Where it ends along the strip."""
        return self.x + self.along


Order = Sequence[tuple[int, int]]
"""Rectangles in the order they are put, each with its way; -1 takes the way that ends first."""


def pack(
    items: Sequence[Ways], across: float, bound: float, *, thorough: bool = True
) -> tuple[Spot, ...]:
    """Places of all rectangles, in their order, on a strip as short as can be found.

    Every rectangle has at least one way that fits ``across``. The search ends where
    ``bound`` [mm] is reached; without ``thorough`` it ends after the good guesses. The
    same input gives the same places.
    """
    if len(items) > MANY:
        return _in_shares(items, across)
    best = _shelves(items, across)
    for order in _guesses(items):
        best = _shorter(items, order, across, best)
    if not thorough or _length(best) <= bound + TOLERANCE:
        return best
    if len(items) <= EXACT:
        return _AllOrders(items, across, best, bound).search()
    return _changed(items, across, best, bound)


def _in_shares(items: Sequence[Ways], across: float) -> tuple[Spot, ...]:
    """Shares in which every size comes as often, each after the good guesses."""
    count, end = ceil(len(items) / MANY), 0.0
    by_size = sorted(range(len(items)), key=lambda i: -max(items[i][0]))
    spots: dict[int, Spot] = {}
    for share in range(count):
        numbers = by_size[share::count]
        packed = pack([items[i] for i in numbers], across, 0.0, thorough=False)
        for i, spot in zip(numbers, packed, strict=True):
            spots[i] = replace(spot, x=end + spot.x)
        end += _length(packed)
    return tuple(spots[i] for i in range(len(items)))


def place(
    items: Sequence[Ways], order: Order, across: float, limit: float = float("inf")
) -> dict[int, Spot] | None:
    """Each rectangle at the free place nearest the start; None once ``limit`` is reached."""
    placed: dict[int, Spot] = {}
    for i, way in order:
        ways = items[i] if way < 0 else (items[i][min(way, len(items[i]) - 1)],)
        spot = first_free(list(placed.values()), ways, across)
        if spot is None or spot.end >= limit - TOLERANCE:
            return None
        placed[i] = spot
    return placed


def first_free(
    placed: Sequence[Spot], ways: Ways, across: float, longest: float = float("inf")
) -> Spot | None:
    """The place at which one of ``ways`` ends first; None past ``longest``."""
    xs = sorted({0.0, *(p.end for p in placed)})
    ys = sorted({0.0, *(p.y + p.across for p in placed)})
    found = [
        spot for way in ways if (spot := _corner(placed, way, xs, ys, across, longest)) is not None
    ]
    return min(found, key=lambda spot: (spot.end, spot.x, spot.y), default=None)


def _corner(
    placed: Sequence[Spot],
    way: Way,
    xs: Sequence[float],
    ys: Sequence[float],
    across: float,
    longest: float,
) -> Spot | None:
    along, wide = way
    for x in xs:
        if x + along > longest + TOLERANCE:
            return None
        near = [p for p in placed if p.x < x + along - TOLERANCE and p.end > x + TOLERANCE]
        for y in ys:
            if y + wide > across + TOLERANCE:
                break
            top = y + wide - TOLERANCE
            if all(p.y >= top or p.y + p.across <= y + TOLERANCE for p in near):
                return Spot(x, y, along, wide)
    return None


def _length(spots: Sequence[Spot]) -> float:
    return max((spot.end for spot in spots), default=0.0)


def _shorter(
    items: Sequence[Ways], order: Order, across: float, best: tuple[Spot, ...]
) -> tuple[Spot, ...]:
    placed = place(items, order, across, _length(best))
    return best if placed is None else tuple(placed[i] for i in range(len(items)))


def _shelves(items: Sequence[Ways], across: float) -> tuple[Spot, ...]:
    """First fit on shelves by decreasing extent along the strip.

    Within 1.7 times the shortest length and one rectangle (Coffman, Garey, Johnson and
    Tarjan 1980), so nothing found later is worse than that.
    """
    chosen = [min(ways, key=lambda way: way[0]) for ways in items]
    shelves: list[list[float]] = []  # start, room taken across
    end = 0.0
    spots: dict[int, Spot] = {}
    for i in sorted(range(len(items)), key=lambda i: (-chosen[i][0], i)):
        along, wide = chosen[i]
        shelf = next((s for s in shelves if s[1] + wide <= across + TOLERANCE), None)
        if shelf is None:
            shelf = [end, 0.0]
            shelves.append(shelf)
            end += along
        spots[i] = Spot(shelf[0], shelf[1], along, wide)
        shelf[1] += wide
    return tuple(spots[i] for i in range(len(items)))


def _guesses(items: Sequence[Ways]) -> Iterator[Order]:
    """Large ones first, by four sizes; ways picked alike for all, or each as it comes."""
    for way in (-1, 0, 1):
        sizes = [ways[min(max(way, 0), len(ways) - 1)] for ways in items]
        keys = (
            [along * wide for along, wide in sizes],
            [wide for _, wide in sizes],
            [along for along, _ in sizes],
            [max(size) for size in sizes],
        )
        for key in keys:
            ranked = sorted(range(len(items)), key=[-size for size in key].__getitem__)
            yield [(i, way) for i in ranked]


class _AllOrders:
    """Every order of a small set, given up where it is no shorter than the best."""

    def __init__(
        self, items: Sequence[Ways], across: float, best: tuple[Spot, ...], bound: float
    ) -> None:
        self.items = items
        self.across = across
        self.best = best
        self.bound = bound
        self.left = NODES

    def search(self) -> tuple[Spot, ...]:
        """The shortest layout found."""
        self._extend({}, 0.0)
        return self.best

    def _extend(self, placed: dict[int, Spot], end: float) -> None:
        if len(placed) == len(self.items):
            self.best = tuple(placed[i] for i in range(len(self.items)))
            return
        seen = set()
        by_size = sorted(range(len(self.items)), key=lambda i: -max(self.items[i][0]))
        for i in by_size:
            if i in placed or self.items[i] in seen:
                continue
            seen.add(self.items[i])
            for way in self.items[i]:
                if self.left <= 0 or _length(self.best) <= self.bound + TOLERANCE:
                    return
                self.left -= 1
                spot = first_free(list(placed.values()), (way,), self.across)
                if spot is None or spot.end >= _length(self.best) - TOLERANCE:
                    continue
                self._extend({**placed, i: spot}, max(end, spot.end))


def _changed(
    items: Sequence[Ways], across: float, best: tuple[Spot, ...], bound: float
) -> tuple[Spot, ...]:
    """The best order changed step by step; a change that makes it no longer is kept."""
    draw = _Draws()
    order = [(i, -1) for i in sorted(range(len(items)), key=lambda i: -max(items[i][0]))]
    length = float("inf")
    for _ in range(int(TRIALS * min(1.0, (FULLY / len(items)) ** 3))):
        if _length(best) <= bound + TOLERANCE:
            break
        trial = list(order)
        for _ in range(1 + draw.below(2)):
            a, b = draw.below(len(trial)), draw.below(len(trial))
            trial[a], trial[b] = trial[b], trial[a]
        turned = draw.below(len(trial))
        trial[turned] = (trial[turned][0], draw.below(3) - 1)
        placed = place(items, trial, across)
        if placed is None:
            continue
        found = _length(tuple(placed.values()))
        if found <= length + TOLERANCE:
            order, length = trial, found
        if found < _length(best) - TOLERANCE:
            best = tuple(placed[i] for i in range(len(items)))
    return best


class _Draws:
    """Whole numbers that are the same in every run (a linear congruential generator)."""

    def __init__(self) -> None:
        self._state = 12345

    def below(self, end: int) -> int:
        """A number from 0 to ``end`` - 1."""
        self._state = (1103515245 * self._state + 12345) % 2**31
        return (self._state >> 8) % end
