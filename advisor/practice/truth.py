"""What is right in a case to practise on, and what every other choice would cost the shop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from advisor.advice.advise import Advised, advise_quick
from advisor.advice.choosing.costs import redo_costs
from advisor.advice.choosing.plans import Plan, costs_of
from advisor.advice.choosing.working import Working
from advisor.advice.result import Advice, GateState, Question
from advisor.advice.sampling.worlds import SampledWorlds, Watch
from advisor.facts.faults import BadInput, Fault
from advisor.practice.cases import PracticeCase, choices_of
from advisor.practice.topics import DECLINE, REFER
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word

#: Simulated cases of a round; as many as the advice itself takes.
WORLDS = 4096


@dataclass(frozen=True)
class Truth:
    """The whole case and its first look, worked out."""

    case: PracticeCase
    whole: Advised
    intake: Advised
    right: str
    """A method's word, `REFER` where a hazard closes the job, `DECLINE` where nothing holds."""
    costs: Mapping[str, float]
    """Expected cost to the shop of each choice in the whole case, in the rules' currency.

    Price, comeback and looks of the best plan under a method; for a method that is not
    possible the time that is lost and what is done in its place; for a needless referral that
    time and the goodwill. Empty where a hazard closes the job: no money makes that good.
    """
    contenders: tuple[str, ...]
    """Methods with a plan at the first look: a certainty that is left is spread over these."""
    shares: Mapping[str, float]
    """Share of the simulated cases at the first look in which each method is the cheapest."""
    minute: float
    """What a minute of the shop costs."""
    overhead: float
    """Minutes that every question takes beside its own."""

    @property
    def advice(self) -> Advice:
        """What the advisor says of the whole case."""
        return self.whole.advice

    def regret(self, choice: str) -> float | None:
        """What a choice costs beyond the right one, never below 0; None where a hazard closes."""
        if not self.costs:
            return None
        return max(self.costs[choice] - self.costs[self.right], 0.0)

    def price_of_asking(self, minutes: float) -> float:
        """What a question of so many minutes costs the shop."""
        return self.minute * (minutes + self.overhead)

    def worth(self, fact: str) -> Question | None:
        """What asking for a fact was worth at the first look; None where it was worth nothing."""
        return next((q for q in self.intake.advice.ask if q.fact == fact and not q.gate), None)

    @property
    def questions(self) -> tuple[Question, ...]:
        """Questions at the first look worth their minutes, best first, hazards left out."""
        return tuple(q for q in self.intake.advice.ask if q.worth_asking and not q.gate)


def truth_of(
    case: PracticeCase, pack: RulePack, worlds: int = WORLDS, watch: Watch | None = None
) -> Truth:
    """Work out a case: some tenths of a second with 4096 simulated cases.

    ``watch`` is told what is being done and may stop it by raising. Raises BadInput where
    nothing can be calculated: part or damage not known, or answers that contradict each other.
    """
    whole = advise_quick(case.hidden, pack, worlds, rough=True, watch=watch)
    intake = advise_quick(case.intake, pack, worlds, rough=True, watch=watch)
    if whole.working is None or intake.working is None or whole.working.situation.worlds.misfits:
        problem = "nothing can be calculated for it, so there is no right answer to practise"
        raise BadInput(Fault(case.name, 0, 0, "", problem, "", "a case the advisor can calculate"))
    right = right_choice(whole)
    prices = pack.prices
    minute = prices.hourly_rate.mean / 60.0
    contenders = tuple(dict.fromkeys(method_word(p.lead) for p in intake.working.plans))
    costs = {} if right == REFER else _costs(whole.working, right, minute)
    shares = best_shares(intake.working)
    for working in (whole.working, intake.working):
        working.forget_calculated()  # kept as long as the round is
    return Truth(
        case, whole, intake, right, costs, contenders, shares, minute,
        prices.question_overhead.mean,
    )  # fmt: skip


def right_choice(whole: Advised) -> str:
    """What is right in a whole case: a method's word, or one of the two choices that are none."""
    assert whole.working is not None
    if any(gate.state is GateState.CLOSED for gate in whole.advice.gates):
        return REFER
    return lead_or_decline(whole.working)


def lead_or_decline(working: Working) -> str:
    """The leading method's word, or `DECLINE` where even the best plan would be declined."""
    worlds, plans = working.situation.worlds, working.plans
    if not plans or worlds.mean(plans[0].holds) < worlds.pack.prices.declines_below:
        return DECLINE
    return method_word(plans[0].lead)


def best_shares(working: Working) -> dict[str, float]:
    """Share of the simulated cases in which each method leads the cheapest plan."""
    if not working.plans:
        return {}
    worlds, found = working.situation.worlds, dict[str, float]()
    best = costs_of(working.plans).argmin(axis=1)
    share = np.bincount(best, weights=worlds.weights, minlength=len(working.plans))
    for plan, one in zip(working.plans, share, strict=True):
        word = method_word(plan.lead)
        found[word] = found.get(word, 0.0) + float(one)
    return found


def _costs(working: Working, right: str, minute: float) -> dict[str, float]:
    worlds, pack = working.situation.worlds, working.situation.worlds.pack
    aborted = minute * pack.prices.aborted_minutes.mean
    goodwill = pack.prices.comeback_goodwill.mean
    declined = right == DECLINE
    found: dict[str, float] = {}
    for plan in working.plans:
        word = method_word(plan.lead)
        found.setdefault(word, _lost(plan, worlds) if declined else worlds.mean(plan.cost))
    _, instead = redo_costs(working.situation, {})
    failed = aborted + (goodwill if declined else worlds.mean(instead))
    best = 0.0 if declined else found[right]
    sent_away = best if declined else best + aborted + goodwill
    every = {word: found.get(word, failed) for word in choices_of(pack)}
    return {**every, REFER: sent_away, DECLINE: sent_away}


def _lost(plan: Plan, worlds: SampledWorlds) -> float:
    """What a plan costs the shop beyond its own price, where no work at all is right."""
    return worlds.mean(plan.comeback + plan.looks)
