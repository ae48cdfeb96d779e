"""What a question is worth, and what a measurement tells, against closed forms and textbooks."""

from __future__ import annotations

from statistics import NormalDist

import numpy as np
import pytest

from advisor.advice.asking.value_of_information import (
    knowing,
    worth_of_knowing,
)
from advisor.advice.choosing.working import work_out
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.advice.what_if.sensitivity import Spread
from advisor.facts.case import Case, Span
from advisor.rulegraph.load import load_pack

N = 40_000
EVEN = np.full(N, 1.0 / N)


def normal(rng: np.random.Generator, mean: float, sd: float) -> np.ndarray:
    """Normal draws."""
    return rng.normal(mean, sd, N)


def binned(x: np.ndarray, count: int = 40) -> np.ndarray:
    """Equally likely bins of a number."""
    edges = np.quantile(x, np.arange(1, count) / count)
    return np.searchsorted(edges, x, side="right")


@pytest.mark.parametrize(("mean", "sd"), [(0.5, 1.0), (1.0, 1.0), (-0.3, 2.0), (3.0, 1.0)])
def test_two_actions_with_linear_loss_and_a_normal_prior(mean: float, sd: float) -> None:
    """Raiffa and Schlaifer, Applied Statistical Decision Theory, 1961, section 5.4 (from memory).

    One action costs nothing, the other costs x, x normal: perfect information is worth
    sd * (phi(z) - z (1 - Phi(z))) with z = |mean| / sd, the unit normal loss integral.
    """
    rng = np.random.default_rng(1)
    x = normal(rng, mean, sd)
    costs = np.stack([np.zeros(N), x], axis=1)
    if costs[:, 1].mean() < 0:
        costs = costs[:, ::-1]
    z = abs(mean) / sd
    unit = NormalDist()
    exact = sd * (unit.pdf(z) - z * (1 - unit.cdf(z)))
    value, error, _, _ = worth_of_knowing(binned(x), 40, costs, EVEN)
    assert value == pytest.approx(exact, abs=4 * error + 0.01 * sd)


def test_knowing_one_of_two_parts_of_the_loss() -> None:
    """The same closed form for partial information: only the part that is learned counts.

    The second action costs x + y, x and y independent normals; knowing x alone is worth
    the unit normal loss of x about the mean of the sum (worked by hand).
    """
    rng = np.random.default_rng(2)
    x, y = normal(rng, 0.4, 1.0), normal(rng, 0.2, 3.0)
    costs = np.stack([np.zeros(N), x + y], axis=1)
    unit = NormalDist()
    exact = unit.pdf(0.6) - 0.6 * (1 - unit.cdf(0.6))
    value, error, _, _ = worth_of_knowing(binned(x), 40, costs, EVEN)
    assert value == pytest.approx(exact, abs=4 * error + 0.01)


