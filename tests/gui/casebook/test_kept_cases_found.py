"""Kept cases in the window, by keyboard and by mouse. Own rules of this project."""

from __future__ import annotations

from functools import partial

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QApplication

from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page as found
from advisor.casebook.outcomes.entries import taken
from advisor.facts.case import Span
from advisor.gui.casebook.casebook_dialog import CasebookDialog
from advisor.gui.casebook.casebook_page import CasebookPage
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from tests.gui.casebook.conftest import PACK, settled
from tests.unit.session.small_pack import small_advise, without_working


def names(page: CasebookPage) -> list[str]:
    return [line.name for line in page.table.lines]


def test_the_newest_stand_first_and_the_first_is_shown(page: CasebookPage) -> None:
    assert names(page) == ["HB-3", "HB-2", "HB-1"]
    assert page.said.text() == "3 cases, the newest first"
    assert page.about.text().startswith("Armrest: ")
    assert "History\n14 Jul 2017: from a case file, Ada" in page.about.text()
    assert not page.damage.isVisible()


def test_typing_narrows_the_list(qtbot, page: CasebookPage) -> None:
    qtbot.keyClicks(page.words, "winter cre")
    settled(qtbot, page)
    assert names(page) == ["HB-1"]
    assert page.said.text() == "1 case, the newest first"
    page.words.setText("nowhere")
    settled(qtbot, page)
    assert names(page) == []
    assert page.about.text() == ""
    assert not page.open.isEnabled()


def test_filters_narrow_the_list(qtbot, page: CasebookPage) -> None:
    box = page.filters["part"]
    box.setCurrentIndex(box.findData("armrest"))
    settled(qtbot, page)
    assert names(page) == ["HB-3", "HB-1"]
    box = page.filters["damage"]
    box.setCurrentIndex(box.findData("tear"))
    settled(qtbot, page)
    assert names(page) == ["HB-3"]


