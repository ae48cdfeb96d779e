"""Paints force arrows: told apart by line style and words, their length to scale."""

from __future__ import annotations

import math

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF

from advisor.advice.result import Range
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.section_forces import WORDS, Arrow, Forces
from advisor.gui.words import load_text, range_text

HEAD = 9.0


def paint_forces(
    painter: QPainter, base: QFont, forces: Forces, system: System, width: float, height: float
) -> None:
    """Arrows, their figures and the scale bar of forces."""
    font = QFont(base)
    font.setPixelSize(theme.TEXT - 2)
    for arrow in forces.arrows:
        _paint_arrow(painter, arrow)
    painter.setFont(font)
    for label in forces.labels:
        text = f"{WORDS.get(label.duration, label.duration)} {load_text(label.load, system)}"
        wide = QFontMetrics(font).horizontalAdvance(text) + 8
        x, y = label.at
        left = min(max(x - wide / 2, 4.0), width - wide - 4.0)
        box = QRectF(left, y - 9, wide, 17)
        painter.fillRect(box, QColor(theme.PAPER))
        painter.setPen(QColor(theme.INK))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, text)
    _paint_bar(painter, font, forces, system, width, height)


def _paint_arrow(painter: QPainter, arrow: Arrow) -> None:
    colour = QColor(theme.ACCENT)
    tail, tip, reach = (QPointF(*point) for point in (arrow.tail, arrow.tip, arrow.reach))
    painter.setPen(QPen(QColor(theme.LINE), 1))
    painter.drawLine(tip, reach)
    painter.drawLine(reach + QPointF(0, -4), reach + QPointF(0, 4))
    head = min(HEAD, max(arrow.length, 4.0))
    sign = math.copysign(1.0, arrow.tip[0] - arrow.tail[0])
    neck = QPointF(arrow.tip[0] - sign * head, arrow.tip[1])
    pen = QPen(colour, 3.5)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if arrow.look == "dashed":
        pen.setStyle(Qt.PenStyle.DashLine)
    painter.setPen(pen)
    if arrow.look == "double":
        pen.setWidthF(1.8)
        painter.setPen(pen)
        for shift in (-2.5, 2.5):
            painter.drawLine(tail + QPointF(0, shift), neck + QPointF(0, shift))
    else:
        painter.drawLine(tail, neck)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawPolygon(
        QPolygonF([tip, neck + QPointF(0, -0.6 * HEAD), neck + QPointF(0, 0.6 * HEAD)])
    )


def _paint_bar(
    painter: QPainter, font: QFont, forces: Forces, system: System, width: float, height: float
) -> None:
    """Printed scale bar of forces, at the right end of the bottom line."""
    value, pixels = forces.bar
    text = range_text(Range(value, value, value), forces.dimension, forces.unit, system)
    wide = QFontMetrics(font).horizontalAdvance(text) + 6
    y, right = height - 9.0, width - 14.0
    painter.setPen(QPen(QColor(theme.ACCENT), 2))
    painter.drawLine(QPointF(right - pixels, y), QPointF(right, y))
    for end in (right - pixels, right):
        painter.drawLine(QPointF(end, y - 4), QPointF(end, y + 4))
    painter.setPen(QColor(theme.INK))
    painter.drawText(
        QRectF(right - pixels - wide - 4, y - 10, wide, 20), Qt.AlignmentFlag.AlignVCenter, text
    )
