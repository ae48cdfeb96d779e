"""Lengths on a photo, by a standard card or a ruler that lies beside the damage.

The card is ISO/IEC 7810 ID-1: 85.60 x 53.98 mm. Its corners are round, and clicking them makes
a length 2.3 % too long, so two points are clicked on each straight edge and the lines crossed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from advisor.casebook.photos.homography import Points, crossing, homography, moved
from advisor.facts.case import Span

#: Size of the card, in mm.
CARD = (85.60, 53.98)
#: Standard deviation of a click, in pixels of the photo.
CLICK = 1.5
#: A span reaches so many standard deviations either way: nine of ten lie in it.
REACH = 1.645
#: Distance between lens and sensor over the longer side of the photo, as usual with telephones
#: (estimate); used for tilt and distance alone, never for a length.
FOCAL = 0.8
#: From where a damage is photographed as a rule, mm (estimate); a ruler does not show it.
USUAL_DISTANCE = 300.0
#: Beyond these a length is doubtful: degrees, pixels, cards.
MOST_TILT, NARROWEST, LONGEST, FARTHEST = 55.0, 300.0, 3.0, 2.0

Edge = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Measured:
    """A length with its error, and what makes it doubtful."""

    length: float
    """mm"""
    error: float
    """Standard deviation from the clicks, mm."""
    beneath: float
    """Error from the damage lying above or below the card, mm either way."""
    doubts: tuple[str, ...] = ()

    @property
    def span(self) -> Span:
        """As an answer: nine of ten such spans hold the length."""
        reach = REACH * self.error + self.beneath
        low, high = max(0.0, self.length - reach), self.length + reach
        digits = 1 if self.length < 1000 else 0
        if round(low, digits) == round(high, digits):
            return Span(self.length, self.length, f"{self.length:.{digits}f} mm")
        low, high = round(low, digits), round(high, digits)
        return Span(low, high, f"{low:.{digits}f} to {high:.{digits}f} mm")


class CardOnPhoto:
    """A card found on a photo: the plane that it lies in, in mm.

    ``edges`` are two points on each straight edge in pixels, going around: a long edge, a
    short one, a long one, a short one. ``size`` is that of the photo. Raises ValueError where
    they are no card.
    """

    def __init__(self, edges: Sequence[Edge], size: tuple[int, int]) -> None:
        if len(edges) != 4:
            raise ValueError(f"a card has four edges; found {len(edges)}")
        self._clicks = np.array(edges, dtype=float)
        self._size = size
        self._plane(self._clicks)

    @property
    def corners(self) -> Points:
        """Where the edges meet, in pixels: beyond the round corners."""
        return _corners(self._clicks)

    def distance(self, trace: Sequence[tuple[float, float]], flush: float = 0.0) -> Measured:
        """Length along points of a trace in pixels, two or more.

        ``flush`` says within how many mm the damage lies as high as the card.
        """
        return self._measured(np.array(trace, dtype=float), flush, _along)

    def pitch(self, holes: Sequence[tuple[float, float]], flush: float = 0.0) -> Measured:
        """Mean distance from hole to hole, of holes clicked one after the other."""
        return self._measured(
            np.array(holes, dtype=float), flush, lambda points: _along(points) / (len(points) - 1)
        )

    def _measured(
        self, trace: Points, flush: float, of: Callable[[Points], float]
    ) -> Measured:
        if len(trace) < 2:
            raise ValueError("two points or more are needed")
        clicks = np.concatenate((self._clicks.ravel(), trace.ravel()))

        def length(values: Points) -> float:
            plane = self._plane(values[:16].reshape(4, 2, 2))
            return of(moved(plane, values[16:].reshape(-1, 2)))

        found = length(clicks)
        # How far a pixel at each click moves the result; the clicks are independent.
        steps = np.eye(len(clicks)) * 0.5
        slopes = np.array([length(clicks + step) - length(clicks - step) for step in steps])
        error = CLICK * float(np.linalg.norm(slopes))
        beneath = found * flush / self._view()[1]
        return Measured(found, error, beneath, self._doubts(trace))

    def _plane(self, edges: Points) -> Points:
        width, height = CARD
        places = np.array([[0.0, 0.0], [width, 0.0], [width, height], [0.0, height]])
        return homography(_corners(edges), places)

    def _view(self) -> tuple[float, float]:
        """Tilt of the card against the photo in degrees, and its distance in mm, both rough."""
        focal = FOCAL * max(self._size)
        middle_x, middle_y = self._size[0] / 2, self._size[1] / 2
        lens = np.array([[focal, 0.0, middle_x], [0.0, focal, middle_y], [0.0, 0.0, 1.0]])
        # Columns: along the card, across it, and to its corner, all by one unknown scale.
        axes = np.linalg.inv(self._plane(self._clicks) @ lens)
        scale = 2.0 / (np.linalg.norm(axes[:, 0]) + np.linalg.norm(axes[:, 1]))
        normal = np.cross(axes[:, 0] * scale, axes[:, 1] * scale)
        tilt = np.degrees(np.arccos(min(1.0, abs(normal[2]) / float(np.linalg.norm(normal)))))
        middle = axes @ np.array([CARD[0] / 2, CARD[1] / 2, 1.0]) * scale
        return float(tilt), float(np.linalg.norm(middle))

    def _doubts(self, trace: Points) -> tuple[str, ...]:
        tilt, _ = self._view()
        corners = self.corners
        wide = float(np.linalg.norm(corners[1] - corners[0]))
        on_plane = moved(self._plane(self._clicks), trace)
        middle = np.array(CARD) / 2
        far = float(np.max(np.linalg.norm(on_plane - middle, axis=1))) - CARD[0] / 2
        doubts = []
        if tilt > MOST_TILT:
            doubts.append(f"The photo is taken very aslant (about {tilt:.0f} degrees).")
        if wide < NARROWEST:
            doubts.append(f"The card is only {wide:.0f} pixels long: take the photo from nearer.")
        if _along(on_plane) > LONGEST * CARD[0]:
            doubts.append("The length is more than three cards: measure it in pieces.")
        if far > FARTHEST * CARD[0]:
            doubts.append("The damage is more than two cards away from the card.")
        return tuple(doubts)


class RulerOnPhoto:
    """Two marks of a ruler ``between`` mm apart, seen straight on.

    ``ends`` are the marks in pixels. Raises ValueError where they are in one place.
    """

    def __init__(self, ends: Edge, between: float) -> None:
        self._between, self._pixels = between, float(np.linalg.norm(np.subtract(*ends)))
        if not (self._pixels > 0 and between > 0):
            raise ValueError("the two marks of a ruler must lie apart")

    def distance(self, trace: Sequence[tuple[float, float]], flush: float = 0.0) -> Measured:
        """Length along points of a trace in pixels, two or more; ``flush`` as for a card."""
        points = np.array(trace, dtype=float)
        if len(points) < 2:
            raise ValueError("two points or more are needed")
        seen = _along(points)
        length = seen * self._between / self._pixels
        share = np.sqrt(2.0) * CLICK * np.hypot(1.0 / self._pixels, 1.0 / max(seen, 1e-9))
        doubt = "A ruler does not show how aslant the photo is: take it straight from above."
        return Measured(length, length * float(share), length * flush / USUAL_DISTANCE, (doubt,))

    def pitch(self, holes: Sequence[tuple[float, float]], flush: float = 0.0) -> Measured:
        """Mean distance from hole to hole, of holes clicked one after the other."""
        whole, gaps = self.distance(holes, flush), len(holes) - 1
        return Measured(
            whole.length / gaps, whole.error / gaps, whole.beneath / gaps, whole.doubts
        )


def _corners(edges: Points) -> Points:
    return np.array([crossing(edges[number - 1], edges[number]) for number in range(4)])


def _along(points: Points) -> float:
    return float(np.sum(np.linalg.norm(np.diff(points, axis=0), axis=1)))
