"""Quantiles of the beta and the gamma distribution, by the standard library.

From the incomplete beta and gamma functions (Abramowitz and Stegun 26.5.8, a continued
fraction; 6.5.29, a series; from memory), inverted by halving.
"""

from __future__ import annotations

from collections.abc import Callable
from math import exp, inf, isfinite, lgamma, log, log1p

_TINY = 1e-300
_STEPS = 100_000


def log_beta(a: float, b: float) -> float:
    """Logarithm of the beta function."""
    return lgamma(a) + lgamma(b) - lgamma(a + b)


def beta_share(x: float, a: float, b: float) -> float:
    """Probability that a beta variable lies below ``x``."""
    if x <= 0.0 or x >= 1.0:
        return float(x >= 1.0)
    front = exp(a * log(x) + b * log1p(-x) - log_beta(a, b))
    if x > (a + 1.0) / (a + b + 2.0):
        return 1.0 - front * _fraction(1.0 - x, b, a) / b
    return front * _fraction(x, a, b) / a


def _fraction(x: float, a: float, b: float) -> float:
    """Continued fraction of the incomplete beta function, by Lentz's method."""
    c, d = 1.0, 1.0 / (1.0 - (a + b) * x / (a + 1.0) or _TINY)
    value = d
    for m in range(1, _STEPS):
        for factor in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1.0 / (1.0 + factor * d or _TINY)
            c = 1.0 + factor / c or _TINY
            value *= c * d
        if abs(c * d - 1.0) < 1e-15:
            break
    return value


def gamma_share(x: float, shape: float) -> float:
    """Probability that a gamma variable of scale 1 lies below ``x``."""
    if x <= 0.0:
        return 0.0
    front = exp(shape * log(x) - x - lgamma(shape))
    if front == 0.0:
        return float(x > shape)
    term = total = 1.0 / shape
    for n in range(1, _STEPS):
        term *= x / (shape + n)
        total += term
        if term < total * 1e-16:
            break
    return min(1.0, front * total)


def beta_quantile(share: float, a: float, b: float) -> float:
    """Where a beta variable lies below with probability ``share``. Raises ValueError."""
    if not (a > 0 and b > 0):
        raise ValueError(f"beta({a}, {b}) is no distribution")
    return _halved(lambda x: beta_share(x, a, b), share, 1.0)


def gamma_quantile(share: float, shape: float, rate: float) -> float:
    """Where a gamma variable lies below with probability ``share``. Raises ValueError."""
    if not (shape > 0 and rate > 0 and isfinite(shape / rate)):
        raise ValueError(f"gamma({shape}, {rate}) is no distribution")
    high = shape + 10.0
    while gamma_share(high, shape) < share:
        high *= 2.0
    return _halved(lambda x: gamma_share(x, shape), share, high) / rate


def _halved(below: Callable[[float], float], share: float, high: float) -> float:
    if not 0.0 <= share <= 1.0:
        raise ValueError(f"{share} is no share; accepted: 0 to 1")
    if share == 1.0:
        return high if high == 1.0 else inf
    low = 0.0
    for _ in range(80):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if below(middle) < share else (low, middle)
    return 0.5 * (low + high)
