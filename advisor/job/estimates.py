"""Three-point times, quotes at a chosen certainty, and cost per year of use."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from advisor.wording.figures import Range


@dataclass(frozen=True)
class Estimate:
    """An expected value with its standard deviation; independent ones add up."""

    expected: float
    sd: float

    def __add__(self, other: Estimate) -> Estimate:
        return Estimate(self.expected + other.expected, math.hypot(self.sd, other.sd))

    def times(self, factor: float) -> Estimate:
        """Scaled, as minutes by a rate; ``factor`` at least 0."""
        return Estimate(self.expected * factor, self.sd * factor)

    def at(self, certainty: float) -> float:
        """Value that is kept in this share of such jobs (normal sum; 0 < certainty < 1)."""
        return self.expected + standard_score(certainty) * self.sd

    def range(self, certainty: float) -> Range:
        """From as far below the expected value as ``at`` lies above it, never below 0."""
        margin = standard_score(certainty) * self.sd
        return Range(max(self.expected - margin, 0.0), self.expected, self.expected + margin)


NOTHING = Estimate(0.0, 0.0)


def standard_score(certainty: float) -> float:
    """Standard deviations above the mean for a certainty: 0.84 for 80 of 100."""
    return NormalDist().inv_cdf(certainty)


def three_point(low: float, typical: float, high: float) -> Estimate:
    """PERT: ``E = (a + 4 m + b)/6``, ``sd = (b - a)/6``.

    Raises ValueError unless 0 <= low <= typical <= high. Source: Malcolm et al. 1959.
    """
    if not 0.0 <= low <= typical <= high:
        raise ValueError(f"not a rising three-point time: {low}, {typical}, {high}")
    return Estimate((low + 4.0 * typical + high) / 6.0, (high - low) / 6.0)


def total(estimates: Iterable[Estimate]) -> Estimate:
    """Sum of independent estimates."""
    added = NOTHING
    for estimate in estimates:
        added = added + estimate
    return added


def equal_yearly_cost(price: float, years: float, interest: float) -> float:
    """A price spread evenly over the years it lasts: ``C r / (1 - (1+r)^-n)``.

    Without interest plainly ``C/n``. Years above 0. Source: engineering economics.
    """
    if years <= 0.0:
        raise ValueError(f"{years} years is no time to spread a price over")
    if abs(interest) < 1e-9:
        return price / years
    return price * interest / (1.0 - math.pow(1.0 + interest, -years))


def yearly_cost_if_left(price: float, left: float, lasts: float, interest: float) -> float:
    """Doing nothing for ``left`` years and then paying ``price`` for what lasts ``lasts``.

    ``price / (1+r)^left`` spread evenly over ``left + lasts``. Years at least 0, together
    above 0. Source: engineering economics.
    """
    today = price / math.pow(1.0 + interest, left)
    return equal_yearly_cost(today, left + lasts, interest)


def charged(total_price: float, minimum: float) -> float:
    """What is charged: never less than the call-out minimum."""
    return max(total_price, minimum)
