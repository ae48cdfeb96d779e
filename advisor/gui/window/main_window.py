"""The window: places at the left, stages on top, one question, and the picture beside it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QTimer
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from advisor.facts.faults import BadInput
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.look import Look
from advisor.gui.navigator import Navigator
from advisor.gui.picture.picture_place import AFTER_FIRST_PAINT, PicturePlace
from advisor.gui.questions.question_card import QuestionCard
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.fitted_words import WrappedButton
from advisor.gui.widgets.stop_banner import StopBanner, stopping
from advisor.gui.widgets.undo_keys import UndoKeys
from advisor.gui.window import shortcuts
from advisor.gui.window.file_actions import FileActions
from advisor.gui.window.focus_order import put_in_order
from advisor.gui.window.menus import add_menus, open_prices
from advisor.gui.window.next_back_bar import NextBackBar
from advisor.gui.window.next_questions_bar import NextQuestionsBar
from advisor.gui.window.overlay import Overlay
from advisor.gui.window.page_factory import ClosingPages, WindowCalls
from advisor.gui.window.paper_actions import PaperActions
from advisor.gui.window.rough_banner import RoughBanner
from advisor.gui.window.side_rail import SideRail
from advisor.gui.window.splitter import LARGE, WindowSplitter
from advisor.gui.window.top_bar import TopBar
from advisor.session.asking_order import identity_left, tools_asked_for
from advisor.session.case_session import Session
from advisor.session.known_file import file_notice
from advisor.session.screens import (
    METHOD_PAGE,
    PAGES,
    PHOTOS,
    QUESTION_LIST,
    Tab,
    open_gates,
    position,
)

if TYPE_CHECKING:
    from advisor.gui.graph.graph_page import GraphPage
    from advisor.gui.hazards.hazard_page import HazardPage
    from advisor.gui.home.home_page import HomePage
    from advisor.gui.picture.picture_side import PictureSide
    from advisor.gui.practice.practice_place import PracticePlace
    from advisor.gui.verdict.what_if_page import WhatIfPage


LOW = 680
"""Height in px below which the questions after the next one are left to the list."""
NAMED = 3
"""Open hazards that are named over every page."""


def shortened(titles: Sequence[str]) -> str:
    """The first titles of a list, and how many more there are."""
    more = len(titles) - NAMED
    return ", ".join(titles[:NAMED]) + (f" and {more} more" if more > 0 else "")


class MainWindow(QMainWindow):
    """Shows a session. Everything it knows lies in the session."""

    def __init__(
        self, session: Session, parent: QWidget | None = None, look: Look | None = None
    ) -> None:
        super().__init__(parent)
        self.look = look or Look()
        self._previewing = False
        self.look.take_up(session)
        self.setStyleSheet(theme.style_sheet())
        self.session = session
        self.navigator = Navigator(session, self)
        self.files = FileActions(self.navigator, self)
        self.papers = PaperActions(self.navigator, self.files, self)
        self.files.settings = self.look.settings
        self.top = TopBar(self.navigator, self)
        self.stages, self.kept = self.top.stages, self.top.kept
        self.rail = SideRail(self)
        self.left = QWidget(self)
        self.alarm = StopBanner(self.left)
        self.card = QuestionCard(self.navigator, self)
        self.stack = QStackedWidget(self)
        calls = WindowCalls(self.go_on, self.name_next, self.show_graph)
        self.pages = ClosingPages(self.navigator, self.files, self.papers, self.stack, calls)
        self.matters = NextQuestionsBar(self.navigator, self)
        self.side = PicturePlace(self.navigator, self)
        self.way = NextBackBar(self)
        self.back, self.leave = self.way.back, self.way.leave
        self.next, self.undo = self.way.next, self.top.undo
        self.hazard_strip = WrappedButton(self.left)
        self.hazard_strip.setObjectName("hazards")
        self.hazard_strip.clicked.connect(lambda: self.go_tab(Tab.HAZARDS))
        self.units = QAction(self)
        self._lay_out()
        self._connect()
        add_menus(self, self)
        UndoKeys(self)
        self.setMinimumSize(760, 520)
        self._redraw()
        self._move()

    # -- building ----------------------------------------------------------------

    def _lay_out(self) -> None:
        self.stack.addWidget(self.card)
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
        column.addWidget(self.hazard_strip)
        column.addWidget(self.stack, 1)
        column.addWidget(self.way)
        column.addWidget(self.matters)
        self.split = WindowSplitter(self.left, self.side, self)
        ground = QWidget(self)
        ground.setObjectName("ground")
        whole = QVBoxLayout(ground)
        whole.setContentsMargins(8, 8, 8, 8)
        whole.setSpacing(8)
        self.switched_off = QLabel("\n".join(self._switched_off()), self)
        self.switched_off.setObjectName("fault")
        self.switched_off.setWordWrap(True)
        self.switched_off.setVisible(bool(self._switched_off()))
        whole.addWidget(self.switched_off)
        self.rough = RoughBanner(self.navigator, self)
        whole.addWidget(self.rough)
        self.overlay = Overlay(self.navigator, self.split, self)
        whole.addWidget(self.overlay, 1)
        beside = QVBoxLayout()
        beside.setSpacing(0)
        beside.addWidget(self.top)
        self.places = QStackedWidget(self)
        self.places.addWidget(ground)
        self.home: HomePage | None = None
        self.practice: PracticePlace | None = None
        beside.addWidget(self.places, 1)
        central = QWidget(self)
        row = QHBoxLayout(central)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.rail)
        row.addLayout(beside, 1)
        self.setCentralWidget(central)
        self.rail.add("Home", "home", "New, open, recent and demo cases: Ctrl+H", self.show_home)
        self.rail.add("Case", "case", "The case that is open", self.show_case)
        self.rail.add("Casebook", "casebook", "All kept cases: Ctrl+F", self._to_kept)
        self.rail.add("Practice", "practice", "Rounds, lessons, figures to try: Ctrl+R",
                      self.show_practice)  # fmt: skip
        self.rail.add("Prices", "prices", "Prices and rates: Ctrl+Shift+P", self._to_prices)
        self.rail.add("Help", "help", "Help and glossary", self.show_help, below=True)
        self.rail.show_here("Case")

    def show_case(self) -> None:
        """Back to the case that is open."""
        self.places.setCurrentIndex(0)
        self.rail.show_here("Case")
        self.stages.redraw()

    def show_home(self) -> None:
        """New, open, recent and demo cases; the open case stays as it is."""
        if self.home is None:
            from advisor.gui.home.home_page import HomeCalls, HomePage

            calls = HomeCalls(
                self.files.new, self.files.open, self.files.open_path, self.ask_shop,
                self._to_prices, self.show_help, self._to_kept, self.show_practice,
                self.files.recent_kept, self.files.open_kept, self._title_of_method,
                self.files.jobs_due, partial(self._to_kept, due=True),
                self.show_audit, self.papers.lots, self.papers.lots_heeded,
                self.papers.burn_tests, self.work_as,
            )  # fmt: skip
            self.home = HomePage(self.look, calls, self)
            self.places.addWidget(self.home)
        self.commit()
        self.home.redraw()
        self.places.setCurrentWidget(self.home)
        self.stages.leave()
        self.rail.show_here("Home")
        self.home.new.setFocus()

    def _title_of_method(self, key: str) -> str:
        method = self.session.pack.methods.get(key)
        return method.title if method is not None else ""

    def show_practice(self) -> None:
        """Rounds, lessons and figures to try; the open case stays as it is."""
        self._practice_place().show_first()

    def show_lesson(self, path: Sequence[str]) -> None:
        """The lessons behind a reason."""
        self._practice_place().open_lesson(path)

    def _practice_place(self) -> PracticePlace:
        if self.practice is None:
            from advisor.gui.practice.practice_place import PracticePlace

            self.practice = PracticePlace(self.session, self)
            self.places.addWidget(self.practice)
        self.commit()
        self.places.setCurrentWidget(self.practice)
        self.stages.leave()
        self.rail.show_here("Practice")
        return self.practice

    def ask_shop(self) -> None:
        """What is said once about the shop; kept for good."""
        from advisor.gui.home.shop_dialog import ask_shop

        tools = tools_asked_for(self.session.pack)
        try:
            changed = ask_shop(self.look, tools, self._to_prices, self)
        except BadInput as error:
            dialogs.show_faults(self, "The settings were not kept.", [str(error)])
            return
        if changed:
            self.session.system = System(self.look.settings.units)
            self.dress_anew()
        if self.home is not None:
            self.home.redraw()

    def work_as(self, name: str) -> None:
        """Somebody else of the shop works with this window from now on."""
        try:
            self.look.change(at_work=name)
        except BadInput as error:
            dialogs.show_faults(self, "Who is at work was not kept.", [str(error)])
        self.look.take_up(self.session)
        self.files.settings = self.look.settings

    def ask_shop_first(self) -> None:
        """The three choices of the first start; passed over, they are not asked again."""
        self.ask_shop()
        if not self.look.settings.asked:
            self.look.change(asked=True)

    def show_audit(self) -> None:
        """What the station will look at on its yearly visit, and what is missing of it."""

        def name_people() -> tuple[str, ...]:
            self.ask_shop()
            return self.look.settings.people

        self.papers.audit(name_people)

    def show_help(self) -> None:
        """The pages of help: this window, the words of the trade."""
        from advisor.gui.home.help_dialog import show_help

        show_help(self)
        self._show_place()

    @property
    def at_home(self) -> bool:
        """Whether another place than the case is shown."""
        return self.places.currentIndex() != 0

    def _show_place(self) -> None:
        """Press in the place that is shown, after a dialog of another one."""
        practised = self.practice is not None and self.places.currentWidget() is self.practice
        self.rail.show_here("Practice" if practised else "Home" if self.at_home else "Case")

    def _to_kept(self, *, due: bool = False) -> None:
        """All kept cases, or the jobs to be asked after; then the one chosen, or back."""
        self.files.find(due=due)
        self._show_place()

    def _to_prices(self) -> None:
        """The shop's prices, then back to where one was."""
        open_prices(self.navigator, self)
        self._show_place()

    def _dress(self) -> None:
        """Icons, once the first question stands: drawing them takes longer than that."""
        self.top.dress()
        self.rail.dress()

    def dress_anew(self) -> None:
        """Another theme, text size or size of what is drawn; the keyboard stays where it is."""
        stood_on = self.focusWidget()
        self.look.take_up(self.session)
        self.files.settings = self.look.settings
        self.switched_off.setText("\n".join(self._switched_off()))
        self.setStyleSheet(theme.style_sheet())
        self._dress()
        self.card.forget_looks()
        self.navigator.refresh()
        self._move()
        if self.home is not None:
            self.home.redraw()
        if self.practice is not None:
            self.practice.dress()
        if self.at_home:
            self.stages.leave()
            if stood_on is not None and isValid(stood_on):
                stood_on.setFocus()
        for widget in QApplication.allWidgets():  # findChildren would hold them for good
            if self.isAncestorOf(widget):
                widget.updateGeometry()
                widget.update()

    def _switched_off(self) -> list[str]:
        """Hazard questions that this shop does not ask: said over every screen."""
        people = self.look.settings.people
        return [
            one.sentence + ("" if not people or one.name in people else
                            f" {one.name} is not among the people of this shop.")
            for one in self.navigator.session.pack.own.switched_off
        ]  # fmt: skip

    def _connect(self) -> None:
        self.card.trying.connect(self.navigator.try_answer)
        self.card.previewed.connect(self._preview)
        self.navigator.changed.connect(self._redraw)
        # What moves in the case, Undo too, is seen there and not behind the home.
        self.navigator.moved.connect(self.show_case)
        self.navigator.moved.connect(self._move)
        self.navigator.lesson_wanted.connect(self.show_lesson)
        self.side.chosen.connect(self._show_rung)
        self.stages.picked.connect(self.go_tab)
        self.matters.picked.connect(self.navigator.go_ask)
        self.card.moving_on.connect(self.go_on)
        self.back.clicked.connect(self.go_back)
        self.next.clicked.connect(self.go_on)
        self.leave.clicked.connect(self._leave_open)
        self.undo.clicked.connect(self.navigator.undo)
        self.top.redo.clicked.connect(self.navigator.redo)
        self.top.photo.clicked.connect(lambda: self.navigator.go(PHOTOS))
        self.way.all.clicked.connect(self.show_list)
        self.files.writing.connect(self.commit)
        self.files.replaced.connect(self.card.forget_drafts)
        self.files.replaced.connect(self.show_case)
        self.files.filed.connect(self._remember)

    @property
    def picture(self) -> PictureSide:
        """Section and bars; made once the first question stands."""
        return self.side.picture

    def showEvent(self, event: QShowEvent) -> None:
        """The first question first; the picture follows at once."""
        super().showEvent(event)
        QTimer.singleShot(3 * AFTER_FIRST_PAINT, self, self._dress)
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

    def _show_rung(self, method: object) -> None:
        """On the verdict, the card of the method whose bar was pressed."""
        from advisor.advice.result import MethodAdvice
        from advisor.gui.verdict.verdict_page import VerdictPage

        page = self.pages.shown()
        if isinstance(page, VerdictPage) and isinstance(method, MethodAdvice):
            page.show_rung(method)

    def _preview(self, advice: object, said: str) -> None:
        """What the answer that is pointed at would change, in the picture."""
        if self.side.made and (advice is not None or self._previewing):
            self._previewing = advice is not None
            self.picture.preview(advice, said)

    def show_list(self) -> None:
        """Every question of the case."""
        if self.over is None and (self.stack.currentWidget() is not self.card
                                  or self.card.commit()):
            self.navigator.go(QUESTION_LIST)

    def leave_open(self) -> None:
        """The question on the card is not known: leave it open and go on."""
        if self.over is None and self.leave.isVisible():
            self._leave_open()

    def commit(self) -> None:
        """Take over what is being written, before a file is written or the window closes."""
        self.card.commit()
        self._leave_record()

    def _remember(self, path: object) -> None:
        """A case that was opened or saved stands among the recent ones."""
        if isinstance(path, Path):
            try:
                self.look.change(recent=self.look.settings.with_recent(path).recent)
            except BadInput as error:
                self.notice.setText(str(error))
                self.notice.show()

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
        # The rule graph is wide, and opens at the width there is by then.
        self.rail.setHidden(self.navigator.graph_open)
        self._settle_layout()
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
        self._fit_matters()
        self._sound_alarm()
        self.name_next()
        index = position(self.navigator.order, entry.key)
        self.back.setEnabled(index > 0 or self.navigator.been_elsewhere)
        self.next.setEnabled(index < len(self.navigator.order) - 1)
        self.leave.setVisible(page is None)
        self.way.all.setEnabled(entry.key != QUESTION_LIST)

    def _settle_layout(self) -> None:
        """Lay out now what would be laid out once the events are through."""
        central = self.centralWidget()
        layout = central.layout() if central is not None else None
        if layout is not None and self.navigator.graph_open:
            layout.activate()

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
        self.top.redo.setEnabled(self.session.can_redo)
        self.name_next()
        self._kept_line()
        name = self.session.case.title or self.session.case.name
        mark = "" if not self.session.dirty else " (not saved in a file yet)"
        self.setWindowTitle(f"{name}{mark} - Trim repair advisor")
        if self.at_home:
            self.stages.leave()

    def _sound_alarm(self) -> None:
        """A hazard that stops the job is said on every screen; some pages say it themselves."""
        page = self.pages.shown()
        self.alarm.say(stopping(self.session.advice) if self.session.begun else ())
        alarmed = bool(self.alarm.text()) and (page is None or not page.says_stop)
        self.alarm.setVisible(alarmed)
        self._show_open_hazards()
        self._want_picture(alarmed)
        if self.side.made:
            self.picture.want_section(self.navigator.entry.key != METHOD_PAGE)

    def _want_picture(self, alarmed: bool) -> None:
        """A long list of parts takes the whole width, the hazards where it is not large."""
        whole = self.card.wide if self.pages.shown() is None else (
            self.hazards is not None and self.width() < LARGE)  # fmt: skip
        self.split.want(not whole, alarmed)

    def _show_open_hazards(self) -> None:
        """Which hazards are open, on every page but that where they are answered."""
        session, entry = self.session, self.navigator.entry
        told = identity_left(self.navigator.asking) == [] and session.begun
        waiting = open_gates(self.navigator.order, session.case) if told else ()
        refused = session.begun and session.advice.verdict == "refer"
        here = entry.key in waiting or self.hazards is not None
        self.hazard_strip.setVisible(bool(waiting) and not refused and not here)
        titles = [session.pack.facts[key].title for key in waiting]
        count = "1 hazard" if len(titles) == 1 else f"{len(titles)} hazards"
        text = f"{count} open: no price, no steps, no signature before.\nAnswer: "
        self.hazard_strip.set_words(text + shortened(titles))
        self.hazard_strip.setToolTip("\n".join(titles))
        self.hazard_strip.setAccessibleName(f"{count} open: {', '.join(titles)}")

    def name_next(self) -> None:
        """*Next* says whether it leads to another row of the page or off it."""
        self.way.name_next(self.hazards is not None and self.hazards.ahead() is not None)

    def _kept_line(self) -> None:
        fault, when = self.session.autosave_fault, self.session.kept_at
        self.lost.setVisible(bool(fault))
        self.lost.setText(f"Answers are NOT kept on disk: {fault}")
        claim = when is not None and not fault
        kept = f"Every answer is kept at once, last {when:%H:%M}" if claim else ""
        self.top.show_name(self.session.called or "New case", kept)
        waits = self.session.keeping.waits if self.session.keeping is not None else ""
        told = (waits, file_notice(self.session.file), self.files.earlier_notice())
        said = "\n".join(each for each in told if each)
        self.notice.setText(said)
        self.notice.setVisible(bool(said))

    def heed_keeping(self) -> None:
        """Say at once that answers cannot be kept, or are kept again."""
        if self.session.follow_keeping():
            self._kept_line()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Picture beside the question, or below it where the window is narrow."""
        super().resizeEvent(event)
        grown = theme.grown_for(self.width(), self.height())
        if grown != self.look.grown:
            self.look.grown = grown
            QTimer.singleShot(0, self, self.dress_anew)
        self.split.fit(self.size())
        self._want_picture(self.alarm.isVisible())
        self._fit_matters()

    def _fit_matters(self) -> None:
        """A low window needs the height for the question; what else matters is in the list."""
        page = self.pages.shown()
        low = self.height() < LOW and (page is None or self.hazards is not None)
        self.matters.setHidden(low or (page is None and self.card.wide))

    # -- keys --------------------------------------------------------------------

    def focusNextPrevChild(self, onward: bool) -> bool:
        """Tab goes from the stages to the screen, to *Next*, and on to what stands under it.

        On a page the order follows the places from the top; on any other screen and on the
        page of hazards it stays as it is.
        """
        if self.at_home:
            return super().focusNextPrevChild(onward)
        way, page = self.way, self.pages.shown()
        buttons = (way.next, way.back, way.leave, way.all)
        under = (self.stack, *buttons, self.matters, self.side)
        shown = self.overlay.parts or under
        placed = page.inside if page is not None and self.hazards is None else None
        tools = (self.top.undo, self.top.redo, self.top.photo, self.top.menu_button)
        put_in_order(self, (self.stages, self.rough, *shown, *tools, self.rail), placed)
        return super().focusNextPrevChild(onward)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Keys that no widget has taken."""
        if self.at_home:
            super().keyPressEvent(event)
            return
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
        if self.home is not None and self.places.currentWidget() is self.home:
            self.home.new.setFocus()
        elif self.practice is not None and self.places.currentWidget() is self.practice:
            self.practice.take_focus()
        elif self.over is not None:
            self.over.setFocus()
        elif self.hazards is not None:
            self.hazards.take_focus(afresh=False)
        elif page is not None:
            page.area.setFocus()
        else:
            self.card.take_focus()
