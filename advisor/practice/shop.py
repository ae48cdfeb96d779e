"""The shop's own cases as cases to practise on, with everything taken out that names somebody."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from advisor.facts.case import DAMAGE, PART, VEHICLE, Case
from advisor.facts.declaration import Kind
from advisor.practice.cases import CaseSource, PracticeCase
from advisor.practice.demo import as_practice
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.sentences import lowered


def shop_cases(cases: Iterable[Case], pack: RulePack) -> tuple[PracticeCase, ...]:
    """Those of the shop's cases that can be practised on, without whose they were.

    Left out are cases of other rules' parts, and those whose hazards nobody answered.
    """
    found: list[PracticeCase] = []
    for case in cases:
        found += as_practice(without_customer(case, pack), pack, CaseSource.CASEBOOK)
    return tuple(found)


def without_customer(case: Case, pack: RulePack) -> Case:
    """A case without its number, title, note, photos and free text; only answers stay.

    The new name follows from the old one, so that the same case keeps its simulated cases, and
    the old one cannot be read from it.
    """
    facts = {
        name: value for name, value in case.facts.items()
        if name in pack.facts and pack.facts[name].kind is not Kind.TEXT
    }  # fmt: skip
    digest = hashlib.sha256(f"practice {case.name}".encode()).hexdigest()[:8]
    repairs = case.earlier_repairs and tuple(
        type(one)(one.method) for one in case.earlier_repairs
    )
    return Case(f"S-{digest}", title_of(case, pack), facts, repairs)


def title_of(case: Case, pack: RulePack) -> str:
    """Part, vehicle and damage in words."""
    told = [
        pack.facts[fact].option(key).title
        for fact in (PART, VEHICLE, DAMAGE) if (key := case.choice(fact))
    ]  # fmt: skip
    return "; ".join([*told[:1], *map(lowered, told[1:])])
