"""Trials: what would lead with one answer changed, each a run of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

import numpy as np

from advisor.advice.choosing.plans import Plan, is_hopeless
from advisor.advice.choosing.working import Working, work_out, worked_over
from advisor.advice.result import Flip
from advisor.advice.sampling.sample_size import TELLING
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.advice.what_if.flips import given_flips, open_flips
from advisor.facts.case import Value
from advisor.rulegraph.model.rules import method_word

#: Fewer worlds are enough to see whether another method leads.
FLIP_WORLDS = 512
#: Unless fewer than so many of them count.
TRIAL_ENOUGH = 128


#: Errors within which two plans that lead under different methods are close.
CLOSE = 2.0
#: A plan that costs no more than this share beyond the leading one ties with it.
TIE = 0.02


class Trials:
    """Runs that differ from one case in one answer and share all that it does not touch."""

    def __init__(self, worlds: SampledWorlds) -> None:
        self.worlds = worlds
        worked_over(worlds)
        self.close: set[tuple[str, Value]] = set()
        """Answers after which so few worlds do not tell for sure which method leads."""

    @classmethod
    def among(cls, worlds: SampledWorlds, n: int = FLIP_WORLDS) -> Trials:
        """Trials in some of the worlds that were drawn for the case already."""
        few = worlds.thinned(n)
        if few is None:
            few = SampledWorlds(worlds.case, worlds.pack, n, watch=worlds.watch)
        return cls(few)

    def lead(self, fact: str, value: Value) -> str | None:
        """Lead method with ``fact`` answered ``value``; None where there is no plan.

        There is none where the answer contradicts what else is known, or nothing holds then.
        """
        worlds = self.worlds.changed(fact, value)
        if worlds.misfits:
            return None
        if worlds.effective < TRIAL_ENOUGH:
            worlds = SampledWorlds(worlds.case, worlds.pack, 4 * worlds.n, watch=worlds.watch)
            if worlds.misfits:
                return None
        plans = worked_over(worlds).plans
        if not plans or is_hopeless(plans[0], worlds):
            return None
        if _is_close(plans, worlds):
            self.close.add((fact, value))
        return plans[0].lead

    def stands(self, flip: Flip, working: Working) -> bool:
        """Whether a flip that was found here is one over all worlds of ``working`` as well.

        Run anew only where it was close: then its method must lead there, or tie.
        """
        worlds = working.situation.worlds
        assert flip.value is not None
        if (flip.fact, flip.value) not in self.close or worlds.kept is not None:
            return True
        changed = worlds.changed(flip.fact, flip.value)
        if changed.misfits:
            return False
        if changed.effective < TELLING:
            more = 4 * worlds.n
            again = work_out(changed.case, worlds.pack, more, worlds.watch, rough=True)
        else:
            again = worked_over(changed)
        changed, plans = again.situation.worlds, again.plans
        word = method_word(flip.then)
        alike = next((plan for plan in plans if method_word(plan.lead) == word), None)
        if alike is None:
            return False
        least = worlds.pack.prices.declines_below
        declined = changed.mean(alike.holds) < least <= changed.mean(plans[0].holds)
        most = (1.0 + TIE) * changed.mean(plans[0].cost)
        return not declined and changed.mean(alike.cost) <= most


def _is_close(plans: Sequence[Plan], worlds: SampledWorlds) -> bool:
    """Whether luck may have put the first plan before one under another method.

    By its cost, or by how often either holds: plans that would be declined rank behind.
    """
    word = method_word(plans[0].lead)
    least = worlds.pack.prices.declines_below
    unsure = CLOSE * float(np.sqrt(least * (1.0 - least) / worlds.effective))
    if abs(worlds.mean(plans[0].holds) - least) < unsure:
        return True
    for plan in plans[1:]:
        if method_word(plan.lead) == word or worlds.mean(plan.holds) < least - unsure:
            continue
        ahead = plan.cost - plans[0].cost
        mean = worlds.mean(ahead)
        if mean < CLOSE * float(np.sqrt(np.sum((worlds.weights * (ahead - mean)) ** 2))):
            return True
    return False


def find_flips(working: Working) -> Iterator[Flip | None]:
    """What would make another method lead, each confirmed by a run of its own.

    Gives None after each trial without a find, so that the caller may do something else.
    """
    worlds, plans = working.situation.worlds, working.plans
    case = worlds.case
    worlds.tick("searching for what would change the choice")
    trials = Trials.among(worlds)
    yield None
    for flip in chain(
        open_flips(case, worlds, plans, trials.lead),
        given_flips(case, worlds, plans[0].lead, trials.lead),
    ):
        yield flip if flip is not None and trials.stands(flip, working) else None
