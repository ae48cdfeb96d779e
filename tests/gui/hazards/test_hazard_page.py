"""All hazard questions on one page, answered by clicks and keys."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, QPoint, QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractButton, QApplication

from advisor.advice.result import GateState, Verdict
from advisor.facts.case_file import read_case
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.app import Engine
from advisor.gui.hazards.hazard_badge import UNCERTAIN
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.gui.window.next_back_bar import NEXT, NEXT_OPEN
from advisor.session.screens import HAZARD_PAGE, METHOD_PAGE, RECORD_PAGE, Tab
from tests.gui.hazards.page_actions import (
    AIRBAG,
    BELT,
    LEFT,
    OPERATOR,
    SEAT,
    STATION,
    click,
    in_sight,
    laid_out,
    option,
    press,
    row_of,
    screen_y,
    still_open,
    to_hazards,
    with_open_hazards,
)
from tests.gui.window.test_look import clipped
from tests.gui.window.test_pages import shown_text

SIZES = [(1024, 600), (1280, 800), (800, 1100), (760, 620)]
Key = Qt.Key


@pytest.fixture
def seat(show, engine: Engine, tmp_path: Path) -> MainWindow:
    """A seat of an aircraft whose eleven hazard questions are all open."""
    case, autosave = with_open_hazards(engine, SEAT), tmp_path / "autosave-1-1.yaml"
    found: MainWindow = show(case, autosave=autosave)
    laid_out()
    return found


# -- what stands there ---------------------------------------------------------------------


def test_every_hazard_of_the_seat_stands_there_in_order_and_none_is_answered(
    seat: MainWindow, qtbot
) -> None:
    page = to_hazards(seat, qtbot)
    facts = [row.fact.name for row in page.rows]
    assert len(facts) >= 10
    assert facts == [q.fact for q in seat.session.advice.ask if q.gate]
    assert facts == [gate.fact for gate in seat.session.advice.gates]
    for row in page.rows:
        assert row.ask.text() == row.fact.ask
        titles = [button.title for button in row.options.buttons]
        assert titles == [o.title for o in row.fact.options] or titles == ["Yes", "No"]
        assert not any(button.isChecked() for button in row.options.buttons)
        assert (row.standing.state, row.mark.text) == (GateState.OPEN, "open")
    assert not any(seat.session.pack.facts[name].gate for name in seat.session.case.facts)
    assert page.count.text().startswith(f"{len(facts)} of {len(facts)} hazard questions still open")


def test_no_control_answers_for_more_than_one_question(seat: MainWindow, qtbot) -> None:
    """Nothing but an option of a row changes the case."""
    page = to_hazards(seat, qtbot)
    before = seat.session.case
    options = {button for row in page.rows for button in row.options.buttons}
    others = [b for b in page.findChildren(QAbstractButton) if b not in options]
    assert {b.text() for b in others if b.isVisible()} == {"How?"}
    for button in others:
        if button.isVisible():
            qtbot.mouseClick(button, LEFT)
    assert seat.session.case is before


def test_a_click_answers_and_everything_follows(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    row, rows = row_of(page, STATION), list(page.rows)
    place = screen_y(row)
    click(page, qtbot, STATION, "yes")
    assert seat.session.case.facts[STATION] is True
    assert seat.session.autosave is not None
    assert read_case(seat.session.autosave, seat.session.pack.facts).facts[STATION] is True
    assert option(page, STATION, "yes").isChecked()
    assert not option(page, STATION, "no").isChecked()
    assert row.standing.state is GateState.CAUTION
    assert row.mark.text == "take care"
    assert row.said.isVisible()
    assert "burn-test papers" in row.said.text()
    assert "1 of 11" in seat.stages.buttons[Tab.HAZARDS].accessibleName()
    assert page.count.text().startswith("10 of 11")
    assert page.rows == rows, "rows are kept"
    assert screen_y(row) == place
    assert page.current is page.rows[1]
    assert seat.focusWidget() is page.rows[1]
    click(page, qtbot, OPERATOR, "none")
    assert row_of(page, OPERATOR).mark.text == "clear"
    assert not row_of(page, OPERATOR).said.isVisible()


def test_another_answer_takes_the_place_of_the_first(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    for key, word in (("near", "take care"), ("none", "clear"), ("in_section", "stop")):
        click(page, qtbot, AIRBAG, key)
        assert seat.session.case.facts[AIRBAG] == (key,)
        assert row_of(page, AIRBAG).mark.text == word
        checked = [b.key for b in row_of(page, AIRBAG).options.buttons if b.isChecked()]
        assert checked == [key]


def test_a_second_tap_on_the_same_answer_changes_nothing(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "none")
    before = seat.session.case
    click(page, qtbot, AIRBAG, "none")
    assert option(page, AIRBAG, "none").isChecked()
    assert seat.session.case is before


@pytest.mark.parametrize("size", SIZES)
def test_a_double_tap_answers_one_question_only(seat: MainWindow, qtbot, size) -> None:
    """The place that was tapped is tapped again, whatever stands there by then."""
    seat.resize(*size)
    page = to_hazards(seat, qtbot)
    for row in list(page.rows):
        if row not in page.rows:
            continue
        button = row.options.buttons[0]
        page.area.ensureWidgetVisible(button)
        laid_out()
        before = dict(seat.session.case.facts)
        where = button.mapToGlobal(button.rect().center())
        qtbot.mouseClick(button, LEFT)
        laid_out()
        under = seat.childAt(seat.mapFromGlobal(where))
        assert under is not None
        qtbot.mouseClick(under, LEFT, pos=under.mapFromGlobal(where))
        laid_out()
        after = seat.session.case.facts
        changed = {name for name in {*before, *after} if before.get(name) != after.get(name)}
        assert changed == {row.fact.name}


def test_the_second_half_of_a_double_click_answers_nothing(seat: MainWindow, qtbot) -> None:
    """Not even where another row has come under the finger by then."""
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "near")
    after = seat.session.case
    for button in (option(page, AIRBAG, "none"), option(page, BELT, "none")):
        qtbot.mouseDClick(button, LEFT)
        qtbot.mouseRelease(button, LEFT)
    assert seat.session.case is after


@pytest.mark.parametrize("size", SIZES)
def test_a_caution_at_the_lower_edge_comes_into_sight_with_the_answer(
    seat: MainWindow, qtbot, size
) -> None:
    seat.resize(*size)
    page = to_hazards(seat, qtbot)
    row, bar = row_of(page, "gate.seat_structure"), page.area.verticalScrollBar()
    bar.setValue(row.y() + row.height() - page.area.viewport().height())
    laid_out()
    qtbot.mouseClick(option(page, "gate.seat_structure", "near"), LEFT)
    laid_out()
    assert row.said.isVisible()
    assert in_sight(page, row)
    top = row.mapTo(page.area.viewport(), QPoint(0, 0)).y() + row.height()
    assert top == page.area.viewport().height() or bar.value() == 0, "and no further"


# -- stop ----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_what_stops_the_job_is_said_under_the_row_and_on_top(
    seat: MainWindow, engine: Engine, qtbot, size
) -> None:
    seat.resize(*size)
    page = to_hazards(seat, qtbot)
    row = row_of(page, BELT)
    page.area.ensureWidgetVisible(row)
    laid_out()
    click(page, qtbot, BELT, "in_section")
    gate = engine.pack.gates["belt"]
    assert seat.session.advice.verdict is Verdict.REFER
    assert page.stop.isVisible()
    assert page.stop.text() == f"Stop: refer this job. {gate.title}."
    assert row.mark.text == "stop"
    assert row.said.text() == f"Stop. {gate.refer}"
    assert row.said.contentsRect().x() > 8, "clear of the bar beside it"
    assert in_sight(page, row)
    assert page.current is row, "what stops the job is read before anything else"
    assert seat.matters.heading.text() == "Referred: a hazard decides, not the loads."
    assert not seat.alarm.isVisible(), "said once"
    click(page, qtbot, BELT, "none")
    assert not page.stop.isVisible()
    assert page.count.isVisible()


def test_several_stops_are_counted(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "in_section")
    click(page, qtbot, BELT, "in_section")
    click(page, qtbot, "gate.heater", "in_section")
    assert page.stop.text().endswith(" And 2 more below.")


def test_a_part_that_is_a_hazard_by_itself_stops_unanswered(show, engine: Engine, qtbot) -> None:
    case = with_open_hazards(engine, "worn_bolster").with_fact("part.kind", ("head_restraint",))
    page = to_hazards(show(case), qtbot)
    row = row_of(page, "gate.energy_absorber")
    assert row.mark.text == "stop"
    assert not any(button.isChecked() for button in row.options.buttons)
    assert page.stop.isVisible()


# -- rows that come and go -------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_rows_go_and_come_with_an_answer_and_nothing_jumps(
    seat: MainWindow, qtbot, size
) -> None:
    seat.resize(*size)
    page = to_hazards(seat, qtbot)
    every = list(page.rows)
    row = row_of(page, STATION)
    place = screen_y(row)
    click(page, qtbot, STATION, "no")
    assert page.rows == [r for r in every if r in page.rows]
    assert len(page.rows) < len(every)
    assert OPERATOR not in still_open(page)
    gone = [r for r in every if r not in page.rows]
    assert not any(r.isVisible() for r in gone)
    assert screen_y(row) == pytest.approx(place, abs=50), "the stop on top takes some room"
    assert in_sight(page, row)
    assert f"1 of {len(page.rows)}" in seat.stages.buttons[Tab.HAZARDS].accessibleName()
    click(page, qtbot, STATION, "yes")
    assert page.rows == every
    assert all(r.isVisible() for r in every)
    assert in_sight(page, row)
    ys = [r.y() for r in page.rows]
    assert ys == sorted(ys)


def test_rows_above_may_go_without_moving_the_one_that_is_looked_at(
    seat: MainWindow, qtbot
) -> None:
    seat.resize(1024, 600)
    page = to_hazards(seat, qtbot)
    click(page, qtbot, STATION, "no")
    row = page.rows[-1]
    page.area.ensureWidgetVisible(row)
    laid_out()
    row.setFocus()
    place = screen_y(row)
    seat.session.answer(STATION, True)
    seat.navigator.refresh()
    laid_out()
    assert OPERATOR in still_open(page), "four rows came above"
    assert row.y() > 500
    # The stop went from the top, so the rows have that much more room.
    assert screen_y(row) == place


# -- undo ------------------------------------------------------------------------------------


@pytest.mark.parametrize("way", ["button", "key"])
def test_undo_takes_one_answer_back_and_goes_to_its_row(seat: MainWindow, qtbot, way) -> None:
    page = to_hazards(seat, qtbot)
    for fact, key in ((STATION, "yes"), (OPERATOR, "none"), (BELT, "in_section")):
        click(page, qtbot, fact, key)

    def undo() -> None:
        if way == "button":
            qtbot.mouseClick(seat.undo, LEFT)
        else:
            seat.actions_by_key()["Ctrl+Z"].trigger()
        laid_out()

    undo()
    assert seat.navigator.screen == HAZARD_PAGE
    assert BELT not in seat.session.case.facts
    assert {STATION, OPERATOR} <= set(seat.session.case.facts)
    assert row_of(page, BELT).mark.text == "open"
    assert not row_of(page, BELT).said.isVisible()
    assert not page.stop.isVisible()
    assert seat.focusWidget() is row_of(page, BELT)
    assert in_sight(page, row_of(page, BELT))
    undo()
    assert seat.focusWidget() is row_of(page, OPERATOR)
    undo()
    assert STATION not in seat.session.case.facts
    assert len(still_open(page)) == len(page.rows)


def test_undo_brings_an_earlier_answer_back(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "near")
    click(page, qtbot, AIRBAG, "none")
    qtbot.mouseClick(seat.undo, LEFT)
    assert option(page, AIRBAG, "near").isChecked()
    assert row_of(page, AIRBAG).mark.text == "take care"


def test_undo_from_another_stage_leads_to_the_row(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "none")
    qtbot.mouseClick(seat.stages.buttons[Tab.RECORD], LEFT)
    qtbot.mouseClick(seat.undo, LEFT)
    laid_out()
    assert seat.hazards is page
    assert seat.focusWidget() is row_of(page, AIRBAG)


# -- how to see it, and the whole question -----------------------------------------------------


def test_a_row_opens_to_tell_how_to_see_it(seat: MainWindow, engine: Engine, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    row = row_of(page, AIRBAG)
    assert not row.how.isVisible()
    qtbot.mouseClick(row.more, LEFT)
    laid_out()
    assert row.how.isVisible()
    assert row.how.text() == engine.pack.facts[AIRBAG].how
    assert in_sight(page, row)
    assert page.current is row
    click(page, qtbot, AIRBAG, "near")
    assert row.how.isVisible(), "an answer does not close it"
    qtbot.mouseClick(row.more, LEFT)
    assert not row.how.isVisible()


def test_several_possible_are_marked_on_the_card_and_the_way_leads_back(
    seat: MainWindow, qtbot
) -> None:
    page = to_hazards(seat, qtbot)
    row = row_of(page, AIRBAG)
    qtbot.mouseClick(row.more, LEFT)
    laid_out()
    qtbot.mouseClick(row.whole, LEFT)
    assert seat.navigator.screen == AIRBAG
    answer = seat.card.answer
    assert isinstance(answer, ChoiceAnswer)
    box = answer.several
    qtbot.mouseClick(box, LEFT, pos=QPoint(14, box.height() // 2))
    for button in answer.buttons[:2]:
        qtbot.mouseClick(button, LEFT)
    assert seat.session.case.facts[AIRBAG] == ("in_section", "near")
    qtbot.mouseClick(seat.next, LEFT)
    laid_out()
    assert seat.hazards is page
    assert [b.isChecked() for b in row.options.buttons] == [True, True, False]
    assert (row.mark.text, row.said.text()) == ("open", UNCERTAIN)
    assert not row.how.isVisible()
    assert page.current is row_of(page, BELT), "the next that is open"


def test_back_from_the_card_leads_to_its_row(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    qtbot.mouseClick(row_of(page, BELT).more, LEFT)
    laid_out()
    qtbot.mouseClick(row_of(page, BELT).whole, LEFT)
    qtbot.mouseClick(seat.back, LEFT)
    laid_out()
    assert seat.hazards is page
    assert seat.focusWidget() is row_of(page, BELT)


# -- one open question: the card -----------------------------------------------------------------


def test_one_open_question_is_asked_on_its_card(show, engine: Engine, qtbot) -> None:
    case = read_case_of(engine, "split_armrest").without(AIRBAG)
    window = show(case)
    qtbot.mouseClick(window.stages.buttons[Tab.HAZARDS], LEFT)
    assert window.navigator.screen == AIRBAG
    assert window.card.isVisible()
    qtbot.keyClick(window.focusWidget(), Key.Key_3)
    assert window.session.case.facts[AIRBAG] == ("none",)
    assert window.navigator.entry.tab is not Tab.HAZARDS
    qtbot.mouseClick(window.stages.buttons[Tab.HAZARDS], LEFT)
    assert window.navigator.screen == HAZARD_PAGE, "all that were answered at a glance"
    assert window.hazards is not None
    assert still_open(window.hazards) == []


def test_the_way_from_the_damage_leads_over_the_page_and_back(
    seat: MainWindow, qtbot
) -> None:
    seat.navigator.go("damage.kind")
    qtbot.mouseClick(seat.next, LEFT)
    laid_out()
    page = seat.hazards
    assert page is not None
    assert page.current is page.rows[0]
    qtbot.mouseClick(seat.back, LEFT)
    assert seat.navigator.screen == "damage.kind"


# -- by key -----------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_by_keys_alone_from_the_first_row_to_the_forces(seat: MainWindow, qtbot, size) -> None:
    """Each digit answers the row in focus; that row and the next one stay in sight."""
    seat.resize(*size)
    page = to_hazards(seat, qtbot)
    for fact, key in ((STATION, Key.Key_1), (OPERATOR, Key.Key_3)):
        assert page.current is row_of(page, fact)
        press(seat, qtbot, key)
    while still_open(page):
        row = page.current
        assert row is not None
        assert row.fact.name == still_open(page)[0]
        assert in_sight(page, row)
        count = len(row.options.buttons)
        press(seat, qtbot, Key(Key.Key_0 + count) if count > 2 else Key.Key_N)
        assert in_sight(page, row)
    assert seat.session.case.facts[STATION] is True
    assert page.count.text() == f"All {len(page.rows)} hazard questions are answered."
    assert seat.next.text() == NEXT
    press(seat, qtbot, Key.Key_Return)
    assert seat.navigator.entry.tab is Tab.DETAILS


def test_up_and_down_go_from_row_to_row_and_come_into_sight(seat: MainWindow, qtbot) -> None:
    seat.resize(1024, 600)
    page = to_hazards(seat, qtbot)
    for row in page.rows[1:]:
        press(seat, qtbot, Key.Key_Down)
        assert page.current is row
        assert seat.focusWidget() is row
        assert in_sight(page, row)
        assert [button.digit for button in row.options.buttons][:2] == ["1", "2"]
    press(seat, qtbot, Key.Key_Down)
    assert page.current is page.rows[-1]
    press(seat, qtbot, Key.Key_Up)
    assert page.current is page.rows[-2]
    assert not page.rows[-1].options.buttons[0].boxed, "only the row in focus shows its keys"
    assert still_open(page) == [row.fact.name for row in page.rows]


def test_left_and_right_and_space_reach_every_control_of_a_row(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    row = page.rows[1]
    press(seat, qtbot, Key.Key_Down, Key.Key_Right)
    assert seat.focusWidget() is row.options.buttons[0]
    press(seat, qtbot, Key.Key_Right, Key.Key_Right)
    assert seat.focusWidget() is row.options.buttons[2]
    press(seat, qtbot, Key.Key_Right)
    assert seat.focusWidget() is row.more
    press(seat, qtbot, Key.Key_Return)
    assert row.how.isVisible()
    press(seat, qtbot, Key.Key_Right)
    assert seat.focusWidget() is row.whole
    press(seat, qtbot, Key.Key_Left, Key.Key_Left, Key.Key_Space)
    assert seat.session.case.facts[OPERATOR] == ("none",)
    assert page.current is page.rows[2]
    press(seat, qtbot, Key.Key_Up, Key.Key_Right)
    assert seat.focusWidget() is row.options.buttons[2], "the one that was given"
    press(seat, qtbot, Key.Key_Left, Key.Key_Left, Key.Key_Left)
    assert seat.focusWidget() is row


def test_tab_goes_through_the_rows_in_order(show, engine: Engine, qtbot) -> None:
    """Rows that came later have their place too."""
    window = show(with_open_hazards(engine, SEAT).with_fact(STATION, False))
    page = to_hazards(window, qtbot)
    assert OPERATOR not in still_open(page)
    click(page, qtbot, STATION, "yes")
    page.rows[0].setFocus()
    wanted = [stop for row in page.rows[:5] for stop in row.stops if stop.isVisible()]
    assert row_of(page, OPERATOR) in wanted
    reached = [window.focusWidget()]
    for _ in wanted[1:]:
        press(window, qtbot, Key.Key_Tab)
        reached.append(window.focusWidget())
    assert reached == wanted


def test_enter_goes_on_to_what_is_open_and_keeps_nobody(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, page.rows[0].fact.name, "yes")
    click(page, qtbot, page.rows[2].fact.name, "no")
    page.rows[0].setFocus()
    opened = [row for row in page.rows if row.fact.name in still_open(page)]
    for row in opened:
        assert seat.next.text() == NEXT_OPEN
        press(seat, qtbot, Key.Key_Return)
        assert page.current is row
    assert seat.next.text() == NEXT
    press(seat, qtbot, Key.Key_Return)
    assert seat.navigator.entry.tab is Tab.DETAILS
    assert len(still_open(page)) == len(opened), "passed over is not answered"


def test_enter_on_an_option_gives_no_answer(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, Key.Key_Right, Key.Key_Return)
    assert STATION not in seat.session.case.facts
    assert page.current is page.rows[1]


def test_alt_and_the_arrows_go_on_and_back(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    alt = Qt.KeyboardModifier.AltModifier
    qtbot.keyClick(seat.focusWidget(), Key.Key_Right, alt)
    assert page.current is page.rows[1]
    qtbot.keyClick(seat.focusWidget(), Key.Key_Left, alt)
    assert seat.navigator.screen == "damage.kind"


def test_the_next_button_goes_the_same_way(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    qtbot.mouseClick(seat.next, LEFT)
    assert page.current is page.rows[1]
    press(seat, qtbot, Key.Key_1)
    assert OPERATOR in seat.session.case.facts, "the keys are for the row that is marked"


def test_after_the_last_row_the_first_open_one_is_next(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, *[Key.Key_Down] * (len(page.rows) - 1))
    press(seat, qtbot, Key(Key.Key_0 + len(page.rows[-1].options.buttons)))
    assert page.current is page.rows[0]
    assert in_sight(page, page.rows[0])


def test_a_key_held_down_answers_one_row_only(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, Key.Key_1)
    for _ in range(5):
        held = QKeyEvent(QEvent.Type.KeyPress, Key.Key_1, Qt.KeyboardModifier.NoModifier, "1", True)
        QApplication.sendEvent(seat.focusWidget(), held)
    assert len(page.rows) - len(still_open(page)) == 1


def test_a_digit_never_answers_a_row_that_is_out_of_sight(seat: MainWindow, qtbot) -> None:
    seat.resize(1024, 600)
    page = to_hazards(seat, qtbot)
    page.area.verticalScrollBar().setValue(page.area.verticalScrollBar().maximum())
    laid_out()
    assert not in_sight(page, page.rows[0])
    press(seat, qtbot, Key.Key_1)
    assert still_open(page)[0] == STATION
    assert in_sight(page, page.rows[0])
    press(seat, qtbot, Key.Key_1)
    assert STATION in seat.session.case.facts


@pytest.mark.parametrize("key", [Key.Key_0, Key.Key_4, Key.Key_9, Key.Key_Y, Key.Key_A])
def test_a_key_without_an_answer_answers_nothing(seat: MainWindow, qtbot, key: Key) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, Key.Key_Down, key)
    assert len(still_open(page)) == len(page.rows)
    assert page.current is page.rows[1]


def test_keys_reach_the_card_that_was_opened_and_come_back(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, Key.Key_Down, Key.Key_H)
    assert page.rows[1].how.isVisible()
    page.rows[1].whole.setFocus()
    press(seat, qtbot, Key.Key_Return)
    assert seat.navigator.screen == OPERATOR
    press(seat, qtbot, Key.Key_3)
    assert seat.session.case.facts[OPERATOR] == ("none",)
    assert seat.hazards is page
    assert page.current is page.rows[2]


# -- beside the page ----------------------------------------------------------------------------


def offered(window: MainWindow) -> list[str]:
    """What the strip offers: its buttons and the lines of its menu."""
    strip = window.matters
    shown = [button.text() for button in strip.buttons if button.isVisible()]
    return shown + [action.text() for action in strip.menu.actions() if strip.more.isVisible()]


def test_the_strip_offers_what_the_page_does_not_ask(show, engine: Engine, qtbot) -> None:
    window = show(with_open_hazards(engine, "unknown_split"))
    page = to_hazards(window, qtbot)
    titles = {row.fact.title for row in page.rows}
    others = [q.title for q in window.session.advice.ask if not q.gate and q.worth_asking]
    assert others
    assert [text for text in offered(window) if text.removeprefix("Hazard: ") in titles] == []
    assert window.matters.heading.text().startswith("Questions that matter after this")
    window.navigator.go("damage.length")
    assert offered(window)[0] == f"Hazards: {len(page.rows)} open"


def test_the_hazards_of_the_strip_lead_to_the_first_open_row(seat: MainWindow, qtbot) -> None:
    seat.navigator.go("damage.length")
    button = seat.matters.buttons[0]
    assert button.text() == "Hazards: 11 open"
    qtbot.mouseClick(button, LEFT)
    laid_out()
    assert seat.hazards is not None
    assert seat.focusWidget() is row_of(seat.hazards, STATION)
    seat.navigator.go("damage.length")
    seat.actions_by_key()["Ctrl+J"].trigger()
    assert seat.hazards is not None
    assert seat.hazards.current is row_of(seat.hazards, STATION)


def test_the_method_page_leads_to_the_rows(seat: MainWindow, qtbot) -> None:
    seat.navigator.go(METHOD_PAGE)
    page = seat.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    qtbot.mouseClick(page.question, LEFT)
    assert seat.hazards is not None
    assert seat.hazards.current is row_of(seat.hazards, STATION)


def test_the_picture_makes_room_and_comes_back(seat: MainWindow, qtbot) -> None:
    to_hazards(seat, qtbot)
    assert not seat.side.isVisible()
    assert seat.matters.isVisible()
    assert not seat.leave.isVisible()
    qtbot.mouseClick(seat.stages.buttons[Tab.DETAILS], LEFT)
    assert seat.side.isVisible()
    assert seat.leave.isVisible()


def test_another_answer_is_tried_from_the_row_in_focus(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, STATION, "yes")
    before = seat.session.case
    seat.actions_by_key()["Ctrl+T"].trigger()
    assert seat.navigator.trial is not None
    assert seat.navigator.trial.fact.name == OPERATOR
    press(seat, qtbot, Key.Key_1)
    assert seat.session.case is before
    press(seat, qtbot, Key.Key_Escape)
    assert seat.hazards is page
    assert seat.session.case is before
    assert page.current is row_of(page, OPERATOR)


def test_another_case_begins_afresh(seat: MainWindow, engine: Engine, qtbot, tmp_path) -> None:
    page = to_hazards(seat, qtbot)
    press(seat, qtbot, Key.Key_1)
    qtbot.mouseClick(row_of(page, AIRBAG).more, LEFT)
    other = tmp_path / "other.yaml"
    text = "format: 1\ncase: HB-77\nfacts:\n  vehicle.kind: car\n  part.kind: seat_backrest\n"
    other.write_text(text, encoding="utf-8")
    seat.session._saved = seat.session.case
    assert seat.files.open_path(other)
    to_hazards(seat, qtbot)
    assert STATION not in [row.fact.name for row in page.rows]
    assert len(still_open(page)) == len(page.rows)
    assert not any(row.how.isVisible() for row in page.rows)
    assert page.current is page.rows[0]


def test_the_record_names_each_hazard_once(seat: MainWindow, qtbot) -> None:
    page = to_hazards(seat, qtbot)
    click(page, qtbot, AIRBAG, "none")
    seat.navigator.go(RECORD_PAGE)
    table = seat.pages[RECORD_PAGE].table  # type: ignore[attr-defined]
    names = [table.item(y, 0).text() for y in range(table.rowCount())]
    assert names.count("Airbag") == 1
    assert "All hazard questions" not in names


# -- looks -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("system", list(System))
def test_nothing_is_cut_and_everything_is_large_enough_to_touch(
    seat: MainWindow, qtbot, size, system: System
) -> None:
    seat.resize(*size)
    seat.session.system = system
    page = to_hazards(seat, qtbot)
    for fact, key in ((STATION, "yes"), (AIRBAG, "near"), (BELT, "in_section")):
        click(page, qtbot, fact, key)
    for row in page.rows:
        qtbot.mouseClick(row.more, LEFT)
    laid_out()
    assert clipped(page) == []
    assert clipped(seat) == []
    for button in page.findChildren(QAbstractButton):
        if button.isVisible():
            assert button.height() >= theme.TARGET, button.text()
            room = QRect(QPoint(0, 0), button.parentWidget().size())
            assert room.contains(button.geometry()), button.text()
    for row in page.rows:
        assert row.mark.width() >= row.mark.sizeHint().width()
        assert row.width() <= page.area.viewport().width()
    assert "Aircraft: work only" in shown_text(page)


def test_the_answer_is_marked_by_more_than_colour(seat: MainWindow, qtbot) -> None:
    """A tick is drawn where a ring was."""
    page = to_hazards(seat, qtbot)
    row, button = row_of(page, AIRBAG), option(page, AIRBAG, "none")

    def drawn() -> list[bool]:
        image = button.grab().toImage()
        box = range(button.side, button.side + button.box)
        middle = range((image.height() - button.box) // 2, (image.height() + button.box) // 2)
        return [image.pixelColor(x, y).lightness() < 140 for x in box for y in middle]

    before = drawn()
    click(page, qtbot, AIRBAG, "none")
    press(seat, qtbot, Key.Key_Down)
    assert page.current is not row
    after = drawn()
    assert before != after
    states = {r.mark.grab().toImage().bits().tobytes() for r in page.rows}
    assert len(states) >= 2
    assert row.accessibleName().startswith("Airbag: clear.")


def read_case_of(engine: Engine, name: str):
    """A demo case as it ships."""
    from tests.gui.window.test_shipped_rules import demo

    return demo(engine, name)
