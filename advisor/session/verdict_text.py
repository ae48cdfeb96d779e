"""What the card of the verdict says: one price, how sure, weakness, why not another. No Qt."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Advice, PlanAdvice
from advisor.session.asking_order import Asking, firm, quote_left, worth_asking
from advisor.wording.counts import HoldBasis, of_hundred
from advisor.wording.money import Tax, price_figure, price_spread
from advisor.wording.sentences import listed, lowered

FIRM, LEANING = "Firm", "Leaning"
FIRM_FROM = 0.85
"""Share of the simulated cases in which a choice is best, from which it is called firm."""
NO_PROMISE = "Whether it holds is not said before the hazards are cleared."
LOOKS = {"unseen": "unseen", "slight": "slight", "visible": "visible"}
"""How a repair looks, worst last; one word, for it stands large."""


@dataclass(frozen=True)
class CardFigure:
    """A figure of the card with the line under it."""

    value: str
    under: str


def state_of(advice: Advice, plan: PlanAdvice) -> str:
    """``holds``, ``may fail`` or ``fails``: whether the plan holds; ``open`` while a hazard is."""
    if advice.open_hazards:
        return "open"
    lead = next((method for method in advice.methods if method.method == plan.lead), None)
    if plan.hold_probability < 0.5:
        return "fails"
    sure = lead is not None and lead.status == "holds" and plan.hold_probability >= 0.75
    return "holds" if sure else "may fail"


def hold_figure(advice: Advice, plan: PlanAdvice) -> CardFigure | None:
    """How often it holds, calculated and workmanship apart; None while a hazard is open."""
    if advice.open_hazards:
        return None
    if plan.hold_basis is HoldBasis.EXPERIENCE:
        return CardFigure(of_hundred(plan.hold_probability), "hold, by experience of the trade")
    parts = f"forces {of_hundred(plan.by_forces)}"
    if plan.done_well < 0.9999:
        parts += f", done well {of_hundred(plan.done_well)}"
    return CardFigure(of_hundred(plan.hold_probability), parts)


def price_of_plan(plan: PlanAdvice, currency: str, tax: Tax) -> CardFigure | None:
    """The one price, with its spread and tax word; None while a hazard is open."""
    if plan.price is None:
        return None
    spread = price_spread(plan.price, tax)
    under = f"{tax.word} ({spread})" if tax.word and spread else tax.word or spread
    return CardFigure(price_figure(plan.price, currency, tax), under)


def looks_of(advice: Advice, plan: PlanAdvice) -> str:
    """How the repair looks: as the worst of its methods."""
    order = list(LOOKS)
    found = [method.looks for method in advice.methods if method.method in plan.methods]
    worst = max((order.index(look) for look in found if look in order), default=0)
    return LOOKS[order[worst]]


def weakness(advice: Advice, plan: PlanAdvice) -> str:
    """What gives way first, and how often it does not hold."""
    lead = next((method for method in advice.methods if method.method == plan.lead), None)
    name = lead.limiting_title if lead is not None else ""
    if advice.open_hazards:
        return NO_PROMISE
    lost = of_hundred(1.0 - plan.hold_probability)
    if plan.hold_basis is HoldBasis.EXPERIENCE:
        return f"Weak point: by experience {lost} such repairs come back."
    what = lowered(name) if name else "how well it is done"
    return f"Weak point: {what}. In {lost} simulated cases it does not hold."


def firm_line(asking: Asking, advice: Advice) -> str:
    """How firm the choice is, never firm while the price hangs on what nobody was asked."""
    best = of_hundred(advice.settled)
    if advice.open_hazards:
        return "Not final: hazards are open."
    open_facts = quote_left(asking)
    if open_facts:
        named = listed([lowered(fact.title) for fact in open_facts])
        return f"Not firm: the price still hangs on {named}. Best in {best} simulated cases."
    if firm(asking, advice):
        if advice.settled >= FIRM_FROM:
            return f"{FIRM}: best in {best} simulated cases."
        return f"{LEANING}: best in {best} simulated cases; no question left is worth asking."
    ahead = worth_asking(asking, advice)
    more = f" {lowered(ahead[0].title)} is worth asking." if ahead else ""
    return f"Not firm yet: best in {best} simulated cases.{more}"


def other_plans(advice: Advice, tax: Tax) -> list[str]:
    """Why not the cheaper and why not the stronger one, a sentence each."""
    plan = advice.plan
    if plan is None or plan.price is None:
        return []
    rest = [p for p in advice.plans if p.titles != plan.titles and p.price is not None]
    cheaper = [p for p in rest if p.price and p.price.typical < plan.price.typical - 0.5]
    stronger = [p for p in rest if p.hold_probability > plan.hold_probability + 0.005]
    found = []
    if cheaper:
        one = min(cheaper, key=lambda p: p.price.typical if p.price else 0.0)
        found.append(f"Cheaper: {_told(one, advice, tax)}; a comeback costs more than that saves.")
    if stronger:
        one = max(stronger, key=lambda p: p.hold_probability)
        found.append(f"Stronger: {_told(one, advice, tax)}; it costs more than the risk it saves.")
    return found


def _told(plan: PlanAdvice, advice: Advice, tax: Tax) -> str:
    assert plan.price is not None
    price = price_figure(plan.price, advice.currency, tax)
    word = f" {tax.word}" if tax.word else ""
    held = of_hundred(plan.hold_probability)
    return f"{lowered(plan.lead_title)}, {price}{word}, holds in {held}"
