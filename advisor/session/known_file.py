"""A case file as a window last read or wrote it, so that no change by others is lost."""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path

from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl
from advisor.facts.text_file import MAX_BYTES
from advisor.session.os_lock import OsLock, waiting_for

#: Digest of a file that is not there.
NO_FILE = ""


class FileState(StrEnum):
    """How a file on disk is, against what was last read or written there."""

    AS_KNOWN = "as known"
    CHANGED = "changed"
    GONE = "gone"


class FileChanged(Exception):  # noqa: N818 - says what happened; the caller asks what to do
    """Raised in place of writing over what nobody in this window has seen."""

    def __init__(self, path: Path, digest: str) -> None:
        super().__init__(path, digest)
        self.path = path
        self.digest = digest
        """Of what lies there now."""

    @property
    def gone(self) -> bool:
        """Whether the file was deleted or renamed."""
        return self.digest == NO_FILE


def digest_of(path: Path) -> str:
    """Digest of a file's bytes; ``NO_FILE`` where there is none. Raises OSError.

    What no case file can be (a pipe, a folder, something huge) is not read; it has a
    digest like no file.
    """
    try:
        info = path.stat()
        if not stat.S_ISREG(info.st_mode) or info.st_size > MAX_BYTES:
            return f"no case file: {info.st_mode} {info.st_size} {info.st_mtime_ns}"
        return digest_of_bytes(path.read_bytes())
    except FileNotFoundError:
        return NO_FILE


def digest_of_bytes(content: bytes) -> str:
    """Digest by which one content of a file is distinguished from another; no clock takes part."""
    return hashlib.sha256(content).hexdigest()


def same_place(one: Path, other: Path) -> bool:
    """Whether two names lead to one file."""
    return os.path.realpath(one) == os.path.realpath(other)


class KnownFile:
    """Path, digest and case as last read or written here, and a lock while it is open.

    ``locks`` is the folder of the locks; without one nobody can tell who has it open.
    """

    def __init__(self, path: Path, digest: str, case: Case, locks: Path | None) -> None:
        self.path = path
        self.digest = digest
        self.case = case
        place = os.fsencode(os.path.realpath(path))
        name = f"open-{hashlib.sha256(place).hexdigest()[:16]}.lock"
        self._place = locks / name if locks is not None else None
        self._lock: OsLock | None = None
        self._looked: tuple[tuple[int, ...], FileState] | None = None

    @property
    def elsewhere(self) -> bool:
        """Whether another window of this user opened it first, and still has it open."""
        if self._lock is None and self._place is not None:
            with contextlib.suppress(OSError):
                self._lock = OsLock.take(self._place)
                return self._lock is None
        return False

    def standing(self) -> FileState:
        """Whether it still is on disk as it is known here, as far as a quick look shows.

        For a notice after each answer: the bytes are read only where the file's times or
        size have changed since the last look. Saving compares what the file holds.
        """
        try:
            info = self.path.stat()
            signs = (info.st_ino, info.st_size, info.st_mtime_ns, info.st_ctime_ns)
            if self._looked is None or self._looked[0] != signs:
                known = digest_of(self.path) == self.digest
                self._looked = signs, FileState.AS_KNOWN if known else FileState.CHANGED
            return self._looked[1]
        except FileNotFoundError:
            return FileState.GONE
        except OSError:
            return FileState.CHANGED

    def know(self, digest: str, case: Case) -> None:
        """It holds this now, and this window has seen it."""
        self.digest, self.case, self._looked = digest, case, None

    def follow(self, before: KnownFile) -> None:
        """Take the lock over from what was known before, where that is the same file."""
        if same_place(self.path, before.path):
            self._lock, before._lock = before._lock, None

    def release(self) -> None:
        """This window has it open no longer."""
        lock, self._lock = self._lock, None
        if lock is not None:
            lock.release()


def file_notice(file: KnownFile | None) -> str:
    """What a technician should know of the case's own file; empty where all is as known."""
    if file is None:
        return ""
    standing, name = file.standing(), file.path.name
    if standing is FileState.GONE:
        return f"{name} is no longer there: it was renamed, moved or deleted."
    if standing is FileState.CHANGED:
        return (
            f"{name} was changed by another window or program since it was read here. "
            "Saving shows both and asks."
        )
    if file.elsewhere:
        return f"{name} is open in another window too. Saving asks where both differ."
    return ""


def write_known(
    case: Case,
    facts: Mapping[str, FactDecl],
    path: Path,
    known: KnownFile | None,
    over: str | None,
    locks: Path | None,
) -> bytes:
    """Write a case to ``path`` unless that would replace what nobody here has seen.

    Replaced is what is ``known`` to lie at this path, or what has the digest ``over``;
    where neither is given, nothing. Returns what was written. Raises FileChanged, and what
    ``write_case`` raises.
    """
    from advisor.facts.case_writer import write_case

    expected = over
    if expected is None:
        here = known is not None and same_place(known.path, path)
        expected = known.digest if known is not None and here else NO_FILE

    def check() -> None:
        found = digest_of(path)
        if found != expected:
            raise FileChanged(path, found)

    # Windows of one user save one after the other. What another program writes between the
    # last check and the move goes unseen.
    with waiting_for(locks / "saving.lock" if locks is not None else None):
        return write_case(case, facts, path, check)
