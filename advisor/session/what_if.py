"""Another answer tried out beside the one that stands. Knows no Qt and changes no case."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Advice, Flip
from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import with_words
from advisor.session.case_session import Session


@dataclass(frozen=True)
class Trial:
    """One fact answered otherwise. The session's case stays as it is."""

    fact: FactDecl
    before: Advice
    value: Value | None = None
    after: Advice | None = None
    """Advice with the tried answer; None while none is picked."""
    case: Case | None = None
    """The case with the tried answer, where that is not what stands."""


def begin(session: Session, fact: FactDecl, value: Value | None = None) -> Trial:
    """A trial on the session's case, with ``value`` picked where one is given."""
    trial = Trial(fact, session.advice)
    return trial if value is None else tried(session, trial, value)


def tried(session: Session, trial: Trial, value: Value | None) -> Trial:
    """``trial`` with another answer picked; None for leaving the fact open."""
    name = trial.fact.name
    case: Case = session.case.without(name)
    if value is not None:
        case = session.case.with_fact(name, value)
    same = value == session.case.facts.get(name)
    after = session.advice if same else session.advised_on(case).advice
    return Trial(trial.fact, session.advice, value, after, None if same else case)


def flip_value(flip: Flip, session: Session) -> Value | None:
    """The answer a flip was tried with, a quantity in the words of the units in use."""
    value = flip.value
    if isinstance(value, Span):
        return with_words(value, session.pack.facts[flip.fact].dimension, session.system)
    return value
