"""One round over a case: what is seen, asked, drawn and chosen, in order; then what was right.

The way through, for a window or a terminal:

    round = Round(case, pack)                 # cheap: nothing is calculated
    round.prepare()                           # some tenths of a second; in the background
    round.look                                # what a look tells, as facts with their answers
    round.hazards; round.ask_hazard(key)      # HAZARDS: each is answered at once
    round.end_hazards()
    round.choose_first(Belief(...))           # FIRST: choice and certainty before asking
    round.observations(); round.ask(fact)     # ASK: each at its minutes
    round.end_asking()
    round.forces().offered; round.draw(...)   # FORCES: direction, rank, when; and the governing
    round.name_governing(cause)               #   (nothing is offered where nothing pulls)
    round.decide(Belief(...))                 # PLAN: choice and certainty; ends the round
    round.reveal()                            # see `reveal.Reveal`

With help (`answers.Help`) a part of the way stands there already once `prepare` has run: with
``WORKED`` all but the plan, with ``COMPLETE`` all but the load that decides and the plan; call
`prepare` before anything else then. With ``HINTS`` `hint` has a sentence for each step.

A call out of order raises `OutOfOrder`, whose text may be shown. ``known`` is the case as the
learner knows it by now: advise on it or draw its section without giving anything away, as long
as no load, bar or verdict of it is shown.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING

from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.result import GateAdvice, GateState, Status
from advisor.advice.sampling.worlds import Watch
from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind
from advisor.practice.answers import Answer, Belief, Help
from advisor.practice.cases import PracticeCase, choices_of
from advisor.practice.forces import WHEN_TITLES, DrawnForce, SectionForces, section_forces
from advisor.practice.topics import DECLINE
from advisor.practice.truth import WORLDS, Truth, truth_of
from advisor.rulegraph.model.pack import RulePack
from advisor.wording.answers import in_words

if TYPE_CHECKING:
    from advisor.practice.reveal import Reveal

#: Said where a question has no answer in the case.
UNTOLD = "Not known in this case"


class Step(StrEnum):
    """Steps of a round, in order."""

    HAZARDS = "hazards"
    FIRST = "first"
    ASK = "ask"
    FORCES = "forces"
    PLAN = "plan"
    DONE = "done"


class OutOfOrder(Exception):  # noqa: N818 - what it says is meant for the learner
    """A step that is not due, or a choice that is not on offer."""


@dataclass(frozen=True)
class Seen:
    """One thing that the first look tells."""

    fact: str
    title: str
    answer: str


@dataclass(frozen=True)
class HazardItem:
    """A hazard that may be asked about."""

    key: str
    fact: str
    title: str
    ask: str
    answer: str
    """In words once it was asked about, else empty."""
    closes: bool
    """It was asked about, and the answer stops the job or sends it on."""
    text: str
    """What follows from the answer: where it goes, or the caution; empty where it is clear."""


@dataclass(frozen=True)
class Observation:
    """Something that may be asked or looked at, at a price in minutes."""

    fact: str
    title: str
    ask: str
    how: str
    minutes: float
    answer: str
    """In words once it was asked, `UNTOLD` where the case does not say; else empty."""


class Round:
    """One round over one case. Not for several threads at once, but for `prepare`."""

    def __init__(
        self, case: PracticeCase, pack: RulePack, *, help: Help = Help.ALONE,
        worlds: int = WORLDS, clock: Callable[[], float] = time.monotonic,
    ) -> None:  # fmt: skip
        self.case = case
        self.pack = pack
        self.help = help
        self.worlds = worlds
        self.known: Case = case.intake
        self.step = Step.HAZARDS
        self.minutes = 0.0
        """Spent asking so far."""
        self.choices: Mapping[str, str] = choices_of(pack)
        """Every choice with its title, in the same order in every round."""
        self.drawn: tuple[DrawnForce, ...] = ()
        self.governing = ""
        self.first: Belief | None = None
        self.final: Belief | None = None
        self._hazards: dict[str, GateAdvice | None] = {}
        self._asked: list[str] = []
        self._clock = clock
        self._started = clock()
        self._seconds = 0.0
        self._truth: Truth | None = None
        self._forces: SectionForces | None = None

    # What is calculated

    def prepare(self, watch: Watch | None = None) -> None:
        """Calculate what the reveal and the forces need; may run on another thread.

        ``watch`` may stop it by raising. Raises BadInput where the case cannot be calculated.
        """
        if self._truth is None:
            truth = truth_of(self.case, self.pack, self.worlds, watch)
            self._forces = section_forces(truth.advice, self.pack, self.case.hidden.seed)
            self._truth = truth
            if self.help <= Help.COMPLETE:
                self._fill_in(truth, self._forces)

    def _fill_in(self, truth: Truth, forces: SectionForces) -> None:
        """What a worked example shows: every hazard, what was worth asking, the forces."""
        while waiting := [one for one in self.hazards if one.key not in self._hazards]:
            self.ask_hazard(waiting[0].key)
        self.step = Step.ASK
        for question in truth.questions:
            if question.fact in self.case.hidden.facts:
                self.ask(question.fact)
        offered = {one.cause for one in forces.offered}
        self.drawn = tuple(
            DrawnForce(one.cause, one.direction, min(one.rank, 3), one.when)
            for one in forces.calculated if one.cause in offered
        )  # fmt: skip
        self.step = Step.FORCES if forces.offered and self.help is Help.COMPLETE else Step.PLAN
        if self.help is Help.WORKED:
            self.governing = forces.governing
        self._started = self._clock()

    @property
    def truth(self) -> Truth:
        """What is right, calculated when first asked for. Not to be shown before the reveal."""
        self.prepare()
        assert self._truth is not None
        return self._truth

    def forces(self) -> SectionForces:
        """The forces of the case; before the reveal only ``offered`` may be shown."""
        self.prepare()
        assert self._forces is not None
        return self._forces

    # Looking, and the hazards

    @property
    def look(self) -> tuple[Seen, ...]:
        """What the first look tells, in asking order."""
        facts = self.case.intake.facts
        return tuple(
            Seen(name, decl.title, in_words(decl, facts[name]))
            for name, decl in self.pack.facts.items() if name in facts
        )  # fmt: skip

    @property
    def hazards(self) -> tuple[HazardItem, ...]:
        """The hazards of such a part in such a vehicle, each with its answer once asked.

        The list only grows: an answer may call for another question.
        """
        found = []
        for key in self._hazard_keys():
            gate, told = self.pack.gates[key], self._hazards.get(key)
            decl, value = self.pack.facts[gate.fact], self.case.hidden.facts.get(gate.fact)
            said = UNTOLD if value is None else in_words(decl, value)
            found.append(HazardItem(
                key, gate.fact, decl.title, decl.ask, said if key in self._hazards else "",
                told is not None and told.state is GateState.CLOSED,
                told.text if told and told.state is not GateState.OPEN else "",
            ))  # fmt: skip
        return tuple(found)

    def _hazard_keys(self) -> list[str]:
        cases = (self.case.intake, self.known, self.case.hidden)
        asked = {key for case in cases for key in self.pack.gates_asked(case)}
        return [key for key in self.pack.gates if key in asked]

    def ask_hazard(self, key: str) -> HazardItem:
        """Ask about a hazard; it is answered at once and stays asked. Once more is harmless."""
        self._at(Step.HAZARDS)
        if key not in self._hazard_keys():
            raise OutOfOrder(f"{key} is no hazard of this part")
        fact = self.pack.gates[key].fact
        if fact in self.case.hidden.facts:
            self.known = self.known.with_fact(fact, self.case.hidden.facts[fact])
        judged = {gate.gate: gate for gate in judge_gates(self.case.hidden, self.pack)}
        self._hazards[key] = judged.get(key)
        return next(one for one in self.hazards if one.key == key)

    def end_hazards(self) -> None:
        """Go on from the hazards: what was not asked by now counts as not asked."""
        self._at(Step.HAZARDS)
        self.step = Step.FIRST

    # The first choice, and asking

    def choose_first(self, belief: Belief) -> None:
        """Choose at the first look, before anything is asked."""
        self._at(Step.FIRST)
        self.first = self._checked(belief)
        self.step = Step.ASK

    def observations(self) -> tuple[Observation, ...]:
        """Everything that may be asked or looked at, in asking order, asked ones among them."""
        return tuple(self._observation(decl) for decl in self._may_be_asked())

    def _may_be_asked(self) -> list[FactDecl]:
        return [
            decl for decl in self.pack.asked(self.known)
            if not decl.gate and decl.name not in self.case.shown
            and (decl.kind is not Kind.TEXT or decl.reads)
        ]  # fmt: skip

    def _observation(self, decl: FactDecl) -> Observation:
        value = self.case.hidden.facts.get(decl.name)
        said = UNTOLD if value is None else in_words(decl, value)
        answer = said if decl.name in self._asked else ""
        return Observation(decl.name, decl.title, decl.ask, decl.how, decl.minutes, answer)

    def ask(self, fact: str) -> Observation:
        """Ask for a fact: its minutes run, also where the case does not say. Once more is free."""
        self._at(Step.ASK)
        decl = next((one for one in self._may_be_asked() if one.name == fact), None)
        if decl is None:
            raise OutOfOrder(f"{fact} is no question of this case")
        if fact not in self._asked:
            self._asked.append(fact)
            self.minutes += decl.minutes
            if fact in self.case.hidden.facts:
                self.known = self.known.with_fact(fact, self.case.hidden.facts[fact])
        return self._observation(decl)

    def end_asking(self) -> None:
        """Go on from asking; to the forces, or straight to the plan where nothing pulls."""
        self._at(Step.ASK)
        self.step = Step.FORCES if self.forces().offered else Step.PLAN

    # The forces, and the plan

    def worked_methods(self) -> tuple[tuple[str, str], ...]:
        """With ``Help.WORKED`` what became of each method that can be carried out, by title."""
        if self.help is not Help.WORKED:
            return ()
        return tuple(sorted(
            (one.title, one.because[0].text) for one in self.truth.advice.methods
            if one.because and one.status in (Status.HOLDS, Status.FAILS)
        ))  # fmt: skip

    def hint(self) -> str:
        """A sentence that helps with the step that is due; empty but with ``Help.HINTS``."""
        if self.help is not Help.HINTS:
            return ""
        forces, questions = self.forces(), self.truth.questions
        if self.step is Step.HAZARDS:
            return f"{len(self.hazards)} hazards concern such a part; none is safe to leave out"
        if self.step is Step.ASK:
            return f"Worth most: {questions[0].title}" if questions else "Nothing is worth asking"
        if self.step is Step.FORCES:
            largest = forces.calculated[0]
            return f"The largest force acts {WHEN_TITLES[largest.when]}"
        if self.step is Step.PLAN and forces.governing:
            return f"What decides: {forces.governing_title}"
        return ""

    def draw(self, force: DrawnForce) -> None:
        """Draw a force, or draw it anew: one of each cause."""
        self._at(Step.FORCES)
        self._offered(force.cause)
        if not 1 <= force.rank <= 3:
            raise OutOfOrder(f"rank {force.rank}; accepted: 1 to 3")
        self.drawn = (*(one for one in self.drawn if one.cause != force.cause), force)

    def rub_out(self, cause: str) -> None:
        """Take a drawn force away."""
        self._at(Step.FORCES)
        self.drawn = tuple(one for one in self.drawn if one.cause != cause)

    def name_governing(self, cause: str) -> None:
        """Name the force that decides, and go on to the plan."""
        self._at(Step.FORCES)
        self._offered(cause)
        self.governing = cause
        self.step = Step.PLAN

    def _offered(self, cause: str) -> None:
        if cause not in {one.cause for one in self.forces().offered}:
            raise OutOfOrder(f"{cause} is not among the forces offered")

    def decide(self, belief: Belief) -> None:
        """Choose the plan, or refer or decline, and say how sure: this ends the answering."""
        self._at(Step.PLAN)
        self.final = self._checked(belief)
        self._seconds = self._clock() - self._started
        self.step = Step.DONE

    def _checked(self, belief: Belief) -> Belief:
        for choice in filter(None, (belief.choice, belief.second)):
            if choice not in self.choices:
                raise OutOfOrder(f"{choice} is no choice; accepted: a method, refer or {DECLINE}")
        return belief

    def _at(self, step: Step) -> None:
        if self.step is not step:
            raise OutOfOrder(f"This is due at “{step}”; the round is at “{self.step}”")

    # Afterwards

    @property
    def answer(self) -> Answer:
        """All that was answered, once the round is done."""
        self._at(Step.DONE)
        assert self.final is not None
        return Answer(
            self.first or self.final, self.final, tuple(self._hazards), tuple(self._asked),
            self.drawn, self.governing, self._seconds, self.help,
        )  # fmt: skip

    def disagreeing(self, why: str) -> Answer:
        """The answer with the learner's objection, kept for the trainer."""
        return replace(self.answer, disagrees=why)

    def reveal(self) -> Reveal:
        """What was right and why, beside what was answered."""
        from advisor.practice.reveal import reveal

        return reveal(self.truth, self.answer, self.forces(), self.pack)
