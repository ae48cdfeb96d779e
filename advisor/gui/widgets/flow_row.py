"""Widgets one after the other, in as many lines as they need."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

GAP = 8
"""Between two widgets and between two lines, px."""


class FlowRow(QWidget):
    """Shows ``parts`` at their own width; its height follows from the width there is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._parts: list[QWidget] = []
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_parts(self, parts: Sequence[QWidget]) -> None:
        """Show these, in this order."""
        self._parts = list(parts)
        self._place(self.width())
        self.updateGeometry()

    def hasHeightForWidth(self) -> bool:
        """More lines where it is narrow."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height of all lines at ``width`` px."""
        return self._place(width, moved=False)

    def sizeHint(self) -> QSize:
        """At the width it has."""
        wide = max(self.width(), 300)
        return QSize(wide, self.heightForWidth(wide))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put every part in its place."""
        super().resizeEvent(event)
        self._place(event.size().width())

    def _place(self, width: int, *, moved: bool = True) -> int:
        """Lines of ``width`` px; returns their height."""
        x = y = line = 0
        for part in self._parts:
            part.ensurePolished()
            size = part.sizeHint()
            wide, high = min(size.width(), width), max(size.height(), part.minimumHeight())
            if x and x + wide > width:
                x, y, line = 0, y + line + GAP, 0
            if moved:
                part.setGeometry(x, y, wide, high)
            x, line = x + wide + GAP, max(line, high)
        return y + line
