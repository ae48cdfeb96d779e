"""Kept cases in the window, by keyboard and by mouse. Own rules of this project."""

from __future__ import annotations

import io
from functools import partial
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import QDate, Qt, QTimer
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QPushButton

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.finding.bin import throw_away
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page as found
from advisor.casebook.outcomes.entries import Outcome, State, add_outcome, done, taken
from advisor.casebook.outcomes.shop_factor import CAUTIONS
from advisor.casebook.people import Customer, add, belongs_to, people_of
from advisor.casebook.photos.attached import attach
from advisor.facts.case import Case, Span
from advisor.facts.faults import BadInput
from advisor.gui.casebook import case_table
from advisor.gui.casebook.backups_dialog import BackupsDialog, _made
from advisor.gui.casebook.casebook_dialog import CasebookDialog
from advisor.gui.casebook.casebook_page import CasebookPage
from advisor.gui.casebook.people_dialog import PeopleDialog
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.kept_case_words import switch
from advisor.session.screens import METHOD_PAGE, Tab
from tests.casebook.shop import NOON
from tests.casebook.stored_advice import some_advice
from tests.gui.casebook.conftest import PACK, once_there, settled
from tests.unit.session.small_pack import small_advise, started, without_working


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


def test_days_and_customers_narrow_the_list(qtbot, page: CasebookPage) -> None:
    keeping = page.asker._keeping
    key = page.table.lines[2].key  # type: ignore[union-attr]
    keeping.ask(lambda book: book.write(lambda connection: belongs_to(
        connection, key, customer=add(connection, Customer("Quillfeather"))))).result(20)
    qtbot.keyClicks(page.bar.customer, "quill")
    settled(qtbot, page)
    assert names(page) == ["HB-1"]
    page.bar.customer.clear()
    page.bar.days["since"].setDate(QDate(2017, 7, 15))  # a day after all of them
    settled(qtbot, page)
    assert names(page) == []
    page.bar.days["since"].setDate(QDate(2017, 7, 14))
    settled(qtbot, page)
    assert len(names(page)) == 3


