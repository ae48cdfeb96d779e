"""Lessons are opened from reasons; figures under sliders are followed at once."""

from __future__ import annotations

import sys
import time

import pytest
from PySide6.QtCore import QPoint, Qt, QUrl
from PySide6.QtWidgets import QApplication, QPushButton

from advisor.gui.app import Engine
from advisor.gui.practice.lesson_page import LessonPage
from advisor.gui.practice.practice_place import LESSONS, TRY
from advisor.gui.practice.try_page import TryPage
from advisor.gui.widgets.reasons_tree import LESSON
from advisor.gui.window.main_window import MainWindow
from advisor.practice.lessons_try import tried
from advisor.session.screens import METHOD_PAGE

LEFT = Qt.MouseButton.LeftButton


def pump(qapp: QApplication) -> None:
    for _ in range(5):
        qapp.processEvents()


def leaf(tree):
    """The first line that opens a lesson, unfolded."""
    waiting = [tree.topLevelItem(i) for i in range(tree.topLevelItemCount())]
    while waiting:
        item = waiting.pop(0)
        if len(item.data(0, LESSON) or ()) > 1:
            return item
        item.setExpanded(True)
        waiting += [item.child(i) for i in range(item.childCount())]
    raise AssertionError("no line opens a lesson")


def test_a_click_on_a_reason_opens_the_lesson_of_what_pulls(
    own_folders, show, armrest, qtbot, qapp
) -> None:
    window = show(armrest)
    window.side.make()
    method = next(m for m in window.session.advice.methods if m.method == "adhesive_bond")
    window.picture.show_method(method)
    pump(qapp)
    tree = window.picture.reasons.tree
    item = leaf(tree)
    tree.scrollToItem(item)
    pump(qapp)
    qtbot.mouseClick(tree.viewport(), LEFT, pos=tree.visualItemRect(item).center())
    assert window.practice is not None and window.practice.isVisible()
    lessons = window.practice.lessons
    assert lessons.shown is not None and lessons.shown.kind == "load"
    assert lessons.came_from.isVisible() and "Glue" in lessons.came_from.text()
    assert window.rail.buttons["Practice"].isChecked()
    window.navigator.go(METHOD_PAGE)
    assert not window.practice.isVisible(), "the case is one step away"


def test_enter_on_a_reason_of_the_verdict_opens_its_lesson(
    own_folders, show, armrest, qtbot, qapp
) -> None:
    window = show(armrest)
    window.navigator.go(METHOD_PAGE)
    pump(qapp)
    tree = window.pages[METHOD_PAGE].tree
    item = leaf(tree)
    tree.setCurrentItem(item)
    tree.setFocus()
    qtbot.keyClick(tree, Qt.Key.Key_Return)
    assert window.practice is not None and window.practice.isVisible()
    assert window.practice.lessons.shown is not None


def test_practice_is_opened_from_the_home_and_its_rail(own_folders, show, qtbot, qapp) -> None:
    window = show()
    window.show_home()
    button = next(b for b in window.home.findChildren(QPushButton)
                  if b.text().startswith("Choose a repair"))  # fmt: skip
    qtbot.mouseClick(button, LEFT)
    assert window.practice.isVisible()
    pump(qapp)
    assert window.focusWidget() is window.practice.rounds.begin
    window.show_case()
    assert not window.practice.isVisible()
    qtbot.mouseClick(window.rail.buttons["Practice"], LEFT)
    assert window.practice.isVisible()


def test_the_graph_opens_the_lesson_of_a_method(own_folders, show, armrest, qtbot, qapp) -> None:
    window = show(armrest)
    window.show_graph()
    pump(qapp)
    button = next(
        b for b in window.over.findChildren(QPushButton) if b.text() == "Lesson on this"
    )
    qtbot.mouseClick(button, LEFT)
    assert window.practice.lessons.shown.kind == "method"


