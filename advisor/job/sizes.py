"""What has to be asked before a price is a quote: sizes and numbers that nobody has told."""

from __future__ import annotations

import numpy as np

from advisor.advice.choosing.needs import Situation
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.quantity import System
from advisor.job.model import OpenSize
from advisor.rulegraph.model.nodes import Array
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.amounts import amount_text
from advisor.wording.figures import Range
from advisor.wording.sentences import lowered

#: A size counts where the price moves by so much of itself from one end of it to the other.
COUNTS_FROM = 0.02


def open_sizes(
    case: Case, pack: RulePack, methods: tuple[str, ...], situation: Situation
) -> tuple[OpenSize, ...]:
    """Facts that the price of these methods goes by and that are open, with what is taken.

    They are asked before a quote even where no answer would change the method: a size that
    nobody has told is never counted as one in silence. Common practice, no source.
    """
    worlds = situation.worlds
    price = _price(methods, situation)
    found = []
    for decl in pack.asked(case):
        if decl.prices and decl.name not in case.facts and _counts(decl, price, worlds):
            found.append(OpenSize(decl.name, decl.ask, _taken(decl, worlds)))
    return tuple(found)


def _price(methods: tuple[str, ...], situation: Situation) -> Array:
    prices = situation.worlds.pack.prices
    outcomes = [situation.outcomes[key] for key in methods]
    minutes = sum(one.minutes + one.access for one in outcomes)
    material = sum(one.material for one in outcomes)
    price = minutes * prices.hourly_rate.mean / 60.0 + material * (1 + prices.material_markup.mean)
    return np.asarray(price, dtype=np.float64)


def _counts(decl: FactDecl, price: Array, worlds: SampledWorlds) -> bool:
    """Whether the price goes by it; what is taken as the same everywhere counts as well."""
    values = np.asarray(worlds.values[decl.name], dtype=np.float64)
    if decl.kind is Kind.QUANTITY:
        low, high = np.quantile(values, (0.2, 0.8))
        groups = [values <= low, values >= high]
        if low == high:
            return not values.size or bool(np.all(values == values[0]))
    else:
        groups = [values == code for code in np.unique(values)]
    # A group may have members and no weight: none of them is among the likely.
    shares = [worlds.mean(group) for group in groups]
    means = [
        worlds.mean(price * group) / share
        for group, share in zip(groups, shares, strict=True) if share > 0.0
    ]
    return len(means) > 1 and max(means) - min(means) > COUNTS_FROM * worlds.mean(price)


def _taken(decl: FactDecl, worlds: SampledWorlds) -> str:
    """What is assumed for the price, in words."""
    values = np.asarray(worlds.values[decl.name], dtype=np.float64)
    if decl.kind is Kind.QUANTITY:
        low, typical, high = (float(v) for v in worlds.quantiles(values))
        if decl.whole:
            low, typical, high = (float(round(v)) for v in (low, typical, high))
        spread = Range(low, typical, high)
        return amount_text(spread, decl.dimension, System.METRIC, rounded=True)
    keys = decl.keys if decl.options else ("no", "yes")
    shares = [worlds.mean(values == code) for code in range(len(keys))]
    key = keys[int(np.argmax(shares))]
    return lowered(decl.option(key).title) if decl.options else key
