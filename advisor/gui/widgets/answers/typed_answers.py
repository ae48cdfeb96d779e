"""Answers that are written: quantities and free words."""

from __future__ import annotations

from datetime import date
from functools import partial

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import (
    QAbstractButton,
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.faults import AnswerError
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.answers.answer_base import Answer
from advisor.gui.widgets.refilled_column import give_up
from advisor.session.amount_choices import (
    default_unit,
    presets,
    stepped,
    units_for,
    with_unit,
)
from advisor.session.answer_text import amount_hint, answer_text, fault_text, read_amount, unit_hint
from advisor.wording.amounts import for_people


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
        self.fault.setTextFormat(Qt.TextFormat.PlainText)  # it says again what was typed
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
        self.unit = ""
        """What a bare number is taken in."""
        self._system: System | None = None
        self.units = QButtonGroup(self)
        self.units.buttonClicked.connect(self._unit_picked)
        self.fewer, self.more = QPushButton("-", self), QPushButton("+", self)
        for button, name, by in ((self.fewer, "Less", -1), (self.more, "More", 1)):
            button.setAccessibleName(name)
            button.setFixedWidth(theme.TARGET)
            button.clicked.connect(partial(self._step, by))
        self._beside, self._units = QHBoxLayout(), QHBoxLayout()
        self._beside.setSpacing(6)
        self._units.setSpacing(6)
        self._spans = QGridLayout()
        self._spans.setSpacing(6)
        self.spans: list[QPushButton] = []
        layout = self.layout()
        assert isinstance(layout, QVBoxLayout)
        layout.removeWidget(self.line)
        self._beside.addWidget(self.line, 1)
        self._beside.addWidget(self.fewer)
        self._beside.addWidget(self.more)
        layout.insertLayout(0, self._beside)
        layout.insertLayout(1, self._units)
        layout.insertLayout(2, self._spans)
        self._units.addStretch(1)
        layout.addWidget(self.also)
        layout.addWidget(self.hint)

    def _offer_units(self, case: Case, system: System) -> None:
        """Units and spans to touch, made anew where the system of units is another."""
        if system is self._system:
            return
        self._system, self.unit = system, default_unit(self.fact, system)
        for old in (*self.units.buttons(), *self.spans):
            self.units.removeButton(old)
            give_up(old)
        for name in units_for(self.fact, system):
            button = QPushButton(for_people(name), self)
            button.setCheckable(True)
            button.setProperty("unit", name)
            button.setAccessibleName(f"Unit: {for_people(name)}")
            button.setChecked(name == self.unit or for_people(name) == for_people(self.unit))
            self.units.addButton(button)
            self._units.insertWidget(self._units.count() - 1, button)
        self.spans = []
        for index, span in enumerate(presets(self.fact, case, system)):
            button = QPushButton(span.title, self)
            button.clicked.connect(partial(self._span_picked, span.text))
            self._spans.addWidget(button, index // 2, index % 2)
            self.spans.append(button)

    def _unit_picked(self, button: QAbstractButton) -> None:
        self.unit = str(button.property("unit"))
        self.line.setFocus()

    def _span_picked(self, text: str, _: bool = False) -> None:
        """One touch answers, as picking a choice does."""
        self.line.setText(text)
        if self.commit():
            self.picked.emit()

    def _step(self, by: int, _: bool = False) -> None:
        self.line.setText(stepped(self.line.text(), by))
        self._edited()

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Show the answer as it was written, and in the units in use beside it."""
        self._case = case
        self._offer_units(case, system)
        span = value if isinstance(value, Span) else None
        shown = answer_text(self.fact, span, system) if span else ""
        written = for_people(span.written or shown) if span else ""
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
        text = with_unit(self.fact, text, self.unit, date.today())
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
