"""The floor that the time of one advice is compared with, so that machines can be compared.

`floor` pushes 4096 samples through a graph of 120 nodes and 200 edges with ready-made
normals and takes three quantiles of 20 nodes: about what no advice over as many worlds can
do without. Timed interleaved with `advise`, in the same process, the ratio carries over
from machine to machine where milliseconds do not.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

WORLDS, NODES, FIRST, READ = 4096, 120, 20, 20
#: Floors timed before each case; their median counts.
REPEATS = 3

_RNG = np.random.default_rng(1)
_NORMALS = _RNG.standard_normal((NODES, WORLDS))
_PARENTS = [_RNG.integers(0, max(1, node), size=2) for node in range(NODES)]


def floor() -> NDArray[np.float64]:
    """Quantiles of the last nodes, shape (3, 20); 2 to 7 ms on one core."""
    values = np.empty((NODES, WORLDS))
    for node in range(NODES):
        if node < FIRST:
            values[node] = np.exp(0.2 * _NORMALS[node])
            continue
        one, other = _PARENTS[node]
        values[node] = values[one] * 0.6 + values[other] * 0.4 + 0.05 * _NORMALS[node]
        np.maximum(values[node], 1e-6, out=values[node])
    return np.quantile(values[-READ:], [0.05, 0.5, 0.95], axis=1)


def milliseconds(action: Callable[[], object], repeats: int = 1) -> float:
    """Median time of several runs."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        action()
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.median(times)


def floor_here() -> float:
    """Milliseconds that the floor takes at this moment."""
    return milliseconds(floor, REPEATS)
