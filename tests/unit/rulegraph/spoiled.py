"""A copy of the shipped rule pack with lines of it changed."""

from __future__ import annotations

import shutil
from pathlib import Path

from advisor.facts.faults import BadInput, Fault
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack


class Spoiled:
    """A rule pack in ``folder``; each edit replaces the one place where a text stands."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        shutil.copytree(rules_folder(), folder)

    def edit(self, file: str, old: str, new: str) -> int:
        """Replace ``old``, which stands once in ``file``; the offset at which it stood."""
        path = self.folder / file
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{file}: {old!r} stands there {text.count(old)} times"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return text.index(old)

    def place(self, file: str, marker: str, start: int = 0) -> tuple[int, int]:
        """Line and column, from 1, of the first ``marker`` at or after ``start``."""
        text = (self.folder / file).read_text(encoding="utf-8")
        before = text[: text.index(marker, start)]
        return before.count("\n") + 1, len(before) - before.rfind("\n")

    def faults(self) -> list[Fault]:
        """What loading it finds; fails where it loads."""
        try:
            load_pack(self.folder)
        except BadInput as bad:
            return list(bad.faults)
        raise AssertionError("the pack was accepted")

    def name_of(self, fault: Fault) -> str:
        """The file of a fault, as the pack names it."""
        return Path(fault.file).relative_to(self.folder).as_posix()
