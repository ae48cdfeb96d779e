"""The rule graph of this case: pick a method, see the load path that decides it, step by step."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from advisor.drawing.layered_graph import draw
from advisor.gui import theme
from advisor.gui.graph.graph_view import STEP, GraphView
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.page import Page, label
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.rules import METHOD
from advisor.session.case_graph import GraphScope

BATCH = 12
"""Figures calculated between two events."""
BESIDE = 900
"""Width in px from which the details stand beside the graph."""
ROOMY = 1200
"""Width in px from which the details need no more than their share."""
HELP = "Drag to move, turn the wheel or press + and - to zoom, arrow keys go from box to box. " \
    "Heavy lines with numbers: the load path that decides the method. Dashed: assumed, not entered."
SMALL = "Causes that add under a hundredth to their load are left out."


class Details(Page):
    """What the chosen node says."""

    scope: GraphScope | None = None
    name = ""

    def redraw(self) -> None:
        """Fill from the node that is looked at."""
        self.clear_column()
        if self.scope is None or not self.name:
            self.say("Choose a box to see its figure and where it comes from.", "quiet")
        else:
            info = self.scope.info(self.name)
            self.say(info.kind, "small")
            self.say(info.title, "headline")
            self.say(f"{info.figure}.", "moved")
            self.say(f"{info.origin}." if info.origin else "")
            for line in info.lines:
                self.say(line)
            if self.scope.has_lesson(self.name):
                lesson = QPushButton("Lesson on this", self.inside)
                lesson.setMinimumHeight(theme.TARGET)
                wanted, path = self.navigator.lesson_wanted, (self.name,)
                lesson.clicked.connect(lambda: wanted.emit(path))
                self.put(lesson)
        self.column.addStretch(1)


class GraphPage(QFrame):
    """Graph and details, over the whole window."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self._scope: GraphScope | None = None
        self.view = GraphView(self)
        self.details = Details(navigator, self)
        self.method = QComboBox(self)
        self.method.setAccessibleName("Method whose load path is lit")
        self.all = QCheckBox("Show everything that was calculated", self)
        self.bigger, self.smaller, self.fit = (
            QPushButton(text, self) for text in ("+", "-", "Everything")
        )
        self.back = QPushButton("Back", self)
        self._fill = QTimer(self)
        self._fill.timeout.connect(self._tell_some)
        self._lay_out()
        self.method.activated.connect(self._method_picked)
        self.all.toggled.connect(self._draw)
        self.bigger.clicked.connect(lambda: self.view.zoom(STEP))
        self.smaller.clicked.connect(lambda: self.view.zoom(1 / STEP))
        self.fit.clicked.connect(self.view.fit)
        self.back.clicked.connect(navigator.hide_graph)
        self.view.chosen.connect(self._chosen)
        navigator.changed.connect(self._changed)

    def _lay_out(self) -> None:
        for button, name in ((self.bigger, "Bigger"), (self.smaller, "Smaller")):
            button.setAccessibleName(name)
            button.setToolTip(name)
            button.setFixedWidth(theme.TARGET + 6)
        for button in (self.bigger, self.smaller, self.fit, self.back):
            button.setMinimumHeight(theme.TARGET)
        top = QHBoxLayout()
        top.addWidget(label("Why this method:", "section", self))
        top.addWidget(self.method, 1)
        top.addWidget(self.all)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(10)
        self.split.addWidget(self.view)
        self.split.addWidget(self.details)
        self.help = QLabel(HELP, self)
        self.help.setObjectName("small")
        self.help.setWordWrap(True)
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addWidget(self.help, 1)
        for button in (self.smaller, self.bigger, self.fit):
            row.addWidget(button)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(6)
        whole.addLayout(top)
        whole.addWidget(self.split, 1)
        whole.addLayout(row)

    # -- what is shown -------------------------------------------------------------

    def open(self) -> None:
        """Show the graph of the case as it stands, the leading method's path lit."""
        session = self._navigator.session
        pack = session.pack
        assert isinstance(pack, RulePack)
        self._scope = GraphScope(
            session.case, pack, session.advice, session.system, session.working,
            session.rule_folders,
        )
        self.method.clear()
        for path in self._scope.paths:
            self.method.addItem(path.title, path.method)
        self._draw()
        self.view.setFocus()

    def _changed(self) -> None:
        """Units were switched, or the case changed under the graph."""
        if self.isVisible():
            kept, chosen = self.method.currentIndex(), self.view.current
            self.open()
            self.method.setCurrentIndex(min(kept, self.method.count() - 1))
            self._light()
            self.view.choose(chosen)

    def _draw(self) -> None:
        scope = self._scope
        if scope is None:
            return
        only = str(self.method.currentData() or "")
        nodes, edges = scope.everything(only) if self.all.isChecked() else scope.main()
        drawing = draw(nodes, edges, scope.methods_in(nodes))
        titles = {name: scope.short_title(name) for name in nodes}
        self.view.show_drawing(drawing, titles, {n for n in nodes if scope.is_assumed(n)})
        self.details.scope, self.details.name = scope, ""
        few = scope.small_causes and not self.all.isChecked()
        self.help.setText(f"{HELP} {SMALL}" if few else HELP)
        self._light()
        self._fill.start(0)

    def _method_picked(self) -> None:
        if self.all.isChecked():
            self._draw()
        else:
            self._light()

    def _light(self) -> None:
        """Light the path of the picked method, bring it into view and look at the method."""
        nodes = self._lit()
        self.view.choose(METHOD + str(self.method.currentData()), go=False)
        self.view.frame(nodes)
        if not self.view.current:
            self.details.redraw()

    def _lit(self) -> tuple[str, ...]:
        """Light the path of the picked method: its nodes."""
        scope, key = self._scope, self.method.currentData()
        path = next((p for p in scope.paths if p.method == key), None) if scope else None
        nodes = path.nodes if path is not None else ()
        self.view.light(nodes)
        return nodes

    def _tell_some(self) -> None:
        """Write the figures into the nodes, a few at a time."""
        scope = self._scope
        waiting = [node for node in self.view.nodes.values() if not node.figure]
        if scope is None or not self.isVisible() or not waiting:
            self._fill.stop()
            return
        for node in waiting[:BATCH]:
            node.tell(scope.short_of(node.name) or "-")

    def _chosen(self, name: str) -> None:
        self.details.name = name
        self.details.redraw()
        if self._scope is not None and name.startswith(METHOD):
            index = self.method.findData(name.removeprefix(METHOD))
            if index >= 0 and index != self.method.currentIndex():
                # Its box lies under the finger: nothing may move.
                self.method.setCurrentIndex(index)
                self._lit()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Details beside the graph, or under it where the window is narrow."""
        super().resizeEvent(event)
        wide = self.width() >= BESIDE
        across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        if (self.split.orientation() == across) != wide or not self.split.property("sized"):
            self.split.setProperty("sized", True)
            self.split.setOrientation(across if wide else down)
            total = self.width() if wide else self.height()
            share = 0.68 if not wide else 0.78 if self.width() >= ROOMY else 0.72
            self.split.setSizes([int(share * total), int((1 - share) * total)])
