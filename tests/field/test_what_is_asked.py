"""What is asked, over the field and demo cases, told whole and told at the door only."""

from __future__ import annotations

from dataclasses import replace

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.asking.value_of_information import at_stake, knowing
from advisor.advice.result import Verdict
from advisor.facts.case import Case
from tests.field.gates import with_other_gates_cleared
from tests.field.interview import TOLD_AT_THE_DOOR
from tests.field.test_promises import CASES, PACK

WORLDS = 1024


def at_the_door(case: Case) -> Case:
    """The case with part, vehicle and damage told, and no hazard."""
    told = {name: case.facts[name] for name in TOLD_AT_THE_DOOR if name in case.facts}
    return with_other_gates_cleared(replace(case, facts=told), PACK)


@pytest.mark.parametrize("name", CASES)
def test_nothing_is_asked_that_cannot_matter_and_what_is_seen_and_felt_comes_first(
    name: str,
) -> None:
    for told in (CASES[name], at_the_door(CASES[name])):
        advised = advise_quick(told, PACK, WORLDS)
        asked = [q for q in advised.advice.ask if q.worth_asking and not q.gate]
        if advised.advice.verdict is Verdict.REFER:
            assert not advised.advice.ask
            continue
        if advised.working is None or advised.working.situation.worlds.misfits:
            continue
        here = {decl.name for decl in PACK.asked(PACK.as_read(told))}
        late = [(PACK.facts[q.fact].spoils, bool(PACK.facts[q.fact].tool)) for q in asked]
        assert late == sorted(late), [q.fact for q in asked]
        assert not late or not any(late[0]), f"leads with {asked[0].fact}"
        worlds = advised.working.situation.worlds
        costs, declining = at_stake(advised.working.plans, worlds)
        for question in asked:
            assert question.fact in here
            decl = PACK.facts[PACK.facts[question.fact].reads or question.fact]
            if question.value > 0.0 and not question.together:
                best = knowing(decl, worlds, costs, declining).best
                assert any(best != declining.today), question.fact


def test_the_cheapest_look_goes_before_the_test_that_tells_more() -> None:
    """A seam that opened: pulling a hole until it tears tells most, and is asked for last."""
    told = at_the_door(CASES["FC-04"])
    asked = [q for q in advise_quick(told, PACK, WORLDS).advice.ask if not q.gate]
    by_value = sorted((q for q in asked if q.worth_asking), key=lambda q: -q.value)
    assert PACK.facts[by_value[0].fact].spoils
    assert not PACK.facts[asked[0].fact].spoils and asked[0].worth_asking
