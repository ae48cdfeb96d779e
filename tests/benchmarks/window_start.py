"""Time until the window takes the first answer, against an empty Qt window, in one run.

Run with ``python tests/benchmarks/window_start.py [repeats]``. Each start is a fresh
process; the two kinds take turns, so that both see the same machine. The rules are compiled
and kept, and the bytecode written, by a start that is not counted.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

EMPTY = """
from PySide6.QtWidgets import QApplication, QMainWindow
app = QApplication([])
window = QMainWindow()
window.show()
app.processEvents()
"""

OURS = """
from advisor.gui.app import (
    lasting_engine, prepare, keeping_of, RunLock, Session, MainWindow,
)
from advisor import paths
from PySide6.QtWidgets import QApplication
engine = lasting_engine(None)
app = QApplication([])
prepare(app)
session = Session(engine.pack, engine.quick, autosave=RunLock(paths.autosave_folder()).autosave,
                  advise_fully=engine.full, advise_thoroughly=engine.thorough,
                  keeping=keeping_of(engine.pack, None))
window = MainWindow(session)
window.show()
window.navigator.restart()
app.processEvents()
"""


def seconds(program: str, home: str, casebook: str = "") -> float:
    """Wall time of one fresh process; ``casebook`` is another than that of ``home``."""
    kinds = ("DATA", "CONFIG", "CACHE", "STATE")
    places = {f"XDG_{kind}_HOME": home for kind in kinds}
    environment = {**os.environ, **places, "QT_QPA_PLATFORM": "offscreen"}
    if casebook:
        environment["TRIM_ADVISOR_CASEBOOK"] = casebook
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    root = Path(__file__).resolve().parents[2]
    code = program + "\nimport os\nos._exit(0)\n"
    start = time.perf_counter()
    subprocess.run([sys.executable, "-c", code], env=environment, cwd=root, check=True)
    return time.perf_counter() - start


def main() -> None:
    """Print both medians and their ratio."""
    repeats = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    with tempfile.TemporaryDirectory() as home:
        for program in (EMPTY, OURS):
            seconds(program, home)
        pairs = [(seconds(EMPTY, home), seconds(OURS, home)) for _ in range(repeats)]
    empty = statistics.median(a for a, _ in pairs)
    ours = statistics.median(b for _, b in pairs)
    print(f"empty Qt window {empty * 1000:6.0f} ms")
    print(f"this window     {ours * 1000:6.0f} ms")
    print(f"ratio           {ours / empty:6.2f}")


if __name__ == "__main__":
    main()
