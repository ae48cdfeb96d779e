"""What a question promises is what happens when it is answered so: over field and demo cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.advice.advise import advise_quick
from advisor.advice.asking.value_of_information import at_stake, knowing
from advisor.advice.choosing.plans import HOPELESS
from advisor.advice.result import Advice, Question, Verdict
from advisor.facts.case import Case, Value
from advisor.facts.case_file import read_case
from advisor.facts.declaration import Kind
from advisor.rulegraph.load import load_pack
from tests.field.table import read_cases

PACK = load_pack()
DEMOS = Path(__file__).parents[2] / "demo_cases"
CASES = {
    **read_cases(PACK),
    **{
        path.stem: read_case(path, PACK.facts, methods=PACK.methods)
        for path in sorted(DEMOS.glob("*.yaml"))
    },
}


def shown(advice: Advice) -> list[Question]:
    """The questions a person sees, but for hazards, which promise nothing."""
    return [question for question in advice.ask if question.worth_asking and not question.gate]


def each_way(told: Case, question: Question) -> Iterator[Value]:
    """Every answer to a question, of a quantity the middle of each bin."""
    working = advise_quick(told, PACK).working
    assert working is not None
    worlds = working.situation.worlds
    decl = PACK.facts[PACK.facts[question.fact].reads or question.fact]
    if decl.kind is Kind.YES_NO:
        yield from (False, True)
    elif decl.kind is Kind.CHOICE:
        given = told.facts.get(decl.name)
        yield from ((key,) for key in (given if isinstance(given, tuple) else decl.keys))
    else:
        known = knowing(decl, worlds, *at_stake(working.plans, worlds))
        yield from (known.answer(decl, k, worlds) for k in range(len(known.answers)))


def names_nothing_hopeless(advice: Advice) -> bool:
    """No plan that holds in under a tenth is named, best or not."""
    named = (*advice.plans, *((advice.plan,) if advice.plan is not None else ()))
    return all(plan.hold_probability >= HOPELESS for plan in named)


@pytest.mark.parametrize("name", CASES)
def test_a_promise_is_kept_and_nothing_hopeless_is_named(name: str) -> None:
    told = CASES[name]
    advice = advise_quick(told, PACK).advice
    assert names_nothing_hopeless(advice)
    for question in shown(advice):
        assert question.why, question.fact
        fact = PACK.facts[question.fact].reads or question.fact
        if question.promise is not None:
            after = advise_quick(told.with_fact(fact, question.promise.value), PACK).advice
            if question.promise.lead:
                assert after.plan is not None, question.why
                assert after.plan.lead == question.promise.lead, question.why
                assert after.plan.methods == question.promise.methods, question.why
            else:
                assert "nothing here holds well enough" in question.why
                held = [plan.hold_probability * plan.possible_probability for plan in after.plans]
                assert max(held, default=0.0) < PACK.prices.declines_below, question.why
        for value in each_way(told, question):
            after = advise_quick(told.with_fact(fact, value), PACK).advice
            assert names_nothing_hopeless(after), (question.fact, value)
            # Where answers no longer go together that is the finding, and no figure is told.
            assert not (after.findings and after.plan and after.verdict is Verdict.PLAN)


def test_promises_are_made_at_all() -> None:
    made = [
        question
        for told in CASES.values()
        for question in shown(advise_quick(told, PACK).advice)
        if question.promise is not None
    ]
    assert len(made) >= 10
    assert any(question.why.startswith("Decides between") for question in made)


@pytest.mark.parametrize("name", CASES)
def test_a_promise_says_the_plan_it_promises(name: str) -> None:
    advice = advise_quick(CASES[name], PACK).advice
    for question in shown(advice):
        words = question.why
        if question.promise is None:
            assert "If " not in words and "Decides" not in words, words
        else:
            assert "If " in words, words
