"""After a round: what made the difference to a like case, then why, beside what was answered."""

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
    QScrollBar,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.result import Status
from advisor.drawing.pull_and_strength import PullAndStrength, tempting
from advisor.drawing.section_layers import layers_of
from advisor.gui import theme
from advisor.gui.practice.enter_line import EnterLine
from advisor.gui.practice.force_board import ForceBoard
from advisor.gui.practice.pair_view import PairView
from advisor.gui.practice.two_sides import TwoSides
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.widgets.page import label, point
from advisor.gui.widgets.refilled_column import empty
from advisor.gui.widgets.strength_view import StrengthView
from advisor.practice.reveal import Reveal, Settling, TwinShown, WrongMethod
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
WHICH = "What made the difference?"
NEXT, SHOW_WHY = "Next case", "Show why"
SCROLLS = {
    Qt.Key.Key_Down: QScrollBar.SliderAction.SliderSingleStepAdd,
    Qt.Key.Key_Up: QScrollBar.SliderAction.SliderSingleStepSub,
    Qt.Key.Key_PageDown: QScrollBar.SliderAction.SliderPageStepAdd,
    Qt.Key.Key_PageUp: QScrollBar.SliderAction.SliderPageStepSub,
}


def in_order(wrong: Sequence[WrongMethod]) -> list[WrongMethod]:
    """The own choice first, then what a force breaks, what costs more, what is not possible."""
    ranks = {Status.FAILS: 0, Status.HOLDS: 1}
    found = sorted(wrong, key=lambda one: (not one.chosen, ranks.get(one.status, 2)))
    ruled_out = [one for one in found if one.status not in ranks and not one.chosen]
    return [one for one in found if one not in ruled_out[MOST_RULED_OUT:]]


