"""From a case and a rule pack to the advice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from advisor.facts.case import Case, Value
from advisor.rulegraph.pack import METHOD, RulePack, method_word
from advisor.rulegraph.pack import Origin as RuleOrigin

from .drivers import drivers_of
from .enough import enough_worlds, is_thin
from .explain import deciding, fact_states, loaded_joints, loads_of, range_of
from .flips import given_flips, open_flips
from .gates import judge_gates, source_of
from .methods import MethodOutcome, compute_method, speaks_against
from .plans import Plan, Situation, build_plans, drawn_price, find_needs, price_alone
from .questions import gate_question, rank_questions
from .result import (
    Advice,
    Driver,
    Flip,
    GateAdvice,
    GateState,
    MethodAdvice,
    PlanAdvice,
    Question,
    Range,
    Reason,
    Status,
    Step,
    Verdict,
)
from .words import beginning_reasons, headline_of, notes_of, reasons_of
from .worlds import SampledWorlds, Watch

DEFAULT_WORLDS = 4096
#: Fewer worlds are enough to see whether another method leads.
FLIP_WORLDS = 512
#: Unless fewer than so many of them count.
TRIAL_ENOUGH = 128
#: A plan that holds in fewer worlds than this is no alternative worth naming.
HOPELESS = 0.1
#: Plans shown.
SHOWN_PLANS = 6


@dataclass(frozen=True)
class Working:
    """What was computed on the way, for the questions, the explanation and tests."""

    situation: Situation
    plans: Sequence[Plan]


def work_out(
    case: Case, pack: RulePack, n: int, watch: Watch | None = None, *, rough: bool = False
) -> Working:
    """Worlds, needs, methods and plans of a case whose part and damage are known.

    ``rough`` draws no more than ``n`` worlds, however few of them count.
    """
    if rough:
        return _worked(SampledWorlds(case, pack, n, watch=watch))
    return _worked(enough_worlds(case, pack, n, watch))


def _worked(
    worlds: SampledWorlds, known: Mapping[str, MethodOutcome] = MappingProxyType({})
) -> Working:
    """Methods and plans over these worlds; ``known`` methods need no working out."""
    worlds.tick("working the methods out")
    needs, primary = find_needs(worlds)
    outcomes = {
        key: known[key] if key in known else compute_method(method, worlds)
        for key, method in worlds.pack.methods.items()
    }
    situation = Situation(worlds, needs, primary, outcomes)
    return Working(situation, build_plans(situation))


class Trials:
    """Runs that differ from one case in one answer and share all that it does not touch."""

    def __init__(
        self, case: Case, pack: RulePack, n: int = FLIP_WORLDS, watch: Watch | None = None
    ) -> None:
        self.worlds = SampledWorlds(case, pack, n, watch=watch)
        self.outcomes = _worked(self.worlds).situation.outcomes

    @classmethod
    def among(cls, worlds: SampledWorlds, n: int = FLIP_WORLDS) -> Trials:
        """Trials in some of the worlds that were drawn for the case already."""
        few = worlds.thinned(n)
        if few is None:
            return cls(worlds.case, worlds.pack, n, worlds.watch)
        trials = cls.__new__(cls)
        trials.worlds = few
        trials.outcomes = _worked(few).situation.outcomes
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
        plans = _worked(worlds, known).plans
        return plans[0].lead if plans else None


def find_flips(case: Case, worlds: SampledWorlds, plans: Sequence[Plan]) -> list[Flip]:
    """What would make another method lead, each confirmed by a run of its own."""

    trials = Trials.among(worlds)
    lead = plans[0].lead
    return [
        *open_flips(case, worlds, plans, trials.lead),
        *given_flips(case, worlds, lead, trials.lead),
    ]


def advise(
    case: Case, pack: RulePack, worlds: int = DEFAULT_WORLDS, *, flips: bool = True,
    rough: bool = False, watch: Watch | None = None,
) -> Advice:  # fmt: skip
    """The advice for a case, the same every time for the same case and pack.

    ``worlds`` is the number of sample worlds (at least 2; 4096 by default). ``flips``
    False leaves out what would change the choice (it takes a run for each given fact).
    ``rough`` draws no more than ``worlds`` even where few of them fit what was measured;
    the advice then says that it is rough. ``watch`` is told what is being done, again and
    again, and may stop it by raising.
    """
    case = pack.as_read(case)
    missing = [
        decl
        for decl in pack.asked(case)
        if not decl.may_stay_open and not decl.gate and decl.name not in case.facts
    ]
    gates = judge_gates(case, pack)
    if missing:
        return _unstarted(case, pack, gates, worlds, [decl.name for decl in missing])
    working = work_out(case, pack, worlds, watch, rough=rough)
    sampled, plans = working.situation.worlds, working.plans
    sampled.tick("weighing the questions")
    questions = rank_questions(case, sampled, plans, gates)
    verdict = _verdict(gates, questions, plans, sampled)
    found: list[Flip] = []
    if flips and plans and verdict is not Verdict.REFER:
        found = find_flips(case, sampled, plans)
    refused = verdict is Verdict.REFER
    methods = _methods(working, gates)
    shown = [_plan(plan, working) for plan in _worth_showing(plans, sampled)]
    plan = shown[0] if shown and not refused else None
    sites = _sites(working)
    return Advice(
        case=case.name,
        title=case.title,
        rules_version=pack.version,
        rules_digest=pack.digest,
        seed=sampled.seed,
        worlds=sampled.drawn,
        effective_worlds=sampled.effective,
        currency=pack.currency,
        verdict=verdict,
        headline=headline_of(verdict, gates, questions, plan, pack),
        reasons=reasons_of(verdict, gates, questions, plan, methods, pack, working.situation),
        plan=plan,
        provisional=verdict is Verdict.ASK and plan is not None,
        plans=() if refused else tuple(shown),
        settled=_settled(plans, sampled),
        needs=tuple(working.situation.needs),
        methods=methods,
        loads=loads_of(sampled, sites),
        gates=gates,
        ask=() if refused else questions,
        flips=tuple(found),
        facts=fact_states(sampled),
        cautions=_cautions(plan, gates, pack),
        findings=(*(misfit.finding for misfit in sampled.misfits), *sampled.remarks),
        notes=notes_of(sampled),
        deciding_now=_deciding_now(plans, sampled),
        drivers=_drivers(working) if flips else (),
        rough=is_thin(sampled, worlds),
    )


def _unstarted(
    case: Case, pack: RulePack, gates: tuple[GateAdvice, ...], n: int, missing: Sequence[str]
) -> Advice:
    """Nothing can be worked out before the part and the damage are known."""
    asks = [gate_question(gate, pack) for gate in gates if gate.state is GateState.OPEN]
    for name in missing:
        decl = pack.facts[name]
        why = "Everything else follows from this"
        asks.append(
            Question(name, decl.title, decl.ask, decl.how, 0.0, decl.minutes, False, why, True)
        )
    closed = [gate for gate in gates if gate.state is GateState.CLOSED]
    verdict = Verdict.REFER if closed else Verdict.ASK
    return Advice(
        case=case.name, title=case.title, rules_version=pack.version,
        rules_digest=pack.digest, seed=case.seed, worlds=n, effective_worlds=float(n),
        currency=pack.currency, verdict=verdict,
        headline=headline_of(verdict, gates, asks, None, pack),
        reasons=beginning_reasons(gates, missing, pack),
        plan=None, provisional=False, plans=(), settled=0.0, needs=(), methods=(), loads=(),
        gates=gates, ask=() if closed else tuple(asks), flips=(), facts=(),
        cautions=_cautions(None, gates, pack), findings=(), notes=(),
    )  # fmt: skip


def _verdict(
    gates: Sequence[GateAdvice],
    questions: Sequence[Question],
    plans: Sequence[Plan],
    worlds: SampledWorlds,
) -> Verdict:
    states = {gate.state for gate in gates}
    if GateState.CLOSED in states:
        return Verdict.REFER
    if GateState.OPEN in states or any(question.worth_asking for question in questions):
        return Verdict.ASK
    if not plans or worlds.mean(plans[0].holds) < worlds.pack.prices.declines_below:
        return Verdict.DECLINE
    return Verdict.PLAN


def _worth_showing(plans: Sequence[Plan], worlds: SampledWorlds) -> list[Plan]:
    """The leading plan, and others unless they are hopeless."""
    return [
        plan for plan in plans if plan is plans[0] or worlds.mean(plan.holds) >= HOPELESS
    ][:SHOWN_PLANS]


def _settled(plans: Sequence[Plan], worlds: SampledWorlds) -> float:
    """Share of the worlds in which today's leading method would still lead."""
    if not plans:
        return 0.0
    costs = np.stack([plan.cost for plan in plans])
    word = method_word(plans[0].lead)
    leads = np.array([method_word(plan.lead) == word for plan in plans])
    return worlds.mean(leads[costs.argmin(axis=0)])


