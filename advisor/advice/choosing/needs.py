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
#: A need that is there in at least this share is one that such damage always brings.
EVERY_CASE = 0.99


@dataclass(frozen=True)
class Situation:
    """What plans are built from: needs as masks over worlds, and every method's outcome."""

    worlds: SampledWorlds
    needs: Mapping[str, Mask]
    primary: str
    outcomes: Mapping[str, MethodOutcome]

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

    @property
    def shown_needs(self) -> dict[str, Mask]:
        """Needs that methods are judged by: the primary one and those not unlikely."""
        return {
            need: mask
            for need, mask in self.needs.items()
            if need == self.primary or self.worlds.mean(mask) >= SHOWN_NEED
        }

    @property
    def told_needs(self) -> dict[str, float]:
        """Needs that are spoken of, with the share of the worlds in which they are there."""
        least = self.worlds.pack.prices.tells_need_from
        shares = {need: self.worlds.mean(mask) for need, mask in self.needs.items()}
        return {
            need: share
            for need, share in shares.items()
            if need == self.primary or share >= least
        }


def find_needs(worlds: SampledWorlds) -> tuple[dict[str, Mask], str]:
    """Needs that are there in some worlds, and the one that made the customer come."""
    needs = {}
    for key, need in worlds.pack.needs.items():
        mask = worlds.holds(need.when)
        if worlds.mean(mask) > NEGLIGIBLE:
            needs[key] = mask
    decl = worlds.pack.facts[DAMAGE]
    shares = np.bincount(worlds.values[DAMAGE], worlds.weights, len(decl.keys))
    kind = decl.keys[int(np.argmax(shares))]
    leading = [key for key in needs if kind in worlds.pack.needs[key].leads_for]
    # Nobody comes for a need that few such cases have where all have another: a wet padding under
    # mould. Of needs that exclude each other, sunk springs or sunk foam, the first still leads.
    always = any(worlds.mean(needs[key]) >= EVERY_CASE for key in leading)
    likely = [key for key in leading if worlds.mean(needs[key]) >= SHOWN_NEED or not always]
    return needs, next(iter([*likely, *leading, *needs]), "")
