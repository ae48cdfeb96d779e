"""Prices of methods and plans in every world, and what doing a job over costs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import reduce

import numpy as np

from advisor.advice.choosing.methods import MethodOutcome, either
from advisor.advice.choosing.needs import Situation
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array


def priced(
    active: Mapping[str, Mask],
    situation: Situation,
    extra: tuple[Array, Array, Array] | None = None,
    *,
    drawn: bool,
) -> tuple[Array, Array, Array]:
    """Price, minutes and material in each world; ``extra`` is minutes, taking apart, material.

    What has to come off comes off once: only the longest taking apart counts.
    """
    worlds = situation.worlds
    minutes, access, material = (
        np.zeros((3, worlds.n)) if extra is None else (part.copy() for part in extra)
    )
    for key, mask in active.items():
        outcome = situation.outcomes[key]
        work = outcome.minutes_spread if drawn else outcome.minutes
        apart = outcome.access_spread if drawn else outcome.access
        bought = outcome.material_spread if drawn else outcome.material
        minutes += either(mask, work, 0.0)
        np.maximum(access, either(mask, apart, 0.0), out=access)
        material += either(mask, bought, 0.0)
    minutes += access
    return _charged(minutes, material, worlds), minutes, material


def _charged(minutes: Array, material: Array, worlds: SampledWorlds) -> Array:
    """Price of so much work and material, at least the call-out minimum."""
    prices = worlds.pack.prices
    total = minutes * (prices.hourly_rate.mean / 60.0)
    total += material * (1.0 + prices.material_markup.mean)
    return np.maximum(total, prices.call_out_minimum.mean, out=total)


def price_alone(outcome: MethodOutcome, worlds: SampledWorlds) -> Array:
    """Price of one method as a job by itself in each world."""
    prices = worlds.pack.prices
    rate = prices.hourly_rate.mean / 60.0
    markup = 1.0 + prices.material_markup.mean
    alone = outcome.all_minutes_spread * rate + outcome.material_spread * markup
    return np.asarray(np.maximum(alone, prices.call_out_minimum.mean))


@dataclass(frozen=True)
class AsFound:
    """A need met once the part is open, by what is cheapest in each world in which it is there."""

    minutes: Array
    access: Array
    material: Array
    holds: Array
    possible: Mask


def redo_costs(situation: Situation, found: Mapping[str, AsFound]) -> tuple[Array, Array]:
    """Price of doing it over, and cost of doing it so from the start, in each world.

    By the cheapest fallback that is possible, of those that meet the need which made the
    customer come: nobody fits a new roof because a zip came back. Where none does, of all. The
    cost has the looks and the comebacks of the fallback in it and the other needs (``found``)
    that it leaves, else a plan that cannot be done would beat the one that follows it. Where no
    fallback is possible the customer was promised what nobody here can do: that costs goodwill.
    """
    worlds = situation.worlds
    prices = worlds.pack.prices
    goodwill = prices.comeback_goodwill.mean
    weight = worlds.values[prices.looks_weight]
    again: list[tuple[Array, Array, Mask]] = []
    instead: list[tuple[Array, Array, Mask]] = []
    fallbacks = [one for one in situation.outcomes.values() if one.method.fallback]
    meeting = [one for one in fallbacks if situation.primary in one.method.meets]
    for outcome in meeting or fallbacks:
        minutes, access, material = outcome.minutes, outcome.access, outcome.material
        holds = outcome.holds(situation.primary)
        looks = weight * prices.looks[outcome.method.looks].mean
        price = _charged(minutes + access, material, worlds)
        cost = price + looks + (1.0 - holds) * (price + goodwill)
        again.append((price, cost, outcome.possible))
        for need, one in found.items():
            left = situation.needs[need] & one.possible & ~_meets(outcome, need, worlds.n)
            minutes = minutes + either(left, one.minutes, 0.0)
            access = np.maximum(access, either(left, one.access, 0.0))
            material = material + either(left, one.material, 0.0)
            holds = holds * either(left, one.holds, 1.0)
        whole = _charged(minutes + access, material, worlds)
        cost = whole + looks + (1.0 - holds) * (price + goodwill)
        instead.append((cost, cost, outcome.possible))
    if not again:
        nothing = np.full(worlds.n, goodwill)
        return nothing, nothing
    nobody = ~reduce(np.logical_or, [able for _, _, able in instead])
    return _cheapest(again), _cheapest(instead) + goodwill * nobody


def _meets(outcome: MethodOutcome, need: str, n: int) -> Mask:
    if need in outcome.method.meets:
        return outcome.answers(need)
    return np.zeros(n, dtype=np.bool_)


def _cheapest(rows: Sequence[tuple[Array, Array, Mask]]) -> Array:
    """The first figure of the row whose second is least, of those possible in each world.

    Where nothing is possible the dearest stands for what somebody else must do.
    """
    value, cost = rows[0][0], rows[0][1]
    possible = rows[0][2].copy()
    for own, own_cost, able in rows[1:]:
        both = able & possible
        better = (both & (own_cost < cost)) | (~both & (able | (~possible & (own_cost > cost))))
        value, cost = either(better, own, value), either(better, own_cost, cost)
        possible |= able
    return value
