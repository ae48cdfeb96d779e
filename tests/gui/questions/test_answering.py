"""The interview, driven by clicks and keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QWidget

from advisor import paths
from advisor.facts.case import EarlierRepair, Span
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.questions.repairs_and_photos import PhotosEditor, RepairsEditor
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer
from advisor.gui.widgets.answers.typed_answers import AmountAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.screens import EARLIER_REPAIRS, METHOD_PAGE, QUESTION_LIST, Tab
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

LEFT = Qt.MouseButton.LeftButton


def line(window: MainWindow) -> QLineEdit:
    """The field of the question that is shown."""
    assert isinstance(window.card.answer, AmountAnswer)
    return window.card.answer.line


def pick(window: MainWindow, qtbot, title: str) -> None:
    """Click the option called ``title``."""
    assert isinstance(window.card.answer, ChoiceAnswer)
    button = next(b for b in window.card.answer.buttons if b.title == title)
    qtbot.mouseClick(button, LEFT)


def press(window: MainWindow, qtbot, key: Qt.Key, *modifiers: Qt.KeyboardModifier) -> None:
    """Press a key where the keyboard is."""
    target: QWidget = window.focusWidget() or window
    qtbot.keyClick(target, key, modifiers[0] if modifiers else Qt.KeyboardModifier.NoModifier)


def stage(window: MainWindow, qtbot, tab: Tab) -> None:
    """Click a stage."""
    qtbot.mouseClick(window.stages.buttons[tab], LEFT)


def test_a_split_armrest_from_the_first_question_to_the_verdict(
    window: MainWindow, qtbot, autosave: Path
) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    assert window.navigator.screen == "hazard.airbag"
    press(window, qtbot, Qt.Key.Key_N)
    assert window.navigator.screen == "core.state"
    assert window.matters.heading.text() == "About 1 more, 1 minute"
    press(window, qtbot, Qt.Key.Key_1)
    assert window.navigator.screen == METHOD_PAGE
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.headline.text() == "Stitch the seam by hand; glue would let go."
    assert window.matters.heading.text() == "Decided: no further question is worth asking."
    kept = read_case(autosave, window.session.pack.facts)
    assert kept == window.session.case
    assert kept.facts["hazard.airbag"] is False


def test_what_is_not_known_is_left_open_and_not_asked_again(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    press(window, qtbot, Qt.Key.Key_N)
    qtbot.mouseClick(window.leave, LEFT)
    assert window.navigator.screen == METHOD_PAGE
    assert "core.state" in window.session.left_open
    press(window, qtbot, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.navigator.screen == "core.state"
    window.actions_by_key()["Ctrl+0"].trigger()
    assert window.navigator.screen == METHOD_PAGE


def test_every_question_is_one_click_away(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    qtbot.mouseClick(window.way.all, LEFT)
    assert window.navigator.screen == QUESTION_LIST
    rows = {b.accessibleName().split(":")[0]: b for b in
            window.pages[QUESTION_LIST].findChildren(QPushButton)}
    assert {"Kind of part", "Gap at rest", "Airbag in this section", "Photos"} <= set(rows)
    assert rows["Kind of part"].accessibleName() == "Kind of part: Armrest"
    qtbot.mouseClick(rows["Gap at rest"], LEFT)
    assert window.navigator.screen == "damage.gap"


def test_redo_gives_the_answer_again(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    after = window.session.case.facts
    window.actions_by_key()["Ctrl+Z"].trigger()
    window.actions_by_key()["Ctrl+Z"].trigger()
    assert window.session.case.facts == {}
    window.actions_by_key()["Ctrl+Y"].trigger()
    assert list(window.session.case.facts) == ["part.kind"]
    redo = window.actions_by_key()["Ctrl+Y"]
    assert "Ctrl+Shift+Z" in [keys.toString() for keys in redo.shortcuts()]
    redo.trigger()
    assert window.session.case.facts == after
    window.actions_by_key()["Ctrl+Z"].trigger()
    pick(window, qtbot, "Tear in the skin")
    redo.trigger()
    assert window.session.case.facts["damage.kind"] == ("tear",), "a new answer ends redoing"


def test_digits_pick_and_enter_goes_on(window: MainWindow, qtbot) -> None:
    press(window, qtbot, Qt.Key.Key_2)
    assert window.session.case.facts["part.kind"] == ("seat_cushion",)
    assert window.navigator.screen == "damage.kind"
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.navigator.screen == "hazard.airbag"
    press(window, qtbot, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.navigator.screen == "damage.kind"
    press(window, qtbot, Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)
    assert window.navigator.screen == "hazard.airbag"


def test_arrow_keys_and_space_reach_every_option(window: MainWindow, qtbot) -> None:
    assert isinstance(window.card.answer, ChoiceAnswer)
    first, second = window.card.answer.buttons[:2]
    assert window.focusWidget() is first
    press(window, qtbot, Qt.Key.Key_Tab)
    assert window.focusWidget() is second
    press(window, qtbot, Qt.Key.Key_Space)
    assert window.session.case.facts["part.kind"] == ("seat_cushion",)


@pytest.mark.parametrize("key", [Qt.Key.Key_Y, Qt.Key.Key_N])
def test_y_and_n_answer(window: MainWindow, qtbot, key: Qt.Key) -> None:
    stage(window, qtbot, Tab.HAZARDS)
    assert isinstance(window.card.answer, YesNoAnswer)
    press(window, qtbot, key)
    assert window.session.case.facts["hazard.airbag"] is (key == Qt.Key.Key_Y)


def test_several_possible_answers_are_kept_as_several(window: MainWindow, qtbot) -> None:
    window.navigator.go("skin.material")
    assert isinstance(window.card.answer, ChoiceAnswer)
    box = window.card.answer.several
    qtbot.mouseClick(box, LEFT, pos=QPoint(14, box.height() // 2))
    pick(window, qtbot, "Vinyl")
    pick(window, qtbot, "Leather")
    assert window.session.case.facts["skin.material"] == ("vinyl", "leather")
    assert window.navigator.screen == "skin.material"
    pick(window, qtbot, "Vinyl")
    assert window.session.case.facts["skin.material"] == ("leather",)


def test_a_wrong_amount_says_so_and_keeps_what_was_typed(window: MainWindow, qtbot) -> None:
    window.navigator.go("damage.length")
    qtbot.keyClicks(line(window), "12 bananas")
    press(window, qtbot, Qt.Key.Key_Return)
    answer = window.card.answer
    assert isinstance(answer, AmountAnswer)
    assert window.navigator.screen == "damage.length"
    assert answer.fault.isVisible()
    assert answer.fault.text().startswith("The unit is not known. Write a length such as 120 mm")
    assert line(window).text() == "12 bananas"
    assert "damage.length" not in window.session.case.facts
    line(window).clear()
    qtbot.keyClicks(line(window), "12 cm")
    assert not answer.fault.isVisible()
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.session.case.facts["damage.length"] == Span(120, 120)


def test_a_half_typed_amount_survives_a_jump_to_another_stage(window: MainWindow, qtbot) -> None:
    window.navigator.go("damage.length")
    qtbot.keyClicks(line(window), "12 ba")
    stage(window, qtbot, Tab.DETAILS)
    stage(window, qtbot, Tab.HAZARDS)
    window.navigator.go("damage.length")
    assert line(window).text() == "12 ba"


def test_a_good_amount_is_taken_over_when_one_jumps_away(window: MainWindow, qtbot) -> None:
    window.navigator.go("damage.length")
    qtbot.keyClicks(line(window), "120 to 130 mm")
    stage(window, qtbot, Tab.VERDICT)
    assert window.session.case.facts["damage.length"] == Span(120, 130)


def test_the_answer_stays_as_it_was_written(window: MainWindow, qtbot) -> None:
    window.navigator.go("damage.gap")
    qtbot.keyClicks(line(window), "1/4 in")
    press(window, qtbot, Qt.Key.Key_Return)
    window.navigator.go("damage.gap")
    assert line(window).text() == "1/4 in"
    assert isinstance(window.card.answer, AmountAnswer)
    assert window.card.answer.also.text() == "= 6.35 mm"


def test_units_change_what_is_shown_and_not_the_answer(window: MainWindow, qtbot) -> None:
    window.navigator.go("damage.gap")
    qtbot.keyClicks(line(window), "12 mm")
    press(window, qtbot, Qt.Key.Key_Return)
    window.navigator.go("damage.gap")
    before = window.session.case
    hint = line(window).placeholderText()
    assert "mm" in hint
    window.actions_by_key()["Ctrl+U"].trigger()
    assert isinstance(window.card.answer, AmountAnswer)
    assert window.card.answer.also.text() == "= 0.472 in"
    assert line(window).placeholderText() != hint
    assert line(window).text() == "12 mm"
    assert window.session.case is before


def test_undo_takes_the_last_answer_back_and_goes_there(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    stage(window, qtbot, Tab.RECORD)
    qtbot.mouseClick(window.undo, LEFT)
    assert "damage.kind" not in window.session.case.facts
    assert window.navigator.screen == "damage.kind"
    window.actions_by_key()["Ctrl+Z"].trigger()
    assert window.session.case.facts == {}
    assert not window.undo.isEnabled()


def test_jumping_between_stages_keeps_the_answers(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    before = window.session.case.facts
    for tab in (*Tab, *reversed(Tab)):
        stage(window, qtbot, tab)
        assert window.navigator.entry.tab is tab
        assert window.stages.buttons[tab].isChecked()
    assert window.session.case.facts == before
    assert "1 of 1" in window.stages.buttons[Tab.PART].accessibleName()


def test_what_still_matters_is_one_touch_away(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    window.navigator.go("damage.kind")
    pick(window, qtbot, "Seam has opened")
    window.navigator.go("skin.material")
    button = window.matters.buttons[0]
    assert button.text() == "Hazard: Airbag in this section"
    qtbot.mouseClick(button, LEFT)
    assert window.navigator.screen == "hazard.airbag"
    assert window.card.now.isVisible()
    assert window.card.now.text().startswith("This comes before everything else.")


def offered_now(window: MainWindow) -> list[str]:
    """What the strip offers: its buttons and the lines of its menu."""
    strip = window.matters
    shown = [button.text() for button in strip.buttons if button.isVisible()]
    return shown + [action.text() for action in strip.menu.actions() if strip.more.isVisible()]


def test_the_question_on_the_screen_is_not_offered_again(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    window.navigator.go("damage.kind")
    pick(window, qtbot, "Seam has opened")
    window.navigator.go("skin.material")
    assert offered_now(window) == ["Hazard: Airbag in this section", "State of the foam"]
    qtbot.mouseClick(window.matters.buttons[0], LEFT)
    assert window.card.now.text() == (
        "This comes before everything else. A seam over an airbag is not ours."
    )
    assert offered_now(window) == ["State of the foam"]
    assert window.matters.heading.text().startswith("Questions that matter after this")
    assert not window.matters.why.isVisible()
    press(window, qtbot, Qt.Key.Key_N)
    window.navigator.go("core.state")
    assert window.card.now.text().startswith("Matters most now. Decides between stitching")
    assert offered_now(window) == []
    press(window, qtbot, Qt.Key.Key_1)
    assert window.matters.heading.text() == "Decided: no further question is worth asking."
    assert window.matters.heading.isVisible()


def test_the_most_valuable_question_is_called_so_and_others_not(
    window: MainWindow, qtbot
) -> None:
    pick(window, qtbot, "Armrest")
    window.navigator.go("damage.kind")
    pick(window, qtbot, "Seam has opened")
    window.navigator.go("core.state")
    assert window.card.now.text() == "Matters as well. Decides between stitching and new foam."
    assert offered_now(window) == ["Hazard: Airbag in this section"]
    window.actions_by_key()["Ctrl+J"].trigger()
    assert window.navigator.screen == "hazard.airbag"
    window.actions_by_key()["Ctrl+J"].trigger()
    assert window.navigator.screen == "hazard.airbag"


def test_the_method_page_and_the_strip_ask_different_questions(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    window.navigator.go("damage.kind")
    pick(window, qtbot, "Seam has opened")
    stage(window, qtbot, Tab.VERDICT)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.question.text() == "Answer the hazard question: Airbag in this section"
    assert offered_now(window) == ["State of the foam"]
    qtbot.mouseClick(window.matters.buttons[0], LEFT)
    assert window.navigator.screen == "core.state"


def test_earlier_repairs_are_listed_or_none(window: MainWindow, qtbot) -> None:
    window.navigator.go(EARLIER_REPAIRS)
    editor = window.card.editor
    assert isinstance(editor, RepairsEditor)
    assert editor.state.text() == "Not asked yet."
    qtbot.mouseClick(editor.none, LEFT)
    assert window.session.case.earlier_repairs == ()
    editor.method.setCurrentIndex(editor.method.findData("adhesive_bond"))
    qtbot.keyClicks(editor.what, "contact glue")
    qtbot.keyClicks(editor.lasted, "3 weeks")
    qtbot.mouseClick(editor.add, LEFT)
    assert window.session.case.earlier_repairs == (
        EarlierRepair("adhesive_bond", "contact glue", "", "3 weeks"),
    )
    assert editor.rows.item(0).text() == "Glue the lips together, contact glue, lasted 3 weeks"
    qtbot.mouseClick(editor.remove, LEFT)
    assert window.session.case.earlier_repairs is None


def test_photos_are_kept_by_name(window: MainWindow, qtbot, monkeypatch) -> None:
    monkeypatch.setattr(dialogs, "ask_photos", lambda parent: ("a.jpg", "b.jpg"))
    window.navigator.go("photos")
    editor = window.card.editor
    assert isinstance(editor, PhotosEditor)
    qtbot.mouseClick(editor.add, LEFT)
    qtbot.mouseClick(editor.add, LEFT)
    assert window.session.case.photos == ("a.jpg", "b.jpg")
    qtbot.mouseClick(editor.remove, LEFT)
    assert window.session.case.photos == ("a.jpg",)


def test_a_long_list_can_be_shortened_by_a_word(window: MainWindow, qtbot) -> None:
    fact = window.session.pack.facts["part.kind"]
    ground = QWidget()
    qtbot.addWidget(ground)
    answer = ChoiceAnswer(fact, ground)
    ground.show()
    answer.search.show()
    qtbot.keyClicks(answer.search, "roof")
    assert [b.title for b in answer.buttons if b.isVisible()] == ["Roof lining"]


def test_a_full_disk_is_said_in_the_window(open_window, qtbot, tmp_path: Path) -> None:
    autosave = tmp_path / "no" / "autosave-x-1.yaml"
    window = open_window(Session(SmallPack(), without_working(small_advise), autosave=autosave))
    assert window.lost.isHidden()
    pick(window, qtbot, "Armrest")
    assert window.lost.isVisible()
    assert "NOT kept" in window.lost.text()


def test_what_is_pointed_at_is_previewed_and_changes_no_case(
    show, engine: Engine, qtbot, qapp: QApplication
) -> None:
    case = read_case(paths.demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window = show(case.without("damage.hole_state"))
    window.navigator.go("damage.hole_state")
    qapp.processEvents()
    before = window.session.case
    answer = window.card.answer
    assert isinstance(answer, ChoiceAnswer)
    torn = answer.buttons[-1]
    torn.pointed_at.emit(True)
    qtbot.waitUntil(lambda: window.picture.section._preview.startswith("If so: "))
    ghosts = [row for row in window.picture.bars.rows if row._ghost is not None]
    assert ghosts
    assert window.session.case is before
    torn.pointed_at.emit(False)
    assert window.picture.section._preview == ""
    assert all(row._ghost is None for row in window.picture.bars.rows)


def test_no_hazard_is_previewed(window: MainWindow, qtbot) -> None:
    pick(window, qtbot, "Armrest")
    pick(window, qtbot, "Seam has opened")
    assert window.navigator.screen == "hazard.airbag"
    assert isinstance(window.card.answer, YesNoAnswer)
    window.card.answer.yes.pointed_at.emit(True)
    assert not window.card._preview.isActive()