def test_a_word_finds_a_lesson_and_a_link_leads_on(practised: MainWindow, qtbot, qapp) -> None:
    window = practised
    window.practice.show_page(LESSONS)
    page: LessonPage = window.practice.lessons
    qtbot.keyClicks(page.words, "cold nights")
    qtbot.keyClick(page.words, Qt.Key.Key_Return)
    assert page.shown.key in {"load.cold", "edge.cold"}
    text = page.text.toPlainText()
    assert "factor for the number of cold nights" in text
    page.open("method.hand_stitch")
    assert "In your case" in page.example.text(), "the case that is open is the example"
    assert "3 (2 to 4)" in page.text.toPlainText() or "2 (1 to 4) EUR" in page.text.toPlainText()
    links = page.shown.parts
    to = next(link for part in links for link in part.links)
    page._follow(QUrl(to.key))
    assert page.shown.key == to.key


def test_an_example_is_found_where_the_case_has_none(practised: MainWindow, qtbot) -> None:
    practised.practice.show_page(LESSONS)
    page = practised.practice.lessons
    page.open("demand.fixing_peak")
    qtbot.waitUntil(lambda: not page.is_looking, timeout=20000)
    assert page.example.text().startswith("Example, ")
    assert page.section.isVisible()


def test_figures_under_sliders_change_section_and_bars(practised: MainWindow, qtbot, qapp) -> None:
    practised.practice.show_page(TRY)
    page = practised.practice.stack.currentWidget()
    assert isinstance(page, TryPage)
    assert len(page.sliders) == 4
    before = {m.method: m.usage.typical for m in page.advice.methods if m.usage}
    pitch = page.sliders["seam.pitch"]
    pitch.setFocus()
    for _ in range(6):
        qtbot.keyClick(pitch, Qt.Key.Key_Left)
    after = {m.method: m.usage.typical for m in page.advice.methods if m.usage}
    assert after["hand_stitch"] > before["hand_stitch"], "closer holes leave less skin between"
    shown = {row.method.method: row.method.usage for row in page.bars.rows}
    assert shown["hand_stitch"].typical == after["hand_stitch"]
    # The very figures of the advice under the moved rules, not a formula of the page.
    usual = {one.node: one.usual for one in page._sliders}
    again = tried(page._case, page._pack, page.moved, usual)
    assert again.loads == page.advice.loads
    qtbot.mouseClick(page.back, LEFT)
    assert page.moved == {}
    assert {m.method: m.usage.typical for m in page.advice.methods if m.usage} == before
    bar = page.sliders["skin.shrinkage"]
    pulled = page.advice.loads[0].value.typical
    qtbot.mouseClick(bar, LEFT, pos=QPoint(bar.width() - 6, bar.height() // 2))
    assert page.advice.loads[0].value.typical > pulled


def test_a_moved_figure_is_drawn_within_a_tenth_of_a_second(practised: MainWindow, qapp) -> None:
    """Measured 0.05 s on two cores at rest. Here the processor's own time counts, and the least
    of several: others share the machine."""
    practised.practice.show_page(TRY)
    page = practised.practice.stack.currentWidget()
    bar, took = page.sliders["seam.pitch"], []
    for at in (3, 9, 15, 21, 27, 33):
        start = time.process_time()
        bar.setValue(at)
        practised.grab()
        took.append(time.process_time() - start)
    assert min(took) <= 0.1, took


def test_nothing_of_practice_is_loaded_before_it_is_opened() -> None:
    """The modules that the window names at its start do not import it."""
    import subprocess

    code = (
        "import sys, advisor.gui.app, advisor.gui.window.main_window;"
        "print([name for name in sys.modules if 'practice' in name])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("key", ["load.lean_drag", "method.recover_panel"])
def test_the_page_shows_every_figure_of_its_lesson(
    practised: MainWindow, engine: Engine, key: str
) -> None:
    from advisor.facts.quantity import System
    from advisor.gui.practice.lesson_html import amount
    from advisor.practice.lessons import lesson

    practised.practice.show_page(LESSONS)
    page = practised.practice.lessons
    page.open(key)
    text = page.text.toPlainText().replace("\u00a0", " ")
    for figure in lesson(key, engine.pack).figures:
        assert amount(figure, System.METRIC).replace("\u00a0", " ") in text, figure
