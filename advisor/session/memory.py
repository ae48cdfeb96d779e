"""Memory of a finished calculation goes back to the system, not into the heap's reserve."""

from __future__ import annotations

import contextlib
import ctypes
import gc
import sys

M_TRIM_THRESHOLD, M_MMAP_THRESHOLD, M_ARENA_MAX = -1, -3, -8
"""Keys of mallopt(3) in glibc's malloc.h."""
LARGE = 128 * 1024
"""Blocks from this size on are given back as soon as they are free, bytes."""


def keep_small() -> None:
    """Before the window opens: what is loaded by now stays and is not looked through again.

    The thresholds of glibc's heap are fixed. Left alone they grow with the largest array that
    was ever freed (mallopt(3)): what a surprising measurement took for its many simulated
    cases would then stay with the window.
    """
    gc.freeze()
    libc = _glibc()
    if libc is not None:
        for key, value in (
            (M_MMAP_THRESHOLD, LARGE), (M_TRIM_THRESHOLD, LARGE), (M_ARENA_MAX, 1)
        ):
            libc.mallopt(key, value)


def give_back() -> None:
    """After a large calculation, or where another case comes in."""
    gc.collect()
    trim()


def trim() -> None:
    """Now and then: what is free in the heap goes back. A millisecond, most of the time less."""
    libc = _glibc()
    if libc is not None:
        libc.malloc_trim(0)


def _glibc() -> ctypes.CDLL | None:
    """The C library where it is glibc; None elsewhere."""
    if not sys.platform.startswith("linux"):
        return None
    with contextlib.suppress(OSError):
        libc = ctypes.CDLL(None)
        return libc if hasattr(libc, "mallopt") and hasattr(libc, "malloc_trim") else None
    return None
