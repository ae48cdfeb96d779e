"""What every widget that takes an answer has in common."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from advisor.facts.case import Case, Value
from advisor.facts.declaration import FactDecl, Option
from advisor.facts.quantity import System

#: With one of these a key types no letter.
NO_TEXT = (
    Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.MetaModifier
)


class Answer(QWidget):
    """Base: takes one answer. ``given`` carries the value; ``picked`` asks to move on."""

    given = Signal(object)
    picked = Signal()
    pointed = Signal(object)
    """The answer under finger or keyboard, to see what it would change; None for none."""
    wide = False
    """Whether it needs the whole width of the window."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.fact = fact

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Show what the case holds."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    def offer(self, options: tuple[Option, ...]) -> None:
        """Show only these options, where it shows any."""

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
