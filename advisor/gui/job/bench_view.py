"""A drawing of the bench sheet on the Job stage."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.bench.bench_shapes import LETTER, LINES, BenchDrawing, placed
from advisor.drawing.section_shapes import Note, Stroke
from advisor.gui import theme
from advisor.gui.widgets.method_bar import sized_font
from advisor.gui.widgets.section_paint import paint_shape

INKS = {"ink": "INK", "quiet": "QUIET", "act": "ACCENT", "bad": "BAD"}
LARGEST = 1.5
"""Scale at most: a drawing is no larger on a wide page."""
HEAD = 7.0


@dataclass(frozen=True)
class Bench:
    """The block of a page that shows one drawing."""

    drawing: BenchDrawing

    @property
    def kind(self) -> Hashable:
        """One drawing is as good as another."""
        return "bench"

    @property
    def name(self) -> Hashable:
        """What it shows."""
        return self.drawing.title

    def make(self, parent: QWidget) -> QWidget:
        """The drawing."""
        return BenchView(self.drawing, parent)

    def refill(self, widget: QWidget) -> None:
        """Other figures."""
        assert isinstance(widget, BenchView)
        widget.show_drawing(self.drawing)


class BenchView(QWidget):
    """Paints a drawing as wide as there is room, its letters never below the smallest text."""

    def __init__(self, drawing: BenchDrawing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.show_drawing(drawing)

    def show_drawing(self, drawing: BenchDrawing) -> None:
        """Draw this."""
        self.drawing = drawing
        self.setAccessibleName(drawing.title)
        self.setAccessibleDescription("; ".join((*drawing.words, drawing.caption)))
        self.updateGeometry()
        self.update()

    def scale_at(self, width: int) -> float:
        """Pixels for a unit of the drawing."""
        return min(width / self.drawing.width, theme.px(100 * LARGEST) / 100)

    def hasHeightForWidth(self) -> bool:
        """One scale both ways."""
        return True

    def heightForWidth(self, width: int) -> int:
        """As wide as there is room."""
        return round(self.drawing.height * self.scale_at(width)) + 2

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(int(self.drawing.width), self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        """Narrower than this nothing can be read."""
        return QSize(300, self.heightForWidth(max(self.width(), 300)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Materials, lines, then words."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale = self.scale_at(self.width())
        painter.scale(scale, scale)
        for shape in self.drawing.shapes:
            paint_shape(painter, shape)
        for stroke in self.drawing.strokes:
            self._stroke(painter, stroke)
        painter.setPen(QColor(theme.INK))
        font = sized_font(self.font(), theme.SMALL, False)
        font.setPixelSize(round(LETTER))
        painter.setFont(font)
        for note in self.drawing.notes:
            self._note(painter, note)
        painter.end()

    def _stroke(self, painter: QPainter, stroke: Stroke) -> None:
        look = LINES[stroke.look]
        pen = QPen(QColor(getattr(theme, INKS[look.colour])), look.width)
        if look.dashes:
            pen.setDashPattern([dash / look.width for dash in look.dashes])
        painter.setPen(pen)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        points = [QPointF(x, y) for x, y in stroke.points]
        painter.drawPolyline(QPolygonF(points))
        if look.arrow:
            tip, back = points[-1], points[-2]
            along = tip - back
            along /= max((along.x() ** 2 + along.y() ** 2) ** 0.5, 1e-9)
            across = QPointF(-along.y(), along.x())
            painter.setBrush(pen.color())
            foot = tip - along * HEAD
            half = across * (HEAD / 2)
            painter.drawPolygon(QPolygonF([tip, foot + half, foot - half]))

    def _note(self, painter: QPainter, note: Note) -> None:
        anchor, down = placed(note)
        x, y = note.at
        wide = painter.fontMetrics().horizontalAdvance(note.text) + 2.0
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
        box = QRectF(left, y + down - 1.2 * LETTER, wide, 1.6 * LETTER)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextDontClip, note.text)
