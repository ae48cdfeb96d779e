"""Another answer tried out: old and new side by side, then keep the new or go back."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.answers.answer_base import Answer
from advisor.gui.widgets.answers.answer_widget import answer_widget
from advisor.gui.widgets.answers.typed_answers import LineAnswer
from advisor.gui.widgets.compared_bars import ComparedBars
from advisor.gui.widgets.page import Page, label, point
from advisor.session.answer_text import answer_text
from advisor.session.compare_advice import Row, moved, pairs, rows
from advisor.session.what_if import Trial
from advisor.wording.phrases import in_units

BESIDE = 940
"""Width in px from which the answer stands beside the comparison."""


class ComparisonPage(Page):
    """What stands and what would be, line by line, with the methods' bars."""

    def redraw(self) -> None:
        """Fill the page from the trial."""
        self.clear_column()
        trial = self.navigator.trial
        if trial is None:
            return
        if trial.after is None:
            self.say("Choose another answer. What it would change is shown here.", "now")
        else:
            self._compare(trial)
        self.column.addStretch(1)

    def _compare(self, trial: Trial) -> None:
        assert trial.after is not None
        pack = self.navigator.session.pack
        self.head("What changes")
        self._moved(moved(trial.before, trial.after))
        found = rows(trial.before, trial.after, pack)
        self.head("Side by side")
        self._grid(trial, found)
        both = pairs(trial.before, trial.after)
        if both:
            self.head("How close each joint comes to its limit")
            self.say("The thick line marks the limit; left of it a joint holds.", "small")
        for pair in both:
            self.put(ComparedBars(pair, self.inside))

    def _moved(self, said: tuple[str, ...]) -> None:
        """One sentence, or several that each hang from a dot."""
        if len(said) == 1:
            self.say(said[0], "moved")
            return
        box = QFrame(self.inside)
        box.setObjectName("moved")
        column = QVBoxLayout(box)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for text in said:
            column.addWidget(point("•", text, box, indent=4))
        self.put(box)

    def _grid(self, trial: Trial, found: tuple[Row, ...]) -> None:
        session = self.navigator.session
        box = QWidget(self.inside)
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(14)
        grid.setVerticalSpacing(6)
        given = session.case.facts.get(trial.fact.name)
        heads = (
            f"Now: {answer_text(trial.fact, given, session.system)}",
            f"Tried: {answer_text(trial.fact, trial.value, session.system)}",
        )
        for column, text in enumerate(heads, start=1):
            grid.addWidget(label(text, "section", box), 0, column)
        top = Qt.AlignmentFlag.AlignTop
        for line, row in enumerate(found, start=1):
            grid.addWidget(label(row.title, "quiet", box), line, 0, top)
            grid.addWidget(label(row.before, "", box), line, 1, top)
            mark = "→ " if row.moved else ""
            grid.addWidget(label(mark + row.after, "new" if row.moved else "", box), line, 2, top)
        grid.setColumnMinimumWidth(0, 74)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(2, 1)
        self.put(box)


