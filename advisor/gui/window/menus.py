"""The menus and their keys."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Protocol

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu

from advisor.gui import theme
from advisor.gui.look import Look
from advisor.gui.navigator import Navigator
from advisor.gui.window.file_actions import FileActions
from advisor.gui.window.next_questions_bar import NextQuestionsBar
from advisor.gui.window.paper_actions import PaperActions
from advisor.gui.window.top_bar import TopBar


class MenuCalls(Protocol):
    """What of the window the menus call."""

    files: FileActions
    papers: PaperActions
    navigator: Navigator
    matters: NextQuestionsBar
    units: QAction
    top: TopBar
    look: Look

    def show_home(self) -> None:
        """New, open, recent and demo cases."""
        ...

    def show_practice(self) -> None:
        """Rounds, lessons, figures to try."""
        ...

    def ask_shop(self) -> None:
        """What is said once about the shop."""
        ...

    def show_audit(self) -> None:
        """The yearly audit."""
        ...

    def show_help(self) -> None:
        """Help and glossary."""
        ...

    def dress_anew(self) -> None:
        """Another theme or text size."""
        ...

    def go_on(self) -> None:
        """To the next screen."""
        ...

    def go_back(self) -> None:
        """To the screen before."""
        ...

    def try_other(self) -> None:
        """Try another answer."""
        ...

    def show_list(self) -> None:
        """Every question of the case."""
        ...

    def leave_open(self) -> None:
        """The question on the card is not known."""
        ...

    def show_graph(self) -> None:
        """The rule graph."""
        ...


def add_menus(window: QMainWindow, calls: MenuCalls) -> None:
    """Put the menus on the window. Every entry also has a key."""
    files, papers, navigator = calls.files, calls.papers, calls.navigator
    calls.units.setShortcut(QKeySequence("Ctrl+U"))
    calls.units.triggered.connect(navigator.switch_units)
    bar = calls.top.menu
    case = bar.addMenu("Case")
    for text, key, slot in (
        ("Home", "Ctrl+H", calls.show_home),
        ("New", "Ctrl+N", files.new),
        ("Open...", "Ctrl+O", files.open),
        ("Find a kept case...", "Ctrl+F", files.find),
        ("Customer and vehicle...", "Ctrl+K", files.people),
        ("Practice and lessons", "Ctrl+R", calls.show_practice),
        ("Measure on a photo...", "Ctrl+M", files.measure),
        ("Save", "Ctrl+S", files.save),
        ("Save as...", "Ctrl+Shift+S", files.save_as),
        ("Print, open or save a paper...", "Ctrl+P", papers.show_all),
        ("Page for the invoice...", "Ctrl+I", papers.invoice),
        ("Hand-over papers...", "", papers.hand_over),
        ("Papers this case needs...", "", papers.needs),
        ("Materials on hand...", "", papers.lots),
        ("Burn-test records...", "", papers.burn_tests),
        ("Export rationale...", "Ctrl+E", papers.export),
        ("Prices and rates...", "Ctrl+Shift+P", lambda: open_prices(navigator, window)),
        ("Shop, people and tools...", "", calls.ask_shop),
        ("Yearly audit...", "", calls.show_audit),
        ("Help and glossary", "", calls.show_help),
    ):
        case.addAction(_action(window, text, key, slot))
    case.addSeparator()
    case.addAction(_action(window, "Close", "Ctrl+Q", window.close))
    answers = bar.addMenu("Answers")
    answers.addAction(_action(window, "Undo last answer", "Ctrl+Z", navigator.undo))
    redo = _action(window, "Redo", "Ctrl+Y", navigator.redo)
    redo.setShortcuts([QKeySequence("Ctrl+Y"), QKeySequence("Ctrl+Shift+Z")])
    answers.addAction(redo)
    answers.addAction(_action(window, "Not sure, leave open", "Ctrl+0", calls.leave_open))
    answers.addAction(_action(window, "All questions", "Ctrl+L", calls.show_list))
    answers.addAction(_action(window, "Next", "Alt+Right", calls.go_on))
    answers.addAction(_action(window, "Back", "Alt+Left", calls.go_back))
    answers.addSeparator()
    answers.addAction(_action(window, "Most valuable question", "Ctrl+J", calls.matters.go_first))
    answers.addAction(_action(window, "Try another answer", "Ctrl+T", calls.try_other))
    answers.addAction(_action(window, "Show the rule graph", "Ctrl+G", calls.show_graph))
    view = bar.addMenu("View")
    view.addAction(calls.units)
    view.addSeparator()
    _add_looks(window, calls, view)
    # Keys of a menu that is shut reach the window only through the window itself.
    for menu in bar.findChildren(QMenu):
        window.addActions(menu.actions())
    opener = _action(window, "Menu", "F10", calls.top.menu_button.showMenu)
    window.addAction(opener)


def _add_looks(window: QMainWindow, calls: MenuCalls, view: QMenu) -> None:
    """Themes and text sizes."""
    look = calls.look

    def set_to(**change: object) -> None:
        look.change(**change)
        calls.dress_anew()

    for name in theme.THEMES:
        key = "Ctrl+Shift+L" if name == "sunlight" else ""
        title = f"{name.capitalize()} screen"
        view.addAction(_action(window, title, key, partial(set_to, theme=name)))
    view.addSeparator()
    view.addAction(_action(window, "Larger text", "Ctrl++", lambda: set_to(text=look.next(1))))
    view.addAction(_action(window, "Smaller text", "Ctrl+-", lambda: set_to(text=look.next(-1))))


def open_prices(navigator: Navigator, window: QMainWindow) -> None:
    """The shop's own prices and rates."""
    from advisor.gui.job.prices_dialog import open_prices

    open_prices(navigator, window)


def _action(window: QMainWindow, text: str, key: str, slot: Callable[..., object]) -> QAction:
    action = QAction(text, window)
    if key:
        action.setShortcut(QKeySequence(key))
    action.triggered.connect(slot)
    return action
