"""Questions that are worth asking only together: neither answer alone would change the choice."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from advisor.advice.asking.value_of_information import (
    Declining,
    Knowing,
    conditional_costs,
    knowing,
    worth_of_knowing,
)
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.nodes import Array

#: Facts that move the difference in cost most; only these are looked at two by two.
SCREENED = 8
#: Errors by which the value of a pair must exceed what it costs: the best of many is lucky.
ERRORS = 2.0


@dataclass(frozen=True)
class Pair:
    """Two facts, the one that moves the costs more first, and what knowing both is worth."""

    first: FactDecl
    second: FactDecl
    value: float
    error: float
    other: int
    """What the commonest answers other than today's would bring up: a plan, or one beyond the
    last where the job is turned away."""


def best_pair(
    decls: Sequence[FactDecl],
    worlds: SampledWorlds,
    costs: Array,
    declining: Declining | None = None,
) -> Pair | None:
    """The pair that is worth most beyond its minutes, or None where none is worth them.

    ``costs`` has shape (worlds, plans), plan 0 leading.
    """
    prices = worlds.pack.prices
    rate = prices.hourly_rate.mean / 60.0
    least = 2.0 * rate * prices.question_overhead.mean
    # Knowing everything is worth no more than this.
    today, most_saved = 0, costs[:, 0] - costs.min(axis=1)
    if declining is not None and declining.away is not None:
        today = declining.today
        most_saved = np.maximum(most_saved, costs[:, 0] - declining.away())
    if worlds.mean(most_saved) <= least and not today:
        return None
    known = {decl.name: knowing(decl, worlds, costs, declining) for decl in decls}
    moved = {name: moves(one, worlds, costs) for name, one in known.items()}
    ranked = sorted(decls, key=lambda decl: (-moved[decl.name], decl.name))[:SCREENED]
    best, most = None, 0.0
    for first, second in combinations(ranked, 2):
        worlds.tick()
        one, two = known[first.name], known[second.name]
        count = len(two.answers)
        value, error, shares, plans = worth_of_knowing(
            one.groups * count + two.groups, len(one.answers) * count, costs, worlds.weights,
            declining,
        )  # fmt: skip
        gain = value - ERRORS * error - least - rate * (first.minutes + second.minutes)
        if gain > most:
            others = np.bincount(plans, weights=shares, minlength=costs.shape[1] + 1)
            others[today] = 0.0
            best, most = Pair(first, second, value, error, int(others.argmax())), gain
    return best


def moves(known: Knowing, worlds: SampledWorlds, costs: Array) -> float:
    """How far the answers to a fact move the difference in cost to today's plan.

    Standard deviation of the mean difference over the answers, of the plan with the largest.
    """
    shares, means = conditional_costs(known.groups, len(known.answers), costs, worlds.weights)
    differences = means - means[:, :1]
    differences -= shares @ differences
    return float(np.sqrt((shares @ differences**2).max()))
