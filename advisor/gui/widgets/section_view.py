"""The section drawing on the screen: paints the shapes that the geometry gives."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontMetrics,
    QPainter,
    QPaintEvent,
    QPen,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.advice.result import Advice
from advisor.drawing.section_forces import (
    TOGETHER,
    WEIGHED,
    WORDS,
    Looks,
    arrows,
    head_room,
    shown_loads,
    weighed,
)
from advisor.drawing.section_frame import FOAM_WORDS, scale_bar
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_layers import DrawingRules, layers_of
from advisor.drawing.section_shapes import Drawing, Layers
from advisor.facts.quantity import System, convert, shown_unit
from advisor.gui import theme
from advisor.gui.widgets.force_painter import paint_forces
from advisor.gui.widgets.section_paint import paint_shape, paint_stroke
from advisor.session.answer_text import load_text
from advisor.wording.figures import to_digits

#: Width and height in which everything has room at its own size.
COMFORTABLE = (430.0, 320.0)
#: Sizes of words, px, before the whole drawing is made larger or smaller.
HEADING, WORDS_PX = 15, 13


class SectionView(QWidget):
    """Section of the damaged part with the forces on it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._advice: Advice | None = None
        self._layers = Layers()
        self._looks: Looks = {}
        self._system = System.METRIC
        self._wide = 0.0
        self._preview = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Section of the damaged part")

    def sizeHint(self) -> QSize:
        """Comfortable size."""
        return QSize(520, 290)

    def minimumSizeHint(self) -> QSize:
        """Smallest size at which all words still fit."""
        return QSize(330, 215)

    def show_advice(
        self, advice: Advice, pack: DrawingRules, system: System, preview: str = ""
    ) -> None:
        """Draw another state of the case; ``preview`` says what an answer would change."""
        self._preview = preview
        self._advice, self._system = advice, system
        self._layers = layers_of(advice, pack)
        self._looks = pack.section.forces
        self.setAccessibleDescription(self.in_words())
        self.update()

    def in_words(self) -> str:
        """The drawing for someone who cannot see it."""
        if self._advice is None:
            return ""
        layers = self._layers
        skin = "no skin" if layers.skin is None else "skin"
        foam = "no padding" if layers.foam is None else FOAM_WORDS[layers.foam_state]
        pulls = [
            f"{WORDS.get(load.duration, load.duration)} {load_text(load, self._system)}"
            for load in shown_loads(self._advice.loads, layers.site, self._looks)
        ]
        lead = f"Forces. {TOGETHER}" if len(pulls) > 1 else "Forces:"
        return f"{skin}, {foam}. {lead} {', '.join(pulls) or 'none'}."

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint layers, damage, words, arrows and scale bars."""
        if self._advice is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(theme.PAPER))
        # The whole drawing grows with the text as far as there is room, and shrinks in a low
        # window, so that words never lie on the layers.
        wide, high = COMFORTABLE
        room = max(1.0, min(theme.px(100) / 100, self.width() / wide))
        size = min(room, self.height() / high)
        painter.scale(size, size)
        self._wide = self.width() / size
        self._heading(painter)
        painter.translate(0, 26)
        width, height = self._wide, self.height() / size - 26
        layers = self._layers
        loads = shown_loads(self._advice.loads, layers.site, self._looks)
        drawing = draw(layers, width, height, head_room(loads))
        for shape in drawing.shapes:
            paint_shape(painter, shape)
        for stroke in drawing.strokes:
            paint_stroke(painter, stroke)
        self._names(painter, drawing)
        forces = arrows(loads, drawing, width, self._looks)
        if forces is not None:
            paint_forces(painter, self._small(), forces, self._system, width, height)
        self._scale(painter, drawing, height)
        self._remarks(painter, drawing, height, often=weighed(loads))
        painter.end()

    def _heading(self, painter: QPainter) -> None:
        font = QFont(self.font())
        font.setPixelSize(HEADING)
        font.setBold(True)
        painter.setFont(font)
        painter.setPen(QColor(theme.FOCUS if self._preview else theme.ACCENT))
        told = self._advice is None or self._advice.methods or self._advice.not_covered
        said = self._preview or f"Section through the {'damage' if told else 'part'}"
        painter.drawText(QRectF(12, 4, self._wide - 24, 24), said)
        if self._preview:
            painter.setPen(QPen(QColor(theme.FOCUS), 3, Qt.PenStyle.DashLine))
            scale = self._wide / self.width()
            painter.drawRect(QRectF(2, 2, self._wide - 4, self.height() * scale - 4))

    def _names(self, painter: QPainter, drawing: Drawing) -> None:
        painter.setFont(self._small())
        painter.setPen(QColor(theme.INK))
        for note in drawing.notes:
            x, y = note.at
            box = QRectF(x, y - 9, self._wide - x - 4, 18)
            painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, note.text)

    def _scale(self, painter: QPainter, drawing: Drawing, height: float) -> None:
        """Printed scale bar of lengths."""
        per_shown = drawing.scale / convert(1.0, "length", self._system)
        value, pixels = scale_bar(per_shown, 0.2 * self._wide)
        y, x = height - 9.0, 14.0
        painter.setPen(QPen(QColor(theme.INK), 2))
        painter.drawLine(QPointF(x, y), QPointF(x + pixels, y))
        for end in (x, x + pixels):
            painter.drawLine(QPointF(end, y - 4), QPointF(end, y + 4))
        painter.setFont(self._small())
        text = f"{to_digits(value)} {shown_unit('length', self._system)}"
        box = QRectF(x + pixels + 8, y - 10, 120, 20)
        painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, text)

    def _remarks(
        self, painter: QPainter, drawing: Drawing, height: float, *, often: bool
    ) -> None:
        """What must be known to read the drawing, in one line."""
        remarks = []
        if any(note.text.endswith("*") for note in drawing.notes):
            remarks.append("* assumed, not entered")
        if not drawing.true_to_scale:
            remarks.append("thin layers drawn thicker")
        font, room = self._small(), self._wide - 28.0
        said = [*remarks, WEIGHED] if often else remarks
        while len(said) > 1 and QFontMetrics(font).horizontalAdvance("; ".join(said)) > room:
            said = said[:-1]
        text = "; ".join(said)
        painter.setFont(font)
        painter.setPen(QColor(theme.QUIET))
        painter.drawText(QRectF(14.0, height - 40.0, room, 18.0),
                         Qt.AlignmentFlag.AlignVCenter, text)

    def _small(self) -> QFont:
        font = QFont(self.font())
        font.setPixelSize(WORDS_PX)
        return font
