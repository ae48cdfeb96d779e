"""What earlier runs kept: offered with what differs and what was not read, never hidden."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.gui.app import find_place
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Leave
from advisor.gui.widgets.two_versions import Choice
from advisor.gui.widgets.versions_dialog import VersionsDialog
from advisor.gui.window.main_window import MainWindow
from advisor.session.autosave import Origin, read_autosave, write_autosave
from advisor.session.case_session import Session
from advisor.session.known_file import digest_of
from advisor.session.run_lock import RunLock
from tests.gui.window.person_at_dialogs import Person, click, pick, press
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

FACTS = SmallPack.facts
QUICK = without_working(small_advise)
TEXT = "format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n  hazard.airbag: no\n"
KEPT = Case("HB-1", facts={"part.kind": ("armrest",), "hazard.airbag": False,
                           "skin.material": ("vinyl",)})
#: The screen of the tests cannot tell the system how small a message may be.
pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where answers are kept."""
    path = tmp_path / "kept"
    path.mkdir()
    return path


@pytest.fixture
def case_file(tmp_path: Path) -> Path:
    """A case in a file of the technician's own."""
    path = tmp_path / "HB-1.yaml"
    path.write_text(TEXT)
    return path


@pytest.fixture
def left(folder: Path, case_file: Path) -> Path:
    """Unsaved answers to that case, which a killed run left."""
    path = folder / "autosave-dead-1.yaml"
    write_autosave(path, KEPT, FACTS, Origin(case_file, digest_of(case_file)))
    return path


@pytest.fixture
def start(open_window, folder: Path) -> Iterator[Callable[[], MainWindow]]:
    """Starts a window that keeps its answers in the folder."""
    keepers: list[RunLock] = []

    def started() -> MainWindow:
        run_lock = RunLock(folder)
        keepers.append(run_lock)
        session = Session(SmallPack(), QUICK, autosave=run_lock.autosave)
        window: MainWindow = open_window(session)
        window.files.run_lock = run_lock
        return window

    yield started
    for run_lock in keepers:
        run_lock.release()


def offered(window: MainWindow, *acts: Callable[[object], None]) -> list[str]:
    """What is asked at the start, with what a person does then."""
    person = Person(*acts)
    window.files.offer_kept()
    person.done()
    return person.seen


def opened(window: MainWindow, path: Path, *acts: Callable[[object], None]) -> list[str]:
    """What is asked when a file is opened."""
    person = Person(*acts)
    assert window.files.open_path(path)
    person.done()
    return person.seen


def test_opening_a_named_case_offers_its_own_autosave(start, left: Path, case_file: Path) -> None:
    window = start()
    (said,) = opened(window, case_file, press(Choice.MINE))
    assert "were not saved in HB-1.yaml. The file has not been changed since" in said
    session = window.session
    assert (session.case, session.path, session.dirty) == (KEPT, case_file, True)
    assert not left.exists()  # it is kept anew, as this window's own
    assert session.autosave is not None
    assert read_autosave(session.autosave, FACTS, ()).case == KEPT


def test_another_case_does_not_offer_it(start, left: Path, tmp_path: Path) -> None:
    other = tmp_path / "HB-2.yaml"
    other.write_text(TEXT.replace("HB-1", "HB-2"))
    assert opened(start(), other) == []
    assert left.exists()


def test_an_autosave_older_than_the_file_never_replaces_it_unseen(
    start, left: Path, case_file: Path
) -> None:
    """The file was saved since, with an airbag; and the clock is no witness."""
    case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))
    os.utime(case_file, (1, 1))
    window = start()

    def look(dialog: object) -> None:
        assert isinstance(dialog, VersionsDialog)
        airbag = dialog.versions.rows[0]
        assert (airbag.key, airbag.mine, airbag.theirs) == ("hazard.airbag", False, True)
        pick("hazard.airbag")(dialog)

    (said,) = offered(window, look)
    assert "The file was changed after these answers were given" in said
    facts = window.session.case.facts
    assert (facts["hazard.airbag"], facts["skin.material"]) == (True, ("vinyl",))


