"""The list of what another answer moves, as it stands on the page of a trial."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame

from advisor.gui.widgets.answers.typed_answers import AmountAnswer
from advisor.gui.widgets.page import PointLine
from advisor.gui.window.main_window import MainWindow
from advisor.session.compare_advice import moved
from tests.gui.questions.test_answering import press
from tests.gui.verdict.test_what_if import opened
from tests.gui.window.test_look import SIZES
from tests.gui.window.test_pages import shown_text, split


@pytest.mark.parametrize("size", SIZES)
def test_what_moves_hangs_from_its_dots(window: MainWindow, qtbot, qapp, size) -> None:
    split(window)
    window.resize(*size)
    trial = opened(window, qtbot, "damage.gap")
    assert isinstance(trial.answer, AmountAnswer)
    qtbot.keyClicks(trial.answer.line, "40 mm")
    press(window, qtbot, Qt.Key.Key_Return)
    for _ in range(4):
        qapp.processEvents()
    assert window.navigator.trial is not None and window.navigator.trial.after is not None
    said = moved(window.navigator.trial.before, window.navigator.trial.after)
    assert len(said) > 1
    box = trial.comparison.findChild(QFrame, "moved")
    assert box is not None and box.isVisible()
    points = box.findChildren(PointLine)
    assert tuple(line.words.text() for line in points) == said
    wrapped = False
    for line in points:
        assert line.mark.text() == "•"
        assert line.words.x() >= line.mark.geometry().right()
        wrapped |= line.words.height() > 1.8 * line.mark.fontMetrics().height()
        # Inside the coloured ground, right of its bar.
        assert line.x() > 5 and line.geometry().bottom() <= box.height()
    assert wrapped or size[0] > 800


def test_a_single_sentence_on_what_moves_has_no_dot(window: MainWindow, qtbot) -> None:
    split(window)
    trial = opened(window, qtbot, "skin.thickness")
    assert isinstance(trial.answer, AmountAnswer)
    qtbot.keyClicks(trial.answer.line, "1 mm")
    press(window, qtbot, Qt.Key.Key_Return)
    text = shown_text(trial)
    assert "Nothing changes: the same plan, price and strength." in text
    assert "•" not in text
