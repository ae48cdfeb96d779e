"""The window: stages on top, one question on the left, the picture on the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.files import Files
from advisor.gui.hub import Hub
from advisor.gui.interview import CLOSING_PAGES, JOB_SHEET, METHOD_PAGE, Tab, position
from advisor.gui.matters_strip import MattersStrip
from advisor.gui.menus import add_menus
from advisor.gui.question_page import QuestionCard
from advisor.gui.session import Session
from advisor.gui.stage_bar import StageBar

if TYPE_CHECKING:
    from advisor.gui.graph_page import GraphPage
    from advisor.gui.pages import Page
    from advisor.gui.picture_side import PictureSide
    from advisor.gui.trial_page import TrialPage

WIDE = 1000
"""Width in px from which the picture stands beside the question."""
AFTER_FIRST_PAINT = 20
"""Milliseconds after which the picture follows the first question."""


class Pages(dict[str, "Page"]):
    """The closing pages, each made when it is first shown."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window

    def __missing__(self, key: str) -> Page:
        page = self[key] = self._window.make_page(key)
        return page


class MainWindow(QMainWindow):
    """Shows a session. Everything it knows lies in the session."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setStyleSheet(theme.style_sheet())
        self.session = session
        self.hub = Hub(session, self)
        self.files = Files(self.hub, self)
        self.stages = StageBar(self.hub, self)
        self.alarm = QLabel(self)
        self.alarm.setObjectName("refer")
        self.alarm.setWordWrap(True)
        self.card = QuestionCard(self.hub, self)
        self.pages = Pages(self)
        self.stack = QStackedWidget(self)
        self.matters = MattersStrip(self.hub, self)
        self._picture: PictureSide | None = None
        self.side = QWidget(self)
        self.back = QPushButton("Back", self)
        self.leave = QPushButton("Not known - leave open", self)
        self.next = QPushButton("Next", self)
        self.undo = QPushButton("Undo", self)
        self.kept = QLabel(self)
        self.units = QAction(self)
        self.trial: TrialPage | None = None
        self.graph: GraphPage | None = None
        self._lay_out()
        self._connect()
        add_menus(self)
        self.setMinimumSize(760, 620)
        self._redraw()
        self._move()

    # -- building ----------------------------------------------------------------

    def _lay_out(self) -> None:
        self.stack.addWidget(self.card)
        self.next.setObjectName("main")
        self.kept.setObjectName("small")
        self.kept.setContentsMargins(0, 0, 12, 0)
        self.lost = QLabel(self)
        self.lost.setObjectName("fault")
        self.lost.setWordWrap(True)
        for button in (self.back, self.leave, self.next, self.undo):
            button.setMinimumHeight(theme.TARGET)
        self.next.setMinimumWidth(112)
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.lost)
        column.addWidget(self.alarm)
        column.addWidget(self.stack, 1)
        row = QHBoxLayout()
        row.addWidget(self.back)
        row.addWidget(self.leave)
        row.addWidget(self.undo)
        row.addStretch(1)
        row.addWidget(self.next)
        column.addLayout(row)
        column.addWidget(self.matters)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(10)
        self.split.addWidget(left)
        self.split.addWidget(self.side)
        beside = QVBoxLayout(self.side)
        beside.setContentsMargins(0, 0, 0, 0)
        ground = QWidget(self)
        ground.setObjectName("ground")
        whole = QVBoxLayout(ground)
        whole.setContentsMargins(8, 6, 8, 8)
        whole.setSpacing(6)
        whole.addWidget(self.stages)
        self.floor = QStackedWidget(self)
        whole.addWidget(self.floor, 1)
        self.setCentralWidget(ground)
        self.floor.addWidget(self.split)

    def _connect(self) -> None:
        self.card.trying.connect(self.hub.try_answer)
        self.hub.changed.connect(self._redraw)
        self.hub.moved.connect(self._move)
        self.stages.picked.connect(self.go_tab)
        self.matters.picked.connect(self.hub.go)
        self.card.moving_on.connect(self.go_on)
        self.back.clicked.connect(self.go_back)
        self.next.clicked.connect(self.go_on)
        self.leave.clicked.connect(self._leave_open)
        self.undo.clicked.connect(self.hub.undo)
        self.files.writing.connect(self.commit)
        self.files.replaced.connect(self.card.forget_drafts)

    def make_page(self, key: str) -> Page:
        """One of the closing pages, with what it may ask for."""
        made: Page
        if key == METHOD_PAGE:
            from advisor.gui.method_page import MethodPage

            made = method = MethodPage(self.hub, self)
            method.asked.connect(self.hub.go)
            method.graph_wanted.connect(self.show_graph)
        elif key == JOB_SHEET:
            from advisor.gui.job_page import JobPage

            made = JobPage(self.hub, self)
        else:
            from advisor.gui.record_page import RecordPage

            made = record = RecordPage(self.hub, self)
            record.save_wanted.connect(self.files.save_as)
            record.export_wanted.connect(self.files.export)
        self.stack.addWidget(made)
        return made

    @property
    def picture(self) -> PictureSide:
        """Section and bars; made once the first question stands."""
        if self._picture is None:
            from advisor.gui.picture_side import PictureSide

            self._picture = PictureSide(self.hub, self.side)
            self._turn_picture()
            layout = self.side.layout()
            assert layout is not None
            layout.addWidget(self._picture)
            self._picture.show()
        return self._picture

    def _load_advisor(self) -> None:
        """In two steps, so that no key waits long."""
        _ = self.session.advice
        QTimer.singleShot(0, self, self._draw_picture)

    def _draw_picture(self) -> None:
        _ = self.picture

    def showEvent(self, event: QShowEvent) -> None:
        """The first question first; the picture follows at once."""
        super().showEvent(event)
        if self._picture is None:
            QTimer.singleShot(AFTER_FIRST_PAINT, self, self._load_advisor)

    # -- moving ------------------------------------------------------------------

    def go_on(self) -> None:
        """To the next screen, unless what is typed cannot be used."""
        if self.over is not None:
            return
        if self.stack.currentWidget() is not self.card or self.card.commit():
            self.hub.step(1)

    def go_back(self) -> None:
        """To the screen before; what is typed is kept. Takes off what lies over it."""
        if self.hub.trial is not None:
            self.hub.drop_trial()
        elif self.hub.graph_open:
            self.hub.hide_graph()
        else:
            self.hub.step(-1)

    def go_tab(self, tab: Tab) -> None:
        """To a stage."""
        self.hub.go_tab(tab)

    def commit(self) -> None:
        """Take over what is being written, before a file is written or the window closes."""
        self.card.commit()
        self._leave_record()

    def _leave_record(self) -> None:
        page = self._closing_page()
        if page is not None:
            page.commit()

    def _closing_page(self) -> Page | None:
        """The closing page that is shown, if one is."""
        shown = self.stack.currentWidget()
        return next((page for page in self.pages.values() if page is shown), None)

    def _leave_open(self) -> None:
        entry = self.hub.entry
        if entry.fact is not None:
            self.card.drop_draft()
            self.hub.leave_open(entry.key)
        elif entry.key == "earlier_repairs":
            self.hub.set_repairs(None)
        self.hub.step(1)

    def try_other(self) -> None:
        """Try another answer to the question on the card."""
        if self.stack.currentWidget() is self.card and self.hub.trial is None:
            self.card.try_other()

    @property
    def over(self) -> QWidget | None:
        """What lies over the screen: a trial, the rule graph, or nothing."""
        found = self.floor.currentWidget()
        return None if found is self.split else found

    def _lay_over(self) -> bool:
        """Lay a trial or the graph over the screen, or take it off; whether one lies there."""
        if self.hub.trial is None and self.trial is not None:
            self.trial.close_trial()
        if self.hub.graph_open:
            self._lay_graph()
            return True
        if self.hub.trial is None:
            self.floor.setCurrentWidget(self.split)
            return False
        if self.trial is None:
            from advisor.gui.trial_page import TrialPage

            self.trial = TrialPage(self.hub, self)
            self.floor.addWidget(self.trial)
        self.floor.setCurrentWidget(self.trial)
        self.trial.open()
        return True

    def _lay_graph(self) -> None:
        if self.graph is None:
            from advisor.gui.graph_page import GraphPage

            self.graph = GraphPage(self.hub, self)
            self.floor.addWidget(self.graph)
        self.floor.setCurrentWidget(self.graph)
        self.graph.open()

    def show_graph(self) -> None:
        """The rule graph, once there is something computed to show."""
        if self.session.begun and self.session.advice.methods and self.card.commit():
            self.hub.show_graph()

    def _move(self) -> None:
        self._leave_record()
        if self._lay_over():
            return
        entry = self.hub.entry
        page = self.pages[entry.key] if entry.key in CLOSING_PAGES else None
        if page is None:
            self.card.show_entry(entry)
            self.stack.setCurrentWidget(self.card)
        else:
            self.card.leave()
            page.redraw()
            self.stack.setCurrentWidget(page)
            page.area.setFocus()
        self._sound_alarm()
        index = position(self.hub.order, entry.key)
        self.back.setEnabled(index > 0)
        self.next.setEnabled(index < len(self.hub.order) - 1)
        self.leave.setVisible(page is None)

    def actions_by_key(self) -> dict[str, QAction]:
        """Every action of the menus by the key that calls it."""
        found = self.findChildren(QAction)
        return {action.shortcut().toString(): action for action in found if action.shortcut()}

    # -- drawing -----------------------------------------------------------------

    def _redraw(self) -> None:
        page = self._closing_page()
        if self.session.begun:
            self._draw_picture()
        self._sound_alarm()
        self.card.redraw()
        if page is not None:
            page.redraw()
        metric = self.session.system is System.METRIC
        self.units.setText("Show US customary units" if metric else "Show metric units")
        self.undo.setEnabled(self.session.can_undo)
        self._kept_line()
        name = self.session.case.title or self.session.case.name
        mark = "" if not self.session.dirty else " (not saved in a file yet)"
        self.setWindowTitle(f"{name}{mark} - Trim repair advisor")

    def _sound_alarm(self) -> None:
        """A hazard that stops the job is said on every question; the pages say it themselves."""
        lines: list[str] = []
        if self.session.begun:
            from advisor.gui.pages import stopping_lines

            lines = stopping_lines(self.session.advice)
        self.alarm.setText("Stop: refer this job. " + " ".join(lines))
        self.alarm.setVisible(bool(lines) and self.stack.currentWidget() is self.card)

    def _kept_line(self) -> None:
        fault, when = self.session.autosave_fault, self.session.kept_at
        self.lost.setVisible(bool(fault))
        self.lost.setText(f"The last answer is NOT kept on disk: {fault}")
        self.kept.setText(f"Every answer is kept at once, last {when:%H:%M}" if when else "")
        # A corner widget is laid out anew only when it is set.
        self.menuBar().setCornerWidget(self.kept)
        self.kept.show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Picture beside the question, or below it where the window is narrow."""
        super().resizeEvent(event)
        wide = self.width() >= WIDE
        across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
        if (self.split.orientation() == across) != wide or not self.split.property("sized"):
            self.split.setProperty("sized", True)
            self.split.setOrientation(across if wide else down)
            self._turn_picture()
            total = self.width() if wide else self.height()
            share = 0.52 if wide else 0.56
            self.split.setSizes([int(share * total), int((1 - share) * total)])

    def _turn_picture(self) -> None:
        if self._picture is not None:
            beside = self.split.orientation() is Qt.Orientation.Horizontal
            across, down = Qt.Orientation.Horizontal, Qt.Orientation.Vertical
            self._picture.setOrientation(down if beside else across)

    # -- keys --------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes on, Alt with an arrow goes on or back, the rest is for the answer."""
        alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
        key = event.key()
        if self.over is not None:
            self._key_over(event)
        elif alt and key == Qt.Key.Key_Left:
            self.go_back()
        elif alt and key == Qt.Key.Key_Right:
            self.go_on()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._enter()
        elif self.stack.currentWidget() is self.card and self.card.take_key(event):
            pass
        else:
            super().keyPressEvent(event)

    def _key_over(self, event: QKeyEvent) -> None:
        """A key while something lies over the screen; Escape takes it off."""
        back = event.modifiers() & Qt.KeyboardModifier.AltModifier
        if event.key() == Qt.Key.Key_Escape or (back and event.key() == Qt.Key.Key_Left):
            self.go_back()
        elif self.trial is None or self.over is not self.trial:
            self._press_or_pass(event)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.trial.enter(self.focusWidget())
        elif not self.trial.take_key(event):
            super().keyPressEvent(event)

    def _press_or_pass(self, event: QKeyEvent) -> None:
        focus = self.focusWidget()
        enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if enter and isinstance(focus, QAbstractButton):
            focus.click()
        else:
            super().keyPressEvent(event)

    def _enter(self) -> None:
        focus = self.focusWidget()
        rows = self._picture.bars.rows if self._picture is not None else []
        buttons = (self.next, *rows)
        if isinstance(focus, QPlainTextEdit):
            return
        if isinstance(focus, QAbstractButton) and focus not in buttons:
            if self.card.isAncestorOf(focus) and not isinstance(focus, QPushButton):
                self.go_on()
            else:
                focus.click()
        elif isinstance(focus, QAbstractButton):
            focus.click()
        else:
            self.go_on()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nothing is lost: unsaved answers are saved, kept, or thrown away on purpose."""
        self.commit()
        if self.files.may_leave():
            event.accept()
        else:
            event.ignore()

    def changeEvent(self, event: QEvent) -> None:
        """A tablet put to sleep keeps what is typed."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and not self.isActiveWindow():
            self.card.commit()

