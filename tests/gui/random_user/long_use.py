"""The window used at random for a long time, in one process: memory, faults, lost answers.

``python -m tests.gui.random_user.long_use --minutes 60`` prints a line each minute and ends with
code 1 where anything was wrong: a fault of the window, an answer that is not on disk, more than
300 MB, or memory that still grows in the second half.
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from pathlib import Path

MEGABYTES = 300.0
GROWTH = 0.06
"""Of the mean of the third quarter, by which the mean of the last may be above it."""
ANOTHER_CASE = 240
"""Actions after which another case comes into the window."""


def used() -> float:
    """Memory of this process that is in use, MB."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def main() -> int:
    """Use the window; 0 where nothing was wrong."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    wanted = parser.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="long-use-"))
    for place in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        os.environ[place] = str(folder / place)
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    found = _used_for(60.0 * wanted.minutes, wanted.seed, folder)
    for line in found:
        print(line)
    print("nothing was wrong" if not found else f"{len(found)} faults")
    return 1 if found else 0


def _used_for(seconds: float, seed: int, folder: Path) -> list[str]:
    import random

    import pytest
    from PySide6.QtCore import QTimer
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from advisor.facts.case_file import read_case, write_case
    from advisor.gui.app import load_engine, prepare
    from advisor.gui.window.main_window import MainWindow
    from advisor.session.case_session import Session
    from advisor.session.memory import keep_small
    from tests.gui.random_user.person import RandomUser, settled
    from tests.gui.random_user.random_cases import random_case

    app = QApplication([])
    prepare(app)
    engine, rng = load_engine(None), random.Random(seed)
    keep_small()
    autosave = folder / "autosave-long-1.yaml"
    session = Session(
        engine.pack, engine.quick, autosave=autosave, advise_fully=engine.full,
        advise_thoroughly=engine.thorough,
    )
    window = MainWindow(session)
    window.resize(1280, 800)
    window.show()
    QTest.qWaitForWindowActive(window)
    weary = QTimer()
    weary.timeout.connect(_shut_menus)  # a menu that nobody chooses from would wait for ever
    weary.start(500)
    user = RandomUser(window, seed, folder)
    patch = pytest.MonkeyPatch()
    user.stub_dialogs(patch)
    faults: list[str] = []
    memory: list[float] = []
    actions, began, told = 0, time.monotonic(), 0.0
    while (spent := time.monotonic() - began) < seconds:
        if actions % ANOTHER_CASE == 0:
            write_case(random_case(engine.pack, rng), engine.pack.facts, folder / "next.yaml")
            session.start_new()
            session.open(folder / "next.yaml")
            window.files.replaced.emit()
            window.navigator.restart()
        actions += 1
        try:
            wrong = user.act()
        except Exception as error:  # a crash of the window is what this looks for
            wrong = [f"{type(error).__name__}: {error}"]
        if wrong:
            faults.append("\n".join([*wrong, "after", user.tell()]))
        kept_here = session.needs_saving and not session.autosave_fault and autosave.exists()
        if kept_here and QApplication.activeModalWidget() is None:
            kept = read_case(autosave, engine.pack.facts, methods=engine.pack.methods)
            if dict(kept.facts) != dict(session.case.facts):
                faults.append(f"lost: {session.case.facts} is {kept.facts} on disk")
        if spent - told >= float(os.environ.get("EVERY", "60")):
            told = spent
            memory.append(used())
            print(f"{spent / 60:5.1f} min  {actions:6d} actions  {memory[-1]:6.1f} MB  "
                  f"{len(faults)} faults", flush=True)  # fmt: skip
    while (modal := QApplication.activeModalWidget()) is not None:
        modal.hide()
        settled()
    session.thorough.stop()
    window.hide()
    patch.undo()
    return faults[:5] + _of_memory(memory)


def _shut_menus() -> None:
    from PySide6.QtWidgets import QApplication

    popup = QApplication.activePopupWidget()
    if popup is not None:
        popup.close()


def _of_memory(memory: list[float]) -> list[str]:
    """Whether too much is used, or still more and more."""
    found = []
    if memory and max(memory) > MEGABYTES:
        found.append(f"memory: {max(memory):.0f} MB, at most {MEGABYTES:.0f}")
    quarter = len(memory) // 4
    if quarter:
        third, last = memory[-2 * quarter : -quarter], memory[-quarter:]
        before, after = sum(third) / quarter, sum(last) / quarter
        print(f"third quarter {before:.1f} MB, last {after:.1f} MB on average")
        if after > (1.0 + GROWTH) * before:
            found.append(f"memory grows: {before:.0f} MB, then {after:.0f} MB")
    return found


if __name__ == "__main__":
    sys.exit(main())
