"""The state of a hazard as a shape and a word, and what is said about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.advice.result import GateAdvice, GateState
from advisor.facts.case import Value
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.wording.phrases import in_units
from advisor.wording.sentences import sentence

WORDS: dict[GateState, str] = {
    GateState.OPEN: "open", GateState.CLEAR: "clear", GateState.CAUTION: "take care",
    GateState.CLOSED: "stop",
}
WORST = (GateState.CLOSED, GateState.OPEN, GateState.CAUTION, GateState.CLEAR)
UNCERTAIN = "Still open: this may stop the job. Find out before any work."
SHAPE = 18
"""Side of the shape, px."""


@dataclass(frozen=True)
class Standing:
    """How one hazard question stands, with the sentence for under it."""

    state: GateState = GateState.OPEN
    said: str = ""


def standing_of(gates: Iterable[GateAdvice], value: Value | None, system: System) -> Standing:
    """How a question stands by the gates that it decides: the worst of them.

    An answer that leaves several possible is open where one of them stops the job.
    """
    found = sorted(gates, key=lambda gate: WORST.index(gate.state))
    if not found:
        return Standing()
    state = found[0].state
    if state is GateState.OPEN:
        return Standing(state, UNCERTAIN if value is not None else "")
    texts = [sentence(in_units(gate.text, system)) for gate in found if gate.state is state]
    said = " ".join(dict.fromkeys(text for text in texts if text))
    if state is GateState.CLOSED and not said.startswith("Stop"):
        said = f"Stop. {said}"
    return Standing(state, said)


def colour_of(state: GateState) -> str:
    """Colour of a state."""
    return {
        GateState.OPEN: theme.QUIET, GateState.CLEAR: theme.GOOD, GateState.CAUTION: theme.WARN,
        GateState.CLOSED: theme.BAD,
    }[state]  # fmt: skip


class HazardBadge(QWidget):
    """A ring, a tick, a triangle or a filled square, with the word beside it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.state = GateState.OPEN
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(self.text)

    @property
    def text(self) -> str:
        """The word."""
        return WORDS[self.state]

    def show_state(self, state: GateState) -> None:
        """Another state."""
        if state is not self.state:
            self.state = state
            self.setAccessibleName(self.text)
            self.update()

    def _font(self) -> QFont:
        font = QFont(self.font())
        font.setPixelSize(theme.TEXT - 1)
        font.setBold(self.state is not GateState.OPEN)
        return font

    def sizeHint(self) -> QSize:
        """Room for the longest word, so that all words stand in one column."""
        font = self._font()
        font.setBold(True)
        wide = max(QFontMetrics(font).horizontalAdvance(word) for word in WORDS.values())
        return QSize(wide + SHAPE + 10, max(SHAPE, QFontMetrics(font).height()) + 4)

    def minimumSizeHint(self) -> QSize:
        """Nothing is cut."""
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Shape and word."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = QColor(colour_of(self.state))
        self._shape(painter, QRectF(1, (self.height() - SHAPE) / 2, SHAPE, SHAPE), colour)
        painter.setPen(colour)
        painter.setFont(self._font())
        room = QRect(SHAPE + 7, 0, self.width() - SHAPE - 7, self.height())
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, self.text)
        painter.end()

    def _shape(self, painter: QPainter, box: QRectF, colour: QColor) -> None:
        painter.setPen(QPen(colour, 2.5))
        if self.state is GateState.OPEN:
            painter.setPen(QPen(colour, 2))
            painter.drawEllipse(box.adjusted(2, 2, -2, -2))
        elif self.state is GateState.CLEAR:
            corners = [(2.0, 9.0), (7.0, 15.0), (16.0, 3.0)]
            painter.drawPolyline([box.topLeft() + QPointF(x, y) for x, y in corners])
        elif self.state is GateState.CAUTION:
            painter.drawPolygon(QPolygonF([
                QPointF(box.center().x(), box.top() + 1), box.bottomRight(), box.bottomLeft(),
            ]))
            painter.drawLine(QPointF(box.center().x(), box.top() + 7.5),
                             QPointF(box.center().x(), box.bottom() - 5))
        else:
            painter.setBrush(colour)
            painter.drawRect(box)
            painter.setPen(QPen(QColor(theme.PAPER), 3))
            painter.drawLine(QPointF(box.left() + 4, box.center().y()),
                             QPointF(box.right() - 4, box.center().y()))
