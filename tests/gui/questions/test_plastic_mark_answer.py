"""The mark on a plastic part, typed by real keys under the shipped rules."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QWidget

from advisor import paths
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.widgets.answers.plastic_mark_answer import PlasticMarkAnswer
from advisor.gui.window.main_window import MainWindow

MARK, PLASTIC = "carrier.mark", "carrier.material"


@pytest.fixture
def bare(engine: Engine) -> Case:
    """The cracked panel without its mark."""
    path = paths.demo_folder() / "cracked_panel.yaml"
    return read_case(path, engine.pack.facts).without(MARK)


def field(window: MainWindow) -> PlasticMarkAnswer:
    """The field for the mark, which must be on the card."""
    assert isinstance(window.card.answer, PlasticMarkAnswer)
    return window.card.answer


def press(window: MainWindow, qtbot, key: Qt.Key) -> None:
    """Press a key where the keyboard is."""
    target: QWidget = window.focusWidget() or window
    qtbot.keyClick(target, key)


def type_in(window: MainWindow, qtbot, text: str) -> None:
    """Type where the keyboard is; the card must have put it on the field."""
    window.navigator.go(MARK)
    assert window.focusWidget() is field(window).line
    qtbot.keyClicks(window.focusWidget(), text)


def test_what_the_mark_says_is_shown_while_it_is_typed(show, bare: Case, qtbot) -> None:
    window = show(bare)
    window.navigator.go(MARK)
    answer = field(window)
    assert answer.understood.isHidden()
    said = []
    for letters in (">PP", "+EPDM", "-TD20", "<"):
        qtbot.keyClicks(window.focusWidget(), letters)
        said.append(answer.understood.text())
    assert said[0].startswith("PP. Taken as: PP, unfilled.")
    assert said[1].startswith("PP with EPDM. Taken as: PP with talc or EPDM.")
    assert said[2] == said[3] == (
        "PP with EPDM, 20 % talc powder. Taken as: PP with talc or EPDM. "
        "About 1.03 g/cm³: sinks in water, floats in saturated salt water."
    )
    assert answer.understood.isVisible()
    assert answer.line.accessibleDescription() == said[3]
    press(window, qtbot, Qt.Key.Key_Backspace)
    qtbot.keyClicks(window.focusWidget(), "Q")
    assert answer.understood.text().startswith("Not read as a mark.")
    answer.line.selectAll()
    press(window, qtbot, Qt.Key.Key_Delete)
    assert answer.understood.isHidden()
    assert MARK not in window.session.case.facts


def test_enter_takes_the_mark_and_the_next_question_knows_the_plastic(
    show, bare: Case, qtbot, tmp_path: Path, engine: Engine
) -> None:
    kept = tmp_path / "autosave-mark.yaml"
    window = show(bare, autosave=kept)
    type_in(window, qtbot, "pp td 20")
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.session.case.facts[MARK] == "pp td 20"
    window.navigator.go(PLASTIC)
    assert window.card.now.isVisible()
    assert window.card.now.text() == (
        "Known already: PP with talc or EPDM, read from the mark “pp td 20”. "
        "Answer only to put it right."
    )
    asked = {entry.key for entry in window.navigator.order}
    assert not asked & {"carrier.floats", "carrier.feel", "carrier.cut"}
    facts = read_case(kept, engine.pack.facts).facts
    assert facts[MARK] == "pp td 20" and PLASTIC not in facts
    window.actions_by_key()[QKeySequence("Ctrl+Z").toString()].trigger()
    assert MARK not in window.session.case.facts and window.navigator.screen == MARK
    assert "carrier.floats" in {entry.key for entry in window.navigator.order}


def test_a_mark_that_is_none_is_kept_as_it_was_typed(show, bare: Case, qtbot) -> None:
    window = show(bare)
    type_in(window, qtbot, ">PBT-GF30<")
    assert "The rules have no hard part of this plastic." in field(window).understood.text()
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.session.case.facts[MARK] == ">PBT-GF30<"
    window.navigator.go(PLASTIC)
    assert window.card.now.isHidden() or not window.card.now.text().startswith("Known already")
    window.navigator.go(MARK)
    assert field(window).line.text() == ">PBT-GF30<"
    assert field(window).understood.isVisible()
    assert any(">PBT-GF30<" in finding for finding in window.session.advice.findings)


def test_an_answer_against_the_mark_unsettles_the_choice(show, bare: Case, qtbot) -> None:
    window = show(bare)
    type_in(window, qtbot, ">ABS<")
    press(window, qtbot, Qt.Key.Key_Return)
    window.navigator.answer(PLASTIC, ("pp",))
    advice = window.session.advice
    assert advice.verdict == "ask"
    assert next(q.fact for q in advice.ask if q.worth_asking) == MARK


def test_the_mark_of_the_other_piece_is_read_too(show, bare: Case, qtbot) -> None:
    window = show(bare.with_fact("damage.missing_material", True).with_fact(MARK, ">PP<"))
    window.navigator.go("carrier.piece_mark")
    qtbot.keyClicks(window.focusWidget(), ">PE-HD<")
    assert field(window).understood.text().startswith("PE-HD. Taken as: PE-HD.")
    press(window, qtbot, Qt.Key.Key_Return)
    weld = next(m for m in window.session.advice.methods if m.method == "plastic_weld")
    assert weld.status == "not_possible"
    assert "does not fuse with this plastic" in weld.because[0].text
