"""Undo and redo by keys: of what is being typed while the field can, after that of the case."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QLineEdit,
    QPlainTextEdit,
    QWidget,
)

UNDO = QKeySequence("Ctrl+Z")
REDO = (QKeySequence("Ctrl+Y"), QKeySequence("Ctrl+Shift+Z"))


class UndoKeys(QObject):
    """Watches the field that has the keyboard.

    A field of Qt takes these keys also where it has nothing to take back, and knows one of the
    two for redo alone. What was handed over to the case, and is shown from there, it knows
    nothing of: that is for the window, whose shortcut then gets the key.
    """

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._follow)

    def _follow(self, _before: QWidget | None, now: QWidget | None) -> None:
        if isinstance(now, QLineEdit | QPlainTextEdit | QAbstractSpinBox):
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Undo or redo in the field where it can; else let the key go on to the window."""
        if not isinstance(event, QKeyEvent) or event.type() == QEvent.Type.KeyRelease:
            return False
        pressed = QKeySequence(event.keyCombination())
        if pressed != UNDO and pressed not in REDO:
            return False
        field = watched.lineEdit() if isinstance(watched, QAbstractSpinBox) else watched
        can = _can(field, undo=pressed == UNDO)
        event.setAccepted(can)
        if can and event.type() == QEvent.Type.KeyPress:
            assert isinstance(field, QLineEdit | QPlainTextEdit)
            field.undo() if pressed == UNDO else field.redo()
        return can or event.type() == QEvent.Type.ShortcutOverride


def _can(field: QObject, *, undo: bool) -> bool:
    if isinstance(field, QLineEdit):
        return field.isUndoAvailable() if undo else field.isRedoAvailable()
    if isinstance(field, QPlainTextEdit):
        document = field.document()
        return document.isUndoAvailable() if undo else document.isRedoAvailable()
    return False
