"""Files replaced whole or not at all, and folders that only this user may look into."""

from __future__ import annotations

import contextlib
import os
import secrets
from collections.abc import Callable
from pathlib import Path

#: A draft older than this beside a newer one was left by a program that was killed, in s.
STRAY = 60.0


def write_whole(
    path: Path,
    content: bytes,
    *,
    private: bool = False,
    before: Callable[[], None] | None = None,
) -> None:
    """Replace ``path`` in one move: the old file stays whole until the new one is on disk.

    A link stays one: the file that it leads to is replaced. The file keeps its rights;
    a ``private`` one is for this user alone. ``before`` is called in the last moment
    before the move, and may raise to call it off. Raises OSError where the file cannot be
    written, and then leaves nothing behind.
    """
    target = Path(os.path.realpath(path))
    draft = target.with_name(f"{_draft_stem(target)}{secrets.token_hex(8)}.tmp")
    mode = 0o600 if private else 0o666
    if not private:
        with contextlib.suppress(FileNotFoundError):
            mode = target.stat().st_mode & 0o777
    try:
        with os.fdopen(os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode), "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
            written = os.fstat(out.fileno()).st_mtime
        if before is not None:
            before()
        draft.replace(target)
    except BaseException:
        # Where not even that can be deleted, the first fault is the one to report.
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)
    _clean(target, written)


def _draft_stem(target: Path) -> str:
    """Beginning of the names of all drafts of ``target``, short enough for any file system."""
    return f".{os.fsencode(target.name)[:80].decode('utf-8', 'ignore')}-"


def _clean(target: Path, written: float) -> None:
    """Delete drafts that a killed program left beside ``target``, by the disk's own clock."""
    with contextlib.suppress(OSError):
        import glob

        for draft in target.parent.glob(f"{glob.escape(_draft_stem(target))}*.tmp"):
            if draft.stat().st_mtime < written - STRAY:
                draft.unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Make the new name last through a power cut, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def private_folder(folder: Path) -> Path:
    """Make a folder for this user alone (0700), also where it stood open before.

    Raises OSError where it cannot be made.
    """
    for each in (folder.parent, folder):
        if not each.is_dir():
            each.mkdir(mode=0o700, parents=True, exist_ok=True)
    with contextlib.suppress(OSError):
        if folder.stat().st_mode & 0o077:
            folder.chmod(0o700)
    return folder
