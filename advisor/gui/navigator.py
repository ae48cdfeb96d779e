"""The one place that tells every panel to show the case anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from advisor.facts.case import EarlierRepair, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System
from advisor.session.asking_order import Asking, identity_left, likely_asked, next_screen
from advisor.session.case_session import Session
from advisor.session.hazard_screens import neighbour, next_gate, screen_for
from advisor.session.screens import (
    HAZARD_PAGE,
    JOB_SHEET,
    METHOD_PAGE,
    RECORD_PAGE,
    Entry,
    Tab,
    answered,
    entries,
    first_of,
    gates,
    open_gates,
    position,
)

if TYPE_CHECKING:
    from advisor.session.what_if import Trial


class Navigator(QObject):
    """Carries changes from the panels to the session and back.

    ``changed`` follows every answer, undo, unit switch and opened case; ``moved``
    follows a change of screen, ``tried`` another answer in a trial. A trial or the rule
    graph lies over the screen; going anywhere takes it off.
    """

    changed = Signal()
    moved = Signal()
    tried = Signal()
    lesson_wanted = Signal(object)
    """The lessons behind a reason: carries its load path, from fact to method."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.order: tuple[Entry, ...] = entries(session.pack, session.case)
        self.screen = self.order[0].key
        self.row = ""
        """The hazard question that the page of all of them is to turn to, if any."""
        self.trial: Trial | None = None
        self.graph_open = False
        self.hazards_passed = False
        """Whether the open hazards were left with *Next*: it does not lead there again."""
        self._trail: list[str] = []
        """Screens that *Next* was pressed on, for the way back."""

    @property
    def entry(self) -> Entry:
        """The screen that is shown."""
        return self.order[position(self.order, self.screen)]

    # -- answers ---------------------------------------------------------------

    def answer(self, name: str, value: Value) -> None:
        """Give an answer; everything is calculated and drawn again."""
        self.session.answer(name, value)
        self.refresh()

    def leave_open(self, name: str) -> None:
        """Leave a question open."""
        self.session.leave_open(name)
        self.refresh()

    def set_repairs(self, repairs: tuple[EarlierRepair, ...] | None) -> None:
        """What was tried before."""
        self.session.set_earlier_repairs(repairs)
        self.refresh()

    def set_photos(self, photos: tuple[str, ...]) -> None:
        """Photos of the case."""
        self.session.set_photos(photos)
        self.refresh()

    def undo(self) -> None:
        """Take the last change back and go to the screen it was made on.

        While another answer is only tried, that is what is taken back.
        """
        if self.trial is not None:
            self.drop_trial()
            return
        self._show_change(self.session.undo())

    def redo(self) -> None:
        """Give the answer again that was taken back last, and go to its screen."""
        if self.trial is None:
            self._show_change(self.session.redo())

    def _show_change(self, screen: str | None) -> None:
        if screen is None:
            return
        self.refresh()
        asked = gates(self.order)
        if screen in asked and len(asked) > 1 and screen != self.screen:
            self.go(HAZARD_PAGE, screen)
        elif self.screen != HAZARD_PAGE or any(e.key == screen for e in self.order):
            self.go(screen)

    def switch_units(self) -> None:
        """Metric to US customary or back; answers stay as they are."""
        metric = self.session.system is System.METRIC
        self.session.system = System.IMPERIAL if metric else System.METRIC
        self.refresh()

    def refresh(self) -> None:
        """The case changed: order the screens anew and draw."""
        self.order = entries(self.session.pack, self.session.case)
        self.changed.emit()
        if self.screen == HAZARD_PAGE and not gates(self.order):
            self.go_tab(Tab.HAZARDS)

    # -- trying another answer ---------------------------------------------------

    def try_answer(self, name: str, value: Value | None = None) -> None:
        """Open a trial of ``name``, with ``value`` picked where one is given."""
        from advisor.session.what_if import begin

        fact = self.session.pack.facts[name]
        self.trial = begin(self.session, fact, value)
        self.graph_open = False
        self.moved.emit()

    def set_trial(self, value: Value | None) -> None:
        """Pick the answer that is tried; None tries leaving the question open."""
        from advisor.session.what_if import tried

        if self.trial is not None:
            self.trial = tried(self.session, self.trial, value)
            self.tried.emit()

    def keep_trial(self) -> None:
        """The tried answer becomes the answer, in one step that undo takes back."""
        trial, self.trial = self.trial, None
        if trial is not None and trial.after is not None:
            if trial.value is None:
                self.session.leave_open(trial.fact.name)
            else:
                self.session.answer(trial.fact.name, trial.value)
            self.refresh()
        self.moved.emit()

    def drop_trial(self) -> None:
        """Keep the old answer answer, which never went away."""
        self.trial = None
        self.moved.emit()

    # -- the rule graph ----------------------------------------------------------

    def show_graph(self) -> None:
        """Lay the rule graph over the screen."""
        self.trial = None
        self.graph_open = True
        self.moved.emit()

    def hide_graph(self) -> None:
        """Back to the screen under it."""
        self.graph_open = False
        self.moved.emit()

    # -- moving ----------------------------------------------------------------

    def go(self, screen: str, row: str = "") -> None:
        """Show a screen; the page of all hazard questions turns to ``row``.

        Leaving a stage closes what was answered so far into a revision.
        """
        before = self.entry.tab
        self.screen, self.row = screen, row
        if self.entry.tab is not before:
            self.session.close_revision("stage")
        self.trial = None
        self.graph_open = False
        self.moved.emit()

    def go_ask(self, fact: str) -> None:
        """Ask a question where it is asked: a hazard on the page while others are open too."""
        screen = screen_for(self.order, self.session.case, fact)
        self.go(screen, fact if screen != fact else "")

    def go_tab(self, tab: Tab) -> None:
        """Show a stage where it has something left to ask."""
        session = self.session
        self.go(first_of(self.order, tab, session.case, session.left_open))

    @property
    def asking(self) -> Asking:
        """What the order of the questions depends on, as it stands."""
        session = self.session
        return Asking(session.pack, self.order, session.case, session.left_open, session.tools)

    def to_ask(self) -> list[FactDecl]:
        """The questions that *Next* is likely to lead to, hazards apart, the next in front."""
        first = [entry.fact for entry in identity_left(self.asking) if entry.fact is not None]
        if not self.session.begun:
            return first
        return likely_asked(self.asking, self.session.advice)

    def step(self, by: int) -> None:
        """To the question worth most now (1), or back to the screen before (-1)."""
        here = self.entry.key
        on_card = here in gates(self.order)
        if by < 0:
            found = self._back_from(here)
            self.go(found, here if on_card else "")
            return
        self._trail.append(here)
        found = self._ahead_of(self.entry)
        self.go(found, next_gate(self.order, self.session.case, here) if on_card else "")

    def _ahead_of(self, entry: Entry) -> str:
        """Where *Next* leads; a question passed over stays open and is not asked again."""
        session, here = self.session, entry.key
        if here in (METHOD_PAGE, JOB_SHEET, RECORD_PAGE):
            return neighbour(self.order, session.case, session.left_open, here, 1)
        if here == HAZARD_PAGE:
            self.hazards_passed = True
        elif entry.fact is not None and not answered(entry, session.case):
            if entry.fact.gate:
                self.hazards_passed = not [
                    gate for gate in open_gates(self.order, session.case) if gate != here
                ]
            else:
                session.left_open.add(here)
        first = identity_left(self.asking)
        if first and not session.begun:
            return first[0].key
        return next_screen(self.asking, session.advice, self.hazards_passed)

    @property
    def been_elsewhere(self) -> bool:
        """Whether there is a screen to go back to on the way here."""
        return any(key != self.entry.key for key in self._trail)

    def _back_from(self, here: str) -> str:
        """The screen before on the way here, else the one before in the list."""
        keys = {entry.key for entry in self.order}
        while self._trail:
            found = self._trail.pop()
            if found != here and found in keys:
                return found
        session = self.session
        return neighbour(self.order, session.case, session.left_open, here, -1)

    def restart(self) -> None:
        """Another case is in the window: begin where it has something left to ask."""
        self.hazards_passed = False
        self._trail.clear()
        self.refresh()
        ahead = self.to_ask()
        if self.session.begun:
            self.go_ask(next_screen(self.asking, self.session.advice))
        else:
            self.go_ask(ahead[0].name if ahead else METHOD_PAGE)
