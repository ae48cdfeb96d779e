"""What loads the joint, as bands from left to right: the thicker, the more it pulls."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.load_flow import LoadFlow
from advisor.drawing.section_forces import WORDS
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.session.answer_text import range_text
from advisor.wording.counts import percent
from advisor.wording.figures import Range
from advisor.wording.sentences import lowered

ROW = 40
"""Height of a cause at 100 % text, px."""
BAND = 60.0
"""Thickness of all pulls together, px."""


class LoadFlowView(QWidget):
    """Causes at the left, kinds of pull in the middle, what is used of the joint at the right."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._flow: LoadFlow | None = None
        self._system = System.METRIC
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("What loads the joint")

    def show_flow(self, flow: LoadFlow | None, system: System) -> None:
        """Another case, method or units; None shows nothing."""
        self._flow, self._system = flow, system
        self.setVisible(flow is not None)
        self.setAccessibleDescription(self.in_words())
        self.updateGeometry()
        self.update()

    def in_words(self) -> str:
        """The picture for someone who cannot see it."""
        flow = self._flow
        if flow is None:
            return ""
        said = [f"{c.title} {self._figure(c.value)}, {self._kind(c.duration)}" for c in flow.causes]
        return f"{'; '.join(said)}. Used: {percent(flow.usage)}. {flow.weakest}."

    def _kind(self, duration: str) -> str:
        return lowered(WORDS.get(duration, duration))

    def _figure(self, value: float) -> str:
        assert self._flow is not None
        flow = self._flow
        return range_text(Range(value, value, value), flow.dimension, flow.unit, self._system)

    def sizeHint(self) -> QSize:
        """A row for each cause."""
        rows = len(self._flow.causes) if self._flow is not None else 0
        return QSize(420, max(rows, 2) * theme.px(ROW) + 16)

    def minimumSizeHint(self) -> QSize:
        """As high, less wide."""
        return QSize(320, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Bands first, words on the ground beside them."""
        flow = self._flow
        if flow is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        font = QFont(self.font())
        font.setPixelSize(theme.SMALL)
        painter.setFont(font)
        wide, high = float(self.width()), float(self.height())
        left, middle, right = 0.42 * wide, 0.62 * wide, 0.80 * wide
        total = sum(pull.value for pull in flow.pulls) or 1.0
        scale = min(BAND, 0.5 * high) / total
        at = 0.5 * (high - total * scale)
        named = (cause for cause in flow.causes if cause.title == flow.main)
        main = next(named, None) or max(flow.causes, key=lambda c: c.value, default=None)
        row, y = theme.px(ROW), 8.0
        for pull in flow.pulls:
            into = at
            for cause in pull.causes:
                thick = max(cause.value * scale, 1.5)
                colour = QColor(theme.ACCENT if cause is main else theme.HAIR)
                _band(painter, (left, y + 0.5 * row, middle, into + 0.5 * thick), thick, colour)
                self._words(painter, cause.title, self._figure(cause.value),
                            QRectF(0, y, left - 8, row), bold=cause is main)  # fmt: skip
                into += cause.value * scale
                y += row
            _band(painter, (middle, at + 0.5 * pull.value * scale, right,
                            at + 0.5 * pull.value * scale), pull.value * scale,
                  QColor(theme.ACCENT if main in pull.causes else theme.HAIR))  # fmt: skip
            self._label(painter, f"{self._kind(pull.duration)} {self._figure(pull.value)}",
                        QRectF(middle, at - 0, right - middle, pull.value * scale))  # fmt: skip
            at += pull.value * scale
        self._used(painter, QRectF(right + 10, 4, wide - right - 12, high - 8), flow)
        painter.end()

    def _words(
        self, painter: QPainter, title: str, figure: str, box: QRectF, *, bold: bool
    ) -> None:
        font = QFont(painter.font())
        font.setBold(bold)
        painter.save()
        painter.setFont(font)
        metrics = QFontMetrics(font)
        painter.setPen(QColor(theme.INK))
        upper = QRectF(box.left(), box.top(), box.width(), 0.5 * box.height())
        said = metrics.elidedText(title, Qt.TextElideMode.ElideRight, int(box.width()))
        painter.drawText(upper, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignBottom, said)
        painter.setPen(QColor(theme.QUIET))
        upper.translate(0, 0.5 * box.height())
        painter.drawText(upper, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop, figure)
        painter.restore()

    def _label(self, painter: QPainter, text: str, band: QRectF) -> None:
        """The kind of pull, on a patch of the page over its band."""
        metrics = painter.fontMetrics()
        if band.height() < 0.9 * metrics.height():
            return
        box = QRectF(0, 0, metrics.horizontalAdvance(text) + 8, metrics.height())
        box.moveCenter(band.center())
        # A narrow band has its words reach over those that lead into it, never over the column.
        box.moveRight(min(box.right(), band.right()))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.PAPER))
        painter.drawRoundedRect(box, 3, 3)
        painter.setPen(QColor(theme.INK))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)

    def _used(self, painter: QPainter, box: QRectF, flow: LoadFlow) -> None:
        """A column filled as far as the joint is used, and what gives way first."""
        column = QRectF(box.left(), box.top() + 4, 22, box.height() - 8)
        share = min(flow.usage / 1.35, 1.0)
        ink = QColor(theme.GOOD if flow.usage <= 1.0 else theme.BAD)
        painter.setPen(QPen(QColor(theme.LINE), 1))
        painter.setBrush(QColor(theme.SUNK))
        painter.drawRect(column)
        filled = QRectF(column)
        filled.setTop(column.bottom() - share * column.height())
        painter.fillRect(filled, ink)
        limit = column.bottom() - column.height() / 1.35
        painter.setPen(QPen(QColor(theme.INK), 3))
        painter.drawLine(QPointF(column.left() - 4, limit), QPointF(column.right() + 4, limit))
        painter.setPen(QColor(theme.INK))
        words = QRectF(column.right() + 8, box.top(), box.right() - column.right() - 8,
                       box.height())  # fmt: skip
        said = f"{percent(flow.usage)} used\n{flow.weakest}"
        painter.drawText(words, int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap), said)


def _band(
    painter: QPainter, ends: tuple[float, float, float, float], thick: float, colour: QColor
) -> None:
    """A band that swings from one height to another."""
    x, y, to_x, to_y = ends
    half, bend = 0.5 * thick, 0.5 * (to_x - x)
    path = QPainterPath(QPointF(x, y - half))
    path.cubicTo(QPointF(x + bend, y - half), QPointF(to_x - bend, to_y - half),
                 QPointF(to_x, to_y - half))  # fmt: skip
    path.lineTo(QPointF(to_x, to_y + half))
    path.cubicTo(QPointF(to_x - bend, to_y + half), QPointF(x + bend, y + half),
                 QPointF(x, y + half))  # fmt: skip
    path.closeSubpath()
    painter.fillPath(path, colour)
