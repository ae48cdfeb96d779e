"""A line whose Enter is its own: the page around it does not go on as well."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit


class EnterLine(QLineEdit):
    """Takes Enter; a plain line would hand it on after it was told of."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """As any line, but Enter ends here."""
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            event.accept()
