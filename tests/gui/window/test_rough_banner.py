"""A measurement that few simulated cases fit: the window goes on while more are worked out."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from advisor.advice.advise import Advised, advise
from advisor.advice.result import Advice, Driver
from advisor.facts.case import Case, Span
from advisor.gui.app import Engine
from advisor.gui.verdict.what_if_page import WhatIfPage
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.screens import METHOD_PAGE
from tests.gui.questions.test_answering import press
from tests.gui.verdict.test_what_if import opened
from tests.gui.window.test_pages import give, shown_text
from tests.gui.window.test_shipped_rules import demo
from tests.unit.session.small_pack import SmallPack, small_advise, started, without_working

LEFT = Qt.MouseButton.LeftButton
WIDE = Span(30, 30, "30 mm")
SURPRISING = Span(60, 60, "60 N")
"""To draw a gap of a few millimetres shut: few simulated cases pull so hard."""
HEADLINE = "Calculated from many simulated cases"


def rough_where_wide(case: Case, pack: SmallPack) -> Advice:
    """The small advice, rough where the gap is wide."""
    return replace(small_advise(case, pack), rough=case.facts.get("damage.gap") == WIDE)


QUICK = without_working(rough_where_wide)


class HeldAdvisor:
    """Works on another thread as slowly as the test wants; no step before it is let go."""

    def __init__(self) -> None:
        self.go = threading.Event()
        self.go_on = threading.Event()
        self.cases: list[Case] = []
        self.threads: list[threading.Thread] = []
        self.ended = threading.Event()
        self.fault: Exception | None = None

    def __call__(
        self, case: Case, pack: SmallPack, watch: Callable[[str], None]
    ) -> Iterator[Advised]:
        self.cases.append(case)
        self.threads.append(threading.current_thread())
        try:
            self._until(self.go, watch)
            if self.fault is not None:
                raise self.fault
            quick = replace(small_advise(case, pack), headline=HEADLINE, flips=())
            yield Advised(quick)
            self._until(self.go_on, watch)
            drivers = (Driver("core.state", "State of the foam", 0.5),)
            yield Advised(replace(quick, drivers=drivers))
        finally:
            self.ended.set()

    def _until(self, let_go: threading.Event, watch: Callable[[str], None]) -> None:
        while not let_go.wait(0.002):
            watch("drawing 65,536 simulated cases")


def never(case: Case, pack: SmallPack, quick: Advised) -> Iterator[Advised]:
    """No slices: what is rough must come from the background."""
    raise AssertionError("a slice of work on the window's own thread")
    yield quick


@pytest.fixture
def held() -> Iterator[HeldAdvisor]:
    found = HeldAdvisor()
    yield found
    found.go.set()
    found.go_on.set()


@pytest.fixture
def rough_window(open_window, held: HeldAdvisor, autosave: Path) -> MainWindow:
    """A window with a wide gap answered, the background at work."""
    session = Session(
        SmallPack(), QUICK, autosave=autosave, case=started(), advise_fully=never,
        advise_thoroughly=held,
    )
    window = open_window(session)
    give(window, damage_gap=WIDE)
    return window


def test_the_window_goes_on_while_more_is_worked_out(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    strip = rough_window.rough
    assert strip.isVisible() and strip.bar.isVisible()
    qtbot.waitUntil(lambda: "drawing 65,536 simulated cases." in strip.said.text())
    assert held.threads[0] is not threading.main_thread()
    rough_window.navigator.go("damage.gap")
    press(rough_window, qtbot, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert rough_window.navigator.screen == "damage.length"
    rough_window.navigator.go(METHOD_PAGE)
    page = rough_window.pages[METHOD_PAGE]
    assert HEADLINE not in shown_text(page)
    assert "Being calculated..." in shown_text(page)
    held.go.set()
    qtbot.waitUntil(lambda: HEADLINE in shown_text(page))
    assert not strip.isVisible()
    assert "Being calculated..." in shown_text(page)
    held.go_on.set()
    qtbot.waitUntil(lambda: "About 50 % of the uncertainty comes from" in shown_text(page))
    assert "Being calculated..." not in shown_text(page)
    assert len(held.cases) == 1


def test_it_can_be_stopped_and_begun_again(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    strip = rough_window.rough
    qtbot.mouseClick(strip.button, LEFT)
    assert held.ended.wait(5), "the work goes on after it was stopped"
    assert strip.isVisible() and not strip.bar.isVisible()
    assert strip.said.text() == (
        "Rough figures: the measurements agree with few of the simulated cases."
    )
    assert strip.button.text() == "Calculate them"
    rough_window.navigator.refresh()
    assert len(held.cases) == 1
    qtbot.mouseClick(strip.button, LEFT)
    assert strip.bar.isVisible() and strip.button.text() == "Stop"
    held.go.set()
    qtbot.waitUntil(lambda: not rough_window.session.advice.rough)
    assert not strip.isVisible()


def test_another_answer_ends_the_work_on_the_old_one(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    give(rough_window, damage_length=Span(120, 120, "120 mm"))
    assert held.ended.wait(5)
    qtbot.waitUntil(lambda: len(held.cases) == 2)
    assert "damage.length" in held.cases[1].facts
    give(rough_window, damage_gap=Span(2, 2, "2 mm"))
    assert not rough_window.rough.isVisible()
    held.go.set()
    assert rough_window.session.advice.headline != HEADLINE
    assert rough_window.session.thorough.case is None


def test_undo_takes_the_measurement_and_its_work_back(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    qtbot.mouseClick(rough_window.undo, LEFT)
    assert held.ended.wait(5)
    assert not rough_window.rough.isVisible()
    assert not rough_window.session.advice.rough


def test_a_tried_answer_is_worked_out_too(
    open_window, held: HeldAdvisor, qtbot
) -> None:
    session = Session(SmallPack(), QUICK, case=started(), advise_thoroughly=held)
    window = open_window(session)
    trial = opened(window, qtbot, "damage.gap")
    assert isinstance(trial, WhatIfPage) and not window.rough.isVisible()
    window.navigator.set_trial(WIDE)
    assert window.rough.isVisible()
    qtbot.waitUntil(lambda: bool(held.cases))
    assert held.cases[0].facts["damage.gap"] == WIDE
    held.go.set()
    qtbot.waitUntil(lambda: not window.rough.isVisible())
    assert window.navigator.trial is not None and window.navigator.trial.after is not None
    assert window.navigator.trial.after.headline == HEADLINE
    assert window.session.advice.headline != HEADLINE
    assert trial.keep.isEnabled()
    qtbot.mouseClick(trial.back, LEFT)
    assert session.thorough.case is None


def test_a_fault_in_the_background_is_told_once(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    held.fault = ZeroDivisionError("by hand")
    with qtbot.captureExceptions() as faults:
        held.go.set()
        qtbot.waitUntil(lambda: bool(faults))
        rough_window.navigator.refresh()
    assert [str(fault[1]) for fault in faults] == ["by hand"]
    assert len(held.cases) == 1
    assert rough_window.rough.button.text() == "Calculate them"


def test_an_export_waits_for_the_whole_or_is_called_off(
    rough_window: MainWindow, held: HeldAdvisor, qtbot, tmp_path: Path, monkeypatch
) -> None:
    target, told = tmp_path / "why.txt", []
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: target)
    monkeypatch.setattr(dialogs, "open_written", lambda *said: told.append(said))

    def call_off() -> None:
        box = QApplication.activeModalWidget()
        assert box is not None
        box.reject()  # type: ignore[attr-defined]

    qtbot.waitUntil(lambda: bool(held.cases))
    from PySide6.QtCore import QTimer

    QTimer.singleShot(0, call_off)
    rough_window.papers.export()
    assert not target.exists() and not told
    QTimer.singleShot(0, lambda: (held.go.set(), held.go_on.set()))
    rough_window.papers.export()
    assert told
    assert HEADLINE in target.read_text(encoding="utf-8")


def test_closing_the_window_ends_the_work(
    rough_window: MainWindow, held: HeldAdvisor, qtbot
) -> None:
    qtbot.waitUntil(lambda: bool(held.cases))
    rough_window.session._saved = rough_window.session.case
    rough_window.close()
    assert held.ended.wait(5)


def test_a_surprising_pull_ends_in_the_same_advice(show, engine: Engine, qtbot) -> None:
    """The shipped rules: what the window shows in the end is what the command line says."""
    case = demo(engine, "split_armrest").with_fact("damage.closing_pull", SURPRISING)
    window = show(case)
    window.navigator.go(METHOD_PAGE)
    session = window.session
    assert session.advice.rough and session.advice.worlds == 4096
    assert window.rough.isVisible()
    qtbot.waitUntil(lambda: session.full_is_ready, timeout=60_000)
    assert not session.advice.rough and session.advice.worlds == 65_536
    assert not window.rough.isVisible()
    assert session.advice == advise(case, engine.pack, flips=False)
    assert session.full_advice == advise(case, engine.pack)
    assert "65,536 simulated cases" in shown_text(window.pages[METHOD_PAGE])


def test_without_a_window_the_whole_advice_is_waited_for(engine: Engine) -> None:
    case = demo(engine, "split_armrest").with_fact("damage.closing_pull", SURPRISING)
    session = Session(engine.pack, engine.quick, case=case, advise_fully=engine.full,
                      advise_thoroughly=engine.thorough)  # fmt: skip
    assert session.rough
    session.thorough.start(session.case)
    assert session.full_advice == advise(case, engine.pack)
