"""Words that fit any width: a line ends in three dots, the words of a button break.

They ask for no width, so that what is shown never hangs on what was shown before.
"""

from __future__ import annotations

import re

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import (
    QLabel,
    QPushButton,
    QSizePolicy,
    QStylePainter,
    QWidget,
)

LONGEST = re.compile(r"(\S{60})\S+")
"""A word that no line would break: what somebody pasted, in a message that says it again."""
LEAST = 40
"""px that are asked for."""
PADDING = 28
"""px beside the words of a button, both sides together."""


def breakable(text: str) -> str:
    """A message in which every word has room on a line."""
    return LONGEST.sub(r"\1...", text)


class ElidedLabel(QLabel):
    """A line of words."""

    def minimumSizeHint(self) -> QSize:
        """Hardly any width."""
        return QSize(LEAST, super().minimumSizeHint().height())

    def sizeHint(self) -> QSize:
        """No more width than there is."""
        return self.minimumSizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """As much as fits."""
        painter = QStylePainter(self)
        room = self.contentsRect()
        said = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
        self.style().drawItemText(
            painter, room, self.alignment(), self.palette(), self.isEnabled(), said,
            self.foregroundRole(),
        )  # fmt: skip


class WrappedButton(QPushButton):
    """A button as wide as its column, as high as its words need."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_words(self, words: str) -> None:
        """What it says, on as many lines as it takes."""
        self._words = words
        self.setAccessibleName(words)
        self._break()

    def minimumSizeHint(self) -> QSize:
        """Hardly any width."""
        return QSize(LEAST, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other lines in another width."""
        super().resizeEvent(event)
        self._break()

    def _break(self) -> None:
        drawn = 0 if self.icon().isNull() else self.iconSize().width() + 8
        room, lines = self.width() - PADDING - drawn, list[str]()
        for wanted in self._words.split("\n"):
            lines.append("")
            for word in wanted.split(" "):
                longer = f"{lines[-1]} {word}" if lines[-1] else word
                fits = self.fontMetrics().horizontalAdvance(longer) <= room
                lines[-1:] = [longer] if fits or not lines[-1] else [lines[-1], word]
        said = "\n".join(lines)
        if said != self.text():
            self.setText(said)
