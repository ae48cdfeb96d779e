"""All hazard questions of the case on one page, each answered with one touch or key."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from advisor.advice.result import GateAdvice, GateState, Verdict
from advisor.facts.declaration import Kind
from advisor.gui.hazards.hazard_badge import standing_of
from advisor.gui.hazards.hazard_row import HazardRow
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.answers.answer_base import NO_TEXT
from advisor.gui.widgets.page import Page
from advisor.gui.widgets.refilled_column import read_in_order
from advisor.gui.widgets.row_scroll import RowScroll
from advisor.session.hazard_screens import next_gate
from advisor.session.screens import gates

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
UP_DOWN: dict[int, int] = {Qt.Key.Key_Up: -1, Qt.Key.Key_Down: 1}
SIDEWAYS: dict[int, int] = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
YES_NO: dict[int, int] = {Qt.Key.Key_Y: 0, Qt.Key.Key_N: 1}


class HazardPage(Page):
    """Rows in the order the questions are asked; they are kept and filled again.

    Nothing moves under a finger: after an answer by touch nothing scrolls but what it brings
    up. After one by key the next open row comes into view. ``turned`` follows whenever the
    keys are for another row, ``moving_on`` a key that asks for what is next.
    """

    moving_on = Signal()
    turned = Signal()

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(navigator, parent)
        self.inside.installEventFilter(self)
        self.stop, self.count = QLabel(self), QLabel(self)
        for label, look in ((self.stop, "refer"), (self.count, "section")):
            label.setObjectName(look)
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.count.setContentsMargins(14, 6, 12, 6)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        layout = self.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.insertWidget(0, self.stop)
        layout.insertWidget(1, self.count)
        self.column.setContentsMargins(4, 0, 8, 4)
        self.column.setSpacing(0)
        self.column.addStretch(1)
        self._scroll = RowScroll(self.area)
        self._made: dict[str, HazardRow] = {}
        self.rows: list[HazardRow] = []
        self.current: HazardRow | None = None

    # -- what is shown -------------------------------------------------------------

    def redraw(self) -> None:
        """Fill the rows anew; the one the keys are for stays where it is."""
        anchor = self.current
        place = self._scroll.place(anchor)
        self._settle_rows()
        session = self.navigator.session
        case = session.case
        found: dict[str, list[GateAdvice]] = {}
        for gate in self.advice.gates if session.begun else ():
            found.setdefault(gate.fact, []).append(gate)
        for row in self.rows:
            value = case.facts.get(row.fact.name)
            standing = standing_of(found.get(row.fact.name, ()), value, session.system)
            row.show_fact(value, standing, session.system)
        self._say(gate for several in found.values() for gate in several)
        self._scroll.settle()
        self._scroll.hold(anchor, place)

    def _settle_rows(self) -> None:
        """Rows for the questions that are asked now, in their order."""
        facts = [entry.fact for entry in self.navigator.order if entry.fact and entry.fact.gate]
        wanted = [self._row(fact.name) for fact in facts]
        if wanted == self.rows:
            return
        for row in self.rows:
            self.column.removeWidget(row)
            row.setVisible(row in wanted)
        self.rows = wanted
        for index, row in enumerate(wanted):
            self.column.insertWidget(index, row)
            row.show()
        read_in_order(wanted)
        stops = [stop for row in wanted for stop in row.stops]
        for one, other in pairwise(stops):
            QWidget.setTabOrder(one, other)
        if self.current not in wanted:
            self._mark(None)

    def _row(self, name: str) -> HazardRow:
        row = self._made.get(name)
        if row is None:
            fact = self.navigator.session.pack.facts[name]
            row = self._made[name] = HazardRow(fact, self.inside)
            row.given.connect(self._given)
            row.entered.connect(self._entered)
            row.opening.connect(self._open_whole)
            row.more.toggled.connect(self._help_toggled)
        return row

    def _say(self, found: Iterable[GateAdvice]) -> None:
        """The stop, or how many are still open."""
        stops = [gate.title for gate in found if gate.state is GateState.CLOSED]
        rest = f" And {len(stops) - 1} more below." if len(stops) > 1 else ""
        self.stop.setText(f"Stop: refer this job. {stops[0]}.{rest}" if stops else "")
        self.stop.setVisible(bool(stops))
        still = sum(row.standing.state is GateState.OPEN for row in self.rows)
        asked = len(self.rows)
        self.count.setText(
            f"{still} of {asked} hazard questions still open. None counts as no before it is "
            "answered." if still else f"All {asked} hazard questions are answered."
        )
        self.count.setVisible(not stops)

    # -- which row -----------------------------------------------------------------

    def take_focus(self, afresh: bool) -> None:
        """The keyboard to the row the navigator names, else the current or first open one.

        ``afresh`` where another screen was shown before: no row is open for its help then.
        """
        if afresh:
            self.forget()
        named = next((row for row in self.rows if row.fact.name == self.navigator.row), None)
        self.navigator.row = ""
        self._focus(named or self.current or self._first_open() or next(iter(self.rows), None))
        # The rows know their places once the page is formatted.
        QTimer.singleShot(0, self, self._reveal_current)

    def forget(self) -> None:
        """Begin anew: no row has the keys or is open for its help."""
        self._mark(None)
        for row in self._made.values():
            row.more.setChecked(False)

    def _reveal_current(self) -> None:
        if self.current is not None:
            self._scroll.reveal(self.current)

    def _first_open(self) -> HazardRow | None:
        return self._called(next_gate(self.navigator.order, self.navigator.session.case))

    def _called(self, name: str) -> HazardRow | None:
        return next((row for row in self.rows if row.fact.name == name), None)

    def _mark(self, row: HazardRow | None) -> None:
        if self.current is not row:
            if self.current is not None:
                self.current.set_current(False)
            self.current = row
        if row is not None:
            row.set_current(True)
        self.turned.emit()

    def _focus(self, row: HazardRow | None, reveal: bool = True) -> None:
        self._mark(row)
        if row is not None:
            row.setFocus()
            if reveal:
                self._scroll.reveal(row)

    # -- answers -------------------------------------------------------------------

    def _given(self, value: object, by_key: bool) -> None:
        row = self.sender()
        if not isinstance(row, HazardRow):
            return
        self._mark(row)
        self.navigator.answer(row.fact.name, value)  # type: ignore[arg-type]
        if row not in self.rows:
            # Its own answer has taken the row away, and the keyboard must not go with it.
            self._focus(self._first_open() or next(iter(self.rows), None), reveal=by_key)
            return
        self._scroll.reveal(row)
        case = self.navigator.session.case
        ahead = self._called(next_gate(self.navigator.order, case, row.fact.name))
        if ahead is None or row.standing.state is GateState.CLOSED:
            # What stops the job is read first; nothing is left to go to.
            self._focus(row)
            return
        self._focus(ahead, reveal=by_key)

    def ahead(self) -> HazardRow | None:
        """The open row that is next; None where the page may be left.

        From a row that is passed over only rows below are gone to: nobody is kept here. At a
        stop nothing more is asked.
        """
        if self.navigator.session.begun and self.advice.verdict is Verdict.REFER:
            return None
        case, asked = self.navigator.session.case, gates(self.navigator.order)
        here = self.current.fact.name if self.current is not None else ""
        found = next_gate(self.navigator.order, case, here)
        passed = here in asked and here not in case.facts
        if passed and found and asked.index(found) <= asked.index(here):
            return None
        return self._called(found)

    def go_on(self) -> bool:
        """To the next open row; False where there is none, so that the page may be left."""
        row = self.ahead()
        self._focus(row or self.current)
        return row is not None

    def try_other(self) -> None:
        """Try another answer to the question of the current row."""
        session = self.navigator.session
        if self.current is not None and session.begun and session.advice.methods:
            self.navigator.try_answer(self.current.fact.name)

    def _entered(self) -> None:
        row = self.sender()
        if isinstance(row, HazardRow):
            self._mark(row)

    def _open_whole(self) -> None:
        row = self.sender()
        if isinstance(row, HazardRow):
            self.navigator.go(row.fact.name)

    def _help_toggled(self, opened: bool) -> None:
        button = self.sender()
        row = button.parent() if button is not None else None
        self._scroll.settle()
        if opened and isinstance(row, HazardRow):
            self._scroll.reveal(row)

    # -- keys ----------------------------------------------------------------------

    def take_key(self, event: QKeyEvent) -> bool:
        """Up and Down go to another row, digits, Y and N answer, H tells how to see it."""
        row, key = self.current, event.key()
        if row is None or event.modifiers() & NO_TEXT:
            return False
        if key in UP_DOWN:
            self._step(UP_DOWN[key])
        elif key in SIDEWAYS:
            row.go_sideways(SIDEWAYS[key])
        elif key == Qt.Key.Key_H:
            row.more.toggle()
        elif row.fact.kind is Kind.YES_NO and key in YES_NO:
            return self._press(row, YES_NO[key], event)
        elif event.text().isdecimal() and event.text() != "0":
            return self._press(row, int(event.text()) - 1, event)
        else:
            return False
        return True

    def _step(self, by: int) -> None:
        index = self.rows.index(self.current) if self.current in self.rows else -by
        self._focus(self.rows[min(max(index + by, 0), len(self.rows) - 1)])

    def _press(self, row: HazardRow, index: int, event: QKeyEvent) -> bool:
        """Answer by key; a key held down, or a row nobody can see, answers nothing."""
        if event.isAutoRepeat():
            return True
        if not self._scroll.shows(row, row.asked_down_to):
            self._scroll.reveal(row)
            return True
        return row.options.press(index)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keys that come up from a row, before the scrolled area takes the arrows."""
        if watched is not self.inside or event.type() != QEvent.Type.KeyPress:
            return super().eventFilter(watched, event)
        assert isinstance(event, QKeyEvent)
        if event.key() in ENTER and not isinstance(self.focusWidget(), QPushButton):
            self.moving_on.emit()
        elif not self.take_key(event):
            return False
        event.accept()
        return True
