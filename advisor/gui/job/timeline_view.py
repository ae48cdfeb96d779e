"""The job along the clock: hands-on work solid, waiting hatched."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.timeline import Stretch, Timeline
from advisor.gui import theme
from advisor.gui.widgets.method_bar import WRAP, sized_font

BAR_H = 12
GAP = 8


@dataclass(frozen=True)
class Clock:
    """The block of a page that shows one visit along the clock."""

    course: Timeline

    @property
    def kind(self) -> Hashable:
        """One timeline is as good as another."""
        return "clock"

    @property
    def name(self) -> Hashable:
        """Visits come in order."""
        return ""

    def make(self, parent: QWidget) -> QWidget:
        """The timeline."""
        return TimelineView(self.course, parent)

    def refill(self, widget: QWidget) -> None:
        """Another course of time."""
        assert isinstance(widget, TimelineView)
        widget.show_course(self.course)


class TimelineView(QWidget):
    """One bar for each piece of work or wait, in the order of time."""

    def __init__(self, course: Timeline, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Timeline")
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.show_course(course)

    def show_course(self, course: Timeline) -> None:
        """Draw this."""
        self.course = course
        self.setAccessibleDescription(". ".join(one.words for one in course.stretches))
        self.updateGeometry()
        self.update()

    def _text_height(self, one: Stretch, width: int) -> int:
        metrics = QFontMetrics(sized_font(self.font(), theme.TEXT - 1, False))
        return metrics.boundingRect(QRect(0, 0, width, 900), WRAP, one.words).height() + 3

    def hasHeightForWidth(self) -> bool:
        """The words wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Words and bar of every stretch."""
        return sum(self._text_height(one, width) + BAR_H + GAP for one in self.course.stretches)

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(320, self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        """Narrower than this a bar is too short."""
        return QSize(200, self.heightForWidth(max(self.width(), 200)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Words, then the bar at its time."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setFont(sized_font(self.font(), theme.TEXT - 1, False))
        scale = (self.width() - 2) / self.course.end
        y = 0
        for one in self.course.stretches:
            high = self._text_height(one, self.width())
            painter.setPen(QColor(theme.INK))
            painter.drawText(QRect(0, y, self.width(), high), WRAP, one.words)
            y += high
            painter.setPen(QPen(QColor(theme.LINE), 1))
            painter.setBrush(QColor(theme.GROUND))
            painter.drawRect(QRectF(1, y, self.width() - 2, BAR_H))
            colour = QColor(theme.ACCENT if one.hands else theme.OFF)
            style = Qt.BrushStyle.SolidPattern if one.hands else Qt.BrushStyle.BDiagPattern
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(QBrush(colour, style))
            wide = max((one.end - one.start) * scale, 3.0)
            painter.drawRect(QRectF(1 + one.start * scale, y, wide, BAR_H))
            y += BAR_H + GAP
        painter.end()
