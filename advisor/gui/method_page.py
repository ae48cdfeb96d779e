"""The method: verdict, plan, price, why, what else would do, what would change it."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from advisor.advice.result import GateState, PlanAdvice, Verdict
from advisor.gui.hub import Hub
from advisor.gui.interview import next_best
from advisor.gui.pages import Page, gate_line, open_gates, plan_withheld
from advisor.gui.reasons import ReasonsTree
from advisor.gui.words import (
    ESTIMATE,
    capital,
    hold_line,
    plan_line,
    settled_line,
)
from advisor.report import words

#: Said before the headline, where nothing is to be repaired.
LOUD = {Verdict.REFER: "Stop: refer this job.", Verdict.DECLINE: "Do not repair."}


class MethodPage(Page):
    """The argued choice. ``asked`` carries a question to go to."""

    asked = Signal(str)

    def __init__(self, hub: Hub, parent: QWidget | None = None) -> None:
        super().__init__(hub, parent)
        self.tree = ReasonsTree(self.inside)
        self.tree.grow_with_content()
        self.headline = QLabel(self.inside)
        self.question = QPushButton(self.inside)
        self.question.setObjectName("main")
        self.question.clicked.connect(self._go)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.timeout.connect(self._work_out)

    def redraw(self) -> None:
        """Verdict first, in words; then what it rests on."""
        advice = self.advice
        self.clear_column(keep=(self.tree, self.question))
        loud = advice.verdict in LOUD
        text = f"{LOUD.get(advice.verdict, '')} {words.sentence(advice.headline)}".strip()
        self.headline = self.say(text, "refer" if loud else "headline")
        for gate in advice.gates:
            if gate.state is GateState.CLOSED and gate.text not in text:
                self.say(gate_line(gate, self.hub.session.pack), "fault")
        self._next_question()
        self._cautions()
        if advice.plan is not None and not plan_withheld(advice):
            self._plan(advice.plan)
            self._alternatives()
        elif plan_withheld(advice):
            self.say("No plan is shown while a hazard stops the job.")
        for finding in advice.findings:
            self.say(words.sentence(finding), "now")
        self._flips()
        self.head("Why")
        self.tree.show_reasons(advice.reasons, self.hub.session.system)
        self.column.addWidget(self.tree)
        self.tree.show()
        for note in dict.fromkeys((*advice.notes, ESTIMATE)):
            self.say(words.sentence(note), "small")
        self.column.addStretch(1)

    def _next_question(self) -> None:
        session = self.hub.session
        fact = next_best(session.pack, session.case, self.advice)
        self.question.setVisible(fact is not None)
        self.column.addWidget(self.question)
        if fact is None:
            return
        title = session.pack.facts[fact].title
        waiting = open_gates(self.advice)
        if waiting and self.advice.verdict is Verdict.ASK:
            self.question.setText(f"Answer the hazard question: {title}")
        else:
            self.question.setText(f"Ask next: {title}")
        self.question.setProperty("fact", fact)

    def _cautions(self) -> None:
        for gate in self.advice.gates:
            if gate.state is GateState.CAUTION:
                self.say(gate_line(gate, self.hub.session.pack), "caution")

    def _plan(self, plan: PlanAdvice) -> None:
        advice = self.advice
        self.head("Leads so far, not final" if advice.provisional else "The plan, in this order")
        for number, title in enumerate(plan.titles, start=1):
            self.say(f"{number}.  {title}")
        self.say(
            f"{capital(words.price(plan.price, advice.currency))}. "
            f"{capital(words.durations(plan.minutes))}. {capital(hold_line(plan))}.",
        )
        self.say(settled_line(advice), "quiet")

    def _alternatives(self) -> None:
        plan = self.advice.plan
        shown = {plan.titles} if plan is not None else set()
        others: list[PlanAdvice] = []
        for other in self.advice.plans:
            if other.titles not in shown:
                shown.add(other.titles)
                others.append(other)
        if others:
            self.head("Other ways")
        for other in others[:4]:
            price = words.price(other.price, self.advice.currency)
            self.say(plan_line(other))
            under = self.say(f"{capital(price)}; {hold_line(other)}.", "quiet")
            under.setContentsMargins(18, 0, 0, 4)

    def _flips(self) -> None:
        session = self.hub.session
        if plan_withheld(self.advice) or self.advice.plan is None:
            return
        if not session.full_is_ready:
            # The page stands at once; this takes some tenths of a second more.
            self.head("What would change the choice")
            self.say("Being worked out...", "quiet")
            self._later.start(0)
            return
        flips = session.full_advice.flips[:5]
        if flips:
            self.head("What would change the choice")
        for flip in flips:
            self.say(words.sentence(flip.text))

    def _work_out(self) -> None:
        if self.isVisible() and not self.hub.session.full_is_ready:
            _ = self.hub.session.full_advice
            self.redraw()

    def _go(self) -> None:
        self.asked.emit(str(self.question.property("fact")))
