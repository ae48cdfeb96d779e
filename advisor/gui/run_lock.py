"""Where a run keeps its answers, and which kept files belong to no living window."""

from __future__ import annotations

import os
from pathlib import Path

from PySide6.QtCore import QLockFile


class Keeper:
    """Holds a lock file for this run; an autosave whose lock is free was left behind."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.run = os.urandom(4).hex()
        self._lock = QLockFile(str(self._lock_path(self.run)))
        self._lock.setStaleLockTime(0)
        self._lock.tryLock(0)

    @property
    def autosave(self) -> Path:
        """The first autosave of this run."""
        return self.folder / f"autosave-{self.run}-1.yaml"

    def is_free(self, autosave: Path) -> bool:
        """Whether the run that wrote ``autosave`` is no longer alive."""
        parts = autosave.stem.split("-")
        run = parts[1] if len(parts) == 3 else ""
        if not run or run == self.run:
            return False
        lock = QLockFile(str(self._lock_path(run)))
        lock.setStaleLockTime(0)
        if not lock.tryLock(0):
            return False
        lock.unlock()
        return True

    def release(self) -> None:
        """At the end of the run."""
        self._lock.unlock()

    def _lock_path(self, run: str) -> Path:
        return self.folder / f"run-{run}.lock"
