"""Questions that are worth their minutes only together."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.asking.pairs import best_pair, moves
from advisor.advice.asking.value_of_information import (
    at_stake,
    knowing,
    open_facts,
    worth_of_knowing,
)
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.result import Advice, Verdict
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demos

N = 8192
#: A lining that has drawn off its edge, told over the telephone; open hazards are no part of this.
LINING = case(part__kind="door_panel", vehicle__kind="boat", damage__kind="shrunk_short")


def worlds_of(pack: RulePack, facts: dict[str, np.ndarray], rate: float = 0.0) -> Any:
    """Worlds with nothing but these yes/no facts, all weighing the same."""
    spread = SimpleNamespace(mean=60.0 * rate)
    prices = SimpleNamespace(hourly_rate=spread, question_overhead=SimpleNamespace(mean=1.0))
    weights = np.full(N, 1.0 / N)
    return SimpleNamespace(
        pack=SimpleNamespace(prices=prices, facts=pack.facts), values=facts, weights=weights,
        knowing={}, tick=lambda: None, mean=lambda array: float(np.sum(weights * array)),
    )  # fmt: skip


#: Two coins, all four ways in turn; the halves of the worlds see the same.
HEADS = np.arange(N) // 2 % 2 == 1
TAILS = np.arange(N) // 4 % 2 == 1
COINS = {"damage.growing": HEADS, "load.leaned_on": TAILS, "load.slammed": np.zeros(N, np.bool_)}


def coin_costs() -> np.ndarray:
    """The other plan saves 10 where both coins lie right and loses 10 where they do not."""
    return np.stack([np.zeros(N), np.where(HEADS & TAILS, -10.0, 10.0)], axis=1)


def test_two_coins_by_hand(pack: RulePack) -> None:
    """One coin changes nothing: 0.5 (-10) + 0.5 (10) = 0. Both are worth 0.25 x 10 = 2.5."""
    worlds = worlds_of(pack, COINS)
    decls = [pack.facts[name] for name in COINS]
    for decl in decls:
        assert knowing(decl, worlds, coin_costs()).value == pytest.approx(0.0, abs=1e-9)
    found = best_pair(decls, worlds, coin_costs())
    assert found is not None
    assert {found.first.name, found.second.name} == {"damage.growing", "load.leaned_on"}
    assert found.value == pytest.approx(2.5)
    assert found.other == 1
    # By hand: the difference is 10 without the coin and 0 on average with it.
    for name, by in (("damage.growing", 5.0), ("load.slammed", 0.0)):
        known = knowing(pack.facts[name], worlds, coin_costs())
        assert moves(known, worlds, coin_costs()) == pytest.approx(by)


def test_two_coins_are_not_asked_where_their_minutes_cost_more(pack: RulePack) -> None:
    """Each takes its own minutes and one for taking it up; both are worth 2.5 money."""
    decls = [pack.facts[name] for name in COINS]
    minutes = sum(pack.facts[name].minutes + 1.0 for name in ("damage.growing", "load.leaned_on"))
    cheap, dear = 2.2 / minutes, 2.6 / minutes
    assert best_pair(decls, worlds_of(pack, COINS, cheap), coin_costs()) is not None
    assert best_pair(decls, worlds_of(pack, COINS, dear), coin_costs()) is None


def costs_of(working: Working) -> np.ndarray:
    mean = working.situation.worlds.mean
    plans = sorted(working.plans, key=lambda plan: mean(plan.cost))
    return np.stack([plan.cost for plan in plans], axis=1)


def cheapest(told: Case, pack: RulePack) -> float:
    working = work_out(told, pack, N)
    return float(min(working.situation.worlds.mean(plan.cost) for plan in working.plans))


def asked(advice: Advice) -> list[str]:
    return [question.fact for question in advice.ask if question.worth_asking and not question.gate]


def test_two_answers_that_pay_only_together(pack: RulePack) -> None:
    """Neither answer alone pays for asking; both do, and each names the other."""
    advice = advise(LINING, pack, flips=False)
    assert advice.verdict is Verdict.ASK
    first, second = (q for q in advice.ask if q.worth_asking and not q.gate)
    assert first.together == second.fact
    assert second.together == first.fact
    assert first.value == second.value > 2 * first.error
    title = pack.facts[second.fact].title
    assert f"Together with “{title[:1].lower()}{title[1:]}” it decides between " in first.why
    rate = pack.prices.hourly_rate.mean / 60.0
    both = first.minutes + second.minutes + 2 * pack.prices.question_overhead.mean
    assert first.value - 2 * first.error > rate * both
    working = work_out(LINING, pack, 4096)
    for question in (first, second):
        worlds = working.situation.worlds
        known = knowing(pack.facts[question.fact], worlds, *at_stake(working.plans, worlds))
        assert known.value <= rate * (question.minutes + pack.prices.question_overhead.mean)


def test_what_a_pair_is_worth_against_a_run_for_every_two_answers(pack: RulePack) -> None:
    """Nested Monte Carlo: fresh worlds for each two answers, against deciding now."""
    advice = advise(LINING, pack, flips=False)
    names = asked(advice)
    working = work_out(LINING, pack, 16_384)
    worlds = working.situation.worlds
    first, second = (pack.facts[name] for name in names)
    one, two = (knowing(decl, worlds, costs_of(working)) for decl in (first, second))
    told = 0.0
    for i in range(len(one.answers)):
        for k in range(len(two.answers)):
            share = worlds.mean((one.groups == i) & (two.groups == k))
            if share > 0:
                known = LINING.with_fact(names[0], one.answer(first, i, worlds))
                known = known.with_fact(names[1], two.answer(second, k, worlds))
                told += share * cheapest(known, pack)
    groups = one.groups * len(two.answers) + two.groups
    count = len(one.answers) * len(two.answers)
    value, error, _, _ = worth_of_knowing(groups, count, costs_of(working), worlds.weights)
    now = float(worlds.mean(costs_of(working)[:, 0]))
    # 2 % of the cost is the noise of runs of 8 192 worlds each.
    assert value == pytest.approx(now - told, abs=4 * error + 0.02 * now)


def test_a_pair_is_named_only_where_no_single_answer_pays(pack: RulePack) -> None:
    paired = 0
    for told in (LINING, *demos(pack).values()):
        advice = advise(told, pack, flips=False)
        together = [q for q in advice.ask if q.together]
        alone = [q for q in advice.ask if q.worth_asking and not q.gate and not q.together]
        assert not (together and alone)
        assert all(q.worth_asking for q in together)
        assert len({q.fact for q in advice.ask}) == len(advice.ask)
        paired += bool(together)
    assert paired


def test_open_facts_of_the_seat_hold_the_pair(pack: RulePack) -> None:
    working = work_out(LINING, pack, 4096)
    names = {decl.name for decl in open_facts(LINING, working.situation.worlds)}
    assert set(asked(advise(LINING, pack, flips=False))) <= names
