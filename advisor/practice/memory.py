"""When a topic is due again: the memory model of the ``fsrs`` library, fed by rules of ours.

What is remembered is not a case, which its picture would bring back, but a topic with the fact
that decides it; the case is new each time. The model was fitted to flashcards: it puts topics in
order, and its days are no truth. Rounds are kept and cards built from them anew, so that another
version of the library changes days and not what happened.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from advisor.practice.records import KeptRound

if TYPE_CHECKING:
    from fsrs import Card, Rating, Scheduler

#: A loss beyond this share of the right choice's cost is a lapse.
LAPSE = 0.25
UNSURE, SURE = 0.5, 0.8
#: Chance of remembering at which a topic is due.
RETENTION = 0.85
LONGEST_DAYS = 60


@dataclass(frozen=True)
class Due:
    """A topic with its deciding fact, and when it is due."""

    item: str
    due: datetime
    retrievability: float
    """Chance that it would be remembered now, by the model."""


@lru_cache(maxsize=1)
def scheduler() -> Scheduler:
    """Whole days and no chance in it: the same rounds give the same days."""
    from fsrs import Scheduler

    return Scheduler(
        enable_fuzzing=False, learning_steps=(), relearning_steps=(),
        desired_retention=RETENTION, maximum_interval=LONGEST_DAYS,
    )  # fmt: skip


def grade(one: KeptRound) -> Rating:
    """How well a round went, as the scheduler's rating.

    *Again*: a hazard missed, the wrong choice where a hazard closes, or more than 25 % lost.
    *Hard*: right, yet less than 50 % sure, or asking cost more than twice what was worth asking;
    and what is neither good nor a lapse, or was a worked example. *Easy*: good, 80 % sure or
    more, and nothing asked in vain.
    """
    from fsrs import Rating

    if one.hazards_missed or (one.loss is None and not one.right_choice):
        return Rating.Again
    if one.loss is not None and one.best_cost is not None and not one.right_choice and (
        one.loss > LAPSE * abs(one.best_cost)
    ):
        return Rating.Again
    if not one.counts:
        return Rating.Hard  # a worked example that was read is not yet remembered
    if not one.good or one.certainty < UNSURE or one.asking > 2.0 * max(one.useful_asking, 1.0):
        return Rating.Hard
    return Rating.Easy if one.certainty >= SURE and not one.idle_asking else Rating.Good


def cards(rounds: Iterable[KeptRound]) -> dict[str, Card]:
    """A card for each item, from all rounds of practice in the order they happened."""
    from fsrs import Card

    found: dict[str, Card] = {}
    for one in sorted((r for r in rounds if not r.test), key=lambda r: r.at):
        card = found.get(one.item) or Card(card_id=len(found) + 1)
        found[one.item], _ = scheduler().review_card(card, grade(one), one.at)
    return found


def due(rounds: Sequence[KeptRound], now: datetime) -> tuple[Due, ...]:
    """Items due by now, the least remembered first.

    After a hazard was missed its topic is due again the same day, whatever the model says.
    """
    missed = {
        one.item for one in rounds
        if one.hazards_missed and now - one.at < timedelta(days=1)
        and not any(r.item == one.item and r.at > one.at and r.good for r in rounds)
    }  # fmt: skip
    found = [
        Due(item, card.due, scheduler().get_card_retrievability(card, now))
        for item, card in cards(rounds).items()
        if card.due <= now or item in missed
    ]
    return tuple(sorted(found, key=lambda one: (one.item not in missed, one.retrievability)))
