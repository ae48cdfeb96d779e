"""How sure, how right: what was stated against how often it was right."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.gui import theme
from advisor.gui.widgets.method_bar import sized_font
from advisor.practice.calibration import Calibration

LEFT, RIGHT, FOOT, TOP = 44.0, 130.0, 38.0, 12.0


class CertaintyView(QWidget):
    """A point for each group of answers, with the interval of its share right and its count."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._found: Calibration | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("How sure, how right")

    def show_calibration(self, found: Calibration) -> None:
        """Another learner."""
        self._found = found
        words = [found.words, *(group.words for group in found.groups)]
        self.setAccessibleDescription(". ".join(words))
        self.setVisible(bool(found.groups))
        self.update()

    def sizeHint(self) -> QSize:
        """Enough to read the points."""
        return QSize(360, theme.px(230))

    def minimumSizeHint(self) -> QSize:
        """As high, less wide."""
        return QSize(240, theme.px(230))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Axes, the line on which stated and right are the same, points with their bars."""
        if self._found is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(theme.PAPER))
        painter.setFont(sized_font(self.font(), theme.SMALL, False))
        plot = QRectF(LEFT, TOP, self.width() - LEFT - RIGHT, self.height() - FOOT - TOP)

        def at(stated: float, right: float) -> QPointF:
            return QPointF(plot.left() + stated * plot.width(),
                           plot.bottom() - right * plot.height())  # fmt: skip

        painter.setPen(QPen(QColor(theme.LINE), 1.5))
        painter.drawLine(at(0, 0), at(1, 0))
        painter.drawLine(at(0, 0), at(0, 1))
        painter.setPen(QColor(theme.QUIET))
        for share in (0.0, 0.5, 1.0):
            foot, side = at(share, 0.0), at(0.0, share)
            painter.drawText(QRectF(foot.x() - 30, foot.y() + 3, 60, 16),
                             Qt.AlignmentFlag.AlignHCenter, f"{100 * share:.0f}")  # fmt: skip
            painter.drawText(QRectF(0, side.y() - 9, LEFT - 6, 18), Qt.AlignmentFlag.AlignRight,
                             f"{100 * share:.0f}")  # fmt: skip
        painter.drawText(QRectF(plot.left(), self.height() - 18.0, plot.width(), 17),
                         Qt.AlignmentFlag.AlignHCenter, "how sure you said, %")  # fmt: skip
        painter.drawText(QRectF(plot.left() + 8, plot.top() - 10, plot.width(), 17),
                         Qt.AlignmentFlag.AlignLeft, "right, % (with the number of answers)")
        painter.setPen(QPen(QColor(theme.GOOD), 2, Qt.PenStyle.DashLine))
        painter.drawLine(at(0, 0), at(1, 1))
        painter.setPen(QColor(theme.GOOD))
        words = QRectF(plot.right() + 4, plot.top() - 8, RIGHT - 6, 18)
        painter.drawText(words, "as sure as right")
        for group in self._found.groups:
            share = group.right / group.answers
            point = at(group.stated, share)
            painter.setPen(QPen(QColor(theme.INK), 2))
            painter.drawLine(at(group.stated, group.interval[0]), at(group.stated,
                                                                     group.interval[1]))
            painter.setBrush(QColor(theme.ACCENT))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawEllipse(point, 6.0, 6.0)
            painter.setPen(QColor(theme.INK))
            painter.drawText(QRectF(point.x() + 9, point.y() - 9, 80, 18), f"{group.answers}")
        painter.end()
