"""The job along the clock: hands-on work solid, waiting hatched."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetrics, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.gui import theme
from advisor.gui.widgets.method_bar import WRAP, sized_font
from advisor.job.model import Slot
from advisor.wording.durations import duration_text

BAR_H = 12
GAP = 8


def slot_line(slot: Slot) -> str:
    """A slot in words: what, from when to when, and whether it is a wait."""
    start = duration_text(slot.start) if slot.start >= 1 else "the start"
    kind = "" if slot.hands else ", nobody works"
    long = duration_text(slot.end - slot.start)
    return f"{slot.title}: {long}, from {start}{kind}"


@dataclass(frozen=True)
class Clock:
    """The block of a page that shows one visit along the clock."""

    slots: tuple[Slot, ...]
    several: bool
    """Whether the slots are of several parts, which are then named."""

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
        return Timeline(self.slots, parent, several=self.several)

    def refill(self, widget: QWidget) -> None:
        """Another course of time."""
        assert isinstance(widget, Timeline)
        widget.show_slots(self.slots, several=self.several)


class Timeline(QWidget):
    """One bar for each piece of work or wait, in the order of time."""

    def __init__(
        self, slots: tuple[Slot, ...], parent: QWidget | None = None, *, several: bool = False
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName("Timeline")
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.show_slots(slots, several=several)

    def show_slots(self, slots: tuple[Slot, ...], *, several: bool) -> None:
        """Draw these; ``several`` names the part of each."""
        self.slots = slots
        self._several = several
        self.setAccessibleDescription(". ".join(self.line_of(slot) for slot in slots))
        self.updateGeometry()
        self.update()

    def line_of(self, slot: Slot) -> str:
        """A slot in words, with its part where there are several."""
        return f"{slot.part}: {slot_line(slot)}" if self._several else slot_line(slot)

    def _text_height(self, slot: Slot, width: int) -> int:
        metrics = QFontMetrics(sized_font(self.font(), theme.TEXT - 1, False))
        return metrics.boundingRect(QRect(0, 0, width, 900), WRAP, self.line_of(slot)).height() + 3

    def hasHeightForWidth(self) -> bool:
        """The words wrap."""
        return True

    def heightForWidth(self, width: int) -> int:
        """Words and bar of every slot."""
        return sum(self._text_height(s, width) + BAR_H + GAP for s in self.slots)

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
        end = max((slot.end for slot in self.slots), default=1.0) or 1.0
        y = 0
        for slot in self.slots:
            high = self._text_height(slot, self.width())
            painter.setPen(QColor(theme.INK))
            painter.drawText(QRect(0, y, self.width(), high), WRAP, self.line_of(slot))
            y += high
            scale = (self.width() - 2) / end
            painter.setPen(QPen(QColor(theme.LINE), 1))
            painter.setBrush(QColor(theme.GROUND))
            painter.drawRect(QRectF(1, y, self.width() - 2, BAR_H))
            colour = QColor(theme.ACCENT if slot.hands else theme.OFF)
            style = Qt.BrushStyle.SolidPattern if slot.hands else Qt.BrushStyle.BDiagPattern
            painter.setPen(QPen(colour, 1.5))
            painter.setBrush(QBrush(colour, style))
            wide = max((slot.end - slot.start) * scale, 3.0)
            painter.drawRect(QRectF(1 + slot.start * scale, y, wide, BAR_H))
            y += BAR_H + GAP
        painter.end()
