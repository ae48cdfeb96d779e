"""What plans are built from: the needs in every world, and every method's outcome."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property, reduce

import numpy as np

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import DAMAGE
from advisor.rulegraph.model.conditions import Mask

#: A need or a method that matters in fewer worlds than this is left out of the plans.
NEGLIGIBLE = 0.01
#: Methods are judged and shown for needs that are there at least in this share.
SHOWN_NEED = 0.25


@dataclass(frozen=True)
class Situation:
    """What plans are built from: needs as masks over worlds, and every method's outcome."""

    worlds: SampledWorlds
    needs: Mapping[str, Mask]
    came_for: Mapping[str, Mask]
    """What made the customer come, and in which worlds; the likeliest first. None is in two."""
    outcomes: Mapping[str, MethodOutcome]

    @property
    def primary(self) -> str:
        """The need which most likely made the customer come; empty where there is none."""
        return next(iter(self.came_for), "")

    def wanted(self, method: str) -> Mask:
        """Worlds in which a method that is chosen for a need has something to do; read only."""
        if method not in self._wanted:
            meets = self.outcomes[method].method.meets
            masks = [self.needs[need] for need in meets if need in self.needs]
            none = np.zeros(self.worlds.n, dtype=np.bool_)
            self._wanted[method] = reduce(np.logical_or, masks) if masks else none
        return self._wanted[method]

    @cached_property
    def _wanted(self) -> dict[str, Mask]:
        return {}

    @cached_property
    def shown_needs(self) -> dict[str, Mask]:
        """Needs that methods are judged by: the primary one and those not unlikely."""
        return {
            need: mask
            for need, mask in self.needs.items()
            if need == self.primary or self.worlds.mean(mask) >= SHOWN_NEED
        }

    @cached_property
    def told_needs(self) -> dict[str, float]:
        """Needs that are spoken of, with the share of the worlds in which they are there."""
        least = self.worlds.pack.prices.tells_need_from
        shares = {need: self.worlds.mean(mask) for need, mask in self.needs.items()}
        return {
            need: share
            for need, share in shares.items()
            if need == self.primary or share >= least
        }


def find_needs(worlds: SampledWorlds) -> tuple[dict[str, Mask], dict[str, Mask]]:
    """Needs that are there in some worlds, and those that made the customer come.

    Each of the latter with the worlds in which it did, the likeliest first: a scratch that is
    deep wants filling, any other only colour.
    """
    needs = {}
    for key, need in worlds.pack.needs.items():
        mask = worlds.holds(need.when)
        if worlds.mean(mask) > NEGLIGIBLE:
            needs[key] = mask
    decl = worlds.pack.facts[DAMAGE]
    shares = np.bincount(worlds.values[DAMAGE], worlds.weights, len(decl.keys))
    kind = decl.keys[int(np.argmax(shares))]
    leading = [key for key in needs if kind in worlds.pack.needs[key].leads_for]
    left = np.ones(worlds.n, dtype=np.bool_)
    came_for = {}
    for key in leading or list(needs)[:1]:
        came_for[key] = needs[key] & left
        left &= ~needs[key]
    chances = {key: worlds.mean(mask) for key, mask in came_for.items()}
    # What is so seldom that nobody is told of it is nothing to come for: a wet padding under mould.
    least = min(worlds.pack.prices.tells_need_from, max(chances.values(), default=0.0))
    ranked = sorted(came_for, key=lambda key: -chances[key])
    return needs, {key: came_for[key] for key in ranked if chances[key] >= least}
