"""The one place that tells every panel to show the case anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from advisor.facts.case import EarlierRepair, Value
from advisor.facts.quantity import System
from advisor.session.case_session import Session
from advisor.session.hazard_screens import neighbour, next_gate, screen_for
from advisor.session.screens import (
    HAZARD_PAGE,
    METHOD_PAGE,
    Entry,
    Tab,
    entries,
    first_of,
    gates,
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

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.order: tuple[Entry, ...] = entries(session.pack, session.case)
        self.screen = self.order[0].key
        self.row = ""
        """The hazard question that the page of all of them is to turn to, if any."""
        self.trial: Trial | None = None
        self.graph_open = False

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
        screen = self.session.undo()
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
        """Show a screen; the page of all hazard questions turns to ``row``."""
        self.screen, self.row = screen, row
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

    def step(self, by: int) -> None:
        """One screen on (1) or back (-1)."""
        session, here = self.session, self.entry.key
        found = neighbour(self.order, session.case, session.left_open, here, by)
        on_card = here in gates(self.order)
        ahead = next_gate(self.order, session.case, here) if on_card else ""
        self.go(found, (ahead if by > 0 else here) if on_card else "")

    def restart(self) -> None:
        """Another case is in the window: begin where it has something left to ask."""
        self.refresh()
        session = self.session
        open_facts = [e for e in self.order if e.fact and e.key not in session.case.facts]
        answered = bool(session.case.facts)
        first = open_facts[0].key if open_facts else METHOD_PAGE
        self.go_ask(METHOD_PAGE if answered and len(open_facts) < len(self.order) // 3 else first)