class WhatIfPage(QFrame):
    """The question again, the comparison, and the two ways on."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self.answer: Answer | None = None
        self.title = _label("headline")
        self.promise = _label("now")
        self.promise.setText("Only tried: the case stays as it is until you keep the new answer.")
        self.ask = _label("section")
        self.how = _label("quiet")
        self.comparison = ComparisonPage(navigator, self)
        self.back = QPushButton("Keep the old answer", self)
        self.keep = QPushButton("Keep the new answer", self)
        self.keep.setObjectName("main")
        self.back.clicked.connect(navigator.drop_trial)
        self.keep.clicked.connect(self._keep)
        navigator.tried.connect(self.redraw)
        navigator.changed.connect(self.redraw)
        self._lay_out()

    def _lay_out(self) -> None:
        for button in (self.back, self.keep):
            button.setMinimumHeight(theme.TARGET)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget(self.area)
        inside.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(16, 10, 16, 10)
        self._column.setSpacing(8)
        for found in (self.title, self.promise, self.ask, self.how):
            self._column.addWidget(found)
        self._column.addStretch(1)
        self.area.setWidget(inside)
        card = QFrame(self)
        card.setObjectName("card")
        frame = QVBoxLayout(card)
        frame.setContentsMargins(2, 2, 2, 2)
        frame.addWidget(self.area)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(10)
        self.split.addWidget(card)
        self.split.addWidget(self.comparison)
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addStretch(1)
        row.addWidget(self.keep)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(6)
        whole.addWidget(self.split, 1)
        whole.addLayout(row)

    @property
    def parts(self) -> tuple[QWidget, ...]:
        """The answer, what it changes, and the two ways on: the order in which it is read."""
        return self.area, self.comparison, self.back, self.keep

    # -- what is shown ---------------------------------------------------------

    def open(self) -> None:
        """Show the trial that was begun."""
        trial = self._navigator.trial
        assert trial is not None
        self._clear()
        self.answer = answer_widget(trial.fact, self.area)
        self.answer.given.connect(self._navigator.set_trial)
        if isinstance(self.answer, LineAnswer):
            self.answer.line.textEdited.connect(self._typing)
        self._column.insertWidget(4, self.answer)
        self.answer.show()
        self.title.setText(f"Try another answer: {trial.fact.title}")
        self.redraw()
        self.area.verticalScrollBar().setValue(0)
        self.comparison.area.verticalScrollBar().setValue(0)
        focus = self.answer.first_focus()
        if focus is not None:
            focus.setFocus()

    def redraw(self) -> None:
        """Another answer was picked, or the units were switched."""
        trial, session = self._navigator.trial, self._navigator.session
        if trial is None or self.answer is None:
            return
        self.ask.setText(in_units(trial.fact.ask, session.system))
        self.how.setText(in_units(trial.fact.how, session.system))
        self.how.setVisible(bool(trial.fact.how))
        given = session.case.facts.get(trial.fact.name)
        value = trial.value if trial.after is not None else given
        self.answer.offer(session.pack.offered(self.answer.fact.name, session.case))
        self.answer.show_answer(value, session.case, session.system)
        self.comparison.redraw()
        new = trial.after is not None and repr(value) != repr(given)
        self.keep.setEnabled(new)

    def _typing(self) -> None:
        self.keep.setEnabled(True)

    def close_trial(self) -> None:
        """The trial is over: its widgets go."""
        self._clear()

    def _clear(self) -> None:
        if self.answer is not None:
            self._column.removeWidget(self.answer)
            self.answer.hide()
            self.answer.blockSignals(True)
            self.answer.deleteLater()
            self.answer = None

    # -- answers ---------------------------------------------------------------

    def take_key(self, event: QKeyEvent) -> bool:
        """A key for the answer."""
        return self.answer is not None and self.answer.take_key(event)

    def enter(self, focus: QWidget | None) -> None:
        """Enter presses a button, or shows what the written answer would change."""
        if isinstance(focus, QPushButton):
            focus.click()
        elif isinstance(focus, QLineEdit) and self.answer is not None:
            self.answer.commit()
        elif self.keep.isEnabled():
            self.keep.setFocus()

    def _keep(self) -> None:
        """Take over what is still being written, then keep it."""
        if self.answer is None or self.answer.commit():
            self._navigator.keep_trial()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Answer beside the comparison, or above it where the window is narrow."""
        super().resizeEvent(event)
        wide = self.width() >= BESIDE
        across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        if (self.split.orientation() == across) != wide or not self.split.property("sized"):
            self.split.setProperty("sized", True)
            self.split.setOrientation(across if wide else down)
            total = self.width() if wide else self.height()
            share = 0.42 if wide else 0.44
            self.split.setSizes([int(share * total), int((1 - share) * total)])


def _label(name: str) -> QLabel:
    found = QLabel()
    found.setObjectName(name)
    found.setWordWrap(True)
    return found
