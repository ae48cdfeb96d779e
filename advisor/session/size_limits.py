"""Answers that the part since named makes impossible. Knows no Qt."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.facts.answer import highest
from advisor.facts.case import PART, Case, Span
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System


def fitting(case: Case, facts: Mapping[str, FactDecl]) -> tuple[Case, dict[str, Span]]:
    """The case without what is too large for its part, and what was taken out.

    A case file is refused with such an answer in it: 2 m is no length of a damage on an armrest.
    """
    kinds = case.facts.get(PART)
    taken: dict[str, Span] = {}
    for name, value in case.facts.items():
        decl = facts.get(name)
        if decl is None or not decl.high_by or not isinstance(value, Span):
            continue
        high = highest(decl, kinds if isinstance(kinds, tuple) else ())
        # The room that the reader of case files leaves for the last digit.
        if value.high > high * (1.0 + 1e-9):
            taken[name] = value
    for name in taken:
        case = case.without(name)
    return case, taken


def taken_back(outgrown: Mapping[str, Span], fact: FactDecl | None, system: System) -> str:
    """What became of an answer given for another part, in words; empty where nothing did."""
    value = outgrown.get(fact.name) if fact is not None else None
    if fact is None or value is None:
        return ""
    from advisor.session.answer_text import answer_text

    shown = answer_text(fact, value, system)
    return f"{shown} was taken back: it is not possible on the part that is named now."
