"""One hazard question on the page of all of them: words, answers, state, and what follows."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFocusEvent,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from advisor.advice.result import GateState
from advisor.facts.case import Value
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.hazards.hazard_badge import HazardBadge, Standing
from advisor.gui.widgets.option_row import OptionRow
from advisor.wording.phrases import in_units

WIDE = 1060
"""Width in px from which the answers stand beside the question, not under it."""
BAR = 6
"""Width of the bar that marks the row the keys are for, px."""
LOOKS = {GateState.CLOSED: "fault", GateState.CAUTION: "caution", GateState.OPEN: "now"}
HELP, LESS = "How?", "Less"
WHOLE = "Open the whole question"
SEVERAL = "Not certain, several are possible? Open the whole question"


class HazardRow(QWidget):
    """``given`` an answer, and whether by key; ``entered`` once it has the keyboard;
    ``opening`` asks for the whole question."""

    given = Signal(object, bool)
    entered = Signal()
    opening = Signal()

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fact = fact
        self.standing = Standing()
        self.current = False
        self._wide: bool | None = None
        self.title = _label(fact.title, "section", self)
        self.ask = _label(fact.ask, "", self)
        self.options = OptionRow(fact, self)
        self.mark = HazardBadge(self)
        self.more = QPushButton(HELP, self)
        self.more.setCheckable(True)
        self.more.setAccessibleName(f"{fact.title}: how to see it")
        self.more.setToolTip("H: how to see it")
        self.said = _label("", "", self)
        self.said.hide()
        self.help = QWidget(self)
        self.how = _label(fact.how, "quiet", self.help)
        self.whole = QPushButton(SEVERAL if len(fact.options) > 2 else WHOLE, self.help)
        self._lay_out()
        self.options.given.connect(self.given)
        self.more.toggled.connect(self._open_help)
        self.whole.clicked.connect(self.opening)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for child in self.stops:
            child.installEventFilter(self)

    def changeEvent(self, event: QEvent) -> None:
        """Another text size."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.StyleChange:
            self.more.setFixedWidth(theme.px(76))

    def _lay_out(self) -> None:
        for button in (self.more, self.whole):
            button.setMinimumHeight(theme.TARGET)
        # Both words need the same width: nothing beside it may shift.
        self.more.setFixedWidth(theme.px(76))
        words = QVBoxLayout()
        words.setSpacing(1)
        words.addStretch(1)
        words.addWidget(self.title)
        words.addWidget(self.ask)
        words.addStretch(1)
        self.words = words
        under = QVBoxLayout(self.help)
        under.setContentsMargins(0, 0, 0, 2)
        under.setSpacing(4)
        under.addWidget(self.how)
        under.addWidget(self.whole, 0, Qt.AlignmentFlag.AlignLeft)
        self.help.hide()
        self.grid = QGridLayout(self)
        self.grid.setContentsMargins(BAR + 8, 7, 6, 8)
        self.grid.setHorizontalSpacing(12)
        self.grid.setVerticalSpacing(5)
        self._place(wide=True)

    @property
    def stops(self) -> list[QWidget]:
        """What the keyboard can land on, in order."""
        return [self, *self.options.buttons, self.more, self.whole]

    @property
    def asked_down_to(self) -> int:
        """Where question and answers end, px below the top of the row."""
        return max(self.ask.geometry().bottom(), self.options.geometry().bottom()) + 1

    # -- what is shown -------------------------------------------------------------

    def show_fact(self, value: Value | None, standing: Standing, system: System) -> None:
        """The answer that stands and what follows from it."""
        self.ask.setText(in_units(self.fact.ask, system))
        self.how.setText(in_units(self.fact.how, system))
        self.how.setVisible(bool(self.fact.how))
        self.options.show_value(value)
        if standing != self.standing:
            self.standing = standing
            self.mark.show_state(standing.state)
            look = LOOKS.get(standing.state, "")
            if self.said.objectName() != look:
                self.said.setObjectName(look)
                self.said.style().unpolish(self.said)
                self.said.style().polish(self.said)
                # Without it a label keeps the margins of its look before.
                QCoreApplication.sendEvent(self.said, QEvent(QEvent.Type.StyleChange))
            self.said.setText(standing.said)
            self.said.setVisible(bool(standing.said))
        name = f"{self.fact.title}: {self.mark.text}. {self.ask.text()}"
        self.setAccessibleName(name)
        self.setAccessibleDescription(standing.said)

    def set_current(self, current: bool) -> None:
        """Whether the keys are for this row: then its answers show theirs."""
        if current != self.current:
            self.current = current
            self.options.show_digits(current)
            self.update()

    def _open_help(self, opened: bool) -> None:
        self.more.setText(LESS if opened else HELP)
        self.help.setVisible(opened)

    # -- places --------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Answers beside the question, or under it."""
        super().resizeEvent(event)
        self._place(self.width() >= WIDE)

    def _place(self, wide: bool) -> None:
        if wide == self._wide:
            return
        self._wide = wide
        grid, middle = self.grid, Qt.AlignmentFlag.AlignVCenter
        for item in (self.options, self.mark, self.more, self.said, self.help):
            grid.removeWidget(item)
        grid.removeItem(self.words)
        if wide:
            grid.addLayout(self.words, 0, 0)
            grid.addWidget(self.options, 0, 1, middle)
            grid.addWidget(self.mark, 0, 2, middle)
            grid.addWidget(self.more, 0, 3, middle)
        else:
            grid.addLayout(self.words, 0, 0, 1, 3)
            grid.addWidget(self.mark, 0, 3, Qt.AlignmentFlag.AlignTop)
            grid.addWidget(self.options, 1, 0, 1, 3, middle)
            grid.addWidget(self.more, 1, 3, middle | Qt.AlignmentFlag.AlignRight)
        grid.addWidget(self.said, 2, 0, 1, 4)
        grid.addWidget(self.help, 3, 0, 1, 4)
        for column, share in enumerate((38, 62, 0, 0) if wide else (1, 0, 0, 0)):
            grid.setColumnStretch(column, share)

    # -- keys ----------------------------------------------------------------------

    def go_sideways(self, by: int) -> None:
        """The keyboard to the next control of this row, without leaving it."""
        inside = [widget for widget in self.stops if widget.isVisible() and widget is not self]
        here = self.focusWidget()
        if here in inside:
            index = inside.index(here) + by
        else:
            index = next((i for i, b in enumerate(self.options.buttons) if b.isChecked()), 0)
        if index < 0:
            self.setFocus()
        elif index < len(inside):
            inside[index].setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys go to the page that this row stands on."""
        event.ignore()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The keyboard has come here."""
        super().focusInEvent(event)
        self.entered.emit()
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The frame goes with it."""
        super().focusOutEvent(event)
        self.update()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A control of this row has the keyboard."""
        if watched is not self and event.type() == QEvent.Type.FocusIn:
            self.entered.emit()
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """A line below; a bar for the row that the keys are for, a frame with the keyboard."""
        painter = QPainter(self)
        painter.setPen(QPen(QColor(theme.LINE), 1))
        painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)
        if self.current:
            painter.fillRect(0, 1, BAR, self.height() - 3, QColor(theme.FOCUS))
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.FOCUS), 3))
            painter.drawRect(QRectF(self.rect()).adjusted(1.5, 2, -1.5, -2.5))
        painter.end()


def _label(text: str, look: str, parent: QWidget) -> QLabel:
    label = QLabel(text, parent)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setObjectName(look)
    return label
