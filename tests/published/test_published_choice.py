"""Choices between methods on which the trade agrees. Common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice, MethodAdvice, Status, Verdict
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.rulegraph.model.pack import RulePack

DEMOS = Path(__file__).parents[2] / "demo_cases"


@pytest.fixture(scope="module")
def armrest(pack: RulePack) -> Case:
    return read_case(DEMOS / "split_armrest.yaml", pack.facts, methods=pack.methods)


@pytest.fixture(scope="module")
def advice(armrest: Case, pack: RulePack) -> Advice:
    return advise(armrest, pack, flips=False)


def method(advice: Advice, key: str) -> MethodAdvice:
    return next(m for m in advice.methods if m.method == key)


def test_glue_does_not_hold_on_a_split_armrest(advice: Advice) -> None:
    """Common practice, no source: a glued armrest seam opens again within weeks."""
    glue = method(advice, "adhesive_bond")
    assert glue.status is Status.FAILS and glue.hold_probability < 0.1
    assert glue.usage is not None and glue.usage.typical > 1.0
    assert glue.because[0].path[-1] == "usage.adhesive_bond.peel"


def test_hand_stitching_leads_on_a_split_armrest(advice: Advice) -> None:
    """Common practice, no source: with whole holes and broken thread it is sewn again."""
    assert advice.verdict is Verdict.PLAN and advice.plan is not None
    assert advice.plan.lead == "hand_stitch"
    assert method(advice, "hand_stitch").status is Status.HOLDS


def test_torn_out_holes_are_not_sewn_again(armrest: Case, pack: RulePack) -> None:
    """Common practice, no source: thread needs something to hold on to."""
    torn = armrest.with_fact("damage.hole_state", ("torn_out",))
    torn = torn.with_fact("damage.failed", ("skin",))
    found = advise(torn, pack, 1024, flips=False)
    assert method(found, "hand_stitch").status is Status.NOT_POSSIBLE
    assert found.plan is None or found.plan.lead != "hand_stitch"


def test_brittle_skin_is_not_patched_but_renewed(armrest: Case, pack: RulePack) -> None:
    """Common practice, no source: a skin that cracks when bent is at its end."""
    brittle = armrest.with_fact("skin.feel", ("brittle",))
    found = advise(brittle, pack, 1024, flips=False)
    assert found.plan is not None and found.plan.lead in ("recover_panel", "replace_part")


def test_a_skin_that_shrank_more_makes_glue_fail_more(armrest: Case, pack: RulePack) -> None:
    """Common practice, no source: the tighter the skin, the sooner glue lets go."""
    usages = []
    for age, feel in ((2.0, "supple"), (25.0, "stiff")):
        told = armrest.with_fact("vehicle.age", Span(age, age)).with_fact("skin.feel", (feel,))
        usage = method(advise(told, pack, 1024, flips=False), "adhesive_bond").usage
        assert usage is not None
        usages.append(usage.typical)
    assert usages[0] < usages[1]


def test_every_other_hole_carries_less_and_takes_less_time(advice: Advice) -> None:
    """Common practice, no source: half the stitches sewn in about half the sewing time."""
    full, half = (method(advice, f"hand_stitch{v}") for v in ("", ".every_other_hole"))
    assert full.usage is not None and half.usage is not None
    assert half.usage.typical > full.usage.typical
    assert half.hold_probability <= full.hold_probability
    assert half.minutes.typical < full.minutes.typical
