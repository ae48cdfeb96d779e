"""A window killed while answers are given: ``python -m tests.casebook.killed --kills 150``.

In each round a window, a process of its own (offscreen), is answered as fast as it can, undoes,
closes revisions and begins other cases, and is killed (SIGKILL) at a random moment. It tells of
an answer over a pipe once that was acknowledged. What must hold after each kill:

* every acknowledged answer is in the journal, or in the casebook;
* both files are whole, the index of words agrees with the cases, every chain is unbroken;
* 95 of 100 answers are acknowledged, their page drawn anew, within 200 ms.

With ``--server`` the casebook is in a new database there (as for ``conftest.py``), while the
journal is this machine's own.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from sqlalchemy import select, text

from advisor.casebook.book import Casebook
from advisor.casebook.database.engine import reading
from advisor.casebook.database.tables import answers
from advisor.casebook.journal.journal import Journal
from advisor.facts.case import Span
from tests.unit.session.small_pack import SmallPack

PACK = SmallPack()
ROOT = Path(__file__).parents[2]
#: A round begins with an answer, and ends at a random moment so many seconds later at most.
LONGEST = 1.5
#: Within so many ms 95 of 100 answers are acknowledged.
SLOWEST = 200.0

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


def work(folder: Path, place: str) -> None:
    """Be a window in which somebody answers until it is killed."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication

    from advisor.gui.app import prepare
    from advisor.gui.window.main_window import MainWindow
    from advisor.session.case_session import Session
    from advisor.session.casebook_keeping import CaseKeeping
    from tests.unit.session.small_pack import small_advise, without_working

    app = QApplication([])
    prepare(app)
    keeping = CaseKeeping(folder / "journal.sqlite", place, PACK)
    session = Session(PACK, without_working(small_advise), keeping=keeping)
    window = MainWindow(session)
    window.resize(1024, 600)
    window.show()
    keeping.start()
    out = os.fdopen(1, "wb", 0)
    counted = iter(range(1_000_000))

    def act() -> None:
        number, navigator = next(counted), window.navigator
        begun = time.perf_counter()
        if number % 60 == 59:
            session.start_new()
            navigator.restart()
        elif number % 15 == 14:
            navigator.undo()
        elif number % 2:
            navigator.answer("hazard.airbag", number % 4 == 1)
        else:
            navigator.answer("damage.length", Span(number, number, f"{number} mm"))
        if session.kept and keeping.keeper.serial:
            took = 1000 * (time.perf_counter() - begun)
            out.write(f"{keeping.keeper.writer} {keeping.keeper.serial} {took:.2f}\n".encode())
        if number % 20 == 19:
            session.close_revision("stage")

    timer = QTimer()
    timer.timeout.connect(act)
    timer.start(0)
    app.exec()


def kill_once(
    folder: Path, place: str, rng: random.Random, times: list[float]
) -> set[tuple[str, int]]:
    """One round; the answers that were acknowledged, as writer and serial.

    A window says up to which serial all of a writer's answers are on disk, and after how many
    ms, which go into ``times``.
    """
    command = [sys.executable, "-m", "tests.casebook.killed", "--work", str(folder), place]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as program:
        assert program.stdout is not None
        first = program.stdout.readline()
        time.sleep(rng.uniform(0, LONGEST))
        program.send_signal(signal.SIGKILL)
        told = first + program.stdout.read()
    lines = [line.split() for line in told.decode().split("\n")[:-1]]
    times += [float(took) for _, _, took in lines]
    return {(writer, each) for writer, upto, _ in lines for each in range(1, int(upto) + 1)}


def whole(book: Casebook) -> list[str]:
    """What is wrong with the database."""
    found = [f"{key}: {fault}" for key in book.all_keys() if (fault := book.damage(key))]
    if not book.on_server:
        with reading(book.engine) as connection:
            checked = connection.execute(text("PRAGMA integrity_check")).scalar()
            found += [] if checked == "ok" else [str(checked)]
            connection.execute(text("INSERT INTO found(found, rank) VALUES('integrity-check', 1)"))
    return found


def kept_by(book: Casebook, journal: Journal) -> set[tuple[str, int]]:
    """All answers in the casebook, once what waits in the journal is taken in."""
    book.take_in(journal)
    with reading(book.engine) as connection:
        rows = connection.execute(select(answers.c.writer, answers.c.serial))
        return {(writer, serial) for writer, serial in rows}


def kill_many(kills: int, seed: int, place: str, folder: Path) -> list[str]:
    """So many rounds on one casebook; all that is wrong."""
    rng = random.Random(seed)
    acknowledged: set[tuple[str, int]] = set()
    more, faults, times = 0, list[str](), list[float]()
    for number in range(1, kills + 1):
        acknowledged |= kill_once(folder, place, rng, times)
        book = Casebook.open(place, PACK)
        there = kept_by(book, Journal(folder / "journal.sqlite"))
        faults += [f"round {number}: lost {each}" for each in sorted(acknowledged - there)]
        faults += [f"round {number}: {each}" for each in whole(book)]
        more += len(there - acknowledged)
        acknowledged |= there
        book.shut()
        print(f"\r{number} of {kills} killed, {len(acknowledged)} answers, {len(faults)} faults",
              end="", flush=True)  # fmt: skip
    print()
    times.sort()
    p95 = times[int(0.95 * len(times))]
    counts = {"kills": kills, "answers": len(acknowledged), "kept though not acknowledged": more,
              "lost or damaged": len(faults), "ms to acknowledge, median": times[len(times) // 2],
              "95 of 100": p95, "longest": times[-1]}  # fmt: skip
    print(json.dumps(counts))
    if p95 > SLOWEST:
        faults.append(f"95 of 100 answers took {p95:.0f} ms; accepted: {SLOWEST:.0f} ms")
    return faults


def new_database(server: str) -> str:
    """The address of a database made for this run."""
    import psycopg

    name = f"casebook_killed_{os.getpid()}"
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")  # type: ignore[arg-type]
    return f"{server.rpartition('/')[0]}/{name}"


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--work", nargs=2, help=argparse.SUPPRESS)
    parser.add_argument("--kills", type=int, default=150)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--server", default="", help="address of a server; else a new folder")
    given = parser.parse_args()
    if given.work:
        work(Path(given.work[0]), given.work[1])
    with tempfile.TemporaryDirectory(prefix="killed-") as made:
        where = new_database(given.server) if given.server else str(Path(made) / "book")
        wrong = kill_many(given.kills, given.seed, where, Path(made))
    print("\n".join(wrong))
    sys.exit(1 if wrong else 0)
