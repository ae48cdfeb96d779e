"""Saving what others changed meanwhile: both are shown, and a person decides."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.case_file import read_case
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.two_versions import Choice
from advisor.gui.widgets.versions_dialog import VersionsDialog
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from tests.gui.window.person_at_dialogs import Person, enter, pick, press
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

TEXT = "format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n  hazard.airbag: no\n"
FACTS = SmallPack.facts
QUICK = without_working(small_advise)
#: The screen of the tests cannot tell the system how small a message may be.
pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")


@pytest.fixture
def case_file(tmp_path: Path) -> Path:
    """A case in a file of the technician's own."""
    path = tmp_path / "own" / "HB-1.yaml"
    path.parent.mkdir()
    path.write_text(TEXT)
    return path


@pytest.fixture
def window(open_window, tmp_path: Path, case_file: Path) -> MainWindow:
    """A window with the case open."""
    session = Session(SmallPack(), QUICK, autosave=tmp_path / "autosave-one-1.yaml")
    session.open(case_file)
    found: MainWindow = open_window(session)
    found.navigator.restart()
    return found


def save(window: MainWindow) -> None:
    """Press Ctrl+S."""
    window.actions_by_key()["Ctrl+S"].trigger()


def changed_by_others(window: MainWindow, case_file: Path) -> None:
    """Vinyl here; an airbag in the file, which others wrote."""
    window.navigator.answer("skin.material", ("vinyl",))
    case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))


def test_both_are_shown_and_mine_may_be_kept(window: MainWindow, case_file: Path) -> None:
    changed_by_others(window, case_file)
    person = Person(press(Choice.MINE))
    save(window)
    person.done()
    assert person.seen == [
        "HB-1.yaml was changed by another window or program since it was read here. "
        "A hazard has a different answer: check before you choose. Nothing is saved yet."
    ]
    facts = read_case(case_file, FACTS).facts
    assert (facts["hazard.airbag"], facts["skin.material"]) == (False, ("vinyl",))
    assert not window.session.dirty


def test_called_off_all_is_as_it_was(window: MainWindow, case_file: Path) -> None:
    changed_by_others(window, case_file)
    written, case = case_file.read_text(), window.session.case
    person = Person(press(Choice.CANCEL))
    save(window)
    person.done()
    assert (case_file.read_text(), window.session.case) == (written, case)
    assert "not saved in a file yet" in window.windowTitle()
    assert "was changed by another window or program" in window.notice.text()
    assert window.notice.isVisible()


def test_theirs_comes_into_the_window_and_undo_takes_it_back(
    window: MainWindow, case_file: Path
) -> None:
    changed_by_others(window, case_file)
    mine = window.session.case
    person = Person(press(Choice.THEIRS))
    save(window)
    person.done()
    assert window.session.case == read_case(case_file, FACTS)
    assert not window.session.dirty and not window.notice.isVisible()
    assert window.alarm.isVisible()  # the airbag that they found stops the job here too
    window.navigator.undo()
    assert window.session.case == mine and window.session.dirty


def test_merged_the_file_has_the_hazard_and_the_new_answer(
    window: MainWindow, case_file: Path
) -> None:
    changed_by_others(window, case_file)
    person = Person(pick("hazard.airbag"))
    save(window)
    person.done()
    facts = read_case(case_file, FACTS).facts
    assert (facts["hazard.airbag"], facts["skin.material"]) == (True, ("vinyl",))
    assert window.session.case == read_case(case_file, FACTS) and not window.session.dirty


def test_changed_once_more_while_it_was_shown_it_is_shown_once_more(
    window: MainWindow, case_file: Path
) -> None:
    changed_by_others(window, case_file)

    def slip_in(dialog: object) -> None:
        case_file.write_text(TEXT + "note: slipped in\n")
        press(Choice.MINE)(dialog)

    person = Person(slip_in, press(Choice.CANCEL))
    save(window)
    person.done()
    assert "slipped in" in case_file.read_text()