def test_the_file_changed_while_it_was_shown_saving_asks(
    start, left: Path, case_file: Path
) -> None:
    window = start()

    def slip_in(dialog: object) -> None:
        case_file.write_text(TEXT.replace("airbag: no", "airbag: yes"))
        press(Choice.MINE)(dialog)

    offered(window, slip_in)
    person = Person(press(Choice.CANCEL))
    assert not window.files.save()
    person.done()
    assert read_case(case_file, FACTS).facts["hazard.airbag"] is True


def test_it_may_wait(start, left: Path, case_file: Path) -> None:
    window = start()
    offered(window, press(Choice.CANCEL))
    assert left.exists() and window.session.case.facts == {}


def test_it_may_go(start, left: Path, case_file: Path) -> None:
    offered(start(), press(Choice.THEIRS))
    assert not left.exists() and case_file.read_text() == TEXT


def test_what_the_file_holds_already_is_not_asked_about(start, left: Path, case_file: Path) -> None:
    """As after a kill between saving and forgetting the autosave."""
    Session(SmallPack(), QUICK, case=KEPT).save(case_file, over=digest_of(case_file))
    assert offered(start()) == []
    assert not left.exists()


def test_its_file_is_gone_and_that_is_told(start, left: Path, case_file: Path) -> None:
    case_file.unlink()
    window = start()

    def look(box: object) -> None:
        said = box.informativeText()  # type: ignore[attr-defined]
        assert f"The file it came from is no longer there: {case_file}" in said
        click("Take it up")(box)

    offered(window, look)
    assert (window.session.case, window.session.path) == (KEPT, None)


def test_what_could_not_be_read_is_listed_and_the_whole_file_put_by(
    start, left: Path, case_file: Path
) -> None:
    case_file.unlink()
    content = left.read_text().replace("vinyl", "sailcloth")
    left.write_text(content)
    window = start()

    def look(box: object) -> None:
        said = box.informativeText()  # type: ignore[attr-defined]
        assert "Not read, and left open: Line 5: skin.material: not one of the answers" in said
        click("Take it up")(box)

    seen = offered(window, look, lambda box: click("OK")(box))
    assert window.session.case == KEPT.without("skin.material")
    put_by = left.with_name(f"unread-{left.name}")
    assert put_by.read_text() == content and str(put_by) in seen[1]
    assert not left.exists()


def test_a_spoiled_one_beside_its_file_says_what_was_not_read(
    start, left: Path, case_file: Path
) -> None:
    left.write_bytes(left.read_bytes()[:-40])
    window = start()

    def look(dialog: object) -> None:
        assert isinstance(dialog, VersionsDialog)
        assert dialog.versions.faults
        press(Choice.CANCEL)(dialog)

    offered(window, look)
    assert left.exists()


def test_of_what_nothing_can_be_read_one_is_told(start, left: Path) -> None:
    left.write_bytes(b"\0" * 200)
    window = start()
    (said,) = offered(window, click("Ask again later"))
    assert said.startswith("An earlier run kept a case (")
    assert left.exists()


def test_a_second_window_is_not_offered_what_the_first_is_being_offered(
    start, left: Path, case_file: Path
) -> None:
    first, second = start(), start()
    while_asked: list[list[str]] = []

    def meanwhile(dialog: object) -> None:
        # As another process would: what the first one claims is not free.
        run_lock = second.files.run_lock
        assert run_lock is not None
        with run_lock.offering(left) as free:
            while_asked.append([str(free)])
        press(Choice.MINE)(dialog)

    offered(first, meanwhile)
    assert while_asked == [["False"]]
    assert offered(second) == []
    assert first.session.case == KEPT


def test_it_vanishes_while_it_is_offered_and_no_answer_is_lost(
    start, left: Path, case_file: Path
) -> None:
    window = start()

    def vanish(dialog: object) -> None:
        left.unlink()
        press(Choice.MINE)(dialog)

    offered(window, vanish)
    assert window.session.case == KEPT and window.session.kept


