"""The pieces of the graph's picture: a node with its figure, an edge with its step."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QPainter,
    QPainterPath,
    QPen,
    QPolygonF,
    QTextLayout,
)
from PySide6.QtWidgets import QGraphicsItem, QStyleOptionGraphicsItem, QWidget

from advisor.gui import theme
from advisor.rulegraph.model.rules import METHOD, USAGE

WIDE, HIGH = 138, 82
ACROSS, DOWN = WIDE + 32, HIGH + 12
HEAD = 9
BADGE = 10
"""Radius of the number of a step."""
BADGE_AT = 0.34
"""Where on a line its number stands, so that the head stays free."""
LINES = 3
"""Lines that a title may take."""


class NodeItem(QGraphicsItem):
    """A node: title on up to three lines, figure below. Dashed: assumed. Heavy: lit."""

    def __init__(self, name: str, title: str, assumed: bool) -> None:
        super().__init__()
        self.name = name
        self.title = title
        self.figure = ""
        self.assumed = assumed
        self.lit = False
        self.current = False
        self.setZValue(2)
        self.setToolTip(title)

    def said(self) -> str:
        """For a screen reader."""
        return f"{self.title}: {self.figure}{', assumed' if self.assumed else ''}"

    def tell(self, figure: str) -> None:
        """Write the figure under the title."""
        self.figure = figure
        self.setToolTip(self.said())
        self.update()

    def light(self, on: bool) -> None:
        """Put on or off the lit path."""
        self.lit = on
        self.update()

    def choose(self, on: bool) -> None:
        """Look at it, or away."""
        self.current = on
        self.setZValue(3 if on else 2)
        self.update()

    def boundingRect(self) -> QRectF:
        """The box and its heavy frame."""
        return QRectF(-4, -4, WIDE + 8, HIGH + 8)

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Frame, title, figure."""
        pen = QPen(QColor(theme.ACCENT if self.lit else theme.LINE), 3.5 if self.lit else 1.3)
        if self.assumed:
            pen.setStyle(Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(QColor(theme.ACCENT_SOFT if self.lit else theme.PAPER))
        box = QRectF(0, 0, WIDE, HIGH)
        method = self.name.startswith(METHOD)
        round_ = 16 if method else 2 if self.name.startswith(USAGE) else 6
        painter.drawRoundedRect(box, round_, round_)
        if self.current:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(theme.FOCUS), 3))
            painter.drawRoundedRect(box.adjusted(-2.5, -2.5, 2.5, 2.5), round_ + 2, round_ + 2)
        self._words(painter, method)

    def _words(self, painter: QPainter, method: bool) -> None:
        font = QFont(theme.FONT)
        font.setPixelSize(14)
        font.setBold(self.lit or method)
        painter.setFont(font)
        painter.setPen(QColor(theme.INK))
        lines = broken(self.title, font, WIDE - 12)
        for i, line in enumerate(lines):
            painter.drawText(QRect(6, 4 + 18 * i, WIDE - 8, 19), Qt.AlignmentFlag.AlignLeft, line)
        font.setBold(method)
        font.setPixelSize(13)
        painter.setFont(font)
        painter.setPen(QColor(theme.INK if method else theme.QUIET))
        figure = QFontMetrics(font).elidedText(
            self.figure, Qt.TextElideMode.ElideRight, WIDE - 12
        )
        painter.drawText(QRect(6, HIGH - 22, WIDE - 8, 19), Qt.AlignmentFlag.AlignLeft, figure)


class EdgeItem(QGraphicsItem):
    """What feeds what. On the lit path it is heavy and carries the number of its step."""

    def __init__(self, path: QPainterPath) -> None:
        super().__init__()
        self.path = path
        self.step = 0

    def light(self, step: int) -> None:
        """``step`` on the lit path, 0 off it."""
        self.step = step
        self.setZValue(1 if step else 0)
        self.update()

    def boundingRect(self) -> QRectF:
        """The line with its head and badge."""
        return self.path.boundingRect().adjusted(-BADGE - 2, -BADGE - 4, BADGE + 2, BADGE + 4)

    def shape(self) -> QPainterPath:
        """Nothing to touch: lines never hide a node from a finger."""
        return QPainterPath()

    def paint(
        self, painter: QPainter, option: QStyleOptionGraphicsItem, widget: QWidget | None = None
    ) -> None:
        """Line, head, number."""
        colour = QColor(theme.ACCENT if self.step else "#a7afb5")
        painter.setPen(QPen(colour, 4 if self.step else 1.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(self.path)
        end, size = self.path.currentPosition(), HEAD + (4 if self.step else 0)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        painter.drawPolygon(QPolygonF([
            end, QPointF(end.x() - size, end.y() - size / 2),
            QPointF(end.x() - size, end.y() + size / 2),
        ]))
        if self.step:
            self._badge(painter)

    def _badge(self, painter: QPainter) -> None:
        at = self.path.pointAtPercent(BADGE_AT)
        painter.setPen(QPen(QColor(theme.ACCENT), 2))
        painter.setBrush(QColor(theme.PAPER))
        painter.drawEllipse(at, BADGE, BADGE)
        font = QFont(theme.FONT)
        font.setPixelSize(12)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(QColor(theme.ACCENT))
        box = QRectF(at.x() - BADGE, at.y() - BADGE, 2 * BADGE, 2 * BADGE)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(self.step))


def broken(text: str, font: QFont, width: int) -> list[str]:
    """``text`` broken between words onto at most three lines, the last cut where it must be."""
    layout = QTextLayout(text, font)
    layout.beginLayout()
    found: list[str] = []
    at = 0
    while at < len(text) and len(found) < LINES - 1:
        line = layout.createLine()
        line.setLineWidth(width)
        found.append(text[at : at + line.textLength()].strip())
        at += line.textLength()
    layout.endLayout()
    rest = text[at:].strip()
    if rest:
        found.append(QFontMetrics(font).elidedText(rest, Qt.TextElideMode.ElideRight, width))
    return found
