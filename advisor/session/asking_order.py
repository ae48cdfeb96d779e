"""What the window asks next, and how much there is still to ask. Knows no Qt.

Vehicle, part and damage first; then the hazards of that place; then always the question that
comes first in the advice; last what the quote hangs on. A tool the shop does not own is not
asked for.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.session.advice_service import Pack
from advisor.session.screens import (
    HAZARD_PAGE,
    METHOD_PAGE,
    Entry,
    Tab,
    answered,
    open_gates,
)

if TYPE_CHECKING:
    from advisor.advice.result import Advice, Question


ABOUT = "About"


@dataclass(frozen=True)
class Asking:
    """What of a session the order of the questions depends on."""

    pack: Pack
    order: tuple[Entry, ...]
    case: Case
    left: Collection[str]
    """Left open as not known: not asked again."""
    tools: Collection[str] = ()
    """Tools that the shop owns."""


def tools_asked_for(pack: Pack) -> tuple[str, ...]:
    """Every tool that some question takes, in the order of the questions."""
    return tuple(dict.fromkeys(fact.tool for fact in pack.facts.values() if fact.tool))


def can_look(fact: FactDecl | None, tools: Collection[str]) -> bool:
    """Whether the shop has what a question takes."""
    return fact is None or not fact.tool or fact.tool in tools


def identity_left(asking: Asking) -> list[Entry]:
    """What must be known before anything can be calculated, and is not yet."""
    return [
        entry for entry in asking.order
        if entry.tab in (Tab.PART, Tab.DAMAGE) and entry.fact is not None
        and not answered(entry, asking.case) and entry.key not in asking.left
    ]  # fmt: skip


def worth_asking(asking: Asking, advice: Advice) -> tuple[Question, ...]:
    """Questions that are no hazard and are worth asking, the one to ask first in front."""
    facts = asking.pack.facts
    known = {entry.key for entry in asking.order}
    return tuple(
        question for question in advice.ask
        if question.worth_asking and not question.gate and question.fact in known
        and question.fact not in asking.left and can_look(facts.get(question.fact), asking.tools)
    )


def quote_left(asking: Asking) -> list[FactDecl]:
    """What the quote hangs on and nobody was asked: how long, how many, how it is reached."""
    asked = {entry.key: entry.fact for entry in asking.order}
    found = [asked.get(name) for name in asking.pack.roles.quote_hangs_on]
    return [
        fact for fact in found
        if fact is not None and fact.name not in asking.case.facts
    ]  # fmt: skip


def told_in_words(asking: Asking, advice: Advice) -> list[FactDecl]:
    """What is asked of a part or damage that is none of those known."""
    if advice.not_covered is None:
        return []
    told = asking.case
    for name in advice.not_covered.facts:
        told = told.without(name)
    usual = {fact.name for fact in asking.pack.asked(told)}
    return [
        fact for fact in asking.pack.asked(asking.case)
        if fact.name not in usual and not fact.gate and fact.name not in asking.case.facts
        and fact.name not in asking.left and fact.kind in (Kind.TEXT, Kind.CHOICE)
    ]  # fmt: skip


def still_to_ask(asking: Asking, advice: Advice) -> list[FactDecl]:
    """Every question that *Next* still leads to, hazards apart, the next one in front.

    Nothing where a hazard stops the job.
    """
    if advice.verdict == "refer":
        return []
    first = [entry.fact for entry in identity_left(asking) if entry.fact is not None]
    worth = [asking.pack.facts[question.fact] for question in worth_asking(asking, advice)]
    quote = [fact for fact in quote_left(asking) if fact.name not in asking.left]
    if advice.not_covered is not None or first or advice.verdict == "decline":
        quote = []  # there is none
    found = [*first, *told_in_words(asking, advice), *worth, *quote]
    return list({fact.name: fact for fact in found}.values())


def likely_asked(asking: Asking, advice: Advice) -> list[FactDecl]:
    """Of what is still to ask, as much as is likely to be asked before the choice is settled.

    Each answer leaves less to decide, so that most questions that are worth asking now never
    come up. The most valuable are counted until they are worth what knowing everything would
    be, which is all that asking can save. While a hazard is open that is not known, and
    only part and damage are counted.
    """
    ahead = still_to_ask(asking, advice)
    if advice.open_hazards:
        first = {entry.key for entry in identity_left(asking)}
        return [fact for fact in ahead if fact.name in first]
    to_save, saved, beyond = advice.deciding_now or 0.0, 0.0, set()
    for number, question in enumerate(worth_asking(asking, advice)):
        if number and saved >= to_save:  # the first is asked in any case
            beyond.add(question.fact)
        saved += question.value
    beyond -= {fact.name for fact in quote_left(asking)}
    return [fact for fact in ahead if fact.name not in beyond]


def next_screen(asking: Asking, advice: Advice, hazards_passed: bool = False) -> str:
    """The screen that *Next* leads to; ``hazards_passed`` where the open ones were seen."""
    if advice.verdict == "refer":
        return METHOD_PAGE
    first = identity_left(asking)
    waiting = open_gates(asking.order, asking.case)
    if not first and waiting and not hazards_passed:
        return HAZARD_PAGE if len(waiting) > 1 else waiting[0]
    ahead = still_to_ask(asking, advice)
    return ahead[0].name if ahead else METHOD_PAGE


def progress_text(ahead: Sequence[FactDecl]) -> str:
    """``About 4 more, 2 minutes``; empty where nothing is left to ask."""
    if not ahead:
        return ""
    minutes = max(1, round(sum(fact.minutes for fact in ahead)))
    return f"{ABOUT} {len(ahead)} more, {minutes} minute{'s' if minutes > 1 else ''}"


def firm(asking: Asking, advice: Advice) -> bool:
    """Whether the choice may be called firm: nothing open that it or its price hangs on."""
    return (
        advice.verdict == "plan" and advice.plan is not None and not advice.open_hazards
        and not quote_left(asking) and not worth_asking(asking, advice)
    )  # fmt: skip
