"""How the advisor's answers to the field cases are scored; nothing here runs the advisor."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

STITCHES = frozenset({"hand_stitch", "machine_restitch"})
GATE_HAZARDS = frozenset({"airbag", "belt", "heater", "aircraft"})
SETTLED = frozenset({"plan", "refer"})
TOP = 3
BAR_RIGHT = 28
SHARE_SETTLED = 0.75


@dataclass(frozen=True)
class Expectation:
    """What an experienced repairer expects of one case."""

    case: str
    accepted: tuple[str, ...]
    unacceptable: tuple[str, ...]
    ambiguous: bool
    ask_first: tuple[str, ...]
    hazards: tuple[str, ...]
    reason: str

    @property
    def stitch(self) -> bool:
        """True where sewing is among the accepted leads."""
        return bool(STITCHES.intersection(self.accepted))

    @property
    def gate(self) -> bool:
        """True where the case names a hazard that stops work."""
        return bool(GATE_HAZARDS.intersection(self.hazards))


@dataclass(frozen=True)
class Answer:
    """What was advised: the verdict, the lead (final or so far), and what it asks, best first."""

    verdict: str
    lead: str
    asked: tuple[str, ...] = ()

    @property
    def settled(self) -> bool:
        """True where it commits itself: a plan, or sending the job elsewhere."""
        return self.verdict in SETTLED


@dataclass(frozen=True)
class Tally:
    """Cases of one kind: how many, how many right, how many points."""

    cases: int
    right: int
    points: float

    @property
    def wrong(self) -> int:
        """Cases that are not right."""
        return self.cases - self.right


@dataclass(frozen=True)
class Target:
    """One target and what was reached."""

    text: str
    reached: int
    wanted: int

    @property
    def met(self) -> bool:
        """True where the target is reached."""
        return self.reached >= self.wanted


Expectations = Mapping[str, Expectation]
Answers = Mapping[str, Answer]
AskWords = Mapping[str, Sequence[str]]


def asks_first(expected: Expectation, answer: Answer, words: AskWords) -> bool:
    """True where one of the first three questions is one the repairer would ask."""
    wanted = {fact for word in expected.ask_first for fact in words[word]}
    return bool(wanted.intersection(answer.asked[:TOP]))


def is_right(expected: Expectation, answer: Answer, words: AskWords) -> bool:
    """A clear case needs an accepted lead; an ambiguous one needs the right question."""
    if not expected.ambiguous:
        return answer.lead in expected.accepted
    acceptable = answer.lead not in expected.unacceptable
    return answer.verdict == "ask" and acceptable and asks_first(expected, answer, words)


def points(expected: Expectation, answer: Answer, words: AskWords) -> float:
    """1 for right, 0 for wrong; a clear case that is right but still asks gets 0.5."""
    if not is_right(expected, answer, words):
        return 0.0
    return 1.0 if expected.ambiguous or answer.settled else 0.5


def tally(expected: Sequence[Expectation], answers: Answers, words: AskWords) -> Tally:
    """Right and points over the given cases."""
    right = sum(is_right(e, answers[e.case], words) for e in expected)
    return Tally(len(expected), right, sum(points(e, answers[e.case], words) for e in expected))


def splits(expected: Expectations, answers: Answers, words: AskWords) -> dict[str, Tally]:
    """Tallies by kind of case."""
    every = list(expected.values())
    groups = {
        "all": every,
        "clear": [e for e in every if not e.ambiguous],
        "ambiguous": [e for e in every if e.ambiguous],
        "stitch right": [e for e in every if e.stitch],
        "stitch wrong": [e for e in every if not e.stitch],
        "gate": [e for e in every if e.gate],
    }
    return {name: tally(group, answers, words) for name, group in groups.items()}


def settled_target(expected: Expectations, answers: Answers, words: AskWords) -> Target:
    """How many clear cases are right and settled, and how many are wanted."""
    clear = [e for e in expected.values() if not e.ambiguous]
    settled = sum(is_right(e, answers[e.case], words) and answers[e.case].settled for e in clear)
    wanted = math.ceil(SHARE_SETTLED * len(clear))
    return Target("clear cases right and settled", settled, wanted)


def targets(expected: Expectations, answers: Answers, words: AskWords) -> list[Target]:
    """The targets of the design for the field cases."""
    clear = [e for e in expected.values() if not e.ambiguous]
    unclear = [e for e in expected.values() if e.ambiguous]
    tolerable = sum(answers[e.case].lead not in e.unacceptable for e in expected.values())
    accepted = sum(answers[e.case].lead in e.accepted for e in clear)
    asking = sum(answers[e.case].verdict == "ask" for e in unclear)
    first = sum(asks_first(e, answers[e.case], words) for e in unclear)
    return [
        Target("lead never unacceptable", tolerable, len(expected)),
        Target("lead accepted in every clear case", accepted, len(clear)),
        settled_target(expected, answers, words),
        Target("every ambiguous case asks", asking, len(unclear)),
        Target("an ask-first question in its top three", first, len(unclear)),
    ]


def strawmen(answers: Answers) -> dict[str, Answers]:
    """Programs that know nothing, to compare with: one always asks, the others never look."""
    return {
        "always ask, same leads": {k: replace(a, verdict="ask") for k, a in answers.items()},
        "always hand stitch": {k: Answer("plan", "hand_stitch") for k in answers},
        "never stitch, always re-cover": {k: Answer("plan", "recover_panel") for k in answers},
        "always glue": {k: Answer("plan", "adhesive_bond") for k in answers},
    }


def bar_met(found: Mapping[str, Tally]) -> bool:
    """At least 28 right, and no gate case wrong."""
    return found["all"].right >= BAR_RIGHT and found["gate"].wrong == 0
