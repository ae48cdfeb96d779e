"""Locks that the system frees when the program that holds them ends, however it ends."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

#: Longest wait for another window that is just writing a file, in s.
PATIENCE = 2.0


class OsLock:
    """A lock file held by this program; another program, or another lock here, gets none.

    The name on disk means nothing: only the system's lock on the open file counts, so a
    lock that a killed program, another machine or an earlier start left is free.
    """

    def __init__(self, path: Path, handle: int) -> None:
        self.path = path
        self._handle = handle

    @classmethod
    def take(cls, path: Path) -> OsLock | None:
        """The lock at ``path``; None where somebody holds it.

        Raises OSError where no lock can be had there at all.
        """
        while True:
            handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
            try:
                if not _lock(handle):
                    os.close(handle)
                    return None
                if os.path.samestat(os.fstat(handle), path.stat()):
                    return cls(path, handle)
            except FileNotFoundError:
                pass
            except BaseException:
                os.close(handle)
                raise
            os.close(handle)  # whoever held it deleted it meanwhile: take a new one

    def release(self) -> None:
        """Free the lock and delete its file; a second time does nothing."""
        handle, self._handle = self._handle, -1
        if handle < 0:
            return
        with contextlib.suppress(OSError):
            self.path.unlink(missing_ok=True)
        os.close(handle)
        with contextlib.suppress(OSError):  # where an open file cannot be deleted
            if sys.platform == "win32":
                self.path.unlink(missing_ok=True)

    def __del__(self) -> None:
        self.release()


@contextlib.contextmanager
def waiting_for(path: Path | None) -> Iterator[None]:
    """Hold the lock at ``path``; after two seconds, or where none can be had, go on without."""
    lock = None
    if path is not None:
        end = time.monotonic() + PATIENCE
        with contextlib.suppress(OSError):
            while (lock := OsLock.take(path)) is None and time.monotonic() < end:
                time.sleep(0.005)
    try:
        yield
    finally:
        if lock is not None:
            lock.release()


def _lock(handle: int) -> bool:
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES, errno.EDEADLK):
            return False
        raise
    return True
