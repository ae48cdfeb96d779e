"""Paints force arrows: distinguished by line style and words, their length to scale."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF

from advisor.drawing.section_forces import LOOKS, TOGETHER, WORDS, Arrow, Forces
from advisor.drawing.section_frame import scale_bar
from advisor.facts.quantity import System, convert, shown_unit
from advisor.gui import theme
from advisor.session.answer_text import load_text
from advisor.wording.figures import to_digits

HEAD = 9.0
SAMPLE = 20.0
"""Length of the line beside the words, px."""


def paint_forces(
    painter: QPainter, font: QFont, forces: Forces, system: System, width: float, height: float
) -> None:
    """Arrows, their figures and the scale bar of forces."""
    for arrow in forces.arrows:
        _paint_arrow(painter, arrow)
    painter.setFont(font)
    for label in forces.labels:
        x, y = label.at
        painter.setPen(QColor(theme.INK))
        for shift, text in (
            (-16, WORDS.get(label.duration, label.duration)),
            (0, load_text(label.load, system)),
        ):
            box = QRectF(x + SAMPLE + 6, y + shift, width - x - SAMPLE - 6, 16)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, text)
        _paint_sample(painter, label.duration, x, y - 7)
    if len(forces.labels) > 1:
        top = min((label.at for label in forces.labels), key=lambda at: at[1])
        painter.setPen(QColor(theme.QUIET))
        # Above the arrows there is room to the left, where it is wider than the legend.
        left = min(top[0], width - painter.fontMetrics().horizontalAdvance(TOGETHER) - 4)
        painter.drawText(QRectF(left, top[1] - 35, width - left, 16),
                         Qt.AlignmentFlag.AlignVCenter, TOGETHER)
    _paint_bar(painter, font, forces, system, width, height)


def _paint_sample(painter: QPainter, duration: str, x: float, y: float) -> None:
    """A short line in the style of a duration, beside its words."""
    pen, shifts = _pen(LOOKS.get(duration, "solid"))
    painter.setPen(pen)
    for shift in shifts:
        painter.drawLine(QPointF(x, y + shift), QPointF(x + SAMPLE, y + shift))


def _pen(look: str) -> tuple[QPen, tuple[float, ...]]:
    """Pen of a look, and how far its lines lie from the middle."""
    pen = QPen(QColor(theme.ACCENT), 3.5)
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    if look == "dashed":
        pen.setDashPattern([1.6, 1.0])
    if look == "double":
        pen.setWidthF(1.8)
        return pen, (-2.5, 2.5)
    return pen, (0.0,)


def _paint_arrow(painter: QPainter, arrow: Arrow) -> None:
    """Shaft in the style of its duration, head, and a thin line to the 95th percentile."""
    colour = QColor(theme.ACCENT)
    tail, tip, reach = (QPointF(*point) for point in (arrow.tail, arrow.tip, arrow.reach))
    long = max(arrow.length, 1e-6)
    way = (tip - tail) / long
    side = QPointF(-way.y(), way.x())
    painter.setPen(QPen(QColor(theme.LINE), 1))
    painter.drawLine(tip, reach)
    painter.drawLine(reach - side * 4.0, reach + side * 4.0)
    # A short arrow keeps some of its shaft, which tells what it stands for.
    neck = tip - way * min(HEAD, 0.6 * long)
    pen, shifts = _pen(arrow.look)
    painter.setPen(pen)
    for shift in shifts:
        painter.drawLine(tail + side * shift, neck + side * shift)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    half = side * (0.6 * HEAD)
    painter.drawPolygon(QPolygonF([tip, neck - half, neck + half]))


def _paint_bar(
    painter: QPainter, font: QFont, forces: Forces, system: System, width: float, height: float
) -> None:
    """Printed scale bar of forces, at the right end of the bottom line."""
    per_shown = forces.per_unit / convert(1.0, forces.dimension, system)
    value, pixels = scale_bar(per_shown, min(forces.room, 0.2 * width))
    text = f"{to_digits(value)} {shown_unit(forces.dimension, system)}"
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
