"""Answer widgets, made from the declaration of a fact."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLineEdit, QVBoxLayout, QWidget

from advisor.facts.case import Case, Value
from advisor.facts.declare import FactDecl, Kind
from advisor.facts.quantity import System
from advisor.gui.answer import Answer
from advisor.gui.option_button import OptionButton

TWO_COLUMNS = 430
"""Width in px from which many options stand in two columns."""
FILTER_FROM = 13
"""Number of options from which a word to look for is offered."""


class ChoiceAnswer(Answer):
    """Large buttons; one is picked, or several where it is not known for certain."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        self.buttons = [
            OptionButton(o.key, o.title, o.sentence, str(i) if i < 10 else "", self)
            for i, o in enumerate(fact.options, start=1)
        ]
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        self.search = QLineEdit(self)
        self.search.setPlaceholderText("Type a word to shorten the list")
        self.search.setAccessibleName("Shorten the list")
        self.search.setVisible(len(self.buttons) >= FILTER_FROM)
        self.search.textChanged.connect(self._lay_out)
        layout.addWidget(self.search)
        self.grid = QGridLayout()
        self.grid.setSpacing(8)
        layout.addLayout(self.grid)
        self.several = QCheckBox("Not certain: several are possible", self)
        self.several.setVisible(len(self.buttons) > 2)
        self.several.toggled.connect(self._several_toggled)
        layout.addWidget(self.several)
        for button in self.buttons:
            button.clicked.connect(self._clicked)
        self._columns = 0
        self._lay_out()

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Tick the answer or answers."""
        chosen = value if isinstance(value, tuple) else ()
        if len(chosen) > 1 and not self.several.isChecked():
            self.several.blockSignals(True)
            self.several.setChecked(True)
            self.several.blockSignals(False)
        for button in self.buttons:
            button.setChecked(button.key in chosen)
            button.update()

    def first_focus(self) -> QWidget | None:
        """The chosen button, else the first one."""
        chosen = [button for button in self.buttons if button.isChecked()]
        return next(iter(chosen or self.buttons), None)

    def take_key(self, event: QKeyEvent) -> bool:
        """1 to 9 pick."""
        if self.search.hasFocus() or event.modifiers() & Qt.KeyboardModifier.AltModifier:
            return False
        for button in self.buttons:
            if button.digit and event.text() == button.digit and button.isVisible():
                button.setFocus()
                button.click()
                return True
        return False

    def resizeEvent(self, event: QResizeEvent) -> None:
        """One column or two."""
        super().resizeEvent(event)
        if self._wanted_columns() != self._columns:
            self._lay_out()

    def _wanted_columns(self) -> int:
        return 2 if len(self.buttons) > 3 and self.width() >= TWO_COLUMNS else 1

    def _lay_out(self) -> None:
        word = self.search.text().strip().lower()
        shown = [b for b in self.buttons if word in f"{b.title} {b.sentence}".lower()]
        self._columns = self._wanted_columns()
        for button in self.buttons:
            self.grid.removeWidget(button)
            button.setVisible(button in shown)
        for index, button in enumerate(shown):
            self.grid.addWidget(button, index // self._columns, index % self._columns)
        for column in range(2):
            self.grid.setColumnStretch(column, 1 if column < self._columns else 0)

    def _clicked(self) -> None:
        button = self.sender()
        if not isinstance(button, OptionButton):
            return
        if not self.several.isChecked():
            for other in self.buttons:
                other.setChecked(other is button)
            self.given.emit((button.key,))
            self.picked.emit()
            return
        self._give_ticked()

    def _several_toggled(self, on: bool) -> None:
        ticked = [button for button in self.buttons if button.isChecked()]
        if not on and len(ticked) > 1:
            for button in ticked[1:]:
                button.setChecked(False)
            self._give_ticked()

    def _give_ticked(self) -> None:
        ticked = tuple(button.key for button in self.buttons if button.isChecked())
        self.given.emit(ticked or None)


class YesNoAnswer(Answer):
    """Two large buttons."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(12)
        self.yes = OptionButton("yes", "Yes", "", "Y", self)
        self.no = OptionButton("no", "No", "", "N", self)
        for column, button in enumerate((self.yes, self.no)):
            button.setMinimumHeight(76)
            button.clicked.connect(self._clicked)
            layout.addWidget(button, 0, column)

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Tick yes, no or neither."""
        self.yes.setChecked(value is True)
        self.no.setChecked(value is False)

    def first_focus(self) -> QWidget | None:
        """The answer given, else yes."""
        return self.no if self.no.isChecked() else self.yes

    def take_key(self, event: QKeyEvent) -> bool:
        """Y and N pick."""
        button = {Qt.Key.Key_Y: self.yes, Qt.Key.Key_N: self.no}.get(Qt.Key(event.key()))
        if button is None or event.modifiers() != Qt.KeyboardModifier.NoModifier:
            return False
        button.setFocus()
        button.click()
        return True

    def _clicked(self) -> None:
        yes = self.sender() is self.yes
        self.yes.setChecked(yes)
        self.no.setChecked(not yes)
        self.given.emit(yes)
        self.picked.emit()


def answer_widget(fact: FactDecl, parent: QWidget | None = None) -> Answer:
    """The widget that takes the answer to ``fact``."""
    if fact.kind is Kind.CHOICE:
        return ChoiceAnswer(fact, parent)
    if fact.kind is Kind.YES_NO:
        return YesNoAnswer(fact, parent)
    from advisor.gui.line_answers import AmountAnswer, TextAnswer

    return (AmountAnswer if fact.kind is Kind.QUANTITY else TextAnswer)(fact, parent)
