"""Shares and chances as counts of a hundred cases."""

from __future__ import annotations

import math
from enum import StrEnum

from advisor.wording.figures import UNBOUNDED, Range, to_digits


class HoldBasis(StrEnum):
    """What the count of cases in which something holds is made of."""

    CALCULATED = "calculated"
    """From forces and strengths alone."""
    EXPERIENCE = "experience"
    """Experience of the trade alone: how often such work turns out well."""
    BOTH = "both"
    """Forces and strengths, and experience of how often the work is done well."""


#: Said once beside such a count.
BASIS_NOTES = {
    HoldBasis.EXPERIENCE: "No force was calculated for this plan: how often such repairs hold is "
                          "experience of the trade.",
    HoldBasis.BOTH: "Whether it holds is simulated, from the forces and from what is not known "
                    "yet, for work that is done well. How often it is done well is experience of "
                    "the trade, and is in the count.",
}  # fmt: skip

#: 95 % of a normal distribution lie within this many standard deviations.
Z95 = 1.96


def of_hundred(share: float) -> str:
    """``96 of 100``; never a certainty, which no count of drawn cases can show."""
    if share >= 0.995:
        return "more than 99 of 100"
    if share < 0.005:
        return "fewer than 1 of 100"
    return f"{round(100 * share)} of 100"


def counted(number: int, noun: str) -> str:
    """``1 round``, ``12 rounds``: for nouns whose plural ends in s."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


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


def hold_words(share: float, basis: HoldBasis | None) -> str:
    """``holds in 96 of 100 simulated cases``, or what the trade's experience is.

    Nothing was simulated for a count that is experience alone.
    """
    if basis is not HoldBasis.EXPERIENCE:
        return f"holds in {of_hundred(share)} simulated cases"
    about = "about " if 0.005 <= share < 0.995 else ""
    return f"by experience of the trade {about}{of_hundred(share)} such repairs hold"


def hold_count(share: float, basis: HoldBasis | None) -> str:
    """``96 of 100``, with what it rests on where nothing was simulated for it."""
    said = of_hundred(share)
    return f"{said} by experience" if basis is HoldBasis.EXPERIENCE else said


def holds_in(share: float, draws: float, basis: HoldBasis | None = None) -> str:
    """``holds in 96 of 100 simulated cases (95 to 97, ...)``."""
    low, high = (round(100 * end) for end in share_band(share, draws))
    said = hold_words(share, basis)
    if basis is HoldBasis.EXPERIENCE:
        return said
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
