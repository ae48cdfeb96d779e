"""The window: stages on top, one question on the left, the picture on the right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QLabel, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.picture.picture_place import PicturePlace
from advisor.gui.questions.question_card import QuestionCard
from advisor.gui.widgets.stop_banner import StopBanner, stopping
from advisor.gui.window import shortcuts
from advisor.gui.window.file_actions import FileActions
from advisor.gui.window.focus_order import put_in_order
from advisor.gui.window.menus import add_menus
from advisor.gui.window.next_back_bar import NextBackBar
from advisor.gui.window.next_questions_bar import NextQuestionsBar
from advisor.gui.window.overlay import Overlay
from advisor.gui.window.page_factory import ClosingPages, WindowCalls
from advisor.gui.window.rough_banner import RoughBanner
from advisor.gui.window.splitter import WindowSplitter
from advisor.gui.window.stage_bar import StageBar
from advisor.session.case_session import Session
from advisor.session.known_file import file_notice
from advisor.session.screens import PAGES, Tab, position

if TYPE_CHECKING:
    from advisor.gui.graph.graph_page import GraphPage
    from advisor.gui.hazards.hazard_page import HazardPage
    from advisor.gui.picture.picture_side import PictureSide
    from advisor.gui.verdict.what_if_page import WhatIfPage


class MainWindow(QMainWindow):
    """Shows a session. Everything it knows lies in the session."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setStyleSheet(theme.style_sheet())
        self.session = session
        self.navigator = Navigator(session, self)
        self.files = FileActions(self.navigator, self)
        self.stages = StageBar(self.navigator, self)
        self.left = QWidget(self)
        self.alarm = StopBanner(self.left)
        self.card = QuestionCard(self.navigator, self)
        self.stack = QStackedWidget(self)
        calls = WindowCalls(self.go_on, self.name_next, self.show_graph)
        self.pages = ClosingPages(self.navigator, self.files, self.stack, calls)
        self.matters = NextQuestionsBar(self.navigator, self)
        self.side = PicturePlace(self.navigator, self)
        self.way = NextBackBar(self)
        self.back, self.leave = self.way.back, self.way.leave
        self.next, self.undo = self.way.next, self.way.undo
        self.kept = QLabel(self)
        self.units = QAction(self)
        self._lay_out()
        self._connect()
        add_menus(self, self)
        self.setMinimumSize(760, 600)
        self._redraw()
        self._move()

    # -- building ----------------------------------------------------------------

    def _lay_out(self) -> None:
        self.stack.addWidget(self.card)
        self.kept.setObjectName("small")
        self.kept.setContentsMargins(0, 0, 12, 0)
        self.lost = QLabel(self)
        self.lost.setObjectName("fault")
        self.lost.setWordWrap(True)
        self.notice = QLabel(self)
        self.notice.setObjectName("now")
        self.notice.setWordWrap(True)
        column = QVBoxLayout(self.left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(self.lost)
        column.addWidget(self.notice)
        column.addWidget(self.alarm)
        column.addWidget(self.stack, 1)
        column.addWidget(self.way)
        column.addWidget(self.matters)
        self.split = WindowSplitter(self.left, self.side, self)
        ground = QWidget(self)
        ground.setObjectName("ground")
        whole = QVBoxLayout(ground)
        whole.setContentsMargins(8, 6, 8, 8)
        whole.setSpacing(6)
        whole.addWidget(self.stages)
        self.switched_off = QLabel("\n".join(self._switched_off()), self)
        self.switched_off.setObjectName("fault")
        self.switched_off.setWordWrap(True)
        self.switched_off.setVisible(bool(self._switched_off()))
        whole.addWidget(self.switched_off)
        self.rough = RoughBanner(self.navigator, self)
        whole.addWidget(self.rough)
        self.overlay = Overlay(self.navigator, self.split, self)
        whole.addWidget(self.overlay, 1)
        self.setCentralWidget(ground)

    def _switched_off(self) -> list[str]:
        """Hazard questions that this shop does not ask: said over every screen."""
        return [one.sentence for one in self.navigator.session.pack.own.switched_off]

    def _connect(self) -> None:
        self.card.trying.connect(self.navigator.try_answer)
        self.navigator.changed.connect(self._redraw)
        self.navigator.moved.connect(self._move)
        self.stages.picked.connect(self.go_tab)
        self.matters.picked.connect(self.navigator.go_ask)
        self.card.moving_on.connect(self.go_on)
        self.back.clicked.connect(self.go_back)
        self.next.clicked.connect(self.go_on)
        self.leave.clicked.connect(self._leave_open)
        self.undo.clicked.connect(self.navigator.undo)
        self.files.writing.connect(self.commit)
        self.files.replaced.connect(self.card.forget_drafts)

    @property
    def picture(self) -> PictureSide:
        """Section and bars; made once the first question stands."""
        return self.side.picture

    def showEvent(self, event: QShowEvent) -> None:
        """The first question first; the picture follows at once."""
        super().showEvent(event)
        self.side.follow_soon()

    # -- moving ------------------------------------------------------------------

    def go_on(self) -> None:
        """To the next open row or screen, unless what is typed cannot be used."""
        if self.over is not None or (self.hazards is not None and self.hazards.go_on()):
            return
        if self.stack.currentWidget() is not self.card or self.card.commit():
            self.navigator.step(1)

    def go_back(self) -> None:
        """To the screen before; what is typed is kept. Takes off what lies over it."""
        if self.navigator.trial is not None:
            self.navigator.drop_trial()
        elif self.navigator.graph_open:
            self.navigator.hide_graph()
        else:
            self.navigator.step(-1)

    def go_tab(self, tab: Tab) -> None:
        """To a stage."""
        self.navigator.go_tab(tab)

    def commit(self) -> None:
        """Take over what is being written, before a file is written or the window closes."""
        self.card.commit()
        self._leave_record()

    def _leave_record(self) -> None:
        page = self.pages.shown()
        if page is not None:
            page.commit()

    def _leave_open(self) -> None:
        entry = self.navigator.entry
        if entry.fact is not None:
            self.card.drop_draft()
            self.navigator.leave_open(entry.key)
        elif entry.key == "earlier_repairs":
            self.navigator.set_repairs(None)
        self.navigator.step(1)

    def try_other(self) -> None:
        """Try another answer to the question on the card, or to the hazard the keys are for."""
        if self.hazards is not None and self.over is None:
            self.hazards.try_other()
        elif self.stack.currentWidget() is self.card and self.navigator.trial is None:
            self.card.try_other()

    @property
    def hazards(self) -> HazardPage | None:
        """The page of all hazard questions, while it is shown."""
        return self.pages.hazards()

    @property
    def over(self) -> QWidget | None:
        """What lies over the screen: a trial, the rule graph, or nothing."""
        return self.overlay.over

    @property
    def trial(self) -> WhatIfPage | None:
        """The page on which another answer is tried, once it was needed."""
        return self.overlay.trial

    @property
    def graph(self) -> GraphPage | None:
        """The page of the rule graph, once it was needed."""
        return self.overlay.graph

    def show_graph(self) -> None:
        """The rule graph, once there is something calculated to show."""
        if self.session.begun and self.session.advice.methods and self.card.commit():
            self.navigator.show_graph()

    def _move(self) -> None:
        self._leave_record()
        if self.overlay.lay():
            return
        entry = self.navigator.entry
        page = self.pages[entry.key] if entry.key in PAGES else None
        before = self.stack.currentWidget()
        if page is None:
            self.card.show_entry(entry)
            self.stack.setCurrentWidget(self.card)
        else:
            self.card.leave()
            page.redraw()
            self.stack.setCurrentWidget(page)
            page.area.setFocus()
        if self.hazards is not None:
            self.hazards.take_focus(afresh=before is not page)
        wide = page is None and self.card.wide
        self.matters.setHidden(wide)
        self._sound_alarm()
        self.name_next()
        index = position(self.navigator.order, entry.key)
        self.back.setEnabled(index > 0)
        self.next.setEnabled(index < len(self.navigator.order) - 1)
        self.leave.setVisible(page is None)

    def actions_by_key(self) -> dict[str, QAction]:
        """Every action of the menus by the key that calls it."""
        found = self.findChildren(QAction)
        return {action.shortcut().toString(): action for action in found if action.shortcut()}

    # -- drawing -----------------------------------------------------------------

    def _redraw(self) -> None:
        page = self.pages.shown()
        if self.session.begun:
            self.side.make()
        self._sound_alarm()
        self.card.redraw()
        if page is not None:
            page.redraw()
        metric = self.session.system is System.METRIC
        self.units.setText("Show US customary units" if metric else "Show metric units")
        self.undo.setEnabled(self.session.can_undo)
        self.name_next()
        self._kept_line()
        name = self.session.case.title or self.session.case.name
        mark = "" if not self.session.dirty else " (not saved in a file yet)"
        self.setWindowTitle(f"{name}{mark} - Trim repair advisor")

    def _sound_alarm(self) -> None:
        """A hazard that stops the job is said on every screen; some pages say it themselves."""
        page = self.pages.shown()
        self.alarm.say(stopping(self.session.advice) if self.session.begun else ())
        alarmed = bool(self.alarm.text()) and (page is None or not page.says_stop)
        self.alarm.setVisible(alarmed)
        whole = self.card.wide if page is None else self.hazards is not None
        self.split.want(not whole, alarmed)

    def name_next(self) -> None:
        """*Next* says whether it leads to another row of the page or off it."""
        self.way.name_next(self.hazards is not None and self.hazards.ahead() is not None)

    def _kept_line(self) -> None:
        fault, when = self.session.autosave_fault, self.session.kept_at
        self.lost.setVisible(bool(fault))
        self.lost.setText(f"Answers are NOT kept on disk: {fault}")
        claim = when is not None and not fault
        self.kept.setText(f"Every answer is kept at once, last {when:%H:%M}" if claim else "")
        said = file_notice(self.session.file)
        self.notice.setText(said)
        self.notice.setVisible(bool(said))
        # A corner widget is laid out anew only when it is set.
        self.menuBar().setCornerWidget(self.kept)
        self.kept.show()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Picture beside the question, or below it where the window is narrow."""
        super().resizeEvent(event)
        self.split.fit(self.size())

    # -- keys --------------------------------------------------------------------

    def focusNextPrevChild(self, onward: bool) -> bool:
        """Tab goes from the stages to the screen, to *Next*, and on to what stands under it.

        On a page the order follows the places from the top; on any other screen and on the
        page of hazards it stays as it is.
        """
        way, page = self.way, self.pages.shown()
        under = (self.stack, way.next, way.back, way.leave, way.undo, self.matters, self.side)
        shown = under if self.over is None else (self.over,)
        placed = page.inside if page is not None and self.hazards is None else None
        put_in_order(self, (self.stages, self.rough, *shown), placed)
        return super().focusNextPrevChild(onward)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys that no widget has taken."""
        taken = self.over is None and self.hazards is not None and self.hazards.take_key(event)
        if not taken and not shortcuts.take(self, event):
            super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Nothing is lost: unsaved answers are saved, kept, or thrown away on purpose."""
        self.commit()
        may = self.files.may_leave()
        if may:
            self.session.thorough.stop()
            self.session.release()
        event.setAccepted(may)

    def changeEvent(self, event: QEvent) -> None:
        """A tablet put to sleep keeps what is typed."""
        super().changeEvent(event)
        if event.type() != QEvent.Type.ActivationChange:
            return
        if self.isActiveWindow():
            self._find_keyboard()
            self._kept_line()  # others may have changed the file meanwhile
        else:
            self.card.commit()

    def _find_keyboard(self) -> None:
        """Give the keyboard a place where what had it was taken away behind a dialog."""
        focus = self.focusWidget()
        if focus is None or focus.isVisible():
            return
        page = self.pages.shown()
        if self.over is not None:
            self.over.setFocus()
        elif self.hazards is not None:
            self.hazards.take_focus(afresh=False)
        elif page is not None:
            page.area.setFocus()
        else:
            self.card.take_focus()
