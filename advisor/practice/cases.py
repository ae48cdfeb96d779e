"""What a case to practise on is: a whole case, what of it a look tells, and its twin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import cached_property

from advisor.facts.case import DAMAGE, PART, VEHICLE, Case, Value
from advisor.practice.topics import REFER, all_topics
from advisor.rulegraph.model.pack import RulePack

__all__ = ["CaseSource", "PracticeCase", "Twin", "choices_of", "seen_at_a_glance"]


class CaseSource(StrEnum):
    """Where a case to practise on comes from."""

    DEMO = "demo"
    CASEBOOK = "casebook"
    GENERATED = "generated"


@dataclass(frozen=True)
class Twin:
    """The same part with one fact changed, where another choice is right."""

    fact: str
    """Empty for the twin that a hazard turns into a referral: then it is that hazard's fact."""
    value: Value
    right: str
    """A method's word, `REFER` or `DECLINE`."""
    margin: float = 0.0
    """By how much that choice leads there, as a share of its cost."""


@dataclass(frozen=True)
class PracticeCase:
    """A case with all that can be told of it, and what of that is told at the first look."""

    name: str
    """Seeds the simulated cases, as a case's name does."""
    title: str
    hidden: Case
    """The whole case: what a learner asks is answered from here."""
    shown: tuple[str, ...]
    """Facts told at the first look; hazards never are."""
    source: CaseSource
    right: str
    """The choice that is right in the whole case: a method's word, `REFER` or `DECLINE`."""
    topics: tuple[str, ...] = ()
    """Keys of `topics.all_topics`, the main one first. Not to be told before the answer."""
    margin: float = 0.0
    """By how much the right choice leads, as a share of its cost; 0 where that is not known."""
    difficulty: float | None = None
    """0 (the next best method costs far more) to 1 (hardly more); None where not known."""
    twin: Twin | None = None
    digest: str = ""
    """Digest of the rules that ``right`` was found with."""
    photos: tuple[bytes, ...] = field(default=(), repr=False)
    """Of before the repair, as JPEG; a file of cases holds none."""

    @cached_property
    def intake(self) -> Case:
        """The case as it is known at the first look."""
        facts = {name: value for name, value in self.hidden.facts.items() if name in self.shown}
        return replace(self.hidden, facts=facts, earlier_repairs=None, note="", read={})

    @property
    def topic(self) -> str:
        """The main topic; empty where it has none."""
        return self.topics[0] if self.topics else ""

    @property
    def item(self) -> str:
        """What is remembered or forgotten: the topic with the fact that decides."""
        return f"{self.topic}/{self.twin.fact if self.twin else self.right}"

    def other(self) -> PracticeCase:
        """The twin as a case of its own, its twin being this one. ValueError without a twin."""
        if self.twin is None:
            raise ValueError(f"{self.name} has no twin")
        fact, was = self.twin.fact, self.hidden.facts[self.twin.fact]
        return replace(
            self, name=twin_name(self.name), hidden=self.hidden.with_fact(fact, self.twin.value),
            right=self.twin.right, margin=self.twin.margin, photos=(),
            topics=_turned(self.topics, self.twin.right),
            twin=Twin(fact, was, self.right, self.margin),
        )  # fmt: skip


def twin_name(name: str) -> str:
    """The name of the twin of a case; that of a twin is the case's again."""
    return name.removesuffix("-b") if name.endswith("-b") else name + "-b"


def _turned(topics: tuple[str, ...], right: str) -> tuple[str, ...]:
    """The topics of the twin: those that go by the right choice are found anew."""
    return tuple(
        key for key, topic in all_topics().topics.items()
        if (topic.by_choice and topic.right_is(right)) or (not topic.by_choice and key in topics)
    )  # fmt: skip


def choices_of(pack: RulePack) -> Mapping[str, str]:
    """Every choice with its title, in the same order whatever the case: methods, refer, decline.

    Not filtered by what is possible: that would give the answer away.
    """
    from advisor.practice.topics import DECLINE

    titles = {word: pack.whole(word).title for word in pack.method_words}
    return {**titles, REFER: "Refer the job to a specialist", DECLINE: "Decline: no repair holds"}


def seen_at_a_glance(case: Case, pack: RulePack) -> tuple[str, ...]:
    """Facts of a whole case that the first look tells."""
    told = (PART, DAMAGE, VEHICLE, *all_topics().at_a_glance)
    return tuple(
        name for name in pack.facts
        if name in told and name in case.facts and not pack.facts[name].gate
    )  # fmt: skip
