"""What a question is worth: exact where it can be worked out, nothing where nothing hangs on it."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.advice.advise import advise
from advisor.advice.asking.ranking import rank_questions
from advisor.advice.asking.value_of_information import (
    THIN,
    Declining,
    conditional_costs,
    groups_of,
    open_facts,
    worth_of_knowing,
)
from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.choosing.plans import turning_away
from advisor.advice.choosing.working import work_out
from advisor.facts.case import Case, Span
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demo, demos, split_seam

N = 20_000
EVEN = np.full(N, 1.0 / N)


def two_actions(share: float, gain: float, loss: float) -> tuple[np.ndarray, np.ndarray]:
    """Acting gains in a share of the worlds and loses in the rest; not acting costs nothing."""
    good = np.zeros(N, dtype=np.intp)
    good[: round(share * N)] = 1
    np.random.default_rng(7).shuffle(good)
    costs = np.stack([np.zeros(N), np.where(good == 1, -gain, loss)], axis=1)
    mean = costs.mean(axis=0)
    return good, costs if mean[0] <= mean[1] else costs[:, ::-1]


@pytest.mark.parametrize(
    ("share", "gain", "loss"), [(0.3, 10.0, 10.0), (0.5, 4.0, 9.0), (0.8, 10.0, 3.0), (0.1, 1, 50)]
)
def test_two_actions_exactly(share: float, gain: float, loss: float) -> None:
    """Worked by hand: the better action before against the better action in each state."""
    good, costs = two_actions(share, gain, loss)
    before = min(0.0, (1 - share) * loss - share * gain)
    exact = before + share * gain
    value, error, shares, best = worth_of_knowing(good, 2, costs, EVEN)
    assert value == pytest.approx(exact, abs=4 * error + 1e-9)
    assert shares == pytest.approx([1 - share, share])
    assert best[0] != best[1]


def test_an_imperfect_sign_by_bayes() -> None:
    """Worked by hand: a sign that is right in 80 of 100 worlds, even chances, stakes of 10.

    Without it either action costs 0 on the mean. With it one acts on "good": of the half
    that say so, 0.8 gain 10 and 0.2 lose 10, 6 each, 3 over all.
    """
    good, costs = two_actions(0.5, 10.0, 10.0)
    wrong = np.zeros(N, dtype=bool)
    for state in (0, 1):
        rows = np.flatnonzero(good == state)
        wrong[rows[: len(rows) // 5]] = True
    said = np.where(wrong, 1 - good, good)
    value, error, _, _ = worth_of_knowing(said, 2, costs, EVEN)
    assert value == pytest.approx(3.0, abs=4 * error)


def test_weights_count_like_so_many_worlds() -> None:
    groups = np.repeat([0, 1], N // 2)
    costs = np.random.default_rng(8).normal(size=(N, 3))
    weights = np.where(groups == 0, 3.0, 1.0) / (2 * N)
    shares, means = conditional_costs(groups, 2, costs, weights)
    assert shares == pytest.approx([0.75, 0.25])
    for k in (0, 1):
        assert means[k] == pytest.approx(costs[groups == k].mean(axis=0))


def test_the_value_is_never_negative_nor_above_the_whole_stake() -> None:
    rng = np.random.default_rng(9)
    costs = rng.normal(size=(N, 4)) + np.array([0.0, 0.1, 0.2, 0.3])
    stake = float(costs[:, 0].mean() - costs.min(axis=1).mean())
    for count in (2, 5, 40):
        groups = rng.integers(0, count, N)
        assert 0.0 <= worth_of_knowing(groups, count, costs, EVEN)[0] <= stake


def test_a_fact_without_influence_is_worth_exactly_nothing() -> None:
    """Plan 0 is the best in every world: no answer changes anything."""
    costs = np.random.default_rng(10).random((N, 3)) + np.array([0.0, 1.0, 2.0])
    groups = np.arange(N) % 7
    assert worth_of_knowing(groups, 7, costs, EVEN)[0] == 0.0


def one_of_two(costs: list[list[float]], holds: list[list[float]]) -> tuple[float, list[int]]:
    """Value of knowing which of two equally likely answers is true; rows are plans."""
    groups = np.arange(N) // 2 % 2
    by_world = np.array(costs).T[groups]
    declining = Declining(list(np.array(holds)[:, groups]), 0.5)
    value, _, _, best = worth_of_knowing(groups, 2, by_world, EVEN, declining)
    return value, list(best)


def test_the_plan_that_leads_is_not_always_the_cheapest() -> None:
    """Worked by hand: a weld at 100 after a blow, at 460 after use (most come back), a new part at
    300. The weld costs 280 on the mean and holds in 0.475, so the part leads. With the answer
    the weld is made after a blow: half of 300 - 100 is saved, and not 280 - 200."""
    value, best = one_of_two([[300, 300], [100, 460]], [[1.0, 1.0], [0.9, 0.05]])
    assert value == pytest.approx(100.0)
    assert best == [1, 0]


def test_a_dearer_plan_that_the_rule_demands_saves_nothing_and_is_no_loss() -> None:
    """Worked by hand: a patch at 100 or, where it holds in 0.2, at 350; a new cover at 400. With
    the second answer the cover is chosen, 50 dearer; the first changes nothing."""
    value, best = one_of_two([[100, 350], [400, 400]], [[0.9, 0.2], [1.0, 1.0]])
    assert value == pytest.approx(0.0, abs=1e-9)
    assert best == [0, 1]


def test_where_every_plan_would_be_declined_the_cheapest_stands() -> None:
    value, best = one_of_two([[200, 200], [100, 400]], [[0.3, 0.3], [0.4, 0.4]])
    assert value == pytest.approx(50.0)
    assert best == [1, 0]


def or_away(
    costs: list[list[float]], holds: list[list[float]], away: list[float], today: int
) -> tuple[float, list[int]]:
    """As ``one_of_two``, where the job may be turned away at a cost by answer, or was for 170."""
    groups = np.arange(N) // 2 % 2
    rule = Declining(
        list(np.array(holds)[:, groups]), 0.5, lambda: np.array(away)[groups], 170.0, today
    )
    value, _, _, best = worth_of_knowing(groups, 2, np.array(costs).T[groups], EVEN, rule)
    return value, list(best)


def test_an_answer_may_save_a_job_that_is_turned_away_today() -> None:
    """Worked by hand: a new part holds in 0.9 if there is one and in 0 if not; 0.45 on the mean,
    so today the job is turned away. With the answer it is made in the first half."""
    value, best = or_away([[100, 240]], [[0.9, 0.0]], [270, 70], 1)
    assert value == pytest.approx(0.5 * 170.0)
    assert best == [0, 1]


def test_an_answer_may_spare_a_job_that_nothing_would_have_come_of() -> None:
    """Worked by hand: today the part leads; turned away where there is none, 170 are spared."""
    value, best = or_away([[100, 240]], [[1.0, 0.2]], [270, 70], 0)
    assert value == pytest.approx(0.5 * (240 - 70))
    assert best == [0, 1]


def test_turning_away_where_the_rule_demands_it_is_no_saving_if_it_is_dearer() -> None:
    value, best = or_away([[100, 240]], [[1.0, 0.4]], [270, 300], 0)
    assert value == pytest.approx(0.0, abs=1e-9)
    assert best == [0, 1]


def test_a_job_is_turned_away_only_where_more_worlds_would_not_make_it_hold() -> None:
    """0.495 of 500 in each half is within two standard errors of the limit."""
    value, best = or_away([[100, 240]], [[1.0, 0.495]], [270, 70], 0)
    assert value == 0.0 and best == [0, 0]


def test_what_turning_a_job_away_costs_and_spares(pack: RulePack) -> None:
    working = work_out(split_seam(), pack, 256)
    prices, worlds = pack.prices, working.situation.worlds
    sent = prices.aborted_minutes.mean * prices.hourly_rate.mean / 60 + (
        prices.comeback_goodwill.mean
    )
    for plan in working.plans:
        away = turning_away(plan, worlds)
        for i in range(0, worlds.n, 7):
            if plan.holds[i] > 0:
                expected = plan.cost[i] + sent
            elif plan.possible[i]:
                expected = plan.cost[i] - plan.comeback[i] - plan.looks[i]
            else:
                expected = plan.cost[i] - sent
            assert away[i] == pytest.approx(expected)


def test_a_handful_of_worlds_changes_no_mind() -> None:
    groups = np.zeros(N, dtype=np.intp)
    groups[: int(THIN) - 1] = 1
    costs = np.stack([np.where(groups == 1, 100.0, 0.0), np.where(groups == 1, 0.0, 1.0)], axis=1)
    value, _, _, best = worth_of_knowing(groups, 2, costs, EVEN)
    assert value == 0.0 and list(best) == [0, 0]
    groups[: 2 * int(THIN) + 2] = 1  # enough in each half
    costs = np.stack([np.where(groups == 1, 100.0, 0.0), np.where(groups == 1, 0.0, 1.0)], axis=1)
    value, _, _, best = worth_of_knowing(groups, 2, costs, EVEN)
    assert value > 0.0 and list(best) == [0, 1]


def test_groups_are_the_answers(pack: RulePack) -> None:
    worlds = work_out(demo("unknown_split", pack), pack, 512).situation.worlds
    for name in ("skin.feel", "load.leaned_on", "core.thickness"):
        groups, told = groups_of(pack.facts[name], worlds)
        assert groups.min() >= 0 and groups.max() < len(told)
        if name == "skin.feel":
            words = [answer.words for answer in told]
            assert words == [option.title for option in pack.facts[name].options]
        if name == "core.thickness":
            counts = np.bincount(groups, weights=worlds.weights)
            assert counts == pytest.approx(np.full(8, 1 / 8), abs=0.01)


def test_only_open_facts_are_asked(pack: RulePack) -> None:
    told = split_seam(skin__feel="stiff", skin__thickness=1.0, core__material=("none", "foam_soft"))
    worlds = work_out(told, pack, 64).situation.worlds
    names = {decl.name for decl in open_facts(told, worlds)}
    assert not names & {"skin.feel", "skin.thickness", "gate.airbag", "damage.depth"}
    assert {"core.material", "damage.hole_state"} <= names
    told_of = Case(told.name, facts=told.facts, earlier_repairs=())
    assert "earlier.adhesive_bond" in names
    assert "earlier.adhesive_bond" not in {d.name for d in open_facts(told_of, worlds)}


def test_questions_are_ranked_by_value_less_the_time_they_take(pack: RulePack) -> None:
    rate = pack.prices.hourly_rate.mean / 60
    overhead = pack.prices.question_overhead.mean
    for told in demos(pack).values():
        advice = advise(told, pack, 1024, flips=False)
        plain = [q for q in advice.ask if not q.gate]
        worth, others = ([q for q in plain if q.worth_asking is so] for so in (True, False))
        assert plain == [*worth, *others]
        rank = [
            (pack.facts[q.fact].spoils, bool(pack.facts[q.fact].tool), rate * q.minutes - q.value)
            for q in worth
        ]
        assert rank == sorted(rank)
        net = [q.value - rate * q.minutes for q in others]
        assert net == sorted(net, reverse=True)
        for question in plain:
            assert question.value > 0 and question.error >= 0
            assert question.worth_asking == (question.value > rate * (question.minutes + overhead))


def test_no_plans_leave_only_the_gates(pack: RulePack) -> None:
    told = case(part__kind="headlining", vehicle__kind="car", damage__kind="carrier_rotten",
                skin__material="lining_foam")  # fmt: skip
    working = work_out(told, pack, 64)
    gates = judge_gates(told, pack)
    found = rank_questions(told, working.situation.worlds, [], gates)
    assert [q.fact for q in found] == [f"gate.{g.gate}" for g in gates]


def test_an_answer_takes_its_question_away(pack: RulePack) -> None:
    """Asked and answered until nothing is worth asking: it ends, and in a plan."""
    told = demo("unknown_split", pack)
    asked: list[str] = []
    for _ in range(30):
        advice = advise(told, pack, 512, flips=False)
        wanted = [q for q in advice.ask if q.worth_asking or q.gate]
        if not wanted:
            break
        name = wanted[0].fact
        assert name not in asked
        asked.append(name)
        decl = pack.facts[name]
        value: object = False
        if decl.gate and decl.options:
            value = ("none",)
        elif decl.options:
            value = (decl.keys[0],)
        elif decl.kind == "quantity":
            worlds = work_out(told, pack, 512).situation.worlds
            middle = float(worlds.quantiles(worlds.values[name])[1])
            value = Span(middle, middle)
        told = told.with_fact(name, value)  # type: ignore[arg-type]
    assert advice.verdict == "plan", (advice.verdict, asked)
    gates = [name for name in asked if name.startswith("gate.")]
    assert len(gates) >= 5 and gates == asked[: len(gates)]
