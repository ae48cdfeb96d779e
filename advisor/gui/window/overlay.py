"""The screen, and what may lie over it: another answer tried out, or the rule graph."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget, QWidget

from advisor.gui.navigator import Navigator

if TYPE_CHECKING:
    from advisor.gui.graph.graph_page import GraphPage
    from advisor.gui.verdict.what_if_page import WhatIfPage


class Overlay(QStackedWidget):
    """Shows the screen, a trial or the graph; the latter are made when first needed."""

    def __init__(
        self, navigator: Navigator, screen: QWidget, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self._screen = screen
        self.addWidget(screen)
        self.trial: WhatIfPage | None = None
        self.graph: GraphPage | None = None

    @property
    def over(self) -> QWidget | None:
        """What lies over the screen, or nothing."""
        found = self.currentWidget()
        return None if found is self._screen else found

    @property
    def parts(self) -> tuple[QWidget, ...]:
        """The parts of what lies over the screen, as they are read; none where nothing does."""
        over = self.over
        if over is None:
            return ()
        return self.trial.parts if self.trial is not None and over is self.trial else (over,)

    def lay(self) -> bool:
        """Lay a trial or the graph over the screen, or take it off; whether one lies there."""
        if self._navigator.trial is None and self.trial is not None:
            self.trial.close_trial()
        if self._navigator.graph_open:
            self._lay_graph()
        elif self._navigator.trial is not None:
            self._lay_trial()
        else:
            self.setCurrentWidget(self._screen)
        return self.over is not None

    def _lay_trial(self) -> None:
        if self.trial is None:
            from advisor.gui.verdict.what_if_page import WhatIfPage

            self.trial = WhatIfPage(self._navigator, self)
            self.addWidget(self.trial)
        self.setCurrentWidget(self.trial)
        self.trial.open()

    def _lay_graph(self) -> None:
        if self.graph is None:
            from advisor.gui.graph.graph_page import GraphPage

            self.graph = GraphPage(self._navigator, self)
            self.addWidget(self.graph)
        self.setCurrentWidget(self.graph)
        self.graph.open()
