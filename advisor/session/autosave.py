"""The autosaves: written, read as far as they can be, and where their cases came from.

Knows no Qt.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.facts.case import Case
from advisor.facts.whole_file import write_whole

if TYPE_CHECKING:
    from advisor.facts.declaration import FactDecl

#: Last line of an autosave: without it the file was cut short.
END = "# end of the kept case"


@dataclass(frozen=True)
class Origin:
    """The file a kept case came from, and the digest it had when it was last read or written."""

    path: Path | None = None
    digest: str = ""


@dataclass(frozen=True)
class KeptCase:
    """What could be read of an autosave."""

    autosave: Path
    case: Case | None
    """None where nothing could be read."""
    unread: tuple[str, ...]
    """What could not be read, in a line each."""
    origin: Origin
    written: datetime | None
    """By the clock of the disk, only to be shown."""


def next_autosave(path: Path) -> Path:
    """The next name after ``autosave-<run>-<number>.yaml``."""
    stem, _, number = path.stem.rpartition("-")
    return path.with_name(f"{stem}-{int(number) + 1}.yaml")


def origin_file(autosave: Path) -> Path:
    """Beside an autosave: the file the case came from."""
    return autosave.with_suffix(".origin.json")


def read_origin(autosave: Path) -> Origin:
    """Where an autosaved case came from, also where that file is gone by now."""
    try:
        found = json.loads(origin_file(autosave).read_text(encoding="utf-8"))
        path, digest = found.get("path"), found.get("digest", "")
    except (OSError, ValueError, AttributeError):
        return Origin()
    if not isinstance(path, str) or not path:
        return Origin()
    return Origin(Path(path), digest if isinstance(digest, str) else "")


def write_autosave(
    autosave: Path, case: Case, facts: Mapping[str, FactDecl], origin: Origin
) -> None:
    """Keep a case and where it came from, for this user alone.

    Raises OSError where it cannot be written, AnswerError for what no case file can hold.
    """
    from advisor.facts.case_file import case_text

    text = f"{case_text(case, facts)}{END}\n"
    # First, so that no kept case is ever without it; a note alone is tidied away.
    if read_origin(autosave) != origin:
        noted = {"path": str(origin.path) if origin.path else None, "digest": origin.digest}
        write_whole(origin_file(autosave), json.dumps(noted).encode("utf-8"), private=True)
    write_whole(autosave, text.encode("utf-8"), private=True)


def read_autosave(
    autosave: Path, facts: Mapping[str, FactDecl], methods: Collection[str]
) -> KeptCase:
    """An autosave as far as it can be read under these rules; raises nothing."""
    from advisor.facts.case_file import read_partly

    case, faults = read_partly(autosave, facts, methods=methods, end=END)
    unread = tuple(fault.in_file_text for fault in faults)
    written = None
    with contextlib.suppress(OSError, ValueError, OverflowError):
        written = datetime.fromtimestamp(autosave.stat().st_mtime)
    return KeptCase(autosave, case, unread, read_origin(autosave), written)


def forget(autosave: Path) -> None:
    """Delete an autosave and what stands beside it.

    One that cannot be deleted stays: where its file says the same, it is not offered.
    """
    for path in (autosave, origin_file(autosave)):
        with contextlib.suppress(OSError):
            path.unlink(missing_ok=True)


def put_by(autosave: Path) -> Path:
    """Move an autosave that was not read wholly out of the way, whole; where it is then.

    Raises OSError where it cannot be moved; it is then offered again.
    """
    place = autosave.with_name(f"unread-{autosave.name}")
    autosave.replace(place)
    forget(autosave)
    return place


def storable(text: str) -> str:
    """``text`` without what a case file cannot hold: pasted control characters, over-length."""
    from advisor.facts.case_file import MAX_TEXT

    kept = "".join(mark for mark in text if mark in "\n\t" or mark.isprintable())
    return kept[:MAX_TEXT] if kept.strip() else ""
