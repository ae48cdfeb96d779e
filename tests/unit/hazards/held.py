"""The hazards of a changed pack, compiled and checked without the rest of the rules."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from advisor.facts.faults import Fault
from advisor.facts.marked_yaml import read_marked
from advisor.paths import rules_folder
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.cross_checks import check_declared
from advisor.rulegraph.compiling.facts import build_declarations
from advisor.rulegraph.compiling.hazard_check import check_hazards
from advisor.rulegraph.compiling.hazards import build_gates
from advisor.rulegraph.reading.pack_files import PackFile, PackFiles
from advisor.rulegraph.reading.partial_files import well_formed

WANTED = ("facts/", "parts/", "hazards.yaml", "sources.yaml", "prices.yaml", "methods/")


class ShippedFiles:
    """The shipped files that hazards have to do with, read once."""

    def __init__(self) -> None:
        folder = rules_folder()
        self.marked = {
            name: read_marked(path)
            for path in sorted(folder.rglob("*.yaml"))
            if (name := path.relative_to(folder).as_posix()).startswith(WANTED)
        }
        self.data: dict[str, Any] = {name: one.data for name, one in self.marked.items()}
        self._files = {name: self._read(name, one.data)[0] for name, one in self.marked.items()}

    def _read(self, name: str, data: Any) -> tuple[PackFile, PackFiles]:
        file = PackFile(name, rules_folder() / name, replace(self.marked[name], data=data))
        alone = PackFiles()
        alone.faults += well_formed(file, alone.lost)
        return file, alone

    def faults(self, data: dict[str, Any]) -> list[Fault]:
        """What is found wrong with the hazards of these files."""
        found = PackFiles()
        for name, content in data.items():
            if content is self.data[name]:
                file = self._files[name]
                # Facts at fault are taken out of their file, which the next change needs.
                own = dict(file.content) if name.startswith("facts/") else file.content
                found.files[name] = replace(file, content=own)
            else:
                file, alone = self._read(name, content)
                found.files[name] = file
                found.faults += alone.faults
                found.lost.texts += alone.lost.texts
        check_declared(found)
        sources = frozenset(data["sources.yaml"])
        compiler = Compiler(build_declarations(found), {}, sources, lost=found.lost)
        check_hazards(found, compiler, build_gates(found, compiler))
        return [*found.faults, *compiler.faults]