def _deciding_now(plans: Sequence[Plan], worlds: SampledWorlds) -> float:
    """What deciding now is expected to cost beyond the best plan of each world."""
    if not plans:
        return 0.0
    costs = np.stack([plan.cost for plan in plans])
    return worlds.mean(plans[0].cost - costs.min(axis=0))


def _drivers(working: Working) -> tuple[Driver, ...]:
    if not working.plans:
        return ()
    situation = working.situation
    return drivers_of(situation.outcomes[working.plans[0].lead], situation.worlds)


def _plan(plan: Plan, working: Working) -> PlanAdvice:
    worlds = working.situation.worlds
    pack = worlds.pack
    methods = [pack.methods[key] for key in plan.methods]
    price, minutes = drawn_price(plan, working.situation)
    steps, tools, materials = [], [], []
    said: set[str] = set()
    for method in methods:
        for step in method.steps:
            # What two methods both begin with is done once.
            if step.text not in said and worlds.mostly(step.when):
                said.add(step.text)
                cautions = tuple(pack.cautions[key].text for key in step.cautions)
                steps.append(Step(method.key, step.text, cautions))
        tools += [tool for tool in method.tools if tool not in tools]
        for charge in method.materials:
            if worlds.mostly(charge.when) and charge.what not in materials:
                materials.append(charge.what)
    return PlanAdvice(
        methods=plan.methods,
        titles=tuple(method.title for method in methods),
        lead=plan.lead,
        lead_title=pack.methods[plan.lead].title,
        hold_probability=worlds.mean(plan.holds) / max(worlds.mean(plan.possible), 1e-12),
        price=range_of(worlds, price),
        minutes=range_of(worlds, minutes),
        expected_cost=worlds.mean(plan.cost),
        comeback_cost=worlds.mean(plan.comeback),
        looks_charge=worlds.mean(plan.looks),
        steps=tuple(steps),
        tools=tuple(tools),
        materials=tuple(materials),
        possible_probability=worlds.mean(plan.possible),
    )


