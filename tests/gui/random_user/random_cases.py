"""Cases as far as somebody may have come, from the rules that ship."""

from __future__ import annotations

import random

from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.pack import RulePack


def random_case(pack: RulePack, rng: random.Random) -> Case:
    """A case as far as somebody may have come, with answers as they come."""
    case, share = Case(f"HB-{rng.randint(1, 9999)}"), rng.choice([0.2, 0.6, 0.95])
    for _ in range(3):
        for fact in pack.asked(case):
            must = not fact.may_stay_open or rng.random() < share
            if must and fact.name not in case.facts:
                case = case.with_fact(fact.name, _value(fact, rng, case))
    return case


def _value(fact: FactDecl, rng: random.Random, case: Case) -> Value:
    if fact.kind is Kind.CHOICE:
        return tuple(rng.sample(fact.keys, 1 if rng.random() < 0.9 else min(2, len(fact.keys))))
    if fact.kind is Kind.YES_NO:
        return rng.random() < 0.3
    if fact.kind is Kind.TEXT:
        return "told on the quay"
    kinds = case.facts.get("part.kind", ())
    most = min([fact.high, *(fact.high_by.get(str(kind), fact.high) for kind in kinds)])
    value = rng.uniform(fact.low, fact.low + rng.choice([0.05, 0.3, 1.0]) * (most - fact.low))
    value = float(round(value)) if fact.whole else value
    return Span(value, value)
