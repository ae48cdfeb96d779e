"""The verdict as one card: what to do, will it hold, what it costs, and why not another way."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from advisor.advice.result import Advice, MethodAdvice, PlanAdvice, Status
from advisor.drawing.load_flow import load_flow
from advisor.drawing.pull_and_strength import pull_and_strength, tempting
from advisor.drawing.section_layers import layers_of
from advisor.facts.case import EarlierRepair
from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.verdict.load_flow_view import LoadFlowView
from advisor.gui.widgets.page import label
from advisor.gui.widgets.strength_view import StrengthView, against
from advisor.session.verdict_text import (
    CardFigure,
    firm_line,
    hold_figure,
    looks_of,
    other_plans,
    price_of_plan,
    state_of,
    weakness,
)
from advisor.wording.counts import of_hundred
from advisor.wording.durations import duration_text
from advisor.wording.figures import Range
from advisor.wording.sentences import capital, in_turn, lowered, sentence

SHARES = (5, 4, 3, 3)
"""Of the width, for each figure of the card."""
MARKS = {"holds": "✓", "may fail": "⚠", "fails": "✗", "open": "?", "not possible": "–"}


class Chip(QWidget):
    """A state as a shape, a word and a colour; never a button."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.state = ""
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_state(self, state: str) -> None:
        """``holds``, ``may fail``, ``fails`` or ``open``."""
        self.state = state
        self.setAccessibleName(state)
        self.updateGeometry()
        self.update()

    def _font(self) -> QFont:
        font = QFont(self.font())
        font.setPixelSize(theme.SMALL)
        font.setBold(True)
        return font

    def _text(self) -> str:
        return f"{MARKS.get(self.state, '')} {self.state}"

    def sizeHint(self) -> QSize:
        """The word with room at its sides."""
        wide = QFontMetrics(self._font()).horizontalAdvance(self._text())
        return QSize(wide + 24, theme.px(26))

    def paintEvent(self, event: QPaintEvent) -> None:
        """A rounded box in the colour of the state."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, ground = {
            "holds": (theme.GOOD, theme.GOOD_SOFT), "fails": (theme.BAD, theme.BAD_SOFT),
        }.get(self.state, (theme.WARN, theme.WARN_SOFT))  # fmt: skip
        painter.setPen(QPen(QColor(ink), 1.5))
        painter.setBrush(QColor(ground))
        box = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.drawRoundedRect(box, 0.5 * box.height(), 0.5 * box.height())
        painter.setFont(self._font())
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self._text())
        painter.end()


class FigureBox(QWidget):
    """A figure with a line under it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 2, 8, 2)
        column.setSpacing(0)
        self.value, self.under = label("", "figure", self), label("", "small", self)
        self.value.setWordWrap(False)
        column.addWidget(self.value)
        column.addWidget(self.under)
        column.addStretch(1)

    def show_figure(self, figure: CardFigure | None) -> None:
        """Nothing while it is held back."""
        self.setVisible(figure is not None)
        if figure is not None:
            self.value.setText(figure.value)
            self.under.setText(figure.under)
            self.under.setVisible(bool(figure.under))


