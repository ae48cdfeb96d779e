"""Amounts of money."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.wording.figures import Range


def money_text(value: float, currency: str, places: int = 0) -> str:
    """``EUR 62``; with ``places`` after the point ``EUR 62.40``."""
    return f"{currency} {value:.{places}f}"


def round_money(value: float) -> str:
    """An amount as a shop quotes it: whole, from 100 up in steps of 5."""
    return f"{5 * round(value / 5) if value >= 100 else round(value)}"


@dataclass(frozen=True)
class Tax:
    """What is put on a price: the rate, and what it is called."""

    rate: float = 0.0
    label: str = ""

    @property
    def word(self) -> str:
        """``incl. VAT``; empty where there is none."""
        return f"incl. {self.label or 'tax'}" if self.rate > 0.0 else ""

    def on(self, value: Range) -> Range:
        """A price before tax with its tax."""
        factor = 1.0 + self.rate
        return Range(value.low * factor, value.typical * factor, value.high * factor)


NO_TAX = Tax()


def price_figure(value: Range, currency: str, tax: Tax) -> str:
    """``EUR 175``: what the customer pays, of a price before tax."""
    return f"{currency} {round_money(tax.on(value).typical)}"


def price_spread(value: Range, tax: Tax) -> str:
    """``130 to 230``, with tax; empty where it is one figure."""
    with_tax = tax.on(value)
    low, high = round_money(with_tax.low), round_money(with_tax.high)
    return "" if low == high else f"{low} to {high}"


def price_text(value: Range, currency: str, tax: Tax) -> str:
    """``EUR 175 incl. VAT (130 to 230)``, of a price before tax.

    The one way in which a price is said: window, rationale, quote and comparison.
    """
    said, spread = price_figure(value, currency, tax), price_spread(value, tax)
    said += f" {tax.word}" if tax.word else ""
    return f"{said} ({spread})" if spread else said
