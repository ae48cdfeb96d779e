"""The Job stage is filled anew after an answer: what stays, where it stands, what it says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from advisor.drawing.timeline import timeline
from advisor.facts.case import Span, Value
from advisor.facts.case_file import write_case
from advisor.gui.app import Engine
from advisor.gui.job.job_page import JobPage
from advisor.gui.job.measures_dialog import MeasuresDialog
from advisor.gui.job.timeline_view import TimelineView
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.cell_grid import CellGrid
from tests.gui.job.page_actions import LEFT, dialog_of, page_of, press, sheet_of, write
from tests.gui.window.test_pages import shown_text
from tests.gui.window.test_shipped_rules import demo

#: Cases with answers that change figures, whole blocks, the plan, and whether there is one.
CHANGES: dict[str, tuple[tuple[str, Value], ...]] = {
    "armrest_crumbled_foam": (
        ("damage.length", Span(90.0, 90.0)), ("core.state", ("springs_back",)),
        ("gate.airbag", ("in_section",)), ("gate.airbag", ("none",)), ("skin.feel", ("brittle",)),
    ),
    "brittle_bench": (
        ("skin.material", ("leather",)), ("skin.material", ("vinyl_backed",)),
        ("skin.material", ("cloth_knit",)), ("core.state", ("crumbles",)),
    ),
}  # fmt: skip


pytestmark = pytest.mark.usefixtures("own_folders")


def settled(qapp: QApplication) -> None:
    """Everything laid out, and what was given up deleted."""
    for _ in range(6):
        qapp.processEvents()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def labels(page: JobPage) -> list[QLabel]:
    return [w for w in page.inside.findChildren(QLabel) if w.isVisible()]


def button(page: JobPage, text: str) -> QPushButton:
    (found,) = [b for b in page.findChildren(QPushButton) if b.text() == text and b.isVisible()]
    return found


def picture(page: JobPage) -> QImage:
    """The whole page as it looks; one format, whether its ground is filled by it or behind it."""
    return page.inside.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)


def stops(page: JobPage) -> list[str]:
    """The buttons of the page in the order of the Tab key."""

    def chain() -> Iterator[QWidget]:
        found = page.area.nextInFocusChain()
        while found is not page.area:
            yield found
            found = found.nextInFocusChain()

    return [
        w.text() for w in chain()
        if isinstance(w, QPushButton) and page.isAncestorOf(w) and w.isVisible()
    ]


@pytest.mark.parametrize("name", CHANGES)
def test_a_page_filled_anew_is_the_same_as_a_new_one(at_job, qapp, name: str) -> None:
    window = at_job(name)
    page, navigator = page_of(window), window.navigator
    for step, (fact, value) in enumerate(CHANGES[name]):
        navigator.answer(fact, value)
        if step == 2:
            navigator.switch_units()
        window.resize(*((1280, 800), (1000, 700))[step % 2])
        settled(qapp)
        refilled, words, order = picture(page), shown_text(page), stops(page)
        fresh = JobPage(navigator, window)
        window.stack.addWidget(fresh)
        window.stack.setCurrentWidget(fresh)
        fresh.redraw()
        settled(qapp)
        # Read aloud and reached by the keys in the same order, and not a dot looks different.
        assert shown_text(fresh) == words, fact
        assert stops(fresh) == order, fact
        assert picture(fresh) == refilled, fact
        window.stack.setCurrentWidget(page)
        window.stack.removeWidget(fresh)
        fresh.deleteLater()


def test_an_answer_keeps_the_place_on_the_page_and_its_widgets(at_job, qapp, qtbot) -> None:
    window = at_job("armrest_crumbled_foam")
    page = page_of(window)
    window.navigator.answer("damage.length", Span(80.0, 80.0, "80 mm"))
    settled(qapp)
    for _ in range(3):
        qtbot.keyClick(page.area, Qt.Key.Key_PageDown)
    settled(qapp)
    down = page.area.verticalScrollBar().value()
    assert down > 600
    before, grids = labels(page), page.findChildren(CellGrid)
    at = {w: w.mapTo(page.inside, w.rect().topLeft()) for w in before}
    (line,) = page.findChildren(TimelineView)
    old = sheet_of(window)
    window.navigator.answer("damage.length", Span(85.0, 85.0, "85 mm"))
    settled(qapp)
    new = sheet_of(window)
    assert old.price is not None and new.price is not None and new.price != old.price
    assert page.area.verticalScrollBar().value() == down
    assert labels(page) == before
    assert {w: w.mapTo(page.inside, w.rect().topLeft()) for w in before} == at
    assert page.findChildren(CellGrid) == grids
    text = shown_text(page)
    assert f"{new.price.quote:.2f}" in text and f"{old.price.quote:.2f}" not in text
    for group in new.groups:
        assert all(amount.text() in text for amount in group.amounts)
    assert page.findChildren(TimelineView) == [line]
    assert line.course == timeline(new.timeline, several=False)
    for slot in new.timeline:
        assert slot.title in line.accessibleDescription()


def test_answers_back_and_forth_leave_nothing_behind(at_job, qapp) -> None:
    window = at_job("brittle_bench")
    page = page_of(window)
    counts = []
    for _ in range(3):
        for material in ("leather", "vinyl_backed"):
            window.navigator.answer("skin.material", (material,))
            settled(qapp)
        counts.append(len(page.findChildren(QWidget)))
    assert len(set(counts)) == 1


def test_the_keyboard_stays_on_the_button_that_was_pressed(at_job, qapp, qtbot) -> None:
    window = at_job("brittle_bench")
    page = page_of(window)
    measures = button(page, "Measures...")
    measures.setFocus()
    qtbot.keyClick(measures, Qt.Key.Key_Space)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog) and dialog.panels is not None
    qtbot.keyClicks(dialog.panels, "Top 1900x550")
    press(dialog, "Save", qtbot)
    assert "1924 x 574" in shown_text(page)
    assert window.focusWidget() is measures
    # And the button works at once.
    qtbot.keyClick(measures, Qt.Key.Key_Space)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog)
    write(dialog.lines["roll"], "54 in", qtbot)
    press(dialog, "Save", qtbot)
    cut = sheet_of(window).cut
    assert cut is not None and cut.roll_width == pytest.approx(1371.6)
    assert window.focusWidget() is measures


@pytest.fixture
def two_more(engine: Engine, monkeypatch, tmp_path: Path) -> None:
    """Two damages of the same shuttle, found one after the other by Add another damage."""
    cases = []
    for name in ("armrest_crumbled_foam", "worn_bolster"):
        case = replace(demo(engine, name), title=f"{name}, harbour shuttle 4")
        write_case(case, engine.pack.facts, tmp_path / f"{name}.yaml")
        cases.append(tmp_path / f"{name}.yaml")
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: cases.pop(0))


def test_other_damages_come_and_go_under_the_keyboard(at_job, two_more, qapp, qtbot) -> None:
    window = at_job("split_armrest")
    page = page_of(window)
    add = button(page, "Add another damage...")
    add.setFocus()
    for _ in range(2):
        qtbot.keyClick(add, Qt.Key.Key_Space)
        assert window.focusWidget() is add
    names = [case.name for case in page.of_case.others]
    assert len(names) == 2
    takes = [f"Take out {name}" for name in names]
    assert stops(page) == [
        "Measures...", "Prices and rates...", "Print...", *takes,
        "Add another damage...",
    ]
    settled(qapp)
    at = [button(page, text).mapTo(page.inside, add.rect().topLeft()).y() for text in takes]
    assert at[0] < at[1] < add.mapTo(page.inside, add.rect().topLeft()).y()
    first = button(page, takes[0])
    first.setFocus()
    qtbot.keyClick(first, Qt.Key.Key_Space)
    assert [case.name for case in page.of_case.others] == names[1:]
    # The keyboard goes on to the next one, which works at once.
    assert window.focusWidget() is button(page, takes[1])
    qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Space)
    assert page.of_case.others == []
    assert window.focusWidget() is add
    assert "Sharing a visit" not in shown_text(page)


def test_a_button_works_by_click_right_after_an_answer(at_job, two_more, qtbot) -> None:
    window = at_job("split_armrest")
    page = page_of(window)
    for fact, value in (("damage.length", Span(90.0, 90.0)), ("core.state", ("crumbles",))):
        window.navigator.answer(fact, value)
        qtbot.mouseClick(button(page, "Add another damage..."), LEFT)
    assert len(page.of_case.others) == 2
    assert shown_text(page).count("harbour shuttle 4") >= 2


def test_the_note_on_prices_is_plain(at_job) -> None:
    text = shown_text(page_of(at_job("split_armrest")))
    assert (
        "Prices and rates are the program's examples. Replace them with the shop's own: in the "
        "window, under Prices and rates."
    ) in text
    assert "overlay" not in text
