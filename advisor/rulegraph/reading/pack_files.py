"""The files of a rule pack as they were read, and what of them could not be used."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from advisor.facts.faults import Fault
from advisor.facts.marked_yaml import Marked
from advisor.rulegraph.schema.facts import FactModel

Loc = tuple[str | int, ...]
#: In place of a value that is left out because it is not well formed.
CUT: Final = object()


@dataclass
class Lost:
    """What could not be used. A name in it is declared for all that is known: nobody misses it."""

    texts: list[str] = field(default_factory=list)
    untold: bool = False
    """True where not even the names in it can be read."""

    @property
    def anything(self) -> bool:
        """True where something was lost."""
        return self.untold or bool(self.texts)

    def add(self, *parts: object) -> None:
        """Note a text, or an entry with the keys that lead to it."""
        self.texts.append(" ".join(" ".join(map(str, parts)).split()))

    def names(self, name: str) -> bool:
        """True where ``name`` may stand in what was lost, whole or as ``method`` and ``node``."""
        dots = [i for i, letter in enumerate(name) if letter == "."]
        ways = [(name,), *((name[:i], name[i + 1 :]) for i in dots)]
        return self.untold or any(
            all(_stands_in(part, text) for part in way) for text in self.texts for way in ways
        )


def _stands_in(name: str, text: str) -> bool:
    pattern = rf"(?<![\w.]){re.escape(name)}(?![\w.])"
    return re.search(pattern, text, re.IGNORECASE) is not None


@dataclass
class PackFile:
    """One file of the pack: its marks for messages, and its validated content."""

    name: str
    path: Path
    marked: Marked
    content: Any = None
    """None where nothing of it can be used."""
    base: PackFile | None = None
    """The file from which it takes over what it does not say itself."""
    repairs: dict[Loc, Any] = field(default_factory=dict)
    """What the content has in place of what is written there; `CUT` where it has nothing."""

    def fault(
        self,
        loc: Loc,
        problem: str,
        found: str = "",
        accepted: str = "",
        nearest: str = "",
        *,
        at_key: bool = False,
        found_is: str = "",
    ) -> Fault:
        """A fault at a place of the content: at a value, or at the key that names it."""
        loc = self.written(loc)
        holder = self._holder(loc)
        line, column = holder.marked.key_mark(loc) if at_key else holder.marked.mark(loc)
        where = ".".join(str(part) for part in loc)
        return Fault(
            str(holder.path), line, column, where, problem, found, accepted, nearest, found_is
        )

    def _holder(self, loc: Loc) -> PackFile:
        """The file in which stands what is at ``loc``: itself, or the one it takes it from."""
        while loc and self.base is not None and loc not in self.marked.marks:
            if loc in self.base.marked.marks:
                return self.base
            loc = loc[:-1]
        return self

    def written(self, loc: Loc) -> Loc:
        """A place of the content as the file has it: list entries left out are counted."""
        found: Loc = ()
        for part in loc:
            if isinstance(part, int):
                left = part
                part = 0
                while left or self.repairs.get((*found, part)) is CUT:
                    left -= self.repairs.get((*found, part)) is not CUT
                    part += 1
            found = (*found, part)
        return found

    def gaps(self, loc: Loc) -> bool:
        """True where part of what stands there, or what it stands in, was left out.

        Nothing is said to be missing from such an entry.
        """
        at = self.written(loc)
        cuts = [cut for cut, value in self.repairs.items() if value is CUT]
        return any(cut[: len(at)] == at[: len(cut)] for cut in cuts)


@dataclass
class PackFiles:
    """All files of a pack, shipped and overlaid."""

    files: dict[str, PackFile] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    overlaid: list[str] = field(default_factory=list)
    replaced: list[str] = field(default_factory=list)
    """Those of the overlaid files that replace a shipped one."""
    hidden: list[str] = field(default_factory=list)
    """Entries of shipped files that the files in their place do not have."""
    kept: list[str] = field(default_factory=list)
    """Of these, what stays all the same: hazards."""
    digest: str = ""
    lost: Lost = field(default_factory=Lost)

    def each(self, name: str) -> list[PackFile]:
        """The usable files of a folder (``loads/``), by name, or the one file called so."""
        return [
            file
            for key, file in sorted(self.files.items())
            if file.content is not None
            and (key.startswith(name) if name.endswith("/") else key == name)
        ]

    def facts(self) -> Iterator[tuple[PackFile, str, FactModel]]:
        """Every declared fact with the file it stands in, in asking order."""
        for file in self.each("facts/"):
            for name, model in file.content.items():
                yield file, name, model
