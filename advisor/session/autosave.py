"""The autosaves: names, what they can hold, which earlier runs left behind. Knows no Qt."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path


def next_autosave(path: Path) -> Path:
    """The next free name after ``autosave-<run>-<number>.yaml``."""
    stem, _, number = path.stem.rpartition("-")
    return path.with_name(f"{stem}-{int(number) + 1}.yaml")


def origin_file(autosave: Path) -> Path:
    """Beside an autosave: the file the case came from."""
    return autosave.with_suffix(".origin.json")


def read_origin(autosave: Path) -> Path | None:
    """The file an autosaved case came from, if it is still there."""
    try:
        found = json.loads(origin_file(autosave).read_text(encoding="utf-8")).get("path")
    except (OSError, ValueError, AttributeError):
        return None
    return Path(found) if isinstance(found, str) and Path(found).is_file() else None


def write_origin(autosave: Path, origin: Path | None) -> None:
    """Note the file an autosaved case came from. Raises OSError where it cannot be written."""
    noted = json.dumps({"path": str(origin) if origin else None})
    origin_file(autosave).write_text(noted, encoding="utf-8")


def forget(autosave: Path) -> None:
    """Delete an autosave and what stands beside it."""
    autosave.unlink(missing_ok=True)
    origin_file(autosave).unlink(missing_ok=True)


def storable(text: str) -> str:
    """``text`` without what a case file cannot hold: pasted control characters, over-length."""
    from advisor.facts.case_file import MAX_TEXT

    kept = "".join(mark for mark in text if mark in "\n\t" or mark.isprintable())
    return kept[:MAX_TEXT] if kept.strip() else ""


def left_behind(folder: Path, is_free: Callable[[Path], bool]) -> list[Path]:
    """Autosaves of runs that ended without closing, newest first.

    ``is_free`` tells whether no living window still holds the file.
    """
    found = [path for path in folder.glob("autosave-*.yaml") if is_free(path)]
    return sorted(found, key=lambda path: path.stat().st_mtime, reverse=True)
