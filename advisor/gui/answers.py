"""Answer widgets, made from the declaration of a fact."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from advisor.facts.case import Case, Span, Value
from advisor.facts.declare import FactDecl, Kind
from advisor.facts.faults import AnswerError
from advisor.facts.quantity import System
from advisor.gui.option_button import OptionButton
from advisor.gui.words import amount_hint, answer_text, fault_text, read_amount, unit_hint

TWO_COLUMNS = 430
"""Width in px from which many options stand in two columns."""
FILTER_FROM = 13
"""Number of options from which a word to look for is offered."""


class Answer(QWidget):
    """Base: takes one answer. ``given`` carries the value; ``picked`` asks to move on."""

    given = Signal(object)
    picked = Signal()

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fact = fact

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Show what the case holds."""
        raise NotImplementedError

    def commit(self) -> bool:
        """Hand over what is typed; False where it cannot be used."""
        return True

    def draft(self) -> str:
        """What is typed and not yet an answer."""
        return ""

    def set_draft(self, text: str) -> None:
        """Bring back what was typed."""

    def take_key(self, event: QKeyEvent) -> bool:
        """A key pressed anywhere on the screen; True where it picked an answer."""
        return False

    def first_focus(self) -> QWidget | None:
        """What the keyboard should land on."""
        return None


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


class LineAnswer(Answer):
    """One line to write in; what cannot be used stays, with the reason under it."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        self.line = QLineEdit(self)
        self.line.setObjectName("amount")
        self.line.setAccessibleName(fact.title)
        self.line.setMaxLength(300)
        self.line.textEdited.connect(self._edited)
        self.line.installEventFilter(self)
        self.fault = QLabel(self)
        self.fault.setObjectName("fault")
        self.fault.setWordWrap(True)
        self.fault.hide()
        layout.addWidget(self.line)
        layout.addWidget(self.fault)
        self._case: Case | None = None
        self._shown = ""

    def first_focus(self) -> QWidget | None:
        """The line."""
        return self.line

    def draft(self) -> str:
        """Text that is not the answer the case holds."""
        return self.line.text() if self.line.text() != self._shown else ""

    def set_draft(self, text: str) -> None:
        """Bring the text back and say again what is wrong with it."""
        self.line.setText(text)
        self.commit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leaving the line hands over what is typed."""
        if watched is self.line and event.type() == QEvent.Type.FocusOut:
            self.commit()
        return super().eventFilter(watched, event)

    def _edited(self) -> None:
        self.fault.hide()

    def _say(self, text: str) -> None:
        self.fault.setText(text)
        self.fault.setVisible(bool(text))
        self.line.setAccessibleDescription(text)


class AmountAnswer(LineAnswer):
    """A quantity with its unit: "120 mm", "120 to 130 mm"."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        self.also = QLabel(self)
        self.also.setObjectName("quiet")
        self.hint = QLabel(self)
        self.hint.setObjectName("small")
        self.hint.setWordWrap(True)
        layout = self.layout()
        assert layout is not None
        layout.addWidget(self.also)
        layout.addWidget(self.hint)

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Show the answer as it was written, and in the units in use beside it."""
        self._case = case
        span = value if isinstance(value, Span) else None
        shown = answer_text(self.fact, span, system) if span else ""
        written = (span.written or shown) if span else ""
        if not self.draft() or span:
            self.line.setText(written)
            self._shown = written
        self.also.setText(f"= {shown}" if span and shown != written else "")
        self.also.setVisible(bool(self.also.text()))
        self.line.setPlaceholderText(amount_hint(self.fact, system))
        self.hint.setText(unit_hint(self.fact, system))

    def commit(self) -> bool:
        """Read the quantity; an empty line changes nothing."""
        text = self.line.text().strip()
        if self.line.text() == self._shown or self._case is None:
            return self.fault.isHidden()
        if not text:
            self._shown = self.line.text()
            self._say("")
            self.given.emit(None)
            return True
        try:
            span = read_amount(self.fact, text, self._case)
        except AnswerError as error:
            self._say(fault_text(error))
            return False
        self._say("")
        self._shown = self.line.text()
        self.given.emit(span)
        return True


class TextAnswer(LineAnswer):
    """Free words."""

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Show the words."""
        self._case = case
        self._shown = value if isinstance(value, str) else ""
        self.line.setText(self._shown)

    def commit(self) -> bool:
        """Hand the words over."""
        text = self.line.text().strip()
        if text != self._shown:
            self._shown = text
            self.given.emit(text or None)
        return True


def answer_widget(fact: FactDecl, parent: QWidget | None = None) -> Answer:
    """The widget that takes the answer to ``fact``."""
    kinds: dict[Kind, type[Answer]] = {
        Kind.CHOICE: ChoiceAnswer,
        Kind.YES_NO: YesNoAnswer,
        Kind.QUANTITY: AmountAnswer,
        Kind.TEXT: TextAnswer,
    }
    return kinds[fact.kind](fact, parent)
