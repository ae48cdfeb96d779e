"""The methods as bars of usage against what the joint carries."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import (
    QAbstractButton,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.result import Advice, MethodAdvice, Status
from advisor.gui import theme
from advisor.gui.bar_geometry import TICKS, bar, place
from advisor.gui.words import STATUS_WORDS, breaks_by, capital, settled_line
from advisor.report import words

PAD = 12
BAR_H = 11
WHISKER = 12
"""Height of the whisker under the bar."""
WRAP = int(Qt.TextFlag.TextWordWrap)
NOT_STARTED = "Say which part it is and what is the matter with it. The ways to repair it " \
    "then stand here, with what each joint carries."
LOOKS: dict[Status, str] = {
    Status.HOLDS: theme.GOOD, Status.FAILS: theme.BAD, Status.NOT_POSSIBLE: theme.OFF,
    Status.BLOCKED: theme.BAD, Status.NOT_NEEDED: theme.OFF,
}


class MethodRow(QAbstractButton):
    """One method: title, the word of its state, bar with whisker, what breaks it."""

    def __init__(self, method: MethodAdvice, in_plan: bool, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.method = method
        self.in_plan = in_plan
        word = STATUS_WORDS[method.status]
        self.setText(method.title)
        self.setAccessibleName(f"{method.title}: {word}")
        self.setAccessibleDescription(self.under)
        self.setToolTip(f"{method.title}: {word}. {self.under}".strip())
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def under(self) -> str:
        """The line under the bar."""
        method = self.method
        if method.status is Status.HOLDS:
            share = f"holds in {words.of_hundred(method.hold_probability)}"
            return capital(share) if method.usage is not None else ""
        told = breaks_by(method)
        return f"Breaks by: {told}" if method.status is Status.FAILS and told else capital(told)

    @property
    def has_bar(self) -> bool:
        """Whether there is a usage to draw."""
        return self.method.usage is not None and self.method.status in (
            Status.HOLDS, Status.FAILS
        )

    def _word_width(self) -> int:
        bold = QFontMetrics(_font(self.font(), theme.TEXT, True))
        return bold.horizontalAdvance(STATUS_WORDS[self.method.status]) + 4

    def _title_height(self, width: int) -> int:
        metrics = QFontMetrics(_font(self.font(), theme.TEXT, self.in_plan))
        room = QRect(0, 0, max(width - 2 * PAD - self._word_width() - 10, 80), 2000)
        return max(metrics.boundingRect(room, WRAP, self.method.title).height(), 20) + 2

    def _under_height(self, width: int) -> int:
        if not self.under:
            return 0
        metrics = QFontMetrics(_font(self.font(), theme.TEXT - 2, False))
        room = QRect(0, 0, max(width - 2 * PAD, 80), 2000)
        return metrics.boundingRect(room, WRAP, self.under).height() + 4

    def hasHeightForWidth(self) -> bool:
        """The line under the bar wraps."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Title line, bar, whisker and the line under it."""
        drawn = BAR_H + WHISKER + 2 if self.has_bar else 0
        return max(theme.TARGET, self._title_height(width) + 10 + drawn + self._under_height(width))

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(320, self.heightForWidth(max(self.width(), 320)))

    def minimumSizeHint(self) -> QSize:
        """Narrower than this the title is cut."""
        return QSize(240, self.heightForWidth(max(self.width(), 240)))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the row."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._ground(painter)
        plain = not self.has_bar and not self.under
        high = self._title_height(self.width())
        self._title(painter, (self.height() - high) // 2 if plain else 6, high)
        y = high + 9
        if self.has_bar:
            self._bar(painter, y)
            y += BAR_H + WHISKER + 2
        if self.under:
            painter.setFont(_font(self.font(), theme.TEXT - 2, False))
            painter.setPen(QColor(theme.QUIET))
            box = QRect(PAD, y - 2, self.width() - 2 * PAD, self.height() - y)
            painter.drawText(box, WRAP, self.under)
        painter.end()

    def _ground(self, painter: QPainter) -> None:
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.FOCUS), 3))
        elif self.underMouse():
            painter.setPen(QPen(QColor(theme.ACCENT), 2))
        else:
            painter.setPen(QPen(QColor("#c3c9cd"), 1))
        painter.setBrush(QColor(theme.ACCENT_SOFT if self.in_plan else theme.PAPER))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5), 5, 5)

    def _title(self, painter: QPainter, top: int, high: int) -> None:
        painter.setFont(_font(self.font(), theme.TEXT, True))
        wide = self._word_width()
        painter.setPen(QColor(LOOKS[self.method.status]))
        painter.drawText(
            QRect(self.width() - PAD - wide, top, wide, 22), Qt.AlignmentFlag.AlignRight,
            STATUS_WORDS[self.method.status],
        )
        painter.setFont(_font(self.font(), theme.TEXT, self.in_plan))
        painter.setPen(QColor(theme.INK))
        room = self.width() - 2 * PAD - wide - 10
        painter.drawText(QRect(PAD, top, room, high), WRAP, self.method.title)

    def _bar(self, painter: QPainter, y: int) -> None:
        usage = self.method.usage
        assert usage is not None
        wide = self.width() - 2 * PAD
        shape = bar(usage, wide)
        painter.setPen(QPen(QColor(theme.LINE), 1))
        painter.setBrush(QColor(theme.GROUND))
        painter.drawRect(QRectF(PAD, y, wide, BAR_H))
        colour = QColor(LOOKS[self.method.status])
        hatched = self.method.status is Status.FAILS
        brush = QBrush(colour, Qt.BrushStyle.BDiagPattern if hatched else
                       Qt.BrushStyle.SolidPattern)
        painter.setPen(QPen(colour, 1.5))
        painter.setBrush(brush)
        painter.drawRect(QRectF(PAD, y, max(shape.median, 2.0), BAR_H))
        self._whisker(painter, PAD + shape.low, PAD + shape.high, y + BAR_H + 7, shape.beyond)
        one = PAD + place(1.0, wide)
        painter.setPen(QPen(QColor(theme.INK), 2.5))
        painter.drawLine(QPointF(one, y - 3), QPointF(one, y + BAR_H + WHISKER))

    def _whisker(
        self, painter: QPainter, low: float, high: float, middle: float, beyond: bool
    ) -> None:
        painter.setPen(QPen(QColor(theme.INK), 2))
        painter.drawLine(QPointF(low, middle), QPointF(high, middle))
        painter.drawLine(QPointF(low, middle - 4), QPointF(low, middle + 4))
        if beyond:
            painter.setBrush(QColor(theme.INK))
            painter.drawPolygon(QPolygonF([
                QPointF(high, middle), QPointF(high - 8, middle - 5), QPointF(high - 8, middle + 5)
            ]))
        else:
            painter.drawLine(QPointF(high, middle - 4), QPointF(high, middle + 4))


