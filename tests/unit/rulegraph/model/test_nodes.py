"""Operations of the graph: draws, tables, picks and folds over the worlds."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.model.conditions import Condition, Within
from advisor.rulegraph.model.nodes import Draw, Fold, Node, Pick, Ref, TableDraw, triangular
from advisor.rulegraph.model.pack import RulePack

OLD, VERY_OLD = Within("age", 10.0, np.inf), Within("age", 20.0, np.inf)


class Five:
    """Five worlds with an age each and the middle draw everywhere."""

    n = 5

    def __init__(self) -> None:
        self.values: dict[str, Any] = {
            "age": np.array([5.0, 10.0, 15.0, 20.0, 25.0]),
            "pull": np.array([1.0, 2.0, 3.0, 4.0, 5.0]),
            "skin": np.array([0, 1, 1, 0, 1], dtype=np.uint8),
        }

    def uniform(self, name: str) -> np.ndarray:
        return np.full(self.n, 0.5)

    def holds(self, condition: Condition) -> np.ndarray:
        return condition.test(self.values)

    def everywhere(self, condition: Condition) -> bool | None:
        held = self.holds(condition)
        return None if held.any() and not held.all() else bool(held.all())


def node(operation: Any, **more: Any) -> Node:
    parts = {"when": None, "otherwise": 0.0, "driver": None, "cause": False, **more}
    return Node("n", "N", "1", operation, source="s", status="estimate", **parts)


def test_triangular_against_its_distribution() -> None:
    """Cumulative (x - a)^2 / ((b - a)(c - a)) up to the mode c, worked by hand."""
    a, c, b = 2.0, 3.0, 7.0
    u = np.linspace(0.0, 1.0, 101)[:-1]
    x = triangular(u, a, c, b)
    rising = (x - a) ** 2 / ((b - a) * (c - a))
    back = np.where(x <= c, rising, 1 - (b - x) ** 2 / ((b - a) * (b - c)))
    assert back == pytest.approx(u, abs=1e-12)
    assert np.all(np.diff(x) > 0) and x[0] == a
    draws = triangular((np.arange(100_000) + 0.5) / 100_000, a, c, b)
    assert draws.mean() == pytest.approx((a + b + c) / 3, abs=1e-4)


@pytest.mark.parametrize(("low", "typical", "high"), [(3, 3, 3), (0, 0, 1), (0, 1, 1), (0, 0, 0)])
def test_triangular_with_no_width_or_its_mode_at_an_end(
    low: float, typical: float, high: float
) -> None:
    x = triangular(np.linspace(0, 0.999, 50), low, typical, high)
    assert np.all((x >= low) & (x <= high)) and np.all(np.diff(x) >= 0)


def test_the_first_branch_that_holds_gives_the_spread() -> None:
    young, old, ancient = (1.0, 1.0, 1.0), (2.0, 2.0, 2.0), (3.0, 3.0, 3.0)
    drawn = node(Draw(((OLD, old), (VERY_OLD, ancient)), young)).evaluate(Five())
    assert drawn.tolist() == [1, 2, 2, 2, 2]
    drawn = node(Draw(((VERY_OLD, ancient), (OLD, old)), young)).evaluate(Five())
    assert drawn.tolist() == [1, 2, 2, 3, 3]


def test_the_first_branch_that_holds_is_picked() -> None:
    pick = Pick(((VERY_OLD, Ref(None, 9.0)), (OLD, Ref("pull"))), Ref(None, 0.0))
    assert node(pick).evaluate(Five()).tolist() == [0, 2, 3, 9, 9]
    assert list(pick.names()) == ["age", "pull", "age"]


def test_a_table_gives_each_world_its_row() -> None:
    rows = (10.0, 20.0)
    found = node(TableDraw("skin", rows, rows, rows)).evaluate(Five())
    assert found.tolist() == [10, 20, 20, 10, 20]


@pytest.mark.parametrize(
    ("kind", "expected"),
    [
        ("sum", [8, 14, 20, 26, 32]),
        ("product", [10, 40, 90, 160, 250]),
        ("least", [1, 2, 2, 2, 2]),
        ("largest", [5, 10, 15, 20, 25]),
    ],
)
def test_folds(kind: str, expected: list[float]) -> None:
    fold = Fold(kind, (Ref("age"), Ref("pull"), Ref(None, 2.0)))
    assert node(fold).evaluate(Five()).tolist() == expected


def test_a_condition_on_the_node() -> None:
    found = node(Fold("sum", (Ref("pull"),)), when=OLD, otherwise=-1.0).evaluate(Five())
    assert found.tolist() == [-1, 2, 3, 4, 5]


def test_constants_fill_all_worlds() -> None:
    found = node(Fold("sum", (Ref(None, 1.0), Ref(None, 2.0)))).evaluate(Five())
    assert found.tolist() == [3.0] * 5 and found.dtype == np.float64


def test_the_first_branch_that_holds_gives_the_weights(pack: RulePack) -> None:
    """A dash pad in a boat is both in the sun by its place and by its vehicle."""
    told = Case("HB-1", facts={"part.kind": ("dash_pad",), "vehicle.kind": ("boat",)})
    worlds = SampledWorlds(told, pack, 4096)
    codes = worlds.values["place.sun"]
    prior = pack.fact_rules["place.sun"].prior
    branches = prior.branches  # type: ignore[union-attr]
    holding = [weights for condition, weights in branches if condition.test(worlds.values).all()]
    assert len(holding) == 2 and not np.allclose(holding[0], holding[1])
    assert np.bincount(codes, minlength=3) / 4096 == pytest.approx(holding[0], abs=1e-3)
