"""What an answer would bring up, told only where it does: each promise is tried out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from advisor.advice.asking.ranking import called
from advisor.advice.asking.value_of_information import AnswerWords, at_stake, knowing
from advisor.advice.choosing.plans import Plan
from advisor.advice.choosing.working import Working, worked_over
from advisor.advice.result import Promise, Question
from advisor.advice.sampling.sample_size import TELLING
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Value
from advisor.facts.declaration import FactDecl
from advisor.rulegraph.model.rules import method_word
from advisor.wording.phrases import computed, filled
from advisor.wording.sentences import lowered

#: Standard errors from the limit of declining within which nothing is promised.
ERRORS = 3.0

#: Said of a question that is worth asking where nothing is promised.
OPEN_ENDED = "The answer may change what is best"


def with_promises(questions: Sequence[Question], working: Working) -> tuple[Question, ...]:
    """The questions, those that are shown with what an answer to them would bring up.

    The answer is given to the very worlds of the advice, so what is promised is what the
    advice will be. Where the likeliest answer to change the plan does not, nothing is promised.
    """
    worlds = working.situation.worlds
    # Worlds of which only the likely were kept belong to the answers as they stand.
    if not working.plans or worlds.misfits or worlds.kept is not None:
        return tuple(questions)
    tried: dict[str, Question | None] = {}
    found = []
    for question in questions:
        if question.worth_asking and not question.gate and not question.together:
            decl = worlds.pack.facts[question.fact]
            about = worlds.pack.facts[decl.reads] if decl.reads else decl
            if about.name not in tried:
                tried[about.name] = _promised(question, about, working)
            kept = tried[about.name]
            if kept is not None:
                question = replace(question, why=kept.why, promise=kept.promise)
            elif not question.why:
                question = replace(question, why=OPEN_ENDED)
        found.append(question)
    return tuple(found)


def _promised(question: Question, decl: FactDecl, working: Working) -> Question | None:
    worlds, now = working.situation.worlds, working.plans[0]
    likely = _likely_to_change(decl, working)
    if likely is None:
        return None
    value, told, declined = likely
    changed = worlds.changed(decl.name, value)
    # A run of its own would draw more, and may come to something else.
    if changed.misfits or changed.effective < TELLING:
        return None
    plans = worked_over(changed).plans
    if plans and _at_the_limit(plans[0], changed):
        return None
    if not plans or changed.mean(plans[0].holds) < worlds.pack.prices.declines_below:
        said = "" if declined else filled("If {}: nothing here holds well enough", _answer(told))
        return replace(question, why=said, promise=Promise(value, "", ())) if said else None
    said = _words(None if declined else now, plans[0], told, worlds)
    promise = Promise(value, plans[0].lead, plans[0].methods)
    return replace(question, why=said, promise=promise) if said else None


def _at_the_limit(plan: Plan, worlds: SampledWorlds) -> bool:
    """Whether a plan holds so near to the limit of declining that more worlds may decline it."""
    least = worlds.pack.prices.declines_below
    error = math.sqrt(least * (1.0 - least) / worlds.effective)
    return abs(worlds.mean(plan.holds) - least) < ERRORS * error


def _likely_to_change(
    decl: FactDecl, working: Working
) -> tuple[Value, AnswerWords, bool] | None:
    """The likeliest answer that changes the choice, and whether the job is declined today."""
    worlds, plans = working.situation.worlds, working.plans
    costs, declining = at_stake(plans, worlds)
    known = knowing(decl, worlds, costs, declining)
    for group in map(int, np.argsort(-known.shares)):
        best = known.best[group]
        if known.shares[group] > 0.0 and best != declining.today:
            return known.answer(decl, group, worlds), known.answers[group], declining.today > 0
    return None


def _answer(told: AnswerWords) -> str:
    return lowered(told.words) if told.amount is None else computed(told.amount)


def _words(now: Plan | None, then: Plan, told: AnswerWords, worlds: SampledWorlds) -> str:
    """What changes with an answer; empty where nothing does. ``now`` None: nothing is done."""
    answer, other = _answer(told), called(then.lead, worlds)
    if now is None:
        return filled("If {}: {}", answer, other)
    if method_word(then.lead) != method_word(now.lead):
        words = "Decides between {} and {}. If {}: {}"
        return filled(words, called(now.lead, worlds), other, answer, other)
    if then.lead != now.lead:
        return filled("If {}: {}", answer, other)
    extra = [key for key in then.methods if key not in now.methods]
    less = [key for key in now.methods if key not in then.methods]
    if extra:
        return filled("If {}: {} as well", answer, called(extra[0], worlds))
    if less:
        return filled("If {}: without {}", answer, called(less[0], worlds))
    return ""
