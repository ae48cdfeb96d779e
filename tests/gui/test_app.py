"""Starting, rescuing, ending."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QObject

from advisor.facts.case_file import read_case
from advisor.gui.app import Rescue
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Found
from advisor.session.case_session import Session
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working


@pytest.fixture
def crashed(tmp_path: Path) -> Path:
    """What a run left that ended without closing."""
    path = tmp_path / "autosave-dead-1.yaml"
    session = Session(SmallPack(), without_working(small_advise), autosave=path)
    session.answer("part.kind", ("dash_top",))
    return path


def run_of(run_lock: RunLock) -> Session:
    """A session of another run."""
    return Session(SmallPack(), without_working(small_advise), autosave=run_lock.autosave)


def test_a_crash_left_case_is_offered_and_taken_up(
    open_window, monkeypatch, tmp_path: Path, crashed: Path
) -> None:
    asked: list[tuple[str, int]] = []

    def take(parent, title, when, answers, remarks):
        asked.append((title, answers))
        return Found.TAKE_UP

    monkeypatch.setattr(dialogs, "ask_found", take)
    run_lock = RunLock(tmp_path)
    window = open_window(run_of(run_lock))
    window.files.run_lock = run_lock
    window.files.offer_kept()
    assert len(asked) == 1
    assert asked[0][1] == 1
    assert window.session.case.facts["part.kind"] == ("dash_top",)
    assert not crashed.exists()
    assert run_lock.autosave.exists()
    run_lock.release()


@pytest.mark.parametrize(("choice", "stays"), [(Found.LATER, True), (Found.DELETE, False)])
def test_a_crash_left_case_may_wait_or_go(
    open_window, monkeypatch, tmp_path: Path, crashed: Path, choice: Found, stays: bool
) -> None:
    monkeypatch.setattr(dialogs, "ask_found", lambda *args: choice)
    run_lock = RunLock(tmp_path)
    window = open_window(run_of(run_lock))
    window.files.run_lock = run_lock
    window.files.offer_kept()
    assert window.session.case.facts == {}
    assert crashed.exists() is stays
    run_lock.release()


def test_the_case_of_a_living_run_is_not_offered(tmp_path: Path) -> None:
    alive, other = RunLock(tmp_path), RunLock(tmp_path)
    assert not other.is_free(alive.autosave)
    alive.release()
    assert other.is_free(alive.autosave)
    other.release()


@pytest.mark.parametrize(("choice", "stays"), [(Found.LATER, True), (Found.DELETE, False)])
def test_an_autosave_of_which_nothing_can_be_read_is_told_and_never_deleted(
    open_window, monkeypatch, tmp_path: Path, choice: Found, stays: bool
) -> None:
    left, asked, told = tmp_path / "autosave-dead-1.yaml", list[str](), list[str]()
    left.write_text("format: 1\n")
    monkeypatch.setattr(dialogs, "ask_unreadable", lambda *args: asked.append(args[1]) or choice)
    monkeypatch.setattr(dialogs, "tell", lambda parent, title, text: told.append(text))
    run_lock = RunLock(tmp_path)
    window = open_window(run_of(run_lock))
    window.files.run_lock = run_lock
    window.files.offer_kept()
    assert asked == [left.name]
    assert left.exists() is stays
    put_by = tmp_path / f"unread-{left.name}"
    assert put_by.exists() is not stays
    assert stays or (put_by.read_text() == "format: 1\n" and str(put_by) in told[0])
    run_lock.release()


def test_an_error_keeps_the_answers_and_says_where(monkeypatch, session: Session, autosave) -> None:
    said: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda parent, head, faults: said.append(head))
    session.answer("part.kind", ("armrest",))
    autosave.unlink()
    error = RuntimeError("broken")
    Rescue(session)(RuntimeError, error, None)
    assert read_case(autosave, session.pack.facts).facts["part.kind"] == ("armrest",)
    assert "RuntimeError: broken" in said[0]
    assert str(autosave) in said[0]


def test_a_fault_that_repeats_itself_is_told_once(monkeypatch, session: Session) -> None:
    said: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda parent, head, faults: said.append(head))
    rescue = Rescue(session)
    for text in ("one", "one", "two"):
        rescue(RuntimeError, RuntimeError(text), None)
    assert len(said) == 2


def test_long_work_does_not_use_up_none() -> None:
    """Some bindings lose one count of None in each call; the interpreter then aborts."""
    probe = QObject()
    for _ in range(60_000):
        probe.setObjectName("probe")
    assert sys.getrefcount(None) > 1000


def test_the_first_question_stands_before_numpy_and_the_advisor_are_loaded(
    tmp_path: Path,
) -> None:
    """They cost more than all else of the start, and are loaded while it is read."""
    code = (
        "import sys, advisor.gui.app as app\n"
        "pack = app.lasting_engine(None).pack\n"  # compiles the rules where none are kept
    )
    start = code + (
        "late = {'numpy', 'networkx', 'pint', 'jinja2', 'reportlab', 'sqlalchemy', 'yaml',\n"
        "        'advisor.mechanics', 'advisor.advice.advise'}\n"
        "assert not late & set(sys.modules), late & set(sys.modules)\n"
        "assert 'methods' not in vars(pack)\n"
        "first, *modules = app.load_advisor(pack)\n"
        "assert 'methods' in vars(pack) and 'numpy' in modules, first\n"
        "assert set(modules) <= set(sys.modules), modules\n"
        # The binding reads the source of every later module, and the interpreter keeps it.
        "import linecache\n"
        "kept = [name for name in linecache.cache if 'numpy' in name]\n"
        "assert not kept, kept\n"
    )
    home = {f"XDG_{kind}_HOME": str(tmp_path) for kind in ("CACHE", "CONFIG", "DATA", "STATE")}
    for program in (code, start):
        subprocess.run(
            [sys.executable, "-c", program], check=True, cwd=Path(__file__).parents[2],
            env={**os.environ, **home},
        )  # fmt: skip