class RevealPage(QWidget):
    """Everything that is shown after a round; ``done`` asks for the next case.

    Where the case has a twin, both stand side by side first, and what made the difference is
    asked before anything is explained: comparing two cases teaches more than reading why (Gentner,
    Loewenstein and Thompson 2003, from the abstract).
    """

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
        self.first, self.column = QVBoxLayout(), QVBoxLayout()
        for column in (self.first, self.column):
            column.setSpacing(6)
        self._next_words = NEXT
        self.next = QPushButton(NEXT, self)
        self.next.setObjectName("main")
        self.next.clicked.connect(self.go_on)
        self.leave = QPushButton("Stop here", self)
        self.leave.clicked.connect(self.stopped)
        self.compare = QPushButton("Compare (T)", self)
        self.compare.setToolTip("The same part with one fact changed, beside this case")
        self.compare.clicked.connect(self.turn_pair)
        self.pair = PairView(self)
        self.strength_below = StrengthView(self)
        """The strengths among the words, where the window is too low to draw them at the left."""
        self.forces_below = label("", "", self)
        """The forces in words, where the board has no room for their names."""
        self.differences: list[OptionButton] = []
        """What may have made the difference, while that is asked."""
        self.objection = EnterLine(self)
        self._lay_out()

    def _lay_out(self) -> None:
        self.drawn = QFrame(self)
        self.drawn.setObjectName("card")
        self.left = QVBoxLayout(self.drawn)
        self.left.setContentsMargins(12, 8, 12, 8)
        self.left.addWidget(self.headline)
        self.left.addWidget(self.board, 1)
        self.left.addWidget(self.strength)
        self.left.addWidget(self.pair, 1)
        self.pair.hide()
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
        inside.addLayout(self.first)
        inside.addWidget(self.strength_below)
        inside.addWidget(self.forces_below)
        inside.addLayout(self.column)
        self.area.setWidget(self.inside)
        right.addWidget(self.area, 1)
        row = QHBoxLayout()
        row.addWidget(self.leave)
        row.addWidget(self.compare)
        row.addStretch(1)
        row.addWidget(self.next)
        for button in (self.leave, self.compare, self.next):
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
        high, told = self.height() >= theme.px(540), not self.is_asking and bool(self._strengths())
        self.strength.setVisible(told and high and self.pair.isHidden())
        wide = self.area.viewport().width() >= self.strength_below.minimumSizeHint().width() + 8
        self.strength_below.setVisible(told and not high and wide)
        said = not self.is_asking and bool(self.forces_below.text()) and self.board.is_short
        self.forces_below.setVisible(said and self.pair.isHidden())

    @property
    def is_asking(self) -> bool:
        """Whether it is asked what made the difference, and nothing is explained yet."""
        return bool(self.differences)

    def take_focus(self) -> None:
        """Enter goes on."""
        (self.differences[0] if self.differences else self.next).setFocus()

    def go_on(self) -> None:
        """From the question to why, from there to the next case."""
        if self.is_asking:
            self._explain("")
        else:
            self.done.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on; figures say what made the difference, T compares, arrows scroll."""
        text, key = event.text().lower(), event.key()
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.go_on()
        elif text == "t" and self.compare.isVisible():
            self.turn_pair()
        elif text.isdigit() and 0 < int(text) <= len(self.differences):
            self.differences[int(text) - 1].click()
        elif key in SCROLLS:
            self.area.verticalScrollBar().triggerAction(SCROLLS[Qt.Key(key)])
        else:
            super().keyPressEvent(event)

    # -- what was right ----------------------------------------------------------------

    def show_reveal(self, shown: Reveal) -> None:
        """Fill the page from a round that is over."""
        self.shown = shown
        system = self._session.system
        self.headline.setText(shown.headline)
        self.board.show_section(layers_of(shown.advice, self._pack), system)
        self.board.show_compared(shown.score.forces)
        forces = self.board.compared_in_words()
        self.forces_below.setText("\n".join(["The forces:", *forces] if forces else []))
        for view in (self.strength, self.strength_below):
            view.show_rows(self._strengths(), None, system)
        self.pair.show_pair(shown, self._pack, system)
        if shown.twin is not None:
            self._ask(shown.twin)
        else:
            self._explain("")

    def _ask(self, twin: TwinShown) -> None:
        """Both cases, and what may have made the difference."""
        self._clear()
        self._show_pair(True)
        self.compare.hide()
        self.next.setText(SHOW_WHY)
        self._say(WHICH, "section", self.first)
        self._say("The same part, the same damage: one fact is not the same, and another repair is "
                  "right. Pick it, then see why.", "quiet", self.first)  # fmt: skip
        for number, (fact, title) in enumerate(twin.differences, start=1):
            button = OptionButton(fact, title, "", str(number), self.inside)
            button.set_short(True)
            button.clicked.connect(partial(self._explain, fact))
            self.first.addWidget(button)
            button.show()
            self.differences.append(button)
        self.column.addStretch(1)
        self._fit()

    def _explain(self, answered: str, _: bool = False) -> None:
        """What was right and why; ``answered`` is the fact that was said to make the difference."""
        shown = self.shown
        assert shown is not None
        self._clear()
        self._show_pair(False)
        self.compare.setVisible(shown.twin is not None)
        self.next.setText(self._next_words)
        if shown.twin is not None:
            twin, right = shown.twin, answered == shown.twin.fact
            said = "" if not answered else "Right. " if right else "No, not that. "
            self._say(WHICH, "section", self.first)
            self._say(
                f"{said}{twin.title}: {lowered(twin.was)} here. With "
                f"“{lowered(twin.is_now)}”, {lowered(twin.right_title)} is right.",
                "caution" if answered and not right else "now", self.first,
            )  # fmt: skip
        self._fill(shown)
        self._fit()
        self.next.setFocus()

    def say_next(self, words: str, ready: bool) -> None:
        """What the button to the next case says; while it asks for why it keeps saying that."""
        self._next_words = words
        if not self.is_asking:
            self.next.setText(words)
        self.next.setEnabled(ready or self.is_asking)

    def turn_pair(self) -> None:
        """The two cases in the place of the forces, or the other way round."""
        self._show_pair(self.pair.isHidden())
        self._fit()

    def _show_pair(self, pair: bool) -> None:
        self.pair.setVisible(pair)
        self.board.setVisible(not pair)

    def _clear(self) -> None:
        empty(self.first)
        empty(self.column)
        self.differences = []
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
        self._say("Remember", "section", self.first)
        self._say(shown.remember, "now", self.first)
        for hazard in shown.hazards:
            if hazard.missed:
                self._say(f"Hazard missed: {hazard.title}. {sentence(hazard.text)}", "fault")
        self._cost(shown)
        if not shown.forces.calculated and not shown.score.hazards_missed:
            self._say("No force decides here: nothing pulls on this damage.", "quiet")
        if shown.wrong:
            self._say("Why not the others", "section")
        for wrong in in_order(shown.wrong):
            self._point(self._why(wrong, shown))
        if shown.settling:
            self._say("What would have settled it", "section")
        for one in shown.settling:
            self._point(self.settled(one, shown))
        self._hazards(shown)
        self._certainty(shown)
        self._lessons(shown)
        self._object()
        self.column.addStretch(1)

    def _say(self, text: str, look: str = "", column: QVBoxLayout | None = None) -> None:
        widget = label(text, look, self.inside)
        (column or self.column).addWidget(widget)
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
        said = [] if score.regret else ["No other choice would have cost the shop less."]
        if score.minutes:
            asked = money_text(score.asking, shown.currency)
            said.append(f"Asking took {duration_text(score.minutes)}, which costs {asked}.")
        if said:
            self._say(" ".join(said), "quiet")
        if score.needless_referral:
            self._say("It could have been repaired here: the referral was not needed.", "caution")

    def _why(self, wrong: WrongMethod, shown: Reveal) -> str:
        """Why a method is not the right one, in a sentence or two; not what is to be remembered."""
        name = f"{wrong.title} (your choice)" if wrong.chosen else wrong.title
        holds = "" if wrong.hold_probability is None else of_hundred(wrong.hold_probability)
        more = money_text(wrong.regret or 0.0, shown.currency)
        if wrong.status is Status.HOLDS:
            costs = f", but costs the shop {more} more" if wrong.regret else ""
            return f"{name}: holds in {holds}{costs}."
        if wrong.why and lowered(wrong.why).rstrip(".") in shown.remember:
            return f"{name}: {STATUS_WORDS[wrong.status]}, as said above."
        text = f"{name}: {STATUS_WORDS[wrong.status]}."
        if holds:
            text += f" Holds in {holds}."
        if wrong.usage is not None and wrong.usage > 1.0 and "oaded to" not in wrong.why:
            text += f" Loaded to {percent(wrong.usage)} of its limit."
        text += f" {sentence(wrong.why)}" if wrong.why else ""
        if wrong.regret and wrong.status is Status.FAILS and not wrong.chosen:  # said on top
            text += f" It would cost {more} more."
        return text

    @staticmethod
    def settled(one: Settling, shown: Reveal) -> str:
        """What a question would have settled; not again where the pair has just shown it."""
        asked = "you asked" if one.asked else "not asked"
        saved, price = (money_text(sum_, shown.currency) for sum_ in (one.value, one.price))
        paired = shown.twin is not None and shown.twin.fact == one.fact
        why = "this made the difference" if paired else lowered(one.why)
        worth = f"Knowing it saves about {saved}, asking costs {price}."
        return f"{one.title} ({asked}): {why}. {worth}"

    def _hazards(self, shown: Reveal) -> None:
        if not shown.hazards:
            return
        self._say("Hazards", "section")
        for hazard in shown.hazards:
            asked = "you asked" if hazard.asked else "NOT asked"
            said = lowered(hazard.answer) if hazard.answer else "not known"
            stops = " It stops the job." if hazard.closes else ""
            self._point(f"{hazard.name} ({asked}): {said}.{stops}")

    def _certainty(self, shown: Reveal) -> None:
        first, final, score = shown.answer.first, shown.answer.final, shown.score
        self._say("How sure, how right", "section")
        right = "right" if score.right else "not right"
        before = "right" if score.first_right else "not right"
        self._say(
            f"At first sight: {percent(first.certainty)} sure, {before}, score "
            f"{score.certainty_first:.2f}. After asking: {percent(final.certainty)} sure, "
            f"{right}, score {score.certainty_final:.2f}. 0 is the best score, 2 the worst; it "
            "counts only beside the money.", "quiet",
        )  # fmt: skip

    def _lessons(self, shown: Reveal) -> None:
        links = []
        if shown.forces.governing:
            links.append((shown.forces.governing, shown.forces.governing_title))
        if shown.right in self._pack.methods:
            links.append((METHOD + shown.right, shown.right_title))
        for key, title in links:
            button = QPushButton(self.inside)
            button.setObjectName("link")
            button.ensurePolished()
            words, room = f"Lesson: {lowered(title)}", self.area.viewport().width() - theme.px(30)
            button.setText(button.fontMetrics().elidedText(
                words, Qt.TextElideMode.ElideRight, room))
            button.setToolTip(words)
            button.setAccessibleName(words)
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
