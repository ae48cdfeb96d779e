"""Where a run keeps its answers, and which kept files belong to no living window."""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path

from advisor.session.autosave import origin_file
from advisor.session.os_lock import OsLock

#: So long a lock is tried: another window may just be looking whether it is free, in s.
GLANCE = 0.05


class RunLock:
    """Holds a lock file for this run; an autosave whose lock is free was left behind."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.run = os.urandom(4).hex()
        self._lock: OsLock | None = None
        # A folder that cannot be written to is reported with the first answer that is not kept.
        with contextlib.suppress(OSError):
            self._lock = _take(self._lock_path(self.run))

    @property
    def autosave(self) -> Path:
        """The first autosave of this run."""
        return self.folder / f"autosave-{self.run}-1.yaml"

    def is_free(self, autosave: Path) -> bool:
        """Whether the run that wrote ``autosave`` is no longer alive."""
        with self._claimed(_run_of(autosave)) as free:
            return free

    def left_behind(self, own: Path | None = None) -> list[Path]:
        """Every autosave but ``own``, those of living windows too, the latest first.

        The order is by the clock of the disk and decides nothing.
        """
        found = [path for path in self.folder.glob("autosave-*.yaml") if path != own]
        return sorted(found, key=_age, reverse=True)

    @contextlib.contextmanager
    def offering(self, autosave: Path) -> Iterator[bool]:
        """Keep other windows from offering or taking ``autosave`` meanwhile.

        Gives False where a living window writes to it, or another one is offering it or has
        taken it. What this run itself has set aside may be offered; so may what lies where no
        lock can be made: shown twice is better than not at all.
        """
        run = _run_of(autosave)
        if run == self.run:
            yield autosave.exists()
        else:
            with self._claimed(run) as free:
                yield free and autosave.exists()

    def tidy(self) -> None:
        """Delete the locks, drafts and notes of origin that killed runs left behind."""
        for path in self.folder.glob("*.lock"):
            if path != self._lock_path(self.run):
                with contextlib.suppress(OSError):
                    lock = _take(path, 0.0)
                    if lock is not None:
                        lock.release()
        drafts = self.folder.glob(".autosave-*.tmp")
        for path in (*drafts, *self.folder.glob("autosave-*.origin.json")):
            kept = self.folder / f"{path.name.lstrip('.').split('.')[0]}.yaml"
            is_note = path == origin_file(kept)
            with self._claimed(_run_of(kept)) as free, contextlib.suppress(OSError):
                if free and not (is_note and kept.exists()):
                    path.unlink(missing_ok=True)

    def release(self) -> None:
        """At the end of the run."""
        if self._lock is not None:
            self._lock.release()

    @contextlib.contextmanager
    def _claimed(self, run: str) -> Iterator[bool]:
        lock, free = None, bool(run) and run != self.run
        with contextlib.suppress(OSError):
            lock = _take(self._lock_path(run)) if free else None
            free = lock is not None
        try:
            yield free
        finally:
            if lock is not None:
                lock.release()

    def _lock_path(self, run: str) -> Path:
        return self.folder / f"run-{run}.lock"


def _take(path: Path, patience: float = GLANCE) -> OsLock | None:
    """The lock; None where it is held. Raises OSError where none can be made."""
    end = time.monotonic() + patience
    while (lock := OsLock.take(path)) is None and time.monotonic() < end:
        time.sleep(0.005)
    return lock


def _run_of(autosave: Path) -> str:
    parts = autosave.stem.split("-")
    return parts[1] if len(parts) == 3 else ""


def _age(path: Path) -> float:
    with contextlib.suppress(OSError):
        return path.stat().st_mtime
    return 0.0
