"""Boundaries between methods: how clearly one leads, and the one fact that makes another lead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from advisor.advice.choosing.plans import Plan
from advisor.advice.choosing.working import Working, worked_over
from advisor.advice.sampling.quantiles import weighted_quantiles
from advisor.advice.what_if.flips import alternatives
from advisor.facts.answer import highest
from advisor.facts.case import PART, Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.practice.generating.whole_cases import rounded
from advisor.practice.topics import DECLINE
from advisor.practice.truth import lead_or_decline
from advisor.rulegraph.model.rules import method_word

#: The right choice leads by so much of its cost, and by so many standard errors.
MARGIN, ERRORS = 0.10, 3.0
#: A margin from here on is as easy as can be.
EASY = 0.60
#: Other answers of a fact that are tried.
MOST_ANSWERS = 6
HALVINGS = 4
#: How far beyond the edge the answer of the twin lies.
BEYOND = (0.15, 0.4, 0.8)


@dataclass(frozen=True)
class Judged:
    """How clearly a choice is right."""

    right: str
    margin: float
    """What the next best costs more, as a share; for `DECLINE` how far below the limit."""
    errors: float
    """The same in standard errors."""

    @property
    def clear(self) -> bool:
        """Right by a clear margin."""
        return self.margin >= MARGIN and self.errors >= ERRORS


def judged(working: Working) -> Judged | None:
    """What is right and by how much; None where answers contradict each other."""
    worlds, plans = working.situation.worlds, working.plans
    if worlds.misfits or not plans:
        return None
    right, best = lead_or_decline(working), plans[0]
    least, holds = worlds.pack.prices.declines_below, worlds.mean(best.holds)
    spread = max(float(np.sqrt(max(holds * (1.0 - holds), 1e-6) / worlds.effective)), 1e-9)
    sure = abs(holds - least) / spread
    if right == DECLINE:
        return Judged(right, (least - holds) / least, sure)
    cost = worlds.mean(best.cost)
    rival = next((p for p in plans if method_word(p.lead) != right), None)
    if rival is None:
        return Judged(right, 9.0, sure)
    ahead = rival.cost - best.cost
    mean = worlds.mean(ahead)
    error = float(np.sqrt(np.sum((worlds.weights * (ahead - mean)) ** 2)))
    margin = mean / cost
    if worlds.mean(rival.holds) < least:
        margin = max(margin, MARGIN)  # it ranks behind whatever it costs
        return Judged(right, margin, min(sure, _surely_below(rival, working)))
    return Judged(right, margin, min(sure, mean / max(error, 1e-9)))


def _surely_below(plan: Plan, working: Working) -> float:
    """By how many standard errors a plan holds too rarely to be named."""
    worlds = working.situation.worlds
    holds, least = worlds.mean(plan.holds), worlds.pack.prices.declines_below
    spread = float(np.sqrt(max(holds * (1.0 - holds), 1e-6) / worlds.effective))
    return (least - holds) / max(spread, 1e-9)


def usage_of(word: str, working: Working) -> float | None:
    """Median usage of a method's joints where it is possible; None where none is calculated."""
    worlds, found = working.situation.worlds, []
    for key, outcome in working.situation.outcomes.items():
        if method_word(key) != word or not outcome.possible.any() or not outcome.joints:
            continue
        whole = np.max([np.minimum(j.usage, 1e6) * j.applies for j in outcome.joints], axis=0)
        mask = outcome.possible
        weights = worlds.weights * mask
        middle = weighted_quantiles(whole[mask], weights[mask] / weights.sum(), (0.5,))
        found.append(float(middle[0]))
    return min(found) if found else None


def crosses(one: Working, other: Working) -> bool:
    """Whether the usage of a method that leads in one of two twins is beyond 1 in the other."""
    for leads, loses in ((one, other), (other, one)):
        word = lead_or_decline(leads)
        if word == DECLINE:
            continue
        holds, breaks = usage_of(word, leads), usage_of(word, loses)
        if holds is not None and breaks is not None and 0.0 < holds <= 1.0 < breaks:
            return True
    return False


def with_answer(working: Working, fact: str, value: Value) -> Working:
    """The working with one answer changed, in the same simulated cases."""
    return worked_over(working.situation.worlds.changed(fact, value))


def other_answers(decl: FactDecl, working: Working) -> Iterator[Value]:
    """Other answers to a given fact, nearest first; of a quantity those beyond the boundary."""
    case = working.situation.worlds.case
    here = case.facts[decl.name]
    found = [value for value, _ in alternatives(decl, here, _most(decl, case))][:MOST_ANSWERS]
    if not isinstance(here, Span):
        yield from found
        return
    lead = lead_or_decline(working)
    for far in found:
        if isinstance(far, Span) and _right_with(working, decl.name, far) != lead:
            yield from _beyond(decl, here.middle, far.middle, working, lead)
            return


def _right_with(working: Working, fact: str, value: Value) -> str:
    return lead_or_decline(with_answer(working, fact, value))


def _beyond(
    decl: FactDecl, keeps: float, flips: float, working: Working, lead: str
) -> Iterator[Value]:
    """Answers a little and further beyond where the lead changes hands."""
    start, case = keeps, working.situation.worlds.case
    for _ in range(HALVINGS):
        middle = 0.5 * (keeps + flips)
        if _right_with(working, decl.name, Span(middle, middle)) == lead:
            keeps = middle
        else:
            flips = middle
    tried: list[Value] = []
    for step in BEYOND:
        value = rounded(decl, flips * (1 + step) if flips > start else flips / (1 + step), case)
        if value not in tried:
            tried.append(value)
            yield value


def _most(decl: FactDecl, case: Case) -> float:
    kinds = case.facts.get(PART, ())
    return highest(decl, kinds if isinstance(kinds, tuple) else ())


def difficulty_of(margins: Sequence[float]) -> float:
    """0 where all margins are wide, 1 where one is next to nothing."""
    return 1.0 - min(*margins, EASY) / EASY
