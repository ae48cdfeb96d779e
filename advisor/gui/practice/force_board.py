"""The section on which a learner draws the forces, and under them what was calculated."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QFontMetrics,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.section_forces import LOOKS
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_shapes import Drawing, Layers
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.method_bar import sized_font
from advisor.gui.widgets.section_paint import paint_shape, paint_stroke
from advisor.practice.forces import (
    DIRECTION_TITLES,
    WHEN_TITLES,
    CalculatedForce,
    Direction,
    DrawnForce,
    ForceCompared,
    When,
)
from advisor.session.answer_text import range_text
from advisor.wording.figures import Range

BAND = 38
"""Height of a row of forces at 100 % text, px."""
WORDS, SAID = 190, 290
"""Width kept at the right for words while one draws, and for what is said afterwards, px."""
LEAST = 12.0
"""How far the mouse is drawn before it is an arrow, px."""
BY_RANK: Mapping[int, float] = {1: 1.0, 2: 0.62, 3: 0.34}
"""Length of an arrow by its rank, as a share of the room."""
LEAST_SHARE = 0.08
#: Rows in which forces are drawn, from the top.
ROWS = (When.HARDEST, When.EACH_USE, When.ALWAYS)
KEYS = {
    Qt.Key.Key_Right: Direction.APART, Qt.Key.Key_Left: Direction.TOGETHER,
    Qt.Key.Key_Up: Direction.OUT, Qt.Key.Key_Down: Direction.IN,
}  # fmt: skip
ASSUMED = "* not told: drawn as it usually is"
HOW = "Drag in the row of its time, or press an arrow key."


@dataclass(frozen=True)
class Line:
    """A row of the board: what is said at its right, the learner's arrow and the calculated."""

    title: str
    words: str
    drawn: DrawnForce | None = None
    calculated: CalculatedForce | None = None


