"""The window used at random for a long time, in one process: memory, faults, lost answers.

``python -m tests.gui.random_user.long_use --minutes 60`` prints a line each minute and every kind
of fault when it is first found, and ends with code 1 where anything was wrong: a fault of the
window, an answer that is not on disk, more than 300 MB, or memory that still grows in the second
half. The highest memory, the mean of each tenth of the run and the slowest action are printed
last. Where one action takes 20 s, the stacks of all threads are printed; where it takes two
minutes, the run ends. What was done until then is in ``trail.txt`` of its folder, which is
printed first.
"""

from __future__ import annotations

import argparse
import faulthandler
import os
import re
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.session.case_session import Session
    from tests.gui.random_user.person import RandomUser

MEGABYTES = 300.0
GROWTH = 0.06
"""Of the mean of the third quarter, by which the mean of the last may be above it."""
ANOTHER_CASE = 240
"""Actions after which another case comes into the window."""
LOOKED_UP = 40
"""Actions after which it is looked whether the casebook holds what the window shows."""
SLOW = 20.0
"""Seconds of one action after which the stacks are printed."""
STUCK = 120
"""Seconds that one action may take at most."""


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
    print(f"seed {wanted.seed}, in {folder}", flush=True)
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

    from PySide6.QtCore import QTimer
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from advisor.facts.case_file import write_case
    from advisor.gui.app import begin_keeping, keeping_of, load_engine, prepare, shut_down
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
        advise_thoroughly=engine.thorough, keeping=keeping_of(engine.pack, None),
    )
    window = MainWindow(session)
    window.resize(1280, 800)
    window.show()
    QTest.qWaitForWindowActive(window)
    begin_keeping(window, None)
    weary = QTimer()
    weary.timeout.connect(_shut_menus)  # a menu that nobody chooses from would wait for ever
    weary.start(500)
    user = RandomUser(window, seed, folder)
    user.stub_dialogs(_Patch())
    faults = Faults(user)
    memory: list[float] = []
    trail = (folder / "trail.txt").open("w", encoding="utf-8", buffering=1)
    user.heed = lambda done: trail.write(f"{actions} {done}\n")
    actions, began, told = 0, time.monotonic(), 0.0
    slowest = 0.0, ""
    while (spent := time.monotonic() - began) < seconds:
        if actions % ANOTHER_CASE == 0:
            write_case(random_case(engine.pack, rng), engine.pack.facts, folder / "next.yaml")
            session.start_new()
            session.open(folder / "next.yaml")
            window.files.replaced.emit()
            window.navigator.restart()
        actions += 1
        faulthandler.dump_traceback_later(SLOW)
        signal.alarm(STUCK)
        started = time.monotonic()
        try:
            faults.note(user.act())
        except Exception as error:  # a crash of the window is what this looks for
            faults.note([f"{type(error).__name__}: {error}"])
        slowest = max(slowest, (time.monotonic() - started, user.tell(1)))
        if actions % LOOKED_UP == 0 and QApplication.activeModalWidget() is None:
            faults.note(_lost(session))
        if spent - told >= float(os.environ.get("EVERY", "60")):
            told = spent
            memory.append(used())
            print(f"{spent / 60:5.1f} min  {actions:6d} actions  {memory[-1]:6.1f} MB  "
                  f"{faults.count} faults", flush=True)  # fmt: skip
    faulthandler.cancel_dump_traceback_later()
    signal.alarm(0)
    print(f"{actions} actions, the slowest {slowest[0]:.1f} s with its checks: {slowest[1]!r}")
    while (modal := QApplication.activeModalWidget()) is not None:
        modal.hide()
        settled()
    session.thorough.stop()
    shut_down(app, window)
    session.release()
    if session.keeping is not None:
        session.keeping.stop()
    return faults.kinds() + _of_memory(memory)


class Faults:
    """What was wrong, by kind and page.

    The first of each is printed with what led to it, and with a picture in the folder.
    """

    def __init__(self, user: RandomUser) -> None:
        self._user = user
        self._kinds: Counter[str] = Counter()

    @property
    def count(self) -> int:
        """How many there were of all kinds."""
        return sum(self._kinds.values())

    def note(self, found: list[str]) -> None:
        """Count them."""
        page = self._user.page
        for text in found:
            kind = f"{page}: {re.sub(r'[0-9]+', '#', text)[:60]}"
            self._kinds[kind] += 1
            if self._kinds[kind] == 1:
                picture = self._user.folder / f"fault-{len(self._kinds)}.png"
                self._user.top.grab().save(str(picture))
                print(f"{page}: {text[:600]}\n  after {self._user.tell(4)!r}\n  in {picture}",
                      flush=True)  # fmt: skip

    def kinds(self) -> list[str]:
        """Each kind with its number, the most frequent first."""
        return [f"{number} times {kind}" for kind, number in self._kinds.most_common()]


class _Patch:
    """As that of pytest, without loading it: that would count as memory of the window."""

    def setattr(self, target: object, name: str, value: object) -> None:
        """Until the process ends."""
        setattr(target, name, value)


def _lost(session: Session) -> list[str]:
    """What the casebook does not hold of the case in the window."""
    keeping = session.keeping
    if keeping is None or not keeping.keeper.serial:
        return []
    stored = keeping.ask(lambda book: book.case(keeping.keeper.key)).result()
    here, there = dict(session.case.facts), dict(stored.case.facts)
    return [] if stored.others or here == there else [f"lost: {here} is {there} on disk"]


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
    if memory:
        tenths = [memory[n * len(memory) // 10 : (n + 1) * len(memory) // 10] for n in range(10)]
        means = [f"{sum(tenth) / len(tenth):.0f}" for tenth in tenths if tenth]
        print(f"highest {max(memory):.1f} MB; by tenths of the run {' '.join(means)}")
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
