"""A PostgreSQL server of our own for the tests: ``python -m tests.casebook.server start FOLDER``.

Prints the address to put into ``TRIM_ADVISOR_TEST_POSTGRES``; ``stop FOLDER`` ends it. Needs
the distribution's packages (``apt-get install postgresql``). The server refuses to run as
root, so root starts it as the user ``postgres``. ``start FOLDER --synced`` starts one that
syncs each commit to the disk, as a shop's does.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

PORT, SYNCED_PORT = 54329, 54330


def programs() -> Path | None:
    """The folder with the server's programs; None where there is no server."""
    found = shutil.which("initdb")
    places = [Path(found).parent] if found else []
    places += sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    return next((place for place in places if (place / "initdb").exists()), None)


def run(*command: str | Path) -> None:
    """Run as a user that the server accepts."""
    root = hasattr(os, "getuid") and os.getuid() == 0
    before = ["runuser", "-u", "postgres", "--"] if root else []
    subprocess.run([*before, *map(str, command)], check=True, cwd="/", stdout=subprocess.DEVNULL)


def start(folder: Path, port: int = PORT, synced: bool = False) -> str:
    """Make and start a server in an empty folder; its address."""
    where = programs()
    if where is None:
        raise SystemExit("no PostgreSQL here; apt-get install postgresql")
    folder.mkdir(parents=True, exist_ok=True)
    if os.getuid() == 0:
        shutil.chown(folder, "postgres")
        folder.parent.chmod(0o755)
    run(where / "initdb", "-D", folder, "-U", "postgres", "--auth=trust", "--encoding=UTF8",
        "--locale=C.UTF-8", "--no-sync")  # fmt: skip
    options = f"-p {port} -k {folder} -c listen_addresses=127.0.0.1 -c max_connections=60"
    if not synced:
        # A hundred databases are made and dropped: two seconds each, were they synced. What is
        # acknowledged to a technician was synced on his own machine (test_journal.py), and
        # that a commit here is synced too is counted on a server of its own (test_database.py).
        options += " -c fsync=off"
    run(where / "pg_ctl", "-D", folder, "-o", options, "-l", folder / "log", "-w", "start")
    return f"postgresql://postgres@127.0.0.1:{port}/postgres"


def stop(folder: Path) -> None:
    """Stop the server at once."""
    where = programs()
    assert where is not None
    run(where / "pg_ctl", "-D", folder, "-m", "immediate", "stop")


if __name__ == "__main__":
    what, place, *synced = sys.argv[1:]
    if what == "start":
        print(start(Path(place), SYNCED_PORT if synced else PORT, bool(synced)))
    else:
        stop(Path(place))