class ForceBoard(QWidget):
    """Rows above the section. ``drawn`` goes out with the way and the time of an arrow.

    Before the reveal there is a row for each time; afterwards one for each force, with the
    learner's arrow (dotted, with a ring) over the calculated one (filled, to scale).
    """

    drawn = Signal(object, object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._layers = Layers()
        self._titles: Mapping[str, str] = {}
        self._forces: tuple[DrawnForce, ...] = ()
        self._compared: tuple[Line, ...] = ()
        self._system = System.METRIC
        self._from: QPointF | None = None
        self._to: QPointF | None = None
        self.drawing_on = False
        """Whether forces may be drawn now."""
        self.picked = ""
        """Cause of the force that an arrow is drawn for."""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName("Section with the forces")

    # -- what is shown -------------------------------------------------------------

    def show_section(self, layers: Layers, system: System) -> None:
        """Another case: the section alone."""
        self._layers, self._system = layers, system
        self._forces, self._compared = (), ()
        self._tell()

    def show_drawn(self, forces: Sequence[DrawnForce], titles: Mapping[str, str]) -> None:
        """What the learner has drawn so far."""
        self._forces, self._titles = tuple(forces), titles
        self._tell()

    def show_compared(self, forces: Sequence[ForceCompared]) -> None:
        """The learner's forces over the calculated ones."""
        self._compared = tuple(
            Line(one.title, one.words, one.drawn, one.calculated) for one in forces
        )
        self.drawing_on = False
        self._tell()

    def _tell(self) -> None:
        self.setFocusPolicy(
            Qt.FocusPolicy.StrongFocus if self.drawing_on else Qt.FocusPolicy.NoFocus
        )
        self.setAccessibleDescription(self.in_words())
        self.updateGeometry()
        self.update()

    def in_words(self) -> str:
        """The board for someone who cannot see it."""
        if self._compared:
            return " ".join(self.compared_in_words())
        said = [
            f"{force.rank}: {self._titles.get(force.cause, force.cause)}, "
            f"{DIRECTION_TITLES[force.direction]}, {WHEN_TITLES[force.when]}."
            for force in sorted(self._forces, key=lambda one: one.rank)
        ]
        return " ".join(said) or "No force is drawn yet."

    def compared_in_words(self) -> list[str]:
        """Each force with its figure, and how what was drawn compares."""
        return [f"{line.title}: {self._figure(line)}{line.words}." for line in self._compared]

    def _figure(self, line: Line) -> str:
        if line.calculated is None:
            return ""
        value = line.calculated.value.typical
        said = range_text(Range(value, value, value), line.calculated.dimension,
                          line.calculated.unit, self._system)  # fmt: skip
        return f"{said}, "

    @property
    def is_short(self) -> bool:
        """Whether names are shortened, or rows are cut off: they want to be said elsewhere."""
        return sum(self._bands(fit=False)) + theme.px(22) > self.height()

    def sizeHint(self) -> QSize:
        """Rows and section."""
        return QSize(560, self._head() + 150)

    def minimumSizeHint(self) -> QSize:
        """Rows, and a strip of the section."""
        high = self._head(lowest=True) + 70
        return QSize(330, min(high, self.maximumHeight()))

    def _head(self, *, lowest: bool = False) -> int:
        own = len(ROWS) if self.drawing_on or self._forces else 0
        rows = len(self._compared) or own
        high = sum(self._bands()) if self._compared and not lowest else rows * theme.px(BAND)
        return high + theme.px(22)

    @property
    def rows_height(self) -> int:
        """Height of the rows in which forces are drawn, without the section, px."""
        return self._head()

    def _bands(self, *, fit: bool = True) -> list[int]:
        """Heights of the rows afterwards: higher where a name takes more lines.

        Unless they would fill the board; names are shortened then.
        """
        small = QFontMetrics(sized_font(self.font(), theme.SMALL, True))
        room = QRect(0, 0, int(self._words() - 8), 1000)
        wrap = Qt.TextFlag.TextWordWrap
        found = []
        for line in self._compared:
            high = small.boundingRect(room, wrap, line.title).height()
            found.append(theme.px(BAND) + max(high - small.lineSpacing(), 0))
        plain = [theme.px(BAND)] * len(found)
        return found if not fit or sum(found) + theme.px(22) <= self.height() else plain

    # -- drawing by hand -----------------------------------------------------------

    def _row_of(self, y: float) -> When:
        row = int((y - theme.px(18)) // theme.px(BAND))
        return ROWS[min(max(row, 0), len(ROWS) - 1)]

    def _middle(self) -> float:
        return 0.5 * (self.width() - self._words())

    def _words(self) -> float:
        room = SAID if self._compared else WORDS
        return min(float(theme.px(room)), 0.44 * self.width())

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """An arrow begins."""
        if self.drawing_on and self.picked:
            self._from = self._to = event.position()
            self.setFocus()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The arrow follows the hand."""
        if self._from is not None:
            self._to = event.position()
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """The arrow is drawn: its row says when, its way says where to."""
        start, self._from, self._to = self._from, None, None
        self.update()
        if start is None:
            return
        way = event.position() - start
        if max(abs(way.x()), abs(way.y())) < LEAST:
            return
        self.drawn.emit(self._direction(start, way), self._row_of(start.y()))

    def _direction(self, start: QPointF, way: QPointF) -> Direction:
        if abs(way.y()) > abs(way.x()):
            out = way.y() < 0.0
            if self._layers.hanging:
                out = not out
            return Direction.OUT if out else Direction.IN
        right = start.x() >= self._middle()
        return Direction.APART if (way.x() > 0.0) == right else Direction.TOGETHER

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """An arrow key draws the picked force; its time stays, or is all the time."""
        way = KEYS.get(Qt.Key(event.key()))
        if not self.drawing_on or not self.picked or way is None:
            event.ignore()
            return
        self.draw_way(way)

    def draw_way(self, way: Direction) -> None:
        """Draw the picked force that way."""
        if self.drawing_on and self.picked:
            before = next((one for one in self._forces if one.cause == self.picked), None)
            self.drawn.emit(way, before.when if before is not None else None)

    # -- painting ------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Rows, arrows, section."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(theme.PAPER))
        self._section(painter)
        if self._compared:
            self._compared_rows(painter)
        elif self.drawing_on or self._forces:
            self._own_rows(painter)
        if self.hasFocus():
            painter.setPen(QPen(QColor(theme.FOCUS), 3))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(2, 2, -2, -2), 8, 8)
        painter.end()

    def _section(self, painter: QPainter) -> None:
        head = self._head() if (self._compared or self.drawing_on or self._forces) else 8
        room = self.height() - head
        if room < 40:
            return
        painter.save()
        painter.translate(0, head)
        painter.setClipRect(QRectF(0, 0, self.width(), room))
        # The words at the right stand beside the layers, as in every section.
        wide = self.width() - self._words() + 146.0
        drawing: Drawing = draw(self._layers, wide, room + 12.0, 6.0)
        for shape in drawing.shapes:
            paint_shape(painter, shape)
        for stroke in drawing.strokes:
            paint_stroke(painter, stroke)
        painter.setFont(sized_font(self.font(), theme.SMALL, False))
        painter.setPen(QColor(theme.INK))
        for note in drawing.notes:
            x, y = note.at
            if y < room - 9:
                half = 0.5 * theme.px(18)
                box = QRectF(x, y - half, self.width() - x - 4, 2.0 * half)
                painter.drawText(box, Qt.AlignmentFlag.AlignVCenter, note.text)
        starred = any(note.text.endswith("*") for note in drawing.notes)
        if starred and room >= theme.px(100):
            painter.setPen(QColor(theme.QUIET))
            foot = QRectF(12, room - theme.px(20), self.width() - 24, theme.px(18))
            painter.drawText(foot, Qt.AlignmentFlag.AlignVCenter, ASSUMED)
        painter.restore()

    def _own_rows(self, painter: QPainter) -> None:
        band, wide = theme.px(BAND), self.width() - self._words()
        painter.setFont(sized_font(self.font(), theme.SMALL, False))
        if self.drawing_on:
            painter.setPen(QColor(theme.QUIET))
            painter.drawText(QRectF(12, 2, self.width() - 24, theme.px(18)),
                             Qt.AlignmentFlag.AlignVCenter, self._elided(painter, HOW))
        for row, when in enumerate(ROWS):
            top = theme.px(20) + row * band
            painter.setPen(QPen(QColor(theme.HAIR), 1))
            painter.drawLine(QPointF(10, top + band), QPointF(self.width() - 10, top + band))
            painter.setPen(QColor(theme.INK))
            painter.setFont(sized_font(self.font(), theme.SMALL, False))
            words = QRectF(wide + 4, top, self._words() - 8, band)
            look = Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(words, int(look), WHEN_TITLES[when])
            here = [force for force in self._forces if force.when is when]
            for place, force in enumerate(sorted(here, key=lambda one: one.rank)):
                y = top + band * (place + 1) / (len(here) + 1)
                ring = force.cause == self.picked
                self._arrow(painter, y, force.direction, BY_RANK[force.rank], force.when,
                            QColor(theme.FOCUS), dotted=True, ring=ring)  # fmt: skip
                self._number(painter, y, place, force.rank)
        if self._from is not None and self._to is not None:
            painter.setPen(QPen(QColor(theme.FOCUS), 3, Qt.PenStyle.DotLine))
            painter.drawLine(self._from, self._to)

    def _number(self, painter: QPainter, y: float, place: int, rank: int) -> None:
        painter.setFont(sized_font(self.font(), theme.SMALL, True))
        painter.setPen(QColor(theme.INK))
        box = QRectF(self._middle() - 16 + 11 * (place % 3), y - 9, 12, 18)
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, str(rank))

    def _compared_rows(self, painter: QPainter) -> None:
        band = theme.px(BAND)
        most = max((one.calculated.value.typical for one in self._compared if one.calculated),
                   default=1.0)  # fmt: skip
        painter.setFont(sized_font(self.font(), theme.SMALL, False))
        painter.setPen(QColor(theme.QUIET))
        painter.drawText(QRectF(12, 2, self.width() - 24, theme.px(18)),
                         Qt.AlignmentFlag.AlignVCenter, self._elided(
                             painter, "Dotted with a ring: yours. Filled: calculated, to scale."))
        top = theme.px(20)
        for line, high in zip(self._compared, self._bands(), strict=True):
            if line.drawn is not None:
                self._arrow(painter, top + 0.3 * band, line.drawn.direction,
                            BY_RANK[line.drawn.rank], line.drawn.when, QColor(theme.FOCUS),
                            dotted=True, ring=True)  # fmt: skip
            if line.calculated is not None:
                share = max(line.calculated.value.typical / max(most, 1e-12), LEAST_SHARE)
                self._arrow(painter, top + 0.7 * band, line.calculated.direction, share,
                            line.calculated.when, QColor(theme.ACCENT), dotted=False,
                            ring=False)  # fmt: skip
            self._said(painter, line, top, high)
            top += high
            painter.setPen(QPen(QColor(theme.HAIR), 1))
            painter.drawLine(QPointF(10, top), QPointF(self.width() - 10, top))

    def _said(self, painter: QPainter, line: Line, top: float, band: float) -> None:
        left = self.width() - self._words() + 4
        half = 0.5 * theme.px(BAND)
        room = QRectF(left, top, self._words() - 8, band - half)
        painter.setFont(sized_font(self.font(), theme.SMALL, True))
        painter.setPen(QColor(theme.INK))
        wraps = band > theme.px(BAND)
        title = line.title if wraps else self._elided(painter, line.title, int(room.width()))
        look = Qt.AlignmentFlag.AlignBottom | (Qt.TextFlag.TextWordWrap if wraps else 0)
        painter.drawText(room, int(look), title)
        painter.setFont(sized_font(self.font(), theme.SMALL, False))
        room = QRectF(left, top + band - half, room.width(), half)
        painter.setPen(QColor(theme.GOOD if line.words == "agreed" else theme.INK))
        painter.drawText(room, Qt.AlignmentFlag.AlignTop, self._elided(
            painter, self._figure(line) + line.words, int(room.width())))

    def _elided(self, painter: QPainter, text: str, wide: int | None = None) -> str:
        room = self.width() - 24 if wide is None else wide
        return QFontMetrics(painter.font()).elidedText(text, Qt.TextElideMode.ElideRight, room)

    def _arrow(
        self, painter: QPainter, y: float, way: Direction, share: float, when: When,
        colour: QColor, *, dotted: bool, ring: bool,
    ) -> None:  # fmt: skip
        middle = self._middle()
        room = middle - 40.0
        if way in (Direction.OUT, Direction.IN):
            high = theme.px(BAND) * (0.25 + 0.25 * share)
            up = (way is Direction.OUT) != self._layers.hanging
            tail = QPointF(middle + 40.0, y + (high if up else -high) * 0.5)
            ways = [(tail, QPointF(tail.x(), tail.y() - (high if up else -high)))]
        else:
            near, far = 18.0, 18.0 + max(room * share, 16.0)
            ways = []
            for side in (-1.0, 1.0):
                one, other = QPointF(middle + side * near, y), QPointF(middle + side * far, y)
                ways.append((one, other) if way is Direction.APART else (other, one))
        for tail, tip in ways:
            self._one_arrow(painter, tail, tip, when, colour, dotted=dotted, ring=ring)

    def _one_arrow(
        self, painter: QPainter, tail: QPointF, tip: QPointF, when: When, colour: QColor, *,
        dotted: bool, ring: bool,
    ) -> None:  # fmt: skip
        way = tip - tail
        long = max((way.x() ** 2 + way.y() ** 2) ** 0.5, 1e-6)
        unit = way / long
        side = QPointF(-unit.y(), unit.x())
        neck = tip - unit * min(9.0, 0.6 * long)
        pen = QPen(colour, 3.0)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        shifts: tuple[float, ...] = (0.0,)
        if dotted:
            pen.setStyle(Qt.PenStyle.DotLine)
        elif LOOKS[when.value] == "dashed":
            pen.setDashPattern([1.6, 1.0])
        elif LOOKS[when.value] == "double":
            pen.setWidthF(1.6)
            shifts = (-2.2, 2.2)
        painter.setPen(pen)
        for shift in shifts:
            painter.drawLine(tail + side * shift, neck + side * shift)
        painter.setPen(QPen(colour, 2))
        painter.setBrush(colour if not dotted else QColor(theme.PAPER))
        painter.drawPolygon(QPolygonF([tip, neck - side * 5.5, neck + side * 5.5]))
        if ring:
            painter.drawEllipse(tail, 4.0, 4.0)
