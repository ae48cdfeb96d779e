"""What is shown of the plans and methods: in words and ranges, with what decides them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from advisor.advice.choosing.costs import price_alone
from advisor.advice.choosing.hazards import source_of
from advisor.advice.choosing.methods import MethodOutcome, speaks_against
from advisor.advice.choosing.needs import Situation
from advisor.advice.choosing.plans import Plan, drawn_price, steps_in_order
from advisor.advice.choosing.working import Working
from advisor.advice.explaining.papers_wanted import layers_added
from advisor.advice.explaining.reasons import deciding, loaded_joints, range_of
from advisor.advice.result import (
    GateAdvice,
    GateState,
    MethodAdvice,
    PlanAdvice,
    Reason,
    Status,
    Step,
)
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.rulegraph.model.asked import Origin as RuleOrigin
from advisor.rulegraph.model.conditions import Mask
from advisor.rulegraph.model.nodes import Array
from advisor.rulegraph.model.rules import METHOD, MethodStep
from advisor.wording.counts import HoldBasis, of_hundred
from advisor.wording.figures import Range
from advisor.wording.phrases import filled

#: Chances that differ by no more are the same.
SAME_CHANCE = 1e-6
#: Share of the simulated cases that does not make a count simulated.
FEW = 0.05


def plan_shown(plan: Plan, working: Working, *, withheld: bool = False) -> PlanAdvice:
    """A plan in words and ranges; ``withheld`` leaves out what it costs and how it is done."""
    worlds = working.situation.worlds
    pack = worlds.pack
    methods = [pack.methods[key] for key in plan.methods]
    outcomes = working.situation.outcomes
    holds = worlds.mean(plan.holds) / max(worlds.mean(plan.possible), 1e-12)
    sound = worlds.mean(plan.holds > 0.0) / max(worlds.mean(plan.possible), 1e-12)
    basis = _basis_of(plan.chosen, working.situation)
    if basis is HoldBasis.EXPERIENCE and _varies(plan, worlds):
        basis = HoldBasis.BOTH
    if withheld:
        return PlanAdvice(
            plan.methods, tuple(outcomes[key].title for key in plan.methods), plan.lead,
            outcomes[plan.lead].title, holds, None, None, None, None, None, (), (), (),
            worlds.mean(plan.possible), basis, sound,
        )  # fmt: skip
    price, minutes, material = drawn_price(plan, working.situation)
    due: list[tuple[str, MethodStep]] = []
    tools, materials = [], []
    for method in methods:
        # Told are the worlds in which the plan can be carried out and this is part of the work.
        here = worlds.within(plan.possible & plan.active[method.key])
        due += [(method.key, step) for step in method.steps if here.mostly(step.when)]
        tools += [tool for tool in method.tools if tool not in tools]
        for charge in method.materials:
            named = charge.what in materials or charge.extent
            if here.mostly(charge.when) and not named:
                materials.append(charge.what)
    steps = [
        Step(key, step.text, tuple(pack.cautions[name].text for name in step.cautions))
        for key, step in steps_in_order(due)
    ]
    return PlanAdvice(
        methods=plan.methods,
        titles=tuple(outcomes[key].title for key in plan.methods),
        lead=plan.lead,
        lead_title=outcomes[plan.lead].title,
        hold_probability=holds,
        price=price_range(worlds, price, plan.possible),
        minutes=range_of(worlds, minutes, plan.possible),
        expected_cost=worlds.mean(plan.cost),
        comeback_cost=worlds.mean(plan.comeback),
        looks_charge=worlds.mean(plan.looks),
        steps=tuple(steps),
        tools=tuple(tools),
        materials=tuple(materials),
        possible_probability=worlds.mean(plan.possible),
        hold_basis=basis,
        by_forces=sound,
        material=range_of(worlds, material, plan.possible),
    )


def price_range(worlds: SampledWorlds, price: Array, mask: Mask | None = None) -> Range:
    """What such a job costs: the middle one, and the bounds at the certainty of a quote.

    Before tax, the usual way there and back included.
    """
    quote = worlds.pack.prices.quote
    at = (1.0 - quote.certainty, 0.5, quote.certainty)
    low, middle, high = worlds.quantiles(price, at, mask)
    travel = 2.0 * quote.usual_distance * quote.mileage
    return Range(float(low) + travel, float(middle) + travel, float(high) + travel)


def _basis_of(methods: Sequence[str], situation: Situation) -> HoldBasis:
    """What the hold of these methods is made of: whether any loaded joint entered it."""
    outcomes = [situation.outcomes[key] for key in methods]
    loaded = any(_is_loaded(outcome, situation.shown_needs) for outcome in outcomes)
    if not loaded:
        return HoldBasis.EXPERIENCE
    certain = all(outcome.method.reliability.mean == 1.0 for outcome in outcomes)
    return HoldBasis.CALCULATED if certain else HoldBasis.BOTH


def _varies(plan: Plan, worlds: SampledWorlds) -> bool:
    """Whether a plan holds more often in some simulated cases than in others, but for a few."""
    usual = float(np.median(plan.holds[plan.possible])) if plan.possible.any() else 0.0
    other = np.abs(plan.holds - usual) > SAME_CHANCE
    return worlds.mean(other & plan.possible) > FEW * worlds.mean(plan.possible)


def _is_loaded(outcome: MethodOutcome, needs: Mapping[str, Mask]) -> bool:
    """Whether some force reaches a joint of the method that answers one of the needs."""
    joints = loaded_joints(outcome, needs)
    return any(bool((joint.usage[mask] > 0.0).any()) for joint, mask in joints)


def methods_shown(working: Working, gates: Sequence[GateAdvice]) -> tuple[MethodAdvice, ...]:
    """Every method that could meet a need of this case, the leading plan's first."""
    situation = working.situation
    leading = working.plans[0].methods if working.plans else ()
    chosen = working.plans[0].chosen if working.plans else ()
    helpers = set(leading) - set(chosen)
    withheld = any(gate.state is GateState.OPEN for gate in gates)
    closed = tuple(
        Reason(
            filled("{}. {}", gate.title, gate.text), (gate.fact,), (gate.title,), (), gate.source
        )
        for gate in gates
        if gate.state is GateState.CLOSED
    )
    shown = set(situation.shown_needs)
    found = [
        _stopped(outcome, closed)
        if closed
        else _method(outcome, situation, outcome.method.key in helpers, withheld)
        for outcome in situation.outcomes.values()
        if outcome.method.key in leading
        or (shown & set(outcome.method.meets) and not _for_something_else(outcome))
    ]
    rank = list(Status)
    found.sort(
        key=lambda m: (m.method not in leading, rank.index(m.status), -m.hold_probability)
    )
    return tuple(found)


