"""One method as a bar of usage against what its joint carries."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
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
    QSizePolicy,
    QWidget,
)

from advisor.advice.result import MethodAdvice, Status
from advisor.drawing.usage_bar import LIMIT_AT, position, usage_bar
from advisor.gui import theme
from advisor.session.answer_text import breaks_by, may_fail, standing
from advisor.wording.counts import HoldBasis, hold_words, of_hundred
from advisor.wording.sentences import capital, lowered

PAD = 12
BAR_H = 11
WHISKER = 12
"""Height of the whisker under the bar."""
WRAP = int(Qt.TextFlag.TextWordWrap)


def look_of(method: MethodAdvice) -> str:
    """Colour of a state: that of the card, where what may fail is not what fails."""
    if method.status is Status.HOLDS:
        return theme.GOOD
    if may_fail(method):
        return theme.WARN
    return theme.BAD if method.status in (Status.FAILS, Status.BLOCKED) else theme.OFF


def under_of(
    method: MethodAdvice, price: str = "", *, hazards_open: bool = False,
    chance: float | None = None,
) -> str:  # fmt: skip
    """The line under a bar: how often it holds, what it costs, or what breaks it.

    ``chance`` is that of the whole job that ``price`` is of, where there is one.
    While a hazard is open it says what would break it, and nothing of how often it holds.
    """
    held = method if chance is None else replace(method, hold_probability=chance)
    said = _how_it_holds(held, hazards_open, bool(price))
    if held.hold_probability != method.hold_probability:
        said = f"All the work {lowered(said)}"
    return f"{said}. {price}" if said and price else said


def _how_it_holds(method: MethodAdvice, hazards_open: bool, priced: bool) -> str:
    if method.status is Status.HOLDS:
        if hazards_open:
            return ""
        share = f"holds in {of_hundred(method.hold_probability)}"
        if method.usage is not None:
            return capital(share)
        told = hold_words(method.hold_probability, method.hold_basis or HoldBasis.EXPERIENCE)
        return capital(told) if priced else ""
    cause = breaks_by(method)
    if method.status is not Status.FAILS or not cause:
        return capital(cause)
    if hazards_open:
        return f"Would break by: {cause}"
    if not may_fail(method):
        return f"Breaks by: {cause}"
    share = of_hundred(method.hold_probability)
    return f"Holds in {share}. Would break by: {cause}"


class MethodBar(QAbstractButton):
    """One method: title, the word of its state, bar with whisker, what breaks it."""

    def __init__(
        self, method: MethodAdvice, in_plan: bool, parent: QWidget | None = None, price: str = "",
        *, hazards_open: bool = False, chance: float | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.price, self._chance = price, chance
        self._hazards_open = hazards_open
        self._ghost: float | None = None
        self.method = method
        self.in_plan = in_plan
        word = self._word
        self.setText(method.title)
        self.setAccessibleName(f"{method.title}: {word}")
        self.setAccessibleDescription(self.under)
        self.setToolTip(f"{method.title}: {word}. {self.under}".strip())
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def show_ghost(self, usage: float | None) -> None:
        """Where it would stand with another answer; None for nowhere."""
        if usage != self._ghost:
            self._ghost = usage
            self.update()

    @property
    def _word(self) -> str:
        return standing(self.method, hazards_open=self._hazards_open)

    @property
    def _look(self) -> str:
        """Nothing is shown in the colour of what holds while a hazard is open."""
        holds = self.method.status is Status.HOLDS
        return theme.OFF if holds and self._hazards_open else look_of(self.method)

    @property
    def under(self) -> str:
        """The line under the bar."""
        return under_of(self.method, self.price, hazards_open=self._hazards_open,
                        chance=self._chance)  # fmt: skip

    @property
    def has_bar(self) -> bool:
        """Whether there is a usage to draw."""
        return self.method.usage is not None and self.method.status in (
            Status.HOLDS, Status.FAILS
        )

    def _word_width(self) -> int:
        bold = QFontMetrics(sized_font(self.font(), theme.TEXT, True))
        return bold.horizontalAdvance(self._word) + 4

    def _title_height(self, width: int) -> int:
        metrics = QFontMetrics(sized_font(self.font(), theme.TEXT, self.in_plan))
        room = QRect(0, 0, max(width - 2 * PAD - self._word_width() - 10, 80), 2000)
        return max(metrics.boundingRect(room, WRAP, self.method.title).height(), 20) + 2

    def _under_height(self, width: int) -> int:
        if not self.under:
            return 0
        metrics = QFontMetrics(sized_font(self.font(), theme.SMALL, False))
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
            painter.setFont(sized_font(self.font(), theme.SMALL, False))
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
            painter.setPen(QPen(QColor(theme.HAIR), 1))
        painter.setBrush(QColor(theme.ACCENT_SOFT if self.in_plan else theme.PAPER))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5), 5, 5)

    def _title(self, painter: QPainter, top: int, high: int) -> None:
        painter.setFont(sized_font(self.font(), theme.TEXT, True))
        wide = self._word_width()
        painter.setPen(QColor(self._look))
        painter.drawText(
            QRect(self.width() - PAD - wide, top, wide, theme.px(24)), Qt.AlignmentFlag.AlignRight,
            self._word,
        )
        painter.setFont(sized_font(self.font(), theme.TEXT, self.in_plan))
        painter.setPen(QColor(theme.INK))
        room = self.width() - 2 * PAD - wide - 10
        painter.drawText(QRect(PAD, top, room, high), WRAP, self.method.title)

    def _bar(self, painter: QPainter, y: int) -> None:
        usage = self.method.usage
        assert usage is not None
        wide = self.width() - 2 * PAD
        shape = usage_bar(usage)
        painter.setPen(QPen(QColor(theme.LINE), 1))
        painter.setBrush(QColor(theme.GROUND))
        painter.drawRect(QRectF(PAD, y, wide, BAR_H))
        colour = QColor(self._look)
        hatched = self.method.status is Status.FAILS
        brush = QBrush(colour, Qt.BrushStyle.BDiagPattern if hatched else
                       Qt.BrushStyle.SolidPattern)
        painter.setPen(QPen(colour, 1.5))
        painter.setBrush(brush)
        painter.drawRect(QRectF(PAD, y, max(shape.typical * wide, 2.0), BAR_H))
        low, high = PAD + shape.low * wide, PAD + shape.high * wide
        self._whisker(painter, low, high, y + BAR_H + 7, shape.beyond)
        if self._ghost is not None:
            x = PAD + position(self._ghost) * wide
            painter.setPen(QPen(QColor(theme.FOCUS), 3, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(x, y - 4), QPointF(x, y + BAR_H + 4))
        one = PAD + LIMIT_AT * wide
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


def sized_font(base: QFont, pixels: int, bold: bool) -> QFont:
    font = QFont(base)
    font.setPixelSize(pixels)
    font.setBold(bold)
    return font
