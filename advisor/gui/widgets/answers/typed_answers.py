"""Answers that are written: quantities and free words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from advisor.facts.case import Case, Span, Value
from advisor.facts.declaration import FactDecl
from advisor.facts.faults import AnswerError
from advisor.facts.quantity import System
from advisor.gui.widgets.answers.answer_base import Answer
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
