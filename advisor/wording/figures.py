"""Numbers to a few digits, and ranges of them."""

from __future__ import annotations

import math
from dataclasses import dataclass

#: A figure from here on is no limit at all: a joint so loaded carries nothing over the years.
UNBOUNDED = 1e5


@dataclass(frozen=True)
class Range:
    """5th, 50th and 95th percentile over the worlds."""

    low: float
    typical: float
    high: float


def to_digits(value: float, digits: int = 2) -> str:
    """``value`` to ``digits`` significant digits, without exponent: 0.35, 12, 1400."""
    if value >= UNBOUNDED:
        return "no limit"
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    if rounded == 0:
        return "0"
    text = f"{rounded:.{max(0, places)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def decimal_places(value: float, digits: int = 2) -> int:
    """Places after the point that show ``value``, which is not 0, to ``digits`` digits."""
    return max(0, digits - 1 - math.floor(math.log10(abs(value))))


def column_figure(value: float, digits: int = 2, most_places: int | None = None) -> str:
    """As `to_digits`, with trailing zeros kept, for the columns of a table: 0.20, 6.0, 12.

    ``most_places`` after the point at most, so that what is slight beside the rest of the
    table does not look exact.
    """
    text = to_digits(value, digits)
    if value == 0 or value >= UNBOUNDED:
        return text
    wanted = decimal_places(float(text), digits)
    if most_places is None or wanted <= most_places:
        return f"{float(text):.{wanted}f}"
    text = f"{value:.{most_places}f}"
    return text if float(text) else "0"


def with_range(value: Range, digits: int = 2) -> str:
    """``typical (low to high)``, or one figure where the ends print alike."""
    low, typical, high = (to_digits(v, digits) for v in (value.low, value.typical, value.high))
    return typical if low == high else f"{typical} ({low} to {high})"


def low_to_high(value: Range, digits: int = 2) -> str:
    """``0.9 to 1.3``, or one figure where the ends print alike."""
    low, high = to_digits(value.low, digits), to_digits(value.high, digits)
    return low if low == high else f"{low} to {high}"
