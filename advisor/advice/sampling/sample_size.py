"""Enough worlds for a case: more where what was measured leaves few of them likely."""

from __future__ import annotations

import numpy as np

from advisor.advice.sampling.worlds import SampledWorlds, Watch
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack

#: Four times as many are drawn where fewer than this share of the worlds asked for count, so
#: that about as many count as were asked for; no more where so many count, or are drawn.
SHARE = 0.25
ENOUGH = 1024
MOST_WORLDS = 65_536
#: Effective sample size below which nothing is told of an answer that was not given.
TELLING = 400
#: Of so many worlds the unlikely are let go, where fewer than this share of them count.
MANY = 16_384
FEW = 0.05
#: Weight of all the worlds that are let go together.
LOST = 1e-3


def is_thin(worlds: SampledWorlds, asked: int) -> bool:
    """Whether more worlds would be drawn where ``asked`` were wanted.

    An answer that no simulated case explains is reported as such; more cases would not help.
    """
    thin = worlds.effective < min(ENOUGH, SHARE * asked)
    return thin and worlds.drawn < MOST_WORLDS and not worlds.misfits


def enough_worlds(
    case: Case, pack: RulePack, n: int, watch: Watch | None = None
) -> SampledWorlds:
    """At least ``n`` worlds drawn; more, and of these the likely ones, where few would count."""
    worlds = SampledWorlds(case, pack, n, watch=watch)
    while is_thin(worlds, n):
        worlds = SampledWorlds(case, pack, 4 * worlds.n, watch=watch)
    return likely_ones(worlds)


def likely_ones(worlds: SampledWorlds) -> SampledWorlds:
    """``worlds`` without the least likely ones, which weigh 1 in 1000 together.

    Only of many worlds of which few count; others are handed back as they are. All that
    follows is computed for the kept worlds alone.
    """
    if worlds.n < MANY or worlds.effective > FEW * worlds.n:
        return worlds
    order = np.argsort(worlds.weights)
    lost = int(np.searchsorted(np.cumsum(worlds.weights[order]), LOST))
    kept = np.sort(order[lost:])
    return worlds.only(kept)