def test_an_outcome_is_entered_with_one_press(qtbot, page: CasebookPage) -> None:
    page.form.failed.setText("thread")
    page.form.years.setValue(0.5)
    page.form.minutes.setValue(55)
    qtbot.mouseClick(page.form.buttons["back"], Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    key = page.table.lines[0].key
    heard = page.asker._keeping.ask(
        lambda book: book.read(partial(taken, key=key))
    ).result(20)  # fmt: skip
    assert [(one.state, one.years, one.failed, one.minutes, one.material) for one in heard] == [
        ("back", 0.5, "thread", 55.0, None)
    ]
    assert page.table.lines[0].outcome == "back"
    assert "Came back after 0.5 years: thread" in page.about.text()
    assert page.form.failed.text() == ""


def test_what_is_thrown_away_is_in_the_bin(qtbot, page: CasebookPage) -> None:
    qtbot.mouseClick(page.throw, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert names(page) == ["HB-2", "HB-1"]
    binned = page.asker._keeping.ask(
        lambda book: book.read(partial(found, search=Search(in_bin=True)))
    ).result(20)
    assert [line.name for line in binned] == ["HB-3"]


def test_a_casebook_that_cannot_be_used_is_told(qtbot, tmp_path) -> None:
    blocked = tmp_path / "blocked"
    blocked.write_text("")
    keeping = CaseKeeping(tmp_path / "journal.sqlite", str(blocked), PACK)
    keeping.start()
    page = CasebookPage(keeping, PACK)
    qtbot.addWidget(page)
    qtbot.waitUntil(lambda: "this folder cannot be made" in page.said.text(), timeout=20_000)
    keeping.stop()


def test_a_kept_case_is_found_by_keyboard_and_worked_on(
    qtbot, kept_window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept_window.navigator.answer("part.kind", ("door_panel",))  # left for the other case

    def look() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, CasebookDialog)
        qtbot.keyClicks(dialog.page.words, "wheelhouse")
        settled(qtbot, dialog.page)
        qtbot.keyClick(dialog.page.words, Qt.Key.Key_Return)
        settled(qtbot, dialog.page)
        qtbot.keyClick(dialog.page.view, Qt.Key.Key_Return)

    QTimer.singleShot(100, look)
    kept_window.files.find()
    session = kept_window.session
    assert session.case.name == "HB-2"
    assert session.case.title == "Wheelhouse dash, charter boat"
    kept_window.navigator.answer("damage.length", Span(7, 7, "7 mm"))
    keeping = session.keeping
    assert keeping is not None
    lines = keeping.ask(lambda book: book.read(partial(found, search=Search()))).result(20)
    assert lines[0].called == "Door panel"  # the one that was left
    again = keeping.ask(lambda book: book.case(keeping.keeper.key)).result(20)
    assert again.case.facts["damage.length"] == Span(7, 7)


def test_closing_a_kept_case_asks_nothing(
    kept_window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept_window.navigator.answer("part.kind", ("armrest",))
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: pytest.fail("nothing is lost"))
    assert kept_window.files.may_leave()
    kept_window.files.new()
    assert not kept_window.session.begun


@pytest.mark.parametrize(
    ("choice", "length"), [(Choice.MINE, 20), (Choice.THEIRS, 10), (Choice.CANCEL, 20)]
)
def test_another_version_is_told_and_merged(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping, tmp_path,
    monkeypatch: pytest.MonkeyPatch, choice: Choice, length: int,
) -> None:  # fmt: skip
    mine = kept_window.session
    key = keeping.ask(lambda book: book.all_keys()[0]).result(20)
    mine.open_stored(keeping.ask(lambda book: book.open_for_work(key)).result(20))
    theirs = CaseKeeping(tmp_path / "other.sqlite", str(tmp_path / "book"), PACK)
    theirs.start()
    other = Session(PACK, without_working(small_advise), keeping=theirs)
    other.open_stored(theirs.ask(lambda book: book.open_for_work(key)).result(20))
    other.answer("damage.length", Span(10, 10, "10 mm"))
    other.close_revision("stage")
    theirs.ask(lambda book: book.all_keys()).result(20)
    kept_window.navigator.answer("damage.length", Span(20, 20, "20 mm"))
    mine.close_revision("stage")
    qtbot.waitUntil(lambda: keeping.other is not None, timeout=20_000)
    shown: list[Versions] = []

    def choose(parent: object, versions: Versions) -> tuple[Choice, frozenset[str]]:
        shown.append(versions)
        return choice, frozenset()

    monkeypatch.setattr(dialogs, "ask_versions", choose)
    kept_window.files.heed_others()
    assert [row.key for row in shown[0].rows] == ["damage.length"]
    assert mine.case.facts["damage.length"] == Span(length, length)
    there = keeping.ask(lambda book: book.case(key)).result(20)
    if choice is Choice.CANCEL:
        assert [len(version.case.facts) for version in there.others] == [3]
    else:
        assert not there.others
        assert there.case.facts["damage.length"] == Span(length, length)
    theirs.stop()


def test_home_has_the_kept_cases_worked_on_last(qtbot, kept_window: MainWindow) -> None:
    kept_window.show_home()
    home = kept_window.home
    assert home is not None

    def shown() -> list[str]:
        rows = (home.recent.itemAt(i).widget() for i in range(home.recent.count()))
        return [row.text() for row in rows]

    qtbot.waitUntil(lambda: len(shown()) == 4, timeout=20_000)
    assert [text.split("   ")[0] for text in shown()] == [
        "Armrest: Tear in the skin", "Wheelhouse dash, charter boat",
        "Harbour shuttle 4, armrest", "Find a kept case...",
    ]  # fmt: skip
    qtbot.mouseClick(home.recent.itemAt(1).widget(), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: kept_window.session.case.name == "HB-2", timeout=20_000)
    assert not kept_window.at_home
