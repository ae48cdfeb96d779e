"""Trying another answer: nothing is changed before it is kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QLineEdit

from advisor.advice.result import Flip
from advisor.facts.case import Span, Value
from advisor.facts.case_file import read_case
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.verdict.what_if_page import WhatIfPage
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer
from advisor.gui.widgets.answers.typed_answers import AmountAnswer
from advisor.gui.widgets.compared_bars import ComparedBars
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import METHOD_PAGE
from advisor.session.what_if import flip_value
from tests.gui.questions.test_answering import press
from tests.gui.window.test_look import SIZES, clipped
from tests.gui.window.test_pages import give, shown_text, split
from tests.unit.session.small_pack import SmallPack

LEFT = Qt.MouseButton.LeftButton
PACK = SmallPack()


def opened(window: MainWindow, qtbot, screen: str) -> WhatIfPage:
    """The trial of the question on ``screen``, opened by its button."""
    window.navigator.go(screen)
    qtbot.mouseClick(window.card.other, LEFT)
    assert window.trial is not None
    assert window.trial.isVisible()
    return window.trial


def test_another_answer_is_shown_beside_the_old_and_changes_nothing(
    window: MainWindow, qtbot, autosave: Path
) -> None:
    split(window)
    before, kept = window.session.case, autosave.read_bytes()
    trial = opened(window, qtbot, "core.state")
    assert not trial.keep.isEnabled()
    assert "Choose another answer." in shown_text(trial)
    assert isinstance(trial.answer, ChoiceAnswer)
    qtbot.mouseClick(trial.answer.buttons[2], LEFT)
    assert window.session.case is before
    assert autosave.read_bytes() == kept
    text = shown_text(trial)
    assert "Now: Springs back" in text
    assert "Tried: Crumbles" in text
    assert trial.findChildren(ComparedBars)
    assert trial.keep.isEnabled()
    qtbot.mouseClick(trial.back, LEFT)
    assert window.session.case is before
    assert autosave.read_bytes() == kept
    assert window.navigator.screen == "core.state"
    assert window.card.isVisible()


def test_keeping_the_new_answer_is_one_step_that_undo_takes_back(
    window: MainWindow, qtbot, autosave: Path
) -> None:
    split(window)
    trial = opened(window, qtbot, "core.state")
    for index in (1, 2, 1, 2):
        assert isinstance(trial.answer, ChoiceAnswer)
        qtbot.mouseClick(trial.answer.buttons[index], LEFT)
    qtbot.mouseClick(trial.keep, LEFT)
    assert not trial.isVisible()
    assert window.session.case.facts["core.state"] == ("crumbles",)
    assert read_case(autosave, PACK.facts).facts["core.state"] == ("crumbles",)
    assert isinstance(window.card.answer, ChoiceAnswer)
    assert window.card.answer.buttons[2].isChecked()
    qtbot.mouseClick(window.undo, LEFT)
    assert window.session.case.facts["core.state"] == ("springs_back",)


def test_a_hazard_answered_otherwise_shows_no_plan(window: MainWindow, qtbot) -> None:
    split(window)
    trial = opened(window, qtbot, "hazard.airbag")
    assert isinstance(trial.answer, YesNoAnswer)
    press(window, qtbot, Qt.Key.Key_Y)
    text = shown_text(trial)
    assert "→ Refer this job" in text
    assert "→ none" in text
    assert window.session.case.facts["hazard.airbag"] is False


def test_by_keys_alone(window: MainWindow, qtbot) -> None:
    split(window)
    give(window, damage_gap=Span(4, 4, "4 mm"))
    window.navigator.go("damage.gap")
    window.actions_by_key()["Ctrl+T"].trigger()
    trial = window.trial
    assert trial is not None
    assert isinstance(trial.answer, AmountAnswer)
    line = trial.answer.line
    assert line.hasFocus()
    line.selectAll()
    qtbot.keyClicks(line, "9 mm")
    assert trial.keep.isEnabled()
    press(window, qtbot, Qt.Key.Key_Return)
    assert "Tried: 9 mm" in shown_text(trial)
    assert window.session.case.facts["damage.gap"] == Span(4, 4)
    press(window, qtbot, Qt.Key.Key_Escape)
    assert not trial.isVisible()
    assert isinstance(window.card.answer, AmountAnswer)
    assert window.card.answer.line.text() == "4 mm"
    window.actions_by_key()["Ctrl+T"].trigger()
    assert isinstance(trial.answer, AmountAnswer)
    trial.answer.line.selectAll()
    qtbot.keyClicks(trial.answer.line, "9 mm")
    for _ in range(12):
        if trial.keep.hasFocus():
            break
        press(window, qtbot, Qt.Key.Key_Tab)
    press(window, qtbot, Qt.Key.Key_Space)
    assert window.session.case.facts["damage.gap"] == Span(9, 9)


def test_an_amount_that_cannot_be_used_keeps_the_trial_open(window: MainWindow, qtbot) -> None:
    split(window)
    trial = opened(window, qtbot, "damage.gap")
    assert isinstance(trial.answer, AmountAnswer)
    qtbot.keyClicks(trial.answer.line, "9 bananas")
    qtbot.mouseClick(trial.keep, LEFT)
    assert trial.isVisible()
    assert trial.answer.fault.isVisible()
    assert "damage.gap" not in window.session.case.facts


@pytest.mark.parametrize("leave", ["stage", "undo", "back", "escape", "new case"])
def test_every_way_out_leaves_the_old_answer(
    window: MainWindow, qtbot, leave: str, monkeypatch
) -> None:
    split(window)
    before = window.session.case
    trial = opened(window, qtbot, "core.state")
    assert isinstance(trial.answer, ChoiceAnswer)
    qtbot.mouseClick(trial.answer.buttons[2], LEFT)
    if leave == "stage":
        window.actions_by_key()  # the stages have keys of their own
        qtbot.mouseClick(next(iter(window.stages.buttons.values())), LEFT)
    elif leave == "undo":
        window.actions_by_key()["Ctrl+Z"].trigger()
    elif leave == "back":
        window.actions_by_key()["Alt+Left"].trigger()
    elif leave == "escape":
        press(window, qtbot, Qt.Key.Key_Escape)
    else:
        window.session._saved = window.session.case
        window.files.new()
        assert window.session.case.facts == {}
        before = window.session.case
    assert window.session.case is before
    assert window.navigator.trial is None
    assert not trial.isVisible()


def test_a_written_answer_that_cannot_be_used_is_not_lost_to_a_trial(
    window: MainWindow, qtbot
) -> None:
    split(window)
    window.navigator.go("damage.gap")
    assert isinstance(window.card.answer, AmountAnswer)
    line: QLineEdit = window.card.answer.line
    qtbot.keyClicks(line, "4 bananas")
    qtbot.mouseClick(window.card.other, LEFT)
    assert window.navigator.trial is None
    assert line.text() == "4 bananas"


def test_a_flip_is_tried_with_one_touch(window: MainWindow, qtbot) -> None:
    split(window)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    window.navigator.try_answer("core.state", ("crumbles",))
    assert window.trial is not None
    assert "Tried: Crumbles" in shown_text(window.trial)
    qtbot.mouseClick(window.trial.back, LEFT)
    assert page.isVisible()


def test_units_switch_inside_a_trial(window: MainWindow, qtbot) -> None:
    split(window)
    give(window, damage_gap=Span(25.4, 25.4, "1 in"))
    trial = opened(window, qtbot, "damage.gap")
    window.navigator.set_trial(Span(12, 12, "12 mm"))
    assert "Now: 25.4 mm" in shown_text(trial)
    window.actions_by_key()["Ctrl+U"].trigger()
    assert "Now: 1.00 in" in shown_text(trial)


@pytest.mark.parametrize("size", SIZES)
def test_nothing_is_clipped_in_a_trial(window: MainWindow, qapp: QApplication, size) -> None:
    split(window)
    window.resize(*size)
    for name, value in (("core.state", ("crumbles",)), ("damage.gap", Span(40, 40, "40 mm"))):
        window.navigator.try_answer(name, value)
        for _ in range(4):
            qapp.processEvents()
        assert clipped(window) == [], name


@pytest.mark.parametrize(
    ("fact", "value", "said"),
    [
        ("core.state", ("crumbles",), ("Crumbles", "Crumbles")),
        ("hazard.airbag", True, ("yes", "yes")),
        ("damage.gap", Span(11, 11), ("11 mm", "0.433 in")),
    ],
)
def test_the_answer_of_a_flip_is_tried_in_the_units_in_use(
    window: MainWindow, qtbot, fact: str, value: Value, said: tuple[str, str]
) -> None:
    split(window)
    flip = Flip(fact, "", "", "", "", "", value)
    for words in said:
        window.navigator.try_answer(fact, flip_value(flip, window.session))
        assert window.navigator.trial is not None and window.navigator.trial.value == value
        assert f"Tried: {words}" in shown_text(window.trial)
        window.navigator.drop_trial()
        window.navigator.switch_units()


