"""What a trainer sees: topics by weakness, missed hazards, commonest wrong methods, certainty.

Results are for learning. No league table: learners stand side by side only where it is asked
for, by alias, in alphabetical order.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from advisor.practice.calibration import Calibration, calibration, over_time, wilson
from advisor.practice.cases import twin_name
from advisor.practice.learners import Learner, merged
from advisor.practice.mastery import Mastery, Trend, by_topic, scaled, trend
from advisor.practice.memory import due
from advisor.practice.records import KeptRound
from advisor.practice.transfer import Change, TransferResult, changes, results

FORMAT = 1
NOTE = (
    "Estimates for learning, no test result. Nothing here was measured on trim technicians; "
    "using it to judge staff may need their consent under local law."
)


@dataclass(frozen=True)
class TopicRow:
    """One topic over the rounds looked at."""

    topic: str
    mastery: Mastery
    good: int
    regret: float | None
    """Mean of rounds that no hazard closed."""


@dataclass(frozen=True)
class MissedHazard:
    """A hazard that would have been walked past."""

    alias: str
    hazard: str
    case: str
    at: datetime


@dataclass(frozen=True)
class CommonMistake:
    """The commonest wrong method at one kind of damage, and the load that was overlooked."""

    damage: str
    rounds: int
    wrong: int
    method: str
    times: int
    right_mostly: str
    overlooked: str
    """Force that decided in most of those rounds, and was not named."""


@dataclass(frozen=True)
class Twins:
    """Pairs of which both cases were answered."""

    pairs: int
    both_good: int
    interval: tuple[float, float] | None
    """90 % interval of the share; None where there is no pair."""


@dataclass(frozen=True)
class LearnerReport:
    """One learner, or all of them together."""

    alias: str
    """Empty for all together."""
    rounds: int
    good: int
    loss: float | None
    """Mean loss of rounds that no hazard closed."""
    missed: tuple[MissedHazard, ...]
    closed: int
    """Hazards that closed a job in these rounds."""
    needless_referrals: int
    twins: Twins
    topics: tuple[TopicRow, ...]
    """The weakest first; those with too few answers last, by name."""
    mistakes: tuple[CommonMistake, ...]
    certainty: Calibration
    certainty_first: Calibration
    """As stated at the first look."""
    certainty_over_time: tuple[Calibration, ...]
    trend: Trend
    tests: tuple[TransferResult, ...]
    changes: tuple[Change, ...]
    due: int
    """Items due now."""
    disagreements: tuple[tuple[str, str], ...]
    """Case and what the learner says against the rules."""


def learner_report(learner: Learner, now: datetime) -> LearnerReport:
    """The report on one learner."""
    return _report(learner.alias, learner.rounds, [learner], now)


def class_report(learners: Sequence[Learner], now: datetime) -> LearnerReport:
    """The report on all together; due items and the trend of one learner are none of it."""
    return _report("", merged(learners), learners, now)


def _report(
    alias: str, rounds: Sequence[KeptRound], learners: Sequence[Learner], now: datetime
) -> LearnerReport:
    told = [one for one in rounds if one.counts and not one.test]
    losses = [one.loss for one in told if one.loss is not None]
    found = results(rounds) if alias else ()
    stated = [(one.certainty, one.right_choice) for one in told]
    first = [(one.first_certainty, one.first_choice == one.right) for one in told]
    return LearnerReport(
        alias=alias,
        rounds=len(told),
        good=sum(one.good for one in told),
        loss=sum(losses) / len(losses) if losses else None,
        missed=_missed(learners),
        closed=sum(one.hazards_closed for one in told),
        needless_referrals=sum(one.needless_referral for one in told),
        twins=_twins(learners),
        topics=_topics(told),
        mistakes=_mistakes(told),
        certainty=calibration(stated),
        certainty_first=calibration(first),
        certainty_over_time=over_time(stated),
        trend=trend([(one.good, scaled(one.difficulty)) for one in told] if alias else []),
        tests=found,
        changes=changes(found),
        due=len(due(rounds, now)) if alias else 0,
        disagreements=tuple((one.case, one.disagrees) for one in rounds if one.disagrees),
    )


def _missed(learners: Sequence[Learner]) -> tuple[MissedHazard, ...]:
    return tuple(
        MissedHazard(learner.alias, hazard, one.case, one.at)
        for learner in learners for one in learner.rounds for hazard in one.hazards_missed
    )  # fmt: skip


def _twins(learners: Sequence[Learner]) -> Twins:
    pairs = both = 0
    for learner in learners:
        last = {one.case: one.good for one in learner.rounds if one.counts}
        for case, good in last.items():
            other = twin_name(case)
            if other in last and case < other:
                pairs += 1
                both += good and last[other]
    return Twins(pairs, both, wilson(both, pairs) if pairs else None)


def _topics(rounds: Sequence[KeptRound]) -> tuple[TopicRow, ...]:
    rows = []
    for topic, found in by_topic(rounds).items():
        inside = [one for one in rounds if topic in one.topics]
        regrets = [one.regret for one in inside if one.regret is not None]
        mean = sum(regrets) / len(regrets) if regrets else None
        rows.append(TopicRow(topic, found, sum(one.good for one in inside), mean))
    return tuple(sorted(
        rows,
        key=lambda row: (not row.mastery.enough, row.mastery.ability if row.mastery.enough else 0.0,
                         row.topic),
    ))  # fmt: skip


def _mistakes(rounds: Sequence[KeptRound]) -> tuple[CommonMistake, ...]:
    """For each kind of damage, the most mistakes first."""
    found = []
    for damage in dict.fromkeys(one.damage for one in rounds):
        inside = [one for one in rounds if one.damage == damage]
        wrong = [one for one in inside if not one.good]
        if not wrong:
            continue
        (method, times), = Counter(one.choice for one in wrong).most_common(1)
        such = [one for one in wrong if one.choice == method]
        overlooked = Counter(
            one.governing for one in such if one.governing and one.governing_named != one.governing
        )
        right = Counter(one.right for one in such)
        found.append(CommonMistake(
            damage, len(inside), len(wrong), method, times, right.most_common(1)[0][0],
            overlooked.most_common(1)[0][0] if overlooked else "",
        ))  # fmt: skip
    return tuple(sorted(found, key=lambda one: (-one.wrong, one.damage)))


def report_json(reports: Sequence[LearnerReport]) -> dict[str, Any]:
    """The reports as the documented JSON (docs/practice.md)."""
    return {"format": FORMAT, "note": NOTE, "reports": [_form(one) for one in reports]}


def _form(one: LearnerReport) -> dict[str, Any]:
    form = asdict(one)
    for row, told in zip(form["topics"], one.topics, strict=True):
        row["mastery"] |= {
            "chance": told.mastery.chance, "interval": list(told.mastery.interval),
            "enough": told.mastery.enough,
        }  # fmt: skip
    for row in form["missed"]:
        row["at"] = row["at"].isoformat()
    form["trend"]["improved"] = one.trend.improved
    form["certainty"]["words"] = one.certainty.words
    return form
