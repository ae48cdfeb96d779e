"""A cutting layout drawn to scale: pieces on the roll or on a hide, nap, waste, a rule."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from advisor.drawing.cutting_layout import (
    DOWN,
    CutLayout,
    arrow,
    edge_text,
    length_text,
    marks,
    size_text,
)
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.method_bar import sized_font
from advisor.job.cutting.layout import Placed
from advisor.wording.amounts import unit_shown

RULE_H = 34
"""Room for the rule under the drawing, px."""
HEAD_H = 22
TALLEST = 420
PAD = 5.0
"""Room left and right of the words in a piece, px."""
NAP_ROOM = 26.0
"""Room for the arrow of the nap, px."""
SIZES = (13, 12, 11, 10)
"""Sizes of the words in a piece, px, the largest that fits first."""
#: A roll taken for more than so many widths runs down the page.
LONG_ROLL = 2.2


def runs_down(ground: CutLayout) -> bool:
    """True where the roll is drawn down the page, not to the right."""
    return ground.length > LONG_ROLL * ground.across


@dataclass(frozen=True)
class Cut:
    """The block of a page that shows one ground with its pieces."""

    ground: CutLayout
    system: System

    @property
    def kind(self) -> Hashable:
        """One drawing is as good as another."""
        return "cut"

    @property
    def name(self) -> Hashable:
        """The roll, or which hide."""
        return self.ground.name

    def make(self, parent: QWidget) -> QWidget:
        """The drawing."""
        return CuttingView(self.ground, self.system, parent)

    def refill(self, widget: QWidget) -> None:
        """Another layout."""
        assert isinstance(widget, CuttingView)
        widget.show_ground(self.ground, self.system)


@dataclass(frozen=True)
class Written:
    """The words in a piece."""

    lines: tuple[str, ...]
    pixels: int
    """Size of the letters."""
    upright: bool
    """Read from below: the piece is turned a quarter left."""


class CuttingView(QWidget):
    """One ground with its pieces. Numbers stand for pieces too small for their name."""

    def __init__(self, ground: CutLayout, system: System, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self.show_ground(ground, system)

    def show_ground(self, ground: CutLayout, system: System) -> None:
        """Draw this."""
        self.ground = ground
        self.system = system
        unit = unit_shown("length", system)
        words = [
            f"{n}: {p.piece.title}, {size_text(p, system)} {unit}"
            for n, p in enumerate(ground.placed, 1)
        ]
        self.setAccessibleName(f"Cutting layout, {ground.name}")
        self.setAccessibleDescription(". ".join(words))
        self.updateGeometry()
        self.update()

    # -- geometry ------------------------------------------------------------------

    @property
    def runs_down(self) -> bool:
        """True where the roll runs down the page, not to the right."""
        return runs_down(self.ground)

    def scale(self, width: int) -> float:
        """Pixels for a millimetre at this width of the widget."""
        across = self.ground.across + 2.0 * self.ground.edge
        room = max(width - 4.0, 40.0)
        if self.runs_down:
            return min(room, TALLEST) / across
        return min(room / self.ground.length, TALLEST / across)

    def box_of(self, placed: Placed, scale: float) -> QRectF:
        """Where a piece is drawn [px], from the top left of the drawing."""
        x, y = placed.x * scale, (placed.y + self.ground.edge) * scale
        along, across = placed.along * scale, placed.across * scale
        if self.runs_down:
            return QRectF(y, x, across, along)
        return QRectF(x, y, along, across)

    def drawn_size(self, scale: float) -> tuple[float, float]:
        """Width and height of the ground as drawn [px]."""
        along = self.ground.length * scale
        across = (self.ground.across + 2.0 * self.ground.edge) * scale
        return (across, along) if self.runs_down else (along, across)

    def hasHeightForWidth(self) -> bool:
        """One scale both ways."""
        return True

    def heightForWidth(self, width: int) -> int:
        """The drawing, its head and its rule."""
        return round(self.drawn_size(self.scale(width))[1]) + RULE_H + HEAD_H + 4

    def sizeHint(self) -> QSize:
        """At the width it has."""
        return QSize(360, self.heightForWidth(max(self.width(), 360)))

    def minimumSizeHint(self) -> QSize:
        """Narrower than this no name can be read."""
        return QSize(220, self.heightForWidth(max(self.width(), 220)))

    # -- drawing -------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """Ground, edges, pieces, rule."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        scale = self.scale(self.width())
        painter.setFont(sized_font(self.font(), 13, False))
        painter.setPen(QColor(theme.QUIET))
        painter.drawText(QPointF(2, 15), self.head())
        painter.translate(2.0, HEAD_H)
        self._ground(painter, scale)
        for number, placed in enumerate(self.ground.placed, 1):
            self._piece(painter, number, placed, scale)
        self._rule(painter, scale)
        painter.end()

    def head(self) -> str:
        """Which way the roll runs and how wide it is."""
        unit = unit_shown("length", self.system)
        usable = edge_text(self.ground.across, self.system)
        if self.ground.edge == 0.0:
            long = edge_text(self.ground.length, self.system)
            return f"{self.ground.name}: {long} x {usable} {unit}"
        whole = edge_text(self.ground.across + 2.0 * self.ground.edge, self.system)
        way = "down" if self.runs_down else "to the right"
        return f"{self.ground.name} runs {way}, {whole} {unit} wide, {usable} usable"

    def _ground(self, painter: QPainter, scale: float) -> None:
        """Waste hatched; the lost edges of a roll darker."""
        width, height = self.drawn_size(scale)
        painter.setPen(QPen(QColor(theme.INK), 1.5))
        painter.setBrush(QColor(theme.PAPER))
        painter.drawRect(QRectF(0, 0, width, height))
        painter.setBrush(QBrush(QColor(theme.LINE), Qt.BrushStyle.BDiagPattern))
        painter.drawRect(QRectF(0, 0, width, height))
        edge = self.ground.edge * scale
        if edge <= 0.0:
            return
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(theme.LINE))
        if self.runs_down:
            painter.drawRects([QRectF(0, 0, edge, height), QRectF(width - edge, 0, edge, height)])
        else:
            painter.drawRects([QRectF(0, 0, width, edge), QRectF(0, height - edge, width, edge)])

    def _piece(self, painter: QPainter, number: int, placed: Placed, scale: float) -> None:
        box = self.box_of(placed, scale)
        painter.setPen(QPen(QColor(theme.ACCENT), 1.5))
        painter.setBrush(QColor(theme.ACCENT_SOFT))
        painter.drawRect(box)
        written = self.written(number, placed, scale)
        painter.save()
        if written.upright:
            painter.translate(box.left(), box.bottom())
            painter.rotate(-90)
            box = QRectF(0, 0, box.height(), box.width())
        inside = box.adjusted(PAD, 2, -PAD, -2)
        painter.setPen(QColor(theme.INK))
        painter.setFont(sized_font(self.font(), written.pixels, False))
        left, centre = Qt.AlignmentFlag.AlignLeft, Qt.AlignmentFlag.AlignVCenter
        painter.drawText(inside, int(left | centre), "\n".join(written.lines))
        if self.ground.nap and inside.width() > 40 and inside.height() > 14:
            self._nap(painter, inside, upright=written.upright)
        painter.restore()

    def written(self, number: int, placed: Placed, scale: float) -> Written:
        """What stands in a piece: the most that fits, along it or up it, as large as it fits.

        Number with name and size where there is room, the number alone where nothing else is.
        """
        box = self.box_of(placed, scale)
        name = f"{number}  {placed.piece.title}"
        size = f"{size_text(placed, self.system)} {unit_shown('length', self.system)}"
        arrow = NAP_ROOM if self.ground.nap else 0.0
        # Read level where that says as much; a slim piece that stands is read from below.
        ways = (False, True) if box.height() < 1.6 * box.width() else (True, False)
        for lines in ((name, size), (f"{name}, {size}",), (name,)):
            for pixels in SIZES:
                metrics = QFontMetricsF(sized_font(self.font(), pixels, False))
                wide = max(metrics.horizontalAdvance(line) for line in lines) + 2 * PAD + arrow
                high = len(lines) * metrics.height()
                for upright in ways:
                    along, across = box.width(), box.height()
                    if upright:
                        along, across = across, along
                    if wide <= along and high <= across:
                        return Written(lines, pixels, upright)
        return Written((str(number),), SIZES[-1], False)

    def _nap(self, painter: QPainter, inside: QRectF, *, upright: bool) -> None:
        """An arrow front to back, at the right end of a piece."""
        down = arrow(self.ground, runs_down=self.runs_down) == DOWN
        if upright:
            # The piece was turned a quarter left: down on the page is to its left.
            down = not down
        centre = QPointF(inside.right() - 10, inside.center().y())
        reach = min(9.0, inside.height() / 2 - 1)
        tip = QPointF(0, reach) if down else QPointF(reach, 0)
        if upright and not down:
            tip = -tip
        side = QPointF(tip.y(), -tip.x()) * 0.45
        painter.setPen(QPen(QColor(theme.INK), 2))
        painter.drawLine(centre - tip, centre + tip)
        painter.setBrush(QColor(theme.INK))
        painter.drawPolygon(
            QPolygonF([centre + tip, centre + tip * 0.2 + side, centre + tip * 0.2 - side])
        )

    def _rule(self, painter: QPainter, scale: float) -> None:
        """Round lengths along the roll, and where it is cut off."""
        width, height = self.drawn_size(scale)
        room = height if self.runs_down else width
        painter.setPen(QPen(QColor(theme.INK), 1))
        painter.setFont(sized_font(self.font(), 12, False))
        for share, text in marks(self.ground.length, self.system, room / 62.0):
            at = share * room
            if self.runs_down:
                painter.drawLine(QPointF(width, at), QPointF(width + 6, at))
                painter.drawText(QPointF(width + 9, min(at + 10, height)), text)
            else:
                painter.drawLine(QPointF(at, height), QPointF(at, height + 6))
                painter.drawText(QPointF(min(at + 3, width - 14), height + 14), text)
        unit = unit_shown("cloth", self.system)
        said = length_text(self.ground.length, self.system)
        text = f"{unit} along the roll; the pieces take {said}" if self.ground.edge else unit
        painter.drawText(QPointF(0, height + 28), text)
