"""Method, job, record and the picture beside them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import QApplication, QLabel, QTreeWidget, QTreeWidgetItem

from advisor import paths
from advisor.advice.result import Advice, Reason, Status
from advisor.drawing.timeline import timeline
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.facts.quantity import System
from advisor.gui.app import Engine
from advisor.gui.handover.record_page import RecordPage
from advisor.gui.job.job_page import JobPage
from advisor.gui.job.timeline_view import TimelineView
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets.page import point
from advisor.gui.widgets.reasons_tree import ReasonsTree
from advisor.gui.window.main_window import MainWindow
from advisor.job.model import Slot
from advisor.job.sheet import job_sheet
from advisor.report.content.work_steps import work_steps
from advisor.session.case_session import Session
from advisor.session.screens import JOB_SHEET, METHOD_PAGE, RECORD_PAGE
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

LEFT = Qt.MouseButton.LeftButton


def demo_case(engine: Engine, name: str) -> Case:
    """A demo case under the shipped rules."""
    return read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)


def give(window: MainWindow, **answers: object) -> None:
    """Answer several questions; ``part_kind`` stands for ``part.kind``."""
    for name, value in answers.items():
        window.navigator.answer(name.replace("_", ".", 1), value)  # type: ignore[arg-type]


def split(window: MainWindow, airbag: bool | None = False) -> None:
    """A split armrest seam."""
    give(window, part_kind=("armrest",), damage_kind=("seam_open",), core_state=("springs_back",))
    if airbag is not None:
        give(window, hazard_airbag=airbag)


def shown_text(widget) -> str:
    """All words of the labels that are shown in ``widget``."""
    return "\n".join(w.text() for w in widget.findChildren(QLabel) if w.isVisible())


def words_of(tree: QTreeWidget) -> list[str]:
    """Every line of a tree."""
    found: list[str] = []

    def walk(item: QTreeWidgetItem) -> None:
        found.append(item.text(0))
        for i in range(item.childCount()):
            walk(item.child(i))

    for i in range(tree.topLevelItemCount()):
        walk(tree.topLevelItem(i))
    return found


def test_the_method_page_argues_the_choice(window: MainWindow) -> None:
    split(window)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    text = shown_text(page)
    assert "Hand stitch through the existing holes" in text
    assert "EUR 53\n40 to 72" in text
    assert "96 of 100" in text
    assert "Best in 93 of 100 simulated cases." in text
    assert "Glue the lips together, then touch up the colour" in text
    assert "If the foam crumbles, a new cover leads." in text
    assert "Estimate, not a test result." in text
    lines = words_of(page.tree)
    assert "The glue line creeps under a pull that never stops." in lines
    assert "Load path: Skin shrank > Pull all the time > Glue line creeps" in lines
    assert any(text.startswith("Source: Own estimate") for text in lines)
    assert not page.question.isVisible()


def test_a_line_that_begins_with_a_dot_hangs_from_it(
    window: MainWindow, qapp: QApplication
) -> None:
    text = "About 17 % of the uncertainty comes from: cloth behind the vinyl (not answered yet)"
    found = point("•", text, window)
    found.resize(260, 200)
    found.show()
    qapp.processEvents()
    mark, words = found.findChildren(QLabel)
    assert words.text() == text
    assert words.height() > 1.8 * mark.fontMetrics().height()
    assert words.x() > mark.x() + mark.fontMetrics().horizontalAdvance("•")
    assert mark.y() <= words.y() + 2
    found.hide()


def many_flips(case: Case, pack: SmallPack) -> Advice:
    """The small advice with eight things that would change the choice."""
    advice = small_advise(case, pack)
    flips = advice.flips and tuple(
        replace(advice.flips[0], text=f"If it were number {number}, a new cover leads")
        for number in range(8)
    )
    return replace(advice, flips=flips)


def test_what_would_change_the_choice_is_all_one_key_away(open_window, qtbot) -> None:
    window = open_window(Session(SmallPack(), without_working(many_flips)))
    split(window)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert len(page.tries) == 5
    assert page.more.isVisible()
    assert page.more.text() == "Show 3 more"
    page.more.setFocus()
    qtbot.keyClick(page.more, Qt.Key.Key_Space)
    assert len(page.tries) == 8
    assert not page.more.isVisible()
    assert window.focusWidget() is page.tries[5]
    assert "number 7" in shown_text(page)
    for text, button in zip(
        (w for w in page.flips.findChildren(QLabel) if w.isVisible() and "number" in w.text()),
        page.tries,
        strict=True,
    ):
        assert text.geometry().right() + 12 <= button.geometry().left()


def test_one_flip_more_needs_no_button(open_window) -> None:
    def six(case: Case, pack: SmallPack) -> Advice:
        advice = many_flips(case, pack)
        return replace(advice, flips=advice.flips[:6])

    window = open_window(Session(SmallPack(), without_working(six)))
    split(window)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert len(page.tries) == 6
    assert not page.more.isVisible()


def inked_rows(tree: QTreeWidget) -> list[int]:
    """Rows of the picture of a tree that hold dark letters, from its top."""
    image = tree.viewport().grab().toImage()
    return [
        y for y in range(image.height())
        if any(image.pixelColor(x, y).lightness() < 90 for x in range(60, image.width()))
    ]


@pytest.mark.parametrize("down", [0, 5, 11])
def test_the_reasons_cut_no_line_at_their_lower_edge(
    window: MainWindow, qapp: QApplication, down: int
) -> None:
    split(window)
    reason = Reason("Pulls that come with every use tear the skin from hole to hole. " * 6)
    tree = ReasonsTree(window)
    tree.setFixedSize(330, 100)
    tree.show_reasons([reason, reason], System.METRIC)
    tree.show()
    high = QFontMetrics(tree.topLevelItem(0).data(0, Qt.ItemDataRole.FontRole)).height()
    for height in range(100, 100 + high):
        tree.setFixedHeight(height)
        qapp.processEvents()
        tree.verticalScrollBar().setValue(down)
        qapp.processEvents()
        rows = inked_rows(tree)
        # The last band of letters is as high as one that stands whole above it.
        bands = [list(band) for band in bands_of(rows)]
        assert len(bands) > 2
        assert len(bands[-1]) >= 0.75 * len(bands[1]), height
    tree.hide()


def bands_of(rows: list[int]) -> list[list[int]]:
    """Runs of rows without a gap."""
    found: list[list[int]] = []
    for row in rows:
        if found and row == found[-1][-1] + 1:
            found[-1].append(row)
        else:
            found.append([row])
    return found


def test_a_referred_case_says_so_loudly_and_shows_no_plan(window: MainWindow, qtbot) -> None:
    split(window, airbag=True)
    window.navigator.go("damage.length")
    assert window.alarm.isVisible()
    assert "Stop: refer this job." in window.alarm.text()
    assert "An airbag seam must open as it was made to." in window.alarm.text()
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.headline.objectName() == "refer"
    assert page.headline.text().startswith("Stop: refer this job.")
    text = shown_text(page)
    assert "No plan is shown while a hazard stops the job." in text
    assert "EUR" not in text
    window.navigator.go(JOB_SHEET)
    text = shown_text(window.pages[JOB_SHEET])
    assert "No steps are shown." in text
    assert "Draw the lips" not in text


def test_an_open_hazard_is_the_first_thing_on_the_method_page(window: MainWindow, qtbot) -> None:
    split(window, airbag=None)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.question.text() == "Answer the hazard question: Airbag in this section"
    assert "Best so far, not final" in shown_text(page)
    qtbot.mouseClick(page.question, LEFT)
    assert window.navigator.screen == "hazard.airbag"


def test_steps_stand_in_order_with_their_cautions(window: MainWindow) -> None:
    split(window)
    window.navigator.go(JOB_SHEET)
    text = shown_text(window.pages[JOB_SHEET])
    assert text.index("Draw the lips together") < text.index("Dab the colour on")
    assert "Cut away from yourself." in text
    assert "Curved needles slip: keep the other hand out of the line." in text
    assert "Materials: bonded polyester thread; colour." in text


def test_a_caution_stands_in_full_once_and_is_named_again_after_that() -> None:
    texts = ("Needles: leather palm", "Air the cabin")
    ((key, block),) = work_steps(("sew", "Sew", "Sew it", texts) for _ in range(2))
    assert key == "sew"
    first, again = (step.cautions for step in block.steps)
    assert first == ("Needles: leather palm.", "Air the cabin.")
    assert again == ("Needles: see step 1.", "Air the cabin: see step 1.")


def test_steps_stand_in_the_order_of_the_work_whatever_method_they_are_of() -> None:
    steps = [("foam", "Foam", "Open it", ()), ("sew", "Sew", "Turn it", ()),
             ("foam", "Foam", "Cut foam", ()), ("sew", "Sew", "Close it", ())]  # fmt: skip
    shown = [(key, step.number) for key, run in work_steps(steps) for step in run.steps]
    assert shown == [("foam", "1"), ("sew", "2"), ("foam", "3"), ("sew", "4")]


def test_the_record_lists_facts_answers_and_how_known(window: MainWindow, qtbot) -> None:
    give(window, part_kind=("armrest",), damage_gap=Span(4, 4, "4 mm"))
    window.navigator.go(RECORD_PAGE)
    page = window.pages[RECORD_PAGE]
    assert isinstance(page, RecordPage)
    rows = [
        [page.table.item(y, x).text() for x in range(3)] for y in range(page.table.rowCount())
    ]
    assert ["Kind of part", "Armrest", "entered"] in rows
    assert ["Gap at rest", "4 mm", "entered"] in rows
    assert any(row[0] == "Skin thickness" and row[2] == "assumed" for row in rows)
    assert "Rules small 1, digest 0123456789ab." in page.rules.text()
    qtbot.keyClicks(page.title, "Shuttle bus 7")
    qtbot.keyClicks(page.note, "Call the depot")
    qtbot.mouseClick(window.back, LEFT)
    window.commit()
    window.navigator.go(RECORD_PAGE)
    assert window.session.case.title == "Shuttle bus 7"
    assert window.session.case.note == "Call the depot"


def test_bars_name_their_state_and_the_path_that_breaks_them(window: MainWindow) -> None:
    split(window)
    rows = window.picture.bars.rows
    assert [row.method.method for row in rows[:2]] == ["hand_stitch", "recolour"]
    glue = next(row for row in rows if row.method.status is Status.FAILS)
    assert glue.accessibleName() == "Glue the lips together: fails"
    assert glue.under == "Breaks by: Skin shrank > Pull all the time > Glue line creeps"
    weld = next(row for row in rows if row.method.status is Status.NOT_POSSIBLE)
    assert weld.accessibleName() == "Weld the plastic: not possible"
    assert not weld.has_bar


@pytest.mark.parametrize("key", [Qt.Key.Key_Space, Qt.Key.Key_Return])
def test_a_bar_is_reached_and_opened_by_keys(window: MainWindow, qtbot, key: Qt.Key) -> None:
    split(window)
    first = window.picture.bars.rows[0]
    reached = set()
    window.next.setFocus()
    for _ in range(40):
        qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Tab)
        reached.add(window.focusWidget())
    assert set(window.picture.bars.rows) <= reached
    first.setFocus()
    qtbot.keyClick(first, key)
    panel = window.picture.reasons
    assert window.picture.stack.currentWidget() is panel
    assert panel.title.text() == "Hand stitch through the existing holes: holds"
    assert "Thread and holes carry the pull." in words_of(panel.tree)
    qtbot.mouseClick(panel.back, LEFT)
    assert window.picture.stack.currentWidget() is window.picture.bars
    assert window.focusWidget() is window.picture.bars.rows[0]


def test_reasons_stay_open_and_follow_the_answers(
    window: MainWindow, qapp: QApplication, qtbot
) -> None:
    split(window)
    qapp.processEvents()
    glue = next(row for row in window.picture.bars.rows if row.method.status is Status.FAILS)
    qtbot.mouseClick(glue, LEFT)
    before = words_of(window.picture.reasons.tree)
    give(window, damage_gap=Span(12, 12, "12 mm"))
    after = words_of(window.picture.reasons.tree)
    assert window.picture.stack.currentWidget() is window.picture.reasons
    assert before != after
    assert any("0.38 (0.19 to 0.76) N/mm" in text for text in after)


def test_units_switch_in_the_reasons_and_in_the_drawing(window: MainWindow) -> None:
    split(window)
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert "N/mm" in window.picture.section.accessibleDescription()
    window.actions_by_key()["Ctrl+U"].trigger()
    assert "lbf/in" in window.picture.section.accessibleDescription()
    assert any("lbf/in" in text for text in words_of(page.tree))


def test_the_drawing_redraws_with_each_answer(window: MainWindow) -> None:
    split(window)
    before = window.picture.section.grab().toImage()
    give(window, damage_gap=Span(20, 20, "20 mm"))
    assert window.picture.section.grab().toImage() != before


@pytest.mark.parametrize("name", ["split_armrest", "armrest_crumbled_foam", "brittle_bench"])
def test_the_job_page_shows_quantities_quote_and_timeline(show, engine, name: str) -> None:
    window = show(demo_case(engine, name))
    window.navigator.go(JOB_SHEET)
    page = window.pages[JOB_SHEET]
    assert isinstance(page, JobPage)
    sheet = job_sheet(window.session.case, engine.pack, window.session.advice)
    assert sheet.price is not None
    text = shown_text(page)
    for group in sheet.groups:
        for amount in group.amounts:
            assert amount.title in text
            assert amount.text() in text
    # Where the call-out charge covers the work there is nothing more to pay.
    most = f"At most EUR {sheet.price.total.high:.2f}"
    assert (most in text) is not sheet.price.minimum_applies
    for line_ in sheet.price.lines:
        assert line_.title in text
    lines = [found for found in page.findChildren(TimelineView) if found.isVisible()]
    one_bar = len(sheet.timeline) == 1 and not sheet.ready  # which says no more than the minutes
    assert [line.course for line in lines] == (
        [] if one_bar else [timeline(sheet.timeline, several=False)]
    )
    for step in sheet.steps:
        assert step.text.rstrip(".") in text
    window.actions_by_key()["Ctrl+U"].trigger()
    shown = shown_text(page)
    assert all(a.text(System.IMPERIAL) in shown for g in sheet.groups for a in g.amounts)


def test_a_referred_job_has_no_quote(show, engine) -> None:
    window = show(demo_case(engine, "airbag_seam"))
    window.navigator.go(JOB_SHEET)
    text = shown_text(window.pages[JOB_SHEET])
    assert "Quote" not in text
    assert "EUR" not in text
    assert window.pages[JOB_SHEET].findChild(TimelineView) is None


def test_a_wait_is_told_as_a_wait() -> None:
    slots = (
        Slot("seat", "x", "Sew", True, 0.0, 30.0),
        Slot("seat", "foam", "Cement dries", False, 60.0, 80.0),
    )
    course = timeline(slots, several=False)
    assert course is not None
    assert [one.words for one in course.stretches] == [
        "0:00 to 0:30  Sew", "1:00 to 1:20  Cement dries, no work needed",
    ]
