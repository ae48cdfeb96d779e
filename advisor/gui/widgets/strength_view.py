"""The section with the pull drawn against what each joint carries, on one scale."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.pull_and_strength import PullAndStrength
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_shapes import Layers
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.section_paint import paint_shape, paint_stroke
from advisor.session.answer_text import range_text
from advisor.wording.figures import UNBOUNDED, Range, to_digits
from advisor.wording.sentences import lowered

ROW = 62
"""Height of one method's row at 100 % text, px."""
SECTION, DEEPEST = 120, 240
"""Height of the section, which grows with the width, px."""
GAP = 10.0
"""Half of the space in the middle, where the edges meet, px."""


class StrengthView(QWidget):
    """Arrows are the pull; the wound posts are what the joint carries. Both in N/mm."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: list[PullAndStrength] = []
        self._layers: Layers | None = None
        self._system = System.METRIC
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.setAccessibleName("Pull against strength")

    def show_rows(
        self, rows: list[PullAndStrength], layers: Layers | None, system: System
    ) -> None:
        """The chosen method first, then those that it is compared with."""
        self._rows, self._layers, self._system = rows, layers, system
        self.setAccessibleDescription(" ".join(self.in_words()))
        self.setVisible(bool(rows))
        self.updateGeometry()
        self.update()

    def in_words(self) -> list[str]:
        """The picture for someone who cannot see it."""
        return [
            f"{row.title}: pull {self._figure(row.pull.value, row)}, carries "
            f"{self._figure(row.strength.value, row)}; {used(row.usage)}."
            for row in self._rows
        ]

    @property
    def _deep(self) -> int:
        return self._deep_at(self.width())

    @staticmethod
    def _deep_at(width: int) -> int:
        return min(max(SECTION, width // 4), DEEPEST)

    def hasHeightForWidth(self) -> bool:
        """Wider: the section becomes deeper."""
        return True

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width asks for another height, which the layout around it has to be told."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()

    def heightForWidth(self, width: int) -> int:
        """A row for each method, and the section between."""
        rows = max(len(self._rows), 1) * theme.px(ROW)
        return rows + (self._deep_at(width) if self._layers is not None else 0)

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(420, self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:
        """As high, half as wide."""
        return QSize(260, self.sizeHint().height())

    def _figure(self, value: Range, row: PullAndStrength) -> str:
        middle = Range(value.typical, value.typical, value.typical)
        return range_text(middle, row.pull.dimension, row.pull.unit, self._system)

    def _scale(self) -> float:
        """Pixels for one unit of pull: the strongest row fills its side."""
        most = max(
            max(row.strength.value.typical, min(row.pull.value.typical + row.others, 3.0 * max(
                r.strength.value.typical for r in self._rows
            )))
            for row in self._rows
        )
        return (0.5 * self.width() - GAP - 16.0) / max(most, 1e-9)

    def paintEvent(self, event: QPaintEvent) -> None:
        """The chosen method, the section, then the others."""
        if not self._rows:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        y = 0.0
        for index, row in enumerate(self._rows):
            self._row(painter, row, y, self._scale())
            y += theme.px(ROW)
            if index == 0 and self._layers is not None:
                self._section(painter, y)
                y += self._deep
        painter.end()

    def _section(self, painter: QPainter, y: float) -> None:
        """The section, without words: they stand in the drawing beside the questions."""
        assert self._layers is not None
        painter.save()
        # The drawing keeps room for words at its right and for legends below: cut off here.
        wide = self.width() + 130.0
        drawing = draw(self._layers, wide, self._deep + 30.0, 0.0)
        heights = [down for shape in drawing.shapes for _, down in shape.points]
        high = max(heights) - min(heights)
        # What hangs or is thick is drawn smaller, as a whole.
        small = min(1.0, (self._deep - 12.0) / max(high, 1.0))
        painter.translate(0.5 * self.width(), y + 0.5 * (self._deep - small * high))
        painter.scale(small, small)
        painter.translate(-0.5 * (14.0 + wide - 146.0), -min(heights))
        for shape in drawing.shapes:
            paint_shape(painter, shape)
        for stroke in drawing.strokes:
            paint_stroke(painter, stroke)
        painter.restore()

    def _row(self, painter: QPainter, row: PullAndStrength, top: float, scale: float) -> None:
        font = QFont(self.font())
        font.setPixelSize(theme.SMALL)
        painter.setFont(font)
        painter.setPen(QColor(theme.INK))
        line = painter.fontMetrics().height()
        carries = f"{row.title} carries {self._figure(row.strength.value, row)}"
        pull = f"pull {self._figure(row.pull.value, row)}"
        room = QRectF(2, top, self.width() - 4, line)
        wide = painter.fontMetrics().horizontalAdvance(pull)
        painter.drawText(room, Qt.AlignmentFlag.AlignRight, pull)
        room.setWidth(room.width() - wide - 8)
        painter.drawText(room, Qt.AlignmentFlag.AlignLeft, painter.fontMetrics().elidedText(
            carries, Qt.TextElideMode.ElideMiddle, int(room.width())))
        middle = top + line + 14.0
        fails = row.usage > 1.0
        for side in (-1.0, 1.0):
            self._half(painter, row, middle, scale, side, fails)

    def _half(
        self, painter: QPainter, row: PullAndStrength, y: float, scale: float, side: float,
        fails: bool,
    ) -> None:
        origin = 0.5 * self.width() + side * GAP
        end = 0.5 * self.width() - GAP - 12.0
        strength = min(row.strength.value.typical * scale, end)
        pull = min(row.pull.value.typical * scale, end)
        rest = min((row.pull.value.typical + row.others) * scale, end)
        high = 9.0
        ground = QRectF(min(origin, origin + side * strength), y - high, strength, 2 * high)
        painter.setPen(QPen(QColor(theme.BAD if fails else theme.GOOD), 1))
        painter.setBrush(QColor(theme.BAD_SOFT if fails else theme.GOOD_SOFT))
        painter.drawRect(ground)
        colour = QColor(theme.BAD if fails else theme.ACCENT)
        others = QRectF(min(origin + side * pull, origin + side * rest), y - 6, rest - pull, 12)
        painter.setPen(QPen(colour, 1))
        painter.setBrush(QBrush(colour, Qt.BrushStyle.Dense5Pattern))
        if rest > pull:
            painter.drawRect(others)
        painter.setBrush(colour)
        tip = origin + side * pull
        neck = tip - side * min(10.0, 0.6 * pull)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.drawRect(QRectF(min(origin, neck), y - 4, abs(neck - origin), 8))
        painter.drawPolygon(QPolygonF([
            QPointF(tip, y), QPointF(neck, y - 8), QPointF(neck, y + 8),
        ]))  # fmt: skip
        self._post(painter, origin + side * strength, y)

    def _post(self, painter: QPainter, x: float, y: float) -> None:
        """Thread wound on a dark post: as far as the joint carries."""
        painter.setPen(QPen(QColor(theme.INK), 5))
        painter.drawLine(QPointF(x, y - 14), QPointF(x, y + 14))
        pen = QPen(QColor(theme.THREAD), 2)
        pen.setDashPattern([1.6, 1.2])
        painter.setPen(pen)
        painter.drawLine(QPointF(x, y - 12), QPointF(x, y + 12))


def used(usage: float) -> str:
    """How much of what it carries is used, in words."""
    if usage <= 1.0:
        return f"{to_digits(100 * usage)} % of what it carries is used"
    if usage >= UNBOUNDED:
        return "more than it carries, which is nothing for long"
    return f"{to_digits(usage)} times what it carries"


def against(row: PullAndStrength) -> str:
    """Why a method breaks, in one sentence."""
    cause = f", mostly because {lowered(row.cause)}" if row.cause else ""
    return f"The pulls are {used(row.usage)}{cause}: {lowered(row.weakness)}."
