"""Every question of the case in one list, with what was answered; one click leads to it."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from advisor.facts.declaration import FactDecl
from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.fitted_words import WrappedButton
from advisor.gui.widgets.line_blocks import LineBlocks
from advisor.gui.widgets.page import Page
from advisor.gui.widgets.refilled_column import RefilledColumn
from advisor.session.answer_text import answer_text, assumed_text
from advisor.session.asking_order import can_look
from advisor.session.screens import EARLIER_REPAIRS, PAGES, PHOTOS, TAB_TITLES, Entry, Tab
from advisor.wording.sentences import capital

if TYPE_CHECKING:
    from collections.abc import Callable

FIRST_ALL = "Every question of this case. Touch one to answer it or to change its answer."


@dataclass(frozen=True)
class QuestionRow:
    """A question with its answer; pressing it leads there."""

    key: str
    title: str
    said: str
    action: Callable[[], object] = field(compare=False)

    @property
    def kind(self) -> Hashable:
        """A row that has the keyboard stays the row of its question."""
        return "question", self.key

    @property
    def name(self) -> Hashable:
        """The question."""
        return self.key

    def make(self, parent: QWidget) -> QWidget:
        """A button as wide as the page."""
        button = WrappedButton(parent)
        button.setObjectName("row")
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda: self.action())
        self.refill(button)
        return button

    def refill(self, widget: QWidget) -> None:
        """Other words."""
        assert isinstance(widget, WrappedButton)
        widget.set_words(f"{self.title}: {self.said}")


class QuestionList(Page):
    """All questions by stage, in the order of the rules."""

    says_stop = False

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(navigator, parent)
        self._rows = RefilledColumn(self.column, self.inside, self.area)

    def redraw(self) -> None:
        """Fill the rows anew."""
        blocks = LineBlocks()
        blocks.say("All questions", "headline")
        blocks.say(FIRST_ALL, "quiet")
        for tab in (Tab.PART, Tab.DAMAGE, Tab.HAZARDS, Tab.DETAILS):
            shown = [e for e in self.navigator.order if e.tab is tab and e.key not in PAGES]
            if shown:
                blocks.head(TAB_TITLES[tab])
            for entry in shown:
                action = partial(self.navigator.go, entry.key)
                blocks.append(QuestionRow(entry.key, entry.title, self._said(entry), action))
        self._rows.fill(blocks)

    def _said(self, entry: Entry) -> str:
        """The answer, or what stands for it meanwhile."""
        session = self.navigator.session
        if entry.key == EARLIER_REPAIRS:
            repairs = session.case.earlier_repairs
            return "not asked" if repairs is None else f"{len(repairs)} told"
        if entry.key == PHOTOS:
            return f"{len(session.case.photos)} kept" if session.case.photos else "no photo yet"
        fact = entry.fact
        assert fact is not None
        value = session.case.facts.get(fact.name)
        if value is not None:
            return capital(answer_text(fact, value, session.system))
        return self._open(fact)

    def _open(self, fact: FactDecl) -> str:
        session = self.navigator.session
        words = ["left open" if fact.name in session.left_open else "open"]
        if not fact.gate and session.begun:
            state = next((s for s in session.advice.facts if s.fact == fact.name), None)
            assumed = assumed_text(state, session.system) if state is not None else ""
            if assumed:
                words.append(f"assumed {assumed}")
        if not can_look(fact, session.tools):
            words.append(f"takes a {fact.tool.lower()}")
        return "; ".join(words)
