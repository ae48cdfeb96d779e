"""What a calculator of quantities is given: facts and nodes by their role."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.job.sample import Sample
from advisor.rulegraph.model.nodes import Array, Ref
from advisor.rulegraph.model.quantities import OWN_INPUTS


class Inputs:
    """Inputs by name: as the method sets them, else the fact or node of that role."""

    def __init__(self, sample: Sample, given: Mapping[str, Ref]) -> None:
        self._sample = sample
        self._given = given

    def __call__(self, name: str) -> Array:
        """The input over the simulated cases, in its unit, shape (n,)."""
        ref = self._given.get(name)
        if ref is None and name not in OWN_INPUTS:
            return self._sample.role(name)
        if ref is None:
            ref = Ref(None, OWN_INPUTS[name][1])
        value = np.asarray(ref.get(self._sample.worlds), dtype=np.float64)
        return np.broadcast_to(value, (self._sample.worlds.n,))

    def places(self) -> Array:
        """Places like this on the part, a whole number in each simulated case."""
        return np.asarray(np.maximum(np.rint(self("damage_count")), 1.0))
