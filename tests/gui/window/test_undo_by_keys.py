"""Ctrl+Z takes back what is typed in a field, then what the case was told; by keys alone.

The rule is that of common practice, no source: a field undoes its own typing, and what was
handed over to the case belongs to the history of the case.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPlainTextEdit, QWidget

from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.casebook.measure_page import MeasurePage
from advisor.gui.handover.record_page import RecordPage
from advisor.gui.job.prices_dialog import open_prices
from advisor.gui.widgets.answers.typed_answers import LineAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder
from advisor.session.screens import RECORD_PAGE

CTRL, SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier
Key = Qt.Key
REDO_KEYS = [(Key.Key_Y, CTRL), (Key.Key_Z, CTRL | SHIFT)]
LENGTH = "damage.length"


@pytest.fixture
def armrest(show: Callable[[Case], MainWindow], engine: Engine, own_folders: None) -> MainWindow:
    window = show(read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts))
    QTest.qWaitForWindowActive(window)
    return window


def press(key: Qt.Key, more: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier) -> None:
    """To whatever has the keyboard."""
    focus = QApplication.focusWidget()
    assert focus is not None
    QTest.keyClick(focus, key, more)


def keys(field: QWidget, text: str) -> None:
    """Typed in one go, after all that stands there is marked."""
    QTest.keyClick(field, Key.Key_A, CTRL)
    QTest.keyClicks(field, text)


def at_length(window: MainWindow) -> LineAnswer:
    window.navigator.go(LENGTH)
    answer = window.card.answer
    assert isinstance(answer, LineAnswer) and answer.line.hasFocus()
    return answer


@pytest.mark.parametrize("redo", REDO_KEYS)
def test_a_number_that_is_typed_is_undone_in_its_field_then_in_the_case(
    armrest: MainWindow, redo: tuple[Qt.Key, Qt.KeyboardModifier]
) -> None:
    session, line = armrest.session, at_length(armrest).line
    before, was = session.case.facts[LENGTH], line.text()
    keys(line, "77")
    press(Key.Key_Z, CTRL)
    assert line.text() == was and session.case.facts[LENGTH] == before
    assert not session.can_undo
    press(*redo)
    assert line.text() == "77" and session.case.facts[LENGTH] == before
    assert armrest.card.commit()
    assert session.case.facts[LENGTH] == Span(77.0, 77.0, "77 mm")
    press(Key.Key_Z, CTRL)
    assert session.case.facts[LENGTH] == before and line.text() == was
    press(*redo)
    assert session.case.facts[LENGTH] == Span(77.0, 77.0, "77 mm")
    assert line.text() == "77 mm"


@pytest.mark.parametrize("field", ["title", "note"])
@pytest.mark.parametrize("redo", REDO_KEYS)
def test_name_and_note_are_undone_by_the_field_until_they_are_in_the_case(
    armrest: MainWindow, field: str, redo: tuple[Qt.Key, Qt.KeyboardModifier]
) -> None:
    armrest.navigator.go(RECORD_PAGE)
    page = armrest.pages[RECORD_PAGE]
    assert isinstance(page, RecordPage)
    box, session = getattr(page, field), armrest.session
    before = getattr(session.case, field)
    assert "row 9" not in before

    def shown() -> str:
        return str(box.toPlainText() if isinstance(box, QPlainTextEdit) else box.text())

    box.setFocus()
    keys(box, "row 9")
    press(Key.Key_Z, CTRL)
    while shown() != before:  # a note takes back word by word
        assert box.document().isUndoAvailable()
        press(Key.Key_Z, CTRL)
    assert getattr(session.case, field) == before
    keys(box, "row 9")
    page.commit()
    assert getattr(session.case, field) == "row 9" and box.hasFocus()
    press(Key.Key_Z, CTRL)
    assert getattr(session.case, field) == before and shown() == before
    page.commit()
    assert getattr(session.case, field) == before, "leaving the field does not bring it back"
    press(*redo)
    assert getattr(session.case, field) == "row 9" and shown() == "row 9"


def test_in_a_dialog_only_what_is_typed_there_is_undone(armrest: MainWindow, qtbot) -> None:
    at_length(armrest)
    armrest.navigator.answer(LENGTH, Span(77.0, 77.0, "77 mm"))
    dialog = open_prices(armrest.navigator, armrest)
    assert dialog is not None
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    line = next(iter(dialog.lines.values()))
    line.setFocus()
    was = line.text()
    keys(line, "Quay shop")
    press(Key.Key_Z, CTRL)
    assert line.text() == was
    press(Key.Key_Z, CTRL)
    assert armrest.session.case.facts[LENGTH] == Span(77.0, 77.0, "77 mm")
    press(Key.Key_Y, CTRL)
    assert line.text() == "Quay shop"
    dialog.done(0)


def test_points_on_a_photo_are_taken_back_and_set_again(qtbot) -> None:
    page = MeasurePage(Image.new("RGB", (400, 300)), ((LENGTH, "Length"),))
    qtbot.addWidget(page)
    page.show()
    QTest.qWaitForWindowActive(page)
    view = page.view
    view.setFocus()
    for _ in range(3):
        press(Key.Key_Right)
        press(Key.Key_Space)
    three = list(view.points)
    press(Key.Key_Z, CTRL)
    press(Key.Key_Z, CTRL)
    assert view.points == three[:1]
    press(Key.Key_Y, CTRL)
    press(Key.Key_Z, CTRL | SHIFT)
    assert view.points == three
    press(Key.Key_Z, CTRL)
    press(Key.Key_Space)
    press(Key.Key_Y, CTRL)
    assert len(view.points) == 3, "a point that was set anew ends what may be set again"


def test_not_known_has_a_key_in_a_number_field_too(armrest: MainWindow) -> None:
    at_length(armrest)
    press(Key.Key_0, CTRL)
    assert LENGTH not in armrest.session.case.facts
    press(Key.Key_Z, CTRL)
    assert LENGTH in armrest.session.case.facts
