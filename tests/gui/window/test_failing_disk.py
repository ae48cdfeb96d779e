"""The real system says no: a folder without the right to write, a limit on what is written."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from advisor.facts.case import Case
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Found, Leave
from advisor.gui.window.main_window import MainWindow
from advisor.session.autosave import Origin, read_autosave, write_autosave
from advisor.session.case_session import Session
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

if sys.platform == "win32":
    pytest.skip("rights and limits are those of POSIX", allow_module_level=True)

import resource

NOBODY = 65534
TEXT = "format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n"


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder for answers that any user can reach."""
    place = Path(tempfile.mkdtemp(prefix="trim-advisor-tests-"))
    place.chmod(0o755)
    (place / "kept").mkdir()
    yield place
    shutil.rmtree(place)


@contextlib.contextmanager
def read_only(folder: Path) -> Iterator[None]:
    """Nothing can be written, made or deleted in the folder meanwhile."""
    kept = folder / "kept"
    kept.chmod(0o555)
    user = os.geteuid()
    if user == 0:
        os.seteuid(NOBODY)  # whom rights do not hold, hold them for somebody else
    try:
        yield
    finally:
        os.seteuid(user)
        kept.chmod(0o755)


@contextlib.contextmanager
def full_disk(folder: Path) -> Iterator[None]:
    """No byte more can be written to any file meanwhile."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


Trouble = Callable[[Path], contextlib.AbstractContextManager[None]]
TROUBLES = pytest.mark.parametrize(
    ("trouble", "reason"), [(read_only, "Permission denied"), (full_disk, "File too large")]
)


@pytest.fixture
def window(open_window, folder: Path) -> Iterator[MainWindow]:
    """A window that keeps its answers in the folder."""
    run_lock = RunLock(folder / "kept")
    advise = without_working(small_advise)
    found: MainWindow = open_window(Session(SmallPack(), advise, autosave=run_lock.autosave))
    found.files.run_lock = run_lock
    yield found
    run_lock.release()


@TROUBLES
def test_it_is_told_work_goes_on_and_is_kept_again_afterwards(
    window: MainWindow, folder: Path, trouble: Trouble, reason: str
) -> None:
    window.navigator.answer("part.kind", ("armrest",))
    autosave = window.session.autosave
    assert autosave is not None
    before = autosave.read_bytes()
    with trouble(folder):
        window.navigator.answer("skin.material", ("vinyl",))
        assert window.lost.isVisible() and window.kept.text() == ""
        assert reason in window.lost.text() and str(autosave) in window.lost.text()
    assert autosave.read_bytes() == before
    window.navigator.answer("core.state", ("hollow",))
    assert not window.lost.isVisible()
    kept = read_autosave(autosave, SmallPack.facts, ())
    assert kept.case == window.session.case and "skin.material" in window.session.case.facts
    strays = [path.name for path in (folder / "kept").glob(".*")]
    assert strays == []


@TROUBLES
def test_another_case_is_opened_with_its_own_title(
    window: MainWindow, folder: Path, trouble: Trouble, reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    case_file = folder / "HB-1.yaml"
    case_file.write_text(TEXT)
    case_file.chmod(0o644)
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: Leave.DROP)
    window.navigator.answer("part.kind", ("dash_top",))
    with trouble(folder):
        assert window.files.open_path(case_file)
        assert window.windowTitle().startswith("HB-1 - ")
        assert (window.session.case.name, window.session.path) == ("HB-1", case_file)


@TROUBLES
def test_a_start_without_a_place_to_write_opens_and_tells_with_the_first_answer(
    open_window, folder: Path, trouble: Trouble, reason: str
) -> None:
    with trouble(folder):
        run_lock = RunLock(folder / "kept")
        run_lock.tidy()
        advise = without_working(small_advise)
        window: MainWindow = open_window(Session(SmallPack(), advise, autosave=run_lock.autosave))
        window.files.run_lock = run_lock
        window.files.offer_kept()
        window.navigator.answer("part.kind", ("armrest",))
        assert reason in window.lost.text() and window.lost.isVisible()
        assert window.session.case.facts["part.kind"] == ("armrest",)
    run_lock.release()


@pytest.mark.parametrize("trouble", [read_only, full_disk])
def test_what_an_earlier_run_kept_is_offered_though_nothing_can_be_written(
    open_window, folder: Path, trouble: Trouble, monkeypatch: pytest.MonkeyPatch
) -> None:
    left = folder / "kept" / "autosave-dead-1.yaml"
    case = Case("HB-1", facts={"part.kind": ("armrest",)})
    write_autosave(left, case, SmallPack.facts, Origin())
    left.chmod(0o644)  # as if it were the user's own, whoever that is here
    monkeypatch.setattr(dialogs, "ask_found", lambda *_: Found.TAKE_UP)
    with trouble(folder):
        run_lock = RunLock(folder / "kept")
        run_lock.tidy()
        advise = without_working(small_advise)
        window: MainWindow = open_window(Session(SmallPack(), advise, autosave=run_lock.autosave))
        window.files.run_lock = run_lock
        window.files.offer_kept()
        assert window.session.case == case
        assert window.lost.isVisible() and not window.session.kept
    assert left.exists()  # kept nowhere else
    run_lock.release()


@TROUBLES
def test_a_save_that_fails_is_told_and_nothing_is_lost(
    window: MainWindow, folder: Path, trouble: Trouble, reason: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    place = folder / "kept" / "own.yaml"
    place.write_text(TEXT)
    place.chmod(0o644)
    window.files.open_path(place)
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: told.extend(faults))
    window.navigator.answer("skin.material", ("vinyl",))
    with trouble(folder):
        assert not window.files.save()
    assert told == [f"{place}: cannot be written: {reason}"]
    assert place.read_text() == TEXT and window.session.dirty and window.session.kept
