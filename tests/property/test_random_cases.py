"""Whatever is told, the advice comes, is argued, and can be written down."""

from __future__ import annotations

import json
import math
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from told import PACK, STARTED, answers, cases, examples

from advisor.advice.advise import advise
from advisor.advice.result import Advice, GateState, Status, Verdict
from advisor.facts.case import Case
from advisor.facts.case_file import read_case, write_case
from advisor.report.brief import brief_text
from advisor.report.json_form import advice_json

SCHEMA = Draft202012Validator(
    json.loads(files("advisor.report").joinpath("schema/advise-1.json").read_text("utf-8"))
)


def check(advice: Advice, told: Case) -> None:
    started = all(name in told.facts for name in STARTED)
    if started:
        assert advice.reasons
    assert all(reason.text and reason.source is not None for reason in advice.reasons)
    assert all(
        reason.source is not None and reason.source.key in PACK.sources
        for method in advice.methods
        for reason in method.because
    )
    states = {gate.state for gate in advice.gates}
    assert (advice.verdict is Verdict.REFER) == (GateState.CLOSED in states)
    if GateState.OPEN in states:
        assert advice.verdict in (Verdict.ASK, Verdict.REFER)
    if advice.verdict is Verdict.ASK:
        assert advice.ask
    if advice.verdict is Verdict.PLAN:
        assert advice.plan is not None and started
        held = advice.plan.hold_probability * advice.plan.possible_probability
        assert held >= PACK.prices.declines_below - 1e-9
    for method in advice.methods:
        assert 0.0 <= method.hold_probability <= 1.0 + 1e-9
        assert method.status is not Status.NOT_NEEDED
    assert 0.0 <= advice.settled <= 1.0 + 1e-9
    assert 1.0 - 1e-9 <= advice.effective_worlds <= advice.worlds * (1 + 1e-9)


@examples(120)
@given(told=cases(started=True))
def test_any_started_case_is_advised(told: Case) -> None:
    advice = advise(told, PACK, 64, flips=False)
    check(advice, told)
    assert json.dumps(advice_json(advice), allow_nan=False)
    assert brief_text(advice)


@examples(25)
@given(told=cases(started=True))
def test_any_advice_fits_the_documented_form(told: Case) -> None:
    form = advice_json(advise(told, PACK, 64, flips=False))
    SCHEMA.validate(json.loads(json.dumps(form)))


@examples(40)
@given(told=cases(started=False))
def test_any_case_is_advised(told: Case) -> None:
    check(advise(told, PACK, 64, flips=False), told)


@examples(12)
@given(told=cases(started=True))
def test_flips_of_any_case(told: Case) -> None:
    for flip in advise(told, PACK, 64).flips:
        assert flip.then in PACK.methods and flip.text
        assert not PACK.facts[flip.fact].gate


@examples(60)
@given(told=cases(started=True), gate=st.sampled_from(sorted(PACK.gates)), data=st.data())
def test_a_closed_gate_refers_whatever_else_is_told(
    told: Case, gate: str, data: st.DataObject
) -> None:
    """Those that only stop an aircraft are told of one."""
    fact, closed = PACK.gates[gate].fact, PACK.gates[gate].closed_when
    if "vehicle.kind" in closed.names():
        told = told.with_fact("vehicle.kind", ("aircraft",))
    value = data.draw(answers(PACK.facts[fact]).filter(
        lambda v: closed.known(told.with_fact(fact, v)) is True
    ))  # fmt: skip
    advice = advise(told.with_fact(fact, value), PACK, 64, flips=False)
    assert advice.verdict is Verdict.REFER and advice.plan is None and not advice.plans


@examples(25)
@given(told=cases(started=True))
def test_a_case_written_and_read_again_is_advised_alike(
    told: Case, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Only where the file is accepted: what a case file says is what was told."""
    path = tmp_path_factory.mktemp("case") / "case.yaml"
    told = Case(told.name, facts={k: v for k, v in told.facts.items() if k != "damage.length"},
                earlier_repairs=told.earlier_repairs)  # fmt: skip
    write_case(told, PACK.facts, path)
    again = read_case(path, PACK.facts, methods=PACK.methods)
    one, two = (advise(case, PACK, 64, flips=False) for case in (told, again))
    assert (one.verdict, one.seed) == (two.verdict, two.seed)
    assert [m.method for m in one.methods] == [m.method for m in two.methods]
    for a, b in zip(one.methods, two.methods, strict=True):
        assert math.isclose(a.hold_probability, b.hold_probability, abs_tol=1e-9)
