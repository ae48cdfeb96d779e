"""Where a usage lies on the axis of the method bars: even up to the limit, squeezed beyond."""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.wording.figures import Range

LIMIT_AT = 0.6
"""Share of the axis at which usage is 1: the joint carries all it can."""
TOP = 20.0
"""Usage at the right end; what lies beyond is drawn there and marked or said in words."""
TICKS: tuple[tuple[float, str], ...] = (
    (0.0, "0"), (0.5, "half"), (1.0, "limit"), (3.0, "3x"), (TOP, "20x"),
)  # fmt: skip
"""Usages with marks that are read without knowing the word usage."""


@dataclass(frozen=True)
class UsageBar:
    """One bar: typical usage and the 5-95 % spread, as shares of the axis."""

    low: float
    typical: float
    high: float
    beyond: bool
    """Whether the spread runs off the right end."""


def position(usage: float) -> float:
    """Share of the axis, 0..1: linear up to usage 1, logarithmic from 1 to ``TOP``.

    A linear axis would let a usage of 12 squash those near 1, where the choice is made.
    """
    if not usage > 0:
        return 0.0
    if usage <= 1:
        return LIMIT_AT * usage
    if usage >= TOP:
        return 1.0
    return LIMIT_AT + (1 - LIMIT_AT) * math.log(usage) / math.log(TOP)


def usage_bar(usage: Range) -> UsageBar:
    """The bar of one method."""
    return UsageBar(
        position(usage.low), position(usage.typical), position(usage.high), usage.high > TOP
    )
