"""How settled a choice is, what it hangs on, and the slices in which that is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from advisor.advice.advise import Advised
from advisor.advice.result import Advice, Driver, Flip
from advisor.facts.case import Case, Span
from advisor.gui.app import Engine
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.verdict.what_if_page import WhatIfPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.screens import METHOD_PAGE, Tab, next_open, settled_text
from tests.gui.questions.test_answering import press
from tests.gui.window.test_pages import shown_text, split
from tests.gui.window.test_shipped_rules import demo
from tests.unit.session.small_pack import SmallPack, small_advise, started, without_working

LEFT = Qt.MouseButton.LeftButton
ADVICE = small_advise(started(), SmallPack())
FLIP = Flip("core.state", "State of the foam", "springs back", "Crumbles", "x",
            "If the foam crumbles, a new cover leads", ("crumbles",))


# -- the asking order --------------------------------------------------------------


def test_the_most_valuable_question_is_offered_with_what_it_settles(
    window: MainWindow, qtbot
) -> None:
    split(window, airbag=None)
    window.navigator.leave_open("core.state")
    strip = window.matters
    assert strip.buttons[0].text() == "Hazard: Airbag in this section"
    assert strip.why.text().startswith("Airbag in this section: a seam over an airbag")
    window.navigator.go(METHOD_PAGE)
    window.actions_by_key()["Ctrl+J"].trigger()
    assert window.navigator.screen == "hazard.airbag"
    press(window, qtbot, Qt.Key.Key_N)
    assert strip.heading.text() == "No further question is worth asking, except what was left open."
    assert not strip.why.isVisible()


def test_asking_the_best_question_each_time_ends(engine: Engine) -> None:
    """Hazards first, each question once, and an end that is said."""
    case = demo(engine, "split_armrest")
    session = Session(engine.pack, engine.quick, case=Case("x"))
    asked: list[str] = []
    for _ in range(60):
        fact = next_open(session.advice, session.left_open)
        if fact is None:
            break
        hazards = [g for g in session.advice.gates if g.state.value == "open"]
        if hazards and session.advice.methods:
            assert engine.pack.facts[fact].gate
        assert fact not in asked
        asked.append(fact)
        if fact in case.facts:
            session.answer(fact, case.facts[fact])
        else:
            session.leave_open(fact)
    assert next_open(session.advice, session.left_open) is None
    assert "o further question" in settled_text(session.advice, session.left_open)
    assert asked[:2] == ["vehicle.kind", "part.kind"]
    assert len(asked) < len(engine.pack.asked(session.case))


def test_the_counts_of_tab_and_card_speak_of_the_same_questions(
    window: MainWindow, qapp: QApplication
) -> None:
    split(window)
    window.navigator.go("damage.gap")
    assert window.card.place.text() == ""
    assert window.stages.buttons[Tab.DETAILS].accessibleName() == "Details, 1 of 6 answered"
    window.navigator.go("photos")
    assert window.card.place.text() == "Details: photos"


def sliced(case: Case, pack: SmallPack, quick: Advised) -> Iterator[Advised]:
    """Three slices, the last with a driver and a flip that names the gap."""
    yield quick
    with_driver = replace(quick.advice, drivers=(Driver("core.state", "State of the foam", 0.5),))
    yield Advised(with_driver)
    gap = case.facts.get("damage.gap")
    yield Advised(replace(with_driver, flips=(replace(FLIP, text=f"Flip at gap {gap}"),)))


@pytest.fixture
def slow_window(open_window) -> MainWindow:
    """A window whose long advice comes in slices."""
    return open_window(
        Session(SmallPack(), without_working(small_advise), case=started(), advise_fully=sliced)
    )


def test_results_for_a_changed_answer_are_dropped(slow_window: MainWindow) -> None:
    session = slow_window.session
    assert session.work_a_slice()
    assert session.work_a_slice()
    assert session.full_so_far.drivers
    session.answer("damage.gap", Span(9.0, 9.0, "9 mm"))
    assert not session.full_so_far.drivers
    assert not session.full_is_ready
    assert "9.0" in session.full_advice.flips[0].text
    assert session.full_is_ready


def test_the_page_fills_while_it_stands_and_a_flip_can_be_tried(
    slow_window: MainWindow, qtbot
) -> None:
    slow_window.navigator.go(METHOD_PAGE)
    page = slow_window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert "Being calculated..." in shown_text(page)
    qtbot.waitUntil(lambda: "Flip at gap None." in shown_text(page))
    text = shown_text(page)
    assert "Being calculated..." not in text
    assert "About 50 % of the uncertainty comes from: state of the foam" in text
    assert len(page.tries) == 1
    page.tries[0].setFocus()
    press(slow_window, qtbot, Qt.Key.Key_Space)
    trial = slow_window.trial
    assert isinstance(trial, WhatIfPage)
    assert "Tried: Crumbles" in shown_text(trial)
    qtbot.mouseClick(trial.back, LEFT)
    assert page.isVisible()
    assert "Flip at gap None." in shown_text(page)


def test_a_finding_stands_in_a_box(open_window) -> None:
    def finding(case: Case, pack: SmallPack) -> Advice:
        return replace(small_advise(case, pack), findings=("The gap is too wide",))

    window = open_window(Session(SmallPack(), without_working(finding), case=started()))
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    boxes = [w for w in page.findChildren(type(page.headline)) if w.objectName() == "finding"]
    assert any(b.isVisible() and "The gap is too wide." in b.text() for b in boxes)


def test_the_real_window_answers_keys_while_it_works(
    show, engine: Engine, qtbot, qapp: QApplication
) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go(METHOD_PAGE)
    qapp.processEvents()
    assert not window.session.full_is_ready
    press(window, qtbot, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.navigator.screen != METHOD_PAGE
    assert not window.session.full_is_ready
