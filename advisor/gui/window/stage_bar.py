"""The stages as a seam along the top: jump to any of them at any time."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QKeySequence,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QShortcut,
)
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.session.screens import TAB_TITLES, Tab, done_in

STITCHES = 6

ASIDE = 8
"""Room at the sides of a stage's name at least, px."""


class StageButton(QPushButton):
    """A stage; under its name a row of stitches, as many sewn as its questions are answered."""

    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(title, parent)
        self.setObjectName("stage")
        self.setCheckable(True)
        self.setMinimumHeight(theme.TARGET + 2)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.share = 0.0
        self.stopped = False

    def minimumSizeHint(self) -> QSize:
        """Room for its name in bold, as it stands while it is shown; less where text is large."""
        bold = QFont(self.font())
        bold.setBold(True)
        wide = QFontMetrics(bold).horizontalAdvance(self.text()) + ASIDE
        return QSize(wide if theme.PERCENT <= 100 else 40, super().minimumSizeHint().height())

    def show_share(self, share: float, stopped: bool) -> None:
        """How much of it is done, 0 to 1, and whether it stops the job."""
        self.share, self.stopped = share, stopped
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The button, and its stitches along the lower edge."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        wide, y = self.width() - 16.0, self.height() - 6.0
        done = round(self.share * STITCHES)
        for i in range(STITCHES):
            x = 8 + wide * i / STITCHES
            if i < done:
                painter.setPen(QPen(QColor(theme.THREAD), 3.5))
                painter.drawLine(QPointF(x + 2, y), QPointF(x + wide / STITCHES - 3, y))
            else:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(QColor(theme.RAIL_QUIET))
                if self.isChecked():
                    painter.setBrush(QColor(theme.RAIL_HERE_INK))
                painter.drawEllipse(QPointF(x + 0.5 * wide / STITCHES, y), 1.5, 1.5)
        if self.stopped:
            self._octagon(painter)
        painter.end()

    def _octagon(self, painter: QPainter) -> None:
        """The sign of a stop, beside the name."""
        box = QRectF(self.width() - 20, 4, 16, 16)
        cut = 4.7
        left, top, right, low = box.left(), box.top(), box.right(), box.bottom()
        painter.setBrush(QColor(theme.BAD))
        painter.setPen(QPen(QColor(theme.RAIL_INK), 1.5))
        painter.drawPolygon(QPolygonF([
            QPointF(left + cut, top), QPointF(right - cut, top), QPointF(right, top + cut),
            QPointF(right, low - cut), QPointF(right - cut, low), QPointF(left + cut, low),
            QPointF(left, low - cut), QPointF(left, top + cut),
        ]))  # fmt: skip


class StageBar(QWidget):
    """One button a stage."""

    picked = Signal(object)

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 2)
        layout.setSpacing(2)
        self.buttons: dict[Tab, StageButton] = {}
        for number, tab in enumerate(Tab, start=1):
            button = StageButton(TAB_TITLES[tab], self)
            # A shortcut of the button itself would press it a tenth of a second late, and a
            # digit typed after it would still answer the old question.
            for keys in (f"F{number}", f"Alt+{number}"):
                key = QShortcut(QKeySequence(keys), self)
                key.activated.connect(button.click)
            button.setProperty("tab", tab.value)
            button.clicked.connect(self._clicked)
            layout.addWidget(button)
            self.buttons[tab] = button
        navigator.changed.connect(self.redraw)
        navigator.moved.connect(self.redraw)
        self.redraw()

    def redraw(self) -> None:
        """How much of each stage is done, and the stage that is shown."""
        session = self._navigator.session
        stages = list(Tab)
        here = stages.index(self._navigator.entry.tab)
        for number, (tab, button) in enumerate(self.buttons.items(), start=1):
            done, asked = done_in(self._navigator.order, tab, session.case)
            filled = any(entry.tab is tab for entry in self._navigator.order)
            button.setEnabled(filled)
            button.setChecked(self._navigator.entry.tab is tab)
            stopped = tab is Tab.HAZARDS and session.begun and session.advice.verdict == "refer"
            button.show_share(done / asked if asked else float(stages.index(tab) < here), stopped)
            said = f"{TAB_TITLES[tab]}, {done} of {asked} answered" if asked else TAB_TITLES[tab]
            said = said if filled else f"{TAB_TITLES[tab]}, {self._none()}"
            button.setAccessibleName(said)
            button.setToolTip(f"{said} (F{number}, Alt+{number})")

    def leave(self) -> None:
        """Another place than the case is shown: none of its stages is."""
        for button in self.buttons.values():
            button.setChecked(False)

    def _none(self) -> str:
        """Said of an empty stage; nothing is ruled out before the part is known."""
        session = self._navigator.session
        return "none here" if session.begun and session.advice.methods else "not known yet"

    def _clicked(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton):
            self.picked.emit(Tab(button.property("tab")))
            self.redraw()
