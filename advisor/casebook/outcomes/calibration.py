"""Calculated against happened: whether of those called 80 % some 80 % held."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.casebook.outcomes.entries import Job
from advisor.casebook.outcomes.quantiles import beta_quantile
from advisor.casebook.outcomes.shop_factor import LIFE

#: Bins of equal count: few below a hundred jobs.
BINS, FEW_BINS, MANY_JOBS = 5, 3, 100
#: Jeffreys' prior of a share.
JEFFREYS = 0.5


@dataclass(frozen=True)
class Bin:
    """Jobs with about the same calculated chance."""

    computed: float
    """Mean calculated chance."""
    held: int
    jobs: int
    share: float
    low: float
    high: float
    """90 % interval of the share that held (Jeffreys)."""


def calibration(jobs: Iterable[Job], years: float, life: float = LIFE) -> list[Bin]:
    """Bins in the order of what was calculated, of the jobs of which it is known."""
    known = [job for job in jobs if job.known_after(years)]
    pairs = sorted(
        (max(job.computed, 1e-9) ** (years / life), job.held_for(years))
        for job in known
    )
    count = min(BINS if len(pairs) >= MANY_JOBS else FEW_BINS, len(pairs))
    found = []
    for number in range(count):
        begin, end = (len(pairs) * each // count for each in (number, number + 1))
        part = pairs[begin:end]
        held = sum(whole for _, whole in part)
        a, b = held + JEFFREYS, len(part) - held + JEFFREYS
        found.append(
            Bin(
                sum(computed for computed, _ in part) / len(part), held, len(part),
                held / len(part), beta_quantile(0.05, a, b), beta_quantile(0.95, a, b),
            )
        )  # fmt: skip
    return found
