"""Faults that a person who tries everything ran into, each once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton, QWidget

from advisor import paths
from advisor.advice.advise import Advised
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.job.job_page import JobPage
from advisor.gui.job.prices_dialog import open_prices
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets import dialogs
from advisor.gui.widgets import page as pages
from advisor.gui.widgets.dialogs import Leave
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.gui.widgets.stop_banner import Stopping, wordings
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import (
    EARLIER_REPAIRS,
    HAZARD_PAGE,
    JOB_SHEET,
    METHOD_PAGE,
    PHOTOS,
    RECORD_PAGE,
    Tab,
)
from tests.field.gates import with_other_gates_cleared
from tests.gui.hazards.page_actions import to_hazards, with_open_hazards
from tests.gui.random_user.person import settled
from tests.gui.random_user.window_checks import MONEY, cut_texts, outside, overlaid, texts_of

LEFT, CTRL = Qt.MouseButton.LeftButton, Qt.KeyboardModifier.ControlModifier
Key = Qt.Key


def demo(engine: Engine, name: str) -> Case:
    return read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)


def stopped_many_times(engine: Engine) -> Case:
    """A seat of an aircraft that nobody may touch, for five reasons."""
    case = with_open_hazards(engine, "aircraft_no_station")
    for fact in ("airbag", "belt", "heater", "seat_structure", "contamination"):
        decl = engine.pack.facts[f"gate.{fact}"]
        case = case.with_fact(decl.name, (decl.keys[0],) if decl.keys else True)
    return case


def below(upper: QWidget, lower: QWidget) -> bool:
    """Whether one widget ends before the other begins."""
    return upper.mapToGlobal(QPoint(0, upper.height())).y() <= lower.mapToGlobal(QPoint(0, 0)).y()


def work_out(window: MainWindow) -> VerdictPage:
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    settled()
    while page.is_working:
        QApplication.processEvents()
    settled()
    return page


# -- a stop is read whole ------------------------------------------------------------------


@pytest.mark.parametrize("size", [(760, 600), (1024, 600), (1280, 800), (800, 1100)])
def test_a_stop_for_many_reasons_is_read_whole_and_leaves_the_question_room(
    show, engine: Engine, size
) -> None:
    window = show(stopped_many_times(engine))
    window.resize(*size)
    for screen in ("damage.length", "skin.material", RECORD_PAGE, EARLIER_REPAIRS):
        window.navigator.go(screen)
        settled()
        assert window.alarm.isVisible(), screen
        assert window.alarm.text().startswith("Stop: refer this job. An airbag opens through")
        assert cut_texts(window) == [], screen
        assert window.stack.height() >= 150, screen


def test_the_stop_is_said_as_fully_as_there_is_room_for() -> None:
    stops = [Stopping("An airbag is here", "It must open."), Stopping("A belt is here", "No.")]
    assert wordings(stops) == (
        "Stop: refer this job. An airbag is here: It must open. A belt is here: No.",
        "Stop: refer this job. An airbag is here. A belt is here. The Verdict stage says why.",
        "Stop: refer this job. An airbag is here. And 1 more. The Verdict stage says why.",
    )
    assert wordings([]) == ()


def test_a_wide_window_says_why_it_stops(show, engine: Engine) -> None:
    window = show(demo(engine, "airbag_seam"))
    window.resize(1600, 1000)
    window.navigator.go("damage.length")
    settled()
    assert "Refer to the vehicle maker's dealer" in window.alarm.text()


def test_a_stopped_job_is_not_reckoned_any_closer(show, engine: Engine) -> None:
    window = show(demo(engine, "airbag_seam"))
    window.session._advised = Advised(replace(window.session.advice, rough=True))
    window.rough.redraw()
    assert window.session.rough
    assert not window.rough.isVisible()
    assert window.session.thorough.case is None


def test_the_question_goes_before_the_picture_in_a_low_window(show, engine: Engine) -> None:
    window = show(demo(engine, "split_armrest"))
    for size, shown in (((760, 600), False), ((800, 1100), True), ((1024, 600), True)):
        window.resize(*size)
        window.navigator.go("damage.length")
        settled()
        assert window.side.isVisible() is shown, size


# -- everything in its place ---------------------------------------------------------------


def test_what_still_matters_keeps_off_the_buttons(show, qtbot) -> None:
    """The damage answered before the part, beginning with an empty case."""
    window = show()
    window.resize(1600, 1000)
    settled()
    window.go_tab(Tab.DAMAGE)
    settled()
    qtbot.mouseClick(window.card.answer.buttons[-1], LEFT)
    settled()
    assert window.matters.buttons[0].isVisible()
    assert below(window.way, window.matters)


def test_what_would_change_the_choice_keeps_its_height_when_filled_again(
    show, engine: Engine
) -> None:
    window = show(demo(engine, "split_armrest"))
    window.resize(800, 1100)
    for number in range(4):
        window.navigator.go(METHOD_PAGE)
        page = work_out(window)
        assert page.tries
        assert [*cut_texts(page), *outside(window), *overlaid(window)] == [], number
        window.navigator.switch_units()
        window.navigator.answer("damage.length", Span(90.0 + number, 90.0 + number))


@pytest.mark.parametrize("size", [(760, 600), (1000, 600), (1024, 600)])
@pytest.mark.parametrize("screen", [EARLIER_REPAIRS, PHOTOS])
def test_the_editors_are_no_wider_than_the_card(show, engine: Engine, size, screen) -> None:
    window = show(demo(engine, "split_armrest"))
    window.resize(*size)
    window.navigator.go(screen)
    settled()
    assert outside(window) == []


def test_a_ticked_box_in_the_prices_is_read_whole(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "split_armrest"))
    dialog = open_prices(window.navigator, window)
    assert dialog is not None
    settled()
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    for row in dialog.stock[:3]:
        dialog.area.ensureWidgetVisible(row.order)
        settled()
        QTest.mouseClick(row.order, LEFT)
        settled()
        assert cut_texts(dialog) == []
    dialog.hide()


def test_many_faults_of_a_form_are_read_whole_and_leave_the_fields_room(
    show, engine: Engine
) -> None:
    window = show(demo(engine, "split_armrest"))
    window.resize(760, 600)
    dialog = open_prices(window.navigator, window)
    assert dialog is not None
    for row in dialog.stock:
        row.price.setText("x" * 10_000)
    settled()
    dialog.save.click()
    settled()
    assert f"And {len(dialog.stock) - 4} more." in dialog.faults.text()
    assert cut_texts(dialog) == [] and dialog.area.height() > 120
    dialog.hide()


def test_a_word_that_fills_the_form_is_told_in_short(show, engine: Engine) -> None:
    window = show(demo(engine, "split_armrest"))
    window.resize(760, 600)
    window.navigator.go(JOB_SHEET)
    page = window.pages[JOB_SHEET]
    assert isinstance(page, JobPage)
    page.ask_measures()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, FormDialog)
    for line in dialog.findChildren(QLineEdit):
        line.setText("<b>x</b>" + 10_000 * "x")
    settled()
    dialog.save.click()
    settled()
    assert dialog.isVisible() and "<b>x</b>xxx" in dialog.faults.text()
    assert cut_texts(dialog) == [] and outside(dialog) == []
    dialog.hide()


def test_a_dialog_is_no_higher_than_its_fields(show, engine: Engine) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go(JOB_SHEET)
    page = window.pages[JOB_SHEET]
    assert isinstance(page, JobPage)
    page.ask_measures()
    dialog = QApplication.activeModalWidget()
    assert dialog is not None
    settled()
    assert dialog.height() < 400
    dialog.close()


# -- a declined job ------------------------------------------------------------------------


def declined_case(engine: Engine) -> Case:
    """Crumbled padding in a load floor that most likely has none, and no new one to be had."""
    told = {
        "part.kind": ("load_floor",), "vehicle.kind": ("bus",),
        "damage.kind": ("core_collapsed",), "core.state": ("crumbles",),
        "skin.material": ("vinyl_backed",), "part.available": False,
    }  # fmt: skip
    return with_other_gates_cleared(Case("HB-7", facts=told), engine.pack)


def test_a_declined_job_shows_neither_steps_nor_a_price(show, engine: Engine) -> None:
    window = show(declined_case(engine))
    assert window.session.advice.verdict == "decline"
    assert window.session.advice.plan is not None
    for screen in (METHOD_PAGE, JOB_SHEET, "damage.kind"):
        window.navigator.go(screen)
        work_out(window)
        texts = texts_of(window)
        assert not [text for text in texts if MONEY.search(text)], screen
        assert "Steps" not in texts and "The plan, in this order" not in texts
        assert "Advised against; no further question is worth asking." in texts
        if screen != "damage.kind":
            assert any(text.startswith("Do not repair. ") for text in texts), screen


@pytest.mark.parametrize("declined", [True, False])
def test_a_trial_of_a_job_without_a_plan_speaks_of_none(
    show, engine: Engine, declined: bool
) -> None:
    window = show(declined_case(engine) if declined else demo(engine, "airbag_seam"))
    window.navigator.try_answer("vehicle.age", Span(3.0, 3.0, "3 yr"))
    settled()
    texts = texts_of(window)
    said = "do not repair" if declined else "refer this job"
    assert f"Nothing changes: {said}." in texts
    assert not [text for text in texts if MONEY.search(text)]


# -- keys ----------------------------------------------------------------------------------


def test_a_stage_is_there_as_soon_as_its_key_is_pressed(window: MainWindow, qtbot) -> None:
    """A digit typed right after it must not answer the question before."""
    qtbot.keyClick(window.focusWidget(), Key.Key_F4)
    assert window.navigator.entry.tab is Tab.DETAILS


@pytest.mark.parametrize("screen", [EARLIER_REPAIRS, PHOTOS])
def test_enter_on_an_editor_goes_on(show, engine: Engine, qtbot, screen) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go("damage.kind")
    window.navigator.go(screen)
    settled()
    before = window.session.case
    assert window.card.editor is not None
    assert window.card.editor.isAncestorOf(window.focusWidget())
    qtbot.keyClick(window.focusWidget(), Key.Key_Return)
    assert window.navigator.screen == METHOD_PAGE, "all that matters is answered"
    assert window.session.case is before


def test_tab_goes_from_the_last_hazard_to_next(show, engine: Engine, qtbot) -> None:
    window = show(with_open_hazards(engine, "aircraft_no_station"))
    page = to_hazards(window, qtbot)
    page.rows[-1].more.setFocus()
    qtbot.keyClick(page.rows[-1].more, Key.Key_Tab)
    assert window.focusWidget() is window.next
    qtbot.keyClick(window.next, Key.Key_Tab, Qt.KeyboardModifier.ShiftModifier)
    assert window.focusWidget() is page.rows[-1].more


@pytest.mark.parametrize("screen", ["skin.material", "damage.length", METHOD_PAGE, RECORD_PAGE])
def test_tab_goes_from_the_stages_to_the_screen_and_on(
    show, engine: Engine, qtbot, screen: str
) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go(screen)
    settled()
    window.stages.buttons[Tab.RECORD].setFocus()
    reached: list[QWidget] = []
    while window.back not in reached:
        qtbot.keyClick(window.focusWidget(), Key.Key_Tab)
        reached.append(window.focusWidget())
        assert len(reached) < 60
    inside = [window.stack.isAncestorOf(widget) for widget in reached]
    last = len(inside) - 1 - inside[::-1].index(True)
    assert all(inside[: last + 1])
    assert reached[last + 1] in (window.next, window.back)


def test_the_keyboard_is_found_again_after_a_dialog(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go("damage.length")
    settled()
    window.picture.bars.rows[0].setFocus()
    dialog = open_prices(window.navigator, window)
    assert dialog is not None
    dialog.activateWindow()
    qtbot.waitUntil(dialog.isActiveWindow)
    window.resize(900, 540)  # a tablet turned: no room for the picture, however late it is filled
    qtbot.waitUntil(window.side.isHidden)
    assert not window.focusWidget().isVisible()
    dialog.reject()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    settled()
    assert window.card.isAncestorOf(window.focusWidget())


# -- hazards in the strip --------------------------------------------------------------------


def test_several_hazards_are_one_button_that_leads_to_their_page(
    show, engine: Engine, qtbot
) -> None:
    window = show(with_open_hazards(engine, "airbag_seam"))
    for screen in ("damage.length", JOB_SHEET, RECORD_PAGE):
        window.navigator.go(screen)
        settled()
        shown = [b for b in window.matters.findChildren(QPushButton) if b.isVisible()]
        assert shown[0].text() == "Hazards: 9 open"
        assert not [b for b in shown if b.text().startswith("Hazard: ")]
        assert window.matters.heading.text().startswith("9 hazard questions are open.")
        qtbot.mouseClick(shown[0], LEFT)
        assert window.navigator.screen == HAZARD_PAGE


def test_on_the_card_of_a_hazard_the_others_are_one_button(show, engine: Engine) -> None:
    window = show(with_open_hazards(engine, "airbag_seam"))
    window.navigator.go("gate.airbag")
    assert window.matters.buttons[0].text() == "Hazards: 8 more open"


def test_the_method_page_asks_for_all_hazards_at_once(show, engine: Engine, qtbot) -> None:
    window = show(with_open_hazards(engine, "airbag_seam"))
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.question.text() == "Answer the 9 open hazard questions"
    assert not [b for b in window.matters.buttons if b.isVisible() and "azard" in b.text()]
    qtbot.mouseClick(page.question, LEFT)
    assert window.navigator.screen == HAZARD_PAGE


# -- answers and files -----------------------------------------------------------------------


def test_a_length_that_is_too_long_for_the_part_since_named_is_taken_back(
    show, engine: Engine, tmp_path: Path
) -> None:
    """No case file may hold it: the kept case could not be opened again."""
    long = demo(engine, "brittle_bench").with_fact("damage.length", Span(1500.0, 1500.0, "1.5 m"))
    kept = tmp_path / "autosave-part-1.yaml"
    window = show(long, kept)
    window.navigator.answer("part.kind", ("armrest",))
    assert "damage.length" not in window.session.case.facts
    assert read_case(kept, engine.pack.facts) == window.session.case
    window.navigator.go("damage.length")
    settled()
    assert window.card.now.isVisible()
    assert window.card.now.text().startswith("1500 mm was taken back")
    window.navigator.undo()
    assert window.session.case == long
    window.navigator.go("damage.length")
    assert "taken back" not in window.card.now.text() or not window.card.now.isVisible()


def test_opening_called_off_leaves_the_kept_answers_where_they_are(
    window: MainWindow, monkeypatch, autosave: Path
) -> None:
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: None)
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: Leave.KEEP)
    window.navigator.answer("part.kind", ("armrest",))
    window.actions_by_key()["Ctrl+O"].trigger()
    assert window.session.autosave == autosave
    assert autosave.exists()


def test_a_hazard_that_its_own_answer_takes_away_hands_the_keyboard_on(
    show, engine: Engine, qtbot, monkeypatch
) -> None:
    window = show(with_open_hazards(engine, "aircraft_panel_station"))
    page = to_hazards(window, qtbot)
    for row in page.rows:
        fact = row.fact
        window.navigator.answer(fact.name, (fact.keys[-1],) if fact.keys else False)
    first, order = page.rows[0], window.navigator.order
    gone = first.fact.name
    monkeypatch.setattr("advisor.gui.navigator.entries", lambda pack, case: tuple(
        entry for entry in order if entry.key != gone))
    first.options.buttons[-1].setFocus()
    qtbot.mouseClick(first.options.buttons[-1], LEFT)
    qtbot.mouseClick(first.options.buttons[0], LEFT)
    settled()
    assert first not in page.rows
    assert window.focusWidget() is page.rows[0]


def test_a_doubted_answer_without_a_screen_is_not_asked_for(show, engine: Engine) -> None:
    """A question may be worth asking that the part since named has no screen for."""
    window = show(demo(engine, "split_armrest").without("damage.hole_state"))
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.question.property("fact") == "damage.hole_state"
    kept = (e for e in window.navigator.order if e.key != "damage.hole_state")
    window.navigator.order = tuple(kept)
    page.redraw()
    assert page.question.isHidden() or page.question.property("fact") != "damage.hole_state"


def test_the_pages_are_emptied_by_name(qtbot) -> None:
    """A widget taken out and put in again has the height it then needs."""
    from PySide6.QtWidgets import QLabel, QVBoxLayout

    whole = QWidget()
    qtbot.addWidget(whole)
    top = QWidget(whole)
    column = QVBoxLayout(top)
    kept, other = pages.label("one", "", top), QLabel("other", top)
    for widget in (kept, other):
        column.addWidget(widget)
    top.resize(200, 400)
    whole.show()
    settled()
    pages.empty(column, (kept,))
    assert column.count() == 0
    assert kept.isVisible()
    assert not other.isVisible()
    kept.setText("a text that is much longer, and wraps into several lines")
    column.addWidget(kept)
    settled()
    assert cut_texts(top) == []


@pytest.mark.parametrize("size", [(760, 600), (1024, 600)])
def test_the_line_of_many_open_hazards_is_read_whole(show, engine: Engine, size) -> None:
    window = show(with_open_hazards(engine, "split_armrest"))
    window.resize(*size)
    window.go_tab(Tab.JOB)
    settled()
    assert window.hazard_strip.isVisible()
    assert cut_texts(window) == [] and outside(window) == []