def test_a_decision_tree_worked_by_hand() -> None:
    """Drill or not (a textbook tree, figures our own, worked by hand).

    Three states with chances 0.5, 0.3, 0.2 and costs of acting of 70, -50, -200: acting
    costs 35 - 15 - 40 = -20 on the mean, not acting 0. Knowing the state, one acts in the
    last two: -15 - 40 = -55. Perfect information is worth 35.
    """
    groups = np.repeat([0, 1, 2], [N // 2, 3 * N // 10, N // 5])
    rng = np.random.default_rng(3)
    rng.shuffle(groups)
    acting = np.array([70.0, -50.0, -200.0])[groups]
    costs = np.stack([acting, np.zeros(N)], axis=1)
    value, error, shares, best = worth_of_knowing(groups, 3, costs, EVEN)
    assert value == pytest.approx(35.0, abs=4 * error)
    assert shares == pytest.approx([0.5, 0.3, 0.2])
    assert list(best) == [1, 0, 0]


def test_a_fact_without_influence_is_worth_nothing() -> None:
    """Luck in the sample must not look like knowledge (worked by hand: exactly 0)."""
    rng = np.random.default_rng(4)
    costs = np.stack([np.zeros(N), normal(rng, 0.02, 5.0)], axis=1)
    groups = rng.integers(0, 8, N)
    value, error, _, _ = worth_of_knowing(groups, 8, costs, EVEN)
    assert value <= 3 * error


def test_first_order_indices_of_the_ishigami_function() -> None:
    """Ishigami and Homma 1990 (values from memory): S1 0.3139, S2 0.4424, S3 0 (a = 7, b = 0.1)."""
    rng = np.random.default_rng(5)
    x = rng.uniform(-np.pi, np.pi, (3, N))
    y = np.sin(x[0]) + 7 * np.sin(x[1]) ** 2 + 0.1 * x[2] ** 4 * np.sin(x[0])
    found = [Spread(y, EVEN).first_order_index(binned(xi, 32), 32) for xi in x]
    assert found == pytest.approx([0.3139, 0.4424, 0.0], abs=0.015)


def test_first_order_indices_against_another_program() -> None:
    """The Sobol estimator of SALib on its own design, Ishigami function."""
    from SALib.analyze import sobol
    from SALib.sample import sobol as design

    problem = {"num_vars": 3, "names": ["a", "b", "c"], "bounds": [[-np.pi, np.pi]] * 3}
    points = design.sample(problem, 4096, calc_second_order=False, seed=6)

    def ishigami(p: np.ndarray) -> np.ndarray:
        return np.sin(p[:, 0]) + 7 * np.sin(p[:, 1]) ** 2 + 0.1 * p[:, 2] ** 4 * np.sin(p[:, 0])

    theirs = sobol.analyze(problem, ishigami(points), calc_second_order=False, seed=6)["S1"]
    rng = np.random.default_rng(6)
    ours_points = rng.uniform(-np.pi, np.pi, (N, 3))
    y = ishigami(ours_points)
    ours = [Spread(y, EVEN).first_order_index(binned(ours_points[:, i], 32), 32) for i in range(3)]
    assert ours == pytest.approx(list(theirs), abs=0.03)


PACK = load_pack()
ARMREST = Case(
    "calibration",
    facts={
        "part.kind": ("armrest",),
        "vehicle.kind": ("car",),
        "skin.material": ("vinyl_backed",),
        "damage.kind": ("seam_open",),
        "damage.failed": ("thread",),
    },
)


@pytest.mark.parametrize(
    ("reading", "about"),
    [
        ("damage.closing_pull", "demand.skin_sustained"),
        ("damage.closing_pull", "skin.shrinkage"),
        ("damage.gap", "skin.shrinkage"),
        ("damage.hole_pull", "skin.hole_strength"),
        ("skin.hardness", "skin.shore"),
        ("thread.pull", "thread.old_strength"),
    ],
)
def test_measurements_are_weighed_rightly(reading: str, about: str) -> None:
    """Simulation-based calibration, Talts et al. 2018 (method from memory).

    Draw a world, read what would be measured in it, weigh other worlds by that reading:
    the rank of the truth among them is uniform. 150 draws at fixed seeds; the largest
    distance from uniform (Kolmogorov) may exceed 1.63 / sqrt(150) with chance 1 %.
    """
    draws = 150
    truth = SampledWorlds(ARMREST, PACK, 2048, seed=11)
    readings, values = truth.values[reading], truth.values[about]
    ranks = []
    for i in range(draws):
        told = ARMREST.with_fact(reading, Span(float(readings[i]), float(readings[i])))
        worlds = SampledWorlds(told, PACK, 1024, seed=1000 + i)
        if worlds.misfits:
            continue
        below = worlds.values[about] < values[i]
        same = worlds.values[about] == values[i]
        ranks.append(worlds.mean(below) + 0.5 * worlds.mean(same))
    assert len(ranks) > 0.97 * draws
    ordered = np.sort(ranks)
    grid = np.arange(1, len(ranks) + 1) / len(ranks)
    distance = max(np.max(np.abs(grid - ordered)), np.max(np.abs(grid - 1 / len(ranks) - ordered)))
    assert distance < 1.63 / np.sqrt(len(ranks)) + 0.5 / np.sqrt(1024)


@pytest.mark.parametrize("fact", ["damage.hole_state", "skin.feel", "core.state", "access.back"])
def test_question_values_against_nested_simulation(fact: str) -> None:
    """Nested Monte Carlo on the shipped rules: one fresh run for every answer.

    The saving is the mean over the answers of the best plan's cost, each from a run of
    its own in which the answer is given, against deciding now.
    """
    working = work_out(ARMREST, PACK, 16_384)
    worlds, plans = working.situation.worlds, working.plans
    decl = PACK.facts[fact]
    found = knowing(decl, worlds, np.stack([plan.cost for plan in plans], axis=1))
    now = worlds.mean(plans[0].cost)
    told = 0.0
    for k in range(len(found.answers)):
        share = worlds.mean(found.groups == k)
        if share > 0:
            inner = work_out(ARMREST.with_fact(fact, found.answer(decl, k, worlds)), PACK, 8192)
            told += share * inner.situation.worlds.mean(inner.plans[0].cost)
    assert found.value == pytest.approx(now - told, abs=4 * found.error + 0.03 * now)
