"""Lengths on a photo: a card or a ruler gives the scale, then along the damage.

A loupe follows the pointer, for a click that is a pixel off costs half a hundredth. Points can
be set and moved by keyboard as well. Nothing is kept before the card's face is masked.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QShortcut,
)
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.widgets.undo_keys import REDO, UNDO

if TYPE_CHECKING:
    from PIL.Image import Image

    from advisor.casebook.photos.measuring import CardOnPhoto, Measured, RulerOnPhoto

#: What gives the scale, with the points that mark it: two on each of a card's four edges, or
#: two marks of a ruler.
SCALES = (("card", "By a card"), ("ruler", "By two marks of a ruler"))
ON_CARD, ON_RULER = 8, 2
EDGES = ("a long edge", "the next short edge", "the other long edge", "the last short edge")
#: Side of the loupe in px, and how many times it magnifies the photo.
LOUPE, TIMES = 150, 3.0
#: What may be measured, and how many points it takes at least.
KINDS = (("length", "Length along the points"), ("pitch", "From hole to hole, mean"))
FLUSH = ((1.0, "Flush within 1 mm"), (5.0, "Flush within 5 mm"), (10.0, "Flush within 10 mm"))


class PhotoView(QWidget):
    """The photo with the points set on it."""

    changed = Signal()

    def __init__(self, photo: QImage, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.photo = photo
        self.points: list[QPointF] = []
        """In pixels of the photo."""
        self._taken: list[QPointF] = []
        """Points that were taken back, the last one at the end."""
        self.on_scale = ON_CARD
        """How many of them mark the scale."""
        self.pointer = QPointF(photo.width() / 2, photo.height() / 2)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(
            "Photo. Arrows move the pointer, with Shift by ten pixels; Space sets a point, "
            "Backspace or Ctrl+Z takes the last one back"
        )
        self.setMinimumSize(320, 240)

    @property
    def _frame(self) -> QRectF:
        """Where the photo lies in the widget."""
        scale = min(self.width() / self.photo.width(), self.height() / self.photo.height())
        width, height = self.photo.width() * scale, self.photo.height() * scale
        return QRectF((self.width() - width) / 2, (self.height() - height) / 2, width, height)

    def to_photo(self, place: QPointF) -> QPointF:
        """A place in the widget in pixels of the photo."""
        frame = self._frame
        scale = self.photo.width() / frame.width()
        return QPointF((place.x() - frame.x()) * scale, (place.y() - frame.y()) * scale)

    def to_widget(self, point: QPointF) -> QPointF:
        """A pixel of the photo in the widget."""
        frame = self._frame
        scale = frame.width() / self.photo.width()
        return QPointF(frame.x() + point.x() * scale, frame.y() + point.y() * scale)

    def set_point(self) -> None:
        """A point where the pointer is."""
        self.points.append(QPointF(self.pointer))
        self._taken.clear()
        self._changed()

    def take_back(self) -> None:
        """Take the last point back."""
        if self.points:
            self._taken.append(self.points.pop())
            self._changed()

    def set_again(self) -> None:
        """Set the point again that was taken back last."""
        if self._taken:
            self.points.append(self._taken.pop())
            self._changed()

    def clear(self, first: int = 0) -> None:
        """Take away the points from a number on; they do not come back."""
        del self.points[first:]
        self._taken.clear()
        self._changed()

    def _changed(self) -> None:
        self.update()
        self.changed.emit()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """The loupe follows."""
        self.pointer = self.to_photo(event.position())
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click sets a point."""
        self.pointer = self.to_photo(event.position())
        if event.button() == Qt.MouseButton.LeftButton:
            self.set_point()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows, Space and Backspace."""
        by = 10.0 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1.0
        ways = {Qt.Key.Key_Left: (-by, 0.0), Qt.Key.Key_Right: (by, 0.0),
                Qt.Key.Key_Up: (0.0, -by), Qt.Key.Key_Down: (0.0, by)}  # fmt: skip
        key = Qt.Key(event.key())
        if key in ways:
            self.pointer += QPointF(*ways[key])
            self.update()
        elif key == Qt.Key.Key_Space:
            self.set_point()
        elif key == Qt.Key.Key_Backspace:
            self.take_back()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Photo, lines through the edges, the trace, and the loupe."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self._frame, self.photo)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._draw(painter, self.to_widget)
        self._draw_loupe(painter)
        painter.end()

    def _draw(self, painter: QPainter, at: Callable[[QPointF], QPointF]) -> None:
        edges, trace = self.points[: self.on_scale], self.points[self.on_scale :]
        for width, colour in ((4, theme.INK), (2, theme.PAPER)):
            painter.setPen(QPen(QColor(colour), width))
            for one, other in zip(edges[::2], edges[1::2], strict=False):
                painter.drawLine(at(one), at(other))
            for one, other in pairwise(trace):
                painter.drawLine(at(one), at(other))
            for point in self.points:
                painter.drawEllipse(at(point), 5, 5)

    def _draw_loupe(self, painter: QPainter) -> None:
        here = self.to_widget(self.pointer)
        # In the corner farthest from the pointer, so that it covers nothing one aims at.
        x = 8.0 if here.x() > self.width() / 2 else self.width() - LOUPE - 8.0
        loupe = QRectF(x, 8.0, LOUPE, LOUPE)
        half = LOUPE / TIMES / 2
        part = QRectF(self.pointer.x() - half, self.pointer.y() - half, 2 * half, 2 * half)
        painter.fillRect(loupe, QColor(theme.GROUND))
        painter.drawImage(loupe, self.photo, part)
        painter.setPen(QPen(QColor(theme.FOCUS), 1))
        middle = loupe.center()
        painter.drawLine(QPointF(loupe.left(), middle.y()), QPointF(loupe.right(), middle.y()))
        painter.drawLine(QPointF(middle.x(), loupe.top()), QPointF(middle.x(), loupe.bottom()))
        painter.drawRect(loupe)


class MeasurePage(QWidget):
    """Says what to click next, and the length with its error.

    ``facts`` are the questions that a length may answer, as name and title; one named in
    ``pitches`` asks for the way from hole to hole. ``measured`` goes out with the fact and the
    measured length; ``kept`` with the photo as a JPEG, the face of a card masked.
    """

    measured = Signal(str, object)
    kept = Signal(bytes)

    def __init__(
        self, photo: Image, facts: tuple[tuple[str, str], ...], parent: QWidget | None = None,
        pitches: tuple[str, ...] = (),
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.setObjectName("ground")
        self._picture = photo
        data = photo.tobytes()
        image = QImage(data, photo.width, photo.height, 3 * photo.width,
                       QImage.Format.Format_RGB888).copy()  # fmt: skip
        self.view = PhotoView(image, self)
        self.view.changed.connect(self._redraw)
        self.told = QLabel(self)
        self.told.setWordWrap(True)
        self.result = QLabel(self)
        self.result.setWordWrap(True)
        self._pitches = pitches
        self.scale, self.kind, self.flush, self.fact = (QComboBox(self) for _ in range(4))
        self.between = QDoubleSpinBox(self)
        self.between.setRange(1.0, 5000.0)
        self.between.setDecimals(1)
        self.between.setValue(100.0)
        self.between.setSuffix(" mm from mark to mark")
        self.between.setAccessibleName("Distance of the two marks of the ruler, mm")
        self.between.setMinimumHeight(theme.TARGET - 8)
        self.between.valueChanged.connect(self._redraw)
        for box, name, options in (
            (self.scale, "What gives the scale", SCALES),
            (self.kind, "What is measured", KINDS), (self.flush, "How flush the card lies", FLUSH),
            (self.fact, "Question that it answers", facts),
        ):  # fmt: skip
            box.setAccessibleName(name)
            for value, words in options:
                box.addItem(words, value)
            box.currentIndexChanged.connect(self._redraw)
        self.scale.currentIndexChanged.connect(self._begin)
        self.fact.currentIndexChanged.connect(self._fit_kind)
        self.back, self.anew = QPushButton("Point back", self), QPushButton("New line", self)
        self.use, self.keep = QPushButton("Use as answer", self), QPushButton("Keep photo", self)
        self.back.clicked.connect(self.view.take_back)
        for key in (UNDO, *REDO):
            way = self.view.take_back if key == UNDO else self.view.set_again
            QShortcut(key, self).activated.connect(way)
        self.anew.clicked.connect(self._begin_line)
        self.use.clicked.connect(self._use)
        self.keep.clicked.connect(self._keep)
        side = QVBoxLayout()
        for widget in (self.scale, self.between, self.told, self.fact, self.kind, self.flush,
                       self.result, self.use, self.back, self.anew):  # fmt: skip
            side.addWidget(widget)
        side.addStretch(1)
        side.addWidget(self.keep)
        beside = QWidget(self)
        beside.setLayout(side)
        beside.setFixedWidth(300)
        whole = QHBoxLayout(self)
        whole.setSizeConstraint(QHBoxLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(self.view, 1)
        whole.addWidget(beside)
        self._begin()

    @property
    def by_card(self) -> bool:
        """Whether a card gives the scale."""
        return bool(self.scale.currentData() == "card")

    @property
    def card(self) -> CardOnPhoto | None:
        """The card, once all its edges are marked. Raises ValueError where they are no card."""
        from advisor.casebook.photos.measuring import CardOnPhoto

        points = self._points[:ON_CARD]
        if not self.by_card or len(points) < ON_CARD:
            return None
        edges = list(zip(points[::2], points[1::2], strict=True))
        return CardOnPhoto(edges, (self.view.photo.width(), self.view.photo.height()))

    @property
    def ruler(self) -> RulerOnPhoto | None:
        """The ruler, once both marks are set. Raises ValueError where they are in one place."""
        from advisor.casebook.photos.measuring import RulerOnPhoto

        points = self._points[:ON_RULER]
        if self.by_card or len(points) < ON_RULER:
            return None
        return RulerOnPhoto((points[0], points[1]), self.between.value())

    @property
    def _points(self) -> list[tuple[float, float]]:
        return [(point.x(), point.y()) for point in self.view.points]

    def found(self) -> Measured | None:
        """What is measured so far; nothing without a scale. Raises ValueError for a bad one."""
        scale = self.card if self.by_card else self.ruler
        trace = self._points[self.view.on_scale :]
        if scale is None or len(trace) < 2:
            return None
        flush = float(self.flush.currentData())
        if self.kind.currentData() == "pitch":
            return scale.pitch(trace, flush)
        return scale.distance(trace, flush)

    def _begin(self) -> None:
        """Another scale: all is marked anew."""
        self.view.on_scale = ON_CARD if self.by_card else ON_RULER
        self.between.setVisible(not self.by_card)
        self._fit_kind()
        self.view.clear()

    def _fit_kind(self) -> None:
        """A question for a pitch is answered from hole to hole, any other along the points."""
        pitch = self.fact.currentData() in self._pitches
        self.kind.setCurrentIndex(self.kind.findData("pitch" if pitch else "length"))

    def _redraw(self) -> None:
        count, needed = len(self.view.points), self.view.on_scale
        found, problem = None, ""
        try:
            found = self.found()
            _ = self.card, self.ruler
        except ValueError as error:
            problem = f"These are not the edges of a card: {error}." if self.by_card else (
                f"This is no scale: {error}.")  # fmt: skip
        if problem:
            self.told.setText(problem)
        elif count < needed:
            self.told.setText(self._next_mark(count))
        else:
            self.told.setText("Now mark points along the damage, or hole after hole.")
        if found is None:
            self.result.setText("")
        else:
            doubts = "\n".join(found.doubts)
            self.result.setText(f"{found.span.written}\n(nine of ten such spans hold the length)"
                                f"{chr(10) if doubts else ''}{doubts}")  # fmt: skip
        self.use.setEnabled(found is not None and self.fact.count() > 0)
        self.anew.setEnabled(count > needed)
        self.back.setEnabled(count > 0)
        self.keep.setEnabled(count >= needed and not problem)
        self.keep.setToolTip("With the face of the card masked" if self.by_card else "")

    def _next_mark(self, count: int) -> str:
        if not self.by_card:
            return (f"Mark two marks of the ruler, far apart ({count} of {ON_RULER} set). No "
                    "length without a scale.")  # fmt: skip
        return (
            f"Mark two points on {EDGES[count // 2]} of the card, away from its round corners "
            f"({count} of {ON_CARD} set). No length without a scale."
        )

    def _begin_line(self) -> None:
        self.view.clear(self.view.on_scale)

    def _use(self) -> None:
        found = self.found()
        if found is not None:
            self.measured.emit(str(self.fact.currentData()), found.span)

    def _keep(self) -> None:
        from advisor.casebook.photos.pictures import as_kept, masked

        card, picture = self.card, self._picture
        if card is not None:
            corners = [(float(x), float(y)) for x, y in card.corners]
            picture = masked(picture, corners)
        self.kept.emit(as_kept(picture))
