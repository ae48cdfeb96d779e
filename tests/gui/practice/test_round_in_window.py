"""A whole round by keys alone and by mouse alone, its actions counted; what is shown after it."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QPushButton, QWidget

from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.practice.round_page import RoundPage
from advisor.gui.practice.rounds_page import RoundsPage
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder
from advisor.practice.answers import Help
from advisor.practice.cases import CaseSource, PracticeCase, Twin
from advisor.practice.demo import as_practice
from advisor.practice.forces import Direction, When
from advisor.practice.round import Step

LEFT = Qt.MouseButton.LeftButton
#: What a round may take (issue of practice): a start, the answers, and the way to the reveal.
MOST_ACTIONS = 25
#: Of the three minutes so much may be waiting for the program, s; the rest is the learner's.
MOST_WAITING = 10.0


@pytest.fixture(scope="module")
def armrest_round(engine: Engine) -> PracticeCase:
    """The demo case of the split armrest, as one to practise on, with a twin of torn holes."""
    case = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    (found,) = as_practice(case, engine.pack, CaseSource.DEMO)
    return replace(found, twin=Twin("damage.hole_state", ("torn_out",), "recover_panel"))


@pytest.fixture
def rounds(practised: MainWindow, armrest_round: PracticeCase) -> RoundsPage:
    """The page of rounds with this case on hand, and few simulated cases."""
    page = practised.practice.rounds
    page.stock = (armrest_round,)
    page.topic.setCurrentIndex(page.topic.findData(armrest_round.topic))
    page.help.setCurrentIndex(page.help.findData(Help.ALONE))
    page.round_page.worlds = 512
    practised.practice.take_focus()
    return page


class Person:
    """Somebody with a keyboard and a mouse whose every action is counted."""

    def __init__(self, qtbot, app: QApplication) -> None:
        self.qtbot, self.app, self.actions = qtbot, app, 0

    def press(self, key: Qt.Key | str) -> None:
        """One key, for whatever has the keyboard."""
        self.actions += 1
        focus = self.app.focusWidget()
        assert focus is not None
        if isinstance(key, str):
            self.qtbot.keyClicks(focus, key)
        else:
            self.qtbot.keyClick(focus, key)
        self.app.processEvents()

    def click(self, widget: QWidget, at: QPoint | None = None) -> None:
        """One click."""
        self.actions += 1
        assert widget.isVisible() and widget.isEnabled(), widget
        self.qtbot.mouseClick(widget, LEFT, pos=at or widget.rect().center())
        self.app.processEvents()

    def drag(self, widget: QWidget, start: QPoint, end: QPoint) -> None:
        """One drag."""
        self.actions += 1
        self.qtbot.mousePress(widget, LEFT, pos=start)
        self.qtbot.mouseMove(widget, end)
        self.qtbot.mouseRelease(widget, LEFT, pos=end)
        self.app.processEvents()


@pytest.fixture
def person(qtbot, qapp: QApplication) -> Person:
    return Person(qtbot, qapp)


def until(qtbot, ready: Callable[[], bool]) -> None:
    qtbot.waitUntil(ready, timeout=30000)


def row_of(page: RoundPage, cause: str) -> str:
    """The key of a force among those on offer."""
    causes = [offer.cause for offer in page.round.forces().offered]
    return str(causes.index(cause) + 1)


def test_a_whole_round_by_keys_alone(rounds: RoundsPage, person: Person, qtbot) -> None:
    begun = time.process_time()
    person.press(Qt.Key.Key_Return)  # start
    until(qtbot, lambda: rounds.stack.currentWidget() is rounds.round_page)
    page = rounds.round_page
    for number in range(len(page.round.hazards)):
        person.press(str(number + 1))
    assert all(item.answer for item in page.round.hazards)
    person.press(Qt.Key.Key_Return)
    assert page.round.step is Step.FIRST
    person.press("h")
    person.press("a")  # Hand stitch
    person.press("6")
    person.press(Qt.Key.Key_Return)
    assert page.round.first.choice == "hand_stitch" and page.round.first.certainty == 0.6
    assert page.round.step is Step.ASK
    asked = [o.fact for o in page.round.observations()].index("damage.hole_state")
    person.press("123456789abcdefghijklmnopqrstuvwxyz"[asked])
    assert page.round.minutes > 0.0
    until(qtbot, lambda: page.is_ready)
    person.press(Qt.Key.Key_Return)
    assert page.round.step is Step.FORCES
    truth = page.round.forces().calculated
    for force in truth[:2]:
        person.press(row_of(page, force.cause))
        keys = {When.ALWAYS: "a", When.EACH_USE: "u", When.HARDEST: "h"}
        person.press(keys[force.when])
        person.press(Qt.Key.Key_Right)
    person.press(row_of(page, page.round.forces().governing))
    person.press("g")
    person.press(Qt.Key.Key_Return)
    assert page.round.step is Step.PLAN
    person.press("9")
    person.press(Qt.Key.Key_Return)
    assert rounds.stack.currentWidget() is rounds.reveal_page
    person.press("1")
    assert not rounds.reveal_page.is_asking
    assert person.actions <= MOST_ACTIONS, person.actions
    assert time.process_time() - begun <= MOST_WAITING
    shown = rounds.reveal_page.shown
    assert shown.score.right and shown.score.governing_right
    assert [one.drawn.direction for one in shown.score.forces if one.drawn] == [
        Direction.APART, Direction.APART
    ]  # fmt: skip
    assert all(one.agreed for one in shown.score.forces if one.drawn)
    assert shown.answer.final.certainty == 0.9


def test_a_whole_round_by_mouse_alone(rounds: RoundsPage, person: Person, qtbot) -> None:
    page = rounds.round_page
    person.click(rounds.begin)
    until(qtbot, lambda: rounds.stack.currentWidget() is page)
    hazards = page.panels[Step.HAZARDS]
    for place in range(len(page.round.hazards)):
        person.click(hazards.rows[place])
    person.click(page.next)
    first = page.panels[Step.FIRST]
    glue = first.list.findItems("Glue", Qt.MatchFlag.MatchExactly)[0]
    first.list.scrollToItem(glue)
    person.click(first.list.viewport(), first.list.visualItemRect(glue).center())
    slider = first.certainty
    person.click(slider, QPoint(slider.width() - 6, slider.height() // 2))
    person.click(page.next)
    assert page.round.first.choice == "adhesive_bond" and page.round.first.certainty > 0.5
    until(qtbot, lambda: page.is_ready)
    person.click(page.panels[Step.ASK].rows[1])
    until(qtbot, lambda: page.next.isEnabled())
    person.click(page.next)
    board, panel = page.board, page.panels[Step.FORCES]
    middle, rows = int(board._middle()), (board._head() - 22) // 3
    person.click(panel.rows[0])
    y = 20 + rows // 2
    person.drag(board, QPoint(middle + 40, y), QPoint(middle + 140, y))
    person.click(panel.rows[1])
    y += rows
    person.drag(board, QPoint(middle - 140, y), QPoint(middle - 40, y))
    person.click(panel.rows[2])
    person.drag(board, QPoint(middle, y + rows), QPoint(middle, y - rows // 2))
    drawn = [(one.direction, one.when, one.rank) for one in page.round.drawn]
    assert drawn == [
        (Direction.APART, When.HARDEST, 1), (Direction.TOGETHER, When.EACH_USE, 2),
        (Direction.OUT, When.ALWAYS, 3),
    ]  # fmt: skip
    person.click(panel.decides)
    person.click(page.next)
    person.click(page.next)
    reveal = rounds.reveal_page
    assert rounds.stack.currentWidget() is reveal
    person.click(reveal.differences[0])
    assert person.actions <= MOST_ACTIONS, person.actions
    assert reveal.headline.text().startswith("Not glue, but hand stitch")
    words = words_of(reveal)
    assert "Glue (your choice): fails" in words
    assert "times its long-term strength" in words, "by how much it fails"
    assert "What would have settled it" in words
    remember = words.splitlines()[words.splitlines().index("Remember") + 1]
    assert "N/mm" in remember, "one thing, with the case's numbers"
    assert "Glue costs the shop EUR" in reveal.headline.text()
    assert "It would cost" not in words.split("Glue (your choice)")[1].split("\n")[0], "said once"


def test_what_is_not_done_is_asked_for_and_leaving_counts_for_nothing(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    rounds.begin_round(armrest_round, Help.HINTS)
    page = rounds.round_page
    until(qtbot, lambda: page.is_ready)
    person.click(page.hint)
    assert page.helped.isVisible() and "hazards" in page.helped.text()
    person.click(page.next)
    person.click(page.next)
    assert page.fault.isVisible() and "Pick a repair" in page.fault.text()
    person.click(page.leave)
    assert rounds.stack.currentWidget() is rounds.start_page
    assert rounds._rounds == []


@pytest.mark.parametrize("help_", [Help.WORKED, Help.COMPLETE])
def test_help_leaves_less_to_do(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot, help_: Help
) -> None:
    rounds.begin_round(armrest_round, help_)
    page = rounds.round_page
    left = Step.PLAN if help_ is Help.WORKED else Step.FORCES
    until(qtbot, lambda: page.is_ready and page.stack.isEnabled())
    assert page.round.step is left
    assert page.board.in_words() != "No force is drawn yet."
    assert all(item.answer for item in page.round.hazards)
    if help_ is Help.COMPLETE:
        person.press(row_of(page, page.round.forces().governing))
        person.press("g")
        person.press(Qt.Key.Key_Return)
    person.press("h")
    person.press("a")
    person.press(Qt.Key.Key_Return)
    assert rounds.stack.currentWidget() is rounds.reveal_page
    assert rounds.reveal_page.shown.score.right


def words_of(reveal: QWidget) -> str:
    return "\n".join(label.text() for label in reveal.inside.findChildren(QLabel))


def test_what_made_the_difference_is_asked_before_anything_is_explained(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    rounds.begin_round(armrest_round, Help.WORKED)
    until(qtbot, lambda: rounds.round_page.is_ready and rounds.round_page.stack.isEnabled())
    for key in ("h", "a", Qt.Key.Key_Return):
        person.press(key)
    reveal = rounds.reveal_page
    assert reveal.is_asking and reveal.pair.isVisible() and reveal.next.text() == "Show why"
    assert "Remember" not in words_of(reveal) and "Stitch holes" not in words_of(reveal)
    facts = [fact for fact, _ in reveal.shown.twin.differences]
    person.press(str(facts.index("damage.hole_state") + 1))
    told = words_of(reveal)
    assert "Right. Stitch holes: stretches and holds here." in told and "re-cover" in told
    assert told.index("What made the difference?") < told.index("Remember")
    assert not reveal.is_asking and reveal.board.isVisible() and not reveal.pair.isVisible()
    person.press("t")
    assert reveal.pair.isVisible() and not reveal.board.isVisible()
    person.press("t")
    assert reveal.board.isVisible()


def test_who_does_not_know_the_difference_is_told(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    rounds.begin_round(armrest_round, Help.WORKED)
    until(qtbot, lambda: rounds.round_page.is_ready and rounds.round_page.stack.isEnabled())
    for key in ("h", "a", Qt.Key.Key_Return, Qt.Key.Key_Return):
        person.press(key)
    reveal = rounds.reveal_page
    assert rounds.stack.currentWidget() is reveal and not reveal.is_asking
    told = words_of(reveal)
    assert "Stitch holes: stretches and holds here." in told
    assert "Right." not in told.split("Remember")[0] and "No, not that" not in told


def test_a_round_of_a_learner_is_kept_with_an_objection(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot, practised
) -> None:
    qtbot.keyClicks(rounds.new_alias, "Heron")
    qtbot.keyClick(rounds.new_alias, Qt.Key.Key_Return)
    assert rounds.who.currentText() == "Heron"
    assert not rounds.is_looking, "Enter in the field is for the field alone"
    rounds.help.setCurrentIndex(rounds.help.findData(Help.WORKED))
    person.press(Qt.Key.Key_Return)
    until(qtbot, lambda: rounds.stack.currentWidget() is rounds.round_page)
    until(qtbot, lambda: rounds.round_page.is_ready and rounds.round_page.stack.isEnabled())
    for key in ("h", "a", "8", Qt.Key.Key_Return, Qt.Key.Key_Return):
        person.press(key)
    reveal = rounds.reveal_page
    qtbot.keyClicks(reveal.objection, "The boats here are never that cold")
    qtbot.keyClick(reveal.objection, Qt.Key.Key_Return)
    assert rounds.stack.currentWidget() is reveal and not rounds.is_looking
    practised.show_case()
    (kept,) = rounds.learners.open("Heron").rounds
    assert kept.choice == "hand_stitch" and kept.certainty == 0.8 and kept.good
    assert kept.disagrees == "The boats here are never that cold"
    assert kept.help is Help.WORKED
    rounds.add_learner()  # nothing typed
    assert rounds.fault.text()


def test_the_reveal_leads_to_lessons(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot, practised
) -> None:
    rounds.begin_round(armrest_round, Help.WORKED)
    until(qtbot, lambda: rounds.round_page.is_ready and rounds.round_page.stack.isEnabled())
    for key in ("h", "a", Qt.Key.Key_Return, Qt.Key.Key_Return):
        person.press(key)
    links = [b for b in rounds.reveal_page.findChildren(QPushButton)
             if b.text().startswith("Lesson: ")]  # fmt: skip
    assert len(links) == 2
    qtbot.mouseClick(links[0], LEFT)
    assert practised.practice.lessons.isVisible()
    assert practised.practice.lessons.shown.key == rounds.reveal_page.shown.forces.governing


def test_a_test_on_unseen_cases_shows_nothing_between_them(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    """Two cases in the place of the twelve that are drawn."""
    qtbot.keyClicks(rounds.new_alias, "Tern")
    qtbot.keyClick(rounds.new_alias, Qt.Key.Key_Return)
    rounds._unseen = {"before": (armrest_round, replace(armrest_round, name="second"))}
    page = rounds.round_page
    person.click(rounds.test)
    for name in (armrest_round.name, "second"):
        until(qtbot, lambda name=name: rounds.stack.currentWidget() is page
              and page.round.case.name == name and page.round.step is Step.HAZARDS)  # fmt: skip
        for key in (Qt.Key.Key_Return, "h", "a", Qt.Key.Key_Return):
            person.press(key)
        until(qtbot, lambda: page.next.isEnabled())
        person.press(Qt.Key.Key_Return)
        person.press("g")
        person.press(Qt.Key.Key_Return)
        person.press(Qt.Key.Key_Return)
        assert not rounds.reveal_page.isVisible()
    until(qtbot, lambda: rounds.stack.currentWidget() is rounds.start_page)
    assert "test is done" in rounds.working.text()
    kept = rounds.learners.open("Tern").rounds
    assert [one.test for one in kept] == ["before", "before"]
    assert [one.help for one in kept] == [Help.ALONE, Help.ALONE]


def test_the_next_case_is_found_while_the_answer_is_read(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    rounds.stock = (armrest_round, replace(armrest_round, name="another"))
    rounds.begin_round(armrest_round, Help.WORKED)
    until(qtbot, lambda: rounds.round_page.is_ready and rounds.round_page.stack.isEnabled())
    for key in ("h", "a", Qt.Key.Key_Return, Qt.Key.Key_Return):
        person.press(key)
    until(qtbot, lambda: rounds._work is None)
    assert rounds.stack.currentWidget() is rounds.reveal_page, "nobody asked for it yet"
    person.press(Qt.Key.Key_Return)
    assert rounds.stack.currentWidget() is rounds.round_page
    assert rounds.round_page.round.case.name == "another"
    until(qtbot, lambda: rounds.round_page.is_ready)
    person.click(rounds.round_page.leave)
    assert rounds.stack.currentWidget() is rounds.start_page
    assert len(rounds._rounds) == 1, "the one that was left does not count"


def test_the_first_case_is_looked_for_while_the_first_page_is_read(
    rounds: RoundsPage, person: Person, qtbot
) -> None:
    rounds._idle.start(0)
    until(qtbot, lambda: bool(rounds._found))
    assert rounds.stack.currentWidget() is rounds.start_page
    person.press(Qt.Key.Key_Return)
    assert rounds.stack.currentWidget() is rounds.round_page
    until(qtbot, lambda: rounds.round_page.is_ready)
    person.click(rounds.round_page.leave)
    rounds.topic.activated.emit(0)
    assert rounds._found == [], "found for another wish"


def test_every_button_of_a_round_has_a_name(rounds: RoundsPage) -> None:
    for button in rounds.findChildren(QAbstractButton):
        assert button.text() or button.accessibleName()


def test_the_key_of_the_hint_opens_no_stage_of_the_case(
    practised: MainWindow, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    """F1 to F7 are the window's own, for its stages, wherever one is."""
    rounds = practised.practice.rounds
    rounds.begin_round(armrest_round, Help.HINTS)
    page = rounds.round_page
    until(qtbot, lambda: page.is_ready)
    person.press(Qt.Key.Key_F8)
    assert practised.places.currentWidget() is practised.practice
    assert "none is safe to leave out" in page.helped.text()
    assert "F8" in page.hint.text()


def test_a_round_after_one_left_at_its_forces_begins_with_nothing_to_draw_on(
    rounds: RoundsPage, armrest_round: PracticeCase, person: Person, qtbot
) -> None:
    page = rounds.round_page
    rounds.begin_round(armrest_round, Help.COMPLETE)
    until(qtbot, lambda: page.is_ready and page.board.drawing_on)
    person.click(page.leave)
    rounds.begin_round(armrest_round, Help.ALONE)
    until(qtbot, lambda: page.is_ready)
    assert page.round.step is Step.HAZARDS and not page.board.drawing_on
    person.drag(page.board, QPoint(200, 40), QPoint(300, 40))
    assert page.round.drawn == ()


def test_a_worked_example_shows_what_became_of_each_method(
    rounds: RoundsPage, armrest_round: PracticeCase, qtbot
) -> None:
    page = rounds.round_page
    rounds.begin_round(armrest_round, Help.WORKED)
    until(qtbot, lambda: page.is_ready and page.methods.isVisible())
    assert all(title in page.methods.text() for title, _ in page.round.worked_methods())
    rounds.begin_round(armrest_round, Help.ALONE)
    assert not page.methods.isVisible()
    until(qtbot, lambda: page.is_ready)
