"""Every page in three sizes, three themes and two text sizes: nothing cut, named, in reach."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QAbstractButton, QApplication, QLineEdit, QWidget

from advisor import paths
from advisor.facts.case_file import read_case
from advisor.gui import theme
from advisor.gui.app import Engine
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import (
    HAZARD_PAGE,
    JOB_SHEET,
    METHOD_PAGE,
    QUESTION_LIST,
    RECORD_PAGE,
)
from tests.gui.window.test_look import clipped

SCREENS = ("vehicle.kind", "part.kind", "damage.kind", HAZARD_PAGE, "damage.hole_state",
           "damage.length", QUESTION_LIST, METHOD_PAGE, JOB_SHEET, RECORD_PAGE)  # fmt: skip
SIZES = ((1024, 600), (1280, 800), (1920, 1080))
LOOKS = [("light", 100), ("dark", 100), ("sunlight", 100), ("light", 150)]


@pytest.fixture(params=LOOKS, ids=lambda look: f"{look[0]}-{look[1]}")
def dressed(request: pytest.FixtureRequest, show, engine: Engine):
    """The window with a demo case in one look; the usual look is put back."""
    case = read_case(paths.demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window = show(case.without("gate.airbag"))
    name, percent = request.param
    window.look.change(theme=name, text=percent)
    window.dress_anew()
    yield window
    window.hide()
    theme.use()


def settled(app: QApplication) -> None:
    """Everything in its place."""
    for _ in range(5):
        app.processEvents()


def overlapping(parent: QWidget) -> list[str]:
    """Buttons and fields of one page that lie on one another."""
    shown = [w for w in parent.findChildren(QWidget)
             if isinstance(w, QAbstractButton | QLineEdit) and w.isVisible()]  # fmt: skip
    boxes = [(w, QRect(w.mapTo(parent, QPoint(0, 0)), w.size())) for w in shown]
    return [
        f"{one.accessibleName() or one} and {other.accessibleName() or other}"
        for i, (one, here) in enumerate(boxes) for other, there in boxes[i + 1 :]
        if here.intersects(there) and not one.isAncestorOf(other) and not other.isAncestorOf(one)
    ]  # fmt: skip


def unnamed(window: MainWindow) -> list[str]:
    """Controls that a screen reader could not name."""
    return [
        f"{type(button).__name__} {button.objectName()}"
        for button in window.findChildren(QAbstractButton)
        if button.isVisible() and not (button.accessibleName() or button.text())
        and not isinstance(button.parent(), QLineEdit)
    ]  # fmt: skip


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_nothing_is_cut_nothing_overlaps_and_next_is_in_reach(
    dressed: MainWindow, qapp: QApplication, size: tuple[int, int]
) -> None:
    dressed.resize(*size)
    for screen in SCREENS:
        dressed.navigator.go(screen)
        settled(qapp)
        shown = dressed.pages.shown() or dressed.card
        assert clipped(shown) == [], screen
        assert clipped(dressed.way) == [], screen
        assert overlapping(shown) == [], screen
        assert unnamed(dressed) == [], screen
        at = dressed.next.mapTo(dressed, QPoint(0, 0))
        assert dressed.rect().contains(QRect(at, dressed.next.size())), screen
        for button in dressed.way.findChildren(QAbstractButton):
            assert not button.isVisible() or button.height() >= 44


def test_the_open_hazard_is_named_on_every_page_but_its_own(
    dressed: MainWindow, qapp: QApplication
) -> None:
    for screen in SCREENS:
        dressed.navigator.go(screen)
        settled(qapp)
        told = dressed.hazard_strip.isVisible()
        assert told is (screen != HAZARD_PAGE), screen
        if told:
            assert "Airbag" in dressed.hazard_strip.text()
    assert "EUR" not in dressed.pages[METHOD_PAGE].card.price.value.text()
    dressed.hazard_strip.click()
    settled(qapp)
    assert dressed.navigator.screen == "gate.airbag"


def test_the_icon_of_the_place_that_is_shown_is_seen(
    dressed: MainWindow, qapp: QApplication
) -> None:
    settled(qapp)
    (here,) = (button for button in dressed.rail.buttons.values() if button.isChecked())
    shot = here.grab().toImage()
    upper = [shot.pixelColor(x, y).lightness()
             for x in range(12, shot.width() - 12)
             for y in range(12, shot.height() // 2)]  # fmt: skip
    assert max(upper) - min(upper) > 100


def test_a_large_window_draws_larger_and_a_small_one_as_before(
    dressed: MainWindow, qapp: QApplication
) -> None:
    dressed.resize(1280, 800)
    settled(qapp)
    small = theme.TEXT, theme.px(62)
    dressed.resize(1920, 1080)
    settled(qapp)
    grown = min(1.25 * theme.PERCENT, 200.0) / theme.PERCENT
    assert pytest.approx(small[0] * grown, abs=1) == theme.TEXT
    assert pytest.approx(small[1] * grown, abs=1) == theme.px(62)
    assert dressed.side.width() > dressed.left.width(), "the picture gets the larger share"
    dressed.resize(1280, 800)
    settled(qapp)
    assert small == (theme.TEXT, theme.px(62))


def test_what_was_answered_fills_the_room_below_a_question_and_leads_back(
    dressed: MainWindow, qapp: QApplication
) -> None:
    dressed.resize(1024, 600)
    dressed.navigator.go("damage.hole_state")
    settled(qapp)
    assert not dressed.card.so_far.isVisible(), "no room"
    dressed.resize(1920, 1080)
    settled(qapp)
    shown = dressed.card.so_far
    if theme.PERCENT == 100:
        assert shown.isVisible()
    if not shown.isVisible():
        return
    assert dressed.card.area.verticalScrollBar().maximum() == 0, "nothing is pushed out"
    button = next(b for b in shown.buttons if b.text().startswith("Length of the damage"))
    assert button.height() >= 44
    button.click()
    settled(qapp)
    assert dressed.navigator.screen == "damage.length"
