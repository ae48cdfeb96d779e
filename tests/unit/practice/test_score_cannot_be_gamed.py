"""Naive strategies lose many times what the advisor's own way loses, on a small sample.

The whole of it, over 500 drawn cases and 75 pairs with the margins that were measured there, is
``python -m tests.benchmarks.practice_cases scores``. Source of the margins: own simulation.
"""

from __future__ import annotations

import pytest

from advisor.practice.generating.generate import generate
from advisor.practice.topics import REFER
from advisor.rulegraph.model.pack import RulePack
from tests.benchmarks.practice_cases import NAIVE, Row, all_played, drawn_cases, rows

DRAWN, PAIRS, SEED = 40, 8, 2


@pytest.fixture(scope="module")
def drawn(pack: RulePack) -> dict[str, Row]:
    return rows(all_played(drawn_cases(pack, DRAWN, SEED), pack), pack)


@pytest.fixture(scope="module")
def twins(pack: RulePack) -> dict[str, Row]:
    made = [
        case for case in generate(pack, PAIRS, SEED).cases
        if case.twin and REFER not in (case.right, case.twin.right)
    ]  # fmt: skip
    return rows(all_played([c for case in made for c in (case, case.other())], pack), pack)


@pytest.mark.parametrize("name", NAIVE)
def test_no_naive_strategy_comes_near(
    name: str, drawn: dict[str, Row], twins: dict[str, Row]
) -> None:
    """By twice, as so few cases tell: one dear miss weighs much among forty."""
    own = "advisor's own way"
    assert drawn[name].loss > 2 * drawn[own].loss
    assert twins[name].loss > 2 * twins[own].loss


def test_certainty_is_not_won_by_shouting_or_by_choosing_wrong(
    drawn: dict[str, Row], twins: dict[str, Row]
) -> None:
    for found in (drawn, twins):
        honest = found["first look, honest"].first
        assert found["first look, 100 % sure"].first > honest
        assert found["wrong on purpose, 0 %"].first > honest


def test_hazards_left_out_show_in_their_count_alone(drawn: dict[str, Row]) -> None:
    own, never = drawn["advisor's own way"], drawn["hazards never asked"]
    assert never.loss == pytest.approx(own.loss)
    assert (own.missed, own.needless) == (0, 0)
    assert never.missed >= DRAWN // 7 - 1
    assert drawn["always refers"].needless > 0


def test_a_memory_of_damages_never_gets_both_twins_right(twins: dict[str, Row]) -> None:
    assert twins["commonest method"].both == 0.0
    assert twins["advisor's own way"].both > 0.5