def test_where_it_cannot_be_kept_anew_the_old_one_stays(
    start, left: Path, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = start()
    monkeypatch.setattr("advisor.session.autosave.write_whole", full)
    offered(window, press(Choice.MINE))
    assert window.session.case == KEPT and left.exists()
    assert "NOT kept on disk" in window.lost.text() and window.lost.isVisible()


def test_what_was_set_aside_here_is_offered_when_its_file_is_opened_again(
    start, folder: Path, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = start()
    opened(window, case_file)
    window.navigator.answer("skin.material", ("vinyl",))
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: Leave.KEEP)
    window.files.new()
    opened(window, case_file, press(Choice.MINE))
    assert window.session.case == KEPT


# -- a disk that fails -------------------------------------------------------------------------


def full(*_: object, **__: object) -> None:
    """As a full disk."""
    raise OSError(28, "No space left on device")


def test_a_full_disk_is_told_the_claim_is_gone_and_work_goes_on(
    start, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = start()
    window.navigator.answer("part.kind", ("armrest",))
    assert window.kept.text().startswith("Every answer is kept at once")
    with monkeypatch.context() as disk:
        disk.setattr("advisor.session.autosave.write_whole", full)
        window.navigator.answer("skin.material", ("vinyl",))
        assert window.lost.isVisible() and "No space left on device" in window.lost.text()
        assert window.kept.text() == ""
        window.navigator.answer("damage.gap", Span(4, 4, "4 mm"))
        assert "damage.gap" in window.session.case.facts
    window.navigator.answer("damage.gap", Span(5, 5, "5 mm"))
    assert not window.lost.isVisible()
    assert window.kept.text().startswith("Every answer is kept at once")


def test_keep_for_the_next_start_stays_in_the_window_where_it_cannot(
    start, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = start()
    said: list[str] = []
    monkeypatch.setattr("advisor.session.autosave.write_whole", full)
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: said.append(head))
    window.navigator.answer("part.kind", ("armrest",))

    def keep(parent: object, title: str, not_kept: str) -> Leave:
        assert "No space left on device" in not_kept
        return Leave.KEEP

    monkeypatch.setattr(dialogs, "ask_leave", keep)
    assert not window.close()
    before = window.session.case
    window.files.new()
    assert window.session.case is before
    assert said == ["The answers cannot be kept for the next start. Save the case in a file."] * 2


def test_open_another_never_leaves_the_old_title_over_the_new_case(
    start, case_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The autosave folder lets nothing be deleted by then."""
    window = start()
    window.navigator.answer("part.kind", ("dash_top",))
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: Leave.DROP)

    def locked(self: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as disk:
        disk.setattr(Path, "unlink", locked)
        assert window.files.open_path(case_file)
    assert window.session.case.name == "HB-1"
    assert window.windowTitle().startswith("HB-1 - ")
    assert window.session.path == case_file


@pytest.mark.parametrize("what", ["a file", "a link that leads nowhere"])
def test_no_autosave_folder_is_told_and_the_window_opens(
    open_window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    place = tmp_path / "data" / "trim-advisor" / "autosave"
    place.parent.mkdir(parents=True)
    if what == "a file":
        place.write_text("")
    else:
        place.symlink_to(tmp_path / "no" / "such" / "folder")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    run_lock, fault = find_place()
    assert run_lock is None and str(place) in fault
    session = Session(SmallPack(), QUICK)
    session.autosave_fault = fault
    window: MainWindow = open_window(session)
    window.files.offer_kept()
    window.navigator.answer("part.kind", ("armrest",))
    assert window.lost.isVisible() and "NOT kept on disk" in window.lost.text()
    assert window.kept.text() == "" and not window.session.kept


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="files have no rights here")
def test_the_place_of_the_answers_is_closed_to_others(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    run_lock, _ = find_place()
    assert run_lock is not None
    session = Session(SmallPack(), QUICK, autosave=run_lock.autosave)
    session.answer("part.kind", ("armrest",))
    folder = run_lock.folder
    rights = {p.name: p.stat().st_mode & 0o777 for p in (folder, *folder.iterdir())}
    assert rights.pop("autosave") == 0o700
    assert len(rights) == 2 and set(rights.values()) == {0o600}
    run_lock.release()
