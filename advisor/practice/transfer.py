"""The transfer test: damages on parts that practice never brings up, before and after.

Practice scores are no proof of learning: they rise with help and with cases that are alike. So
the same kind of test is given at the start, after 40 and after 80 rounds, without feedback, over
topics mixed.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import get_args

from advisor.advice.sampling.worlds import Watch
from advisor.practice.calibration import Z90, wilson
from advisor.practice.cases import PracticeCase
from advisor.practice.generating.generate import HELD_OUT, generate
from advisor.practice.held_out import is_for_tests
from advisor.practice.records import KeptRound, TestName
from advisor.practice.topics import REFER, all_topics
from advisor.rulegraph.model.pack import RulePack

#: Cases of one test, one of each topic that goes by what is seen or by what is right: of each
#: pair by turns the case and its twin, but that one hazard closes a job in each.
TEST_CASES = 12
#: Rounds of practice after which each test is due.
DUE_AFTER: dict[TestName, int] = {"before": 0, "after_40": 40, "after_80": 80}
TESTS: tuple[TestName, ...] = tuple(name for name in get_args(TestName) if name)


@dataclass(frozen=True)
class TransferResult:
    """What one learner did in one test."""

    test: TestName
    answers: int
    good: int
    interval: tuple[float, float]
    """90 % interval of the share good (Wilson)."""
    regret: float | None
    """Mean, of cases that no hazard closes; None where there was none."""
    hazards_closed: int
    hazards_missed: int
    unseen: int
    """Answers about a damage on a part that this learner has never practised on."""

    @property
    def share(self) -> float:
        """Share of good answers."""
        return self.good / self.answers


@dataclass(frozen=True)
class Change:
    """From the first test to a later one."""

    later: TestName
    difference: float
    """Share of good answers, later less first."""
    interval: tuple[float, float]
    """90 % interval of it (Newcombe 1998, from two Wilson intervals)."""

    @property
    def words(self) -> str:
        """What is to be said of it."""
        low, high = (f"{100 * end:+.0f}" for end in self.interval)
        points = f"{100 * self.difference:+.0f} points of a hundred ({low} to {high})"
        sure = self.interval[0] > 0.0 or self.interval[1] < 0.0
        return points if sure else points + ": so few cases do not tell"


def transfer_cases(
    pack: RulePack, test: TestName, watch: Watch | None = None
) -> tuple[PracticeCase, ...]:
    """The cases of a test, the same for everybody under the same rules; up to ten seconds.

    ValueError where it is the name of no test.
    """
    seed = HELD_OUT + TESTS.index(test)
    wanted = [key for key, topic in all_topics().topics.items() if topic.right != "ask"]
    made: list[PracticeCase] = []
    # What a topic does not give, and what is missing then, comes of any topic.
    for topic in [*wanted[:TEST_CASES], *[""] * TEST_CASES]:
        if len(made) == TEST_CASES:
            break
        made += generate(
            pack, 1, seed + len(TESTS) * len(made), topic=topic, kinds=is_for_tests, watch=watch
        ).cases  # fmt: skip
    random.Random(seed).shuffle(made)
    return tuple(
        case if i % 2 == 0 or case.right == REFER else case.other() for i, case in enumerate(made)
    )


def due_test(rounds: Sequence[KeptRound]) -> TestName:
    """The test that is due now; empty where none is."""
    practised = sum(not one.test for one in rounds)
    done = {name: sum(one.test == name for one in rounds) for name in TESTS}
    due = [name for name in TESTS if practised >= DUE_AFTER[name] and done[name] < TEST_CASES]
    if practised and "before" in due and not done["before"]:
        due.remove("before")  # too late for it
    return due[0] if due else ""


def results(rounds: Sequence[KeptRound]) -> tuple[TransferResult, ...]:
    """What was done in each test that was begun."""
    found = []
    practised = {(one.part, one.damage) for one in rounds if not one.test}
    for test in TESTS:
        told = [one for one in rounds if one.test == test]
        if not told:
            continue
        good = sum(one.good for one in told)
        regrets = [one.regret for one in told if one.regret is not None]
        found.append(TransferResult(
            test, len(told), good, wilson(good, len(told)),
            sum(regrets) / len(regrets) if regrets else None,
            sum(one.hazards_closed for one in told),
            sum(len(one.hazards_missed) for one in told),
            sum((one.part, one.damage) not in practised for one in told),
        ))  # fmt: skip
    return tuple(found)


def changes(found: Sequence[TransferResult]) -> tuple[Change, ...]:
    """From the test before practice to each later one; none where it was not taken."""
    first = next((one for one in found if one.test == "before"), None)
    if first is None:
        return ()
    return tuple(_change(first, later) for later in found if later.test != "before")


def _change(first: TransferResult, later: TransferResult) -> Change:
    difference = later.share - first.share
    low_1, high_1 = wilson(first.good, first.answers, Z90)
    low_2, high_2 = wilson(later.good, later.answers, Z90)
    down = math.hypot(later.share - low_2, high_1 - first.share)
    up = math.hypot(high_2 - later.share, first.share - low_1)
    return Change(later.test, difference, (difference - down, difference + up))
