"""Is the advisor as sure as it should be? Simulation on the shipped rules, fixed seeds."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from advisor.advice.asking.value_of_information import knowing, open_facts
from advisor.advice.choosing.methods import MethodOutcome
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.advice.what_if.sensitivity import Spread, drivers_of
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.facts.declaration import Kind
from advisor.paths import demo_folder
from advisor.rulegraph.load import load_pack

pytestmark = pytest.mark.slow

PACK = load_pack()
FIELD = Path(__file__).parents[1] / "field"


def case_of(name: str) -> Case:
    """A demo or field case by the name of its file."""
    folder = FIELD if name.startswith("fc-") else demo_folder()
    return read_case(folder / f"{name}.yaml", PACK.facts, methods=tuple(PACK.methods))


def costs_of(working: Working) -> np.ndarray:
    """Cost of every plan in every world, cheapest first."""
    mean = working.situation.worlds.mean
    plans = sorted(working.plans, key=lambda plan: mean(plan.cost))
    return np.stack([plan.cost for plan in plans], axis=1)


def cheapest(working: Working) -> float:
    """Mean cost of the plan that costs least, whether or not it would be declined."""
    return float((costs_of(working)[:, 0] * working.situation.worlds.weights).sum())


TEN = (
    "fc-02", "fc-03", "fc-05", "fc-06", "fc-13", "fc-21", "fc-28", "fc-34", "fc-35",
    "unknown_split",
)  # fmt: skip


@pytest.mark.parametrize("name", TEN)
def test_question_values_against_nested_simulation(name: str) -> None:
    """Nested Monte Carlo (Heath, Manolopoulou and Baio, Med. Decis. Making 2017, from memory).

    For the most valuable open choice of the case: the best plan's cost with each answer
    given, from a fresh run for every answer, against deciding now.
    """
    case = case_of(name)
    working = work_out(case, PACK, 16_384)
    worlds = working.situation.worlds
    best = None
    for decl in open_facts(case, worlds):
        if decl.kind is Kind.QUANTITY:
            continue
        found = knowing(decl, worlds, costs_of(working))
        if best is None or found.value > best[1].value:
            best = (decl, found)
    assert best is not None
    decl, found = best
    now = cheapest(working)
    told = 0.0
    for k in range(len(found.answers)):
        share = worlds.mean(found.groups == k)
        if share > 0:
            answer = found.answer(decl, k, worlds)
            inner = work_out(case.with_fact(decl.name, answer), PACK, 8192)
            told += share * cheapest(inner)
    # 2 % of the cost is the noise of two runs of 8 192 worlds each.
    off = 4 * found.error + 0.02 * now
    assert found.value == pytest.approx(now - told, abs=off), decl.name


def test_hold_chances_are_right_as_often_as_they_say() -> None:
    """Coverage: told some of what is true in a world, how often does the joint hold there?

    300 worlds are drawn and some of their choices told; the hold chance then given is
    compared with whether the joint holds in the world that was told from. AnswerWords chances of
    about 0.9 must come true in about 0.9, within four standard errors of the count.
    """
    rng = np.random.default_rng(7)
    base = case_of("unknown_split")
    truth = SampledWorlds(base, PACK, 4096, seed=21)
    outcome = MethodOutcome(PACK.methods["hand_stitch"], truth)
    joint = outcome.joints[0]
    kinds = [d for d in open_facts(base, truth) if d.kind is Kind.CHOICE and d.stage != "job"]
    told_chance, came_true = [], []
    for i in range(300):
        case = base
        for decl in kinds:
            if rng.random() < 0.4:
                key = decl.keys[int(truth.values[decl.name][i])]
                case = case.with_fact(decl.name, (key,))
        worlds = SampledWorlds(case, PACK, 1024, seed=5000 + i)
        inner = MethodOutcome(PACK.methods["hand_stitch"], worlds).joints
        holds = inner[0].usage <= 1.0 if inner else np.zeros(worlds.n, dtype=bool)
        told_chance.append(worlds.mean(holds))
        came_true.append(bool(joint.usage[i] <= 1.0))
    chance, true = np.array(told_chance), np.array(came_true)
    for low, high in ((0.0, 0.5), (0.5, 0.85), (0.85, 0.97), (0.0, 1.01)):
        inside = (chance >= low) & (chance < high)
        if inside.sum() < 20:
            continue
        expected = chance[inside].mean()
        spread = np.sqrt(np.sum(chance[inside] * (1 - chance[inside]))) / inside.sum()
        assert true[inside].mean() == pytest.approx(expected, abs=4 * spread + 0.01)


class Fed(SampledWorlds):
    """Worlds whose uniforms are given for some names and in the middle for the rest."""

    def __init__(self, case: Case, columns: dict[str, np.ndarray]) -> None:
        self.columns = columns
        super().__init__(case, PACK, next(iter(columns.values())).size, seed=1)

    def uniform(self, name: str) -> np.ndarray:
        return self.columns.get(name, np.full(self.n, 0.5))


def test_drivers_of_a_real_case_against_another_program() -> None:
    """First-order indices of the split armrest, SALib's Sobol estimator on its own design."""
    from SALib.analyze import sobol
    from SALib.sample import sobol as design

    case = case_of("split_armrest")
    working = work_out(case, PACK, 4096)
    named = drivers_of(working.situation.outcomes["hand_stitch"], working.situation.worlds)
    names = [driver.name for driver in named[:5]]
    problem = {"num_vars": len(names), "names": names, "bounds": [[0.0, 1.0]] * len(names)}

    def log_usage(points: np.ndarray) -> np.ndarray:
        columns = {name: np.clip(points[:, i], 1e-6, 1 - 1e-6) for i, name in enumerate(names)}
        joint = MethodOutcome(PACK.methods["hand_stitch"], Fed(case, columns)).joints[0]
        return np.log(joint.usage)

    points = design.sample(problem, 4096, calc_second_order=False, seed=3)
    theirs = sobol.analyze(problem, log_usage(points), calc_second_order=False, seed=3)["S1"]
    own = np.random.default_rng(3).random((16_384, len(names)))
    y = log_usage(own)
    even = np.full(y.size, 1.0 / y.size)
    ours = [Spread(y, even).first_order_index((own[:, i] * 16).astype(np.intp), 16)
            for i in range(len(names))]
    assert ours == pytest.approx(list(theirs), abs=0.03)
    assert sum(ours) > 0.8
