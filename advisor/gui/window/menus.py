"""The menus and their keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QKeySequence

if TYPE_CHECKING:
    from advisor.gui.window.main_window import MainWindow


def add_menus(window: MainWindow) -> None:
    """Put the menus on the window. Every entry also has a key."""
    files, hub = window.files, window.hub
    window.units.setShortcut(QKeySequence("Ctrl+U"))
    window.units.triggered.connect(hub.switch_units)
    bar = window.menuBar()
    case = bar.addMenu("Case")
    for text, key, slot in (
        ("New", "Ctrl+N", files.new),
        ("Open...", "Ctrl+O", files.open),
        ("Save", "Ctrl+S", files.save),
        ("Save as...", "Ctrl+Shift+S", files.save_as),
        ("Export rationale...", "Ctrl+E", files.export),
        ("Prices and rates...", "Ctrl+P", lambda: _open_prices(window)),
    ):
        case.addAction(_action(window, text, key, slot))
    case.addSeparator()
    case.addAction(_action(window, "Close", "Ctrl+Q", window.close))
    answers = bar.addMenu("Answers")
    answers.addAction(_action(window, "Undo last answer", "Ctrl+Z", hub.undo))
    answers.addAction(_action(window, "Next", "Alt+Right", window.go_on))
    answers.addAction(_action(window, "Back", "Alt+Left", window.go_back))
    answers.addSeparator()
    answers.addAction(_action(window, "Most valuable question", "Ctrl+J", window.matters.go_first))
    answers.addAction(_action(window, "Try another answer", "Ctrl+T", window.try_other))
    answers.addAction(_action(window, "Show the rule graph", "Ctrl+G", window.show_graph))
    view = bar.addMenu("Units")
    view.addAction(window.units)


def _open_prices(window: MainWindow) -> None:
    from advisor.gui.job.prices_dialog import open_prices

    open_prices(window.hub, window)


def _action(window: MainWindow, text: str, key: str, slot: Callable[..., object]) -> QAction:
    action = QAction(text, window)
    action.setShortcut(QKeySequence(key))
    action.triggered.connect(slot)
    return action
