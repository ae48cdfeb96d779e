"""A large button with a key to press, a title and a sentence that wraps."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QEnterEvent,
    QFocusEvent,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from advisor.gui import theme

WRAP = int(Qt.TextFlag.TextWordWrap)
SHORT = 32
"""Width of a pictogram in a long list, px."""
PICTURE = 44
"""Side of a pictogram at 100 % text, px."""
TICK = ((6, 13), (11, 19), (20, 7))
"""Corners of the tick in a box of 26 px."""


class OptionButton(QAbstractButton):
    """One answer to pick. Checked shows as a tick, not by colour alone.

    The box holds the key to press. Without a key there is none: an empty box would ask for
    a tick where one touch picks; `set_ticks` is for where ticking is meant.
    """

    pointed_at = Signal(bool)
    box = 26
    """Side of the box, px."""
    side = 12
    """Room left and right of box and words, px."""
    title_size, sentence_size = 16, 14
    """At 100 % text, px."""

    def __init__(
        self, key: str, title: str, sentence: str, shortcut: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._known_heights: dict[int, tuple[int, int]] = {}
        self.key = key
        self.title = title
        self.sentence = sentence
        self.digit = shortcut
        self._ticks = False
        self._short = False
        self.picture: Path | None = None
        """A pictogram beside the title."""
        self.wide = PICTURE
        self._draws = False
        self.setText(title)
        self.setCheckable(True)
        self.setAccessibleName(title)
        self.setAccessibleDescription(sentence)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def _drawn(self) -> int:
        """Width of the pictogram with its room, px."""
        return self._wide + 6 if self.picture is not None else 0

    @property
    def _wide(self) -> int:
        """Width of the pictogram, px; small in a long list."""
        return theme.px(min(self.wide, SHORT) if self._short else self.wide)

    @property
    def _side(self) -> int:
        return self.side // 2 if self._short else self.side

    def set_picture(self, file: Path | None, wide: int = PICTURE) -> None:
        """Keep room for a pictogram beside the title, ``wide`` px at 100 % text."""
        self.wide = wide
        if file != self.picture:
            self.picture = file
            self._known_heights.clear()
            self.updateGeometry()
            self.update()

    def enterEvent(self, event: QEnterEvent) -> None:
        """The pointer is on it."""
        super().enterEvent(event)
        self.pointed_at.emit(True)

    def leaveEvent(self, event: QEvent) -> None:
        """The pointer is elsewhere."""
        super().leaveEvent(event)
        self.pointed_at.emit(False)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Somebody went to it by key; where a question opens is no pointing."""
        super().focusInEvent(event)
        if event.reason() in (Qt.FocusReason.TabFocusReason, Qt.FocusReason.BacktabFocusReason):
            self.pointed_at.emit(True)

    def draw_picture(self) -> None:
        """Draw the pictogram from now on."""
        self._draws = True
        self.update()

    def set_digit(self, digit: str) -> None:
        """Another key to press, shown in the box; empty for none."""
        if digit != self.digit:
            self.digit = digit
            self.update()

    def set_ticks(self, ticks: bool) -> None:
        """Whether several may be ticked: then every one has its box."""
        if ticks != self._ticks:
            self._ticks = ticks
            self.update()

    @property
    def boxed(self) -> bool:
        """Whether a box is drawn."""
        return bool(self.digit) or self._ticks

    def set_short(self, short: bool) -> None:
        """Show the title alone, as low as a finger allows, or the sentence too."""
        if short != self._short:
            self._short = short
            self._known_heights.clear()
            self.setToolTip(self.sentence if short else "")
            self.updateGeometry()
            self.update()

    # -- size ------------------------------------------------------------------

    def _fonts(self) -> tuple[QFont, QFont]:
        title, sentence = QFont(self.font()), QFont(self.font())
        title.setPixelSize(theme.px(self.title_size))
        title.setBold(True)
        sentence.setPixelSize(theme.px(self.sentence_size))
        return title, sentence

    def _heights(self, width: int) -> tuple[int, int]:
        if width not in self._known_heights:
            self._known_heights[width] = self._measured(width)
        return self._known_heights[width]

    def changeEvent(self, event: QEvent) -> None:
        """Another font: measure anew."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._known_heights.clear()

    def _measured(self, width: int) -> tuple[int, int]:
        room = max(width - self.box - 3 * self._side - self._drawn, 60)
        title, sentence = self._fonts()
        return (
            _height(title, self.title, room),
            _height(sentence, self.sentence, room) if self.sentence and not self._short else 0,
        )

    def hasHeightForWidth(self) -> bool:
        """The sentence wraps."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height that shows every word at ``width`` px."""
        title, sentence = self._heights(width)
        if self._short:
            return max(theme.TARGET, title + 8)
        drawn = theme.px(PICTURE) + 8 if self.picture is not None else 0
        words = title + sentence + 18 + (2 if sentence else 0)
        return max(theme.TARGET + 4, drawn, words)

    def sizeHint(self) -> QSize:
        """Room for the words on about 260 px."""
        width = max(self.width(), 240)
        return QSize(240, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        """Never lower than a finger."""
        return QSize(150, self.heightForWidth(max(self.width(), 150)))

    # -- look ------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Frame, box with key or tick, title, sentence."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._frame(painter)
        self._box(painter)
        left = self.box + 2 * self._side + self._drawn
        width = self.width() - left - self._side
        self._pictogram(painter)
        title, sentence = self._fonts()
        high, low = self._heights(self.width())
        top = (self.height() - high - low - (2 if low else 0)) // 2
        painter.setPen(QColor(theme.INK))
        painter.setFont(title)
        painter.drawText(QRect(left, top, width, high), WRAP, self.title)
        if low:
            painter.setPen(QColor(theme.QUIET))
            painter.setFont(sentence)
            painter.drawText(QRect(left, top + high + 2, width, low), WRAP, self.sentence)
        painter.end()

    def _pictogram(self, painter: QPainter) -> None:
        if self.picture is None or not self._draws:
            return
        from advisor.gui.widgets.icons import picture

        side = min(theme.px(PICTURE), self.height() - 6)
        found = picture(self.picture, QSize(self._wide, side))
        x, y = self.box + 2 * self._side - 2, (self.height() - side) // 2
        painter.drawPixmap(x, y, found)

    def _frame(self, painter: QPainter) -> None:
        pen = QPen(QColor(theme.LINE), 1.5)
        if self.hasFocus():
            pen = QPen(QColor(theme.FOCUS), 3)
        elif self.isChecked() or self.underMouse():
            pen = QPen(QColor(theme.ACCENT), 2.5)
        painter.setPen(pen)
        painter.setBrush(QColor(theme.ACCENT_SOFT if self.isChecked() else theme.PAPER))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(2, 2, -2, -2), 6, 6)

    def _box(self, painter: QPainter) -> None:
        box = QRectF(self._side, (self.height() - self.box) / 2, self.box, self.box)
        if self.boxed:
            painter.setPen(QPen(QColor(theme.ACCENT), 2))
            painter.setBrush(QColor(theme.ACCENT if self.isChecked() else theme.PAPER))
            painter.drawRoundedRect(box, 4, 4)
        if self.isChecked():
            self._tick(painter, box)
        elif self.digit:
            font = QFont(self.font())
            font.setPixelSize(theme.TEXT - 1)
            painter.setFont(font)
            painter.setPen(QColor(theme.ACCENT))
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, self.digit)

    def _tick(self, painter: QPainter, box: QRectF) -> None:
        painter.setPen(QPen(QColor(theme.PAPER if self.boxed else theme.ACCENT), 3))
        points = [box.topLeft() + QPointF(x, y) * (self.box / 26) for x, y in TICK]
        for start, end in pairwise(points):
            painter.drawLine(start, end)


def _height(font: QFont, text: str, width: int) -> int:
    bounds = QFontMetrics(font).boundingRect(QRect(0, 0, width, 4000), WRAP, text)
    return bounds.height()
