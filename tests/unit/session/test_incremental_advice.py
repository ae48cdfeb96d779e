"""The full advice in slices: the same advice, and no slice long enough to hold a window up."""

from __future__ import annotations

import time
from dataclasses import replace

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Flip
from advisor.facts.case import Value
from advisor.rulegraph.model.pack import RulePack
from advisor.session.incremental_advice import full_in_slices, in_slices
from tests.unit.advice.given_cases import DEMOS, demo

FLIP = Flip("core.state", "State of the foam", "springs back", "Crumbles", "x",
            "If the foam crumbles, a new cover leads", ("crumbles",))


def test_slices_try_one_answer_at_a_time_and_find_the_same() -> None:
    tried: list[tuple[str, Value]] = []

    def lead(fact: str, value: Value) -> str:
        tried.append((fact, value))
        return f"{fact} {value}"

    def search(leader):
        assert leader("a", True) == leader("a", True)
        second = leader("b", ("x",)) if leader("a", False) else None
        return [replace(FLIP, to=str(second))]

    counts = []
    found: list[Flip] = []
    for part in in_slices(search, lead):
        counts.append(len(tried))
        found += part
    assert tried == [("a", True), ("a", False), ("b", ("x",))]
    assert counts == [1, 2, 3, 3]
    assert [flip.to for flip in found] == ["b ('x',)"]


@pytest.mark.parametrize("name", [path.stem for path in sorted(DEMOS.glob("*.yaml"))])
def test_the_sliced_advice_is_the_whole_advice(pack: RulePack, name: str) -> None:
    case = demo(name, pack)
    steps = list(full_in_slices(case, pack, advise(case, pack, flips=False, rough=True)))
    assert steps[-1] == advise(case, pack)


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split"])
def test_no_slice_holds_the_window_up(pack: RulePack, name: str) -> None:
    case = demo(name, pack)
    quick = advise(case, pack, flips=False, rough=True)
    for _ in full_in_slices(case, pack, quick):
        pass
    slices = full_in_slices(case, pack, quick)
    longest, begun = 0.0, time.perf_counter()
    for _ in slices:
        longest = max(longest, time.perf_counter() - begun)
        begun = time.perf_counter()
    # 50 ms on the machine it was measured on; room for a slow or busy one.
    assert longest < 0.15


