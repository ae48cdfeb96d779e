"""Few questions, well chosen: against none, against as many others, and against all of them."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack
from tests.field.interview import RUNS, Customer, Way, evaluate, mean
from tests.field.table import read_cases

pytestmark = pytest.mark.slow

PAGE = (Path(__file__).parents[2] / "docs" / "how-it-decides.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack()


@pytest.fixture(scope="module")
def ways(pack: RulePack) -> dict[str, Way]:
    return evaluate(pack, RUNS)


def with_minutes(way: Way, pack: RulePack) -> float:
    return mean(way.losses) + pack.prices.hourly_rate.mean / 60.0 * mean(way.minutes)


def test_the_questions_pay(ways: dict[str, Way], pack: RulePack) -> None:
    """Minutes included, they beat asking nothing, as many others, and everything."""
    program = with_minutes(ways["program"], pack)
    for other in ("none", "form", "all"):
        assert program < 0.5 * with_minutes(ways[other], pack), other


def test_few_are_enough(ways: dict[str, Way]) -> None:
    """A tenth of the questions, nine methods in ten the same, a twelfth of what is at stake."""
    program, everything, nothing = ways["program"], ways["all"], ways["none"]
    assert sum(program.questions) < 0.1 * sum(everything.questions)
    # A share of so few customers is known to its standard error only.
    n = len(program.same)
    assert sum(program.same) >= 0.9 * n - (0.9 * 0.1 * n) ** 0.5
    assert mean(program.losses) < mean(nothing.losses) / 8
    assert mean(everything.losses) == 0.0
    assert len(program.losses) > 0.9 * RUNS


def test_the_page_has_the_figures(ways: dict[str, Way], pack: RulePack) -> None:
    """What docs/how-it-decides.md tells is about what comes out: any new rule moves it a little."""
    _, _, table = PAGE.partition("\n| asked | questions |")
    for way, line in zip(ways.values(), table.splitlines()[2:], strict=False):
        title, questions, minutes, loses, both, same = (c.strip() for c in line.split("|")[1:-1])
        assert title == way.title
        for said, found in (
            (questions, mean([float(q) for q in way.questions])),
            (minutes, mean(way.minutes)),
            (loses, mean(way.losses)),
            (both, with_minutes(way, pack)),
        ):
            assert float(said) == pytest.approx(found, rel=0.3, abs=2.0), title
        share = 100 * mean([float(s) for s in way.same])
        assert int(same.split()[0]) == pytest.approx(share, abs=6), title


def test_what_is_hidden_stays_the_same_and_is_possible(pack: RulePack) -> None:
    """Asked twice a customer says the same, and only what the form takes."""
    for number, told in enumerate(read_cases(pack).values()):
        first, again = (Customer(told, pack, seed=number) for _ in range(2))
        for decl in first.open_facts(first.told):
            answer = first.answer(decl.name)
            assert answer == again.answer(decl.name)
            if isinstance(answer, tuple):
                assert answer[0] in decl.keys
