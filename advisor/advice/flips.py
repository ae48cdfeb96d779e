"""What would change the choice: the nearest change of one fact that makes another plan lead."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from advisor.facts.case import Case, Span, Value
from advisor.facts.declare import FactDecl, Kind
from advisor.rulegraph.pack import RulePack, method_word

from .plans import Plan
from .questions import groups_of, open_facts, perfect_information
from .result import Flip
from .worlds import SampledWorlds

#: Lead of the best plan for a changed case, or None where there is no plan.
Leader = Callable[[Case], str | None]


def open_flips(case: Case, worlds: SampledWorlds, plans: Sequence[Plan]) -> list[Flip]:
    """Answers to open facts under which another method would lead."""
    costs = np.stack([plan.cost for plan in plans], axis=1)
    found = []
    for decl in open_facts(case, worlds):
        groups, words = groups_of(decl, worlds)
        _, shares, best = perfect_information(groups, len(words), costs, worlds.weights)
        for k in np.argsort(-shares):
            other = plans[int(best[k])].lead
            if method_word(other) != method_word(plans[0].lead) and shares[k] > 0:
                found.append(_flip(decl, "not known", words[k], other, worlds.pack))
                break
    return found


def given_flips(
    case: Case, worlds: SampledWorlds, lead: str, leader: Leader
) -> list[Flip]:
    """Other answers to given facts under which another method would lead, each tried out.

    A fact that took no part in the working cannot change it and is not tried.
    """
    pack = worlds.pack
    found = []
    for decl in pack.asked(case):
        value = case.facts.get(decl.name)
        if value is None or decl.gate or decl.identity or decl.name not in worlds.values:
            continue
        for changed, words in alternatives(decl, value):
            other = leader(case.with_fact(decl.name, changed))
            if other is not None and method_word(other) != method_word(lead):
                found.append(_flip(decl, in_words(decl, value), words, other, pack))
                break
    return found


def alternatives(decl: FactDecl, value: Value) -> list[tuple[Value, str]]:
    """Other answers, nearest first."""
    if isinstance(value, bool):
        return [(not value, "no" if value else "yes")]
    if decl.kind is Kind.CHOICE and isinstance(value, tuple):
        here = decl.keys.index(value[0])
        order = sorted(range(len(decl.keys)), key=lambda i: (abs(i - here), i))
        keys = [decl.keys[i] for i in order if decl.keys[i] not in value]
        return [((key,), decl.option(key).title) for key in keys]
    if isinstance(value, Span) and decl.kind is Kind.QUANTITY and value.middle > 0:
        found: list[tuple[Value, str]] = []
        for factor in (1.5, 1 / 1.5, 2.0, 0.5, 4.0, 0.25):
            changed = min(max(value.middle * factor, decl.low), decl.high)
            if changed != value.middle:
                found.append((Span(changed, changed), f"{changed:.3g} {decl.unit}"))
        return found
    return []


def in_words(decl: FactDecl, value: Value) -> str:
    """An answer in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Span):
        if value.written:
            return value.written
        low, high = f"{value.low:.4g}", f"{value.high:.4g}"
        number = low if value.exact else f"{low} to {high}"
        return number if decl.unit == "1" else f"{number} {decl.unit}"
    if isinstance(value, tuple):
        return " or ".join(decl.option(key).title for key in value)
    return value


def _flip(decl: FactDecl, was: str, to: str, then: str, pack: RulePack) -> Flip:
    title = pack.methods[then].title
    text = f"If {decl.title.lower()} were: {to.lower()}, then {title.lower()} would lead."
    return Flip(decl.name, decl.title, was, to, then, text)
