"""The buttons under the screen: the way on, the way back, and leaving open."""

from __future__ import annotations

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from advisor.gui import theme

NEXT, NEXT_OPEN = "Next", "Next open"
LEAVE, ALL = "Not sure, leave open", "All questions"
SHORT = 560
SHORTEST = 380
"""Widths at 100 % text below which the words are shorter, px."""


class NextBackBar(QWidget):
    """*Next* says whether it leads to an open row of the page that is shown."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.back = QPushButton("Back", self)
        self.leave = QPushButton(LEAVE, self)
        self.leave.setToolTip("Ctrl+0, or 0 where answers have numbers")
        self.all = QPushButton(ALL, self)
        self.all.setToolTip("Ctrl+L: every question of this case, with its answer")
        self.next = QPushButton(NEXT, self)
        self.next.setObjectName("main")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for button in (self.back, self.leave, self.all):
            button.setMinimumHeight(theme.TARGET)
            row.addWidget(button)
        row.addStretch(1)
        self.next.setMinimumSize(124, theme.TARGET)
        row.addWidget(self.next)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Shorter words where there is less room."""
        super().resizeEvent(event)
        short = event.size().width() < theme.px(SHORT)
        self.leave.setText("Not sure" if short else LEAVE)
        self.leave.setAccessibleName(LEAVE)
        self.all.setText("List" if event.size().width() < theme.px(SHORTEST) else ALL)
        self.all.setAccessibleName(ALL)

    def name_next(self, to_open_row: bool) -> None:
        """What *Next* is called."""
        self.next.setText(NEXT_OPEN if to_open_row else NEXT)
