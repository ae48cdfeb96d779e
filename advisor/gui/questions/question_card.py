"""One question at a time, with the way on and the way back."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.declaration import FactDecl, Kind
from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.questions.answered_so_far import AnsweredSoFar
from advisor.gui.widgets.answers.answer_base import Answer
from advisor.gui.widgets.answers.answer_widget import answer_widget
from advisor.gui.widgets.refilled_column import give_height
from advisor.gui.widgets.stitch_line import StitchLine
from advisor.session.asking_order import progress_text
from advisor.session.preview_text import preview_text
from advisor.session.screens import EARLIER_REPAIRS, Entry, left_out, matters, next_open, place_of
from advisor.session.size_limits import taken_back
from advisor.wording.phrases import in_units

if TYPE_CHECKING:
    from advisor.advice.result import Advice, Question
    from advisor.facts.case import Value
    from advisor.gui.questions.photos_editor import CasebookPhotos
    from advisor.gui.questions.repairs_and_photos import PhotosEditor, RepairsEditor

ANSWER_AT = 3
"""Place of the answer on the card: below the question and how to see it."""
POINTED = 300
"""Milliseconds for which an answer is pointed at before what it would change is shown."""
MOST_SEEN = 40
FEWER = (10, 6, 3)
"""Answers given so far that are shown, as many as there is room for."""
ROOMY = 560
"""Height of the card from which there is room below an answer, px."""
EDITOR_WORDS = {
    EARLIER_REPAIRS: (
        "What was tried here before?",
        "Ask the driver or owner. Look for old glue, filler, odd thread or a patch behind.",
    ),
}
PHOTO_TITLE = "Photos of the damage"
PHOTO_WORDS = "One from where a person sits, one close with a ruler beside the damage. "
IN_CASEBOOK = "They are kept in the casebook, upright, without place and names."
AS_FILES = "The files stay where they are; the case keeps their names."


class QuestionCard(QFrame):
    """The question that is asked, with the widget that takes its answer."""

    moving_on = Signal()
    trying = Signal(str)
    previewed = Signal(object, str)
    """The advice with the answer that is pointed at, and what it would change; None for none."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("card")
        self._navigator = navigator
        self._drafts: dict[str, str] = {}
        self.entry: Entry | None = None
        self.answer: Answer | None = None
        self.editor: RepairsEditor | PhotosEditor | CasebookPhotos | None = None
        self._preview = QTimer(self)
        self._preview.setSingleShot(True)
        self._preview.setInterval(POINTED)
        self._preview.timeout.connect(self._show_preview)
        # Room is known once everything has its place.
        self._room = QTimer(self)
        self._room.setSingleShot(True)
        self._room.timeout.connect(self._fill_room)
        self._wanted: Value | None = None
        self._seen: dict[tuple[str, str], Advice] = {}
        self._seen_on = navigator.session.case
        self.place = _label("small")
        self.progress = StitchLine(self)
        self.other = QPushButton(self)
        self.other.setToolTip("Ctrl+T: see what another answer would change")
        self.other.clicked.connect(self.try_other)
        self.now = _label("now")
        self.ask = _label("question")
        self.how = _label("quiet")
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.verticalScrollBar().rangeChanged.connect(self._reveal_soon)
        inside = QWidget(self.area)
        # Only the height that the words need at the width there is.
        inside.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._inside = QVBoxLayout(inside)
        self._inside.setContentsMargins(16, 10, 16, 10)
        self._inside.setSpacing(10)
        head = QHBoxLayout()
        head.addWidget(self.progress, 1)
        head.addWidget(self.place)
        self.place.setWordWrap(False)
        asked = QHBoxLayout()
        asked.addWidget(self.ask, 1)
        asked.addWidget(self.other, 0, Qt.AlignmentFlag.AlignTop)
        self._inside.addLayout(head)
        self._inside.addLayout(asked)
        for label in (self.how, self.now):
            self._inside.addWidget(label)
        self._inside.addStretch(1)
        self.so_far = AnsweredSoFar(navigator, inside)
        self._inside.addWidget(self.so_far)
        self.area.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 2, 2, 2)
        layout.addWidget(self.area)

    # -- what is shown ---------------------------------------------------------

    def show_entry(self, entry: Entry) -> None:
        """Put another question on the card."""
        self._pointed(None)
        self.leave()
        if self.entry == entry and (self.answer is not None or self.editor is not None):
            self._show_again()
            return
        self._clear()
        self.entry = entry
        widget: QWidget
        if entry.fact is not None:
            self.answer = self._widget_for(entry.fact)
            self.answer.given.connect(self._given)
            self.answer.picked.connect(self.moving_on)
            self.answer.pointed.connect(self._pointed)
            widget = self.answer
        else:
            from advisor.gui.questions.photos_editor import CasebookPhotos
            from advisor.gui.questions.repairs_and_photos import PhotosEditor, RepairsEditor

            repairs, session = entry.key == EARLIER_REPAIRS, self._navigator.session
            self.editor = (
                RepairsEditor(session.pack, self.area, session.keeping) if repairs
                else PhotosEditor(self.area) if session.keeping is None
                else CasebookPhotos(session.keeping, self.area)
            )
            keep = self._navigator.set_repairs if repairs else self._navigator.set_photos
            self.editor.given.connect(keep)
            widget = self.editor
            where = AS_FILES if session.keeping is None else IN_CASEBOOK
            ask, how = EDITOR_WORDS.get(entry.key, (PHOTO_TITLE, PHOTO_WORDS + where))
            self.ask.setText(ask)
            self.how.setText(how)
            self.how.setVisible(bool(how))
        self._inside.insertWidget(ANSWER_AT, widget)
        widget.show()
        self._show_again()

    def _widget_for(self, fact: FactDecl) -> Answer:
        if not fact.reads:
            return answer_widget(fact, self.area)
        from advisor.gui.widgets.answers.plastic_mark_answer import PlasticMarkAnswer

        return PlasticMarkAnswer(fact, partial(self._understood, fact.name), self.area)

    def _understood(self, fact: str, text: str) -> str:
        """What a text says about another fact, in words."""
        reading = self._navigator.session.pack.reading(fact, text)
        return reading.words if reading is not None else ""

    def _show_again(self) -> None:
        self.redraw()
        self._bring_back_draft()
        self.area.verticalScrollBar().setValue(0)
        give_height(self.area)
        self.take_focus()

    def redraw(self) -> None:
        """The case or the units changed; what is typed stays."""
        if self.entry is None:
            return
        session = self._navigator.session
        if self.entry.fact is not None:
            self.ask.setText(in_units(self.entry.fact.ask, session.system))
            how = in_units(self.entry.fact.how, session.system)
            odd = left_out(session.pack, self.entry.fact, session.case)
            self.how.setText(f"{how} {odd}".strip())
            self.how.setVisible(bool(self.how.text()))
        if self.answer is not None:
            value = session.case.facts.get(self.entry.key)
            self.answer.offer(session.pack.offered(self.entry.key, session.case))
            self.answer.show_answer(value, session.case, session.system)
        elif self.editor is not None:
            self.editor.show_case(session.case)
        self.place.setText(self._place())
        self.place.setVisible(bool(self.place.text()))
        self._show_progress()
        given = self.entry.key in session.case.facts
        self.other.setText("What if..." if given else "Try an answer")
        # A long list needs the height; Ctrl+T tries another answer all the same.
        self.other.setVisible(self.may_try and not self.wide)
        question = self._question()
        # A long list needs the height more, and only what comes before all else is one.
        self.now.setVisible(question is not None and not self.wide)
        if question is not None:
            why = question.why_in(session.system).strip().rstrip(".")
            self.now.setText(f"{self._rank(question)} {why}." if why else self._rank(question))
        self._inside.removeWidget(self.now)
        known = self._known() or taken_back(
            session.outgrown, self.entry.fact, session.system
        )
        if known:
            self.now.setText(known)
            self.now.show()
        # Why it is asked is read after the answers, what is known already before them.
        self._inside.insertWidget(ANSWER_AT if known else ANSWER_AT + 1, self.now)
        self._room.start()

    def showEvent(self, event: QShowEvent) -> None:
        """What was put on the card while it was hidden gets its height."""
        super().showEvent(event)
        give_height(self.area)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What was answered so far fills the room that is left, where there is some."""
        super().resizeEvent(event)
        self._room.start()

    def _fill_room(self) -> None:
        roomy = self.height() >= theme.px(ROOMY) and self.answer is not None and not self.wide
        asked = self.entry.key if self.entry is not None else ""
        for most in (*FEWER, 0):
            there = roomy and most > 0 and self.so_far.show_answers(asked, most)
            self.so_far.setVisible(there)
            self.so_far.forget_height()
            if not there:
                return
            room = self.area.viewport().size()  # the first asking takes ten milliseconds
            if self._inside.totalHeightForWidth(room.width()) <= room.height():
                return

    def _show_progress(self) -> None:
        """What is left to ask, and the stitches sewn so far."""
        session = self._navigator.session
        ahead = self._navigator.to_ask()
        facts = session.pack.facts
        done = sum(not facts[name].gate for name in session.case.facts if name in facts)
        self.progress.show_progress(done, len(ahead), progress_text(ahead))
        self.progress.setVisible(bool(ahead))

    def _known(self) -> str:
        """What another answer says about this question, where nobody answered it."""
        session = self._navigator.session
        if self.entry is None or self.entry.key in session.case.facts or not session.begun:
            return ""
        states = session.advice.facts
        given = (s.text for s in states if s.fact == self.entry.key and s.origin == "told")
        known = next(given, "")
        return f"Known already: {known}. Answer only to put it right." if known else ""

    def _place(self) -> str:
        assert self.entry is not None
        text = place_of(self.entry) if self.entry.fact is None else ""
        if self.entry.key in self._navigator.session.left_open:
            text += "left open"
        return text

    def _question(self) -> Question | None:
        """The advice's question on this card, where it is worth asking."""
        if self.entry is None or not self._navigator.session.begun:
            return None
        worth = matters(self._navigator.session.advice)
        return next((q for q in worth if q.fact == self.entry.key), None)

    def _rank(self, question: Question) -> str:
        """How much the question on this card matters, in a sentence."""
        if question.gate:
            return "This comes before everything else."
        first = next_open(self._navigator.session.advice, self._navigator.session.left_open)
        return "Matters most now." if question.fact == first else "Matters as well."

    @property
    def wide(self) -> bool:
        """Whether the question on the card wants the whole width of the window."""
        return self.answer is not None and self.answer.wide

    @property
    def may_try(self) -> bool:
        """Whether another answer to this question can be tried."""
        fact, session = self.entry.fact if self.entry is not None else None, self._navigator.session
        if fact is None or fact.kind is Kind.TEXT or not session.begun:
            return False
        return bool(session.advice.methods)

    def try_other(self) -> None:
        """Ask for a trial of this question, once what is typed is taken over."""
        if self.entry is not None and self.may_try and self.commit():
            self.trying.emit(self.entry.key)

    # -- what an answer would change ---------------------------------------------

    def _pointed(self, value: object) -> None:
        """An answer is pointed at: after a moment what it would change is shown."""
        session = self._navigator.session
        fact = self.entry.fact if self.entry is not None else None
        self._wanted = None
        self._preview.stop()
        self.previewed.emit(None, "")
        if value is None or fact is None or fact.gate or not session.begun:
            return
        if session.advice.methods and session.case.facts.get(fact.name) != value:
            self._wanted = value  # type: ignore[assignment]
            self._preview.start()

    def _show_preview(self) -> None:
        """Worked out as any answer is; the case stays as it is."""
        session, entry = self._navigator.session, self.entry
        if self._wanted is None or entry is None or entry.fact is None:
            return
        key = entry.key, repr(self._wanted)
        if self._seen_on is not session.case or len(self._seen) > MOST_SEEN:
            self._seen_on = session.case
            self._seen.clear()
        if key not in self._seen:
            self._seen[key] = session.advised_on(
                session.case.with_fact(entry.key, self._wanted)
            ).advice
        advice = self._seen[key]
        self.previewed.emit(advice, preview_text(session.advice, advice))

    # -- answers ---------------------------------------------------------------

    def commit(self) -> bool:
        """Hand over what is typed; False where it cannot be used yet."""
        return self.answer.commit() if self.answer is not None else True

    def leave(self) -> None:
        """The card is about to show something else: keep what is typed."""
        if self.answer is None or self.entry is None:
            return
        if not self.answer.commit() and self.answer.draft():
            self._drafts[self.entry.key] = self.answer.draft()
        else:
            self._drafts.pop(self.entry.key, None)

    def forget_drafts(self) -> None:
        """Another case: what was typed for the old one is gone."""
        self._drafts.clear()
        self._clear()

    def forget_looks(self) -> None:
        """Another theme or text size: the answer is made anew, what is typed stays."""
        entry = self.entry
        if entry is not None:
            self.leave()
            self._clear()
            self.show_entry(entry)

    def drop_draft(self) -> None:
        """The question is left open on purpose."""
        if self.entry is not None:
            self._drafts.pop(self.entry.key, None)
            self._clear()

    def take_key(self, event: QKeyEvent) -> bool:
        """A key for the answer."""
        return self.answer is not None and self.answer.take_key(event)

    def _given(self, value: object) -> None:
        assert self.entry is not None
        self._pointed(None)
        if value is None:
            self._navigator.leave_open(self.entry.key)
        else:
            self._navigator.answer(self.entry.key, value)  # type: ignore[arg-type]

    def _bring_back_draft(self) -> None:
        if self.entry is not None and self.answer is not None:
            text = self._drafts.pop(self.entry.key, "")
            if text:
                self.answer.set_draft(text)

    def _clear(self) -> None:
        for widget in (self.answer, self.editor):
            if widget is not None:
                self._inside.removeWidget(widget)
                widget.hide()
                widget.blockSignals(True)
                widget.deleteLater()
        self.answer = self.editor = self.entry = None
        self.so_far.hide()  # until it is known what room the next question leaves

    def take_focus(self) -> None:
        """The keyboard to the answer; left behind, Enter would press a stage in the bar."""
        asked = self.answer or self.editor
        target = asked.first_focus() if asked is not None else None
        if target is not None:
            target.setFocus()

    def _reveal_soon(self) -> None:
        # The bar knows its range before the buttons know their places.
        QTimer.singleShot(0, self, self._reveal)

    def _reveal(self) -> None:
        """Keep the answer that was given in sight."""
        target = self.focusWidget()
        if isinstance(target, QAbstractButton) and target.isChecked() and self.answer is not None:
            self.area.ensureWidgetVisible(target, 0, 12)


def _label(name: str) -> QLabel:
    label = QLabel()
    label.setObjectName(name)
    label.setWordWrap(True)
    return label