def _methods(working: Working, gates: Sequence[GateAdvice]) -> tuple[MethodAdvice, ...]:
    """Every method that could meet a need of this case, the leading plan's first."""
    situation = working.situation
    leading = working.plans[0].methods if working.plans else ()
    chosen = working.plans[0].chosen if working.plans else ()
    helpers = set(leading) - set(chosen)
    closed = tuple(
        Reason(f"{gate.title}. {gate.text}", (gate.fact,), (gate.title,), (), gate.source)
        for gate in gates
        if gate.state is GateState.CLOSED
    )
    shown = set(situation.shown_needs)
    found = [
        _stopped(outcome, closed)
        if closed
        else _method(outcome, situation, outcome.method.key in helpers)
        for outcome in situation.outcomes.values()
        if shown & set(outcome.method.meets) or outcome.method.key in leading
    ]
    rank = list(Status)
    found.sort(
        key=lambda m: (m.method not in leading, rank.index(m.status), -m.hold_probability)
    )
    return tuple(found)


def _stopped(outcome: MethodOutcome, closed: tuple[Reason, ...]) -> MethodAdvice:
    """A method behind a closed gate: nothing is said about whether it would hold."""
    none = Range(0.0, 0.0, 0.0)
    method = outcome.method
    return MethodAdvice(
        method.key, method.title, method.meets, Status.BLOCKED, 0.0, None, "", "", closed,
        none, none, method.looks,
    )  # fmt: skip


