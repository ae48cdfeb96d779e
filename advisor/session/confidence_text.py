"""How settled a choice is and what it hangs on, in words. Knows no Qt."""

from __future__ import annotations

from collections.abc import Collection

from advisor.advice.result import Advice, Driver
from advisor.wording.figures import to_digits
from advisor.wording.money import round_money
from advisor.wording.sentences import capital, lowered

#: Drivers named, and the share from which one is.
MOST_DRIVERS = 5
LEAST_SHARE = 0.04
#: Shares a person knows by name.
FRACTIONS: tuple[tuple[float, str], ...] = (
    (1.0, "nearly all"), (0.8, "four fifths"), (0.75, "three quarters"), (0.667, "two thirds"),
    (0.5, "half"), (0.4, "two fifths"), (0.333, "a third"), (0.25, "a quarter"),
    (0.2, "a fifth"), (0.167, "a sixth"), (0.125, "an eighth"), (0.1, "a tenth"),
    (0.05, "a twentieth"),
)
#: Below this share of the computed cases the evidence is worth a note.
THINNED = 0.9


def share_words(share: float) -> str:
    """The nearest common fraction: 0.26 as "a quarter"."""
    return min(FRACTIONS, key=lambda pair: abs(pair[0] - share))[1]


def risk_line(advice: Advice) -> str:
    """What deciding now is expected to cost, beside knowing everything."""
    if advice.plan is None:
        return ""
    amount = round_money(advice.deciding_now)
    much = f"about {advice.currency} {amount}" if advice.deciding_now >= 0.5 else (
        f"less than {advice.currency} 1"
    )
    return f"Deciding now risks {much} on average, against knowing everything first."


def driver_lines(advice: Advice, open_facts: Collection[str]) -> list[str]:
    """What the spread of the leading method's usage comes from, most first."""
    shown = [d for d in advice.drivers if d.share >= LEAST_SHARE][:MOST_DRIVERS]
    return [_driver_line(driver, i == 0, driver.name in open_facts)
            for i, driver in enumerate(shown)]


def _driver_line(driver: Driver, first: bool, can_be_asked: bool) -> str:
    share = share_words(driver.share)
    lead = f"{capital(share)} of the spread comes from" if first else (
        f"{share} from"
    )
    asked = " (not answered yet)" if can_be_asked else ""
    return f"{lead}: {lowered(driver.title)}{asked}"


def overlap_line(advice: Advice) -> str:
    """Said where the shares add up to more than the whole."""
    total = sum(driver.share for driver in advice.drivers)
    return "These overlap: one follows partly from another." if total > 1.05 else ""


def sample_line(advice: Advice) -> str:
    """How many computed cases stand behind the figures."""
    text = f"{advice.worlds} cases computed."
    if advice.effective_worlds < THINNED * advice.worlds:
        left = to_digits(advice.effective_worlds)
        text += f" Those that fit what was seen and measured count for {left}."
    return text
