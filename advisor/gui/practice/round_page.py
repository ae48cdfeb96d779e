"""A round: the part as at intake at the left, what is asked of the learner at the right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.advise import Advised, advise_quick
from advisor.drawing.section_layers import layers_of
from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.practice.force_board import ForceBoard
from advisor.gui.practice.photo_view import PhotoView
from advisor.gui.practice.round_panels import (
    AskPanel,
    ChoicePanel,
    ForcePanel,
    HazardPanel,
    StepPanel,
)
from advisor.gui.practice.two_sides import SIDE_BY_SIDE, TwoSides
from advisor.gui.widgets.page import label
from advisor.gui.widgets.stitch_line import StitchLine
from advisor.practice.answers import Help
from advisor.practice.cases import PracticeCase
from advisor.practice.round import HazardItem, Observation, Round, Seen, Step
from advisor.practice.truth import WORLDS
from advisor.rulegraph.model.pack import RulePack
from advisor.session.background import Background, Watch
from advisor.session.case_session import Session
from advisor.wording.durations import duration_text
from advisor.wording.sentences import lowered, sentence

LOOK = 30
"""Milliseconds between two looks whether the case is worked out."""
FACTS_SHARE = 0.4
"""Share of the height that what is known of the case may take."""
WORKED_SHARE = 0.55
"""The same in a worked example, which is read."""
LOW, LOW_SHARE = 620, 0.22
"""Height at 100 % text below which a narrow page, one part under the other, shows the section only
while forces are drawn on it; what is known has this share then."""
SHARES = (5, 4)
MOST_HIGH = 16777215  # Qt's own: no limit
POSSIBLE = "Methods that could be carried out:"
FEW = 64
"""Simulated cases that the section is drawn from: it needs no figures."""
NBSP = "\u00a0"
DOT = f"{NBSP}{NBSP} "
STEPS = (Step.HAZARDS, Step.FIRST, Step.ASK, Step.FORCES, Step.PLAN)
HELP_WORDS = {
    Help.WORKED: "Worked example: read it, then name the repair.",
    Help.COMPLETE: "The forces are given: name the one that decides, then the repair.",
    Help.HINTS: "",
    Help.ALONE: "",
}


class RoundPage(QWidget):
    """Leads through a round; ``over`` goes out with it once all is answered."""

    over = Signal(object)
    left = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self.round: Round | None = None
        self.worlds = WORLDS
        self._work: Background | None = None
        self._wait = QTimer(self)
        self._wait.timeout.connect(self._looked)
        self.title = QLabel(self)
        self.title.setObjectName("headline")
        self.title.setWordWrap(True)
        self.progress = StitchLine(self)
        self.clock = QLabel(self)
        self.clock.setObjectName("quiet")
        self.board = ForceBoard(self)
        self.photo = PhotoView(self)
        self.photos = QPushButton("Photo (F9)", self)
        self.photos.setToolTip("From section to photo, to the next photo, and back")
        self.photos.clicked.connect(self.turn_photo)
        self._photo = 0
        """Which photo stands in the place of the section, from 1; 0: the section."""
        self.told, self.asked = label("", "", self), label("", "now", self)
        self.methods = label("", "", self)
        """In a worked example: what became of each method that can be carried out."""
        for widget in (self.told, self.asked, self.methods):
            widget.setTextFormat(Qt.TextFormat.RichText)
        self.head = QLabel(self)
        self.head.setObjectName("question")
        self.head.setWordWrap(True)
        self.helped = label("", "now", self)
        self.panels: dict[Step, StepPanel] = {
            Step.HAZARDS: HazardPanel(self), Step.FIRST: ChoicePanel(self),
            Step.ASK: AskPanel(self), Step.FORCES: ForcePanel(self.board, self),
            Step.PLAN: ChoicePanel(self),
        }  # fmt: skip
        plan = self.panels[Step.PLAN]
        assert isinstance(plan, ChoicePanel)
        plan.first = False
        self.stack = QStackedWidget(self)
        for panel in self.panels.values():
            self.stack.addWidget(panel)
            panel.changed.connect(self._changed)
        self.fault = label("", "fault", self)
        self.hint = QPushButton("Hint (F8)", self)
        self.hint.clicked.connect(self.open_hint)
        self.leave = QPushButton("Leave", self)
        self.leave.clicked.connect(self.left)
        self.next = QPushButton("Go on", self)
        self.next.setObjectName("main")
        self.next.clicked.connect(self.go_on)
        self._lay_out()

    def _lay_out(self) -> None:
        case = QFrame(self)
        case.setObjectName("card")
        left = QVBoxLayout(case)
        left.setContentsMargins(12, 8, 12, 8)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.photos, 0, Qt.AlignmentFlag.AlignTop)
        left.addLayout(head)
        left.addWidget(self.board, 1)
        left.addWidget(self.photo, 1)
        self.photo.hide()
        self.facts = QScrollArea(case)
        self.facts.setWidgetResizable(True)
        self.facts.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.facts.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget(self.facts)
        self._known = column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 4, 0)
        for widget in (self.methods, self.asked, self.told):
            column.addWidget(widget)
        column.addStretch(1)
        self.facts.setWidget(inside)
        left.addWidget(self.facts)
        answered = QFrame(self)
        answered.setObjectName("card")
        right = QVBoxLayout(answered)
        right.setContentsMargins(12, 8, 12, 8)
        top = QHBoxLayout()
        top.addWidget(self.progress, 1)
        top.addWidget(self.clock)
        right.addLayout(top)
        right.addWidget(self.head)
        right.addWidget(self.helped)
        right.addWidget(self.stack, 1)
        right.addWidget(self.fault)
        row = QHBoxLayout()
        row.addWidget(self.leave)
        row.addWidget(self.hint)
        row.addStretch(1)
        row.addWidget(self.next)
        for button in (self.leave, self.hint, self.next, self.photos):
            button.setMinimumHeight(theme.TARGET)
        right.addLayout(row)
        self._sides = TwoSides(self, case, answered, SHARES)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side, or one under the other where it is narrow."""
        super().resizeEvent(event)
        self._sides.turn(self.width())
        if self.round is not None and self.round.step is not Step.DONE:
            self._changed()

    def _fit(self) -> None:
        """What is known takes the height it needs, up to a share; the section has the rest."""
        low = self.width() < SIDE_BY_SIDE and self.height() < theme.px(LOW)
        forces = self.round is not None and self.round.step is Step.FORCES
        for side, stretch in enumerate((0, 1) if low else SHARES):
            self._sides.setStretch(side, stretch)
        self.board.setHidden(bool(self._photo) or (low and not forces))
        self.board.setMaximumHeight(self.board.rows_height if low else MOST_HIGH)
        self.photo.setHidden(not self._photo)
        self.photo.setMaximumHeight(int(LOW_SHARE * self.height()) if low else MOST_HIGH)
        self.facts.setHidden(low and (forces or bool(self._photo)))
        needed = max(self._known.heightForWidth(self.facts.viewport().width()), 0)
        left = self.height() - self.board.minimumSizeHint().height() - self.title.height() - 40
        share = FACTS_SHARE if self.methods.isHidden() else WORKED_SHARE
        if low:
            share, left = LOW_SHARE, self.height()
        most = min(int(share * self.height()), max(left, theme.TARGET))
        self.facts.setFixedHeight(min(needed, most))

    # -- a round begins --------------------------------------------------------------

    def begin(self, case: PracticeCase, help_: Help) -> None:
        """Show a case as at intake; what is right is worked out meanwhile."""
        self._stop()
        self.round = one = Round(case, self._pack, help=help_, worlds=self.worlds)
        self._work = Background(lambda watch: _prepared(one, watch))
        self._wait.start(LOOK)
        self.title.setText(sentence(case.title).removesuffix("."))
        self.photos.setVisible(bool(case.photos))
        self._show_photo(1 if case.photos else 0)
        self.board.drawing_on = False  # a round may have been left while its forces were drawn
        self.methods.hide()
        self._draw_section()
        if help_ <= Help.COMPLETE:
            self.head.setText("Being worked out...")
            self.stack.setEnabled(False)
            self._enable()
        else:
            self._show_step()

    def turn_photo(self) -> None:
        """From the section to each photo in turn, and back."""
        if self.round is not None and self.round.case.photos:
            self._show_photo((self._photo + 1) % (len(self.round.case.photos) + 1))

    def _show_photo(self, number: int) -> None:
        assert self.round is not None
        self._photo, photos = number, self.round.case.photos
        if number:
            said = f"Photo {number} of {len(photos)}, before the repair"
            self.photo.show_photo(photos[number - 1], said)
        self._fit()

    def _draw_section(self) -> None:
        assert self.round is not None
        advice = advise_quick(self.round.known, self._pack, FEW, rough=True).advice
        self.board.show_section(layers_of(advice, self._pack), self._session.system)

    @property
    def is_ready(self) -> bool:
        """Whether what is right has been worked out."""
        return self._work is None or self._work.over

    def _looked(self) -> None:
        work, one = self._work, self.round
        if work is None or one is None or not work.over:
            return
        self._stop()
        if isinstance(work.fault, BadInput):
            self.fault.setText(str(work.fault))
            self.fault.show()
            self.next.setEnabled(False)
            return
        if work.fault is not None:
            raise work.fault
        if one.help <= Help.COMPLETE:
            self._show_worked(one)
        self._enable()

    def _stop(self) -> None:
        self._wait.stop()
        if self._work is not None and not self._work.over:
            self._work.stop()
        self._work = None

    def _show_worked(self, one: Round) -> None:
        """What stands there already of a worked or half-worked example, then what is left."""
        self._draw_section()
        titles = {offer.cause: offer.title for offer in one.forces().offered}
        self.board.show_drawn(one.drawn, titles)
        worked = [f"<li><b>{escape(title)}</b>: {escape(why)}</li>"
                  for title, why in one.worked_methods()]  # fmt: skip
        self.methods.setText(f"{POSSIBLE}<ul style='margin:0'>{''.join(worked)}</ul>")
        self.methods.setVisible(bool(worked))
        self._show_step()

    # -- its steps ---------------------------------------------------------------------

    def _show_step(self) -> None:
        assert self.round is not None
        panel = self.panels[self.round.step]
        if self.round.step is Step.FORCES:
            self._show_photo(0)
        panel.fill(self.round)
        self.stack.setEnabled(True)
        self.stack.setCurrentWidget(panel)
        self.head.setText(panel.head)
        self._help()
        self._changed()
        panel.take_focus()

    def _help(self) -> None:
        assert self.round is not None
        one = self.round
        said = HELP_WORDS[one.help]
        if one.help is Help.COMPLETE and not one.forces().offered:
            said = "No force decides here: name the repair."
        elif one.help <= Help.COMPLETE and one.governing:
            said += f" What decides: {lowered(one.forces().governing_title)}."
        self.helped.setText(said)
        self.helped.setVisible(bool(said))

    def open_hint(self) -> None:
        """A hint for the step; only where hints are offered."""
        if self.round is not None and self.round.help is Help.HINTS and self.is_ready:
            self.helped.setText(sentence(self.round.hint() or "No hint for this step"))
            self.helped.show()

    def _changed(self) -> None:
        one = self.round
        if one is None:
            return
        self.fault.hide()
        if one.step in STEPS:
            done = STEPS.index(one.step)
            self.progress.show_progress(done, len(STEPS) - done, f"Step {done + 1} of {len(STEPS)}")
        self.clock.setText(f"Asked: {duration_text(one.minutes) if one.minutes else '0 min'}")
        self.told.setText(self._in_line(one.look))
        asked: list[HazardItem | Observation] = [
            *(item for item in one.hazards if item.answer),
            *(item for item in one.observations() if item.answer),
        ]
        self.asked.setText(self._in_line(asked))
        self.asked.setVisible(bool(asked))
        self._fit()
        if one.step is Step.ASK:
            self._draw_section()
        self._enable()

    def _in_line(self, items: Iterable[Seen | HazardItem | Observation]) -> str:
        """What is known, as rich text: answers stand out, items are broken only where they must."""
        room = 0.85 * self.facts.viewport().width()
        said = []
        for item in items:
            answer = lowered(item.answer)
            text = f"{escape(item.title)}: <b>{escape(answer)}</b>"
            fits = self.told.fontMetrics().horizontalAdvance(f"{item.title}: {answer}") < room
            said.append(text.replace(" ", NBSP) if fits else text)
        return DOT.join(said)

    def _enable(self) -> None:
        one = self.round
        if one is None:
            return
        worked = one.help <= Help.COMPLETE
        waits = not self.is_ready and (worked or one.step in (Step.ASK, Step.PLAN))
        self.next.setEnabled(not waits)
        last = one.step is Step.PLAN
        self.next.setText("Being worked out..." if waits else "Show the answer" if last
                          else "Go on")  # fmt: skip
        self.hint.setVisible(one.help is Help.HINTS)

    def go_on(self) -> None:
        """End the step, unless something of it is still to be done."""
        one = self.round
        if one is None or not self.next.isEnabled() or one.step is Step.DONE:
            return
        panel = self.panels[one.step]
        lacks = panel.lacks()
        if lacks:
            self.fault.setText(lacks)
            self.fault.show()
            return
        panel.leave()
        self._after(one)

    def _after(self, one: Round) -> None:
        if one.step is Step.DONE:
            self._stop()
            self.over.emit(one)
        else:
            self._show_step()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; other keys are for the step."""
        one = self.round
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go_on()
        elif event.key() == Qt.Key.Key_F8:
            self.open_hint()
        elif event.key() == Qt.Key.Key_F9:
            self.turn_photo()
        elif one is None or one.step is Step.DONE or event.modifiers() & (
            Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier
        ) or not self.panels[one.step].take_key(event):
            super().keyPressEvent(event)


def _prepared(one: Round, watch: Watch) -> Iterator[Advised]:
    one.prepare(watch)
    yield one.truth.whole
