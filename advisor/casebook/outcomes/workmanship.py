"""How often the work turns out as it should: the rules' figure, and what a shop's jobs say of it.

What a joint carries is calculated from forces; that the work is done well is a figure of
experience in the rules, the same for everybody. So outcomes correct it first. Each job holds
for h of the life's years with chance r F^(h / life): r is the method's share of work done well,
F what was calculated from forces alone. r has a beta prior around the rules' figure that is
worth as many jobs as in `pooled`; its distribution is summed on a grid.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, log

from advisor.casebook.outcomes.entries import Job
from advisor.casebook.outcomes.pooled import HIGH, LOW, USUAL_K
from advisor.casebook.outcomes.shop_factor import LIFE

#: Years after which jobs are counted: poor work shows early.
SOON = 1.0
#: Fewer jobs of a method say nothing beside the rules.
FEWEST = 5
TAKEN_OVER = (
    "Workmanship is a figure of experience in the rules: outcomes correct it first. What a shop "
    "wants to count with, a person writes as reliability into its own copy of the method."
)
_GRID = 1000
_SURE = 1e-6


@dataclass(frozen=True)
class DoneWell:
    """One method's share of work that is done well."""

    method: str
    by_rules: float
    held: int
    jobs: int
    share: float
    """Mean of what the rules and these jobs say together."""
    low: float
    high: float
    """90 % interval."""

    @property
    def text(self) -> str:
        """For a person."""
        return (
            f"done well in {100 * self.by_rules:.0f} of 100 by the rules; with {self.jobs} jobs "
            f"of this shop, {self.held} of them held after a year, in {100 * self.share:.0f} "
            f"({100 * self.low:.0f} to {100 * self.high:.0f})"
        )


def done_well(
    jobs: Iterable[Job], by_rules: Mapping[str, float], years: float = SOON, life: float = LIFE
) -> list[DoneWell]:
    """Methods of which enough jobs are known after so many years, by name.

    ``by_rules`` is the rules' share of each method, more than 0 and at most 1.
    """
    found: dict[str, list[Job]] = defaultdict(list)
    for job in jobs:
        if job.known_after(years) and job.lead in by_rules:
            found[job.lead].append(job)
    return [
        _of(method, by_rules[method], listed, years, life)
        for method, listed in sorted(found.items()) if len(listed) >= FEWEST
    ]  # fmt: skip


def _of(method: str, rule: float, jobs: list[Job], years: float, life: float) -> DoneWell:
    prior = min(max(rule, _SURE), 1 - _SURE)
    # Jobs alike count together: there may be thousands.
    alike = Counter(
        (round(min(max(job.computed, _SURE) / prior, 1.0) ** (years / life), 3),
         job.held_for(years)) for job in jobs
    )  # fmt: skip
    held = sum(count for (_, whole), count in alike.items() if whole)
    grid = [(step + 0.5) / _GRID for step in range(_GRID)]
    logs = [
        (USUAL_K * prior - 1) * log(r) + (USUAL_K * (1 - prior) - 1) * log(1 - r)
        + sum(count * log(r * f if whole else 1 - r * f) for (f, whole), count in alike.items())
        for r in grid
    ]  # fmt: skip
    most = max(logs)
    weights = [exp(each - most) for each in logs]
    total = sum(weights)
    mean = sum(r * weight for r, weight in zip(grid, weights, strict=True)) / total
    low, high = (_quantile(weights, share * total) for share in (LOW, HIGH))
    return DoneWell(method, rule, held, len(jobs), mean, low, high)


def _quantile(weights: list[float], below: float) -> float:
    """Where so much weight lies below, within its step of the grid."""
    summed = 0.0
    for step, weight in enumerate(weights):
        if summed + weight >= below:
            return (step + (below - summed) / weight) / _GRID
        summed += weight
    return 1.0
