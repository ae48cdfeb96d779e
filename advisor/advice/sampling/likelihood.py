"""How likely an answer or a reading is in each world."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from advisor.advice.sampling.fact_draws import CaseWorlds, by_part
from advisor.facts.case import PART, Span
from advisor.rulegraph.model.asked import ChoicePrior, FactRule, Prior
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array, Row, in_its_place, taken
from advisor.rulegraph.model.rules import Measurement

#: Nothing that was observed is held to be less likely than this: priors are rough.
UNLIKELY = 0.01
#: Log likelihood of a reading three spreads off: beyond, a world does not explain it.
EXPLAINED = -0.5 * 3.0**2
#: Spread of a flat distribution over its width, 1 / sqrt(12), as a divisor.
FLAT = 3.46


def log_chance(
    rule: FactRule, given: bool | tuple[str, ...], worlds: CaseWorlds
) -> Array | float:
    """Log chance of this answer in each world: answers are evidence about what drives them."""
    if rule.decl.name == PART:
        return 0.0
    return np.asarray(by_part(rule, worlds, lambda prior: _chance(rule, prior, given, worlds)))


def _chance(
    rule: FactRule, prior: Prior, given: bool | tuple[str, ...], worlds: CaseWorlds
) -> Array | float:
    if not isinstance(prior, ChoicePrior):
        return 0.0
    keys = ("no", "yes") if isinstance(given, bool) else rule.decl.keys
    named = (keys[given],) if isinstance(given, bool) else given
    mask = np.array([key in named for key in keys])
    counting = taken(prior.branches, prior.rest, worlds)
    logs = [(here, _log(weights, mask)) for here, weights in counting]
    chance: Array | float = in_its_place(logs)
    return chance


def _log(weights: Row, mask: Mask) -> float:
    """Log chance of the options in ``mask``."""
    return math.log(max(float(np.asarray(weights)[mask].sum()), UNLIKELY))


def log_likelihood(given: Span, measurement: Measurement, worlds: CaseWorlds) -> Array:
    """Log likelihood of a reading in each world, up to a constant.

    Readings err by a share of their size; a range that was given adds its own spread.
    """
    predicted = worlds.values[measurement.predicted_by]
    floor = measurement.floor
    misfit = np.log((given.middle + floor) / (predicted + floor))
    spread = np.log((given.high + floor) / (given.low + floor)) / FLAT
    return np.asarray(-0.5 * misfit**2 / (measurement.error**2 + spread**2))


def silent_on(answers: NDArray[np.intp], density: Array, log_weights: Array) -> Array:
    """The log likelihood of a reading so that each answer stays as likely as it was.

    Feedback of a doubtful part of a model is cut (Plummer 2015, from memory): the reading
    tells among the worlds of each answer, not between them. An answer that explains it in no
    world stays as unlikely as the reading makes it.
    """
    before = np.exp(log_weights - log_weights.max())
    had = np.bincount(answers, before)
    has = np.bincount(answers, before * np.exp(density))
    best = np.full(had.size, -np.inf)
    np.maximum.at(best, answers, density)
    told = (best > EXPLAINED) & (has > 0.0)
    shift = np.zeros(had.size)
    shift[told] = np.log(had[told]) - np.log(has[told])
    return np.asarray(density + shift[answers])
