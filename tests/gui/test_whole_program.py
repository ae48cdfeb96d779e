"""The program as a process: opens, ends cleanly, survives being killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from advisor import paths
from advisor.casebook.book import Casebook
from advisor.casebook.journal.journal import Journal
from advisor.facts.case import Case, Span
from advisor.facts.case_file import read_case
from advisor.session.autosave import Origin, write_autosave
from advisor.session.known_file import digest_of
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack

ROOT = Path(__file__).parents[2]


def surroundings(home: Path) -> dict[str, str]:
    """No screen, and a home of its own."""
    return {
        **os.environ, "QT_QPA_PLATFORM": "offscreen", "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"), "PYTHONPATH": str(ROOT),
    }


@pytest.mark.parametrize("demo", ["split_armrest", None])
def test_the_window_opens_and_ends_with_code_zero(tmp_path: Path, demo: str | None) -> None:
    path = f"Path({str(paths.demo_folder() / f'{demo}.yaml')!r})" if demo else "None"
    code = (
        "from pathlib import Path\n"
        "from advisor.gui.app import run\n"
        "from PySide6.QtCore import QTimer\n"
        "from PySide6.QtWidgets import QApplication\n"
        "app = QApplication([])\n"
        "QTimer.singleShot(300, app.quit)\n"
        f"raise SystemExit(run({path}))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env=surroundings(tmp_path), cwd=tmp_path,
        capture_output=True, text=True, timeout=60, check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    left = [p for p in tmp_path.rglob("*") if p.is_file() and p.name.startswith("autosave")]
    assert left == []


@pytest.mark.parametrize("demo", ["split_armrest", None])
def test_where_no_answer_can_be_kept_the_window_opens_and_says_so(
    tmp_path: Path, demo: str | None
) -> None:
    (tmp_path / "data").write_text("a file", encoding="utf-8")
    path = f"Path({str(paths.demo_folder() / f'{demo}.yaml')!r})" if demo else "None"
    code = (
        "from pathlib import Path\n"
        "from advisor.gui.app import run\n"
        "from advisor.gui.window.main_window import MainWindow\n"
        "from PySide6.QtCore import QTimer\n"
        "from PySide6.QtWidgets import QApplication\n"
        "app = QApplication([])\n"
        "def look():\n"
        "    (window,) = [w for w in app.topLevelWidgets() if isinstance(w, MainWindow)]\n"
        "    print(window.session.autosave_fault)\n"
        "    app.quit()\n"
        "QTimer.singleShot(300, look)\n"
        f"raise SystemExit(run({path}))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env=surroundings(tmp_path), cwd=tmp_path,
        capture_output=True, text=True, timeout=60, check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "this folder cannot be made" in done.stdout
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("factor", ["1.5", "2"])
def test_nothing_is_clipped_on_a_screen_with_finer_pixels(tmp_path: Path, factor: str) -> None:
    code = (
        "from PySide6.QtWidgets import QApplication\n"
        "from advisor import paths\n"
        "from advisor.facts.case_file import read_case\n"
        "from advisor.gui.app import load_engine, prepare\n"
        "from advisor.session.screens import Tab\n"
        "from advisor.gui.window.main_window import MainWindow\n"
        "from advisor.session.case_session import Session\n"
        "from tests.gui.window.test_look import clipped\n"
        "app = QApplication([])\n"
        "prepare(app)\n"
        "engine = load_engine(None)\n"
        "case = read_case(paths.demo_folder() / 'split_armrest.yaml', engine.pack.facts)\n"
        "session = Session(engine.pack, engine.quick, case=case)\n"
        "window = MainWindow(session)\n"
        "window.resize(1024, 700)\n"
        "window.show()\n"
        "for tab in Tab:\n"
        "    window.go_tab(tab)\n"
        "    for _ in range(3):\n"
        "        app.processEvents()\n"
        "    assert not clipped(window), (tab, clipped(window))\n"
        f"assert window.grab().width() == round(1024 * {factor})\n"
        "window.hide()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env={**surroundings(tmp_path), "QT_SCALE_FACTOR": factor},
        capture_output=True, text=True, timeout=60, check=False,
    )
    assert done.returncode == 0, done.stderr


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL on this system")
def test_no_acknowledged_answer_is_lost_when_the_program_is_killed(tmp_path: Path) -> None:
    autosave = tmp_path / "autosave-kill-1.yaml"
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from advisor.facts.case import Span\n"
        "from advisor.session.case_session import Session\n"
        "from tests.unit.session.small_pack import SmallPack, small_advise, without_working\n"
        "session = Session(SmallPack(), without_working(small_advise),"
        f" autosave=Path({str(autosave)!r}))\n"
        "for i in range(1, 2000):\n"
        "    session.answer('damage.length', Span(i, i, f'{i} mm'))\n"
        "    print(i, flush=True)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], env=surroundings(tmp_path), stdout=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout is not None
        told = [running.stdout.readline() for _ in range(25)]
        running.send_signal(signal.SIGKILL)
        told += running.stdout.readlines()
    kept = read_case(autosave, SmallPack().facts).facts["damage.length"]
    last = int(told[-1])
    # The last answer told, or the next one: kept, and killed before it was told.
    assert last >= 25
    assert kept in (Span(last, last), Span(last + 1, last + 1))


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL on this system")
def test_the_lock_of_a_killed_run_is_free(tmp_path: Path) -> None:
    code = (
        "import sys, time\n"
        "from pathlib import Path\n"
        "from advisor.session.run_lock import RunLock\n"
        f"run_lock = RunLock(Path({str(tmp_path)!r}))\n"
        "print(run_lock.autosave, flush=True)\n"
        "sys.stdin.read()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", code], env=surroundings(tmp_path), stdin=subprocess.PIPE,
        stdout=subprocess.PIPE, text=True,
    ) as running:
        assert running.stdout is not None
        autosave = Path(running.stdout.readline().strip())
        me = RunLock(tmp_path)
        assert not me.is_free(autosave)
        running.send_signal(signal.SIGKILL)
        running.wait(timeout=20)
    assert me.is_free(autosave)
    me.release()


def test_a_case_named_at_the_start_offers_what_was_kept_of_it(tmp_path: Path) -> None:
    """As ``trim-advisor HB-1.yaml`` after a crash."""
    case_file = tmp_path / "HB-1.yaml"
    case_file.write_text("format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n")
    folder = tmp_path / "data" / "trim-advisor" / "autosave"
    folder.mkdir(parents=True)
    kept = Case("HB-1", facts={"part.kind": ("armrest",), "damage.length": Span(120, 120)})
    write_autosave(folder / "autosave-dead-1.yaml", kept, SmallPack.facts,
                   Origin(case_file, digest_of(case_file)))  # fmt: skip
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from PySide6.QtCore import QTimer\n"
        "from PySide6.QtWidgets import QApplication\n"
        "from advisor.gui.app import run\n"
        "from advisor.gui.widgets import dialogs\n"
        "from advisor.gui.widgets.two_versions import Choice\n"
        "app = QApplication([])\n"
        "def asked(parent, versions):\n"
        "    print(versions.intro, [row.key for row in versions.rows])\n"
        "    QTimer.singleShot(200, app.quit)\n"
        "    return Choice.MINE, frozenset()\n"
        "dialogs.ask_versions = asked\n"
        "dialogs.ask_leave = lambda *_: dialogs.Leave.KEEP\n"
        "QTimer.singleShot(20_000, app.quit)\n"
        f"raise SystemExit(run(Path({str(case_file)!r})))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], env=surroundings(tmp_path), cwd=tmp_path,
        capture_output=True, text=True, timeout=60, check=False,
    )
    assert done.returncode == 0 and "Traceback" not in done.stderr, done.stderr
    assert "were not saved in HB-1.yaml. The file has not been changed" in done.stdout
    assert done.stdout.strip().endswith("['damage.length']")
    # Taken up and not saved: in the journal of the run that took it up, from which the
    # casebook has it; nothing of the old autosave is left.
    assert not list(folder.iterdir())
    place = folder.parent / "casebook"
    journal = Journal(place / "journal.sqlite")
    book = Casebook.open(place, SmallPack())
    book.take_in(journal)
    (key,) = book.all_keys()
    assert book.case(key).case == kept
    book.shut()
    journal.close()
