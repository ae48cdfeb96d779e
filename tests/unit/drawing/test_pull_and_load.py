"""Pull against strength and the flow of loads agree with the advice they are drawn from."""

from __future__ import annotations

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.result import Advice, Status
from advisor.drawing.load_flow import load_flow
from advisor.drawing.pull_and_strength import pull_and_strength, tempting
from advisor.facts.case_file import read_case
from advisor.paths import demo_folder
from advisor.rulegraph.load import load_pack

PACK = load_pack()
DEMOS = ("split_armrest", "armrest_crumbled_foam", "torn_deck_cushion", "lifted_dash_edge",
         "brittle_bench", "cracked_panel")  # fmt: skip


def advice_of(name: str) -> Advice:
    """The quick advice on a demo case."""
    case = read_case(demo_folder() / f"{name}.yaml", PACK.facts)
    return advise_quick(case, PACK, rough=True).advice


@pytest.mark.parametrize("name", DEMOS)
def test_arrow_and_rest_together_reach_the_usage(name: str) -> None:
    """Pull and other pulls over strength is the usage, unless the pull alone exceeds it."""
    seen = 0
    for method in advice_of(name).methods:
        pair = pull_and_strength(method)
        if pair is None:
            continue
        seen += 1
        assert method.usage is not None
        assert pair.usage == method.usage.typical
        strength, pull = pair.strength.value.typical, pair.pull.value.typical
        assert strength >= 0 and pull >= 0
        assert pair.pull.unit == pair.strength.unit
        assert pull + pair.others >= pair.usage * strength * (1 - 1e-9)
        assert pair.weakness == method.limiting_title
    assert seen


def test_what_a_hurried_hand_would_do_fails_and_is_another_method() -> None:
    advice = advice_of("split_armrest")
    assert advice.plan is not None
    found = tempting(advice.methods, advice.plan)
    assert found is not None
    method, pair = found
    assert method.method == "adhesive_bond"
    assert method.status is Status.FAILS
    assert pair.usage > 1.0
    before = read_case(demo_folder() / "split_armrest.yaml", PACK.facts).earlier_repairs
    assert before is not None and before[0].method == method.method


@pytest.mark.parametrize("name", DEMOS)
def test_the_bands_are_the_loads_of_the_advice(name: str) -> None:
    advice = advice_of(name)
    assert advice.plan is not None
    lead = next(m for m in advice.methods if m.method == advice.plan.lead)
    flow = load_flow(advice, lead)
    if lead.usage is None:
        assert flow is None
        return
    assert flow is not None
    told = {load.value.typical for load in advice.loads}
    assert {pull.value for pull in flow.pulls} <= told
    for pull in flow.pulls:
        assert [c.value for c in pull.causes] == sorted((c.value for c in pull.causes),
                                                        reverse=True)  # fmt: skip
    assert flow.usage == lead.usage.typical