def _method(outcome: MethodOutcome, situation: Situation, helps: bool) -> MethodAdvice:
    """One method judged by the needs it meets; one that only helps another by itself."""
    worlds = situation.worlds
    pack = worlds.pack
    concerned = np.zeros(worlds.n, dtype=np.bool_)
    chance = np.ones(worlds.n)
    needs = situation.shown_needs
    if not any(need in needs for need in outcome.method.meets):
        needs = dict(situation.needs)
    for need in outcome.method.meets:
        if need in needs:
            mask = needs[need]
            concerned |= mask
            chance = np.where(mask, np.minimum(chance, outcome.holds(need, worlds.n)), chance)
    share = max(worlds.mean(concerned), 1e-12)
    possible = worlds.mean(outcome.possible & concerned) / share
    both = outcome.possible & concerned
    hold = worlds.mean(np.where(both, chance, 0.0)) / max(worlds.mean(both), 1e-12)
    status = Status.HOLDS if hold >= pack.prices.holds_at else Status.FAILS
    if possible < 0.5:
        status = Status.NOT_POSSIBLE
    if helps:
        status, needs, hold = Status.HOLDS, {}, outcome.method.reliability.mean
        possible = worlds.mean(outcome.possible)
    usage: Range | None = None
    joints = loaded_joints(outcome, needs)
    reason: Reason | None = None
    limiting, limiting_title = "", ""
    if joints and status is not Status.NOT_POSSIBLE:
        worst = np.max(
            np.stack([np.where(mask, np.minimum(j.usage, 1e6), 0.0) for j, mask in joints]), axis=0
        )
        reason = deciding(outcome, joints, worlds, status is Status.FAILS)
        if reason is not None:
            usage = range_of(worlds, worst, both)
            limiting = reason.path[-1].rpartition(".")[2]
            limiting_title = reason.path_titles[-1]
    because = _because(outcome, situation, reason)
    return MethodAdvice(
        method=outcome.method.key,
        title=outcome.method.title,
        meets=outcome.method.meets,
        status=status,
        hold_probability=0.0 if possible == 0.0 else hold,
        usage=usage,
        limiting=limiting,
        limiting_title=limiting_title,
        because=because,
        minutes=range_of(worlds, outcome.minutes_spread),
        price=range_of(worlds, price_alone(outcome, worlds)),
        looks=outcome.method.looks,
    )


def _because(
    outcome: MethodOutcome, situation: Situation, decides: Reason | None
) -> tuple[Reason, ...]:
    """What decides first, then what keeps the method from being possible, most often first."""
    worlds = situation.worlds
    reasons = []
    ranked = sorted(outcome.refused, key=lambda pair: -worlds.mean(pair[1]))
    for requirement, mask in ranked:
        share = worlds.mean(mask)
        if share < 0.005:
            continue
        names = (speaks_against(requirement, worlds), METHOD + outcome.method.key)
        text = requirement.if_not
        if share < 0.995:
            text = f"{text} (so in {round(100 * share)} of 100 computed cases)"
        titles = tuple(worlds.pack.title_of(name) for name in names)
        source = source_of(worlds.pack, requirement.origin)
        reasons.append(Reason(text, names, titles, (), source))
    if decides is not None:
        reasons.insert(0, decides)
    if not reasons:
        source = source_of(worlds.pack, _practice(outcome, situation))
        text = outcome.method.remark or f"{outcome.method.title}: nothing here speaks against it"
        name = METHOD + outcome.method.key
        reasons.append(Reason(text, (name,), (outcome.method.title,), (), source))
    return tuple(reasons)


def _practice(outcome: MethodOutcome, situation: Situation) -> RuleOrigin:
    need = next(
        (n for n in outcome.method.meets if n in situation.needs), outcome.method.meets[0]
    )
    return situation.worlds.pack.needs[need].origin


def _sites(working: Working) -> list[str]:
    """Sites that matter for the needs of this case, the primary need's first."""
    situation = working.situation
    needs = [situation.primary, *(need for need in situation.needs if need != situation.primary)]
    found: list[str] = []
    for need in needs:
        for outcome in situation.outcomes.values():
            for joint in outcome.joints:
                used = need in joint.joint.meets and (joint.applies & outcome.possible).any()
                if used and joint.joint.site not in found and need in situation.needs:
                    found.append(joint.joint.site)
    return found


def _cautions(
    plan: PlanAdvice | None, gates: Sequence[GateAdvice], pack: RulePack
) -> tuple[str, ...]:
    found = [gate.text for gate in gates if gate.state is GateState.CAUTION]
    if plan is not None:
        for key in plan.methods:
            found += [pack.cautions[name].text for name in pack.methods[key].cautions]
        found += [text for step in plan.steps for text in step.cautions]
    return tuple(dict.fromkeys(found))
