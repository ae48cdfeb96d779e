"""How settled a choice is, what it hangs on, and the slices in which that is worked out."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from advisor.advice.advise import advise
from advisor.advice.result import Advice, Driver, Flip
from advisor.facts.case import Case, Value
from advisor.gui.app import Engine
from advisor.gui.verdict.verdict_page import MethodPage
from advisor.gui.verdict.what_if_page import TrialPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.confidence_text import (
    driver_lines,
    overlap_line,
    risk_line,
    sample_line,
    share_words,
)
from advisor.session.incremental_advice import full_in_slices, in_slices
from advisor.session.screens import METHOD_PAGE, next_open, settled_text
from tests.gui.bench import BenchPack, bench_advise
from tests.gui.test_real_pack import DEMOS, demo
from tests.gui.test_trial import started
from tests.gui.test_window_interview import press
from tests.gui.test_window_pages import shown_text, split

LEFT = Qt.MouseButton.LeftButton
ADVICE = bench_advise(started(), BenchPack())
FLIP = Flip("core.state", "State of the foam", "springs back", "Crumbles", "x",
            "If the foam crumbles, a new cover leads", ("crumbles",))


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.98, "nearly all"), (0.52, "half"), (0.26, "a quarter"), (0.34, "a third"),
     (0.11, "a tenth"), (0.04, "a twentieth"), (0.76, "three quarters")],
)
def test_shares_are_told_as_fractions(share: float, words: str) -> None:
    assert share_words(share) == words


def test_drivers_are_told_most_first_and_small_ones_not_at_all() -> None:
    drivers = (Driver("skin.age", "Age of the skin", 0.5),
               Driver("core.state", "State of the foam", 0.25), Driver("x", "Small", 0.01))
    told = driver_lines(replace(ADVICE, drivers=drivers), {"core.state"})
    assert told == ["Half of the spread comes from: age of the skin",
                    "a quarter from: state of the foam (not answered yet)"]
    assert overlap_line(replace(ADVICE, drivers=drivers)) == ""
    assert overlap_line(replace(ADVICE, drivers=drivers * 2)).startswith("These overlap")


def test_the_risk_of_deciding_now_is_told_in_money() -> None:
    assert "about EUR 66 on average" in risk_line(replace(ADVICE, deciding_now=66.2))
    assert "less than EUR 1 on average" in risk_line(replace(ADVICE, deciding_now=0.2))
    assert risk_line(replace(ADVICE, plan=None)) == ""


def test_a_thinned_sample_is_told() -> None:
    assert sample_line(ADVICE) == "64 cases computed."
    assert "measured count for 12." in sample_line(replace(ADVICE, effective_worlds=12.0))


# -- the asking order --------------------------------------------------------------


def test_what_was_left_open_is_not_asked_again_but_a_hazard_is() -> None:
    case = started().without("core.state")
    advice = bench_advise(case, BenchPack())
    assert next_open(advice) == "core.state"
    assert next_open(advice, {"core.state"}) is None
    assert settled_text(advice, {"core.state"}) == (
        "Nothing more is worth asking, but for what was left open."
    )
    advice = bench_advise(case.without("hazard.airbag"), BenchPack())
    assert next_open(advice, {"hazard.airbag", "core.state"}) == "hazard.airbag"


def test_the_most_valuable_question_is_offered_with_what_it_settles(
    window: MainWindow, qtbot
) -> None:
    split(window, airbag=None)
    window.hub.leave_open("core.state")
    strip = window.matters
    assert strip.buttons[0].text() == "Hazard: Airbag in this section"
    assert strip.why.text().startswith("Airbag in this section: a seam over an airbag")
    window.hub.go(METHOD_PAGE)
    window.actions_by_key()["Ctrl+J"].trigger()
    assert window.hub.screen == "hazard.airbag"
    press(window, qtbot, Qt.Key.Key_N)
    assert strip.heading.text() == "Nothing more is worth asking, but for what was left open."
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
    assert "othing more" in settled_text(session.advice, session.left_open)
    assert asked[:2] == ["vehicle.kind", "part.kind"]
    assert len(asked) < len(engine.pack.asked(session.case))


def test_the_counts_of_tab_and_card_speak_of_the_same_questions(
    window: MainWindow, qapp: QApplication
) -> None:
    split(window)
    window.hub.go("damage.gap")
    assert window.card.place.text() == "Damage: question 3 of 3"
    assert "1 of 3 answered" in [b.text().split("\n")[-1] for b in window.stages.buttons.values()]
    window.hub.go("photos")
    assert window.card.place.text() == "Damage: photos"
    window.resize(760, 620)
    qapp.processEvents()
    counts = [b.text().split("\n")[-1] for b in window.stages.buttons.values()]
    assert "1 answered" in counts


# -- slices ------------------------------------------------------------------------


def test_slices_try_one_answer_at_a_time_and_find_the_same() -> None:
    tried: list[tuple[str, Value]] = []

    def lead(fact: str, value: Value) -> str:
        tried.append((fact, value))
        return f"{fact} {value}"

    def search(leader):
        assert leader("a", True) == leader("a", True)
        second = leader("b", ("x",)) if leader("a", False) else None
        return [replace(FLIP, to=str(second))]

    counts = []
    found: list[Flip] = []
    for part in in_slices(search, lead):
        counts.append(len(tried))
        found += part
    assert tried == [("a", True), ("a", False), ("b", ("x",))]
    assert counts == [1, 2, 3, 3]
    assert [flip.to for flip in found] == ["b ('x',)"]


@pytest.mark.parametrize("name", DEMOS)
def test_the_sliced_advice_is_the_whole_advice(engine: Engine, name: str) -> None:
    case = demo(engine, name)
    steps = list(full_in_slices(case, engine.pack, engine.quick(case, engine.pack)))
    assert steps[-1] == advise(case, engine.pack)


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split"])
def test_no_slice_holds_the_window_up(engine: Engine, name: str) -> None:
    case = demo(engine, name)
    quick = engine.quick(case, engine.pack)
    for _ in full_in_slices(case, engine.pack, quick):
        pass
    slices = full_in_slices(case, engine.pack, quick)
    longest, begun = 0.0, time.perf_counter()
    for _ in slices:
        longest = max(longest, time.perf_counter() - begun)
        begun = time.perf_counter()
    # 50 ms on the machine it was measured on; room for a slow or busy one.
    assert longest < 0.15


def sliced(case: Case, pack: BenchPack, quick: Advice) -> Iterator[Advice]:
    """Three slices, the last with a driver and a flip that names the gap."""
    yield quick
    drivers = (Driver("core.state", "State of the foam", 0.5),)
    yield replace(quick, drivers=drivers)
    gap = case.facts.get("damage.gap")
    yield replace(quick, drivers=drivers, flips=(replace(FLIP, text=f"Flip at gap {gap}"),))


@pytest.fixture
def slow_window(open_window) -> MainWindow:
    """A window whose long advice comes in slices."""
    return open_window(
        Session(BenchPack(), bench_advise, case=started(), advise_fully=sliced)
    )


def test_results_for_a_changed_answer_are_dropped(slow_window: MainWindow) -> None:
    session = slow_window.session
    assert session.work_a_slice()
    assert session.work_a_slice()
    assert session.full_so_far.drivers
    session.answer("damage.gap", (9.0,))  # type: ignore[arg-type]
    assert not session.full_so_far.drivers
    assert not session.full_is_ready
    assert "9.0" in session.full_advice.flips[0].text
    assert session.full_is_ready


def test_the_page_fills_while_it_stands_and_a_flip_can_be_tried(
    slow_window: MainWindow, qtbot
) -> None:
    slow_window.hub.go(METHOD_PAGE)
    page = slow_window.pages[METHOD_PAGE]
    assert isinstance(page, MethodPage)
    assert "Being worked out..." in shown_text(page)
    qtbot.waitUntil(lambda: "Flip at gap None." in shown_text(page))
    text = shown_text(page)
    assert "Being worked out..." not in text
    assert "Half of the spread comes from: state of the foam" in text
    assert len(page.tries) == 1
    page.tries[0].setFocus()
    press(slow_window, qtbot, Qt.Key.Key_Space)
    trial = slow_window.trial
    assert isinstance(trial, TrialPage)
    assert "Tried: Crumbles" in shown_text(trial)
    qtbot.mouseClick(trial.back, LEFT)
    assert page.isVisible()
    assert "Flip at gap None." in shown_text(page)


def test_a_finding_stands_in_a_box(open_window) -> None:
    def finding(case: Case, pack: BenchPack) -> Advice:
        return replace(bench_advise(case, pack), findings=("The gap is too wide",))

    window = open_window(Session(BenchPack(), finding, case=started()))
    window.hub.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    boxes = [w for w in page.findChildren(type(page.headline)) if w.objectName() == "finding"]
    assert any(b.isVisible() and "The gap is too wide." in b.text() for b in boxes)


def test_the_real_window_answers_keys_while_it_works(
    show, engine: Engine, qtbot, qapp: QApplication
) -> None:
    window = show(demo(engine, "split_armrest"))
    window.hub.go(METHOD_PAGE)
    qapp.processEvents()
    assert not window.session.full_is_ready
    press(window, qtbot, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert window.hub.screen != METHOD_PAGE
    assert not window.session.full_is_ready
