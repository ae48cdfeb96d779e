"""Time from an answer on the page of all hazard questions to every panel drawn again.

Run with ``python tests/benchmarks/hazard_answers.py [rounds]``. The window is opened off screen
with each demo case in turn, its hazard questions open; each is clicked, undone, clicked again.
As in ``window_answers`` the time runs until every event that followed has been handled: the
case kept on disk, the advice worked out, every row and panel painted.
"""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine, lasting_engine, prepare
from advisor.gui.hazards.hazard_page import HazardPage
from advisor.session.screens import HAZARD_PAGE, open_gates
from tests.benchmarks.window_answers import ROOT, Running

SIZES = {"1024 x 600": (1024, 600), "1280 x 800": (1280, 800), "800 x 1100": (800, 1100)}


def with_open_hazards(path: Path, engine: Engine) -> Case:
    """A demo case with every hazard question open."""
    case = read_case(path, engine.pack.facts, methods=tuple(engine.pack.methods))
    for name in [name for name in case.facts if engine.pack.facts[name].gate]:
        case = case.without(name)
    return case


def timed(running: Running, rounds: int) -> list[tuple[str, float, float]]:
    """What was done, its milliseconds, and those of the advice alone."""
    navigator, found = running.window.navigator, []
    advise, spent = navigator.session._advise, [0.0]

    def watched(*args: object) -> object:
        start = time.perf_counter()
        advice = advise(*args)  # type: ignore[arg-type]
        spent[0] = 1e3 * (time.perf_counter() - start)
        return advice

    navigator.session._advise = watched  # type: ignore[assignment]
    navigator.go(HAZARD_PAGE)
    running.settle()
    page = running.window.pages[HAZARD_PAGE]
    assert isinstance(page, HazardPage)
    for turn in range(rounds):
        for name in open_gates(navigator.order, navigator.session.case):
            row = next((row for row in page.rows if row.fact.name == name), None)
            if row is None:
                continue
            button = row.options.buttons[(turn - 1) % len(row.options.buttons)]
            for done, action in (("answer", button.click), ("undo", navigator.undo),
                                 ("answer", button.click)):
                found.append((done, running.spent(action), spent[0]))
                running.settle()
        while navigator.session.can_undo:
            navigator.undo()
    return found


def main() -> None:
    """Print the table."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    engine = lasting_engine(None)
    app = QApplication([])
    prepare(app)
    print(f"{'':<22}{'times':>6}{'median':>8}{'95 %':>8}{'slowest':>9}{'advice':>8}  ms")
    with tempfile.TemporaryDirectory() as folder:
        for size, pixels in SIZES.items():
            found: dict[str, list[tuple[float, float]]] = {}
            for path in sorted((ROOT / "demo_cases").glob("*.yaml")):
                running = Running(app, engine, with_open_hazards(path, engine), Path(folder))
                running.window.resize(*pixels)
                for done, whole, advice in timed(running, rounds):
                    found.setdefault(done, []).append((whole, advice))
                running.close()
            for done, times in found.items():
                whole = sorted(one for one, _ in times)
                high = whole[int(0.95 * (len(whole) - 1))]
                advice = statistics.median(one for _, one in times)
                print(f"{size + ', ' + done:<22}{len(whole):>6}{statistics.median(whole):>8.0f}"
                      f"{high:>8.0f}{whole[-1]:>9.0f}{advice:>8.0f}")


if __name__ == "__main__":
    main()
