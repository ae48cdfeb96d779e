"""One method twice on one scale: as it stands, and with the answer that is tried."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.advice.result import MethodAdvice, Status
from advisor.drawing.usage_bar import LIMIT_AT, usage_bar
from advisor.gui import theme
from advisor.gui.widgets.method_bar import PAD, WRAP, look_of, sized_font
from advisor.session.answer_text import standing
from advisor.session.compare_advice import Pair, has_bar

LINE_H = 24
BAR_H = 10
SIDE = 48
"""Room for the words "now" and "tried"."""


class ComparedBars(QWidget):
    """Title, then a line each for now and tried: bar, whisker and the word of its state."""

    def __init__(self, pair: Pair, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.pair = pair
        spoken = [f"{word} {_word(method)}" for word, method in self._lines()]
        self.setAccessibleName(f"{pair.title}: {', '.join(spoken)}")
        self.setToolTip(self.accessibleName())
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def _lines(self) -> tuple[tuple[str, MethodAdvice | None], ...]:
        return (("now", self.pair.before), ("tried", self.pair.after))

    def _title_height(self, width: int) -> int:
        metrics = QFontMetrics(sized_font(self.font(), theme.TEXT, True))
        room = QRect(0, 0, max(width - 2 * PAD, 80), 2000)
        return metrics.boundingRect(room, WRAP, self.pair.title).height() + 4

    def _word_width(self) -> int:
        metrics = QFontMetrics(sized_font(self.font(), theme.TEXT - 1, True))
        texts = [_word(method) for _, method in self._lines()]
        return max(metrics.horizontalAdvance(text) for text in texts) + 6

    def hasHeightForWidth(self) -> bool:
        """The title wraps."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Title and two lines."""
        return self._title_height(width) + 2 * LINE_H + 12

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(320, self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        """Narrower than this the bar is too short to compare."""
        return QSize(260, self.heightForWidth(max(self.width(), 260)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw both lines on one scale."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(theme.HAIR), 1))
        painter.setBrush(QColor(theme.PAPER))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 5, 5)
        high = self._title_height(self.width())
        painter.setFont(sized_font(self.font(), theme.TEXT, True))
        painter.setPen(QColor(theme.INK))
        room = QRect(PAD, 4, self.width() - 2 * PAD, high)
        painter.drawText(room, WRAP, self.pair.title)
        top, wide = high + 4, self._word_width()
        left, span = PAD + SIDE, max(self.width() - 2 * PAD - SIDE - wide - 8, 40)
        for word, method in self._lines():
            self._line(painter, (word, method), QRect(left, top, span, LINE_H), wide)
            top += LINE_H
        painter.end()

    def _line(
        self, painter: QPainter, line: tuple[str, MethodAdvice | None], box: QRect, wide: int
    ) -> None:
        word, method = line
        tried = word == "tried"
        painter.setFont(sized_font(self.font(), theme.TEXT - 1, tried))
        painter.setPen(QColor(theme.INK if tried else theme.QUIET))
        middle = Qt.AlignmentFlag.AlignVCenter
        painter.drawText(QRect(PAD, box.y(), SIDE, LINE_H), middle, word)
        painter.setFont(sized_font(self.font(), theme.TEXT - 1, True))
        painter.setPen(QColor(look_of(method) if method is not None else theme.OFF))
        right = middle | Qt.AlignmentFlag.AlignRight
        painter.drawText(QRect(box.right() + 8, box.y(), wide, LINE_H), right, _word(method))
        if method is not None and has_bar(method):
            self._bar(painter, method, box)

    def _bar(self, painter: QPainter, method: MethodAdvice, box: QRect) -> None:
        assert method.usage is not None
        shape = usage_bar(method.usage)
        y = box.y() + 3.0
        colour = QColor(look_of(method))
        hatched = method.status is Status.FAILS
        style = Qt.BrushStyle.BDiagPattern if hatched else Qt.BrushStyle.SolidPattern
        painter.setPen(QPen(QColor(theme.LINE), 1))
        painter.setBrush(QColor(theme.GROUND))
        painter.drawRect(QRectF(box.x(), y, box.width(), BAR_H))
        painter.setPen(QPen(colour, 1.5))
        painter.setBrush(QBrush(colour, style))
        painter.drawRect(QRectF(box.x(), y, max(shape.typical * box.width(), 2.0), BAR_H))
        line = y + BAR_H + 5
        painter.setPen(QPen(QColor(theme.INK), 2))
        low, high = (box.x() + share * box.width() for share in (shape.low, shape.high))
        painter.drawLine(QPointF(low, line), QPointF(high, line))
        for x in (low, high):
            painter.drawLine(QPointF(x, line - 3), QPointF(x, line + 3))
        one = box.x() + LIMIT_AT * box.width()
        painter.setPen(QPen(QColor(theme.INK), 2.5))
        painter.drawLine(QPointF(one, y - 3), QPointF(one, line + 4))


def _word(method: MethodAdvice | None) -> str:
    return standing(method) if method is not None else "not calculated"
