"""What a learner answers in one round."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from advisor.practice.forces import DrawnForce


class Help(IntEnum):
    """How much of the working stands there already; less from one to the next."""

    WORKED = 0
    """A worked example to read: the learner names the method, the last step."""
    COMPLETE = 1
    """Forces given: the learner names the load that decides and the method."""
    HINTS = 2
    """The learner does everything; hints may be opened."""
    ALONE = 3


@dataclass(frozen=True)
class Belief:
    """A choice and how sure of it: the chance that it leads once all is told."""

    choice: str
    """A method's word, `topics.REFER` or `topics.DECLINE`."""
    certainty: float
    """0 to 1; asked in steps of 0.05 from 0.05 to 1."""
    second: str = ""
    """A second choice that has a chance of its own; empty: the rest is spread evenly."""
    second_certainty: float = 0.0

    def __post_init__(self) -> None:
        given = (self.certainty, self.second_certainty)
        if not all(0.0 <= one <= 1.0 for one in given) or sum(given) > 1.0 + 1e-9:
            raise ValueError(f"certainties {given}; accepted: 0 to 1 each, 1 together")
        if self.second == self.choice:
            raise ValueError("the second choice is the first one; accepted: another or none")


@dataclass(frozen=True)
class Answer:
    """All that a learner answered in one round; facts and hazards by their key in the rules."""

    first: Belief
    """At the first look, before anything was asked."""
    final: Belief
    """After asking, committed before anything is shown."""
    hazards: tuple[str, ...] = ()
    """Hazards asked about."""
    asked: tuple[str, ...] = ()
    """Facts asked for, in order."""
    forces: tuple[DrawnForce, ...] = ()
    governing: str = ""
    """Cause named as the one that decides; empty where none was named."""
    seconds: float = 0.0
    """Time from the first look to the choice."""
    help: Help = Help.ALONE
    disagrees: str = ""
    """Why the learner thinks that the rules are wrong here; kept for the trainer."""
