"""The menus and their keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow

from advisor.gui.navigator import Navigator
from advisor.gui.window.file_actions import FileActions
from advisor.gui.window.next_questions_bar import NextQuestionsBar


class MenuCalls(Protocol):
    """What of the window the menus call."""

    files: FileActions
    navigator: Navigator
    matters: NextQuestionsBar
    units: QAction

    def go_on(self) -> None:
        """To the next screen."""
        ...

    def go_back(self) -> None:
        """To the screen before."""
        ...

    def try_other(self) -> None:
        """Try another answer."""
        ...

    def show_graph(self) -> None:
        """The rule graph."""
        ...


def add_menus(window: QMainWindow, calls: MenuCalls) -> None:
    """Put the menus on the window. Every entry also has a key."""
    files, navigator = calls.files, calls.navigator
    calls.units.setShortcut(QKeySequence("Ctrl+U"))
    calls.units.triggered.connect(navigator.switch_units)
    bar = window.menuBar()
    case = bar.addMenu("Case")
    for text, key, slot in (
        ("New", "Ctrl+N", files.new),
        ("Open...", "Ctrl+O", files.open),
        ("Save", "Ctrl+S", files.save),
        ("Save as...", "Ctrl+Shift+S", files.save_as),
        ("Export rationale...", "Ctrl+E", files.export),
        ("Prices and rates...", "Ctrl+P", lambda: _open_prices(navigator, window)),
    ):
        case.addAction(_action(window, text, key, slot))
    case.addSeparator()
    case.addAction(_action(window, "Close", "Ctrl+Q", window.close))
    answers = bar.addMenu("Answers")
    answers.addAction(_action(window, "Undo last answer", "Ctrl+Z", navigator.undo))
    answers.addAction(_action(window, "Next", "Alt+Right", calls.go_on))
    answers.addAction(_action(window, "Back", "Alt+Left", calls.go_back))
    answers.addSeparator()
    answers.addAction(_action(window, "Most valuable question", "Ctrl+J", calls.matters.go_first))
    answers.addAction(_action(window, "Try another answer", "Ctrl+T", calls.try_other))
    answers.addAction(_action(window, "Show the rule graph", "Ctrl+G", calls.show_graph))
    view = bar.addMenu("Units")
    view.addAction(calls.units)


def _open_prices(navigator: Navigator, window: QMainWindow) -> None:
    from advisor.gui.job.prices_dialog import open_prices

    open_prices(navigator, window)


def _action(window: QMainWindow, text: str, key: str, slot: Callable[..., object]) -> QAction:
    action = QAction(text, window)
    action.setShortcut(QKeySequence(key))
    action.triggered.connect(slot)
    return action
