"""What would change the choice: the nearest change of one fact that makes another plan lead."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from advisor.advice.asking.value_of_information import (
    AnswerWords,
    at_stake,
    knowing,
    open_facts,
)
from advisor.advice.choosing.methods import title_here
from advisor.advice.choosing.plans import Plan
from advisor.advice.result import NOT_KNOWN, Flip, flip_sentence
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.answer import highest
from advisor.facts.case import PART, Case, Span, Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.rulegraph.model.rules import method_word
from advisor.wording.amounts import Bounds
from advisor.wording.answers import in_words

#: Halvings of the distance to the nearest value that flips.
SEARCH_STEPS = 4

#: How far beyond the edge of a flip its answer lies: edges are given to two digits.
BEYOND = 0.1

#: Lead of the best plan with one fact answered otherwise, or None where there is no plan.
Leader = Callable[[str, Value], str | None]


def open_flips(
    case: Case, worlds: SampledWorlds, plans: Sequence[Plan], leader: Leader
) -> Iterator[Flip | None]:
    """Answers to open facts under which another method would lead, each tried out.

    Gives None after each trial that leaves the lead as it is.
    """
    lead = plans[0].lead
    costs, declining = at_stake(plans, worlds)
    for decl in open_facts(case, worlds):
        known = knowing(decl, worlds, costs, declining)
        for k in np.argsort(-known.shares):
            best = int(known.best[k])
            if best == len(plans) or known.shares[k] <= 0:
                continue
            if method_word(plans[best].lead) == method_word(lead):
                continue
            value, words = known.answer(decl, int(k), worlds), known.answers[k]
            other = leader(decl.name, value)
            if other is not None and method_word(other) != method_word(lead):
                yield _flip(decl, None, value, words, other, worlds)
                break
            yield None


def given_flips(
    case: Case, worlds: SampledWorlds, lead: str, leader: Leader
) -> Iterator[Flip | None]:
    """Other answers to given facts under which another method would lead, each tried out.

    Of a quantity the nearest value that flips is searched between the answer and the
    first changed value that does. Gives None after each trial that leaves the lead as it is.
    """
    pack = worlds.pack
    for decl in pack.asked(case):
        value = case.facts.get(decl.name)
        if value is None or decl.gate or decl.identity:
            continue
        for changed, words in alternatives(decl, value, _most(decl, case)):
            other = leader(decl.name, changed)
            if other is None or method_word(other) == method_word(lead):
                yield None
                continue
            if isinstance(value, Span) and isinstance(changed, Span):
                most = _most(decl, case)
                changed, words = _nearest(decl, (value, changed), most, lead, leader)
            yield _flip(decl, value, changed, words, other, worlds)
            break


def _most(decl: FactDecl, case: Case) -> float:
    """The highest answer that is possible on the case's part."""
    kinds = case.facts.get(PART, ())
    return highest(decl, kinds if isinstance(kinds, tuple) else ())


def _nearest(
    decl: FactDecl, ends: tuple[Span, Span], most: float, lead: str, leader: Leader
) -> tuple[Span, AnswerWords]:
    """The nearest change of a quantity: an answer clearly beyond the edge, and the edge."""
    value, changed = ends
    edge = _edge(decl, (value.middle, changed.middle), lead, leader)
    over = changed.middle > value.middle
    if decl.whole:
        edge = float(math.floor(edge) if over else math.ceil(edge))
    amount = Bounds(edge, None, decl.dimension) if over else Bounds(None, edge, decl.dimension)
    beyond = edge * (1.0 + BEYOND if over else 1.0 - BEYOND)
    if decl.whole:
        beyond = edge + 1.0 if over else edge - 1.0
    beyond = min(max(float(f"{beyond:.3g}"), decl.low), most)
    other = leader(decl.name, Span(beyond, beyond))
    if other is not None and method_word(other) != method_word(lead):
        changed = Span(beyond, beyond)
    return changed, AnswerWords(amount=amount)


def _edge(
    decl: FactDecl, ends: tuple[float, float], lead: str, leader: Leader
) -> float:
    """Where between an answer that keeps the lead and one that does not it changes hands."""
    keeps, flips = ends
    for _ in range(SEARCH_STEPS):
        middle = 0.5 * (keeps + flips)
        other = leader(decl.name, Span(middle, middle))
        if other is not None and method_word(other) == method_word(lead):
            keeps = middle
        else:
            flips = middle
    return flips


def alternatives(decl: FactDecl, value: Value, most: float) -> list[tuple[Value, AnswerWords]]:
    """Other answers, nearest first; a quantity up to ``most``."""
    if isinstance(value, bool):
        return [(not value, AnswerWords("no" if value else "yes"))]
    if decl.kind is Kind.CHOICE and isinstance(value, tuple):
        here = decl.keys.index(value[0])
        order = sorted(range(len(decl.keys)), key=lambda i: (abs(i - here), i))
        keys = [decl.keys[i] for i in order if decl.keys[i] not in value]
        return [((key,), AnswerWords(decl.option(key).title)) for key in keys]
    if isinstance(value, Span) and decl.kind is Kind.QUANTITY and value.middle > 0:
        found: list[tuple[Value, AnswerWords]] = []
        for factor in (2.0, 0.5, 5.0, 0.2):
            changed = min(max(value.middle * factor, decl.low), most)
            if changed != value.middle:
                amount = Bounds(changed, changed, decl.dimension)
                found.append((Span(changed, changed), AnswerWords(amount=amount)))
        return found
    return []


def _flip(
    decl: FactDecl, was: Value | None, to: Value, words: AnswerWords, then: str,
    worlds: SampledWorlds,
) -> Flip:
    title = title_here(worlds.pack.methods[then], worlds)
    known = NOT_KNOWN if was is None else in_words(decl, was)
    return Flip(
        fact=decl.name,
        title=decl.title,
        was=known,
        to=words.words,
        then=then,
        text=flip_sentence(decl.title, words.words, known, title),
        value=to,
        unit=decl.unit if isinstance(to, Span) else "",
        then_title=title,
        given=was if isinstance(was, Span) else None,
        amount=words.amount,
    )
