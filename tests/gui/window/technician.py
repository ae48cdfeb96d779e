"""A technician who knows the facts of a case and answers by click and key, counting each."""

from __future__ import annotations

from dataclasses import dataclass, field

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget

from advisor.facts.case import Case, Span
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer
from advisor.gui.widgets.answers.typed_answers import LineAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import METHOD_PAGE

LEFT = Qt.MouseButton.LeftButton
#: More screens than any case leads through.
MOST = 60


@dataclass
class Technician:
    """Goes from an empty case to the verdict, answering what is asked from ``told``."""

    window: MainWindow
    qtbot: object
    told: Case
    actions: int = 0
    hazards: int = 0
    asked: list[str] = field(default_factory=list)

    def work(self) -> None:
        """Until the verdict is shown."""
        for _ in range(MOST):
            if self.window.navigator.screen == METHOD_PAGE:
                return
            if self.window.hazards is not None:
                self.answer_hazards()
            else:
                self.answer_card()
            settle()
        raise AssertionError(f"no verdict after {self.asked}")

    def answer_hazards(self) -> None:
        """One touch for each row, from the top, until a stop; then on."""
        page = self.window.hazards
        assert page is not None
        for _ in range(MOST):
            case = self.window.session.case
            row = next((r for r in page.rows if r.fact.name not in case.facts), None)
            if row is None or self.window.session.advice.verdict == "refer":
                break
            value = self.told.facts.get(row.fact.name)
            assert value is not None, f"{row.fact.name} is not told"
            key = value if isinstance(value, bool) else value[0]
            wanted = {True: "yes", False: "no"}.get(key, key)
            button = next(b for b in row.options.buttons if b.key == wanted)
            page.area.ensureWidgetVisible(button)
            settle()
            self.click(button, hazard=True)
        self.click(self.window.next)

    def answer_card(self) -> None:
        """One question: a click on a choice, or a number typed and Enter."""
        entry, answer = self.window.navigator.entry, self.window.card.answer
        self.asked.append(entry.key)
        value = self.told.facts.get(entry.key)
        gate = entry.fact is not None and entry.fact.gate
        if value is None:
            self.click(self.window.leave)
        elif isinstance(answer, LineAnswer):
            text = value.written if isinstance(value, Span) else str(value)
            self.qtbot.keyClicks(answer.line, text)  # type: ignore[attr-defined]
            self.actions += 1
            self.key(Qt.Key.Key_Return)
        else:
            assert isinstance(answer, ChoiceAnswer | YesNoAnswer), entry.key
            key = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value[0]
            button = next(b for b in answer.buttons if b.key == key)
            self.window.card.area.ensureWidgetVisible(button)
            settle()
            self.click(button, hazard=gate)

    def click(self, target: QWidget, hazard: bool = False) -> None:
        """A click on what can be seen."""
        assert target.isVisible()
        self.qtbot.mouseClick(target, LEFT)  # type: ignore[attr-defined]
        self._count(hazard)
        settle()

    def key(self, key: Qt.Key) -> None:
        """A key where the keyboard is."""
        self.qtbot.keyClick(self.window.focusWidget() or self.window, key)  # type: ignore[attr-defined]
        self._count(False)

    def _count(self, hazard: bool) -> None:
        if hazard:
            self.hazards += 1
        else:
            self.actions += 1


def settle() -> None:
    """Everything in its place."""
    for _ in range(4):
        QApplication.processEvents()
