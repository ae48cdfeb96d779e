"""Plans: methods that together meet every need, costed in every world."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from itertools import product

import numpy as np

from advisor.advice.choosing.costs import AsFound, priced, redo_costs
from advisor.advice.choosing.methods import either
from advisor.advice.choosing.needs import NEGLIGIBLE, Situation
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array, select
from advisor.rulegraph.model.rules import MethodStep

#: A need less likely than this may be left until the part is opened up.
LIKELY = 0.5

#: A plan that holds in fewer simulated cases than this is named nowhere: not as the best, not as
#: another way, not as what an answer would bring up.
HOPELESS = 0.1


@dataclass(frozen=True)
class Plan:
    """One combination of methods with its cost over the worlds; arrays of shape (n,)."""

    methods: tuple[str, ...]
    chosen: tuple[str, ...]
    """The methods that meet the needs; the others only go with them."""
    lead: str
    holds: Array
    possible: Mask
    price: Array
    comeback: Array
    looks: Array
    cost: Array
    active: Mapping[str, Mask]
    """Methods and the worlds in which they have something to do."""
    extra: tuple[Array, Array, Array] | None
    """Minutes, taking apart and material for what turns up on opening, where anything may."""


def build_plans(situation: Situation) -> list[Plan]:
    """Every minimal combination that meets the likely needs, cheapest expected cost first.

    One that would be declined stands behind all that would not, however cheap it is.
    A need that is there in fewer than half of the worlds is met as found: by the
    cheapest method that is possible once the part is open. Where the customer may have come
    for one need or for another, there are plans that lead to each.
    """
    worlds, several = situation.worlds, len(situation.came_for) > 1
    as_found = {
        need: _as_found(need, situation)
        for need in situation.needs if several or need != situation.primary
    }  # fmt: skip
    beside = {need: one for need, one in as_found.items() if need != situation.primary}
    redo = redo_costs(situation, beside) if situation.needs else None
    plans: dict[frozenset[str], Plan] = {}
    for primary, mask in situation.came_for.items():
        here = worlds.within(mask) if several else worlds
        likely = [
            need for need, there in situation.needs.items()
            if need == primary or here.mean(there) >= LIKELY
        ]  # fmt: skip
        found = {need: one for need, one in as_found.items() if need not in likely}
        for chosen in product(*(_candidates(situation, need) for need in likely)):
            members = frozenset(chosen)
            if members not in plans and _minimal(members, likely, situation):
                assert redo is not None
                methods = _ordered(members, situation)
                plans[members] = _cost(methods, primary, situation, redo, found)
    least = worlds.pack.prices.declines_below
    return sorted(
        plans.values(),
        key=lambda plan: (
            worlds.mean(plan.holds) < least, worlds.mean(plan.cost), plan.methods
        ),
    )  # fmt: skip


def is_hopeless(plan: Plan, worlds: SampledWorlds) -> bool:
    """Whether a plan holds in hardly any of the worlds in which it can be carried out."""
    return worlds.mean(plan.holds) < HOPELESS * worlds.mean(plan.possible)


def costs_of(plans: Sequence[Plan]) -> Array:
    """Costs of the plans, shape (worlds, plans); those of one plan lie side by side."""
    return np.stack([plan.cost for plan in plans]).T


def cost_of_refusing(worlds: SampledWorlds) -> float:
    """Time and goodwill lost with a customer who is sent away."""
    prices = worlds.pack.prices
    lost = prices.aborted_minutes.mean * prices.hourly_rate.mean / 60.0
    return lost + prices.comeback_goodwill.mean


def turning_away(plan: Plan, worlds: SampledWorlds) -> Array:
    """Cost of sending the customer away at once instead of trying a plan, in each world.

    Where the plan holds, time and goodwill are lost. Where it does not, what it costs to find
    that out on the job is spared.
    """
    sent = cost_of_refusing(worlds)
    spared = either(plan.possible, plan.comeback + plan.looks, sent)
    return np.asarray(plan.cost - np.where(plan.holds > 0.0, -sent, spared))


def steps_in_order(due: Sequence[tuple[str, MethodStep]]) -> list[tuple[str, MethodStep]]:
    """What comes before it, taking apart, the work of the methods in their order, and closing up
    as the last one does.

    ``due`` are the steps that apply, each with its method, method by method. What two methods
    both begin with is done once.
    """
    closes = next((key for key, step in reversed(due) if step.at == "closing"), "")
    before = [pair for pair in due if pair[1].at == "beforehand"]
    opening = [pair for pair in due if pair[1].at == "opening"]
    work = [pair for pair in due if pair[1].at is None]
    closing = [(key, step) for key, step in due if step.at == "closing" and key == closes]
    found: dict[str, tuple[str, MethodStep]] = {}
    for pair in (*before, *opening, *work, *closing):
        found.setdefault(pair[1].text, pair)
    return list(found.values())


def _candidates(situation: Situation, need: str) -> list[str]:
    """Methods that may meet a need."""
    worlds = situation.worlds
    mask = situation.needs[need]
    few = NEGLIGIBLE * max(worlds.mean(mask), 1e-12)
    return [
        key
        for key, outcome in situation.outcomes.items()
        if need in outcome.method.meets
        and not outcome.method.only_beside
        # Its joints are calculated only where it can be carried out at all.
        and worlds.mean(outcome.possible & mask) > few
        and worlds.mean(outcome.answers(need) & mask) > few
    ]


def _as_found(need: str, situation: Situation) -> AsFound:
    worlds = situation.worlds
    n = worlds.n
    rate = worlds.pack.prices.hourly_rate.mean / 60.0
    markup = 1.0 + worlds.pack.prices.material_markup.mean
    nothing, never = np.zeros(n), np.zeros(n, dtype=np.bool_)
    best = AsFound(nothing, nothing, nothing, nothing, never)
    cheapest = np.full(n, np.inf)
    goodwill = worlds.pack.prices.comeback_goodwill.mean
    came_for = situation.came_for.get(need)
    for key in _candidates(situation, need):
        outcome = situation.outcomes[key]
        holds = outcome.holds(need)
        price = (outcome.minutes + outcome.access) * rate + outcome.material * markup
        if came_for is None:
            better = outcome.possible & (holds > 0.0) & (price < cheapest)
        else:  # what holds is not seen on opening: by what is best on the mean
            here = worlds.within(came_for & outcome.possible)
            price = np.full(n, here.mean(price + (1.0 - holds) * (price + goodwill)))
            better = outcome.possible & (price < cheapest)
        cheapest = either(better, price, cheapest)
        best = AsFound(
            either(better, outcome.minutes, best.minutes),
            either(better, outcome.access, best.access),
            either(better, outcome.material, best.material),
            either(better, holds, best.holds),
            best.possible | better,
        )
    return best


def _minimal(members: frozenset[str], likely: list[str], situation: Situation) -> bool:
    """No member could be left out: each adds to the chance at some need."""
    return all(
        any(_adds(member, members - {member}, need, situation) for need in likely)
        for member in members
    )


def _adds(member: str, others: frozenset[str], need: str, situation: Situation) -> bool:
    """Whether a member alone meets a need, or meets it better than the others do."""
    meets = {key for key, outcome in situation.outcomes.items() if need in outcome.method.meets}
    if member not in meets or not others & meets:
        return member in meets
    worlds, mask = situation.worlds, situation.needs[need]
    _, alone = _answer(need, (member,), situation)
    _, without = _answer(need, tuple(others), situation)
    gain = worlds.mean(np.maximum(alone - without, 0.0) * mask)
    return gain > NEGLIGIBLE * worlds.mean(mask)


def _ordered(members: frozenset[str], situation: Situation) -> tuple[str, ...]:
    return tuple(sorted(members, key=lambda key: (situation.outcomes[key].method.order, key)))


def _followers(methods: tuple[str, ...], situation: Situation) -> dict[str, Mask]:
    """Methods the chosen ones must be combined with, and the worlds in which."""
    worlds = situation.worlds
    found: dict[str, Mask] = {}
    for key in methods:
        for follower, condition in situation.outcomes[key].method.follow_with:
            if follower in methods:
                continue
            mask = situation.outcomes[follower].possible
            if condition is not None:
                mask = mask & worlds.holds(condition)
            found[follower] = found[follower] | mask if follower in found else mask
    return found


def _cost(
    methods: tuple[str, ...],
    primary: str,
    situation: Situation,
    remedy: tuple[Array, Array],
    found: Mapping[str, AsFound],
) -> Plan:
    worlds = situation.worlds
    worlds.tick()
    prices = worlds.pack.prices
    rate = prices.hourly_rate.mean / 60.0
    redo, instead = remedy
    active = {key: situation.wanted(key) for key in methods} | _followers(methods, situation)
    possible = possible_with(methods, situation)
    holds, sound = np.ones(worlds.n), np.ones(worlds.n, dtype=np.bool_)
    used: dict[str, Mask] = {}
    extra: tuple[Array, Array, Array] | None = None
    for need, mask in situation.needs.items():
        own, chance = _answer(need, methods, situation)
        left = mask & own
        for key in methods:
            outcome = situation.outcomes[key]
            if need in outcome.method.meets:
                mine = left & (outcome.holds(need) >= chance)
                left &= ~mine
                used[key] = mine | used[key] if key in used else mine
        holding = chance > 0.0
        if need not in found:
            sound &= holding | ~mask
        else:
            as_found, unmet = found[need], mask & ~own
            holds *= select(mask, select(own, holding, as_found.holds), 1.0)
            possible &= as_found.possible | ~unmet
            minutes = either(unmet, as_found.minutes, 0.0)
            access = either(unmet, as_found.access, 0.0)
            material = either(unmet, as_found.material, 0.0)
            extra = (minutes, access, material) if extra is None else (
                extra[0] + minutes, np.maximum(extra[1], access), extra[2] + material
            )
    holds *= sound
    for key, mine in used.items():
        # A method that answers several needs is done, well or badly, once.
        holds *= select(mine, situation.outcomes[key].workmanship, 1.0)
    price, *_ = priced(active, situation, extra, drawn=False)
    visible = [prices.looks[situation.outcomes[key].method.looks].mean for key in methods]
    looks = worlds.values[prices.looks_weight] * max(visible)
    goodwill = prices.comeback_goodwill.mean
    lead = _lead(methods, primary, situation)
    comeback = (1.0 - holds) * (redo + goodwill)
    single = situation.outcomes[lead].single_failures
    if single is not None:
        # One bad place among good ones is done again by itself.
        places = worlds.values[worlds.pack.roles.damage_count]
        again = np.maximum(price / places, prices.call_out_minimum.mean)
        comeback -= (holds > 0.0) * np.minimum(single, 1.0 - holds) * np.maximum(redo - again, 0.0)
    comeback *= possible
    lost = prices.aborted_minutes.mean * rate
    cost = either(possible, price + comeback + looks, lost + instead)
    mistaken = _mistaken(lead, situation)
    if mistaken is not None:
        cost = cost + lost * (mistaken & possible)
    here = worlds.within(possible)
    named = [key for key, mask in active.items() if here.mean(mask) >= LIKELY or key == lead]
    return Plan(
        methods=_ordered(frozenset(named), situation),
        chosen=methods,
        lead=lead,
        holds=holds * possible,
        possible=possible,
        price=price,
        comeback=comeback,
        looks=looks,
        cost=np.asarray(cost),
        active=active,
        extra=extra,
    )


def possible_with(methods: Sequence[str], situation: Situation) -> Mask:
    """Worlds in which each of these methods that has something to do can be carried out."""
    possible = np.ones(situation.worlds.n, dtype=np.bool_)
    for key in methods:
        possible &= situation.outcomes[key].possible | ~situation.wanted(key)
    return possible


def drawn_price(plan: Plan, situation: Situation) -> tuple[Array, Array, Array]:
    """Price, minutes and material of a plan drawn in each world, for showing their spread."""
    return priced(plan.active, situation, plan.extra, drawn=True)


def _mistaken(lead: str, situation: Situation) -> Mask | None:
    """Worlds in which the customer came for what the leading method does not meet; None: nowhere.

    Then another job was quoted and prepared than the one that turns up.
    """
    meets = situation.outcomes[lead].method.meets
    others = [mask for need, mask in situation.came_for.items() if need not in meets]
    return reduce(np.logical_or, others) if others else None


def _lead(methods: tuple[str, ...], need: str, situation: Situation) -> str:
    """The method that answers the need which made the customer come, best of those that do."""
    worlds = situation.worlds
    meeting = [key for key in methods if need in situation.outcomes[key].method.meets]
    if not meeting:
        return methods[0]
    if len(meeting) == 1:
        return meeting[0]
    return max(meeting, key=lambda key: worlds.mean(_answer(need, (key,), situation)[1]))


def _answer(need: str, methods: tuple[str, ...], situation: Situation) -> tuple[Mask, Array]:
    """Worlds in which a plan's own methods answer a need, and the chance that it holds."""
    n = situation.worlds.n
    meeting = [situation.outcomes[key] for key in methods]
    meeting = [outcome for outcome in meeting if need in outcome.method.meets]
    if not meeting:
        return np.zeros(n, dtype=np.bool_), np.zeros(n)
    own, chance = meeting[0].answers(need), meeting[0].holds(need)
    for outcome in meeting[1:]:
        own = own | outcome.answers(need)
        chance = np.maximum(chance, outcome.holds(need))
    return own, chance
