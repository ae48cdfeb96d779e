"""A program killed while answers are given: ``python -m tests.casebook.killed --kills 150``.

In each round a program of its own answers as fast as it can, closes revisions now and then,
and is killed (SIGKILL) at a random moment. It tells of an answer over a pipe once that was
acknowledged. What must hold after each kill:

* every acknowledged answer is in the journal, or in the casebook;
* both files are whole, the index of words agrees with the cases, every chain is unbroken.

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

from advisor.casebook.background import Background
from advisor.casebook.book import Casebook
from advisor.casebook.cases.keep import Closing
from advisor.casebook.database.engine import reading
from advisor.casebook.database.tables import answers
from advisor.casebook.journal.journal import Journal
from advisor.casebook.journal.keeper import Keeper
from advisor.facts.case import Case, Span
from advisor.rulegraph.load import load_pack

ROOT = Path(__file__).parents[2]
#: A round begins with an answer, and ends at a random moment so many seconds later at most.
LONGEST = 0.8


def work(folder: Path, place: str) -> None:
    """Answer until killed."""
    pack = load_pack()
    keeper = Keeper(Journal(folder / "journal.sqlite"), "Ada")
    background = Background(keeper.journal, lambda: Casebook.open(place, pack), keeper)
    background.start()
    out = os.fdopen(1, "wb", 0)
    while True:
        case = Case("HB-1")
        keeper.begin(case)
        for number in range(200):
            case = case.with_fact("damage.length", Span(number, number, f"{number} mm"))
            if keeper.keep(case):
                out.write(f"{keeper.writer} {keeper.serial}\n".encode())
                background.nudge()
            if number % 20 == 19:
                closing = Closing(
                    case, {keeper.writer: keeper.serial}, keeper.base, "stage", "Ada", number
                )
                key = keeper.key
                background.ask(lambda book, key=key, closing=closing: book.close(key, closing))


def kill_once(folder: Path, place: str, rng: random.Random) -> set[tuple[str, int]]:
    """One round; the answers that were acknowledged, as writer and serial."""
    command = [sys.executable, "-m", "tests.casebook.killed", "--work", str(folder), place]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as program:
        assert program.stdout is not None
        first = program.stdout.readline()
        time.sleep(rng.uniform(0, LONGEST))
        program.send_signal(signal.SIGKILL)
        told = first + program.stdout.read()
    lines = [line.split() for line in told.decode().split("\n")[:-1]]
    return {(writer, int(serial)) for writer, serial in lines}


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
    pack = load_pack()
    acknowledged: set[tuple[str, int]] = set()
    more, faults = 0, list[str]()
    for number in range(1, kills + 1):
        acknowledged |= kill_once(folder, place, rng)
        book = Casebook.open(place, pack)
        there = kept_by(book, Journal(folder / "journal.sqlite"))
        faults += [f"round {number}: lost {each}" for each in sorted(acknowledged - there)]
        faults += [f"round {number}: {each}" for each in whole(book)]
        more += len(there - acknowledged)
        acknowledged |= there
        book.shut()
        print(f"\r{number} of {kills} killed, {len(acknowledged)} answers, {len(faults)} faults",
              end="", flush=True)  # fmt: skip
    print()
    counts = {"kills": kills, "answers": len(acknowledged), "kept though not acknowledged": more,
              "lost or damaged": len(faults)}  # fmt: skip
    print(json.dumps(counts))
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
