"""The advice with its working: in steps or at once the same, and nothing sampled twice."""

from __future__ import annotations

import pickle
import time
from itertools import pairwise

import pytest

from advisor.advice import advise as module
from advisor.advice.advise import Advised, advise, advise_quick, in_full
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import DEMOS, demo


@pytest.mark.parametrize("name", [path.stem for path in sorted(DEMOS.glob("*.yaml"))])
def test_the_advice_in_steps_is_the_whole_advice(pack: RulePack, name: str) -> None:
    case = demo(name, pack)
    quick = advise_quick(case, pack)
    assert quick.advice == advise(case, pack, flips=False)
    *_, last = in_full(quick)
    assert last.advice == advise(case, pack)


def test_what_was_found_stays_from_step_to_step(pack: RulePack) -> None:
    steps = list(in_full(advise_quick(demo("split_armrest", pack), pack)))
    found = [step.advice.flips for step in steps]
    assert found[0] == () and len(found[-1]) > 2
    assert all(later[: len(one)] == one for one, later in pairwise(found))
    # The drivers come last, so that a reader sees flips early.
    assert steps[-1].advice.drivers and not steps[-2].advice.drivers


def test_the_working_is_what_the_advice_rests_on_and_is_not_sampled_again(
    pack: RulePack, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = demo("split_armrest", pack)
    quick = advise_quick(case, pack)
    assert quick.working is not None and quick.advice.plan is not None
    assert quick.working.plans[0].methods == quick.advice.plan.methods

    def drawn_again(*args: object, **more: object) -> None:
        raise AssertionError("the case was sampled again")

    monkeypatch.setattr(SampledWorlds, "__init__", drawn_again)
    monkeypatch.setattr(module, "work_out", drawn_again)
    *_, full = in_full(quick)
    assert full.advice.flips and full.working is quick.working


def test_without_part_and_damage_there_is_no_working(pack: RulePack) -> None:
    quick = advise_quick(Case("HB-1"), pack)
    assert quick.working is None
    assert [step.advice for step in in_full(quick)] == [quick.advice]


def test_an_advice_travels_without_its_working(pack: RulePack) -> None:
    """Between processes only the advice goes, and comes back equal."""
    advice = advise(demo("split_armrest", pack), pack, 256)
    packed = pickle.dumps(advice)
    assert pickle.loads(packed) == advice
    assert len(packed) < 200_000 < 8 * 256 * 100  # a hundred columns of 256 numbers


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split"])
def test_no_step_holds_the_window_up(pack: RulePack, name: str) -> None:
    def longest(quick: Advised) -> float:
        times, begun = [], time.thread_time()
        for _ in in_full(quick):
            times.append(time.thread_time() - begun)
            begun = time.thread_time()
        return max(times)

    quick = advise_quick(demo(name, pack), pack)
    longest(quick)
    # 50 ms on the machine it was measured on; room for a slow or busy one.
    assert longest(quick) < 0.15
