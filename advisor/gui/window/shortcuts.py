"""What keys do that no widget has taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QPlainTextEdit, QPushButton, QStackedWidget, QWidget

from advisor.gui.questions.question_card import QuestionCard

if TYPE_CHECKING:
    from advisor.gui.verdict.what_if_page import WhatIfPage

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class TakesKeys(Protocol):
    """What of the window the keys are for."""

    card: QuestionCard
    stack: QStackedWidget

    @property
    def over(self) -> QWidget | None:
        """What lies over the screen."""
        ...

    @property
    def trial(self) -> WhatIfPage | None:
        """The page on which another answer is tried."""
        ...

    def focusWidget(self) -> QWidget | None:
        """What has the keyboard."""
        ...

    def go_on(self) -> None:
        """To the next screen."""
        ...

    def go_back(self) -> None:
        """To the screen before."""
        ...


def take(window: TakesKeys, event: QKeyEvent) -> bool:
    """Enter goes on, Alt with an arrow goes on or back, the rest is for the answer.

    Returns whether the key was for the window.
    """
    if window.over is not None:
        return _take_over(window, event)
    alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
    key = event.key()
    if alt and key == Qt.Key.Key_Left:
        window.go_back()
    elif alt and key == Qt.Key.Key_Right:
        window.go_on()
    elif key in ENTER:
        _enter(window)
    else:
        return window.stack.currentWidget() is window.card and window.card.take_key(event)
    return True


def _take_over(window: TakesKeys, event: QKeyEvent) -> bool:
    """A key while something lies over the screen; Escape takes it off."""
    alt = bool(event.modifiers() & Qt.KeyboardModifier.AltModifier)
    focus, trial = window.focusWidget(), window.trial
    if event.key() == Qt.Key.Key_Escape or (alt and event.key() == Qt.Key.Key_Left):
        window.go_back()
    elif trial is not None and window.over is trial:
        if event.key() not in ENTER:
            return trial.take_key(event)
        trial.enter(focus)
    elif event.key() in ENTER and isinstance(focus, QAbstractButton):
        focus.click()
    else:
        return False
    return True


def _enter(window: TakesKeys) -> None:
    focus = window.focusWidget()
    if isinstance(focus, QPlainTextEdit):
        return
    if not isinstance(focus, QAbstractButton):
        window.go_on()
    elif window.card.isAncestorOf(focus) and not isinstance(focus, QPushButton):
        # On an option that is picked already Enter goes on.
        window.go_on()
    else:
        focus.click()
