"""Amounts of money."""

from __future__ import annotations

from advisor.wording.figures import Range


def money_text(value: float, currency: str, places: int = 0) -> str:
    """``EUR 62``; with ``places`` after the point ``EUR 62.40``."""
    return f"{currency} {value:.{places}f}"


def round_money(value: float) -> str:
    """An amount as a shop quotes it: whole, from 100 up in steps of 5."""
    return f"{5 * round(value / 5) if value >= 100 else round(value)}"


def price_text(value: Range, currency: str) -> str:
    """``about EUR 145 (110 to 190)``."""
    low, typical, high = (round_money(v) for v in (value.low, value.typical, value.high))
    said = f"{currency} {typical}"
    return said if low == high else f"about {said} ({low} to {high})"
