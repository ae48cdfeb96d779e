"""The advice as JSON: the documented, versioned form of ``advise --json``."""

from __future__ import annotations

import math
from typing import Any

from advisor.advice.result import (
    Advice,
    Figure,
    Flip,
    GateAdvice,
    Load,
    MethodAdvice,
    NotCovered,
    PlanAdvice,
    Question,
    Reason,
    Step,
    Verdict,
)
from advisor.facts.case import Span
from advisor.rulegraph.model.own_rules import OwnRules
from advisor.rulegraph.model.rules import method_word
from advisor.wording.figures import Range
from advisor.wording.money import Tax

FORMAT = 1
DIGITS = 4
UNBOUNDED = 1e6
"""Usages are cut here; from here on they mean that the joint carries nothing."""


def number(value: float, field: str) -> float | int:
    """``value`` to four significant digits; a whole number comes as an integer.

    Raises ValueError where ``value`` is not finite: JSON has no word for it.
    """
    if not math.isfinite(value):
        raise ValueError(f"{field}: {value} is not a number that JSON can carry")
    rounded = float(f"{value:.{DIGITS}g}")
    return int(rounded) if rounded.is_integer() else rounded


def _range(value: Range, field: str) -> dict[str, Any]:
    return {
        "low": number(value.low, f"{field}.low"),
        "typical": number(value.typical, f"{field}.typical"),
        "high": number(value.high, f"{field}.high"),
    }


def _usage(value: Range | None, field: str) -> dict[str, Any] | None:
    """Usage has no bound where a joint carries nothing over the years; null says so."""
    if value is None:
        return None
    ends = {"low": value.low, "typical": value.typical, "high": value.high}
    return {
        name: None if end >= UNBOUNDED else number(end, f"{field}.{name}")
        for name, end in ends.items()
    }


def _figure(figure: Figure) -> dict[str, Any]:
    return {
        "node": figure.node,
        "title": figure.title,
        **_range(figure.value, f"figure {figure.node}"),
        "unit": figure.unit,
        "origin": figure.origin.value,
        "source": figure.source.key if figure.source else "",
    }


def _reason(reason: Reason) -> dict[str, Any]:
    return {
        "text": reason.text,
        "path": list(reason.path),
        "source": reason.source.key if reason.source else "",
        "figures": [_figure(figure) for figure in reason.figures],
        "children": [_reason(child) for child in reason.children],
    }


def _step(step: Step) -> dict[str, Any]:
    return {"method": step.method, "text": step.text, "cautions": list(step.cautions)}


def _price(price: Range | None, name: str, currency: str, tax: Tax) -> dict[str, Any] | None:
    """A price as the customer pays it; None while a hazard is open."""
    if price is None:
        return None
    return {**_range(tax.on(price), name), "currency": currency, "tax": tax.word}


def _money(amount: float | None, name: str) -> float | None:
    return None if amount is None else number(amount, name)


def _plan(plan: PlanAdvice, advice: Advice) -> dict[str, Any]:
    return {
        "methods": [method_word(key) for key in plan.methods],
        "titles": list(plan.titles),
        "lead": method_word(plan.lead),
        "hold_probability": number(plan.hold_probability, "plan.hold_probability"),
        "hold_basis": plan.hold_basis.value,
        "possible_probability": number(plan.possible_probability, "plan.possible_probability"),
        "price": _price(plan.price, "plan.price", advice.currency, advice.tax),
        "minutes": plan.minutes and _range(plan.minutes, "plan.minutes"),
        "expected_cost": _money(plan.expected_cost, "plan.expected_cost"),
        "comeback_cost": _money(plan.comeback_cost, "plan.comeback_cost"),
        "looks_charge": _money(plan.looks_charge, "plan.looks_charge"),
        "provisional": advice.provisional,
        "steps": [_step(step) for step in plan.steps],
        "tools": list(plan.tools),
        "materials": list(plan.materials),
    }


def _method(method: MethodAdvice, currency: str, tax: Tax) -> dict[str, Any]:
    name = method.method
    return {
        "method": method_word(name),
        "variant": name.partition(".")[2],
        "title": method.title,
        "meets": list(method.meets),
        "status": method.status.value,
        "hold_probability": number(method.hold_probability, f"{name}.hold_probability"),
        "hold_basis": method.hold_basis.value if method.hold_basis else None,
        "adds": list(method.adds),
        "usage": _usage(method.usage, f"{name}.usage"),
        "limiting": method.limiting,
        "because": [_reason(reason) for reason in method.because],
        "minutes": method.minutes and _range(method.minutes, f"{name}.minutes"),
        "price": _price(method.price, f"{name}.price", currency, tax),
        "looks": method.looks,
    }


