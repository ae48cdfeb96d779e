"""The one place that tells every panel to look again."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from advisor.facts.case import EarlierRepair, Value
from advisor.facts.quantity import System
from advisor.gui.interview import METHOD_PAGE, Entry, Tab, entries, first_of, position
from advisor.gui.session import Session


class Hub(QObject):
    """Carries changes from the panels to the session and back.

    ``changed`` follows every answer, undo, unit switch and opened case; ``moved``
    follows a change of screen.
    """

    changed = Signal()
    moved = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.session = session
        self.order: tuple[Entry, ...] = entries(session.pack, session.case)
        self.screen = self.order[0].key

    @property
    def entry(self) -> Entry:
        """The screen that is shown."""
        return self.order[position(self.order, self.screen)]

    # -- answers ---------------------------------------------------------------

    def answer(self, name: str, value: Value) -> None:
        """Give an answer; everything is worked out and drawn again."""
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
        """Take the last change back and go to the screen it was made on."""
        screen = self.session.undo()
        if screen is not None:
            self.refresh()
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

    # -- moving ----------------------------------------------------------------

    def go(self, screen: str) -> None:
        """Show a screen."""
        self.screen = screen
        self.moved.emit()

    def go_tab(self, tab: Tab) -> None:
        """Show a stage where it has something left to ask."""
        session = self.session
        self.go(first_of(self.order, tab, session.case, session.left_open))

    def step(self, by: int) -> None:
        """One screen on (1) or back (-1)."""
        index = position(self.order, self.screen) + by
        self.go(self.order[min(max(index, 0), len(self.order) - 1)].key)

    def restart(self) -> None:
        """Another case is in the window: begin where it has something left to ask."""
        self.refresh()
        session = self.session
        open_facts = [e for e in self.order if e.fact and e.key not in session.case.facts]
        answered = bool(session.case.facts)
        first = open_facts[0].key if open_facts else METHOD_PAGE
        self.go(METHOD_PAGE if answered and len(open_facts) < len(self.order) // 3 else first)