def test_under_another_name_both_stay(
    window: MainWindow, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed_by_others(window, case_file)
    written, other = case_file.read_text(), case_file.with_name("mine.yaml")
    monkeypatch.setattr(dialogs, "ask_save", lambda parent, proposed: other)
    person = Person(press(Choice.OTHER_NAME))
    save(window)
    person.done()
    assert case_file.read_text() == written
    assert read_case(other, FACTS) == window.session.case
    assert window.session.path == other and not window.notice.isVisible()


def test_another_case_in_the_chosen_file_is_shown_before_it_is_replaced(
    window: MainWindow, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = case_file.with_name("other.yaml")
    other.write_text(TEXT.replace("HB-1", "HB-2"))
    monkeypatch.setattr(dialogs, "ask_save", lambda parent, proposed: other)
    person = Person(press(Choice.CANCEL))
    window.actions_by_key()["Ctrl+Shift+S"].trigger()
    person.done()
    assert person.seen[0].startswith("other.yaml is there already, with another case or version")
    assert "HB-2" in other.read_text()
    person = Person(press(Choice.MINE))
    window.actions_by_key()["Ctrl+Shift+S"].trigger()
    person.done()
    assert read_case(other, FACTS) == window.session.case


def test_a_file_that_became_none_is_told_with_what_is_wrong_in_it(
    window: MainWindow, case_file: Path
) -> None:
    case_file.write_text(TEXT.replace("armrest", "helm"))
    window.navigator.answer("skin.material", ("vinyl",))

    def look(dialog: object) -> None:
        assert isinstance(dialog, VersionsDialog)
        assert dialog.versions.faults[0].startswith("Line 4: part.kind: not one of the answers")
        assert set(dialog.buttons) == {Choice.MINE, Choice.OTHER_NAME, Choice.CANCEL}
        press(Choice.CANCEL)(dialog)

    person = Person(look)
    save(window)
    person.done()
    assert "helm" in case_file.read_text()


def test_a_deleted_file_is_told_and_may_be_written_again(
    window: MainWindow, case_file: Path
) -> None:
    window.navigator.answer("skin.material", ("vinyl",))
    case_file.unlink()
    window.navigator.refresh()
    assert window.notice.text() == "HB-1.yaml is no longer there: it was renamed, moved or deleted."
    person = Person(press(Choice.CANCEL), press(Choice.MINE))
    save(window)
    assert not case_file.exists()
    save(window)
    person.done()
    assert read_case(case_file, FACTS) == window.session.case


def test_a_comment_written_by_others_asks_nothing(window: MainWindow, case_file: Path) -> None:
    window.navigator.answer("skin.material", ("vinyl",))
    case_file.write_text(f"# ours\n{TEXT}")
    save(window)
    assert read_case(case_file, FACTS) == window.session.case


def test_the_second_window_is_told_at_opening_and_the_first_when_it_saves(
    window: MainWindow, open_window, tmp_path: Path, case_file: Path
) -> None:
    second: MainWindow = open_window(
        Session(SmallPack(), QUICK, autosave=tmp_path / "autosave-two-1.yaml")
    )
    person = Person(enter)
    assert second.files.open_path(case_file)
    person.done()
    assert person.seen[0].startswith("HB-1.yaml is open in another window.")
    assert second.notice.text().startswith("HB-1.yaml is open in another window too.")
    second.navigator.answer("hazard.airbag", True)
    save(second)
    window.navigator.answer("skin.material", ("vinyl",))
    assert "was changed by another window or program" in window.notice.text()
    person = Person(pick("hazard.airbag"))
    save(window)
    person.done()
    assert read_case(case_file, FACTS).facts["hazard.airbag"] is True


def test_leaving_with_save_may_be_called_off_at_the_two_versions(
    window: MainWindow, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed_by_others(window, case_file)
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: dialogs.Leave.SAVE)
    person = Person(press(Choice.CANCEL))
    assert not window.close()
    person.done()
    assert window.session.autosave is not None and window.session.autosave.exists()