def test_a_search_is_saved_taken_up_and_forgotten(
    qtbot, page: CasebookPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    box = page.filters["part"]
    box.setCurrentIndex(box.findData("armrest"))
    page.words.setText("torn")
    settled(qtbot, page)
    monkeypatch.setattr(dialogs, "ask_name", lambda *_: "torn armrests")
    qtbot.mouseClick(page.bar.save, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert page.bar.saved.currentText() == "torn armrests"
    page.words.clear()
    box.setCurrentIndex(0)
    settled(qtbot, page)
    assert len(names(page)) == 3
    page.bar.saved.setCurrentIndex(1)
    page.bar.saved.activated.emit(1)
    settled(qtbot, page)
    assert names(page) == ["HB-3"]
    assert page.words.text() == "torn"
    qtbot.mouseClick(page.bar.forget, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert page.bar.saved.count() == 1


def test_a_case_has_a_preview_of_its_photo_else_of_its_damage(qtbot, page: CasebookPage) -> None:
    keeping = page.asker._keeping
    key = page.table.lines[0].key  # type: ignore[union-attr]
    out = io.BytesIO()
    Image.new("RGB", (400, 300), (200, 30, 30)).save(out, "JPEG")
    keeping.ask(lambda book: book.write(partial(
        attach, key=key, data=out.getvalue(), name="a.jpg", moment="", at=1,
        store=book.files))).result(20)  # fmt: skip
    page.table._previews.clear()
    page.view.viewport().update()

    def red(row: int) -> bool:
        found = page.table.index(row, 1).data(Qt.ItemDataRole.DecorationRole)
        if found is None:
            return False
        seen = found.toImage().pixelColor(found.width() // 2, found.height() // 2)
        return seen.red() > 150 and seen.green() < 80

    qtbot.waitUntil(lambda: red(0), timeout=20_000)
    assert not red(1)


def test_a_long_list_is_scrolled_anywhere_at_once(
    qtbot, page: CasebookPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(case_table, "PAGE", 2)
    page.look()
    settled(qtbot, page)
    assert page.said.text() == "3 cases, the newest first"
    page.view.scrollToBottom()
    page.view.viewport().repaint()
    qtbot.waitUntil(lambda: page.table.lines[2] is not None, timeout=20_000)
    assert names(page) == ["HB-3", "HB-2", "HB-1"]


def test_a_backup_is_put_back_with_one_press(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    kept_window.navigator.answer("part.kind", ("door_panel",))
    keeping.ask(_made).result(20)
    keeping.ask(lambda book: book.write(partial(
        throw_away, key=book.all_keys()[0], at=1))).result(20)
    kept_window.navigator.answer("damage.length", Span(9, 9, "9 mm"))

    def look(dialog: CasebookDialog) -> None:
        settled(qtbot, dialog.page)
        assert len(dialog.page.table.lines) == 3
        once_there(BackupsDialog, press)
        dialog.page.backups.trigger()
        settled(qtbot, dialog.page)
        assert len(dialog.page.table.lines) == 4
        dialog.reject()

    def press(backups: BackupsDialog) -> None:
        qtbot.mouseClick(next(iter(backups.buttons.values())), Qt.MouseButton.LeftButton)
        # The case in the window was kept anew, so that its own state is the same in both.
        assert backups.said.isVisible()
        assert backups.said.text().startswith("Restored: ")
        backups.shut.click()

    once_there(CasebookDialog, look)
    kept_window.files.find()
    here = keeping.ask(lambda book: book.case(keeping.keeper.key)).result(20)
    assert here.case.facts == kept_window.session.case.facts  # answered after the backup
    folder = keeping.folder
    assert folder is not None
    assert len(list(folder.glob("casebook-before-restoring-*.sqlite"))) == 1


def test_a_casebook_in_use_elsewhere_is_not_replaced(keeping: CaseKeeping, tmp_path: Path) -> None:
    made = keeping.ask(_made).result(20)
    other = Casebook.open(tmp_path / "book", PACK)
    other.all_keys()
    with pytest.raises(BadInput, match="another window or program has the casebook open"):
        keeping.restore(made).result(20)
    assert len(keeping.ask(lambda book: book.all_keys()).result(20)) == 3
    other.shut()
    assert keeping.restore(made).result(20) is not None


def test_later_cases_of_the_casebook_put_aside_are_added_with_one_press(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    kept_window.navigator.answer("part.kind", ("door_panel",))
    open_key = keeping.keeper.key
    keeping.ask(_made).result(20)
    keeping.ask(lambda book: book.write(partial(
        add_case, case=Case("HB-9", note="later"), author="Ada", at=NOON, pack=PACK))).result(20)
    keeping.close(kept_window.session.case, "stage", None)
    said: list[str] = []

    def put_back(backups: BackupsDialog) -> None:
        qtbot.mouseClick(next(iter(backups.buttons.values())), Qt.MouseButton.LeftButton)
        said.append(backups.said.text())
        [add] = backups.adding.values()
        for _ in range(2):
            qtbot.mouseClick(add, Qt.MouseButton.LeftButton)
            said.append(backups.said.text().partition(" MB: ")[2])
        backups.shut.click()

    def look(dialog: CasebookDialog) -> None:
        settled(qtbot, dialog.page)
        assert "HB-9" in names(dialog.page)
        once_there(BackupsDialog, put_back)
        dialog.page.backups.trigger()
        settled(qtbot, dialog.page)
        assert "HB-9" in names(dialog.page)
        dialog.reject()

    once_there(CasebookDialog, look)
    kept_window.files.find()
    assert "1 case there is not in this one" in said[0]
    assert "press “Add what only it has” beside it." in said[0]
    assert said[1].startswith("1 added to, 1 new")
    assert "nothing new" in said[2]
    # The case in the window is the same case still, and goes on.
    assert keeping.keeper.key == open_key
    kept_window.navigator.answer("damage.length", Span(9, 9, "9 mm"))
    keeping.close(kept_window.session.case, "stage", None)
    here = keeping.ask(lambda book: book.case(open_key)).result(20)
    assert here.case.facts == kept_window.session.case.facts
    assert (keeping.other, here.others) == (None, ())


def test_the_verdict_says_what_this_shop_saw_once_it_was_looked_up(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    def heard(book: Casebook) -> None:
        key = next(k for k in book.all_keys() if book.case(k).case.name == "HB-1")
        told = Outcome(State.HELD, 2.0)
        book.write(partial(add_outcome, key=key, outcome=told, at=NOON, pack=PACK))

    keeping.ask(heard).result(20)
    for name, value in started().facts.items():
        kept_window.navigator.answer(name, value)
    kept_window.navigator.go_tab(Tab.VERDICT)
    page = kept_window.pages[METHOD_PAGE]

    def said() -> str:
        return " ".join(label.text() for label in page.findChildren(QLabel))

    qtbot.waitUntil(lambda: "this shop, after 2 years: 1 of 1 held" in said(), timeout=20_000)
    assert "factor" not in said()
    keeping.ask(lambda book: switch(book, True)).result(20)
    keeping.experience = None
    kept_window.navigator.refresh()
    qtbot.waitUntil(lambda: "With this shop's factor" in said(), timeout=20_000)
    assert all(caution in said() for caution in CAUTIONS)


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
    assert "Came back after 0.5 years: thread; took 55 minutes (calc" in page.about.text()
    assert page.form.failed.text() == ""


def test_home_reminds_of_jobs_and_ten_of_them_are_entered_with_ten_keys(
    qtbot, kept_window: MainWindow, keeping: CaseKeeping
) -> None:
    def ten_done(book: Casebook) -> None:
        for number in range(10):
            case = Case(f"HB-{100 + number}", facts={"part.kind": ("armrest",)})
            key, _ = book.write(partial(
                add_case, case=case, author="Ada", at=NOON, pack=PACK, advice=some_advice()))
            book.write(partial(done, key=key, at=NOON + number))

    keeping.ask(ten_done).result(20)
    kept_window.show_home()
    home = kept_window.home
    assert home is not None

    def reminder() -> QPushButton | None:
        row = home.recent.itemAt(home.recent.count() - 1).widget()
        return row if isinstance(row, QPushButton) and "asked after" in row.text() else None

    qtbot.waitUntil(lambda: reminder() is not None, timeout=20_000)
    assert reminder().text() == "10 jobs to be asked after..."  # type: ignore[union-attr]
    left: list[int] = []

    def enter(dialog: CasebookDialog) -> None:
        page = dialog.page
        settled(qtbot, page)
        page.form.buttons["held"].setFocus()
        for _ in range(10):
            left.append(len(page.table.lines))
            qtbot.keyClick(dialog.focusWidget(), Qt.Key.Key_Space)
            settled(qtbot, page)
        left.append(len(page.table.lines))
        dialog.reject()

    once_there(CasebookDialog, enter)
    qtbot.mouseClick(reminder(), Qt.MouseButton.LeftButton)
    assert left == [10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0]
    kept_window.show_home()
    qtbot.waitUntil(lambda: home.recent.count() > 6, timeout=20_000)
    qtbot.wait(100)
    assert reminder() is None


def test_what_is_thrown_away_is_in_the_bin(qtbot, page: CasebookPage) -> None:
    qtbot.mouseClick(page.throw, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert names(page) == ["HB-2", "HB-1"]
    qtbot.mouseClick(page.bin, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert names(page) == ["HB-3"]
    assert page.throw.text() == "Take back"
    qtbot.mouseClick(page.throw, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert names(page) == []
    page.bin.click()
    settled(qtbot, page)
    assert len(names(page)) == 3


def test_the_bin_is_emptied_at_the_second_press(qtbot, page: CasebookPage) -> None:
    qtbot.mouseClick(page.throw, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    page.bin.click()
    settled(qtbot, page)
    qtbot.mouseClick(page.empty, Qt.MouseButton.LeftButton)
    assert "cannot be taken back" in page.said.text()
    assert names(page) == ["HB-3"]
    qtbot.mouseClick(page.empty, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert names(page) == []
    page.bin.click()
    settled(qtbot, page)
    assert names(page) == ["HB-2", "HB-1"]


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


def test_ten_outcomes_are_entered_with_ten_presses(qtbot, keeping: CaseKeeping) -> None:
    def put(book: Casebook) -> None:
        for number in range(10):
            case = Case(f"HB-1{number}", "", {"damage.kind": ("tear",)})
            key, _ = book.write(partial(add_case, case=case, author="Ada", at=NOON, pack=PACK,
                                        advice=some_advice()))  # fmt: skip
            book.write(partial(done, key=key, at=NOON))

    keeping.ask(put).result(20)
    page = CasebookPage(keeping, PACK)
    qtbot.addWidget(page)
    page.show()
    settled(qtbot, page)
    qtbot.mouseClick(page.due, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert page.said.text() == "10 cases, to be asked after"
    page.form.buttons["held"].setFocus()
    for left in range(9, -1, -1):
        qtbot.keyClick(page.form.buttons["held"], Qt.Key.Key_Space)
        settled(qtbot, page)
        assert len(page.table.lines) == left


def test_a_journey_by_keyboard_alone(qtbot, kept_window: MainWindow, keeping: CaseKeeping) -> None:
    """Whose case it is, another one found, what came of it, opened and worked on."""
    seen: list[str] = []

    def name_the_vehicle(dialog: PeopleDialog) -> None:
        dialog.fields["vehicle"]["name"].setFocus()
        qtbot.keyClicks(dialog.fields["vehicle"]["name"], "Ferry 2")
        qtbot.keyClick(dialog.fields["vehicle"]["name"], Qt.Key.Key_Return)
        dialog.save.setFocus()
        qtbot.keyClick(dialog.save, Qt.Key.Key_Space)

    def enter_and_open(dialog: CasebookDialog) -> None:
        page = dialog.page
        settled(qtbot, page)
        qtbot.keyClicks(page.words, "wheelhouse")
        settled(qtbot, page)
        buttons = page.form.buttons
        for _ in range(40):  # from the words to the button, as Tab goes
            if buttons["held"].hasFocus():
                break
            qtbot.keyClick(dialog.focusWidget(), Qt.Key.Key_Tab)
        qtbot.keyClick(dialog.focusWidget(), Qt.Key.Key_Space)
        settled(qtbot, page)
        seen.append(page.about.text())
        page.words.setFocus()
        qtbot.keyClick(page.words, Qt.Key.Key_Return)
        settled(qtbot, page)
        qtbot.keyClick(page.view, Qt.Key.Key_Return)

    kept_window.navigator.answer("part.kind", ("armrest",))
    first = keeping.keeper.key
    once_there(PeopleDialog, name_the_vehicle)
    kept_window.actions_by_key()["Ctrl+K"].trigger()
    once_there(CasebookDialog, enter_and_open)
    kept_window.actions_by_key()["Ctrl+F"].trigger()
    assert "Held after" in seen[0]
    assert kept_window.session.case.name == "HB-2"
    _, vehicle = keeping.ask(lambda book: book.read(partial(people_of, key=first))).result(20)
    assert vehicle is not None


def test_a_journey_by_mouse_alone(qtbot, kept_window: MainWindow, keeping: CaseKeeping) -> None:
    """The kept cases from the side, one picked by its row, what came of it, then opened."""
    def pick(dialog: CasebookDialog) -> None:
        page = dialog.page
        settled(qtbot, page)
        row = page.view.visualRect(page.table.index(2, 1)).center()
        qtbot.mouseClick(page.view.viewport(), Qt.MouseButton.LeftButton, pos=row)
        settled(qtbot, page)
        qtbot.mouseClick(page.form.buttons["done"], Qt.MouseButton.LeftButton)
        settled(qtbot, page)
        qtbot.mouseClick(page.view.viewport(), Qt.MouseButton.LeftButton, pos=row)
        settled(qtbot, page)
        qtbot.mouseClick(page.open, Qt.MouseButton.LeftButton)

    kept = next(one for one in kept_window.rail.findChildren(QAbstractButton)
                if one.text() == "Casebook")  # fmt: skip
    once_there(CasebookDialog, pick)
    qtbot.mouseClick(kept, Qt.MouseButton.LeftButton)
    assert kept_window.session.case.name == "HB-1"
    there = keeping.ask(lambda book: book.case(keeping.keeper.key)).result(20)
    assert there.row["follow_up"] is not None


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
        return [row.accessibleName() or row.text() for row in rows]

    qtbot.waitUntil(lambda: len(shown()) == 4, timeout=20_000)
    assert all(": " in text.splitlines()[1] for text in shown()[:3]), "and what each came to"
    assert [text.splitlines()[0] for text in shown()] == [
        "Armrest: Tear in the skin", "Wheelhouse dash, charter boat",
        "Harbour shuttle 4, armrest", "Find a kept case...",
    ]  # fmt: skip
    qtbot.mouseClick(home.recent.itemAt(1).widget(), Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: kept_window.session.case.name == "HB-2", timeout=20_000)
    assert not kept_window.at_home


def test_after_an_outcome_the_same_case_stays_chosen(qtbot, page: CasebookPage) -> None:
    page.view.selectRow(1)
    settled(qtbot, page)
    assert page.line is not None
    key = page.line.key
    qtbot.mouseClick(page.form.buttons["held"], Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert page.line.key == key
    assert page.line.outcome == "held"
    # What is thrown away makes room for the next one; another search begins at the top.
    qtbot.mouseClick(page.throw, Qt.MouseButton.LeftButton)
    settled(qtbot, page)
    assert [each.name for each in page.table.lines] == ["HB-3", "HB-1"]
    assert page.line.name == "HB-1"
    page.words.setText("armrest")
    settled(qtbot, page)
    assert page.line.name == "HB-3"
