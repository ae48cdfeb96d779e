"""Every condition of the rules against an independent rule engine.

CLIPS (through clipspy) is given the gates, needs, requirements, joints and asking
conditions of the shipped pack, and judges random fully known cases one by one; this
program judges them all at once as arrays. They must agree on every one.
"""

from __future__ import annotations

import clips
import numpy as np
import pytest

from advisor.facts.declaration import Kind
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.conditions import (
    AllOrAny,
    Condition,
    IsOneOf,
    IsYes,
    Not,
    Within,
    code_type,
)
from advisor.rulegraph.model.pack import RulePack

pytestmark = pytest.mark.slow

CASES = 5_000


def slot(name: str) -> str:
    """A fact's name as a CLIPS variable."""
    return "?" + name.replace(".", "-")


def expression(condition: Condition) -> str:
    """The condition in CLIPS."""
    if isinstance(condition, IsOneOf):
        tests = " ".join(f"(eq {slot(condition.name)} {key})" for key in sorted(condition.keys))
        return f"(not (or {tests} FALSE))" if condition.negate else f"(or {tests} FALSE)"
    if isinstance(condition, IsYes):
        return f"(eq {slot(condition.name)} {'yes' if condition.wanted else 'no'})"
    if isinstance(condition, Within):
        tests = []
        if np.isfinite(condition.low):
            tests.append(f"(>= {slot(condition.name)} {condition.low!r})")
        if np.isfinite(condition.high):
            tests.append(f"(<= {slot(condition.name)} {condition.high!r})")
        return f"(and {' '.join(tests)} TRUE)"
    if isinstance(condition, AllOrAny):
        joined = " ".join(expression(part) for part in condition.parts)
        word, rest = ("or", "FALSE") if condition.any_will_do else ("and", "TRUE")
        return f"({word} {joined} {rest})"
    assert isinstance(condition, Not), condition
    return f"(not {expression(condition.part)})"


def conditions_of(pack: RulePack) -> dict[str, Condition]:
    """All conditions that read facts only, by a name of their own."""
    found: dict[str, Condition | None] = {}
    for key, gate in pack.gates.items():
        found[f"gate-{key}-closed"] = gate.closed_when
        found[f"gate-{key}-caution"] = gate.caution_when
        found[f"gate-{key}-asked"] = gate.asked_when
    for key, need in pack.needs.items():
        found[f"need-{key}"] = need.when
    for key, method in pack.methods.items():
        for i, requirement in enumerate(method.requirements):
            found[f"possible-{key}-{i}"] = requirement.condition
        for i, joint in enumerate(method.joints):
            found[f"joint-{key}-{i}"] = joint.when
        for i, (_, when) in enumerate(method.follow_with):
            found[f"follow-{key}-{i}"] = when
        for i, charge in enumerate((*method.work, *method.materials)):
            found[f"charge-{key}-{i}"] = charge.when
        for i, step in enumerate(method.steps):
            found[f"step-{key}-{i}"] = step.when
    for name, rule in pack.fact_rules.items():
        found[f"asked-{name}"] = rule.asked_when
    return {
        name: condition
        for name, condition in found.items()
        if condition is not None and set(condition.names()) <= set(pack.facts)
    }


def random_values(pack: RulePack, n: int) -> dict[str, np.ndarray]:
    """Fully known cases: every fact answered, all answers alike likely."""
    rng = np.random.default_rng(2026)
    values = {}
    for name, decl in pack.facts.items():
        if decl.kind is Kind.CHOICE:
            values[name] = rng.integers(0, len(decl.keys), n).astype(code_type(len(decl.keys)))
        elif decl.kind is Kind.YES_NO:
            values[name] = rng.random(n) < 0.5
        elif decl.kind is Kind.QUANTITY:
            spread = np.where(rng.random(n) < 0.5, 1.0, 0.05)
            values[name] = np.round(decl.low + rng.random(n) * spread * (decl.high - decl.low), 3)
    return values


def answers(pack: RulePack, name: str, values: np.ndarray) -> list[clips.Symbol | float]:
    """The answers as CLIPS takes them."""
    decl = pack.facts[name]
    if decl.kind is Kind.CHOICE:
        keys = [clips.Symbol(key) for key in decl.keys]
        return [keys[int(value)] for value in values]
    if decl.kind is Kind.YES_NO:
        yes, no = clips.Symbol("yes"), clips.Symbol("no")
        return [yes if value else no for value in values]
    return [float(value) for value in values]


def test_every_condition_agrees_with_clips() -> None:
    pack = load_pack()
    conditions = conditions_of(pack)
    assert len(conditions) > 100
    values = random_values(pack, CASES)
    names = sorted(values)
    engine = clips.Environment()
    slots = " ".join(f"(slot {name.replace('.', '-')})" for name in names)
    engine.build(f"(deftemplate case {slots})")
    case = engine.find_template("case")
    told = {name.replace(".", "-"): answers(pack, name, values[name]) for name in names}
    holding: list[int] = []
    engine.define_function(holding.append, name="holds")
    for number, condition in enumerate(conditions.values()):
        read = sorted(set(condition.names()))
        pattern = " ".join(f"({name.replace('.', '-')} {slot(name)})" for name in read)
        engine.build(
            f"(defrule r{number} (case {pattern}) (test {expression(condition)})"
            f" => (holds {number}))"
        )
    ours = np.stack([condition.test(values) for condition in conditions.values()])
    theirs = np.zeros_like(ours)
    for i in range(CASES):
        engine.reset()
        case.assert_fact(**{fact: given[i] for fact, given in told.items()})
        holding.clear()
        engine.run()
        theirs[holding, i] = True
    differing = [name for k, name in enumerate(conditions) if (ours[k] != theirs[k]).any()]
    assert not differing, differing
    assert 0.05 < ours.mean() < 0.95
