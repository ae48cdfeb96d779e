"""Materials, price, deposit, and repair against replace against doing nothing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from advisor.advice.result import Advice, MethodAdvice, Status
from advisor.job.effort import scaled
from advisor.job.estimates import (
    Estimate,
    charged,
    equal_yearly_cost,
    three_point,
    total,
    yearly_cost_if_left,
)
from advisor.job.measured_and_agreed import Wishes
from advisor.job.model import Choice, Deposit, Item, Material, Price, PriceLine, WorkKind
from advisor.job.sample import Sample
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Renewal, Renewed, method_word
from advisor.wording.figures import Range
from advisor.wording.phrases import filled, joined
from advisor.wording.sentences import lowered

LITTLE_ORDERED = 0.02
"""Share of the quote below which what has to be ordered is no reason for a deposit (estimate)."""
KIND_TITLES = {
    WorkKind.SET_UP: "Setting up",
    WorkKind.ACCESS: "Taking apart and refitting",
    WorkKind.WORK: "Work on the damage",
}
#: What a method may renew, as it is compared, and the key of that choice.
RENEWED: Mapping[Renewed, str] = {"part": "replace", "cover": "re_cover"}


def materials_of(methods: Sequence[str], sample: Sample) -> tuple[Material, ...]:
    """Materials that apply, at the shop's own price where its stock list gives one.

    Each is named once a method: what size or number add is joined to it.
    """
    pack = sample.worlds.pack
    found: list[Material] = []
    for key in methods:
        here = sample.at_work(key)
        for charge in pack.methods[key].materials:
            if not here.applies(charge.when):
                continue
            item = pack.prices.quote.stock.get(charge.what)
            price = scaled(charge, here)
            own = item is not None and item.price is not None
            if item is not None and item.price is not None:
                price = Range(*item.price)
            estimate = three_point(price.low, price.typical, price.high)
            if charge.extent and found and found[-1].method == key:
                found[-1] = _joined(found[-1], price, estimate)
                continue
            special = item is not None and item.special_order
            note = item.note if item is not None else ""
            found.append(Material(charge.what, key, price, estimate, special, own, note))
    return tuple(found)


def _joined(material: Material, price: Range, estimate: Estimate) -> Material:
    one = material.price
    whole = Range(one.low + price.low, one.typical + price.typical, one.high + price.high)
    return replace(material, price=whole, estimate=total([material.estimate, estimate]))


@dataclass(frozen=True)
class Costs:
    """What one part adds to a price, before travel and minimum."""

    title: str
    kinds: tuple[tuple[WorkKind, Estimate], ...]
    materials: Estimate

    @property
    def total(self) -> Estimate:
        """Work and materials together."""
        return total([*(estimate for _, estimate in self.kinds), self.materials])


def costs_of(
    title: str, items: Sequence[Item], materials: Sequence[Material], pack: RulePack
) -> Costs:
    """Money for the minutes and materials of one part."""
    rate = pack.prices.hourly_rate.mean / 60.0
    markup = 1.0 + pack.prices.material_markup.mean
    kinds = []
    for kind in WorkKind:
        minutes = total(item.estimate for item in items if item.kind is kind)
        if minutes.expected > 0.0:
            kinds.append((kind, minutes.times(rate)))
    bought = total(material.estimate for material in materials).times(markup)
    return Costs(title, tuple(kinds), bought)


def price_of(
    parts: Sequence[Costs], pack: RulePack, wishes: Wishes, told: Range | None = None
) -> Price:
    """Price of one or several parts in one call-out, at the certainty asked for.

    ``max(call-out minimum, travel + work + materials)``; the quote covers the chosen share
    of such jobs. ``told`` is the price that the advice tells of this very job, before tax: the
    quote is that price and no other, unless another certainty or distance is wished for.
    Raises ValueError for a certainty outside 0.5 to 0.99.
    """
    quote = pack.prices.quote
    certainty = quote.certainty if wishes.certainty is None else wishes.certainty
    if not 0.5 <= certainty <= 0.99:
        raise ValueError(f"certainty {certainty} is outside 0.5 to 0.99")
    distance = quote.usual_distance if wishes.distance is None else wishes.distance
    travel = 2.0 * distance * quote.mileage
    sums = total(part.total for part in parts) + Estimate(travel, 0.0)
    minimum = pack.prices.call_out_minimum.mean
    spread = sums.range(certainty)
    low, expected, high = (charged(v, minimum) for v in (spread.low, sums.expected, spread.high))
    usual = certainty == quote.certainty and distance == quote.usual_distance
    if told is not None and usual:
        low, expected, high = told.low, told.typical, told.high
    value = Range(low, expected, high)
    lines = list(_lines(parts))
    if travel > 0.0:
        lines.append(PriceLine(f"Travel, {2.0 * distance:g} km", travel, "travel"))
    if high > minimum + 0.005:
        reserve = high - max(sums.expected, 0.0)
        text = f"Reserve, so that {round(100 * certainty)} of 100 such jobs stay within the quote"
        lines.append(PriceLine(text, reserve, "reserve"))
    else:
        text = "Raised to the minimum call-out charge"
        lines.append(PriceLine(text, high - sums.expected, "minimum"))
    factor = 1.0 + quote.tax_rate
    with_tax = Range(low * factor, expected * factor, high * factor)
    return Price(
        currency=pack.currency,
        certainty=certainty,
        lines=tuple(line for line in lines if abs(line.amount) > 0.005),
        value=value,
        minimum_applies=high <= minimum + 0.005,
        markup=pack.prices.material_markup.mean,
        tax_label=quote.tax_label,
        tax=high * quote.tax_rate,
        total=with_tax,
    )


def added(prices: Sequence[Price], titles: Sequence[str]) -> Price:
    """Prices of several visits as one: a line for each, sums of the rest.

    Prices must be of one shop; at least one of them.
    """
    if len(prices) == 1:
        return prices[0]
    first = prices[0]
    lines = tuple(
        PriceLine(title, price.quote, "visit") for title, price in zip(titles, prices, strict=True)
    )
    return Price(
        currency=first.currency,
        certainty=first.certainty,
        lines=lines,
        value=_sum([price.value for price in prices]),
        minimum_applies=all(price.minimum_applies for price in prices),
        markup=first.markup,
        tax_label=first.tax_label,
        tax=sum(price.tax for price in prices),
        total=_sum([price.total for price in prices]),
    )


def _sum(ranges: Sequence[Range]) -> Range:
    return Range(
        sum(r.low for r in ranges), sum(r.typical for r in ranges), sum(r.high for r in ranges)
    )


def _lines(parts: Sequence[Costs]) -> list[PriceLine]:
    if len(parts) > 1:
        return [PriceLine(part.title, part.total.expected, "part") for part in parts]
    found = []
    for part in parts:
        for kind, estimate in part.kinds:
            found.append(PriceLine(KIND_TITLES[kind], estimate.expected, "work"))
        found.append(PriceLine("Materials", part.materials.expected, "material"))
    return found


def deposit_for(
    materials: Sequence[Material], price: Price, pack: RulePack
) -> Deposit | None:
    """What to ask for up front: special-order material and the visit that is then lost.

    None where nothing has to be ordered that is worth asking for. Never more than the quote.
    Common practice, no source.
    """
    special = [material for material in materials if material.special_order]
    bought = total(material.estimate for material in special)
    markup = 1.0 + pack.prices.material_markup.mean
    if not special or bought.expected * markup < LITTLE_ORDERED * price.quote:
        return None
    visit = pack.prices.call_out_minimum.mean
    amount = min(bought.at(price.certainty) * markup + visit, price.quote)
    names = " and ".join(dict.fromkeys(material.what for material in special))
    because = (
        f"{names}: ordered for this job and not taken back. The deposit pays for it and for "
        "one visit, should the job be called off."
    )
    return Deposit(amount, because)


def choices_of(
    advice: Advice, price: Price, sample: Sample
) -> tuple[tuple[Choice, ...], str]:
    """Repair, renewal and doing nothing with their cost per year, and a sentence on them."""
    plan = advice.plan
    assert plan is not None and plan.comeback_cost is not None
    word = method_word(plan.lead)
    found = []
    years = sample.life(plan.lead)
    if years is not None:
        cost = price.value.typical
        found.append(_choice("repair", plan.lead_title, cost, plan.comeback_cost, years, sample))
    missing = []
    called: dict[str, str] = {}
    renewals = renewals_of(sample.worlds.pack)
    for renewal, as_new in renewals.items():
        method = next((m for m in advice.methods if m.method == renewal), None)
        if renewal == plan.lead or method is None:
            continue
        if method.status in (Status.NOT_POSSIBLE, Status.BLOCKED):
            missing.append(_why_not(method))
            continue
        renewed = _renewal(as_new, method, advice, sample)
        if renewed is not None:
            called[renewed.title] = as_new.title
            found.append(renewed)
    found.append(_nothing(found, sample, renews=word in renewals))
    return tuple(found), _verdict(found, called, missing, sample)


def renewals_of(pack: RulePack) -> dict[str, Renewal]:
    """Methods that renew the part or its cover, new parts first; a variant renews less."""
    found = [(key, method.renewal) for key, method in pack.methods.items()
             if method.renewal is not None and method_word(key) == key]
    return dict(sorted(found, key=lambda entry: list(RENEWED).index(entry[1].what)))


def _why_not(method: MethodAdvice) -> str:
    text = method.because[0].text if method.because else "is not possible here"
    return filled("{}: {}.", method.title, lowered(text))


def _choice(
    key: str, title: str, price: float, comeback: float, years: Range, sample: Sample
) -> Choice:
    """A way with its cost per year: the price, and a comeback times its chance, spread out."""
    interest = sample.worlds.pack.prices.quote.interest
    yearly = equal_yearly_cost(price + comeback, years.typical, interest)
    return Choice(key, title, price, years, yearly, "With the risk of a comeback in it")


def _renewal(
    renewal: Renewal, method: MethodAdvice, advice: Advice, sample: Sample
) -> Choice | None:
    """A renewal at the price of the whole plan it leads, so that all needs are met."""
    key, title = RENEWED[renewal.what], renewal.title
    plan = next((p for p in advice.plans if method.method in p.methods), None)
    years = sample.life(method.method)
    if years is None:
        return None
    if plan is None:
        assert method.price is not None
        cost = charged(method.price.typical, sample.worlds.pack.prices.call_out_minimum.mean)
        return _choice(key, title, cost, 0.0, years, sample)
    others = [name for k, name in zip(plan.methods, plan.titles, strict=True)
              if k != method.method]
    said = f"{title} ({', '.join(lowered(name) for name in others)} with it)"
    whole = said if others else title
    assert plan.price is not None and plan.comeback_cost is not None
    return _choice(key, whole, plan.price.typical, plan.comeback_cost, years, sample)


def _nothing(others: Sequence[Choice], sample: Sample, *, renews: bool) -> Choice:
    """Left as it is until it must be renewed: that price, paid later, over both times."""
    left = sample.rules.values["years_as_it_is"]
    years = Range(left.low, left.typical, left.high)
    renewals = [choice for choice in others if choice.key != "repair" or renews]
    later = min(renewals, key=lambda choice: choice.price, default=None)
    if later is None:
        note = "It gets worse, and what can be repaired now may not be then"
        return Choice("nothing", "Leave it", 0.0, years, None, note)
    yearly = yearly_cost_if_left(
        later.price, years.typical, later.years.typical, sample.worlds.pack.prices.quote.interest
    )
    note = f"It gets worse; then {lowered(later.title)}"
    return Choice("nothing", "Leave it", 0.0, years, yearly, note)


def _verdict(
    choices: Sequence[Choice], called: Mapping[str, str], missing: Sequence[str], sample: Sample
) -> str:
    """What the comparison comes to; ``called`` names the renewals plainly, by their title."""
    said = list(missing)
    repair = next((choice for choice in choices if choice.key == "repair"), None)
    renewals = [choice for choice in choices if choice.key in RENEWED.values()]
    limit = sample.worlds.pack.prices.quote.worth_repairing
    if repair is None or repair.per_year is None or not renewals:
        return joined(" ", said)
    other = min(renewals, key=lambda choice: choice.per_year or 0.0)
    share = repair.price / other.price if other.price > 0.0 else 0.0
    name = lowered(called[other.title])
    if other.per_year is not None and repair.per_year <= other.per_year:
        said.insert(0, f"If these years are right the repair is cheaper per year than to {name}.")
    else:
        less = "; the repair costs less today" if repair.price < other.price else ""
        said.insert(0, f"If these years are right it is cheaper per year to {name}{less}.")
    if share > limit:
        said.append(
            f"The repair costs {round(100 * share)} % of what it costs to {name}: many shops "
            f"advise against it from about {round(100 * limit)} % on (common practice)."
        )
    return joined(" ", said)


