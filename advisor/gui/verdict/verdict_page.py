"""The method: verdict, plan, price, how settled it is, what would change it, and why."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QWidget

from advisor.advice.result import Flip, GateState, MethodAdvice, NotCovered, PlanAdvice
from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.verdict.verdict_card import VerdictCard
from advisor.gui.widgets.casebook_asker import Asker
from advisor.gui.widgets.page import (
    Page,
    declined,
    gate_line,
    label,
    open_gates,
    plan_withheld,
    point,
)
from advisor.gui.widgets.page_part import PagePart
from advisor.gui.widgets.reasons_tree import ReasonsTree
from advisor.gui.widgets.stop_banner import STOP
from advisor.session.answer_text import ESTIMATE, hold_line, plan_line, settled_line
from advisor.session.confidence_text import driver_lines, overlap_line, risk_line, sample_line
from advisor.session.screens import HAZARD_PAGE, next_open
from advisor.session.what_if import flip_value
from advisor.wording.counts import of_hundred
from advisor.wording.money import price_text
from advisor.wording.sentences import capital, lowered, sentence

MOST_FLIPS = 5
#: Milliseconds before the first slice of what takes longer: the page is drawn before it.
SOON = 30


class VerdictPage(Page):
    """The argued choice. ``asked`` carries a question to go to."""

    asked = Signal(str)
    graph_wanted = Signal()

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(navigator, parent)
        self.tree = ReasonsTree(self.inside)
        self.tree.grow_with_content()
        self.tree.lesson_wanted.connect(navigator.lesson_wanted)
        self.area.verticalScrollBar().valueChanged.connect(self.tree.viewport().update)
        self.card = VerdictCard(navigator, self.inside)
        self.best = QPushButton(self.card)
        self.best.setMinimumHeight(theme.TARGET)
        self.best.clicked.connect(self.show_best)
        self.card.column.addWidget(self.best)
        self.headline = QLabel(self.inside)
        self.question = QPushButton(self.inside)
        self.question.setObjectName("main")
        self.question.clicked.connect(self._go)
        self.graph = QPushButton("Show the rule graph", self.inside)
        self.graph.setToolTip("Ctrl+G: from the facts to the methods, step by step")
        self.graph.clicked.connect(self.graph_wanted)
        self.drivers = PagePart(self.inside)
        self.flips = PagePart(self.inside)
        self.tries: list[QPushButton] = []
        self.more = QPushButton(self.flips)
        self.more.clicked.connect(self._show_every_flip)
        self._every_flip = False
        self._asker: Asker | None = None
        self._shown_flips: tuple[Flip, ...] = ()
        # The page stands at once; what takes longer follows in slices between the events.
        self._later = QTimer(self)
        self._later.timeout.connect(self._work_a_slice)

    def redraw(self) -> None:
        """Verdict first, in words; then what it rests on."""
        advice = self.advice
        kept = (self.tree, self.question, self.drivers, self.flips, self.graph, self.card)
        self.clear_column(keep=kept)
        for box in kept:
            box.hide()
        loud = declined(advice) or plan_withheld(advice)
        text = declined(advice) or sentence(advice.headline)
        text = f"{STOP} {text}" if plan_withheld(advice) else text
        argued = advice.plan is not None and not loud
        if not argued:
            self.headline = self.say(text, "refer" if loud else "headline")
        for gate in advice.gates:
            if gate.state is GateState.CLOSED and gate.text not in text:
                self.say(gate_line(gate, self.navigator.session.pack), "fault")
        if argued and advice.plan is not None:
            if not advice.provisional:
                self._plan(advice.plan)
            self.headline = self.say(text, "quiet")
        self._next_question()
        self._cautions()
        self._findings()
        if declined(advice):
            self._nearest(advice.plan)
        elif advice.plan is not None and not plan_withheld(advice):
            if advice.provisional:
                self._plan(advice.plan)
            self._settled()
            self._alternatives()
            self.column.addWidget(self.flips)
        elif plan_withheld(advice):
            self.say("No plan is shown while a hazard stops the job.")
        elif advice.not_covered is not None:
            self._not_covered(advice.not_covered)
        self._why()
        self.column.addStretch(1)

    def _next_question(self) -> None:
        session = self.navigator.session
        known = {entry.key for entry in self.navigator.order}
        fact = next_open(self.advice, session.left_open, known)
        self.question.setVisible(fact is not None)
        self.column.addWidget(self.question)
        if fact is None:
            return
        title = session.pack.facts[fact].title
        waiting = open_gates(self.advice, session.pack)
        if len(waiting) > 1:
            self.question.setText(f"Answer the {len(waiting)} open hazard questions")
            self.question.setProperty("fact", HAZARD_PAGE)
            self.say(f"{', '.join(waiting)}.", "quiet")
            return
        self.question.setText(
            f"Answer the hazard question: {title}" if waiting else f"Ask next: {title}"
        )
        self.question.setProperty("fact", fact)
        asked = next(question for question in self.advice.ask if question.fact == fact)
        self.say(sentence(asked.why_in(session.system)), "quiet")

    def _cautions(self) -> None:
        for gate in self.advice.gates:
            if gate.state is GateState.CAUTION:
                self.say(gate_line(gate, self.navigator.session.pack), "caution")

    def _findings(self) -> None:
        """Measurements that nothing known here explains."""
        if self.advice.findings:
            text = "\n".join(sentence(finding) for finding in self.advice.findings)
            said = f"Measure again: a measurement does not agree with the rest.\n{text}"
            self.say(said, "finding")

    def _not_covered(self, told: NotCovered) -> None:
        """What is nearest, and what a person checks: no method, no price."""
        for head, near in told.nearest_lines:
            self.head(head)
            self.say(capital(near) + ".")
        self.head("What a person checks")
        for text in told.check:
            self.put(point("•", text, self.inside))

    def _plan(self, plan: PlanAdvice) -> None:
        advice = self.advice
        if advice.provisional:
            self.head("Best so far, not final")
        self.put(self.card)
        self.card.show_plan(advice, plan)
        self.best.hide()
        self._look_what_the_shop_saw()

    def _look_what_the_shop_saw(self) -> None:
        """The card says it beside what is calculated, once the casebook has answered."""
        keeping = self.navigator.session.keeping
        if keeping is not None and keeping.started and keeping.experience is None:
            self._asker = self._asker or Asker(keeping, self)
            if not self._asker.waiting:
                self._asker.ask("experience", keeping.learn, lambda _: self.redraw())

    def show_rung(self, method: MethodAdvice) -> None:
        """The card of another method, whose bar was pressed; the choice stays what it is."""
        plan = self.advice.plan
        if plan is None or not self.card.isVisible():
            return
        if method.method == plan.lead:
            self.show_best()
            return
        self.card.show_method(self.advice, method)
        self.best.setText(f"Back to: {plan.lead_title}")
        self.best.show()
        self.area.verticalScrollBar().setValue(0)

    def show_best(self) -> None:
        """The card of the plan that leads again."""
        if self.advice.plan is not None:
            self.best.hide()
            self.card.show_plan(self.advice, self.advice.plan)

    def _nearest(self, plan: PlanAdvice | None) -> None:
        """What was found where a repair is advised against: no price, so that nobody does it."""
        if plan is None:
            return
        self.head("The nearest method, not advised")
        self.say(plan_line(plan))
        self.say(f"Possible in {of_hundred(plan.possible_probability)} simulated cases; "
                 f"where it is: {hold_line(plan)}.", "quiet")
        self._fill_flips()
        self._work_on()
        self.column.addWidget(self.flips)

    def _settled(self) -> None:
        self.head("How certain this is")
        self.say(settled_line(self.advice))
        self.say(risk_line(self.advice))
        self.column.addWidget(self.drivers)
        self.say(sample_line(self.advice), "small")
        self._fill_drivers()
        self._fill_flips()
        self._work_on()

    def _work_on(self) -> None:
        """Begin what takes longer."""
        session = self.navigator.session
        # What takes many simulated cases comes from the background, and the page is redrawn.
        in_background = session.unfinished or session.thorough.case is session.case
        if not session.full_is_ready and not in_background:
            self._later.start(SOON)

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
            self.say(plan_line(other))
            counts = self.navigator.session.shop_counts(other)
            held = () if self.advice.open_hazards else (hold_line(other),)
            said = "; ".join((*held, *counts))
            if other.price is not None:
                said = f"{price_text(other.price, self.advice.currency, self.advice.tax)}; {said}"
            under = self.say(f"{capital(said)}." if said else "", "quiet")
            under.setContentsMargins(18, 0, 0, 4)

    def _why(self) -> None:
        self.head("Why")
        session = self.navigator.session
        self.tree.show_reasons(self.advice.reasons, session.system, session.rule_folders)
        self.column.addWidget(self.tree)
        self.tree.show()
        self.column.addWidget(self.graph)
        self.graph.setVisible(bool(self.advice.methods))
        for note in dict.fromkeys((*self.advice.notes, ESTIMATE)):
            self.say(sentence(note), "small")

    # -- what is worked out while the page already stands ------------------------

    @property
    def is_working(self) -> bool:
        """Whether slices of work are still to come."""
        return self._later.isActive()

    def _work_a_slice(self) -> None:
        session = self.navigator.session
        if not self.isVisible() or session.full_is_ready or session.unfinished:
            self._later.stop()
            return
        self._later.setInterval(0)
        if not session.work_a_slice():
            self._later.stop()
            self._fill_drivers()
            self._fill_flips()

    def _fill_drivers(self) -> None:
        session = self.navigator.session
        advice = session.full_so_far
        asked = {f.name for f in session.pack.asked(session.case)}
        lines = driver_lines(advice, asked - set(session.case.facts))
        if declined(advice):
            lines = []
        self.drivers.clear()
        if lines and advice.plan is not None:
            self.drivers.say(f"How close “{lowered(advice.plan.lead_title)}” comes to its limit "
                             "is not known exactly:")
            for line in lines:
                self.drivers.put(point("•", line, self.drivers))
            self.drivers.say(overlap_line(advice), "small")
        self.drivers.setVisible(bool(lines))

    def _fill_flips(self) -> None:
        session = self.navigator.session
        ready = session.full_is_ready
        found = session.full_so_far.flips if ready else ()
        # One more takes no more room than the button that would offer it.
        every = self._every_flip or len(found) <= MOST_FLIPS + 1
        flips = found if every else found[:MOST_FLIPS]
        held = [button.hasFocus() for button in self.tries]
        self.flips.clear(keep=self.more)
        self.tries, self._shown_flips = [], flips
        if flips or not ready:
            self.flips.say("What would change the choice", "section")
        if not ready:
            self.flips.say("Being calculated...", "quiet")
        if flips:
            rows = self._flip_rows(flips)
            self.flips.put(rows)
        self.more.setText(f"Show {len(found) - len(flips)} more")
        self.flips.layout_.addWidget(self.more)
        self.more.setVisible(len(found) > len(flips))
        if any(held) and self.tries:
            self.tries[0].setFocus()
        self.flips.setVisible(bool(flips) or not ready)

    def _flip_rows(self, flips: tuple[Flip, ...]) -> QWidget:
        rows = QWidget(self.flips)
        grid = QGridLayout(rows)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(8)
        grid.setHorizontalSpacing(18)
        system = self.navigator.session.system
        for line, flip in enumerate(flips):
            grid.addWidget(label(sentence(flip.text_in(system)), "", rows), line, 0)
            button = QPushButton("Try it", rows)
            button.setMinimumHeight(theme.TARGET)
            button.setAccessibleName(f"Try it: {flip.title}, {flip.to_in(system)}")
            button.setProperty("flip", line)
            button.clicked.connect(self._try)
            grid.addWidget(button, line, 1)
            self.tries.append(button)
        grid.setColumnStretch(0, 1)
        return rows

    def _show_every_flip(self) -> None:
        """All that would change the choice, the next one under the keyboard."""
        self._every_flip = True
        self._fill_flips()
        if len(self.tries) > MOST_FLIPS:
            self.tries[MOST_FLIPS].setFocus()

    def _try(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton):
            self.try_flip(self._shown_flips[int(button.property("flip"))])

    def _go(self) -> None:
        self.asked.emit(str(self.question.property("fact")))

    def try_flip(self, flip: Flip) -> None:
        """Lay the trial of a flip over the page."""
        self.navigator.try_answer(flip.fact, flip_value(flip, self.navigator.session))

