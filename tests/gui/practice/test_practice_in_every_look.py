"""Every page of practice in three sizes and four looks: nothing cut, named, in reach."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QWidget

from advisor.gui import theme
from advisor.gui.practice.practice_place import LESSONS, ROUNDS, TRAINER, TRY
from advisor.gui.window.main_window import MainWindow
from advisor.practice.answers import Belief, Help
from advisor.practice.cases import CaseSource
from advisor.practice.demo import as_practice
from advisor.practice.round import Step
from tests.gui.window.test_every_page_in_every_look import settled, unnamed
from tests.gui.window.test_look import clipped

DIRECT = Qt.FindChildOption.FindDirectChildrenOnly
SIZES = ((1024, 600), (1280, 800), (1920, 1080))
LOOKS = [("light", 100), ("dark", 100), ("sunlight", 100), ("light", 150)]


@pytest.fixture(params=LOOKS, ids=lambda look: f"{look[0]}-{look[1]}")
def dressed(request: pytest.FixtureRequest, practised: MainWindow) -> Iterator[MainWindow]:
    """The window at practice in one look; the usual look is put back."""
    name, percent = request.param
    practised.look.change(theme=name, text=percent)
    practised.dress_anew()
    yield practised
    practised.hide()
    theme.use()


def overlapping(parent: QWidget) -> list[str]:
    """Buttons and fields that lie on one another where they are seen, not where scrolled away."""
    shown = [w for w in parent.findChildren(QWidget)
             if isinstance(w, QAbstractButton | QLineEdit) and w.isVisible()
             and not isinstance(w.parent(), QLineEdit)]  # fmt: skip
    boxes = []
    for widget in shown:
        seen = widget.visibleRegion().boundingRect()
        boxes.append((widget, QRect(widget.mapTo(parent, seen.topLeft()), seen.size())))
    return [
        f"{one.accessibleName() or one} and {other.accessibleName() or other}"
        for i, (one, here) in enumerate(boxes) for other, there in boxes[i + 1 :]
        if not here.isEmpty() and here.intersects(there)
    ]  # fmt: skip


def pages(window: MainWindow, armrest, pack, qtbot) -> Iterator[tuple[str, QWidget]]:
    """Each page and step in turn."""
    place = window.practice
    place.show_page(ROUNDS)
    rounds = place.rounds
    yield "start", rounds
    (case,) = as_practice(armrest, pack, CaseSource.DEMO)
    page = rounds.round_page
    page.worlds = 256
    rounds.begin_round(case, Help.HINTS)
    qtbot.waitUntil(lambda: page.is_ready, timeout=30000)
    for item in page.round.hazards:
        page.round.ask_hazard(item.key)
    page.panels[Step.HAZARDS].fill(page.round)
    page.open_hint()
    yield "hazards", page
    page.go_on()
    yield "first", page
    page.round.choose_first(Belief("hand_stitch", 0.6))
    page._after(page.round)
    yield "ask", page
    for question in page.round.truth.questions[:2]:
        page.round.ask(question.fact)
    page.go_on()
    yield "forces", page
    page.panels[Step.FORCES].name()
    page.go_on()
    yield "plan", page
    page.go_on()
    yield "reveal", rounds.reveal_page
    place.show_page(LESSONS)
    place.lessons.open("method.hand_stitch")
    yield "lesson", place.lessons
    place.show_page(TRY)
    yield "try", place.stack.currentWidget()
    place.show_page(TRAINER)
    yield "trainer", place.stack.currentWidget()


def test_nothing_is_cut_and_all_is_named_and_in_reach(
    dressed: MainWindow, armrest, engine, qtbot, qapp: QApplication
) -> None:
    for name, page in pages(dressed, armrest, engine.pack, qtbot):
        for size in SIZES:
            dressed.resize(*size)
            settled(qapp)
            where = f"{name} at {size}"
            assert clipped(page) == [], where
            assert unnamed(dressed) == [], where
            assert overlapping(page) == [], where
            for button in (dressed.practice.rounds.round_page.next,
                           dressed.practice.rounds.reveal_page.next,
                           dressed.practice.rounds.begin):  # fmt: skip
                if button.isVisible():
                    at = button.mapTo(dressed, QPoint(0, 0))
                    assert dressed.rect().contains(QRect(at, button.size())), where
                    assert button.height() >= 44


def test_a_narrow_low_window_has_room_for_every_step(
    practised: MainWindow, armrest, engine, qtbot, qapp
) -> None:
    practised.resize(760, 600)
    for name, page in pages(practised, armrest, engine.pack, qtbot):
        if page is practised.practice.rounds.round_page:
            settled(qapp)
            panel = page.stack.currentWidget()
            assert not clipped(page), name
            for child in panel.findChildren(QWidget, options=DIRECT):
                if child.isVisible():
                    assert panel.rect().contains(child.geometry()), (name, child)
