"""Shares and chances as counts of a hundred cases."""

from __future__ import annotations

import math

from advisor.wording.figures import UNBOUNDED, Range, to_digits

#: 95 % of a normal distribution lie within this many standard deviations.
Z95 = 1.96


def of_hundred(share: float) -> str:
    """``96 of 100``; never a certainty, which no count of drawn cases can show."""
    if share >= 0.995:
        return "more than 99 of 100"
    if share < 0.005:
        return "fewer than 1 of 100"
    return f"{round(100 * share)} of 100"


def simulated_cases(number: float) -> str:
    """``4,096 simulated cases``; a number that was estimated is rounded by who calls."""
    return f"{number:,.0f} simulated cases"


def share_band(share: float, draws: float) -> tuple[float, float]:
    """95 % band of a share counted in ``draws`` independent cases.

    Wilson's interval, which stays within 0..1 and correct near its ends
    (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, from memory).
    """
    n = max(draws, 1.0)
    centre = (share + Z95**2 / (2 * n)) / (1 + Z95**2 / n)
    half = Z95 / (1 + Z95**2 / n) * math.sqrt(share * (1 - share) / n + Z95**2 / (4 * n * n))
    return max(0.0, centre - half), min(1.0, centre + half)


def holds_in(share: float, draws: float) -> str:
    """``holds in 96 of 100 simulated cases (95 to 97, ...)``."""
    low, high = (round(100 * end) for end in share_band(share, draws))
    said = f"holds in {of_hundred(share)} simulated cases"
    at_an_end = share >= 0.995 or share < 0.005
    return said if at_an_end or high - low <= 3 else f"{said} (between {low} and {high})"


def percent(share: float) -> str:
    """``31 %``, ``under 1 %``; far above capacity as ``3.4 times``."""
    if share < 0.01:
        return "under 1 %"
    if share >= 2:
        return f"{to_digits(share)} times" if math.isfinite(share) else "no limit"
    return f"{to_digits(100 * share)} %"


def usage_text(value: Range) -> str:
    """A usage as a lay person reads it: a share of the joint's limit, or times as much."""
    if value.typical <= 1:
        text = f"loaded to {percent(value.typical)} of its limit"
        return f"{text} ({percent(value.low)} to {percent(value.high)})"
    if value.typical >= UNBOUNDED:
        return "carries no long-term load"
    low, typical, high = (to_digits(v) for v in (value.low, value.typical, value.high))
    text = f"loaded to {typical} times its limit"
    return text if low == high else f"{text} ({low} to {high} times)"
