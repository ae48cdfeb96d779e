"""A closed gate refers, and an open one is never passed, whatever else is said.

The rules of the gates are read here once more, from the file as it stands and without the
program's own conditions, so that both would have to be wrong in the same way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import product
from typing import Any

import pytest
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.advice.advise import advise
from advisor.advice.result import Advice, GateState, Status, Verdict
from advisor.facts.case import Case, Value
from advisor.job.sheet import job_sheet
from advisor.paths import rules_folder
from advisor.report.content.terminal_page import brief_text
from tests.property.given_cases import (
    GATED,
    PACK,
    any_case,
    cases,
    examples,
    interviews,
    single_answers,
)

pytestmark = pytest.mark.slow

GATES: Mapping[str, Any] = yaml.safe_load(
    (rules_folder() / "hazards.yaml").read_text(encoding="utf-8")
)["gates"]


def said(condition: Mapping[str, Any], told: Case) -> bool | None:
    """Whether a condition of the file is true of what is told; None where that is open."""
    if "all" in condition:
        found = [said(part, told) for part in condition["all"]]
        return False if False in found else None if None in found else True
    if "any" in condition:
        found = [said(part, told) for part in condition["any"]]
        return True if True in found else None if None in found else False
    if "not" in condition:
        inner = said(condition["not"], told)
        return None if inner is None else not inner
    value = told.facts.get(condition["fact"])
    if value is None:
        return None
    wanted = condition.get("is", condition.get("is_not"))
    if isinstance(wanted, bool):
        return value == wanted
    decl = PACK.facts[condition["fact"]]
    keys = [wanted] if isinstance(wanted, str) else wanted
    meant = {kind for key in keys for kind in decl.kinds_of(key)}
    assert isinstance(value, tuple)
    inside = {key in meant for key in value}
    if len(inside) == 2:
        return None
    return inside == {"is" in condition}


def closed(told: Case) -> list[str]:
    """Gates that what is told closes."""
    return [key for key, gate in GATES.items() if said(gate["closed_when"], told)]


def ways_to_close(gate: str) -> list[dict[str, Value]]:
    """Certain answers to everything that a gate's rule reads under which it closes."""
    rule = GATES[gate]["closed_when"]
    names = sorted(facts_in(rule))
    ways = (dict(zip(names, way, strict=True)) for way in product(*map(single_answers, names)))
    return [way for way in ways if said(rule, Case("HB-1", facts=way))]


def facts_in(condition: Mapping[str, Any]) -> set[str]:
    """Facts that a condition of the file reads."""
    if "fact" in condition:
        return {condition["fact"]}
    parts = condition.get("all") or condition.get("any") or [condition["not"]]
    return set().union(*map(facts_in, parts))


def must_be_referred(advice: Advice, told: Case) -> None:
    """The verdict, its reason and every other page of the advice keep to it."""
    shut = closed(told)
    assert advice.verdict is Verdict.REFER, shut
    assert advice.plan is None and not advice.plans and not advice.ask and not advice.flips
    assert all(method.status is Status.BLOCKED for method in advice.methods)
    assert {gate.gate for gate in advice.gates if gate.state is GateState.CLOSED} >= set(shut)
    for key in shut:
        reason = next(r for r in advice.reasons if GATES[key]["refer"] in r.text)
        assert reason.source is not None and reason.source.key == GATES[key]["source"]
    assert "refer" in advice.headline.casefold() or advice.headline.startswith("Not for this")


def test_the_file_and_the_pack_know_the_same_gates() -> None:
    assert set(GATES) == set(PACK.gates)
    assert {gate["fact"] for gate in GATES.values()} == GATED
    assert all(PACK.facts[fact].gate for fact in GATED)


@pytest.mark.parametrize("gate", sorted(GATES))
@examples(10)
@given(told=any_case, data=st.data())
def test_a_closed_gate_refers_whatever_else_is_told(
    gate: str, told: Case, data: st.DataObject
) -> None:
    """Any answer that closes it, in any vehicle and part, beside any other answers."""
    told = replace(told, facts={**told.facts, **data.draw(st.sampled_from(ways_to_close(gate)))})
    assert gate in closed(told)
    advice = advise(told, PACK, 16, flips=False)
    must_be_referred(advice, told)
    assert brief_text(advice)
    assert job_sheet(told, PACK, advice).withheld


@pytest.mark.parametrize("gate", sorted(GATES))
@examples(6)
@given(told=cases(started=False), data=st.data())
def test_a_closed_gate_refers_before_anything_else_is_known(
    gate: str, told: Case, data: st.DataObject
) -> None:
    told = replace(told, facts={**told.facts, **data.draw(st.sampled_from(ways_to_close(gate)))})
    must_be_referred(advise(told, PACK, 16, flips=False), told)


@examples(60)
@given(told=any_case)
def test_referred_is_what_a_closed_gate_refers_and_nothing_else(told: Case) -> None:
    advice = advise(told, PACK, 16, flips=False)
    if closed(told):
        must_be_referred(advice, told)
    else:
        assert advice.verdict is not Verdict.REFER


@examples(50)
@given(told=interviews(safe=True), data=st.data())
def test_a_gate_left_open_is_asked_and_never_passed(told: Case, data: st.DataObject) -> None:
    """All gates are clear but one, which is open or answered with several of its answers."""
    kinds, vehicles = told.facts["part.kind"], told.facts["vehicle.kind"]
    listed = {
        key
        for key, gate in PACK.gates.items()
        if not gate.asked_for.isdisjoint(product(kinds, vehicles))
    }
    asked = [
        key for key in sorted(listed)
        if said(GATES[key].get("asked_when", {"all": []}), told) is not False
    ]  # fmt: skip
    assume(asked and not closed(told))
    gate = data.draw(st.sampled_from(asked))
    fact = GATES[gate]["fact"]
    vague = [value[0] for value in single_answers(fact) if isinstance(value, tuple)]
    if vague and data.draw(st.booleans()):
        told = told.with_fact(fact, tuple(vague))
        assume(said(GATES[gate]["closed_when"], told) is None)
    else:
        told = told.without(fact)
    advice = advise(told, PACK, 16, flips=False)
    assert advice.verdict is Verdict.ASK
    first = next(question for question in advice.ask if question.fact == fact)
    assert first.gate and first.worth_asking
    assert advice.plan is None or advice.provisional
    state = {one.gate: one.state for one in advice.gates}
    assert state[gate] is GateState.OPEN