def _load(load: Load) -> dict[str, Any]:
    causes = {c.node: number(c.value.typical, f"{load.demand}.{c.node}") for c in load.causes}
    return {
        "demand": load.demand,
        "site": load.site,
        "duration": load.duration,
        "title": load.title,
        **_range(load.value, load.demand),
        "unit": load.unit,
        "by_cause": causes,
    }


def _question(question: Question) -> dict[str, Any]:
    return {
        "fact": question.fact,
        "value": number(question.value, f"ask {question.fact}.value"),
        "minutes": number(question.minutes, f"ask {question.fact}.minutes"),
        "gate": question.gate,
        "ask": question.ask,
        "why": question.why,
        "worth_asking": question.worth_asking,
        "together_with": question.together,
        "error": number(question.error, f"{question.fact}.error"),
    }


def _flip(flip: Flip) -> dict[str, Any]:
    return {
        "fact": flip.fact,
        "from": flip.was,
        "to": flip.to,
        "value": _flip_value(flip),
        "unit": flip.unit,
        "then": method_word(flip.then),
        "text": flip.text,
    }


def _flip_value(flip: Flip) -> str | bool | float | None:
    """A quantity as a number in the flip's unit, a choice as the option's key."""
    match flip.value:
        case Span(low=low):
            return number(low, f"flip {flip.fact}.value")
        case (key,):
            return str(key)
        case bool() | str() | None as value:
            return value
    raise TypeError(f"{flip.fact}: {flip.value!r} is not one answer")


def _gate(gate: GateAdvice) -> dict[str, Any]:
    return {
        "gate": gate.gate,
        "fact": gate.fact,
        "state": gate.state.value,
        "text": gate.text,
        "source": gate.source.key,
    }


def _not_covered(told: NotCovered | None) -> dict[str, Any] | None:
    """What is nearest and what to check; None where part and damage are covered."""
    if told is None:
        return None
    return {
        "facts": list(told.facts),
        "text": told.text,
        "parts": [{"part": one.key, "title": one.title} for one in told.parts],
        "damages": [{"damage": one.key, "title": one.title} for one in told.damages],
        "methods": [{"method": one.key, "title": one.title} for one in told.methods],
        "check": list(told.check),
    }


def own_form(own: OwnRules) -> dict[str, Any] | None:
    """What a shop's own folder does to the rules; None where there is none."""
    if not own:
        return None
    return {
        "added": list(own.added),
        "replaced": list(own.replaced),
        "left_out": list(own.hidden),
        "kept": list(own.kept),
        "switched_off": [
            {"hazard": one.hazard, "title": one.title, "reason": one.reason, "name": one.name,
             "date": one.day}
            for one in own.switched_off
        ],
    }  # fmt: skip


def advice_json(advice: Advice) -> dict[str, Any]:
    """The advice as a plain dictionary that ``json.dumps`` can write.

    ``plan`` is null where the job is referred or declined: it may not be offered; so it is where
    part or damage is not covered, which ``not_covered`` then tells of. While a
    hazard is open every price, cost and time of work is null and there are no steps.
    Its shape is ``advisor/report/json_forms/schema/advise-1.json``. Numbers stand in the unit named
    beside them, to four significant digits. Raises ValueError naming the field where
    a figure is not finite; an unbounded usage alone becomes null.
    """
    offered = advice.verdict in (Verdict.PLAN, Verdict.ASK)
    plan = advice.plan if offered else None
    return {
        "format": FORMAT,
        "case": advice.case,
        "title": advice.title,
        "rules": {
            "version": advice.rules_version,
            "digest": advice.rules_digest,
            "own": own_form(advice.own_rules),
        },
        "seed": advice.seed,
        "worlds": advice.worlds,
        "effective_worlds": number(advice.effective_worlds, "effective_worlds"),
        "verdict": advice.verdict.value,
        "headline": advice.headline,
        "reasons": [_reason(reason) for reason in advice.reasons],
        "settled": number(advice.settled, "settled"),
        "deciding_now": _money(advice.deciding_now, "deciding_now"),
        "drivers": [
            {"name": d.name, "title": d.title, "share": number(d.share, d.name)}
            for d in advice.drivers
        ],
        "needs": list(advice.needs),
        "plan": _plan(plan, advice) if plan else None,
        "plans": [
            _plan(other, advice) for other in advice.plans
        ],
        "methods": [_method(method, advice.currency, advice.tax) for method in advice.methods],
        "loads": [_load(load) for load in advice.loads],
        "gates": [_gate(gate) for gate in advice.gates],
        "ask": [_question(question) for question in advice.ask],
        "flips": [_flip(flip) for flip in advice.flips],
        "cautions": list(advice.cautions),
        "findings": list(advice.findings),
        "not_covered": _not_covered(advice.not_covered),
        "notes": list(advice.notes),
    }
