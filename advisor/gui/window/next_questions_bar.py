"""What still matters: the most valuable questions, one touch away."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from advisor.facts.quantity import System
from advisor.gui.navigator import Navigator
from advisor.session.asking_order import ABOUT, can_look, progress_text
from advisor.session.screens import (
    HAZARD_PAGE,
    METHOD_PAGE,
    PAGES,
    gates,
    next_open,
    offered,
    settled_text,
)
from advisor.wording.sentences import lowered, sentence

if TYPE_CHECKING:
    from advisor.advice.result import Question

FIRST = "First choose the part and the damage."
STILL = "Questions that still matter, the most valuable first"
AFTER = "Questions that matter after this, the most valuable first"


@dataclass(frozen=True)
class Offer:
    """One button: what it is called, the fact it leads to, and what that settles."""

    text: str
    fact: str
    why: str


def offers(questions: Sequence[Question], system: System, more: str = "") -> tuple[Offer, ...]:
    """The questions as buttons; several hazards are one, for they stand on one page.

    ``more`` is said where the screen asks an open hazard besides.
    """
    hazards = [question for question in questions if question.gate]
    one = len(hazards) == 1
    found = [
        Offer(f"Hazard: {q.title}" if q.gate else q.title, q.fact, q.why_in(system))
        for q in questions if one or not q.gate
    ]
    if len(hazards) > 1:
        titles = ", ".join(question.title for question in hazards)
        found.insert(0, Offer(f"Hazards: {len(hazards)} {more}open", HAZARD_PAGE, titles))
    return tuple(found)


class NextQuestionsBar(QWidget):
    """The most valuable question first, with what its answer settles; others beside it.

    Up to three stand as buttons, the rest in a menu; ``picked`` carries the fact, or the page
    of all hazards. What the screen above asks already is not offered again.
    """

    picked = Signal(str)

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self.heading = QLabel(self)
        self.heading.setObjectName("section")
        self.heading.setWordWrap(True)
        self.why = QLabel(self)
        self.why.setObjectName("small")
        self.why.setWordWrap(True)
        self.buttons = [QPushButton(self) for _ in range(3)]
        self.more = QPushButton(self)
        self.menu = QMenu(self)
        self.more.setMenu(self.menu)
        row = QHBoxLayout()
        row.setSpacing(8)
        for button in self.buttons:
            button.clicked.connect(self._clicked)
            row.addWidget(button)
        row.addWidget(self.more)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(2, 4, 2, 4)
        layout.setSpacing(4)
        layout.addWidget(self.heading)
        layout.addWidget(self.why)
        layout.addLayout(row)
        self._questions: tuple[Question, ...] = ()
        self._offered: tuple[Offer, ...] = ()
        navigator.changed.connect(self.redraw)
        navigator.moved.connect(self.redraw)
        self.redraw()

    def redraw(self) -> None:
        """Show what the advice asks for now."""
        if not self._navigator.session.begun:
            self._questions = self._offered = ()
            self._head(FIRST)
            self.why.hide()
            self._fill()
            return
        known = {entry.key for entry in self._navigator.order}
        advice, left = self._navigator.session.advice, self._navigator.session.left_open
        tools, facts = self._navigator.session.tools, self._navigator.session.pack.facts
        self._questions = tuple(
            question for question in offered(advice, known, left)
            if can_look(facts.get(question.fact), tools)
        )  # fmt: skip
        above, system = self._asked_above(), self._navigator.session.system
        after = tuple(q for q in self._questions if q.fact not in above)
        asked = any(question.gate and question.fact in above for question in self._questions)
        self._offered = offers(after, system, "more " if asked else "")
        ahead = self._navigator.to_ask()
        if after == self._questions:
            # Open hazards come first, and nothing is decided while the quote hangs on a question.
            said = settled_text(advice, left), progress_text(ahead)
            before, behind = said if any(q.gate for q in after) else said[::-1]
            self._head(before or behind or STILL)
        else:
            self._head(progress_text(ahead) or (AFTER if after else ""))
        # What comes after the question above is not explained before it is its turn, and of
        # several hazards each is explained on their page.
        first = first_of(after, left) if after == self._questions else None
        if first is None or (first.gate and sum(question.gate for question in after) > 1):
            self.why.setText("")
        else:
            self.why.setText(f"{first.title}: {lowered(sentence(first.why_in(system)))}")
        self.why.setVisible(bool(self.why.text()))
        self._fill()

    def _head(self, text: str) -> None:
        self.heading.setText(text)
        # The card says itself how much is left.
        card = self._navigator.screen not in PAGES
        self.heading.setVisible(bool(text) and not (card and text.startswith(ABOUT)))

    def _asked_above(self) -> tuple[str, ...]:
        """The facts that the screen asks: the question on the card, or those of the page."""
        session, screen = self._navigator.session, self._navigator.screen
        if screen == HAZARD_PAGE:
            return gates(self._navigator.order)
        if screen != METHOD_PAGE:
            return (screen,)
        asked, known = gates(self._navigator.order), {entry.key for entry in self._navigator.order}
        first = next_open(session.advice, session.left_open, known) or ""
        return asked if first in asked else (first,)

    def first(self) -> Question | None:
        """The question to ask before any other; None where nothing is worth asking."""
        return first_of(self._questions, self._navigator.session.left_open)

    def go_first(self) -> None:
        """To the most valuable question."""
        first = self.first()
        if first is not None:
            self.picked.emit(first.fact)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As many buttons as fit."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fill()
            # The layout above is in the middle of its work and would not look again.
            QTimer.singleShot(0, self, self.updateGeometry)

    def _fill(self) -> None:
        room = self.width() - 16
        shown = 0
        for index, button in enumerate(self.buttons):
            offer = self._offered[index] if index < len(self._offered) else None
            if offer is not None:
                button.setText(offer.text)
                button.setToolTip(offer.why)
                button.setAccessibleDescription(offer.why)
                button.setProperty("fact", offer.fact)
                button.ensurePolished()
                need = button.sizeHint().width() + 8
                left = len(self._offered) - index - 1
                spare = 110 if left else 0
                fits = index == 0 or (shown == index and need <= room - spare)
                button.setVisible(fits)
                room -= need
                shown += fits
            else:
                button.hide()
        rest = self._offered[shown:]
        self.more.setVisible(bool(rest))
        self.more.setText(f"{len(rest)} more")
        self.menu.clear()
        for offer in rest:
            action = self.menu.addAction(offer.text)
            action.setData(offer.fact)
            action.setToolTip(offer.why)
            action.triggered.connect(self._chosen)

    def _clicked(self) -> None:
        button = self.sender()
        if isinstance(button, QPushButton):
            self.picked.emit(str(button.property("fact")))

    def _chosen(self) -> None:
        action = self.sender()
        data = getattr(action, "data", None)
        if data is not None:
            self.picked.emit(str(data()))


def first_of(questions: Sequence[Question], left: Collection[str]) -> Question | None:
    """The first that was not left open as not known; a hazard is asked all the same."""
    return next((q for q in questions if q.gate or q.fact not in left), None)
