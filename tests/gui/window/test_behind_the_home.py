"""The home lies before the case: what changes the case from there is seen in the case."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from advisor.gui.window.main_window import MainWindow
from tests.gui.questions.test_answering import press
from tests.gui.random_user.person import settled
from tests.gui.random_user.window_checks import cut_texts, outside


def test_undo_at_the_home_shows_what_it_took_back(window: MainWindow, qtbot) -> None:
    window.navigator.answer("part.kind", ("armrest",))
    window.show_home()
    assert window.at_home
    press(window, qtbot, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert "part.kind" not in window.session.case.facts
    assert not window.at_home
    focus = window.focusWidget()
    assert focus is not None and focus.isVisible()


def test_another_text_size_leaves_the_home_open(window: MainWindow) -> None:
    window.navigator.answer("part.kind", ("armrest",))
    window.show_home()
    stood_on = window.focusWidget()
    window.dress_anew()
    assert window.at_home
    assert window.focusWidget() is stood_on


@pytest.mark.parametrize("size", [(760, 600), (1024, 600), (1280, 800)])
def test_the_home_is_no_wider_than_its_room(window: MainWindow, size) -> None:
    window.resize(*size)
    window.show_home()
    settled()
    assert outside(window) == [] and cut_texts(window) == []
