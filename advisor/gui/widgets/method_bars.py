"""The methods as bars of usage against what the joint carries."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import (
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.advice.result import Advice, MethodAdvice, Status
from advisor.drawing.usage_bar import TICKS, position
from advisor.gui import theme
from advisor.gui.widgets.method_bar import PAD, MethodBar, sized_font
from advisor.gui.widgets.page import declined
from advisor.gui.widgets.refilled_column import empty
from advisor.session.answer_text import settled_line
from advisor.wording.durations import duration_text
from advisor.wording.money import price_text

NOT_STARTED = "Choose the part and the damage. The repair methods and their strength will " \
    "appear here."


class Axis(QWidget):
    """The scale above the bars."""

    def __init__(self, span: QWidget, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._span = span
        self.setFixedHeight(theme.px(24))
        self.setAccessibleName("Scale: load as a share of the joint's limit")

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ticks with their words."""
        self.setFixedHeight(theme.px(24))
        painter = QPainter(self)
        font = sized_font(self.font(), theme.SMALL, False)
        painter.setFont(font)
        # As wide as the rows, which a scroll bar may narrow.
        wide = self._span.width() - 2 * PAD
        for usage, word in TICKS:
            x = PAD + position(usage) * wide
            painter.setPen(QPen(QColor(theme.INK), 2.5 if usage == 1.0 else 1))
            foot = self.height()
            painter.drawLine(QPointF(x, foot - 6), QPointF(x, foot))
            box = QRect(int(x) - 120, 0, 240, foot - 6)
            painter.setPen(QColor(theme.INK if usage == 1.0 else theme.QUIET))
            painter.drawText(box, Qt.AlignmentFlag.AlignHCenter, word)
        painter.end()


class MethodBars(QWidget):
    """All methods that matter here; ``chosen`` carries the one that was clicked."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.heading = QLabel("How close each joint comes to its limit", self)
        self.heading.setObjectName("section")
        self.heading.setWordWrap(True)
        self.settled = QLabel(self)
        self.settled.setObjectName("quiet")
        self.settled.setWordWrap(True)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.inside = QWidget(self.area)
        self.rows_layout = QVBoxLayout(self.inside)
        self.rows_layout.setContentsMargins(0, 0, 0, 0)
        self.rows_layout.setSpacing(4)
        self.area.setWidget(self.inside)
        self.axis = Axis(self.inside, self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(10, 8, 10, 8)
        layout.setSpacing(2)
        for widget in (self.heading, self.settled, self.axis):
            layout.addWidget(widget)
        layout.addWidget(self.area, 1)
        self.rows: list[MethodBar] = []

    def show_advice(self, advice: Advice) -> None:
        """Draw the methods of ``advice``; the keyboard stays on the same method."""
        held = next((row.method.method for row in self.rows if row.hasFocus()), None)
        empty(self.rows_layout)
        started = bool(advice.methods)
        self.settled.setText(settled_line(advice) if started else NOT_STARTED)
        planned = set(advice.plan.methods) if advice.plan and not declined(advice) else set()
        self.rows = []
        for method in in_order(advice):
            price, chance = beside(method, advice)
            row = MethodBar(method, method.method in planned, self.inside, price,
                            hazards_open=bool(advice.open_hazards), chance=chance)  # fmt: skip
            row.clicked.connect(self._clicked)
            self.rows_layout.addWidget(row)
            row.show()
            self.rows.append(row)
            if method.method == held:
                row.setFocus()
        self.rows_layout.addStretch(1)
        self.axis.setVisible(any(row.has_bar for row in self.rows))

    def show_ghosts(self, methods: Sequence[MethodAdvice]) -> None:
        """Mark on each bar where it would stand with the answer that is pointed at."""
        usages = {m.method: m.usage.typical for m in methods if m.usage is not None}
        for row in self.rows:
            row.show_ghost(usages.get(row.method.method))

    def _clicked(self) -> None:
        row = self.sender()
        if isinstance(row, MethodBar):
            self.chosen.emit(row.method)


def beside(method: MethodAdvice, advice: Advice) -> tuple[str, float | None]:
    """Price and time of the job in which a method leads, and how often all of that job holds.

    Nothing where there is no such job.
    """
    led = next((plan for plan in advice.plans if plan.lead == method.method), None)
    best = advice.plan is not None and method.method == advice.plan.lead
    offered = best or method.status is Status.HOLDS
    if led is None or not offered or led.price is None or led.minutes is None:
        return "", None
    price = price_text(led.price, advice.currency, advice.tax)
    return f"{price}, {duration_text(led.minutes.typical)}", led.hold_probability


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