def _for_something_else(outcome: MethodOutcome) -> bool:
    """Whether a requirement that hides the method is met in no simulated case."""
    return any(
        requirement.not_shown and outcome.worlds.everywhere(requirement.condition) is False
        for requirement in outcome.method.requirements
    )


def _stopped(outcome: MethodOutcome, closed: tuple[Reason, ...]) -> MethodAdvice:
    """A method behind a closed gate: nothing is said about whether it would hold."""
    method = outcome.method
    return MethodAdvice(
        method.key, outcome.title, method.meets, Status.BLOCKED, 0.0, None, "", "", closed,
        None, None, method.looks, adds=layers_added(outcome),
    )  # fmt: skip


def _method(
    outcome: MethodOutcome, situation: Situation, helps: bool, withheld: bool
) -> MethodAdvice:
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
            chance = np.minimum(chance, np.maximum(outcome.holds(need), ~mask))
    share = max(worlds.mean(concerned), 1e-12)
    possible = worlds.mean(outcome.possible & concerned) / share
    both = outcome.possible & concerned
    hold = worlds.mean(chance * both) / max(worlds.mean(both), 1e-12)
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
            np.stack([np.minimum(j.usage, 1e6) * mask for j, mask in joints]), axis=0
        )
        whole = range_of(worlds, worst, both)
        reason = deciding(outcome, joints, worlds, status is Status.FAILS, whole)
        if reason is not None:
            usage = whole
            limiting = reason.path[-1].rpartition(".")[2]
            limiting_title = reason.path_titles[-1]
    because = _because(outcome, situation, reason)
    basis: HoldBasis | None = None
    if status is not Status.NOT_POSSIBLE:
        basis = HoldBasis.EXPERIENCE if helps else _basis_of([outcome.method.key], situation)
    return MethodAdvice(
        method=outcome.method.key,
        title=outcome.title,
        meets=outcome.method.meets,
        status=status,
        hold_probability=0.0 if possible == 0.0 else hold,
        usage=usage,
        limiting=limiting,
        limiting_title=limiting_title,
        because=because,
        minutes=None if withheld else range_of(worlds, outcome.all_minutes_spread),
        price=None if withheld else price_range(worlds, price_alone(outcome, worlds)),
        looks=outcome.method.looks,
        hold_basis=basis,
        adds=layers_added(outcome),
    )


def _because(
    outcome: MethodOutcome, situation: Situation, decides: Reason | None
) -> tuple[Reason, ...]:
    """What decides first, then what keeps the method from being possible, most often first.

    Where no load decides and it is possible more often than not, its remark decides.
    """
    worlds = situation.worlds
    reasons = []
    ranked = sorted(
        ((one, worlds.mean(mask)) for one, mask in outcome.refused), key=lambda pair: -pair[1]
    )
    for requirement, share in ranked:
        if share < 0.005:
            continue
        names = (speaks_against(requirement, worlds), METHOD + outcome.method.key)
        text = requirement.if_not
        if share < 0.995:
            text = filled("{} (so in {} simulated cases)", text, of_hundred(share))
        titles = tuple(worlds.pack.title_of(name) for name in names)
        source = source_of(worlds.pack, requirement.origin)
        reasons.append(Reason(text, names, titles, (), source))
    if decides is not None:
        reasons.insert(0, decides)
    seldom_refused = not ranked or ranked[0][1] < 0.5
    if not reasons or (decides is None and seldom_refused and outcome.method.remark):
        source = source_of(worlds.pack, _practice(outcome, situation))
        text = outcome.method.remark or f"{outcome.title}: nothing rules it out here"
        name = METHOD + outcome.method.key
        reasons.insert(0, Reason(text, (name,), (outcome.title,), (), source))
    return tuple(reasons)


def _practice(outcome: MethodOutcome, situation: Situation) -> RuleOrigin:
    need = next(
        (n for n in outcome.method.meets if n in situation.needs), outcome.method.meets[0]
    )
    return situation.worlds.pack.needs[need].origin


def sites_shown(working: Working) -> list[str]:
    """Sites that matter for the needs that are told, the primary need's first."""
    situation = working.situation
    told = situation.told_needs
    needs = [situation.primary, *(need for need in told if need != situation.primary)]
    found: list[str] = []
    for need in needs:
        for outcome in situation.outcomes.values():
            for joint in outcome.method.joints:
                if need in told and need in joint.meets and joint.site not in found:
                    used = outcome.possible
                    if joint.when is not None and used.any():
                        used = used & situation.worlds.holds(joint.when)
                    if used.any():
                        found.append(joint.site)
    return found
