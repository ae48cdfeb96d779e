"""The answers to one question side by side, as low as a finger allows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetrics, QKeyEvent, QMouseEvent, QPainter, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.facts.case import Value
from advisor.facts.declaration import FactDecl, Kind
from advisor.gui import theme
from advisor.gui.widgets.option_button import OptionButton

if TYPE_CHECKING:
    from PySide6.QtGui import QResizeEvent

GAP = 6
LEAST = 84
"""Least width of a button, px."""
STEP = 12
"""Width is shared out in steps of so many px."""
Plan = tuple[tuple[int, tuple[int, ...]], ...]
"""Height of each line and the widths of its buttons, px."""
ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right)


class CompactOption(OptionButton):
    """An answer among others on a page: a ring until its key may be pressed, then a box.

    Arrow keys are left to the page. ``by_key`` tells how it was last pressed.
    """

    box = 22
    side = 8
    title_size, sentence_size = 15, 13
    by_key = False
    _least = 0

    def heightForWidth(self, width: int) -> int:
        """Height that shows every word at ``width`` px, at least a finger."""
        title, sentence = self._heights(width)
        return max(theme.TARGET, title + sentence + (12 if sentence else 10))

    @property
    def least_width(self) -> int:
        """Width in px below which a word would be cut."""
        if not self._least:
            words = [
                metrics.horizontalAdvance(word)
                for metrics, text in zip(map(QFontMetrics, self._fonts()),
                                         (self.title, self.sentence), strict=True)
                for word in text.split()
            ]
            self._least = max([LEAST, *(word + self.box + 3 * self.side + 2 for word in words)])
        return self._least

    def changeEvent(self, event: QEvent) -> None:
        """Another font: measure anew."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._least = 0

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys go to what this button stands on."""
        self.by_key = True
        if event.key() in ARROWS:
            event.ignore()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A finger or mouse."""
        self.by_key = False
        super().mousePressEvent(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """A second tap that comes too soon answers nothing: the page may have moved."""
        event.accept()

    def _box(self, painter: QPainter) -> None:
        if not self.boxed and not self.isChecked():
            ring = QRectF(self.side + 2, (self.height() - self.box) / 2 + 2,
                          self.box - 4, self.box - 4)
            painter.setPen(QPen(QColor(theme.LINE), 2))
            painter.setBrush(QColor(theme.PAPER))
            painter.drawEllipse(ring)
            return
        super()._box(painter)


class OptionRow(QWidget):
    """All answers to a fact in one line where they fit, else in more; ``given`` one of them.

    ``given`` also says whether a key did it.
    """

    given = Signal(object, bool)

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fact = fact
        yes_no = (("yes", "Yes", ""), ("no", "No", ""))
        choices = yes_no if fact.kind is Kind.YES_NO else tuple(
            (option.key, option.title, option.sentence) for option in fact.options
        )
        self.buttons = [CompactOption(*one, "", self) for one in choices]
        for button in self.buttons:
            button.clicked.connect(self._clicked)
            button.setAccessibleName(f"{fact.title}: {button.title}")
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._plans: dict[int, Plan] = {}

    # -- answers -----------------------------------------------------------------

    def show_value(self, value: Value | None) -> None:
        """Tick the answer, or all that may be true."""
        chosen: tuple[str, ...] = value if isinstance(value, tuple) else ()
        if isinstance(value, bool):
            chosen = ("yes" if value else "no",)
        for button in self.buttons:
            button.setChecked(button.key in chosen)

    def show_digits(self, shown: bool) -> None:
        """Put the key of each answer into its box, or take it out."""
        for number, button in enumerate(self.buttons, start=1):
            button.set_digit(str(number) if shown and number < 10 else "")

    def press(self, index: int) -> bool:
        """Give the answer at ``index`` by key; False where there is none."""
        if not 0 <= index < len(self.buttons):
            return False
        self._give(self.buttons[index], by_key=True)
        return True

    def _clicked(self) -> None:
        button = self.sender()
        if isinstance(button, CompactOption):
            self._give(button, button.by_key)

    def _give(self, button: CompactOption, by_key: bool) -> None:
        for other in self.buttons:
            other.setChecked(other is button)
        yes_no = self.fact.kind is Kind.YES_NO
        self.given.emit(button.key == "yes" if yes_no else (button.key,), by_key)

    # -- places --------------------------------------------------------------------

    def hasHeightForWidth(self) -> bool:
        """The words wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Height of all lines at ``width`` px."""
        lines = self._plan(max(width, 1))
        return sum(high for high, _ in lines) + GAP * (len(lines) - 1)

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(420, self.heightForWidth(max(self.width(), 420)))

    def minimumSizeHint(self) -> QSize:
        """One under the other, at most; the height follows from the width."""
        return QSize(max(button.least_width for button in self.buttons), theme.TARGET)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Put every button in its place."""
        super().resizeEvent(event)
        buttons, y = iter(self.buttons), 0
        for high, widths in self._plan(max(self.width(), 1)):
            x = 0
            for wide in widths:
                next(buttons).setGeometry(x, y, wide, high)
                x += wide + GAP
            y += high + GAP

    def changeEvent(self, event: QEvent) -> None:
        """Another font: measure anew."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._plans.clear()

    def _plan(self, width: int) -> Plan:
        if width not in self._plans:
            self._plans[width] = self._planned(width)
        return self._plans[width]

    def _planned(self, width: int) -> Plan:
        """As few lines as make the whole no higher."""
        count = len(self.buttons)
        best: tuple[int, int, Plan] | None = None
        for per_line in sorted({count, (count + 1) // 2, 1}, reverse=True):
            lines = [self.buttons[i : i + per_line] for i in range(0, count, per_line)]
            gaps = GAP * (len(lines) - 1)
            if best is not None and best[:2] <= (0, theme.TARGET * len(lines) + gaps):
                break
            plan = tuple(_shared(line, width) for line in lines)
            over = max(sum(widths) + GAP * (len(widths) - 1) - width for _, widths in plan)
            found = (max(over, 0), sum(high for high, _ in plan) + gaps, plan)
            best = found if best is None or found[:2] < best[:2] else best
        assert best is not None
        return best[2]


def _shared(line: Sequence[CompactOption], width: int) -> tuple[int, tuple[int, ...]]:
    """Height and widths of buttons in one line, which is as low as can be.

    The highest gets the next step of room, then the one that has the least to spare.
    """
    widths = [button.least_width for button in line]
    highs = [button.heightForWidth(wide) for button, wide in zip(line, widths, strict=True)]
    spare = width - sum(widths) - GAP * (len(line) - 1)
    while spare >= STEP:
        needy = max(range(len(line)), key=lambda i: (highs[i], -widths[i]))
        widths[needy] += STEP
        highs[needy] = line[needy].heightForWidth(widths[needy])
        spare -= STEP
    widths[-1] += max(spare, 0)
    highs[-1] = line[-1].heightForWidth(widths[-1])
    return max(highs), tuple(widths)