class Axis(QWidget):
    """The scale above the bars."""

    def __init__(self, span: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._span = span
        self.setFixedHeight(24)
        self.setAccessibleName("Scale: how much of what the joint carries is used")

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ticks with their words."""
        painter = QPainter(self)
        font = _font(self.font(), theme.TEXT - 2, False)
        painter.setFont(font)
        # As wide as the rows, which a scroll bar may narrow.
        wide = self._span.width() - 2 * PAD
        for usage, word in TICKS:
            x = PAD + place(usage, wide)
            painter.setPen(QPen(QColor(theme.INK), 2.5 if usage == 1.0 else 1))
            painter.drawLine(QPointF(x, 18), QPointF(x, 24))
            box = QRect(int(x) - 90, 0, 180, 18)
            painter.setPen(QColor(theme.INK if usage == 1.0 else theme.QUIET))
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter, word)
        painter.end()


class MethodBars(QWidget):
    """All methods that matter here; ``chosen`` carries the one that was clicked."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = QLabel("How much of its strength each joint would use", self)
        self.heading.setObjectName("section")
        self.heading.setWordWrap(True)
        self.settled = QLabel(self)
        self.settled.setObjectName("quiet")
        self.settled.setWordWrap(True)
        self.area = QScrollArea(self)
        self.axis = Axis(self.area.viewport(), self)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.inside = QWidget(self.area)
        self.rows_layout = QVBoxLayout(self.inside)
        self.rows_layout.setContentsMargins(0, 0, 0, 0)
        self.rows_layout.setSpacing(4)
        self.area.setWidget(self.inside)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 8, 10, 8)
        layout.setSpacing(2)
        for widget in (self.heading, self.settled, self.axis):
            layout.addWidget(widget)
        layout.addWidget(self.area, 1)
        self.rows: list[MethodRow] = []

    def show_advice(self, advice: Advice) -> None:
        """Draw the methods of ``advice``; the keyboard stays on the same method."""
        held = next((row.method.method for row in self.rows if row.hasFocus()), None)
        while self.rows_layout.count():
            item = self.rows_layout.takeAt(0)
            widget = item.widget() if item is not None else None
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        started = bool(advice.methods)
        self.settled.setText(settled_line(advice) if started else NOT_STARTED)
        planned = set(advice.plan.methods) if advice.plan is not None else set()
        self.rows = []
        for method in in_order(advice):
            row = MethodRow(method, method.method in planned, self.inside)
            row.clicked.connect(self._clicked)
            self.rows_layout.addWidget(row)
            row.show()
            self.rows.append(row)
            if method.method == held:
                row.setFocus()
        self.rows_layout.addStretch(1)
        self.axis.setVisible(any(row.has_bar for row in self.rows))

    def _clicked(self) -> None:
        row = self.sender()
        if isinstance(row, MethodRow):
            self.chosen.emit(row.method)


def in_order(advice: Advice) -> list[MethodAdvice]:
    """Methods of the plan first, then what holds, fails, is stopped, is not possible."""
    planned = list(advice.plan.methods) if advice.plan is not None else []
    rank = [Status.HOLDS, Status.FAILS, Status.BLOCKED, Status.NOT_POSSIBLE, Status.NOT_NEEDED]
    shown = [
        m for m in advice.methods
        if m.status is not Status.NOT_NEEDED or m.method in planned
    ]
    return sorted(
        shown,
        key=lambda m: (
            planned.index(m.method) if m.method in planned else len(planned),
            rank.index(m.status),
            -m.hold_probability,
        ),
    )


def _font(base: QFont, pixels: int, bold: bool) -> QFont:
    font = QFont(base)
    font.setPixelSize(pixels)
    font.setBold(bold)
    return font
