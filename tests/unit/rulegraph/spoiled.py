"""A copy of the shipped rule pack with lines of it changed."""

from __future__ import annotations

import shutil
from pathlib import Path

from advisor.facts.faults import BadInput, Fault
from advisor.paths import rules_folder
from advisor.rulegraph.load import load_pack

#: Folders whose files are one list in several parts.
FOLDERS = ("facts/", "loads/")


class Spoiled:
    """A rule pack in ``folder``; each edit replaces the one place where a text stands."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._edited: dict[str, Path] = {}
        shutil.copytree(rules_folder(), folder)

    def edit(self, file: str, old: str, new: str) -> int:
        """Replace ``old``, which stands once in ``file``; the offset at which it stood.

        ``file`` ending in ``/`` is the one file of that folder where it stands.
        """
        path = self._path(file, old)
        self._edited[file] = path
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, f"{file}: {old!r} stands there {text.count(old)} times"
        path.write_text(text.replace(old, new), encoding="utf-8")
        return text.index(old)

    def place(self, file: str, marker: str, start: int = 0) -> tuple[int, int]:
        """Line and column, from 1, of the first ``marker`` at or after ``start``."""
        edited = self._edited.get(file)
        if edited is None or marker not in edited.read_text(encoding="utf-8")[start:]:
            edited, start = self._path(file, marker), 0
        text = edited.read_text(encoding="utf-8")
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
        """The file of a fault as the pack names it; the folder where the pack is one in many."""
        name = Path(fault.file).relative_to(self.folder).as_posix()
        return next((folder for folder in FOLDERS if name.startswith(folder)), name)

    def _path(self, file: str, text: str) -> Path:
        if not file.endswith("/"):
            return self.folder / file
        found = [
            path
            for path in sorted((self.folder / file).glob("*.yaml"))
            if text in path.read_text(encoding="utf-8")
        ]
        assert found, f"{file}: {text!r} stands in none of its files"
        return found[0]
