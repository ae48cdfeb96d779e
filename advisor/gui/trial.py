"""Another answer tried out beside the one that stands. Knows no Qt and changes no case."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.advice.result import Advice, Flip
from advisor.facts.answer import check_value
from advisor.facts.case import Case, Value
from advisor.facts.declare import FactDecl, Kind
from advisor.facts.faults import AnswerError
from advisor.gui.engine import Pack
from advisor.gui.session import Session

#: How far beyond the edge of a flip a value is tried: edges are told to two digits.
BEYOND = 0.1


@dataclass(frozen=True)
class Trial:
    """One fact answered otherwise. The session's case stays as it is."""

    fact: FactDecl
    before: Advice
    value: Value | None = None
    after: Advice | None = None
    """Advice with the tried answer; None while none is picked."""


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
    after = session.advice if same else session.advise_on(case)
    return Trial(trial.fact, session.advice, value, after)


def flip_value(flip: Flip, pack: Pack) -> Value | None:
    """The answer a flip speaks of; None where its words do not name one."""
    fact = pack.facts.get(flip.fact)
    if fact is None:
        return None
    if fact.kind is Kind.YES_NO:
        return {"yes": True, "no": False}.get(flip.to.lower())
    if fact.kind is Kind.CHOICE:
        keys = [o.key for o in fact.options if o.title.lower() == flip.to.lower()]
        return (keys[0],) if keys else None
    return _amount(fact, flip.to)


def _amount(fact: FactDecl, text: str) -> Value | None:
    """A quantity in words as a value: "over 1.9 mm" as somewhat more than that."""
    side, _, rest = text.partition(" ")
    stretch = {"over": 1.0 + BEYOND, "under": 1.0 - BEYOND}.get(side)
    try:
        if stretch is None:
            return check_value(fact, text, None)
        number, _, unit = rest.partition(" ")
        value = min(max(float(number) * stretch, fact.low), fact.high)
        return check_value(fact, f"{value:.3g} {unit}".strip(), None)
    except (AnswerError, ValueError):
        return None
