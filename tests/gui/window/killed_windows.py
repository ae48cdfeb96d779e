"""Two real windows on one case, and a file that others change, all killed at a random moment.

``python -m tests.gui.window.killed_windows --kills 100`` (offscreen, some three seconds a
kill). In each round two windows, each a process, open one case and answer, undo and save as
fast as they can, while another program rewrites or deletes the file. Then both are killed
(SIGKILL). What must hold:

* every acknowledged answer is in the autosave that the next start offers, or in a version of
  the file that this window wrote or took over;
* every version of the file that was replaced had been read or shown by whoever replaced it;
* the next start leaves no lock, draft or note of origin behind.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QEvent, QTimer
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Case, Span
from advisor.facts.case_file import case_text, read_case
from advisor.facts.faults import BadInput
from advisor.facts.whole_file import write_whole
from advisor.gui.app import prepare
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Found, Leave
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.gui.window import kept_cases
from advisor.gui.window.main_window import MainWindow
from advisor.session.autosave import KeptCase, read_autosave
from advisor.session.case_session import Session
from advisor.session.known_file import NO_FILE, digest_of
from advisor.session.os_lock import waiting_for
from advisor.session.run_lock import RunLock
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

FACTS, METHODS = SmallPack.facts, tuple(SmallPack.methods)
START = "format: 1\ncase: HB-1\nfacts:\n  part.kind: armrest\n  hazard.airbag: no\n"
ROOT = Path(__file__).parents[3]
Event = dict[str, Any]
#: What happened in all rounds, so that one sees that something did.
COUNTED: Counter[str] = Counter()


def session_of(run_lock: RunLock) -> Session:
    """The session of a window."""
    advise = without_working(small_advise)
    return Session(SmallPack(), advise, autosave=run_lock.autosave)


# -- one window, in a process of its own -------------------------------------------------------


class Worker:
    """Answers, undoes and saves without end; notes what is acknowledged the moment it is."""

    def __init__(self, folder: Path, name: str, seed: int) -> None:
        self.rng = random.Random(seed)
        self.name = name
        self.serial = 0
        self.file = folder / "HB-1.yaml"
        self._log = os.open(folder / f"{name}.log", os.O_CREAT | os.O_APPEND | os.O_WRONLY)
        self.run_lock = RunLock(folder / "kept")
        self.run_lock.tidy()
        self.session = session_of(self.run_lock)
        self._listen()
        with contextlib.suppress(BadInput):  # deleted before it could be opened
            self.session.open(self.file)
        self.window = MainWindow(self.session)
        self.window.files.run_lock = self.run_lock
        self._answer_dialogs()
        self.window.resize(1024, 600)
        self.window.show()
        self.note(run=self.run_lock.run, opened=self.text())
        self.timer = QTimer()
        self.timer.timeout.connect(self.act)
        self.timer.start(0)

    def note(self, **event: object) -> None:
        """One line, whole, into the file that outlives this process."""
        os.write(self._log, f"{json.dumps(event)}\n".encode())

    def text(self, case: Case | None = None) -> str:
        """A case as it would be written."""
        return case_text(case or self.session.case, FACTS)

    def _listen(self) -> None:
        session = self.session
        settle, save, adopt = session._settle, session.save, session.adopt

        def settled() -> None:
            self.note(begin=self.text())
            settle()
            if not session.autosave_fault:
                self.note(ack=self.text())

        def saved(path: Path, over: str | None = None) -> None:
            known = session.file.digest if session.file is not None else NO_FILE
            self.note(trying=known if over is None else over, text=self.text())
            save(path, over)
            assert session.file is not None
            expected = known if over is None else over
            self.note(saved=session.file.digest, over=expected, text=self.text())

        def adopted(case: Case, digest: str, theirs: Case) -> None:
            adopt(case, digest, theirs)
            if not session.dirty:
                self.note(theirs=digest, text=self.text())

        session._settle = settled  # type: ignore[method-assign]
        session.save = saved  # type: ignore[method-assign]
        session.adopt = adopted  # type: ignore[method-assign]

    def _answer_dialogs(self) -> None:
        def choose(parent: object, versions: Versions) -> tuple[Choice, frozenset[str]]:
            choices = [choice for choice, _ in versions.choices if choice is not Choice.OTHER_NAME]
            picked = frozenset(row.key for row in versions.rows if self.rng.random() < 0.5)
            return self.rng.choice(choices), picked

        dialogs.ask_versions = choose
        dialogs.ask_save = lambda parent, proposed: self.file
        dialogs.ask_leave = lambda *_: Leave.STAY
        dialogs.ask_found = lambda *_: Found.LATER
        dialogs.tell = lambda *_: None
        dialogs.show_faults = lambda parent, heading, faults: self.note(told=[heading, *faults])

    def act(self) -> None:
        """One thing that a person does."""
        navigator, self.serial = self.window.navigator, self.serial + 1
        unique = f"{self.name} {self.serial}"
        if self.rng.random() < 0.25:
            self.window.files.save()
        elif self.rng.random() < 0.1:
            navigator.undo()
        elif self.rng.random() < 0.4:
            navigator.answer("hazard.airbag", self.rng.random() < 0.5)
        elif self.rng.random() < 0.5:
            navigator.answer("damage.length", Span(self.serial, self.serial, f"{self.serial} mm"))
        else:
            navigator.answer("job.words", unique)


def work(folder: Path, name: str, seed: int) -> None:
    """Be one of the windows until killed."""
    app = QApplication([])
    prepare(app)
    worker = Worker(folder, name, seed)
    app.exec()
    del worker


# -- the other program -------------------------------------------------------------------------


class OtherProgram:
    """Rewrites or deletes the case file; knows what it replaces.

    It takes the lock of saving only so that what it replaced is known for certain.
    """

    def __init__(self, folder: Path, rng: random.Random) -> None:
        self.file = folder / "HB-1.yaml"
        self._lock = folder / "kept" / "saving.lock"
        self._rng = rng
        self.replaced: list[str] = []
        self.wrote: list[str] = []

    def act(self, number: int) -> None:
        """Change the file once, mostly by turning the airbag."""
        with waiting_for(self._lock):
            self.replaced.append(digest_of(self.file))
            if self._rng.random() < 0.15:
                self.file.unlink(missing_ok=True)
                return
            try:
                case = read_case(self.file, FACTS)
            except BadInput:
                case = Case("HB-1", facts={"part.kind": ("armrest",)})
            turned = case.with_fact("hazard.airbag", case.facts.get("hazard.airbag") is not True)
            words = f"written by others {number}"
            other = turned.with_fact("job.words", words)
            write_whole(self.file, case_text(other, FACTS).encode())
            self.wrote.append(digest_of(self.file))


# -- one round ---------------------------------------------------------------------------------


def kill_once(seed: int, folder: Path) -> list[str]:
    """One round in an empty folder; everything that was lost or replaced unseen."""
    rng = random.Random(seed)
    (folder / "kept").mkdir()
    (folder / "HB-1.yaml").write_text(START)
    first = digest_of(folder / "HB-1.yaml")
    other = OtherProgram(folder, rng)
    command = [sys.executable, "-m", "tests.gui.window.killed_windows", "--work", str(folder)]
    windows = [
        subprocess.Popen([*command, name, str(rng.randrange(10**9))], cwd=ROOT)
        for name in ("one", "two")
    ]
    try:
        if rng.random() < 0.85:  # else killed while they start, most likely
            _wait(lambda: all(_events(folder, name) for name in ("one", "two")))
        moments = sorted(rng.uniform(0, 0.8) for _ in range(rng.randint(1, 4)))
        begun = time.monotonic()
        for number, moment in enumerate(moments[:-1]):
            time.sleep(max(0.0, begun + moment - time.monotonic()))
            other.act(number)
        time.sleep(max(0.0, begun + moments[-1] - time.monotonic()))
    finally:
        for window in windows:
            window.send_signal(signal.SIGKILL)
        for window in windows:
            window.wait(timeout=20)
    logs = {name: _events(folder, name) for name in ("one", "two")}
    final = digest_of(folder / "HB-1.yaml")
    found = _replaced_unseen([e for log in logs.values() for e in log], first, final, other)
    for event in (event for log in logs.values() for event in log):
        COUNTED.update(event.keys() & {"ack", "saved", "theirs"})
    COUNTED["written by others"] += len(other.replaced)
    offers = next_start(folder)
    for name, log in logs.items():
        found += [f"{name}: {text}" for text in _lost(log, offers, folder)]
    strays = [path.name for path in (folder / "kept").iterdir()
              if path.suffix in (".lock", ".tmp") or not _is_of_a_case(path)]  # fmt: skip
    return found + [f"stray: {name}" for name in strays]


def _is_of_a_case(path: Path) -> bool:
    return (path.parent / f"{path.name.split('.')[0]}.yaml").exists()


def _wait(ready: Callable[[], bool]) -> None:
    end = time.monotonic() + 60
    while not ready():
        if time.monotonic() > end:
            raise TimeoutError("the windows did not start")
        time.sleep(0.01)


def _events(folder: Path, name: str) -> list[Event]:
    path = folder / f"{name}.log"
    return [json.loads(line) for line in path.read_text().splitlines()] if path.exists() else []


def next_start(folder: Path) -> dict[str, tuple[KeptCase, bool]]:
    """What the next start finds, by run, and whether it asks about it; all may wait."""
    read: dict[str, KeptCase] = {}
    asked: set[str] = set()

    def reading(path: Path, *rules: Any) -> KeptCase:
        read[path.name.split("-")[1]] = kept = read_autosave(path, *rules)
        return kept

    def later(*_: object) -> Found:
        asked.add(list(read)[-1])
        return Found.LATER

    def cancel(*_: object) -> tuple[Choice, frozenset[str]]:
        later()
        return Choice.CANCEL, frozenset()

    before = dialogs.ask_versions, dialogs.ask_found, dialogs.ask_unreadable
    dialogs.ask_versions, dialogs.ask_found = cancel, later
    dialogs.ask_unreadable = later
    kept_cases.read_autosave = reading
    run_lock = RunLock(folder / "kept")
    run_lock.tidy()
    window = MainWindow(session_of(run_lock))
    try:
        window.files.run_lock = run_lock
        window.show()
        window.files.offer_kept()
    finally:
        dialogs.ask_versions, dialogs.ask_found, dialogs.ask_unreadable = before
        kept_cases.read_autosave = read_autosave
        window.hide()
        window.deleteLater()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        run_lock.release()
    return {run: (kept, run in asked) for run, kept in read.items()}


def _lost(log: list[Event], offers: dict[str, tuple[KeptCase, bool]], folder: Path) -> list[str]:
    """What one window had acknowledged and nobody offers or holds any more."""
    if not log:
        return []  # killed before the window was there
    run, in_file = str(log[0]["run"]), {str(log[0]["opened"])}
    state, pending = str(log[0]["opened"]), ""
    for event in log[1:]:
        if "begin" in event:
            pending = str(event["begin"])
        elif "ack" in event:
            state, pending = str(event["ack"]), ""
        elif "saved" in event or "theirs" in event:
            in_file.add(str(event["text"]))
    path = folder / "HB-1.yaml"
    final = case_text(read_case(path, FACTS), FACTS) if path.exists() else ""
    if run not in offers:
        there = state in in_file or final in (state, pending)
        return [] if there else [f"acknowledged, and in no file:\n{state}"]
    kept, asked = offers[run]
    if kept.case is None or kept.unread:
        return [f"not read wholly: {kept.unread}"]
    text = case_text(kept.case, FACTS)
    if text not in (state, pending):
        return [f"kept:\n{text}\nacknowledged:\n{state}\npending:\n{pending}"]
    return [] if asked or text == final else ["kept, and not offered"]


def _replaced_unseen(
    events: list[Event], first: str, final: str, other: OtherProgram
) -> list[str]:
    """Versions of the file that are gone though nobody who replaced them had seen them."""
    saved = [event for event in events if "saved" in event]
    done = {(event["over"], event["text"]) for event in saved}
    in_flight = {event["trying"] for event in events
                 if "trying" in event and (event["trying"], event["text"]) not in done}
    replaced = {event["over"] for event in saved} | in_flight | set(other.replaced)
    versions = {first, *other.wrote, *(event["saved"] for event in saved)}
    return [
        f"a version of the file was replaced unseen: {digest[:12]}"
        for digest in versions - replaced - {final}
    ]


def kill_many(kills: int, seed: int) -> list[str]:
    """So many rounds; what is wrong, with the seed of the round."""
    found = []
    for number in range(seed, seed + kills):
        with tempfile.TemporaryDirectory(prefix="killed-") as place:
            found += [f"seed {number}: {text}" for text in kill_once(number, Path(place))]
        print(f"\r{number - seed + 1} of {kills} killed, {len(found)} faults", end="", flush=True)
    print()
    return found


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--work", nargs=3, help=argparse.SUPPRESS)
    parser.add_argument("--kills", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    if given.work:
        place, name, seed = given.work
        work(Path(place), name, int(seed))
    else:
        application = QApplication([])
        prepare(application)
        faults = kill_many(given.kills, given.seed)
        print("\n".join([str(dict(COUNTED)), *faults]))
        sys.exit(1 if faults else 0)
