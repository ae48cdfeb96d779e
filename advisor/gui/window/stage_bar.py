"""The stages in a bar at the top: jump to any of them at any time."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSizePolicy, QWidget

from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.session.screens import TAB_TITLES, Tab, done_in


class StageBar(QWidget):
    """One button a stage; under the name how many of its questions are answered."""

    picked = Signal(object)

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        self.buttons: dict[Tab, QPushButton] = {}
        for number, tab in enumerate(Tab, start=1):
            button = QPushButton(TAB_TITLES[tab], self)
            button.setObjectName("stage")
            button.setCheckable(True)
            button.setMinimumHeight(theme.TARGET + 10)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            # A shortcut of the button itself would press it a tenth of a second late, and a
            # digit typed after it would still answer the old question.
            key = QShortcut(QKeySequence(f"F{number}"), self)
            key.activated.connect(button.click)
            button.setToolTip(f"F{number}")
            button.setProperty("tab", tab.value)
            button.setCursor(Qt.CursorShape.PointingHandCursor)
            button.clicked.connect(self._clicked)
            layout.addWidget(button)
            self.buttons[tab] = button
        navigator.changed.connect(self.redraw)
        navigator.moved.connect(self.redraw)
        self.redraw()

    def redraw(self) -> None:
        """Counts and the stage that is shown."""
        for tab, button in self.buttons.items():
            done, asked = done_in(self._navigator.order, tab, self._navigator.session.case)
            filled = any(entry.tab is tab for entry in self._navigator.order)
            under = f"\n{self._count(button, done, asked)}" if asked else ""
            under = under if filled else f"\n{self._none()}"
            button.setEnabled(filled)
            button.setText(TAB_TITLES[tab] + under)
            button.setChecked(self._navigator.entry.tab is tab)
            said = f"{TAB_TITLES[tab]}, {done} of {asked} answered" if asked else TAB_TITLES[tab]
            button.setAccessibleName(said)

    def _none(self) -> str:
        """Said of an empty stage; nothing is ruled out before the part is known."""
        session = self._navigator.session
        return "none here" if session.begun and session.advice.methods else "not known yet"

    @staticmethod
    def _count(button: QPushButton, done: int, asked: int) -> str:
        """How many questions are answered, as long as there is room to say it."""
        whole = f"{done} of {asked} answered"
        bold = QFont(button.font())
        bold.setBold(True)
        fits = QFontMetrics(bold).horizontalAdvance(whole) <= button.width() - 10
        return whole if fits else f"{done} answered"

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As much as there is room to say."""
        super().resizeEvent(event)
        self.redraw()

    def _clicked(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton):
            self.picked.emit(Tab(button.property("tab")))
            self.redraw()
