"""How far one has come, as a seam: stitches sewn, holes still open, and in words."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.gui import theme

STITCH = 17
MOST = 10
"""Stitches and holes drawn at most; the words tell the rest."""


class StitchLine(QWidget):
    """Thread on ink, so that it is seen on every ground."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.done, self.ahead, self.words = 0, 0, ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_progress(self, done: int, ahead: int, words: str) -> None:
        """``done`` answered, ``ahead`` still to ask; ``words`` say what is left."""
        ahead = min(ahead, MOST - 2)
        self.done, self.ahead, self.words = min(done, MOST - ahead), ahead, words
        self.setAccessibleName(words)
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """Stitches and words in a line."""
        drawn = (self.done + self.ahead) * theme.px(STITCH) + 12
        return QSize(drawn + QFontMetrics(self._font()).horizontalAdvance(self.words),
                     theme.px(24))

    def minimumSizeHint(self) -> QSize:
        """As high as its words."""
        return QSize(60, theme.px(24))

    def _font(self) -> QFont:
        font = QFont(self.font())
        font.setPixelSize(theme.SMALL)
        return font

    def paintEvent(self, event: QPaintEvent) -> None:
        """Stitches, holes, words."""
        if not self.words:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        step, middle = theme.px(STITCH), self.height() / 2
        for i in range(self.done + self.ahead):
            x = float(i * step)
            if i < self.done:
                painter.setPen(QPen(QColor(theme.INK), 1.5))
                painter.setBrush(QColor(theme.THREAD))
                painter.drawRoundedRect(QRectF(x + 1, middle - 3.5, step - 2, 7), 3.5, 3.5)
            else:
                painter.setPen(QPen(QColor(theme.INK), 1.8))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawEllipse(QPointF(x + step / 2, middle), 3.5, 3.5)
        painter.setFont(self._font())
        painter.setPen(QColor(theme.QUIET))
        left = (self.done + self.ahead) * step + 10.0
        painter.drawText(QRectF(left, 0, self.width() - left, self.height()),
                         Qt.AlignmentFlag.AlignVCenter, self.words)
        painter.end()
