"""A person who answers dialogs with real clicks and keys, while they are being waited for."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox, QPushButton

from advisor.gui.widgets.two_versions import Choice
from advisor.gui.widgets.versions_dialog import VersionsDialog

LEFT = Qt.MouseButton.LeftButton


class Person:
    """Waits for the next dialogs and does what it was told with each, in order."""

    def __init__(self, *acts: Callable[[object], None]) -> None:
        self.acts = list(acts)
        self.seen: list[str] = []
        self._timer = QTimer()
        self._timer.timeout.connect(self._look)
        self._timer.start(10)

    def _look(self) -> None:
        top = QApplication.activeModalWidget()
        if top is None or not top.isVisible():
            return
        text = top.text() if isinstance(top, QMessageBox) else ""
        said = top.versions.intro if isinstance(top, VersionsDialog) else text
        self.seen.append(said)
        assert self.acts, f"a dialog that nobody expects: {said}"
        self.acts.pop(0)(top)

    def done(self) -> None:
        """All dialogs have come."""
        self._timer.stop()
        assert not self.acts, f"{len(self.acts)} dialogs did not come"


def press(choice: Choice) -> Callable[[object], None]:
    """Click the button of a choice."""

    def act(dialog: object) -> None:
        assert isinstance(dialog, VersionsDialog)
        QTest.mouseClick(dialog.buttons[choice], LEFT)

    return act


def pick(*theirs: str) -> Callable[[object], None]:
    """Pick these answers as they are in the file, the others as in the window, and save."""

    def act(dialog: object) -> None:
        assert isinstance(dialog, VersionsDialog)
        for key, pair in dialog.pairs.items():
            QTest.mouseClick(pair[0 if key in theirs else 1], LEFT)
        QTest.mouseClick(dialog.buttons[Choice.PICKED], LEFT)

    return act


def enter(box: object) -> None:
    """Press Enter on a message."""
    assert isinstance(box, QMessageBox)
    QTest.keyClick(box, Qt.Key.Key_Return)



def click(words: str) -> Callable[[object], None]:
    """Click the button of these words on a message."""

    def act(box: object) -> None:
        assert isinstance(box, QDialog)
        (button,) = [b for b in box.findChildren(QPushButton) if b.text() == words]
        QTest.mouseClick(button, LEFT)

    return act
