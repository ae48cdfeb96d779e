"""Numpy functions typed for a float or an array, and a root finder over whole arrays."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from statistics import NormalDist
from typing import cast

import numpy as np
from numpy.typing import NDArray

from advisor.mechanics.relation import Real

#: Chances below and above which the table of normal quantiles has finer steps.
TAIL = 0.02
#: Even steps between them; twice as many in the table the other way.
STEPS = 1499
#: Fewer values are as quickly searched for.
MANY = 64


def exp(x: Real) -> Real:
    """e to the power ``x``."""
    return cast(Real, np.exp(x))


def log(x: Real) -> Real:
    """Natural logarithm."""
    return cast(Real, np.log(x))


def sqrt(x: Real) -> Real:
    """Square root."""
    return cast(Real, np.sqrt(x))


def cbrt(x: Real) -> Real:
    """Cube root."""
    return cast(Real, np.cbrt(x))


def power(base: Real, exponent: Real) -> Real:
    """``base`` to the power ``exponent``."""
    return cast(Real, np.power(base, exponent))


def tanh(x: Real) -> Real:
    """Hyperbolic tangent."""
    return cast(Real, np.tanh(x))


def tan_degrees(angle: Real) -> Real:
    """Tangent of an angle in degrees."""
    return cast(Real, np.tan(np.deg2rad(angle)))


def sin_degrees(angle: Real) -> Real:
    """Sine of an angle in degrees."""
    return cast(Real, np.sin(np.deg2rad(angle)))


def cos_degrees(angle: Real) -> Real:
    """Cosine of an angle in degrees."""
    return cast(Real, np.cos(np.deg2rad(angle)))


def ceil(x: Real) -> Real:
    """Next whole number, forgiving a rounding error just above one."""
    return cast(Real, np.ceil(np.asarray(x) - 1e-9)[()])


def minimum(x: Real, y: Real) -> Real:
    """The lesser, element by element."""
    return cast(Real, np.minimum(x, y))


def maximum(x: Real, y: Real) -> Real:
    """The greater, element by element."""
    return cast(Real, np.maximum(x, y))


def below(x: Real, limit: Real, then: Real, otherwise: Real) -> Real:
    """``then`` where ``x`` is below ``limit``, else ``otherwise``."""
    return cast(Real, np.where(np.asarray(x) < limit, then, otherwise)[()])


def rising_root(function: Callable[[Real], Real], low: Real, high: Real, steps: int = 60) -> Real:
    """Where a rising ``function`` crosses zero between ``low`` and ``high``.

    All elements are halved together, so the loop runs over digits and not over
    elements. The bracket shrinks to 2**-steps of its width.
    """
    for _ in range(steps):
        middle = 0.5 * (low + high)
        too_low = np.asarray(function(middle)) < 0.0
        low = cast(Real, np.where(too_low, middle, low)[()])
        high = cast(Real, np.where(too_low, high, middle)[()])
    return 0.5 * (low + high)


def normal_quantile(u: Real) -> Real:
    """Standard normal quantiles of uniforms, interpolated in a table of exact ones."""
    grid, exact = _normal_quantiles()
    if not isinstance(u, np.ndarray) or u.size < MANY:
        return cast(Real, np.interp(u, grid, exact))
    first = np.searchsorted(grid, TAIL)
    found = _even(u, TAIL, 1.0 - TAIL, exact[first : first + STEPS + 1])
    tails = np.flatnonzero(np.abs(u - 0.5) > 0.5 - TAIL)
    found[tails] = np.interp(u[tails], grid, exact)
    return cast(Real, found)


def normal_share(z: Real) -> Real:
    """Share of a standard normal below ``z``, interpolated; 1e-6 and 1 - 1e-6 at the ends."""
    end, shares = _normal_shares()
    found = _even(np.asarray(z, dtype=np.float64), -end, end, shares)
    return cast(Real, found[()])


def _even(
    x: NDArray[np.float64], low: float, high: float, table: NDArray[np.float64]
) -> NDArray[np.float64]:
    """A table of even steps from ``low`` to ``high`` read at ``x``; its ends beyond them.

    There is no need to search for the place, which takes ten times as long.
    """
    steps = table.size - 1
    place = np.minimum(np.maximum((x - low) * (steps / (high - low)), 0.0), steps)
    step = np.minimum(place.astype(np.intp), steps - 1)
    found = table.take(step)
    found += (place - step) * (table.take(step + 1) - found)
    return found


@lru_cache(maxsize=1)
def _normal_quantiles() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    exactly = NormalDist()
    tail = np.geomspace(1e-6, TAIL, 600)
    even = np.linspace(TAIL, 1.0 - TAIL, STEPS + 1)[1:-1]
    grid = np.concatenate([tail, even, 1.0 - tail[::-1]])
    return grid, np.array([exactly.inv_cdf(float(p)) for p in grid])


@lru_cache(maxsize=1)
def _normal_shares() -> tuple[float, NDArray[np.float64]]:
    """Where the even steps end on either side of 0, and the shares at them."""
    exactly = NormalDist()
    end = -exactly.inv_cdf(1e-6)
    return end, np.array([exactly.cdf(float(z)) for z in np.linspace(-end, end, 2 * STEPS + 1)])
