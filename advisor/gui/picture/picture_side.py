"""The side that always shows what is known: section drawing and method bars."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from advisor.advice.result import Advice, MethodAdvice
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.method_bars import MethodBars, beside
from advisor.gui.widgets.reasons_tree import MethodReasons
from advisor.gui.widgets.section_view import SectionView


class PictureSide(QSplitter):
    """Drawing above, bars below; side by side where the window is narrow."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Vertical, parent)
        self._navigator = navigator
        self._section_wanted = True
        self.setChildrenCollapsible(False)
        self.setHandleWidth(8)
        self.section = SectionView(self)
        self.bars = MethodBars(self)
        self.reasons = MethodReasons(self)
        self.stack = QStackedWidget(self)
        self.stack.addWidget(self.bars)
        self.stack.addWidget(self.reasons)
        for widget in (self.section, self.stack):
            self.addWidget(_framed(widget))
        self.setStretchFactor(0, 5)
        self.setStretchFactor(1, 6)
        self.bars.chosen.connect(self.show_method)
        self.reasons.closed.connect(self.show_bars)
        self.reasons.lesson_wanted.connect(navigator.lesson_wanted)
        navigator.changed.connect(self.redraw)
        self.redraw()

    def redraw(self) -> None:
        """Draw the case as it stands."""
        session = self._navigator.session
        self.section.show_advice(session.advice, session.pack, session.system)
        self.bars.show_advice(session.advice)
        self._settle()
        if self.stack.currentWidget() is self.reasons:
            found = [m for m in session.advice.methods if m.method == self.reasons.method]
            if found:
                self._fill_reasons(found[0])
            else:
                self.show_bars()

    def preview(self, advice: object, said: str) -> None:
        """Draw what an answer that is pointed at would change; None draws the case again."""
        session = self._navigator.session
        shown = advice if isinstance(advice, Advice) else session.advice
        self.section.show_advice(shown, session.pack, session.system, said)
        self.bars.show_ghosts(shown.methods if shown is not session.advice else ())

    def want_section(self, wanted: bool) -> None:
        """The verdict has its own picture; the ladder of methods then takes all the height."""
        self._section_wanted = wanted
        self._settle()

    def _settle(self) -> None:
        """Before there are methods to compare, and at a stop, the section has all the room."""
        advice = self._navigator.session.advice
        compared = bool(advice.methods) and advice.verdict != "refer"
        wanted = {self.section: self._section_wanted or not compared, self.stack: compared}
        for widget, shown in wanted.items():
            frame = widget.parentWidget()
            if frame is not None:
                frame.setVisible(shown)

    def _fill_reasons(self, method: MethodAdvice) -> None:
        session = self._navigator.session
        advice = session.advice
        self.reasons.show_method(method, session.system, advice.currency, advice.tax,
                                 hazards_open=bool(advice.open_hazards),
                                 job=beside(method, advice)[0],
                                 folders=session.rule_folders)  # fmt: skip

    def show_method(self, method: MethodAdvice) -> None:
        """Open the reasons of one method."""
        self._fill_reasons(method)
        self.stack.setCurrentWidget(self.reasons)
        self.reasons.tree.setFocus()

    def show_bars(self) -> None:
        """Back to all methods, on the one that was looked at."""
        self.stack.setCurrentWidget(self.bars)
        for row in self.bars.rows:
            if row.method.method == self.reasons.method:
                row.setFocus()


def _framed(widget: QWidget) -> QFrame:
    frame = QFrame()
    frame.setObjectName("card")
    layout = QVBoxLayout(frame)
    layout.setContentsMargins(2, 2, 2, 2)
    layout.addWidget(widget)
    return frame
