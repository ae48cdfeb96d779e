"""After a round: theirs beside the calculated, why the others fail, and the twin."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.advise import advise_quick
from advisor.advice.result import Status
from advisor.drawing.pull_and_strength import PullAndStrength, tempting
from advisor.drawing.section_layers import layers_of
from advisor.gui import theme
from advisor.gui.practice.enter_line import EnterLine
from advisor.gui.practice.force_board import ForceBoard
from advisor.gui.practice.two_sides import TwoSides
from advisor.gui.widgets.page import label, point
from advisor.gui.widgets.refilled_column import empty
from advisor.gui.widgets.section_view import SectionView
from advisor.gui.widgets.strength_view import StrengthView
from advisor.practice.reveal import Reveal, TwinShown, WrongMethod
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD, method_word
from advisor.session.answer_text import STATUS_WORDS
from advisor.session.case_session import Session
from advisor.wording.counts import of_hundred, percent
from advisor.wording.durations import duration_text
from advisor.wording.money import money_text
from advisor.wording.sentences import lowered, sentence

STRENGTHS = 3
"""Methods whose strength is drawn against the pull: the right one, and the nearest two."""
MOST_RULED_OUT = 6
"""Methods that are not possible here and are told, the cheapest first."""
TWIN_WORLDS = 512


def in_order(wrong: Sequence[WrongMethod]) -> list[WrongMethod]:
    """The own choice first, then what a force breaks, what costs more, what is not possible."""
    ranks = {Status.FAILS: 0, Status.HOLDS: 1}
    found = sorted(wrong, key=lambda one: (not one.chosen, ranks.get(one.status, 2)))
    ruled_out = [one for one in found if one.status not in ranks and not one.chosen]
    return [one for one in found if one not in ruled_out[MOST_RULED_OUT:]]


class RevealPage(QWidget):
    """Everything that is shown after a round; ``done`` asks for the next case."""

    done = Signal()
    stopped = Signal()
    disagreed = Signal(str)
    lesson_wanted = Signal(object)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        assert isinstance(session.pack, RulePack)
        self._pack: RulePack = session.pack
        self.shown: Reveal | None = None
        self.headline = QLabel(self)
        self.headline.setObjectName("headline")
        self.headline.setWordWrap(True)
        self.board = ForceBoard(self)
        self.strength = StrengthView(self)
        self.column = QVBoxLayout()
        self.column.setSpacing(6)
        self.next = QPushButton("Next case", self)
        self.next.setObjectName("main")
        self.next.clicked.connect(self.done)
        self.leave = QPushButton("Stop here", self)
        self.leave.clicked.connect(self.stopped)
        self.twin = QPushButton("The twin", self)
        self.twin.clicked.connect(self.show_twin)
        self.differences: list[QPushButton] = []
        self.objection = EnterLine(self)
        self._lay_out()

    def _lay_out(self) -> None:
        self.drawn = QFrame(self)
        self.drawn.setObjectName("card")
        self.left = QVBoxLayout(self.drawn)
        self.left.setContentsMargins(12, 8, 12, 8)
        self.left.addWidget(self.headline)
        self.twin_place = QWidget(self.drawn)
        self.sections = QHBoxLayout(self.twin_place)
        self.sections.setContentsMargins(0, 0, 0, 0)
        self.left.addWidget(self.board, 1)
        self.left.addWidget(self.strength)
        self.left.addWidget(self.twin_place, 1)
        self.twin_place.hide()
        words = QFrame(self)
        words.setObjectName("card")
        right = QVBoxLayout(words)
        right.setContentsMargins(12, 8, 12, 8)
        self.area = QScrollArea(words)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        inside = QVBoxLayout(self.inside)
        inside.setContentsMargins(0, 0, 4, 0)
        inside.addLayout(self.column)
        self.area.setWidget(self.inside)
        right.addWidget(self.area, 1)
        row = QHBoxLayout()
        row.addWidget(self.leave)
        row.addWidget(self.twin)
        row.addStretch(1)
        row.addWidget(self.next)
        for button in (self.leave, self.twin, self.next):
            button.setMinimumHeight(theme.TARGET)
        right.addLayout(row)
        self._sides = TwoSides(self, self.drawn, words)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side, or one under the other where it is narrow."""
        super().resizeEvent(event)
        self._sides.turn(self.width())
        self._fit()

    def _fit(self) -> None:
        """Strength against pull stands under the forces where there is the height for it."""
        high = self.height() >= theme.px(540)
        self.strength.setVisible(bool(self._strengths()) and high and self.twin_place.isHidden())

    def take_focus(self) -> None:
        """Enter asks for the next case."""
        self.next.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on to the next case; T shows the twin, figures say what differed."""
        text = event.text().lower()
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.done.emit()
        elif text == "t" and self.twin.isVisible():
            self.show_twin()
        elif text.isdigit() and 0 < int(text) <= len(self.differences):
            self.differences[int(text) - 1].click()
        else:
            super().keyPressEvent(event)

    # -- what was right ----------------------------------------------------------------

    def show_reveal(self, shown: Reveal) -> None:
        """Fill the page from a round that is over."""
        self.shown = shown
        system = self._session.system
        self.twin_place.hide()
        self.board.show()
        self.headline.setText(shown.headline)
        self.board.show_section(layers_of(shown.advice, self._pack), system)
        self.board.show_compared(shown.score.forces)
        self.strength.show_rows(self._strengths(), None, system)
        self.twin.setVisible(shown.twin is not None)
        self.twin.setEnabled(True)
        self._fit()
        self._fill(shown)
        self.area.verticalScrollBar().setValue(0)

    def _strengths(self) -> list[PullAndStrength]:
        """The right method, the chosen one and the tempting one first."""
        shown = self.shown
        if shown is None:
            return []
        tempted = tempting(shown.advice.methods, shown.advice.plan) if shown.advice.plan else None
        first = [shown.right, shown.answer.final.choice]
        first += [method_word(tempted[0].method)] if tempted is not None else []
        best: dict[str, PullAndStrength] = {}
        for pair in shown.strengths:
            best.setdefault(method_word(pair.method), pair)
        words = [word for word in dict.fromkeys((*first, *best)) if word in best]
        return [best[word] for word in words[:STRENGTHS]]

    def _fill(self, shown: Reveal) -> None:
        empty(self.column)
        self.differences = []
        self._say("Remember", "section")
        self._say(shown.remember, "now")
        for hazard in shown.hazards:
            if hazard.missed:
                self._say(f"Hazard missed: {hazard.title}. {sentence(hazard.text)}", "fault")
        self._cost(shown)
        if not shown.forces.calculated and not shown.score.hazards_missed:
            self._say("No force decides here: nothing pulls on this damage.", "quiet")
        if shown.wrong:
            self._say("Why not the others", "section")
        for wrong in in_order(shown.wrong):
            self._point(self._why(wrong, shown.currency))
        if shown.settling:
            self._say("What would have settled it", "section")
        for one in shown.settling:
            asked = "you asked" if one.asked else "not asked"
            saved = money_text(one.value, shown.currency)
            price = money_text(one.price, shown.currency)
            self._point(f"{one.title} ({asked}): {lowered(one.why)}. Knowing it saves about "
                        f"{saved}, asking costs {price}.")  # fmt: skip
        self._hazards(shown)
        self._certainty(shown)
        self._lessons(shown)
        self._object()
        self.column.addStretch(1)

    def _say(self, text: str, look: str = "") -> None:
        widget = label(text, look, self.inside)
        self.column.addWidget(widget)
        widget.show()

    def _point(self, text: str) -> None:
        widget = point("•", text, self.inside)
        self.column.addWidget(widget)
        widget.show()

    def _cost(self, shown: Reveal) -> None:
        score = shown.score
        if score.regret is None:
            self._say("A closed hazard is no matter of money: the job is referred.", "quiet")
            return
        lost = money_text(score.regret, shown.currency)
        asked = money_text(score.asking, shown.currency)
        took = f" {duration_text(score.minutes)} of asking cost {asked}." if score.minutes else ""
        said = f"Your choice costs the shop {lost} more than the right one."
        if score.regret < 0.5:
            said = "No choice would have cost the shop less."
        self._say(f"{said}{took}", "quiet")
        if score.needless_referral:
            self._say("It could have been repaired here: the referral was not needed.", "caution")

    def _why(self, wrong: WrongMethod, currency: str) -> str:
        yours = " (your choice)" if wrong.chosen else ""
        text = f"{wrong.title}{yours}: {STATUS_WORDS[wrong.status]}."
        if wrong.usage is not None and wrong.usage > 1.0 and "oaded to" not in wrong.why:
            text += f" Loaded to {percent(wrong.usage)} of its limit."
        if wrong.hold_probability is not None:
            text += f" Holds in {of_hundred(wrong.hold_probability)}."
        text += f" {sentence(wrong.why)}" if wrong.why else ""
        if wrong.regret and wrong.status is not Status.HOLDS:
            text += f" It would cost {money_text(wrong.regret, currency)} more."
        return text

    def _hazards(self, shown: Reveal) -> None:
        if not shown.hazards:
            return
        self._say("Hazards", "section")
        for hazard in shown.hazards:
            asked = "asked" if hazard.asked else "NOT asked"
            said = f": {lowered(hazard.answer)}" if hazard.answer else ""
            stops = " It stops the job." if hazard.closes else ""
            self._point(f"{hazard.title}, {asked}{said}.{stops}")

    def _certainty(self, shown: Reveal) -> None:
        first, final, score = shown.answer.first, shown.answer.final, shown.score
        self._say("How sure, how right", "section")
        right = "right" if score.right else "not right"
        before = "right" if score.first_right else "not right"
        self._say(
            f"At first sight {percent(first.certainty)} sure and {before}: "
            f"{score.certainty_first:.2f}. After asking {percent(final.certainty)} sure and "
            f"{right}: {score.certainty_final:.2f}. 0 is best, 2 worst; it counts only beside "
            "the money.", "quiet",
        )  # fmt: skip

    def _lessons(self, shown: Reveal) -> None:
        links = []
        if shown.forces.governing:
            links.append((shown.forces.governing, shown.forces.governing_title))
        if shown.right in self._pack.methods:
            links.append((METHOD + shown.right, shown.right_title))
        for key, title in links:
            button = QPushButton(f"Lesson: {lowered(title)}", self.inside)
            button.setObjectName("link")
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(partial(self._lesson, key))
            self.column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
            button.show()

    def _lesson(self, key: str, _: bool = False) -> None:
        self.lesson_wanted.emit((key,))

    def _object(self) -> None:
        self.objection = EnterLine(self.inside)
        self.objection.setPlaceholderText("I disagree, because...")
        self.objection.setAccessibleName("I disagree: why")
        self.objection.returnPressed.connect(self.disagree)
        self.column.addWidget(self.objection)
        self.objection.show()
        button = QPushButton("Keep this for the trainer", self.inside)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(self.disagree)
        self.column.addWidget(button)
        button.show()

    def disagree(self) -> None:
        """Keep the objection for the trainer: the rules may be wrong."""
        if self.objection.text().strip():
            self.disagreed.emit(self.objection.text().strip())
            self.objection.clear()
            self.objection.setPlaceholderText("Kept for the trainer.")

    # -- the twin ----------------------------------------------------------------------

    def show_twin(self) -> None:
        """Both cases side by side; what made the difference is asked first."""
        shown = self.shown
        if shown is None or shown.twin is None:
            return
        twin = shown.twin
        self.board.hide()
        self.strength.hide()
        empty(self.sections)
        other = advise_quick(twin.case.hidden, self._pack, TWIN_WORLDS, rough=True).advice
        for name, advice, right in (
            ("This case", shown.advice, shown.right_title), ("Its twin", other, twin.right_title),
        ):  # fmt: skip
            place = QWidget(self.twin_place)
            column = QVBoxLayout(place)
            column.setContentsMargins(0, 0, 0, 0)
            column.addWidget(label(f"{name}: {lowered(right)}", "section", place))
            view = SectionView(place)
            view.show_advice(advice, self._pack, self._session.system)
            column.addWidget(view, 1)
            self.sections.addWidget(place, 1)
            place.show()
        self.twin_place.show()
        self.headline.setText("The same part, one fact changed: what made the difference?")
        empty(self.column)
        self.differences = []
        self._say("One of these facts is another in the twin. Which one?", "section")
        for number, (fact, title) in enumerate(twin.differences, start=1):
            button = QPushButton(f"{number}  {title}", self.inside)
            button.setObjectName("row")
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(partial(self._answer_twin, fact, twin))
            self.column.addWidget(button)
            button.show()
            self.differences.append(button)
        self.column.addStretch(1)
        self.twin.setEnabled(False)
        if self.differences:
            self.differences[0].setFocus()

    def _answer_twin(self, fact: str, twin: TwinShown, _: bool = False) -> None:
        shown = self.shown
        assert shown is not None
        right = fact == twin.fact
        for button in self.differences:
            button.setEnabled(False)
        said = "Right" if right else "No, not that"
        text = (
            f"{said}. {twin.title}: {lowered(twin.was)} here, {lowered(twin.is_now)} in the twin. "
            f"So {lowered(shown.right_title)} becomes {lowered(twin.right_title)}."
        )
        told = label(text, "now" if right else "caution", self.inside)
        self.column.insertWidget(self.column.count() - 1, told)
        told.show()
        self.next.setFocus()
