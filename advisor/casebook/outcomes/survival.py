"""How long repairs held: the estimate of Kaplan and Meier, with Greenwood's errors.

A job that nobody heard of again counts as long as it was known to hold, not as held.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import exp, inf, log, sqrt

#: Standard normal quantile of a 95 % interval.
Z95 = 1.959963984540054
#: The line ends where fewer jobs than this are still followed: one more says nothing.
FEWEST = 5


@dataclass(frozen=True)
class Moment:
    """A time at which something came back."""

    years: float
    at_risk: int
    """Jobs still followed, and whole, just before."""
    back: int
    share: float
    """Estimated share that holds longer."""
    error: float
    """Standard error of ``share``; 0 where all came back."""
    low: float
    high: float
    """95 % limits, by the log of the log."""


def kaplan_meier(followed: Iterable[tuple[float, bool]], fewest: int = 1) -> list[Moment]:
    """The share that holds, after each time at which something came back.

    ``followed`` has years and whether it came back then, else was last known to hold. It
    ends where fewer than ``fewest`` jobs are at risk.
    """
    listed = sorted(followed)
    share, spread, at = 1.0, 0.0, 0
    found: list[Moment] = []
    for years in sorted({years for years, back in listed if back}):
        while at < len(listed) and listed[at][0] < years:
            at += 1
        at_risk = len(listed) - at
        if at_risk < fewest:
            break
        back = sum(1 for when, failed in listed[at:] if failed and when == years)
        share *= 1 - back / at_risk
        spread += back / (at_risk * (at_risk - back)) if at_risk > back else inf
        low, high = _limits(share, spread)
        error = share * sqrt(spread) if share > 0 else 0.0
        found.append(Moment(years, at_risk, back, share, error, low, high))
    return found


def _limits(share: float, spread: float) -> tuple[float, float]:
    if not 0 < share < 1:
        return share, share
    c = Z95 * sqrt(spread) / log(share)
    return share ** exp(-c), share ** exp(c)
