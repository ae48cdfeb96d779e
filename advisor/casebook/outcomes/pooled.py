"""Held of so many like this: counts of a shop beside what was calculated, partly pooled.

Each cell (a method on a kind of damage) has its own share that holds. Its prior is a beta
distribution around the mean of what was calculated for those very jobs, worth ``k`` jobs; k is
the most likely one for all cells together, itself with a weak prior (log k normal around log
15, sd 0.7), without which few jobs give a k that is far too sure.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log

from advisor.casebook.outcomes.entries import Job
from advisor.casebook.outcomes.quantiles import beta_quantile, log_beta

#: Centre and spread of log k.
USUAL_K, SPREAD_K = 15.0, 0.7
#: Shares of the interval that is shown.
LOW, HIGH = 0.05, 0.95
_CLEAR = 1e-6


@dataclass(frozen=True)
class Cell:
    """Jobs of one kind of which it is known whether they held as long as asked."""

    method: str
    damage: str
    held: int
    jobs: int
    computed: float
    """Mean of the calculated chances of these jobs."""


@dataclass(frozen=True)
class Seen:
    """What a shop saw, what was calculated, and both together: three figures, kept apart."""

    cell: Cell
    together: float
    low: float
    high: float
    """90 % interval of ``together``."""

    @property
    def text(self) -> str:
        """For a person."""
        share = f"{100 * self.together:.0f} % ({100 * self.low:.0f} to {100 * self.high:.0f})"
        return (
            f"{self.cell.held} of {self.cell.jobs} held; calculated "
            f"{100 * self.cell.computed:.0f} %; together {share}"
        )


def cells(jobs: Iterable[Job], years: float, life: float) -> list[Cell]:
    """Jobs counted by method and damage, after ``years``.

    Counted are jobs that were followed for so long, or are so old and came back before. What
    was calculated for ``life`` years is taken to ``years`` with a constant rate of failure.
    """
    found: dict[tuple[str, str], list[Job]] = defaultdict(list)
    for job in jobs:
        if job.known_after(years):
            found[job.lead, job.damage].append(job)
    return [
        Cell(
            method, damage, sum(job.held_for(years) for job in listed),
            len(listed), sum(max(job.computed, 1e-9) ** (years / life) for job in listed)
            / len(listed),
        )
        for (method, damage), listed in sorted(found.items())
    ]  # fmt: skip


def strength(given: Sequence[Cell]) -> float:
    """How many jobs what was calculated is worth: the most likely k for all cells."""

    def loss(log_k: float) -> float:
        k = exp(log_k)
        total = ((log_k - log(USUAL_K)) / SPREAD_K) ** 2 / 2
        for cell in given:
            a, b = _prior(cell, k)
            total -= log_beta(a + cell.held, b + cell.jobs - cell.held) - log_beta(a, b)
        return total

    low, high = 0.0, 6.0
    golden = 0.6180339887498949
    for _ in range(60):
        one, other = high - golden * (high - low), low + golden * (high - low)
        low, high = (low, other) if loss(one) < loss(other) else (one, high)
    return exp(0.5 * (low + high))


def pooled(given: Sequence[Cell], k: float | None = None) -> list[Seen]:
    """Each cell with what was calculated and what was seen taken together."""
    k = strength(given) if k is None else k
    found = []
    for cell in given:
        a, b = _prior(cell, k)
        a, b = a + cell.held, b + cell.jobs - cell.held
        found.append(Seen(cell, a / (a + b), beta_quantile(LOW, a, b), beta_quantile(HIGH, a, b)))
    return found


def _prior(cell: Cell, k: float) -> tuple[float, float]:
    mean = min(max(cell.computed, _CLEAR), 1 - _CLEAR)
    return k * mean, k * (1 - mean)
