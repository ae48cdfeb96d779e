"""What is told of a plan is told of the simulated cases in which it can be carried out."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.plans import Plan
from advisor.advice.choosing.working import Working, work_out
from advisor.advice.explaining.plan_and_method_views import plan_shown
from advisor.advice.result import PlanAdvice
from advisor.facts.case import Case
from advisor.job.sheet import job_sheet
from advisor.rulegraph.model.pack import RulePack
from tests.field.gates import with_other_gates_cleared
from tests.unit.advice.given_cases import case, demos

WORLDS = 1024
#: Damages of one part that nobody could tell apart at the kerb.
ALTERNATIVES = [
    ("door_panel", ("hole", "broken_fixing")),
    ("door_panel", ("carrier_crack", "carrier_rotten")),
    ("door_panel", ("tear", "carrier_crack")),
    ("armrest", ("lifted_edge", "carrier_crack")),
    ("headlining", ("fallen_lining", "carrier_crack")),
    ("seat_cushion", ("tear", "core_collapsed")),
    ("console_lid", ("sticky_coating", "carrier_crack", "lifted_edge")),
]


def told(part: str, damages: tuple[str, ...], pack: RulePack) -> Case:
    known = case(part__kind=part, vehicle__kind="car", damage__kind=damages)
    return with_other_gates_cleared(known, pack)


def steps_due(plan: Plan, working: Working) -> Iterator[tuple[str, float]]:
    """Each step of a plan, with the share of the worlds it is for in which it applies.

    Closed up is once, by the last method that does: what an earlier one would do is not due.
    """
    worlds = working.situation.worlds
    closes = ""
    for key in reversed(plan.methods):
        here = plan.possible & plan.active[key]
        if not worlds.mean(here):
            here = here | True
        for step in worlds.pack.methods[key].steps:
            applies = here if step.when is None else here & worlds.holds(step.when)
            share = worlds.mean(applies) / worlds.mean(here)
            if step.at == "closing" and closes not in ("", key):
                continue
            if step.at == "closing" and share > 0.5:
                closes = key
            yield step.text, share


@pytest.mark.parametrize(("part", "damages"), ALTERNATIVES)
def test_steps_follow_the_cases_in_which_the_plan_is_possible(
    pack: RulePack, part: str, damages: tuple[str, ...]
) -> None:
    working = work_out(told(part, damages, pack), pack, WORLDS)
    for plan in working.plans:
        shown = {step.text for step in plan_shown(plan, working).steps}
        due = [(text, share) for text, share in steps_due(plan, working)]
        # A figure within rounding of a half may go either way.
        assert {text for text, share in due if share > 0.5 + 1e-6} <= shown
        assert shown <= {text for text, share in due if share > 0.5 - 1e-6}


def shown_of(working: Working, methods: tuple[str, ...]) -> PlanAdvice:
    plan = next(plan for plan in working.plans if plan.methods == methods)
    return plan_shown(plan, working)


def test_a_plan_possible_in_fewer_than_half_has_the_steps_it_consists_of(pack: RulePack) -> None:
    """A strip laminated behind rotten board is possible on fibre board alone: then it is rotten."""
    known = told("console_lid", ("carrier_crack", "carrier_rotten"), pack)
    working = work_out(known.with_fact("access.back", ("free",)), pack, WORLDS)
    worlds = working.situation.worlds
    keys = pack.facts["carrier.material"].keys
    rotten = worlds.values["damage.kind"] == pack.facts["damage.kind"].keys.index("carrier_rotten")
    board = worlds.values["carrier.material"] == keys.index("fibreboard")
    for plan in working.plans:
        if plan.methods != ("backing_patch.strip",):
            continue
        possible = plan.possible
        assert worlds.mean(possible & rotten & ~board) == 0.0
        said = " ".join(step.text for step in plan_shown(plan, working).steps)
        cracked = worlds.mean(possible & ~rotten) > 0.5 * worlds.mean(possible)
        assert ("stop hole" in said) == cracked
        assert said
        return
    pytest.fail("the strip is no plan here any more: choose another example")


def test_each_alternative_has_its_steps_in_a_plan_for_both(pack: RulePack) -> None:
    """Glue for a fixing that broke, beside a patch for a hole: steps for a break, not a lining."""
    working = work_out(told("door_panel", ("hole", "broken_fixing"), pack), pack, WORLDS)
    plan = shown_of(working, ("backing_patch", "adhesive_bond"))
    glue = [step.text for step in plan.steps if step.method == "adhesive_bond"]
    assert any("off the break" in text for text in glue)
    assert not any("layer that failed" in text for text in glue)
    assert any(step.method == "backing_patch" for step in plan.steps)


def test_price_and_minutes_are_of_the_same_cases(pack: RulePack) -> None:
    """What a plan would cost where it cannot be done is no part of its price."""
    working = work_out(told("door_panel", ("hole", "broken_fixing"), pack), pack, WORLDS)
    plan = next(p for p in working.plans if 0.2 < working.situation.worlds.mean(p.possible) < 0.95)
    shown = plan_shown(plan, working)
    assert shown.price is not None
    inside = plan.price[plan.possible]
    assert 0.8 * inside.min() <= shown.price.low <= shown.price.high <= 1.6 * inside.max()


def test_the_sheet_has_the_steps_of_the_plan(pack: RulePack) -> None:
    cases = [*demos(pack).values(), *(told(*pair, pack) for pair in ALTERNATIVES)]
    compared = 0
    for known in cases:
        advice = advise(known, pack, 2 * WORLDS, flips=False)
        sheet = job_sheet(known, pack, advice)
        if advice.plan is None or sheet.withheld:
            continue
        compared += 1
        assert [step.text for step in sheet.steps] == [step.text for step in advice.plan.steps]
    assert compared >= 10
