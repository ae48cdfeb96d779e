"""How well a topic is mastered, with its uncertainty: a Rasch model, posterior mode.

A good answer has the chance 1 / (1 + exp(-(ability - difficulty))) (Rasch 1960). The ability
has a prior of mean 0 and standard deviation 1; its mode is the one root of
``sum(weight * (good - chance)) - ability = 0`` and its error
``1 / sqrt(1 + sum(weight * chance * (1 - chance)))``.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from advisor.practice.records import KeptRound

#: From so many answers on a topic has a rank; fewer are said to be too few.
ENOUGH = 10
#: Learning makes old answers stale: an answer counts so much less for each one after it.
STALE = 0.97
#: Distance between what a one-sided 95 % limit and the mean are, in standard errors.
Z90 = 1.6449
#: A trend so many standard errors up is shown as improvement: by luck in 1 of 15 learners.
TREND = 1.5


@dataclass(frozen=True)
class Mastery:
    """How well something is mastered."""

    ability: float
    """On the scale of the difficulties; 0 is even chances at a case of middling difficulty."""
    error: float
    """Standard error of it."""
    answers: int

    @property
    def enough(self) -> bool:
        """Enough answers to be ranked."""
        return self.answers >= ENOUGH

    @property
    def chance(self) -> float:
        """Chance of a good answer at a case of middling difficulty."""
        return rasch_chance(self.ability, 0.0)

    @property
    def interval(self) -> tuple[float, float]:
        """That chance at the ends of 90 % of what the ability may be."""
        return (
            rasch_chance(self.ability - Z90 * self.error, 0.0),
            rasch_chance(self.ability + Z90 * self.error, 0.0),
        )


def rasch_chance(ability: float, difficulty: float, guess: float = 0.0) -> float:
    """Chance of a good answer; ``guess`` is what blind choice alone would give (0 to 1).

        >>> round(rasch_chance(1.0, 0.0), 4)
        0.7311
    """
    return guess + (1.0 - guess) / (1.0 + math.exp(difficulty - ability))


def scaled(difficulty: float | None) -> float:
    """The difficulty of a case (0 to 1) on the scale of abilities: -1 to 1; unknown is 0."""
    return 0.0 if difficulty is None else 2.0 * difficulty - 1.0


def mastery(
    answers: Sequence[tuple[bool, float]], *, stale: float = STALE
) -> Mastery:
    """Mastery from answers (good, difficulty on the scale of abilities), oldest first."""
    weights = [stale ** (len(answers) - 1 - i) for i in range(len(answers))]
    low, high = -12.0, 12.0
    for _ in range(60):  # the left side falls with the ability: halving finds its root
        middle = 0.5 * (low + high)
        left = sum(
            w * (good - rasch_chance(middle, d))
            for w, (good, d) in zip(weights, answers, strict=True)
        ) - middle  # fmt: skip
        low, high = (middle, high) if left > 0.0 else (low, middle)
    ability = 0.5 * (low + high)
    chances = [rasch_chance(ability, d) for _, d in answers]
    told = sum(w * p * (1.0 - p) for w, p in zip(weights, chances, strict=True))
    return Mastery(ability, 1.0 / math.sqrt(1.0 + told), len(answers))


def by_topic(rounds: Sequence[KeptRound]) -> dict[str, Mastery]:
    """Mastery of each topic that was practised, of rounds answered alone or with hints."""
    found: dict[str, list[tuple[bool, float]]] = {}
    for one in rounds:
        if one.counts:
            for topic in one.topics:
                found.setdefault(topic, []).append((one.good, scaled(one.difficulty)))
    return {topic: mastery(answers) for topic, answers in found.items()}


@dataclass(frozen=True)
class Trend:
    """How the share of good answers moves with practice."""

    slope: float
    """Log odds of a good answer gained for each round."""
    z: float
    """Slope in standard errors, by the score test (Cochran 1954, Armitage 1955)."""
    answers: int

    @property
    def improved(self) -> bool:
        """Shown as improved: more than luck, in 14 of 15 learners who stay level."""
        return self.answers >= ENOUGH and self.z > TREND


def trend(answers: Sequence[tuple[bool, float]]) -> Trend:
    """The trend in answers (good, difficulty), oldest first.

    Harder cases later on do not hide it: what is good is compared with the chance that one
    and the same ability gives at each difficulty.
    """
    n = len(answers)
    level = _level(answers)
    chances = [rasch_chance(level, d) for _, d in answers]
    spread = [p * (1.0 - p) for p in chances]
    total = sum(spread)
    if n < 2 or total <= 0.0:
        return Trend(0.0, 0.0, n)
    mean = sum(i * v for i, v in enumerate(spread)) / total
    score = sum((i - mean) * (good - p) for i, ((good, _), p) in enumerate(
        zip(answers, chances, strict=True)))  # fmt: skip
    told = sum(v * (i - mean) ** 2 for i, v in enumerate(spread))
    if told <= 0.0:
        return Trend(0.0, 0.0, n)
    return Trend(score / told, score / math.sqrt(told), n)


def _level(answers: Sequence[tuple[bool, float]]) -> float:
    """The one ability under which as many good answers are expected as there are."""
    low, high = -6.0, 6.0
    for _ in range(50):
        middle = 0.5 * (low + high)
        left = sum(good - rasch_chance(middle, d) for good, d in answers)
        low, high = (middle, high) if left > 0.0 else (low, middle)
    return 0.5 * (low + high)
