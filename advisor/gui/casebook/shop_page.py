"""What a shop saw: counts, the shop factor with its cautions, and two charts."""

from __future__ import annotations

from collections.abc import Callable
from math import floor

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.casebook.outcomes.workmanship import TAKEN_OVER
from advisor.gui import theme
from advisor.session.kept_case_words import ShopSaw

#: Room for the words beside a chart, in px, besides the lines above and below it.
LEFT, RIGHT, GAP = 60, 56, 3
#: Between two numbers written along a curve, in px.
APART = 44
#: Half the width of a point, in px, and how many lines its number may stand away from it.
DOT, FURTHEST = 5, 12
#: Years that the curve of what still holds reaches to.
LIFE = 10.0
Place = Callable[[float, float], QPointF]
Point = tuple[float, float, float, float, int]


class Chart(QWidget):
    """Shares over something from ``low`` to ``high``: stairs over years from 0 to 100 %, points
    over other shares with the same ends both ways.
    """

    def __init__(
        self, title: str, across: str, ends: tuple[float, float], points: tuple[Point, ...],
        stairs: bool, parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.setMinimumSize(300, 240)
        self._title, self._across, self._ends = title, across, ends
        self._points, self._stairs = points, stairs
        said = "; ".join(f"{x:.2g}: {100 * y:.0f} %, {n} jobs" for x, y, _, _, n in points)
        self.setAccessibleName(f"{title}. {said or 'Not enough outcomes yet'}")

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Frame, points with their intervals, and the number of jobs beside each."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = painter.fontMetrics().height()
        above, below = line + 2 * GAP, 2 * (line + GAP)
        frame = QRectF(LEFT, above, self.width() - LEFT - RIGHT, self.height() - above - below)
        painter.setPen(QColor(theme.INK))
        painter.drawText(QRectF(0, 0, self.width(), line), Qt.AlignmentFlag.AlignLeft, self._title)
        painter.fillRect(frame, QColor(theme.PAPER))
        painter.setPen(QColor(theme.LINE))
        painter.drawRect(frame)
        low, high = self._ends
        least, most = (0.0, 1.0) if self._stairs else self._ends

        def at(x: float, y: float) -> QPointF:
            return QPointF(
                frame.left() + frame.width() * (x - low) / (high - low),
                frame.bottom() - frame.height() * (y - least) / (most - least),
            )

        for share in (least, (least + most) / 2, most):
            y = at(low, share).y()
            painter.setPen(QColor(theme.LINE))
            painter.drawLine(QPointF(frame.left() - 4, y), QPointF(frame.left(), y))
            painter.setPen(QColor(theme.QUIET))
            where = QRectF(0, y - line / 2, LEFT - 8, line)
            painter.drawText(where, Qt.AlignmentFlag.AlignRight, f"{100 * share:.0f} %")
        for x in (low, high):
            text = f"{100 * x:.0f} %" if not self._stairs else f"{x:.0f}"
            side = Qt.AlignmentFlag.AlignLeft if x == low else Qt.AlignmentFlag.AlignHCenter
            left = at(x, 0).x() - (0 if x == low else LEFT / 2)
            painter.drawText(QRectF(left, frame.bottom() + GAP, LEFT, line), side, text)
        painter.drawText(QRectF(LEFT, frame.bottom() + GAP + line, frame.width(), line),
                         Qt.AlignmentFlag.AlignHCenter, self._across)  # fmt: skip
        if not self._points:
            painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, "Not enough outcomes yet")
        elif self._stairs:
            self._draw_stairs(painter, at)
        else:
            self._draw_points(painter, at)
        painter.end()

    def _draw_points(self, painter: QPainter, at: Place) -> None:
        painter.setPen(QPen(QColor(theme.LINE), 1, Qt.PenStyle.DashLine))
        low, high = self._ends
        painter.drawLine(at(low, low), at(high, high))  # where both are the same
        painter.setBrush(QColor(theme.ACCENT))
        painter.setPen(QPen(QColor(theme.ACCENT), 2))
        for x, share, bottom, top, _ in self._points:
            painter.drawLine(at(x, bottom), at(x, top))
            painter.drawEllipse(at(x, share), DOT, DOT)
        painter.setPen(QColor(theme.INK))
        for where, jobs in zip(self._labels(painter, at), self._points, strict=True):
            painter.drawText(where, Qt.AlignmentFlag.AlignCenter, f"n={jobs[-1]}")

    def _labels(self, painter: QPainter, at: Place) -> list[QRectF]:
        """Where the number of jobs of each point stands: beside it, off all lines and numbers."""
        taken = [
            area for x, share, bottom, top, _ in self._points for area in (
                QRectF(at(x, share) - QPointF(DOT, DOT), at(x, share) + QPointF(DOT, DOT)),
                QRectF(at(x, top) - QPointF(2, 0), at(x, bottom) + QPointF(2, 0)),
            )
        ]  # fmt: skip
        places = []
        for x, share, _, _, jobs in self._points:
            size = painter.fontMetrics().size(0, f"n={jobs}")
            width, height = size.width() + 4, size.height()
            step = 0
            while True:
                # To the right, to the left, then further and further above and below.
                down = height * ((step + 1) // 2) * (1 if step % 2 else -1)
                beside = [QRectF(at(x, share).x() + off, at(x, share).y() + down - height / 2,
                                 width, height) for off in (DOT + 3, -DOT - 3 - width)]  # fmt: skip
                free = [area for area in beside if not any(area.intersects(t) for t in taken)]
                step += 1
                if free or step > FURTHEST:
                    places.append((free or beside)[0])
                    taken.append(places[-1])
                    break
        return places

    def _draw_stairs(self, painter: QPainter, at: Place) -> None:
        before, held, written = 0.0, 1.0, float(-APART)
        painter.setPen(QPen(QColor(theme.ACCENT), 2))
        for years, share, _, _, jobs in self._points:
            x = min(years, self._ends[1])
            painter.drawLine(at(before, held), at(x, held))
            painter.drawLine(at(x, held), at(x, share))
            if at(x, share).x() - written >= APART:
                written = at(x, share).x()
                painter.setPen(QColor(theme.INK))
                painter.drawText(at(x, share) + QPointF(-6, 22), f"{jobs}")
                painter.setPen(QPen(QColor(theme.ACCENT), 2))
            before, held = x, share


class ShopPage(QWidget):
    """Words at the left, charts at the right. ``switched`` says whether the factor is wanted."""

    switched = Signal(bool)

    def __init__(self, saw: ShopSaw, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("ground")
        cautions = "\n".join(f"- {each}" for each in saw.cautions)
        counts = "\n".join(saw.counts) or "No job has been followed for a year yet."
        done_well = "\n".join(saw.workmanship) and f"{TAKEN_OVER}\n" + "\n".join(saw.workmanship)
        words = QLabel(
            f"{saw.jobs} jobs followed, {saw.due} to be asked after.\n\n"
            f"Shop factor, apart from every calculated figure\n{saw.factor}\n{cautions}\n\n"
            f"{done_well}{done_well and chr(10) * 2}{counts}\n\nEstimates, not test results.",
            self,
        )
        self.switch = QCheckBox("Show the factor beside each calculated figure", self)
        self.switch.setChecked(saw.switched_on)
        self.switch.setMinimumHeight(theme.TARGET)
        self.switch.toggled.connect(self.switched)
        words.setWordWrap(True)
        words.setMargin(8)
        words.setAlignment(Qt.AlignmentFlag.AlignTop)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setWidget(words)
        charts = QVBoxLayout()
        for title, across, ends, points, stairs in (
            ("Calculated against held, after 2 years (90 % intervals)", "calculated chance",
             _ends(saw.bins), saw.bins, False),
            ("Share that still holds, with the jobs still followed", "years after the job",
             (0.0, LIFE), saw.survival, True),
        ):  # fmt: skip
            charts.addWidget(Chart(title, across, ends, points, stairs, self))
        whole = QHBoxLayout(self)
        whole.setSizeConstraint(QHBoxLayout.SizeConstraint.SetNoConstraint)
        left = QVBoxLayout()
        left.addWidget(area, 1)
        left.addWidget(self.switch)
        whole.addLayout(left, 1)
        whole.addLayout(charts, 1)


def _ends(bins: tuple[Point, ...]) -> tuple[float, float]:
    """Whole tenths from below all that is drawn up to 1, so that good shops fill the frame."""
    lowest = min((min(x, low) for x, _, low, _, _ in bins), default=0.0)
    return min(floor(lowest * 10) / 10, 0.8), 1.0


def show_shop(saw: ShopSaw, switch: Callable[[bool], object], parent: QWidget) -> None:
    """Show it over the kept cases; ``switch`` is called with whether the factor is wanted."""
    dialog = QDialog(parent)
    dialog.setWindowTitle("What this shop saw")
    layout = QVBoxLayout(dialog)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
    page = ShopPage(saw, dialog)
    page.switched.connect(switch)
    layout.addWidget(page)
    dialog.resize(parent.size() * 0.95)
    dialog.exec()
    dialog.deleteLater()
