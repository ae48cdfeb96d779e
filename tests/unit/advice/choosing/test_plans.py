"""Plans: every minimal combination and no other, costed as by hand in every world."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.needs import NEGLIGIBLE, find_needs
from advisor.advice.choosing.plans import LIKELY, Plan
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demos, split_seam

CRUMBLED = split_seam(core__material="foam_soft", core__state="crumbles", skin__feel="supple",
                      damage__hole_state="intact", carrier__state="sound")  # fmt: skip
LIFTED = case(part__kind="dash_pad", vehicle__kind="car", damage__kind="lifted_edge",
              skin__material="vinyl_moulded")  # fmt: skip
WORN = case(part__kind="seat_bolster", vehicle__kind="car", damage__kind="worn_surface",
            damage__depth="fine_cracks", skin__material="leather")  # fmt: skip
ROTTEN = case(part__kind="bench_cushion", vehicle__kind="boat", damage__kind="tear",
              carrier__state="rotten", core__state="wet", core__material="foam_soft")  # fmt: skip
TORN = case(part__kind="seat_cushion", vehicle__kind="car", damage__kind="tear",
            skin__material=("leather", "vinyl_backed", "cloth_knit"),
            skin__feel=("stiff", "brittle"))  # fmt: skip
#: Something behind it may be broken that is seldom so, and no new part is to be had.
DOUBTFUL = split_seam(part__available=False)
CASES = {"crumbled": CRUMBLED, "lifted": LIFTED, "worn": WORN, "rotten": ROTTEN, "torn": TORN,
         "doubtful": DOUBTFUL}  # fmt: skip


def likely_needs(working: Working) -> list[str]:
    worlds = working.situation.worlds
    needs = working.situation.needs
    primary = working.situation.primary
    return [n for n, mask in needs.items() if n == primary or worlds.mean(mask) >= LIKELY]


def candidates(working: Working, need: str) -> list[str]:
    """Methods that may meet a need by themselves in more than a negligible share of worlds."""
    worlds, mask = working.situation.worlds, working.situation.needs[need]
    found = []
    for key, outcome in working.situation.outcomes.items():
        if need in outcome.method.meets and not outcome.method.only_beside:
            able = outcome.possible & outcome.applies(need) & mask
            if worlds.weights[able].sum() / worlds.weights[mask].sum() > NEGLIGIBLE:
                found.append(key)
    return found


@pytest.mark.parametrize("name", CASES)
def test_plans_are_the_minimal_combinations(name: str, pack: RulePack) -> None:
    working = work_out(CASES[name], pack, 256)
    needs = likely_needs(working)
    able = {need: set(candidates(working, need)) for need in needs}
    everything = sorted(set().union(*able.values()))

    def covers(members: tuple[str, ...]) -> bool:
        meets = {n for key in members for n in working.situation.outcomes[key].method.meets}
        return all(able[need] & set(members) for need in needs) and set(needs) <= meets

    expected = set()
    for size in range(1, len(needs) + 1):
        for members in combinations(everything, size):
            smaller = [tuple(m for m in members if m != left) for left in members]
            meets = [
                {n for key in rest for n in working.situation.outcomes[key].method.meets}
                for rest in smaller
            ]
            if covers(members) and not any(set(needs) <= met for met in meets):
                expected.add(frozenset(members))
    assert {frozenset(plan.chosen) for plan in working.plans} == expected
    assert len(working.plans) == len(expected) >= 1


def price(working: Working, minutes: float, material: float) -> float:
    prices = working.situation.worlds.pack.prices
    total = minutes * prices.hourly_rate.mean / 60 + material * (1 + prices.material_markup.mean)
    return max(total, prices.call_out_minimum.mean)


def redo(working: Working, i: int) -> tuple[float, float]:
    """Price of doing it over, and cost of doing it so from the start.

    The latter with looks, its own comebacks and what else is needed in this world. Each by the
    fallback that costs least of those possible in this world, else the dearest.
    """
    worlds = working.situation.worlds
    prices = worlds.pack.prices
    rows = []
    whole = []
    for outcome in working.situation.outcomes.values():
        if outcome.method.fallback:
            own = price(working, outcome.minutes[i] + outcome.access[i], outcome.material[i])
            looks = prices.looks[outcome.method.looks].mean * worlds.values[prices.looks_weight][i]
            fails = 1.0 - outcome.holds(working.situation.primary)[i]
            cost = own + looks + fails * (own + prices.comeback_goodwill.mean)
            rows.append((cost, own, bool(outcome.possible[i])))
            minutes, material, holds = outcome.minutes[i], outcome.material[i], 1.0 - fails
            access = outcome.access[i]
            for need, mask in working.situation.needs.items():
                met = need in outcome.method.meets and outcome.answers(need)[i]
                remedy = None if met or not mask[i] else cheapest_remedy(working, need, i)
                if need != working.situation.primary and remedy is not None:
                    minutes += working.situation.outcomes[remedy].minutes[i]
                    access = max(access, working.situation.outcomes[remedy].access[i])
                    material += working.situation.outcomes[remedy].material[i]
                    holds *= working.situation.outcomes[remedy].holds(need)[i]
            all_in = price(working, minutes + access, material) + looks
            all_in += (1.0 - holds) * (own + prices.comeback_goodwill.mean)
            whole.append((all_in, bool(outcome.possible[i])))
    able = [row for row in rows if row[2]]
    _, own, _ = min(able) if able else max(rows)
    costs = [cost for cost, possible in whole if possible]
    return own, min(costs) if costs else max(cost for cost, _ in whole)


def cheapest_remedy(working: Working, need: str, i: int) -> str | None:
    """The method that meets a need once it is found, cheapest in world i."""
    outcomes = working.situation.outcomes
    able = [
        (price_alone(working, key, i), key)
        for key in candidates(working, need)
        if outcomes[key].possible[i] and outcomes[key].holds(need)[i] > 0
    ]
    return min(able)[1] if able else None


def cost_by_hand(working: Working, plan: Plan, i: int) -> float:
    """Cost of a plan in world i: price, comeback and looks, or a job broken off."""
    situation = working.situation
    prices, outcomes = situation.worlds.pack.prices, situation.outcomes
    needs = {need for need, mask in situation.needs.items() if mask[i]}
    minutes = material = access = 0.0
    possible, holds = True, 1.0
    active: set[str] = set()
    for key in plan.chosen:
        if needs & set(outcomes[key].method.meets):
            active.add(key)
            possible &= bool(outcomes[key].possible[i])
        for follower, condition in outcomes[key].method.follow_with:
            wanted = condition is None or bool(condition.test(situation.worlds.values)[i])
            if follower not in plan.chosen and wanted and outcomes[follower].possible[i]:
                active.add(follower)
    likely = likely_needs(working)
    worked: dict[str, float] = {}
    for need in needs:
        own = [outcomes[k] for k in plan.chosen if need in outcomes[k].method.meets]
        answered = any(o.applies(need)[i] and o.possible[i] for o in own)
        best = max(own, key=lambda o: o.holds(need)[i], default=None)
        chance = 0.0
        if best is not None and best.holds(need)[i] > 0:
            chance = 1.0
            well = np.broadcast_to(best.workmanship, situation.worlds.n)
            worked[best.method.key] = float(well[i])
        if need not in likely and not answered:
            key = cheapest_remedy(working, need, i)
            if key is not None:
                minutes += outcomes[key].minutes[i]
                access = max(access, outcomes[key].access[i])
                material += outcomes[key].material[i]
                chance = outcomes[key].holds(need)[i]
            else:
                possible, chance = False, 0.0
        holds *= chance
    holds *= math.prod(worked.values())  # a method is done well or badly once
    for key in active:
        minutes += outcomes[key].minutes[i]
        access = max(access, outcomes[key].access[i])
        material += outcomes[key].material[i]
    minutes += access
    again, instead = redo(working, i)
    if not possible:
        return prices.aborted_minutes.mean * prices.hourly_rate.mean / 60 + instead
    worst = max(prices.looks[outcomes[key].method.looks].mean for key in plan.chosen)
    weight = float(situation.worlds.values[prices.looks_weight][i])
    whole = price(working, minutes, material)
    comeback = (1 - holds) * (again + prices.comeback_goodwill.mean)
    if holds > 0:
        places = max(round(float(situation.worlds.values["damage.count"][i])), 1)
        once = max(whole / situation.worlds.values["damage.count"][i], prices.call_out_minimum.mean)
        spared = min(bad_singly(working, plan.lead, places, i), 1 - holds)
        comeback -= spared * max(again - once, 0)
    return whole + comeback + weight * worst


def bad_singly(working: Working, lead: str, places: int, i: int) -> float:
    """Chance that some of several places turn out badly by themselves, the cause not common."""
    method, values = working.situation.outcomes[lead].method, working.situation.worlds.values
    if method.each_place.name is None or places == 1 or values["places.number"][i] == 1:
        return 0.0
    p, beta = method.reliability.mean, values["places.together"][i]
    spared = 1.0 if method.spared.name is None else values[method.spared.name][i]
    return p**beta * (1 - p ** (places * (1 - beta))) * spared


def price_alone(working: Working, key: str, i: int) -> float:
    outcome, prices = working.situation.outcomes[key], working.situation.worlds.pack.prices
    rate = prices.hourly_rate.mean / 60
    minutes = outcome.minutes[i] + outcome.access[i]
    return minutes * rate + outcome.material[i] * (1 + prices.material_markup.mean)


@pytest.mark.parametrize("name", CASES)
def test_cost_as_by_hand_in_every_world(name: str, pack: RulePack) -> None:
    working = work_out(CASES[name], pack, 256)
    needs = working.situation.needs
    seldom = [needs[need] for need in needs if need not in likely_needs(working)]
    rare = np.flatnonzero(np.any(seldom, axis=0)) if seldom else []
    for plan in working.plans:
        for i in {*range(0, working.situation.worlds.n, 17), *map(int, rare)}:
            assert plan.cost[i] == pytest.approx(cost_by_hand(working, plan, i)), (plan.chosen, i)


@pytest.mark.parametrize("name", CASES)
def test_cheapest_first(name: str, pack: RulePack) -> None:
    working = work_out(CASES[name], pack, 256)
    mean = working.situation.worlds.mean
    ranks = [(mean(p.holds) < pack.prices.declines_below, mean(p.cost)) for p in working.plans]
    assert ranks == sorted(ranks)
    advice = advise(CASES[name], pack, 256, flips=False)
    assert advice.plan == advice.plans[0] or advice.verdict == "refer"


def test_the_lead_meets_the_need_that_made_the_customer_come(pack: RulePack) -> None:
    for name, told in demos(pack).items():
        working = work_out(told, pack, 128)
        primary = working.situation.primary
        kind = told.choice("damage.kind")
        assert kind in pack.needs[primary].leads_for, name
        for plan in working.plans:
            assert primary in pack.methods[plan.lead].meets, (name, plan.methods)


def test_order_of_the_work(pack: RulePack) -> None:
    """Support before closing, colour last: by the order of the methods."""
    for told in (*CASES.values(), *demos(pack).values()):
        for plan in work_out(told, pack, 64).plans:
            orders = [pack.methods[key].order for key in plan.methods]
            assert orders == sorted(orders)


def test_holding_of_a_plan_is_that_of_all_its_needs(pack: RulePack) -> None:
    """A split over hollow foam comes back if either the seam or the padding gives."""
    working = work_out(CRUMBLED, pack, 128)
    assert set(likely_needs(working)) == {"close", "support"}
    n = working.situation.worlds.n
    for plan in working.plans:
        chance = np.ones(n)
        for need in ("close", "support"):
            holds = [working.situation.outcomes[k].holds(need) for k in plan.chosen
                     if need in working.situation.outcomes[k].method.meets]  # fmt: skip
            chance = chance * np.max(holds, axis=0)
        everywhere = plan.possible & working.situation.needs["support"]
        assert np.all(plan.holds[everywhere] <= chance[everywhere] + 1e-12)
        assert np.all(plan.holds[~plan.possible] == 0.0)


@pytest.mark.parametrize(
    ("facts", "expected"),
    [
        ({"damage__kind": "seam_open", "core__state": "springs_back"}, {"close"}),
        ({"damage__kind": "seam_open", "core__state": "hollow"}, {"close", "support"}),
        ({"damage__kind": "core_collapsed"}, {"support"}),
        ({"damage__kind": "worn_surface", "damage__depth": "finish"}, {"colour"}),
        ({"damage__kind": "worn_surface", "damage__depth": "fine_cracks"}, {"surface", "colour"}),
        ({"damage__kind": "carrier_crack"}, {"carrier"}),
        ({"damage__kind": "broken_fixing"}, {"fixing"}),
    ],
)
def test_needs(facts: dict[str, str], expected: set[str], pack: RulePack) -> None:
    """Common practice, no source."""
    known = {"part__kind": "armrest", "vehicle__kind": "car", "core__material": "foam_soft",
             "carrier__state": "sound"}  # fmt: skip
    told: Case = case(**{**known, **facts})
    needs, came_for = find_needs(SampledWorlds(told, pack, 256))
    assert set(needs) == expected
    assert all(facts["damage__kind"] in pack.needs[need].leads_for for need in came_for)


SCRATCH = case(part__kind="door_panel", vehicle__kind="car", damage__kind="scratch",
               skin__material="vinyl_backed", gate__airbag="none")  # fmt: skip


def test_what_the_customer_came_for_may_be_open(pack: RulePack) -> None:
    """A nail that catches in a scratch wants filler, else colour does: each world is of one."""
    worlds = SampledWorlds(SCRATCH, pack, 1024)
    _, came_for = find_needs(worlds)
    assert set(came_for) == {"surface", "colour"}
    assert np.all(np.sum(list(came_for.values()), axis=0) == 1)
    assert np.array_equal(came_for["surface"], worlds.values["damage.nail_catches"] == 1)
    shares = [worlds.mean(mask) for mask in came_for.values()]
    assert shares == sorted(shares, reverse=True)


def test_what_the_customer_came_for_is_not_met_by_the_best_in_hindsight(pack: RulePack) -> None:
    """An edge came off its glue or its strip: which, is asked before a cover is drawn tight."""
    told = case(part__kind="seat_backrest", vehicle__kind="bus", damage__kind="lifted_edge",
                skin__material="cloth_woven", core__material="foam_soft",
                core__state="springs_back")  # fmt: skip
    asked = [q.fact for q in advise(told, pack, 1024, flips=False).ask if q.worth_asking]
    assert "cover.let_go" in asked


def test_the_lead_that_is_not_wanted_costs_the_time_until_that_is_found(pack: RulePack) -> None:
    """So the question which of the two it is pays, and the answer leads to each."""
    working = work_out(SCRATCH, pack, 1024)
    prices, worlds = pack.prices, working.situation.worlds
    lost = prices.aborted_minutes.mean * prices.hourly_rate.mean / 60.0
    leads = {plan.lead: plan for plan in working.plans}
    assert {"flexible_filler.surface", "recolour"} <= set(leads)
    deep = worlds.values["damage.nail_catches"] == 1
    for lead, wrong in (("flexible_filler.surface", ~deep), ("recolour", deep)):
        plan = leads[lead]
        beyond = plan.cost - plan.price - plan.comeback - plan.looks
        assert beyond[plan.possible] == pytest.approx(lost * wrong[plan.possible])
    asked = advise(SCRATCH, pack, 1024, flips=False)
    first = next(question for question in asked.ask if not question.gate)
    assert first.fact == "damage.nail_catches" and first.worth_asking
    for catches, lead in ((True, "flexible_filler.surface"), (False, "recolour")):
        told = SCRATCH.with_fact("damage.nail_catches", catches)
        after = advise(told, pack, 1024, flips=False)
        assert after.plan is not None and after.plan.lead == lead


def test_staples_are_never_planned_without_a_weld(pack: RulePack) -> None:
    """They carry a tenth of the wall: beside a weld they help, by themselves they work loose."""
    told = case(part__kind="rigid_trim", vehicle__kind="car", damage__kind="carrier_crack",
                carrier__material="abs", access__back="free",
                damage__at_load_point=True)  # fmt: skip
    working = work_out(told, pack, 256)
    assert working.plans
    assert not any("staple_reinforce" in plan.chosen for plan in working.plans)
    welds = [plan for plan in working.plans if plan.lead in ("plastic_weld", "solvent_weld")]
    assert welds and all("staple_reinforce" in plan.methods for plan in welds)
