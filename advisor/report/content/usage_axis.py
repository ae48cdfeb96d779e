"""The axis of the usage bars: even up to capacity, squeezed beyond it."""

from __future__ import annotations

import math

from advisor.report.blocks import Tick

CAPACITY_AT = 0.6
"""Share of the width at which usage is 1."""
TOP = 20.0
"""Usage at the right end; what lies beyond is drawn there and said in words."""


def position(usage: float) -> float:
    """Share of the axis width, 0..1: linear up to usage 1, logarithmic from 1 to ``TOP``.

    A linear axis would let a usage of 12 squash those near 1, where the choice is made.
    """
    if usage <= 1:
        return CAPACITY_AT * max(usage, 0.0)
    if usage >= TOP:
        return 1.0
    return CAPACITY_AT + (1 - CAPACITY_AT) * math.log(usage) / math.log(TOP)


def ticks() -> tuple[Tick, ...]:
    """Marks that are read without knowing the word usage."""
    marks = ((0.0, "0"), (0.5, "half"), (1.0, "limit"), (3.0, "3x"), (20.0, "20x"))
    return tuple(Tick(position(at), label) for at, label in marks)
