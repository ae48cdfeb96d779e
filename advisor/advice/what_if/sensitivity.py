"""Which uncertain inputs carry the spread of a usage: first-order indices from the worlds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.result import Driver
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Span
from advisor.facts.declaration import Kind
from advisor.rulegraph.model.nodes import Array, Draw, TableDraw
from advisor.rulegraph.model.rules import USAGE

#: Equally likely bins of an input that is a number.
BINS = 16
#: Shares smaller than this are not worth naming.
SMALL = 0.02
#: Usages beyond this count as this: what is hopeless is not more or less hopeless.
MOST = 1e3


class Spread:
    """The spread of ``y`` over weighted worlds, of which inputs carry their shares."""

    def __init__(self, y: Array, weights: Array) -> None:
        """Both of shape (worlds,); the weights add up to 1."""
        self.weights = weights
        self.weighted = weights * y
        self.squared = float((self.weighted * y).sum())
        self.mean = float(self.weighted.sum())
        self.total = float((weights * (y - self.mean) ** 2).sum())
        self.effective = 1.0 / float((weights**2).sum())

    def first_order_index(self, groups: NDArray[np.intp], count: int) -> float:
        """Share of the variance explained by the group means (Sobol's first order).

        The variance that means of samples show by chance alone is taken off, as in analysis
        of variance, so that an input without influence comes out near 0 however few worlds.
        ``groups`` has shape (worlds,), numbers below ``count``.
        """
        if self.total <= 0.0:
            return 0.0
        share = np.bincount(groups, weights=self.weights, minlength=count)
        used = share > 0.0
        share = share[used]
        sums = np.bincount(groups, weights=self.weighted, minlength=count)[used]
        group_mean = sums / share
        within = self.squared - float((share * group_mean**2).sum())
        between = float((share * (group_mean - self.mean) ** 2).sum())
        degrees = share.size - 1
        chance = degrees * within / max(self.effective - degrees - 1, 1.0)
        return max(0.0, (between - chance) / self.total)


def drivers_of(outcome: MethodOutcome, worlds: SampledWorlds) -> tuple[Driver, ...]:
    """Uncertain facts and rule values by their share in the logarithm of the usage.

    A number counts by its own draw, so that what it takes from a choice (a thickness from
    the material) is counted with the choice and the shares do not overlap.
    """
    loaded = [joint for joint in outcome.joints if joint.applies.any()]
    if not loaded:
        return ()
    usage = np.max(np.stack([np.where(j.applies, j.usage, 0.0) for j in loaded]), axis=0)
    spread = Spread(np.log(np.clip(usage, 1e-6, MOST)), worlds.weights)
    found = []
    for name in _inputs(outcome, worlds):
        groups, count = _grouped(name, worlds)
        share = spread.first_order_index(groups, count) if count > 1 else 0.0
        if share >= SMALL:
            found.append(Driver(name, worlds.pack.title_of(name), share))
    return tuple(sorted(found, key=lambda driver: (-driver.share, driver.name)))


def _inputs(outcome: MethodOutcome, worlds: SampledWorlds) -> list[str]:
    """What feeds the method's usages, is drawn by itself and is not known exactly."""
    pack = worlds.pack
    feeding: set[str] = set()
    for joint in outcome.joints:
        for mode in joint.modes:
            feeding |= pack.feeding(f"{USAGE}{outcome.method.key}.{mode.mode.key}")
    found = []
    for name in sorted(feeding):
        if name in pack.facts:
            exact = worlds.case.facts.get(name)
            known = isinstance(exact, bool) or (isinstance(exact, Span) and exact.exact)
            if not known and name not in pack.measurements:
                found.append(name)
        elif isinstance(pack.nodes[name].operation, Draw | TableDraw):
            found.append(name)
    return found


def _grouped(name: str, worlds: SampledWorlds) -> tuple[NDArray[np.intp], int]:
    column = worlds.values[name]
    decl = worlds.pack.facts.get(name)
    if decl is not None and decl.kind in (Kind.CHOICE, Kind.YES_NO):
        return column.astype(np.intp), max(len(decl.keys), 2)
    if column.min() == column.max():
        return np.zeros(column.size, dtype=np.intp), 1
    return (worlds.uniform(name) * BINS).astype(np.intp), BINS
