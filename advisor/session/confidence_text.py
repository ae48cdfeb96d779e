"""How certain a choice is and what it depends on, in words. Knows no Qt."""

from __future__ import annotations

from collections.abc import Collection

from advisor.advice.result import Advice, Driver
from advisor.wording.counts import simulated_cases
from advisor.wording.figures import to_digits
from advisor.wording.money import round_money
from advisor.wording.sentences import capital, lowered

#: Drivers named, and the share from which one is.
MOST_DRIVERS = 5
LEAST_SHARE = 0.04
#: Below this share of the simulated cases the evidence is worth a note.
THINNED = 0.9


def risk_line(advice: Advice) -> str:
    """What deciding now is expected to cost, compared with knowing everything."""
    if advice.plan is None or advice.deciding_now is None:
        return ""
    amount = round_money(advice.deciding_now)
    much = f"about {advice.currency} {amount}" if advice.deciding_now >= 0.5 else (
        f"less than {advice.currency} 1"
    )
    return f"If you decide now, a wrong choice costs {much} on average."


def driver_lines(advice: Advice, open_facts: Collection[str]) -> list[str]:
    """What the uncertainty of the leading method's usage comes from, most first."""
    shown = [d for d in advice.drivers if d.share >= LEAST_SHARE][:MOST_DRIVERS]
    return [_driver_line(driver, i == 0, driver.name in open_facts)
            for i, driver in enumerate(shown)]


def _driver_line(driver: Driver, first: bool, can_be_asked: bool) -> str:
    share = f"about {round(100 * driver.share)} %" if driver.share < 0.95 else "nearly all"
    lead = f"{capital(share)} of the uncertainty comes from" if first else f"{share} from"
    asked = " (not answered yet)" if can_be_asked else ""
    return f"{lead}: {lowered(driver.title)}{asked}"


def overlap_line(advice: Advice) -> str:
    """Said where the shares add up to more than the whole."""
    total = sum(driver.share for driver in advice.drivers)
    return "These overlap: one depends partly on another." if total > 1.05 else ""


def sample_line(advice: Advice) -> str:
    """How many simulated cases the figures are drawn from, and how many of them agree."""
    text = simulated_cases(advice.worlds)
    if advice.effective_worlds < THINNED * advice.worlds:
        left = float(to_digits(advice.effective_worlds))
        text += f"; about {left:,.0f} of them agree with your answers and measurements"
    return f"{text}."
