"""From a case to its worlds, needs, methods and plans."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.choosing.needs import Situation, find_needs
from advisor.advice.choosing.plans import Plan, build_plans
from advisor.advice.sampling.sample_size import enough_worlds
from advisor.advice.sampling.worlds import SampledWorlds, Watch
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack


@dataclass(frozen=True)
class Working:
    """What was computed on the way, for the questions, the explanation and tests."""

    situation: Situation
    plans: Sequence[Plan]

    def forget_calculated(self) -> None:
        """Drop all that can be calculated again from what was drawn, as it was.

        For a working that is kept for somebody who may ask later.
        """
        self.situation.worlds.forget_calculated()
        for outcome in self.situation.outcomes.values():
            outcome.forget_calculated()


def work_out(
    case: Case, pack: RulePack, n: int, watch: Watch | None = None, *, rough: bool = False
) -> Working:
    """Worlds, needs, methods and plans of a case whose part and damage are known.

    ``rough`` draws no more than ``n`` worlds, however few of them count.
    """
    if rough:
        return worked_over(SampledWorlds(case, pack, n, watch=watch))
    return worked_over(enough_worlds(case, pack, n, watch))


def worked_over(worlds: SampledWorlds) -> Working:
    """Methods and plans over these worlds."""
    worlds.tick("calculating the methods")
    needs, came_for = find_needs(worlds)
    outcomes = {key: MethodOutcome(method, worlds) for key, method in worlds.pack.methods.items()}
    situation = Situation(worlds, needs, came_for, outcomes)
    return Working(situation, build_plans(situation))
