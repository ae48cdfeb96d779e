"""What ``coverage.yaml`` may contain: which damage goes with which part, and what contradicts."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from advisor.rulegraph.schema.base import ConditionModel, Name, Status, Strict, Text


class OccursModel(Strict):
    """Groups of parts, or single parts, on which a damage occurs."""

    usual: tuple[Name, ...] = ()
    rare: tuple[Name, ...] = ()
    never: tuple[Name, ...] = ()
    """Parts of these groups on which it does not."""


class NotCoveredModel(Strict):
    """What is asked and said where part or damage is none of those that are known."""

    ask: tuple[Name, ...] = ()
    """Facts that are asked then, and only then."""
    check: Annotated[tuple[Text, ...], Field(min_length=1)]
    """What a person looks at."""
    nearest: dict[Name, dict[Name, tuple[Name, ...]]] = Field(default_factory=dict)
    """Fact, answer to it, and the damages that are nearest then."""


class ContradictionModel(Strict):
    """Answers that cannot all be true."""

    when: ConditionModel
    finding: Text
    look_at: Name
    """The fact to look at again."""
    source: Name
    status: Status


class CoverageModel(Strict):
    groups: dict[Name, tuple[Name, ...]] = Field(default_factory=dict)
    damages: dict[Name, OccursModel] = Field(default_factory=dict)
    not_covered: NotCoveredModel
    contradictions: dict[Name, ContradictionModel] = Field(default_factory=dict)
    source: Name
    status: Status
