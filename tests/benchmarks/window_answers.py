"""Time from an answer to all panels drawn again, in the running window, page by page.

Run with ``python tests/benchmarks/window_answers.py [answers]``. The window is opened off
screen at 1280 x 800 with each demo case in turn; facts are answered otherwise, one after the
other, on the question's own card, on the Method, Job and Record page and in a trial. The time
runs until every event that followed has been handled: the case kept on disk, the advice worked
out, every widget painted. What follows later in slices is measured as the longest slice. At the
end a surprising measurement is given, and the longest time for which the window takes no event
while more simulated cases are worked out.
"""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Case, Span, Value
from advisor.facts.case_file import read_case
from advisor.facts.declaration import FactDecl, Kind
from advisor.gui.app import Engine, lasting_engine, prepare, shut_down
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.screens import JOB_SHEET, METHOD_PAGE, RECORD_PAGE

ROOT = Path(__file__).resolve().parents[2]
PAGES = {"Method": METHOD_PAGE, "Job": JOB_SHEET, "Record": RECORD_PAGE}
SURPRISING = ("split_armrest", "damage.closing_pull", Span(60.0, 60.0, "60 N"))


def other_answers(case: Case, engine: Engine, count: int) -> Iterator[tuple[FactDecl, Value]]:
    """Facts of the case answered otherwise, drawn with a fixed seed."""
    rng = random.Random(7)
    decls = [d for d in engine.pack.asked(case) if d.kind is not Kind.TEXT and d.may_stay_open]
    for decl in rng.choices(decls, k=count):
        if decl.kind is Kind.YES_NO:
            yield decl, rng.random() < 0.5
        elif decl.kind is Kind.CHOICE:
            yield decl, (rng.choice(decl.keys),)
        else:
            value = round(decl.low + rng.random() ** 3 * (decl.high - decl.low), 2)
            yield decl, Span(value, value)


class Running:
    """A window that runs, and the time it takes for what is done to it."""

    def __init__(self, app: QApplication, engine: Engine, case: Case, folder: Path) -> None:
        self.app = app
        session = Session(
            engine.pack, engine.quick, autosave=folder / "autosave-1-1.yaml", case=case,
            advise_fully=engine.full, advise_thoroughly=engine.thorough,
        )  # fmt: skip
        self.window = MainWindow(session)
        self.window.resize(1280, 800)
        self.window.show()
        self.settle()

    def settle(self) -> float:
        """Let everything come to rest; the longest time between two events, in ms."""
        longest, session = 0.0, self.window.session
        while True:
            start = time.perf_counter()
            self.app.processEvents()
            longest = max(longest, time.perf_counter() - start)
            page = self.window.pages.get(METHOD_PAGE)
            later = isinstance(page, VerdictPage) and page.is_working
            if session.thorough.case is None and not later:
                return 1e3 * longest

    def spent(self, action: object, *args: object) -> float:
        """Milliseconds from an action until all that followed at once is drawn."""
        start = time.perf_counter()
        action(*args)  # type: ignore[operator]
        self.app.processEvents()
        return 1e3 * (time.perf_counter() - start)

    def close(self) -> None:
        """Away with it."""
        self.window.session.thorough.stop()
        shut_down(self.app, self.window)


def timed_pages(running: Running, engine: Engine, count: int) -> Iterator[tuple[str, float]]:
    """Page and milliseconds of every answer, and of the longest slice after it."""
    navigator = running.window.navigator
    case = navigator.session.case
    for page, screen in {"question": "", **PAGES}.items():
        for decl, value in other_answers(case, engine, count):
            navigator.go(screen or decl.name)
            running.settle()
            yield page, running.spent(navigator.answer, decl.name, value)
            longest = running.settle()
            if page == "Method":
                yield "longest slice after it", longest
            navigator.answer(decl.name, case.facts[decl.name]) if decl.name in case.facts else (
                navigator.undo() if navigator.session.can_undo else None
            )
            running.settle()
    for decl, value in other_answers(case, engine, count):
        navigator.go(METHOD_PAGE)
        navigator.try_answer(decl.name)
        running.settle()
        yield "trial", running.spent(navigator.set_trial, value)
        navigator.drop_trial()
        running.settle()


def frozen(running: Running, fact: str, value: Value) -> tuple[float, float, float]:
    """Answer, longest time without an event, and time to the end, in ms."""
    running.window.navigator.go(METHOD_PAGE)
    running.settle()
    start = time.perf_counter()
    first = running.spent(running.window.navigator.answer, fact, value)
    longest = running.settle()
    return first, longest, 1e3 * (time.perf_counter() - start)


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 12
    engine = lasting_engine(None)
    app = QApplication([])
    prepare(app)
    found: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        for path in sorted((ROOT / "demo_cases").glob("*.yaml")):
            case = read_case(path, engine.pack.facts, methods=tuple(engine.pack.methods))
            running = Running(app, engine, case, Path(folder))
            for page, spent in timed_pages(running, engine, count):
                found.setdefault(page, []).append(spent)
            running.close()
        print(f"{'':<24}{'answers':>8}{'median':>9}{'95 %':>9}{'slowest':>9}  ms")
        for page, times in found.items():
            times.sort()
            high = times[int(0.95 * (len(times) - 1))]
            print(f"{page:<24}{len(times):>8}{statistics.median(times):>9.0f}"
                  f"{high:>9.0f}{times[-1]:>9.0f}")
        name, fact, value = SURPRISING
        case = read_case(ROOT / "demo_cases" / f"{name}.yaml", engine.pack.facts,
                         methods=tuple(engine.pack.methods))  # fmt: skip
        running = Running(app, engine, case, Path(folder))
        first, longest, whole = frozen(running, fact, value)
        worlds = running.window.session.advice.worlds
        print(f"surprising measurement: drawn after {first:.0f} ms, no event for {longest:.0f} ms "
              f"at most, complete after {whole:.0f} ms ({worlds} cases)")
        running.close()


if __name__ == "__main__":
    main()
