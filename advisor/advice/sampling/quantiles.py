"""Quantiles of values over weighted worlds."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from advisor.rulegraph.model.nodes import Array

#: Low, typical and high: 5 of 100 worlds lie below the first, 5 of 100 above the last.
RANGE = (0.05, 0.5, 0.95)
#: Values of more worlds than 2 to this power leave too few bits beside their places.
MOST_BITS = 20


def weighted_quantiles(values: Array, weights: Array, at: tuple[float, ...] = RANGE) -> Array:
    """Weighted quantiles, shape of ``at``; both arrays of shape (n,), n at least 1."""
    return read_at(in_order(values, weights), at)


def in_order(values: Array, weights: Array) -> tuple[Array, Array]:
    """The values in ascending order, each with the weight up to it; one where all are alike."""
    if values[0] == values[-1] and (values == values[0]).all():
        return values[:1], weights[:1]
    order = ascending(values)
    return values.take(order), weights.take(order).cumsum()


def read_at(ordered: tuple[Array, Array], at: tuple[float, ...] = RANGE) -> Array:
    """Weighted quantiles of values in order."""
    values, cumulative = ordered
    places = cumulative.searchsorted(np.array(at) * cumulative[-1])
    return np.asarray(values[np.minimum(places, values.size - 1)], dtype=np.float64)


def ascending(values: Array) -> NDArray[np.int64]:
    """Places of the values in ascending order; those that agree to 9 digits in any order.

    Sorting numbers is several times faster than sorting places, so each number carries its
    place in its lowest bits. The bits of numbers below 0 would stand the other way round.
    """
    bits = values.size.bit_length()
    if bits > MOST_BITS or values.min() < 0.0:
        return values.argsort()
    low = (1 << bits) - 1
    keys = np.bitwise_and(values.astype(np.float64, copy=False).view(np.int64), ~low)
    keys |= _places(values.size)
    keys.sort()
    keys &= low
    return keys


@lru_cache(maxsize=16)
def _places(n: int) -> NDArray[np.int64]:
    return np.arange(n, dtype=np.int64)
