"""The rule graph as a picture: facts on the left, methods on the right."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QResizeEvent,
    QTransform,
    QWheelEvent,
)
from PySide6.QtWidgets import QGraphicsScene, QGraphicsView, QWidget

from advisor.drawing.layered_graph import Drawing, Spot
from advisor.gui import theme
from advisor.gui.graph.graph_items import ACROSS, DOWN, HIGH, WIDE, EdgeItem, NodeItem

STEP = 1.2
"""One step of zoom."""
SMALLEST, LARGEST = 0.15, 2.5
READABLE = 0.7
"""Least zoom at which the words in a box, 14 px high, can be read: about 10 px."""
BESIDE = 12.0
"""Room left and right of a path that is shown whole, px of the scene."""
BAR = 18
"""Width of a scroll bar, px."""


class GraphView(QGraphicsView):
    """Nodes to look at by mouse, finger or arrow keys. ``chosen`` carries a node's name."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._scene = QGraphicsScene(self)
        self.setScene(self._scene)
        self.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.setDragMode(QGraphicsView.DragMode.ScrollHandDrag)
        self.setTransformationAnchor(QGraphicsView.ViewportAnchor.AnchorUnderMouse)
        self.setBackgroundBrush(QColor(theme.PAPER))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Rule graph: arrow keys go from node to node")
        self.nodes: dict[str, NodeItem] = {}
        self.edges: dict[tuple[str, str], EdgeItem] = {}
        self.current = ""
        self._framed: tuple[str, ...] = ()
        self._pressed_at = QPointF()

    # -- what is drawn ---------------------------------------------------------

    def show_drawing(self, drawing: Drawing, titles: dict[str, str], assumed: set[str]) -> None:
        """Draw a graph anew."""
        self._scene.clear()
        self.nodes, self.edges, self.current = {}, {}, ""
        self._framed = ()
        for (source, target), bends in drawing.bends.items():
            spots = (drawing.spots[source], *bends, drawing.spots[target])
            item = EdgeItem(path_through(spots))
            self._scene.addItem(item)
            self.edges[source, target] = item
        for name, spot in drawing.spots.items():
            node = NodeItem(name, titles[name], name in assumed)
            node.setPos(spot.layer * ACROSS, spot.height * DOWN)
            self._scene.addItem(node)
            self.nodes[name] = node
        self._scene.setSceneRect(self._scene.itemsBoundingRect().adjusted(-30, -30, 30, 30))

    def light(self, path: Sequence[str]) -> None:
        """Light one load path: heavy lines with the number of the step."""
        steps = {edge: number for number, edge in enumerate(pairwise(path), start=1)}
        for edge, item in self.edges.items():
            item.light(steps.get(edge, 0))
        for name, node in self.nodes.items():
            node.light(name in path)

    def choose(self, name: str, *, go: bool = True) -> None:
        """Look at a node, and go there unless it is in sight."""
        if name not in self.nodes:
            return
        if self.current in self.nodes:
            self.nodes[self.current].choose(False)
        self.current = name
        self.nodes[name].choose(True)
        if go:
            self._framed = ()
            self.ensureVisible(self.nodes[name], 40, 30)
        self.setAccessibleDescription(self.nodes[name].said())
        self.chosen.emit(name)

    # -- zoom --------------------------------------------------------------------

    def zoom(self, factor: float) -> None:
        """Bigger or smaller, within limits."""
        now = self.transform().m11()
        wanted = min(max(now * factor, SMALLEST), LARGEST)
        self._framed = ()
        self.scale(wanted / now, wanted / now)

    def fit(self) -> None:
        """All of it."""
        self._framed = ()
        self.fitInView(self._scene.sceneRect(), Qt.AspectRatioMode.KeepAspectRatio)
        if self.transform().m11() > 1.0:
            self.resetTransform()

    def frame(self, path: Sequence[str]) -> None:
        """A whole path, as long as its words can be read; else from its start on.

        Without a path all of the graph, as far as it can be read. Holds when the window
        changes its size, until someone zooms or moves.
        """
        boxes = [self.nodes[name].sceneBoundingRect() for name in path if name in self.nodes]
        if not boxes:
            self.fit()
            self.zoom(max(READABLE / self.transform().m11(), 1.0))
            return
        whole = QRectF(boxes[0])
        for box in boxes[1:]:
            whole = whole.united(box)
        room = self.maximumViewportSize()
        wide, high = max(room.width() - BAR, 1), max(room.height() - BAR, 1)
        fits = min(wide / (whole.width() + 2 * BESIDE), high / (whole.height() + 2 * BESIDE), 1.0)
        zoom = max(fits, READABLE)
        self.setTransform(QTransform.fromScale(zoom, zoom))
        middle = whole.center()
        if fits < READABLE:
            from_left = whole.left() - BESIDE + 0.5 * wide / zoom
            tall = whole.height() * zoom > high
            y = boxes[0].center().y() if tall else middle.y()
            middle = QPointF(min(middle.x(), from_left), y)
        self.centerOn(middle)
        self._framed = tuple(path)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another size: the same path in view."""
        super().resizeEvent(event)
        if self._framed:
            self.frame(self._framed)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel zooms where the pointer is."""
        self.zoom(STEP ** (event.angleDelta().y() / 120.0))
        event.accept()

    # -- choosing ----------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Remember where, to tell a touch from a drag."""
        self._framed = ()
        self._pressed_at = event.position()
        super().mousePressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A touch without a drag looks at the node under it."""
        super().mouseReleaseEvent(event)
        if (event.position() - self._pressed_at).manhattanLength() < 8:
            item = self.itemAt(event.position().toPoint())
            if isinstance(item, NodeItem):
                self.choose(item.name)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go to what feeds a node, what it feeds, and its neighbours; + and - zoom."""
        key = event.key()
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom(STEP)
        elif key == Qt.Key.Key_Minus:
            self.zoom(1.0 / STEP)
        elif key == Qt.Key.Key_0:
            self.fit()
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self._along(forward=key == Qt.Key.Key_Right)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._across(1 if key == Qt.Key.Key_Down else -1)
        else:
            # Escape and Enter are the window's; the base would swallow none of them.
            event.ignore()

    def _along(self, forward: bool) -> None:
        """To the nearest node that this one feeds or is fed by, along the lit path first."""
        ends = [b if forward else a for a, b in self.edges
                if (a if forward else b) == self.current]
        lit = [name for name in ends if self.nodes[name].lit]
        self._to_nearest(lit if lit and self.nodes[self.current].lit else ends)

    def _across(self, step: int) -> None:
        """To the next node above or below in the same layer."""
        here = self.nodes.get(self.current)
        if here is None:
            self._to_nearest(list(self.nodes))
            return
        column = [n for n in self.nodes.values() if n.x() == here.x()]
        column.sort(key=lambda node: node.y())
        at = column.index(here) + step
        if 0 <= at < len(column):
            self.choose(column[at].name)

    def _to_nearest(self, names: Sequence[str]) -> None:
        here = self.nodes.get(self.current)
        y = here.y() if here is not None else 0.0
        if names:
            self.choose(min(names, key=lambda name: abs(self.nodes[name].y() - y)))


def path_through(spots: Sequence[Spot]) -> QPainterPath:
    """A smooth line from the right side of the first node to the left side of the last."""
    points = [QPointF(s.layer * ACROSS, s.height * DOWN + HIGH / 2) for s in spots]
    path = QPainterPath(QPointF(points[0].x() + WIDE, points[0].y()))
    for i, point in enumerate(points[1:], start=1):
        start = path.currentPosition()
        half = 0.5 * (point.x() - start.x())
        path.cubicTo(start.x() + half, start.y(), point.x() - half, point.y(), point.x(), point.y())
        if i < len(points) - 1:
            path.lineTo(point.x() + WIDE, point.y())
    return path
