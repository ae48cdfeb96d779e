"""Backups of a casebook in a folder: made by themselves, restored by one command.

A database in use is never copied as a file: what is in its journal would be missing. SQLite's
own backup copies it whole while others write. A server's database is backed up by whoever
runs the server (``pg_dump``).
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from datetime import datetime, timedelta
from pathlib import Path

from advisor.casebook.database.engine import database_file
from advisor.facts.faults import BadInput, Fault
from advisor.facts.whole_file import private_folder

#: A backup is made when the last one is so old, in days; so many are kept.
EVERY, KEPT = 7, 5
#: What a casebook is called that a backup was put in the place of.
ASIDE = "casebook-before-restoring-"


def backups(folder: Path) -> list[Path]:
    """The backups of the casebook in a folder, the latest first."""
    return sorted((folder / "backups").glob("casebook-*.sqlite"), reverse=True)


def restorable(folder: Path) -> list[Path]:
    """What can be put in place: the backups, and what was put aside by restoring."""
    return [*backups(folder), *sorted(folder.glob(f"{ASIDE}*.sqlite"), reverse=True)]


def due(folder: Path, now: datetime) -> bool:
    """Whether a backup should be made."""
    if not database_file(folder).exists():
        return False
    latest = backups(folder)
    if not latest:
        return True
    with contextlib.suppress(ValueError):
        made = datetime.strptime(latest[0].stem, "casebook-%Y%m%d-%H%M%S")
        return not 0 <= (now - made).days < EVERY
    return True


def back_up(folder: Path, now: datetime) -> Path:
    """Make a backup and drop the oldest beyond ``KEPT``; where it is. Raises BadInput."""
    to = folder / "backups" / now.strftime("casebook-%Y%m%d-%H%M%S.sqlite")
    draft = to.with_suffix(".part")
    try:
        private_folder(to.parent)
        copied(database_file(folder), draft)
        draft.replace(to)
    except (OSError, sqlite3.Error) as error:
        draft.unlink(missing_ok=True)
        problem = f"no backup could be made: {error}"
        raise BadInput(Fault(str(to), 0, 0, "", problem, "", "a disk with room on it")) from None
    for old in backups(folder)[KEPT:]:
        old.unlink(missing_ok=True)
    return to


def restore(folder: Path, backup: Path, now: datetime) -> Path | None:
    """Put a backup in the place of the casebook; where the old one is now, if there was one.

    Raises BadInput where the backup is not whole, or something else has the casebook open;
    the casebook is then left as it is.
    """
    _check(backup)
    _nobody_else(database_file(folder))
    place, draft = database_file(folder), folder / "restored.part"
    try:
        private_folder(folder)
        copied(backup, draft)
        aside = None
        if place.exists():
            aside = _free(folder, now)
            for suffix in ("-wal", "-shm"):
                beside = place.with_name(place.name + suffix)
                if beside.exists():
                    beside.replace(aside.with_name(aside.name + suffix))
            place.replace(aside)
        draft.replace(place)
    except (OSError, sqlite3.Error) as error:
        draft.unlink(missing_ok=True)
        problem = f"cannot be restored: {error}"
        raise BadInput(Fault(str(backup), 0, 0, "", problem, "", "")) from None
    return aside


def _free(folder: Path, now: datetime) -> Path:
    """A name that no casebook was put aside under."""
    while (found := folder / now.strftime(f"{ASIDE}%Y%m%d-%H%M%S.sqlite")).exists():
        now += timedelta(seconds=1)
    return found


def _check(backup: Path) -> None:
    problem = "not a whole casebook"
    fault = Fault(str(backup), 0, 0, "", problem, "", "a backup that this program made")
    if not backup.is_file():
        raise BadInput(fault)
    try:
        with contextlib.closing(sqlite3.connect(f"{backup.absolute().as_uri()}?mode=ro",
                                                uri=True)) as connection:  # fmt: skip
            whole = connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
            connection.execute("SELECT count(*) FROM cases, alembic_version").fetchone()
    except sqlite3.Error:
        raise BadInput(fault) from None
    if not whole:
        raise BadInput(fault)


def _nobody_else(place: Path) -> None:
    """Raises BadInput where anybody has the database open: a file in use is never moved."""
    if not place.exists():
        return
    try:
        with contextlib.closing(sqlite3.connect(place, timeout=1.0)) as connection:
            # Leaving WAL takes the whole file for oneself; moving the file is no safer after.
            connection.execute("PRAGMA journal_mode=DELETE").fetchone()
    except sqlite3.OperationalError as error:
        if "locked" not in str(error) and "busy" not in str(error):
            return
        problem, accepted = "another window or program has the casebook open", "close it first"
        raise BadInput(Fault(str(place), 0, 0, "", problem, "", accepted)) from None
    except sqlite3.DatabaseError:
        return  # it is damaged: that is why a backup is wanted


def copied(source: Path, target: Path) -> None:
    """Copy a database as of one moment, synced to the disk. Raises OSError, sqlite3.Error."""
    target.unlink(missing_ok=True)
    with (
        contextlib.closing(sqlite3.connect(source)) as one,
        contextlib.closing(sqlite3.connect(target)) as other,
    ):
        one.backup(other)
        other.execute("PRAGMA journal_mode=DELETE").fetchone()
    with target.open("rb+") as written:
        os.fsync(written.fileno())
