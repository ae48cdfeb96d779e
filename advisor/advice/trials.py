"""Trials: what would lead with one answer changed, each a run of its own."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.case import Case, Value
from advisor.rulegraph.pack import RulePack

from .flips import given_flips, open_flips
from .plans import Plan
from .result import Flip
from .working import worked_over
from .worlds import SampledWorlds, Watch

#: Fewer worlds are enough to see whether another method leads.
FLIP_WORLDS = 512
#: Unless fewer than so many of them count.
TRIAL_ENOUGH = 128


class Trials:
    """Runs that differ from one case in one answer and share all that it does not touch."""

    def __init__(
        self, case: Case, pack: RulePack, n: int = FLIP_WORLDS, watch: Watch | None = None
    ) -> None:
        self.worlds = SampledWorlds(case, pack, n, watch=watch)
        self.outcomes = worked_over(self.worlds).situation.outcomes

    @classmethod
    def among(cls, worlds: SampledWorlds, n: int = FLIP_WORLDS) -> Trials:
        """Trials in some of the worlds that were drawn for the case already."""
        few = worlds.thinned(n)
        if few is None:
            return cls(worlds.case, worlds.pack, n, worlds.watch)
        trials = cls.__new__(cls)
        trials.worlds = few
        trials.outcomes = worked_over(few).situation.outcomes
        return trials

    def lead(self, fact: str, value: Value) -> str | None:
        """Lead method with ``fact`` answered ``value``; None where there is no plan."""
        pack = self.worlds.pack
        worlds = self.worlds.changed(fact, value)
        fed = pack.fed_by(fact)
        known = {k: o for k, o in self.outcomes.items() if fed.isdisjoint(pack.read_by(k))}
        if worlds.effective < TRIAL_ENOUGH and not worlds.misfits:
            worlds = SampledWorlds(worlds.case, pack, 4 * worlds.n, watch=worlds.watch)
            known = {}
        plans = worked_over(worlds, known).plans
        return plans[0].lead if plans else None


def find_flips(case: Case, worlds: SampledWorlds, plans: Sequence[Plan]) -> list[Flip]:
    """What would make another method lead, each confirmed by a run of its own."""

    trials = Trials.among(worlds)
    lead = plans[0].lead
    return [
        *open_flips(case, worlds, plans, trials.lead),
        *given_flips(case, worlds, lead, trials.lead),
    ]
