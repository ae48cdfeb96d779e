"""How much more often this shop's repairs come back than calculated: one figure, kept apart.

The rate of comebacks is taken as f times the calculated one, f ~ gamma(a, a) with a = 2. With
D comebacks where E were calculated, f has the distribution gamma(a + D, a + E). It is never
mixed into a calculated figure unless a person switches it on.

Two ways in which it misleads, both measured by simulation, are said wherever it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, log

from advisor.casebook.outcomes.entries import Job
from advisor.casebook.outcomes.quantiles import gamma_quantile

#: Years for which the rules calculate whether a repair holds.
LIFE = 10.0
#: Worth of the prior: that the shop is as calculated.
PRIOR = 2.0
#: From so many calculated comebacks a method has a factor of its own.
ENOUGH = 5.0
_SURE = 1e-9

CAUTIONS = (
    "A joint that wears out fails late. Followed for a few years only, it seems better than "
    "calculated: in a simulation a shop that was twice as bad came out at 0.77.",
    "A comeback that nobody told you of counts as held. With four of ten never heard of, a "
    "factor of 2 came out as 1.18.",
    "It takes some 200 followed jobs before a factor of 2 shows reliably.",
)


@dataclass(frozen=True)
class ShopFactor:
    """Comebacks seen against comebacks calculated."""

    back: int
    computed: float
    """Comebacks that were to be expected in the time followed."""
    jobs: int
    mean: float
    low: float
    high: float
    """90 % interval."""

    @property
    def text(self) -> str:
        """For a person."""
        return (
            f"{self.back} came back where {self.computed:.1f} were calculated: "
            f"{self.mean:.1f} times ({self.low:.1f} to {self.high:.1f})"
        )


def factor_of(back: int, computed: float, jobs: int = 0) -> ShopFactor:
    """The factor from counts."""
    shape, rate = PRIOR + back, PRIOR + computed
    low, high = (gamma_quantile(share, shape, rate) for share in (0.05, 0.95))
    return ShopFactor(back, computed, jobs, shape / rate, low, high)


def expected(job: Job, life: float = LIFE) -> float:
    """Comebacks calculated for the time that a job was followed, at a constant rate.

    After ``life`` nothing is calculated, so the time counts up to there.
    """
    return -log(max(job.computed, _SURE)) * min(job.years, life) / life


def shop_factor(jobs: Iterable[Job], life: float = LIFE) -> ShopFactor:
    """The factor of all jobs together."""
    listed = list(jobs)
    back = sum(job.back and job.years <= life for job in listed)
    return factor_of(back, sum(expected(job, life) for job in listed), len(listed))


def factors_by_method(jobs: Iterable[Job], life: float = LIFE) -> dict[str, ShopFactor]:
    """The factors of methods for which enough comebacks were calculated."""
    listed = list(jobs)
    found = {
        method: shop_factor((job for job in listed if job.lead == method), life)
        for method in sorted({job.lead for job in listed})
    }
    return {method: factor for method, factor in found.items() if factor.computed >= ENOUGH}


def with_factor(computed: float, factor: float) -> float:
    """A calculated chance as it would be with the shop's factor."""
    return exp(factor * log(max(computed, _SURE)))
