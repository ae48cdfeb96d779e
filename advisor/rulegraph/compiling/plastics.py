"""Compiling plastics.yaml, and the facts that are read from others or narrow others down."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.facts.declaration import FactDecl, Kind
from advisor.facts.plastic_marks.symbols import KINDS, POLYMERS
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.compiling.tables import Tables
from advisor.rulegraph.model.nodes import Triple
from advisor.rulegraph.model.plastics import MarkRule, PlasticRules
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.facts import FactModel
from advisor.rulegraph.schema.plastics import MarkModel, PolymerModel

FILE = "plastics.yaml"
DENSITY = "g/cm3"


def build_plastics(files: PackFiles, compiler: Compiler, tables: Tables) -> PlasticRules | None:
    """What marks are read as; None where the pack has no such file. Faults to ``compiler``."""
    targets = [
        decl
        for file, name, model in files.facts()
        if (decl := _read_fact(files, file, name, model, compiler)) is not None
    ]
    for file in files.each(FILE):
        return _Builder(file, compiler, tables, targets).build()
    return None


def _read_fact(
    files: PackFiles, file: PackFile, name: str, model: FactModel, compiler: Compiler
) -> FactDecl | None:
    """The choice that a written fact is read for; faults for what it and others name."""
    if model.narrows is not None:
        _choice(file, (name, "narrows"), model.narrows, compiler)
    if model.reads is None:
        return None
    if not files.each(FILE) and not files.lost.names(FILE):
        problem = "a mark is read with the help of a file that the rule pack lacks"
        compiler.faults.append(file.fault((name, "reads"), problem, "", FILE))
    decl = _choice(file, (name, "reads", "fact"), model.reads.fact, compiler)
    unread = model.reads.unread
    if decl is not None and unread is not None and unread not in decl.keys:
        place = (name, "reads", "unread")
        compiler.unknown(file, place, "no such option", unread, decl.keys)
    return decl


def _choice(file: PackFile, loc: Loc, name: str, compiler: Compiler) -> FactDecl | None:
    decl = compiler.facts.get(name)
    if decl is not None and decl.kind is Kind.CHOICE:
        return decl
    choices = [key for key, one in compiler.facts.items() if one.kind is Kind.CHOICE]
    compiler.unknown(file, loc, "no such choice", name, choices, "a fact that is a choice")
    return None


class _Builder:
    """Compiles the entries of plastics.yaml, noting faults."""

    def __init__(
        self, file: PackFile, compiler: Compiler, tables: Tables, targets: Iterable[FactDecl]
    ) -> None:
        self.file = file
        self.model = file.content
        self.compiler = compiler
        self.options = tuple(dict.fromkeys(key for decl in targets for key in decl.keys))
        self.rows = dict(self._rows(tables))

    def build(self) -> PlasticRules:
        model = self.model
        self._check(("polymers",), model.polymers, POLYMERS, "no such polymer")
        self._check(("fillers",), model.fillers, KINDS, "no such kind of filler")
        fillers = {}
        for kind, density in model.fillers.items():
            loc: Loc = ("fillers", kind)
            self.compiler.source(self.file, loc, density.source)
            fillers[kind] = self.compiler.spread(self.file, loc, density, DENSITY)
        polymers = {key: self._polymer(key, polymer) for key, polymer in model.polymers.items()}
        marks = tuple(self._mark(i, mark) for i, mark in enumerate(model.marks))
        return PlasticRules(polymers, fillers, marks)

    def _rows(self, tables: Tables) -> Iterator[tuple[str, Triple]]:
        """Density of every row of the table of hard parts."""
        model = self.model
        draw = tables.draw(self.file, (), model.table, model.column, DENSITY, self.compiler)
        if draw is None:
            return
        for i, key in enumerate(self.compiler.facts[draw.key].keys):
            yield key, (float(draw.low[i]), float(draw.typical[i]), float(draw.high[i]))

    def _polymer(self, symbol: str, model: PolymerModel) -> Triple:
        loc: Loc = ("polymers", symbol)
        if model.density is not None:
            self.compiler.source(self.file, (*loc, "density"), model.density.source)
            return self.compiler.spread(self.file, (*loc, "density"), model.density, DENSITY)
        assert model.row is not None
        if self.rows and model.row not in self.rows:
            self.compiler.unknown(self.file, (*loc, "row"), "no such row", model.row, self.rows)
        return self.rows.get(model.row, (1.0, 1.0, 1.0))

    def _mark(self, i: int, model: MarkModel) -> MarkRule:
        loc: Loc = ("marks", i)
        self.compiler.source(self.file, loc, model.source)
        for key, named in (("has", model.has), ("any_of", model.any_of), ("only", model.only)):
            self._check((*loc, key), named, POLYMERS, "no such polymer")
        self._check((*loc, "fillers"), model.fillers or (), KINDS, "no such kind of filler")
        self._check((*loc, "read"), model.read, self.options, "no such answer")
        fillers = None if model.fillers is None else frozenset(model.fillers)
        return MarkRule(
            model.has, model.any_of, frozenset(model.only), fillers, model.filled,
            model.plasticized, model.read, model.why, model.source, model.status,
        )  # fmt: skip

    def _check(
        self,
        loc: Loc,
        named: Iterable[str],
        known: Mapping[str, object] | tuple[str, ...],
        problem: str,
    ) -> None:
        accepted = "such as " + ", ".join([*known][:8])
        self.compiler.check_names(self.file, loc, named, known, problem, accepted)