class VerdictCard(QWidget):
    """Title, figures, the picture of pull against strength, and what is to be said with it."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self.chip = Chip(self)
        self.firm = label("", "quiet", self)
        self.title = label("", "verdict", self)
        self.also = label("", "quiet", self)
        self.hold, self.price, self.time, self.looks = (FigureBox(self) for _ in range(4))
        self.seen = label("", "quiet", self)
        self.picture = StrengthView(self)
        self.why_not = label("", "", self)
        self.others = label("", "", self)
        self.loads = label("What loads it, and what takes it", "section", self)
        self.flow = LoadFlowView(self)
        self.weak = label("", "weak", self)
        head = QHBoxLayout()
        head.addWidget(self.chip)
        head.addWidget(self.firm, 1)
        self._figures = QGridLayout()
        self._in_a_row = 0
        self.column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addLayout(head)
        column.addWidget(self.title)
        column.addWidget(self.also)
        column.addLayout(self._figures)
        # What weakens it stands as near as what praises it.
        shown = (self.seen, self.weak, self.picture, self.why_not, self.others, self.loads,
                 self.flow)  # fmt: skip
        for widget in shown:
            column.addWidget(widget)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The figures in one row, or in two where large text leaves no room for that."""
        super().resizeEvent(event)
        self._place_figures(event.size().width())

    def _place_figures(self, wide: int) -> None:
        boxes = (self.hold, self.price, self.time, self.looks)
        need = sum(box.value.sizeHint().width() + 20 for box in boxes if not box.isHidden())
        in_a_row = len(boxes) if need <= wide else 2
        if in_a_row == self._in_a_row:
            return
        self._in_a_row = in_a_row
        for at, (box, share) in enumerate(zip(boxes, SHARES, strict=True)):
            self._figures.addWidget(box, at // in_a_row, at % in_a_row)
            self._figures.setColumnStretch(at, share if at < in_a_row else 0)

    def show_method(self, advice: Advice, method: MethodAdvice) -> None:
        """A rung of the ladder: the plan it leads, or the method alone where it leads none."""
        led = next((plan for plan in advice.plans if plan.lead == method.method), None)
        best = advice.plan
        if led is not None:
            self.show_plan(advice, led)
        else:
            self._show_alone(advice, method)
        if best is not None and method.method != best.lead:
            self.firm.setText(f"Not the choice here: {lowered(best.lead_title)} is.")

    def _show_alone(self, advice: Advice, method: MethodAdvice) -> None:
        """A method that fails or cannot be done: why, without a price."""
        calculated = method.usage is not None and not advice.open_hazards
        self.chip.show_state("fails" if method.status is Status.FAILS else "open")
        if method.status is Status.NOT_POSSIBLE:
            self.chip.show_state("not possible")
        self.title.setText(method.title)
        self.also.hide()
        held = CardFigure(of_hundred(method.hold_probability), "hold")
        self.hold.show_figure(held if calculated else None)
        self.price.show_figure(None)
        self.time.show_figure(None)
        self.looks.show_figure(None)
        why = method.because[0].text if method.because else method.limiting_title
        self.weak.setText(sentence(capital(why)))
        own = pull_and_strength(method)
        best = _method(advice, advice.plan.lead) if advice.plan is not None else None
        other = pull_and_strength(best) if best is not None else None
        rows = [pair for pair in (own, other) if pair is not None]
        session = self._navigator.session
        self.picture.show_rows(rows, layers_of(advice, session.pack) if rows else None,
                               session.system)  # fmt: skip
        flow = load_flow(advice, method)
        self.loads.setVisible(flow is not None)
        self.flow.show_flow(flow, session.system)
        self.why_not.setVisible(own is not None)
        if own is not None:
            self.why_not.setText(f"Why not {lowered(method.title)}: {against(own)}")
        self.others.hide()
        self.setAccessibleName(f"{method.title}: {self.chip.state}")

    def show_plan(self, advice: Advice, plan: PlanAdvice) -> None:
        """A plan, as a rule the one that leads."""
        self.chip.show_state(state_of(advice, plan))
        self.firm.setText(firm_line(self._navigator.asking, advice))
        self.title.setText(plan.lead_title)
        rest = [title for title in plan.titles if title != plan.lead_title]
        self.also.setText(f"In this order: {lowered(in_turn(plan.titles))}." if rest else "")
        self.also.setVisible(bool(rest))
        self.hold.show_figure(hold_figure(advice, plan))
        self.price.show_figure(price_of_plan(plan, advice.currency, advice.tax))
        self.time.show_figure(_time(plan.minutes))
        self.looks.show_figure(CardFigure(capital(looks_of(advice, plan)), "how it looks"))
        seen = self._navigator.session.shop_saw(plan)
        self.seen.setText("\n".join(seen))
        self.seen.setVisible(bool(seen))
        self.weak.setText(weakness(advice, plan))
        self._compare(advice, plan)
        others = other_plans(advice, advice.tax)
        self.others.setText(" ".join(others))
        self.others.setVisible(bool(others))
        self.setAccessibleName(f"Verdict: {plan.lead_title}")

    def _compare(self, advice: Advice, plan: PlanAdvice) -> None:
        """Pull against strength, of this and of what a hurried hand would do instead."""
        session = self._navigator.session
        lead = _method(advice, plan.lead)
        own = pull_and_strength(lead) if lead is not None else None
        other = tempting(advice.methods, plan)
        rows = [pair for pair in (own, other[1] if other else None) if pair is not None]
        shown = rows if own is not None else []
        layers = layers_of(advice, session.pack) if shown else None
        self.picture.show_rows(shown, layers, session.system)
        flow = load_flow(advice, lead) if lead is not None else None
        self.loads.setVisible(flow is not None)
        self.flow.show_flow(flow, session.system)
        self.why_not.setVisible(other is not None)
        if other is not None:
            before = _tried(session.case.earlier_repairs or (), other[0].method)
            self.why_not.setText(f"Why not {lowered(other[0].title)}: {against(other[1])}{before}")


def _method(advice: Advice, key: str) -> MethodAdvice | None:
    return next((method for method in advice.methods if method.method == key), None)


def _time(minutes: Range | None) -> CardFigure | None:
    if minutes is None:
        return None
    low, high = duration_text(minutes.low), duration_text(minutes.high)
    return CardFigure(duration_text(minutes.typical), f"{low} to {high}" if low != high else "")


def _tried(repairs: tuple[EarlierRepair, ...], method: str) -> str:
    """What came of the same method before."""
    for repair in repairs:
        if repair.method == method and repair.lasted:
            return f" Done before: it lasted {repair.lasted}."
    return ""
