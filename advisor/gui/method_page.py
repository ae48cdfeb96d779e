"""The method: verdict, plan, price, why, what else would do, what would change it."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget

from advisor.advice.result import GateState, PlanAdvice, Verdict
from advisor.gui.hub import Hub
from advisor.gui.interview import next_best
from advisor.gui.pages import Page, gate_line, label, open_gates, plan_withheld, stopping_lines
from advisor.gui.reasons import ReasonsTree
from advisor.gui.words import (
    ESTIMATE,
    VERDICT_WORDS,
    capital,
    hold_line,
    plan_line,
    settled_line,
)
from advisor.report import words


class MethodPage(Page):
    """The argued choice. ``asked`` carries a question to go to."""

    asked = Signal(str)

    def __init__(self, hub: Hub, parent: QWidget | None = None) -> None:
        super().__init__(hub, parent)
        self.tree = ReasonsTree(self.inside)
        self.tree.setMinimumHeight(280)
        self.tree.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.headline = QLabel(self.inside)
        self.question = QPushButton(self.inside)
        self.question.setObjectName("main")
        self.question.clicked.connect(self._go)

    def redraw(self) -> None:
        """Verdict first, in words; then what it rests on."""
        advice = self.advice
        self.clear_column(keep=(self.tree, self.question))
        look = "refer" if advice.verdict in (Verdict.REFER, Verdict.DECLINE) else "headline"
        text = f"{VERDICT_WORDS[advice.verdict]}. {words.sentence(advice.headline)}"
        self.headline = self.say(text, look)
        for line in stopping_lines(advice):
            self.say(line, "fault")
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
        self.column.addWidget(self.tree, 1)
        self.tree.show()
        for note in dict.fromkeys((*advice.notes, ESTIMATE)):
            self.say(words.sentence(note), "small")

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
                self.say(gate_line(gate.title, gate.state, gate.text), "caution")

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
        others = [p for p in self.advice.plans if plan is None or p.methods != plan.methods][:4]
        if not others:
            return
        self.head("Other ways")
        for other in others:
            price = words.price(other.price, self.advice.currency)
            self._row(plan_line(other), f"{capital(price)}; {hold_line(other)}.")

    def _row(self, title: str, under: str) -> None:
        box = QWidget(self.inside)
        layout = QHBoxLayout(box)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(label(title, "", box), 3)
        layout.addWidget(label(under, "quiet", box), 2)
        self.column.addWidget(box)

    def _flips(self) -> None:
        flips = () if plan_withheld(self.advice) else self.hub.session.full_advice.flips
        if not flips:
            return
        self.head("What would change the choice")
        for flip in flips[:5]:
            self.say(words.sentence(flip.text))

    def _go(self) -> None:
        self.asked.emit(str(self.question.property("fact")))
