"""How well stated certainty fits: shares right by what was stated, and overconfidence.

From few answers the plain figures of calibration are large by luck alone (Broecker 2012,
Ferro and Fricker 2012: from abstracts), so what is shown is the difference of the means with
its interval, and three groups with theirs.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.wording.counts import counted

#: Beyond so many answers there are five groups in place of three.
MANY = 80
#: From so many answers on reliability may be shown.
RELIABLE = 160
COARSE = (0.0, 0.60, 0.85, 1.0)
FINE = (0.0, 0.50, 0.65, 0.80, 0.90, 1.0)
Z95, Z90 = 1.959964, 1.644854

#: An answer: what was stated, and whether the choice was right.
Stated = tuple[float, bool]


@dataclass(frozen=True)
class Group:
    """Answers of about the same certainty."""

    low: float
    high: float
    stated: float
    """Mean of what was stated."""
    right: int
    answers: int
    interval: tuple[float, float]
    """90 % interval of the share right (Wilson)."""

    @property
    def fits(self) -> bool:
        """The share right may well be what was stated."""
        return self.interval[0] <= self.stated <= self.interval[1]

    @property
    def words(self) -> str:
        """``When you say 90, you are right 7 times of 10 (12 answers)``."""
        share = self.right / self.answers
        return (
            f"When you say {100 * self.stated:.0f} %, you are right {10 * share:.0f} times of 10"
            f" ({counted(self.answers, 'answer')})"
        )


@dataclass(frozen=True)
class Calibration:
    """Certainty against being right."""

    answers: int
    overconfidence: float
    """Mean stated less share right."""
    margin: float
    """95 % of learners who know exactly how sure to be lie within this of 0."""
    groups: tuple[Group, ...]
    """Those with answers, the least certain first."""
    reliability: float | None
    """Murphy's term; None below 160 answers, where it is mostly luck."""

    @property
    def words(self) -> str:
        """What is to be said of it."""
        if self.answers < 20:
            return f"Too few answers to tell: {self.answers} so far, it takes 20"
        if abs(self.overconfidence) <= self.margin:
            return "Stated certainty fits what was right, as far as this many answers tell"
        word = "more" if self.overconfidence > 0 else "less"
        points = f"{100 * abs(self.overconfidence):.0f}"
        return f"You are {word} sure than right, by {points} points of a hundred"


def over_time_in_words(found: Sequence[Calibration]) -> str:
    """How the difference changed from each twenty answers to the next; empty of fewer than two."""
    if len(found) < 2:
        return ""
    said = ", ".join(
        f"{100 * abs(one.overconfidence):.0f} {'more' if one.overconfidence > 0 else 'less'}"
        for one in found
    )
    return f"More or less sure than right, in points, by {found[0].answers} answers in turn: {said}"


def brier(answers: Sequence[Stated]) -> float:
    """Mean of (stated - right) squared (Brier 1950), of two classes: 0 best, 1 worst.

    Never shown to a learner: choosing wrong on purpose with certainty 0 would win it.
    """
    return sum((p - y) ** 2 for p, y in answers) / len(answers)


def murphy(answers: Sequence[Stated]) -> tuple[float, float, float]:
    """Reliability, resolution and uncertainty (Murphy 1973); Brier is the first less the
    second plus the third, exact where equal stated values form the groups."""
    base = sum(y for _, y in answers) / len(answers)
    groups: dict[float, list[bool]] = {}
    for p, y in answers:
        groups.setdefault(p, []).append(y)
    reliability = resolution = 0.0
    for p, right in groups.items():
        share = sum(right) / len(right)
        reliability += len(right) * (p - share) ** 2
        resolution += len(right) * (share - base) ** 2
    return reliability / len(answers), resolution / len(answers), base * (1.0 - base)


def wilson(right: int, answers: int, z: float = Z90) -> tuple[float, float]:
    """Interval of a share (Wilson 1927)."""
    share, n = right / answers, answers
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * math.sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return max(middle - half, 0.0), min(middle + half, 1.0)


def calibration(answers: Sequence[Stated]) -> Calibration:
    """Calibration of answers; of none, nothing but zeros."""
    n = len(answers)
    if not n:
        return Calibration(0, 0.0, 1.0, (), None)
    over = (sum(p for p, _ in answers) - sum(y for _, y in answers)) / n
    margin = Z95 * math.sqrt(sum(p * (1.0 - p) for p, _ in answers)) / n
    return Calibration(
        n, over, margin, _groups(answers), murphy(answers)[0] if n >= RELIABLE else None
    )


def over_time(answers: Sequence[Stated], size: int = 20) -> tuple[Calibration, ...]:
    """Calibration of each ``size`` answers in turn, oldest first; what is left over is left out."""
    return tuple(
        calibration(answers[start : start + size])
        for start in range(0, len(answers) - size + 1, size)
    )


def _groups(answers: Sequence[Stated]) -> tuple[Group, ...]:
    edges = FINE if len(answers) > MANY else COARSE
    found = []
    for i in range(len(edges) - 1):
        low, high = edges[i], edges[i + 1]
        last = i == len(edges) - 2
        inside = [(p, y) for p, y in answers if low <= p < high or (last and p == high)]
        if inside:
            right = sum(y for _, y in inside)
            stated = sum(p for p, _ in inside) / len(inside)
            found.append(Group(low, high, stated, right, len(inside), wilson(right, len(inside))))
    return tuple(found)
