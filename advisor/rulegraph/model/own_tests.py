"""A shop's own tests on scrap: the spread that follows from readings, and what it stands in for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from advisor.rulegraph.model.nodes import Node

Triple = tuple[float, float, float]

#: From so many samples on their own scatter is believed.
ENOUGH_SAMPLES = 3
#: Student's t, one-sided 95 %, for 2 to 20 degrees of freedom. Source: tables of the t
#: distribution (Fisher and Yates, table III).
T_95 = (2.920, 2.353, 2.132, 2.015, 1.943, 1.895, 1.860, 1.833, 1.812, 1.796, 1.782, 1.771,
        1.761, 1.753, 1.746, 1.740, 1.734, 1.729, 1.725)  # fmt: skip
#: Half the width of a symmetrical triangle beyond whose 5 % point at distance 1 from the middle.
TRIANGLE = 1.0 / (1.0 - math.sqrt(0.1))
#: Minutes of a short test, and of ten years.
SHORT = 1.0
TEN_YEARS = 10.0 * 365.25 * 24.0 * 60.0


@dataclass(frozen=True)
class OwnTest:
    """One test, with the figure as the program had it and as it is calculated with now."""

    key: str
    title: str
    unit: str
    of: str
    samples: int
    date: str
    how: str
    before: Triple
    after: Triple
    node: Node
    """The node without the test."""


def spread_of(readings: Sequence[float], before: Triple) -> Triple:
    """Low, typical and high of what was read, for a triangular draw.

    From three samples on the next sample is expected within ``mean +- t s sqrt(1 + 1/n)`` in
    90 of 100 cases, and the triangle has that range between its 5 and 95 % points. Fewer say
    nothing about scatter: then the range stays as wide, relative to the typical value, as
    that of the estimate (``before``). Readings above 0; never below 0. Source: prediction
    interval of a normal sample; the triangle and the bar of three are our choice.
    """
    mean = fmean(readings)
    if len(readings) < ENOUGH_SAMPLES:
        low, typical, high = before
        if typical <= 0.0:
            return mean, mean, mean
        return mean * low / typical, mean, mean * high / typical
    half = TRIANGLE * _t(len(readings) - 1) * stdev(readings) * math.sqrt(1.0 + 1.0 / len(readings))
    return max(mean - half, 0.0), mean, mean + half


def _t(freedom: int) -> float:
    if freedom - 2 < len(T_95):
        return T_95[freedom - 2]
    normal = 1.645
    return normal + (normal**3 + normal) / (4.0 * freedom)


def share_after_ten_years(share: float, hours: float) -> float:
    """Share of the short pull that lasts ten years, where ``share`` of it hung for ``hours``.

    What a glued or sewn joint bears falls evenly with the logarithm of time: from all of it
    in a test of one minute through ``share`` (0 to 1) after ``hours`` (1 or more) on to ten
    years; at least a hundredth is left. Source: creep-rupture lines, from memory (as for
    polyester yarns, Greenwood 1995); for cement our own assumption.
    """
    decades = math.log10(hours * 60.0 / SHORT)
    lost = (1.0 - share) * math.log10(TEN_YEARS / SHORT) / decades
    return max(1.0 - lost, 0.01)
