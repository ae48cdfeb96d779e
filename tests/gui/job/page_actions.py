"""Helpers for tests of the Job stage."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QWidget

from advisor.gui.job.job_page import JobPage
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.gui.window.main_window import MainWindow
from advisor.job.model import JobSheet
from advisor.session.screens import JOB_SHEET

LEFT = Qt.MouseButton.LeftButton
SIZES = [(1024, 600), (1366, 768), (1920, 1080), (800, 1100)]


def page_of(window: MainWindow) -> JobPage:
    page = window.pages[JOB_SHEET]
    assert isinstance(page, JobPage)
    return page


def sheet_of(window: MainWindow) -> JobSheet:
    sheet = page_of(window).of_case.sheet()
    assert sheet is not None
    return sheet


def press(window: QWidget, text: str, qtbot) -> None:
    """Click the one button that reads so."""
    (button,) = [b for b in window.findChildren(QPushButton) if b.text() == text and b.isVisible()]
    qtbot.mouseClick(button, LEFT)


def dialog_of(window: MainWindow, kind: type[FormDialog]) -> FormDialog:
    (found,) = [d for d in window.findChildren(kind) if d.isVisible()]
    return found


def write(field: QWidget, text: str, qtbot) -> None:
    """Write in the place of what stands in a field, by keys."""
    qtbot.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)
