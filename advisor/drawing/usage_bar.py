"""Where a usage lies on the axis of the method bars. Pure geometry, no Qt."""

from __future__ import annotations

import math
from dataclasses import dataclass

from advisor.wording.figures import Range

LOWEST, HIGHEST = 0.02, 50.0
"""Usage at the two ends of the axis; what lies beyond is drawn to the end and marked."""
TICKS: tuple[tuple[float, str], ...] = ((0.1, "a tenth"), (1.0, "all it carries"), (10.0, "10 x"))


@dataclass(frozen=True)
class Bar:
    """One bar in px from the left end of the axis."""

    median: float
    low: float
    high: float
    beyond: bool
    """Whether the whisker runs off the right end."""


def place(usage: float, width: float) -> float:
    """Position of ``usage`` (demand over capacity) on a logarithmic axis ``width`` px long.

    A usage of 1, where the joint carries just what is asked, lies at the middle.
    Usages of 0 or less lie at the left end, infinite ones at the right.
    """
    if not usage > LOWEST:
        return 0.0
    if usage >= HIGHEST:
        return width
    return width * math.log(usage / LOWEST) / math.log(HIGHEST / LOWEST)


def bar(usage: Range, width: float) -> Bar:
    """The bar of one method: its median and the 5-95 % whisker."""
    return Bar(
        place(usage.typical, width),
        place(usage.low, width),
        place(usage.high, width),
        usage.high > HIGHEST,
    )
