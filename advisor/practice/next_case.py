"""What comes next: due topics first, weak ones sooner, mixed once each was begun.

Choosing the kind of a case is the task itself, so a topic is never told before the answer.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from advisor.advice.sampling.worlds import Watch
from advisor.practice.answers import Help
from advisor.practice.cases import PracticeCase
from advisor.practice.fading import help_for
from advisor.practice.generating.generate import HELD_OUT, generate
from advisor.practice.held_out import is_practised
from advisor.practice.mastery import by_topic
from advisor.practice.memory import due
from advisor.practice.records import KeptRound
from advisor.practice.topics import all_topics
from advisor.rulegraph.model.pack import RulePack

#: A new topic stays alone for so many rounds before it is mixed with others.
BLOCK = 4
#: One round in so many is about a hazard.
HAZARD_EVERY = 8
#: A miss comes back varied so many rounds later.
COMES_BACK = (2, 5)
#: Wanted chance of a good answer: hard enough to learn from, and no frustration (opinion).
WANTED = (0.6, 0.8)
#: Draws in which a case is looked for before the wish is loosened.
DRAWS = 60
#: A range of difficulty as wide as this is no wish.
ANY = (0.0, 1.0)


@dataclass(frozen=True)
class Task:
    """What the next case should be about."""

    topic: str
    fact: str = ""
    """Deciding fact that it should be about; empty: any."""
    difficulty: tuple[float, float] = ANY
    help: Help = Help.ALONE
    reason: str = ""
    """For the trainer; a learner is not told before the answer."""


def next_task(rounds: Sequence[KeptRound], now: datetime) -> Task:
    """What comes next for a learner with these rounds, oldest first."""
    practised = [one for one in rounds if not one.test]
    topic, fact, reason = _what(practised, now)
    return Task(
        topic, fact, _difficulty(topic, practised), help_for(topic, practised), reason
    )  # fmt: skip


def _what(rounds: Sequence[KeptRound], now: datetime) -> tuple[str, str, str]:
    """Topic, deciding fact and why."""
    order = teaching_order()
    waiting = due(rounds, now)
    topics = {one.item: one.topic for one in rounds}
    hazard = next((one for one in reversed(rounds) if one.hazards_missed), None)
    if hazard is not None and any(one.item == hazard.item for one in waiting[:1]):
        return hazard.topic, "", "a hazard was missed"
    begun = list(dict.fromkeys(one.topic for one in rounds if one.topic in order))
    if rounds and len(rounds) % HAZARD_EVERY == HAZARD_EVERY - 1:
        return HAZARDS, "", "one in eight is about a hazard"
    counts = {topic: sum(one.topic == topic for one in rounds) for topic in begun}
    fresh = next((topic for topic in reversed(begun) if counts[topic] < BLOCK), "")
    if fresh and fresh != HAZARDS:
        return fresh, "", "a new topic is begun by itself"
    for one in rounds[-COMES_BACK[1] : len(rounds) - COMES_BACK[0] + 1]:
        if not one.good and len(rounds) % 2 == 0 and one.topic in order:
            return one.topic, one.item.partition("/")[2], "missed lately: again, varied"
    last = rounds[-1].item if rounds else ""
    for item in waiting:
        if item.item != last and topics[item.item] in order:
            return topics[item.item], item.item.partition("/")[2], "due again"
    new = next((topic for topic in order if topic not in begun), "")
    if new:
        return new, "", "a new topic"
    found = by_topic(rounds)
    weakest = min(order, key=lambda key: found[key].interval[0] if key in found else 0.0)
    return weakest, "", "the weakest topic"


HAZARDS = "hazards"


def teaching_order() -> tuple[str, ...]:
    """Topics in the order in which they are begun: what is right there is a method, then others."""
    topics = all_topics().topics.values()
    plain = [one.key for one in topics if one.right is None and not (one.lead or one.vehicle)]
    others = [one.key for one in topics if one.key not in plain and one.right != "ask"]
    return (*plain, *others)


def _difficulty(topic: str, rounds: Sequence[KeptRound]) -> tuple[float, float]:
    """Range of difficulty in which a good answer has the wanted chance; all while unknown."""
    found = by_topic(rounds).get(topic)
    if found is None or not found.enough:
        return ANY
    ends = [found.ability - math.log(p / (1.0 - p)) for p in reversed(WANTED)]
    low, high = (min(max(0.5 * (end + 1.0), 0.0), 1.0) for end in ends)
    return (max(min(low, 0.7), 0.0), min(max(high, 0.3), 1.0))


def case_for(
    task: Task, pack: RulePack, seed: int, stock: Sequence[PracticeCase] = (),
    seen: Sequence[str] = (), watch: Watch | None = None,
) -> PracticeCase | None:  # fmt: skip
    """A case for a task: of the stock where one fits and was not seen, else drawn; some seconds.

    Wishes are loosened one after the other (difficulty, deciding fact); None where none of the
    topic was found at all. ``seed`` below `HELD_OUT`; ``stock`` are demo cases, the shop's or a
    class set.
    """
    if not 0 <= seed < HELD_OUT:
        raise ValueError(f"seed {seed}; accepted: 0 to {HELD_OUT - 1}, the rest is for tests")
    choose = random.Random(seed)
    fitting = [case for case in stock if case.topic == task.topic and case.name not in seen]
    near = [case for case in fitting if case.twin and case.twin.fact == task.fact]
    if near or (fitting and not task.fact):
        return choose.choice(near or fitting)
    for fact, difficulty in ((task.fact, task.difficulty), (task.fact, ANY), ("", ANY)):
        made = generate(
            pack, 1, seed, topic=task.topic, fact=fact, difficulty=difficulty,
            draws=DRAWS if (fact, difficulty) != ("", ANY) else 4 * DRAWS,
            kinds=is_practised, watch=watch,
        ).cases  # fmt: skip
        if made:
            return made[0] if choose.random() < 0.5 or not _of(made[0], task) else made[0].other()
    return choose.choice(fitting) if fitting else None


def case_of(
    task: Task, stock: Sequence[PracticeCase], seed: int, seen: Sequence[str] = ()
) -> PracticeCase | None:  # fmt: skip
    """A case of the stock alone: unseen and of the topic, else unseen, else any; None of none.

    A topic that was wished for (the task has no reason of its own) is kept to.
    """
    choose = random.Random(seed)
    fitting = [case for case in stock if task.topic in case.topics]
    stock = stock if task.reason else fitting
    unseen = [[case for case in some if case.name not in seen] for some in (fitting, stock)]
    return next((choose.choice(some) for some in (*unseen, stock) if some), None)


def _of(case: PracticeCase, task: Task) -> bool:
    """Whether the twin is of the topic as well."""
    return task.topic in case.other().topics
