"""A PostgreSQL server of our own for the tests: ``python -m tests.casebook.server start FOLDER``.

Prints the address to put into ``TRIM_ADVISOR_TEST_POSTGRES``; ``stop FOLDER`` ends it. Needs
the distribution's packages (``apt-get install postgresql``). The server refuses to run as
root, so root starts it as the user ``postgres``.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

PORT = 54329
ADDRESS = f"postgresql://postgres@127.0.0.1:{PORT}/postgres"


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


def start(folder: Path) -> str:
    """Make and start a server in an empty folder; its address."""
    where = programs()
    if where is None:
        raise SystemExit("no PostgreSQL here; apt-get install postgresql")
    folder.mkdir(parents=True, exist_ok=True)
    if os.getuid() == 0:
        shutil.chown(folder, "postgres")
        folder.parent.chmod(0o755)
    run(where / "initdb", "-D", folder, "-U", "postgres", "--auth=trust", "--encoding=UTF8",
        "--locale=C.UTF-8")  # fmt: skip
    # No power is cut in a test, and a hundred databases are made: the server need not sync.
    # What is acknowledged to a technician was synced on his own machine (test_journal.py).
    options = f"-p {PORT} -k {folder} -c listen_addresses=127.0.0.1 -c max_connections=60 "
    options += "-c fsync=off"
    run(where / "pg_ctl", "-D", folder, "-o", options, "-l", folder / "log", "-w", "start")
    return ADDRESS


def stop(folder: Path) -> None:
    """Stop the server at once."""
    where = programs()
    assert where is not None
    run(where / "pg_ctl", "-D", folder, "-m", "immediate", "stop")


if __name__ == "__main__":
    what, place = sys.argv[1:]
    if what == "start":
        print(start(Path(place)))
    else:
        stop(Path(place))
