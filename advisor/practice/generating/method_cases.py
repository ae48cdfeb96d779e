"""Where a method may lead: parts and damages that do not rule it out, and answers that allow it."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator

from advisor.facts.case import DAMAGE, PART, Case, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import Method, method_word


def variants(word: str, pack: RulePack) -> list[Method]:
    """A method and its variants, but for those that only go beside another method."""
    return [
        method for key, method in pack.methods.items()
        if method_word(key) == word and not method.only_beside
    ]  # fmt: skip


def pairs_for(
    word: str, pairs: Iterable[tuple[str, str]], pack: RulePack
) -> list[tuple[str, str]]:
    """Those of the pairs of part and damage on which a method may lead."""
    methods = variants(word, pack)
    damages = {
        damage for method in methods for need in method.meets
        for damage in pack.needs[need].leads_for
    }  # fmt: skip
    return [
        (part, damage) for part, damage in pairs
        if damage in damages
        and any(_may_lead(method, Case("", facts={PART: (part,), DAMAGE: (damage,)}))
                for method in methods)
    ]  # fmt: skip


def _may_lead(method: Method, case: Case) -> bool:
    return all(one.condition.known(case) is not False for one in method.requirements)


def allowing(word: str, case: Case, pack: RulePack, draw: random.Random) -> Case:
    """The case with answers drawn so that a method's requirements hold, as far as one answer
    settles each; what is left open may still rule it out."""
    methods = [method for method in variants(word, pack) if _may_lead(method, case)]
    if not methods:
        return case
    for requirement in draw.choice(methods).requirements:
        if requirement.condition.known(case) is not None:
            continue
        told = [
            case.with_fact(name, answer)
            for name in dict.fromkeys(requirement.condition.names())
            if name in pack.facts and name not in case.facts
            for answer in _answers(pack.facts[name])
        ]
        told = [one for one in told if requirement.condition.known(one)]
        case = draw.choice(told) if told else case
    return case


def _answers(decl: FactDecl) -> Iterator[Value]:
    if decl.gate:
        return
    if decl.kind is Kind.YES_NO:
        yield from (False, True)
    yield from ((option.key,) for option in decl.options if not option.not_covered)
