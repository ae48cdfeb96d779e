"""From a case and a rule pack to the advice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from advisor.advice.asking.ranking import gate_question, rank_questions
from advisor.advice.choosing.hazards import judge_gates, source_of
from advisor.advice.choosing.plans import HOPELESS, Plan, is_hopeless
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.explaining.fact_states import fact_states
from advisor.advice.explaining.not_covered import (
    not_covered,
    questions_not_covered,
    reason_not_covered,
)
from advisor.advice.explaining.papers_wanted import papers_wanted
from advisor.advice.explaining.plan_and_method_views import methods_shown, plan_shown, sites_shown
from advisor.advice.explaining.reasons import loads_of
from advisor.advice.explaining.verdict_text import (
    beginning_reasons,
    headline_of,
    notes_of,
    reasons_of,
)
from advisor.advice.result import (
    Advice,
    FactState,
    GateAdvice,
    GateState,
    NotCovered,
    PlanAdvice,
    Question,
    Reason,
    Verdict,
)
from advisor.advice.sampling.sample_size import is_thin
from advisor.advice.sampling.worlds import SampledWorlds, Watch
from advisor.advice.what_if.promises import with_promises
from advisor.advice.what_if.sensitivity import drivers_of
from advisor.advice.what_if.trials import find_flips
from advisor.facts.case import DAMAGE, PART, Case
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import method_word
from advisor.wording.money import Tax

DEFAULT_WORLDS = 4096
#: Sample worlds that a part is drawn from before its damage is told.
USUAL_WORLDS = 512
#: Plans shown.
SHOWN_PLANS = 6


@dataclass(frozen=True)
class Advised:
    """An advice, and the working it rests on: some ten megabytes, for one case at a time."""

    advice: Advice
    working: Working | None = None
    """None where the part or the damage is not known, or the working was not kept."""


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
    quick = advise_quick(case, pack, worlds, rough=rough, watch=watch)
    *_, last = in_full(quick) if flips else (quick,)
    return last.advice


def in_full(quick: Advised) -> Iterator[Advised]:
    """``quick`` with its flips and drivers, from the working it kept.

    Gives what has been found so far after each piece of work, which takes no longer than
    working the case out; complete in the end. The caller takes all at once, one piece at a
    time, or on a thread of its own.
    """
    found, working = quick, quick.working
    if working is None or not working.plans or working.situation.worlds.misfits:
        yield found
        return
    worlds = working.situation.worlds
    if quick.advice.verdict is not Verdict.REFER:
        for flip in find_flips(working):
            if flip is not None:
                flips = (*found.advice.flips, flip)
                found = Advised(replace(found.advice, flips=flips), working)
            yield found
    drivers = drivers_of(working.situation.outcomes[working.plans[0].lead], worlds)
    yield Advised(replace(found.advice, drivers=drivers), working)


def advise_quick(
    case: Case, pack: RulePack, worlds: int = DEFAULT_WORLDS, *, rough: bool = False,
    watch: Watch | None = None,
) -> Advised:  # fmt: skip
    """The advice without flips and drivers, with the working that they are found from.

    Arguments as for ``advise``.
    """
    case = pack.as_read(case)
    missing = [
        decl
        for decl in pack.asked(case)
        if not decl.may_stay_open and not decl.gate and decl.name not in case.facts
    ]
    gates = judge_gates(case, pack)
    told = not_covered(case, pack)
    if missing or told is not None:
        names = [decl.name for decl in missing]
        return Advised(_unstarted(case, pack, gates, worlds, names, told))
    working = work_out(case, pack, worlds, watch, rough=rough)
    return Advised(_from(working, gates, worlds), working)


def _from(working: Working, gates: tuple[GateAdvice, ...], asked: int) -> Advice:
    """The advice that follows from a working for which ``asked`` worlds were wanted.

    Where answers contradict each other, or a measurement fits none of the worlds, these are
    worlds of a case that nobody has: no figure of them is told.
    """
    sampled = working.situation.worlds
    doubted = bool(sampled.misfits)
    plans = [] if doubted else working.plans
    case, pack = sampled.case, sampled.pack
    sampled.tick("ranking the questions")
    questions = with_promises(rank_questions(case, sampled, plans, gates), working)
    verdict = _verdict(gates, questions, plans, sampled)
    refused = verdict is Verdict.REFER
    methods = () if doubted and not refused else methods_shown(working, gates)
    withheld = any(gate.state is GateState.OPEN for gate in gates)
    shown = [
        plan_shown(plan, working, withheld=withheld) for plan in _worth_showing(plans, sampled)
    ]
    plan = shown[0] if shown and not refused else None
    sites = [] if doubted else sites_shown(working)
    findings = tuple(misfit.finding for misfit in sampled.misfits)
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
        headline=headline_of(verdict, gates, questions, plan, methods, pack, findings=findings),
        reasons=reasons_of(verdict, gates, questions, plan, methods, pack, working.situation),
        plan=plan,
        provisional=verdict is Verdict.ASK and plan is not None,
        plans=() if refused else tuple(shown),
        settled=_settled(plans, sampled),
        needs=() if doubted else tuple(working.situation.told_needs),
        methods=methods,
        loads=loads_of(sampled, sites),
        gates=gates,
        ask=() if refused else questions,
        flips=(),
        facts=fact_states(sampled),
        cautions=_cautions(plan, gates, pack),
        findings=(*findings, *sampled.remarks),
        notes=(*notes_of(sampled, plan),
               *papers_wanted(plan, methods, working.situation.primary, gates, pack)),
        deciding_now=None if withheld or doubted else _deciding_now(plans, sampled),
        rough=is_thin(sampled, asked),
        tax=tax_of(pack),
        own_rules=pack.own,
    )


def tax_of(pack: RulePack) -> Tax:
    """What the shop puts on its prices."""
    return Tax(pack.prices.quote.tax_rate, pack.prices.quote.tax_label)


def _unstarted(
    case: Case, pack: RulePack, gates: tuple[GateAdvice, ...], n: int, missing: Sequence[str],
    told: NotCovered | None,
) -> Advice:  # fmt: skip
    """Nothing can be worked out before the part and the damage are known, and go together."""
    asks = [gate_question(gate, pack) for gate in gates if gate.state is GateState.OPEN]
    for name in missing:
        decl = pack.facts[name]
        why = "Everything else follows from this"
        asks.append(
            Question(name, decl.title, decl.ask, decl.how, 0.0, decl.minutes, False, why, True)
        )
    if told is not None:
        asks += questions_not_covered(told, case, pack)
    closed = [gate for gate in gates if gate.state is GateState.CLOSED]
    verdict = Verdict.REFER if closed else Verdict.ASK
    return Advice(
        case=case.name, title=case.title, rules_version=pack.version,
        rules_digest=pack.digest, seed=case.seed, worlds=n, effective_worlds=float(n),
        currency=pack.currency, verdict=verdict,
        headline=headline_of(verdict, gates, asks, None, (), pack, told),
        reasons=(*_why_not_covered(told, closed, pack), *beginning_reasons(gates, missing, pack)),
        plan=None, provisional=False, plans=(), settled=0.0, needs=(), methods=(), loads=(),
        gates=gates, ask=() if closed else tuple(asks), flips=(),
        facts=_usual(case, pack) if PART in case.facts and told is None else (),
        cautions=_cautions(None, gates, pack), findings=(), notes=(), not_covered=told,
        tax=tax_of(pack), own_rules=pack.own,
    )  # fmt: skip


def _usual(case: Case, pack: RulePack) -> tuple[FactState, ...]:
    """The layers of the part, told or as usual on it: what is drawn before the damage is told."""
    roles = pack.roles
    drawn = {*pack.section.looks, roles.skin, roles.base, roles.skin_thickness,
             roles.padding_thickness, roles.base_thickness} - {DAMAGE}  # fmt: skip
    states = fact_states(SampledWorlds(case, pack, USUAL_WORLDS))
    return tuple(state for state in states if state.fact in drawn)


def _why_not_covered(
    told: NotCovered | None, closed: Sequence[GateAdvice], pack: RulePack
) -> list[Reason]:
    origin = pack.coverage.origin
    if told is None or origin is None or closed:
        return []
    return [reason_not_covered(told, source_of(pack, origin))]


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
    """The best plan and others, but for what is hopeless; none where the best one is."""
    if not plans or is_hopeless(plans[0], worlds):
        return []
    return [
        plan for plan in plans if plan is plans[0] or worlds.mean(plan.holds) >= HOPELESS
    ][:SHOWN_PLANS]


def _settled(plans: Sequence[Plan], worlds: SampledWorlds) -> float:
    """Share of the simulated cases in which today's leading method would still lead."""
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


def _cautions(
    plan: PlanAdvice | None, gates: Sequence[GateAdvice], pack: RulePack
) -> tuple[str, ...]:
    found = [gate.text for gate in gates if gate.state is GateState.CAUTION]
    if plan is not None:
        for key in plan.methods:
            found += [pack.cautions[name].text for name in pack.methods[key].cautions]
        found += [text for step in plan.steps for text in step.cautions]
    return tuple(dict.fromkeys(found))
