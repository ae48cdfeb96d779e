"""Compiling the tables of the pack: a spread for every option of a choice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from advisor.facts.declaration import Kind
from advisor.rulegraph.compiling.compiler import Compiler
from advisor.rulegraph.model.nodes import TableDraw
from advisor.rulegraph.reading.pack_files import Loc, PackFile, PackFiles
from advisor.rulegraph.schema.tables import CellModel, ColumnModel, TableModel


@dataclass
class Tables:
    """Tables by name: key fact, columns and rows, with the files they stand in."""

    keys: dict[str, str] = field(default_factory=dict)
    columns: dict[str, dict[str, ColumnModel]] = field(default_factory=dict)
    rows: dict[str, dict[str, Mapping[str, CellModel]]] = field(default_factory=dict)
    places: dict[str, PackFile] = field(default_factory=dict)

    @classmethod
    def collect(cls, files: PackFiles, compiler: Compiler) -> Tables:
        """Tables of the materials folder, and the parts with one row a part."""
        found = cls()
        for file in [*files.each("materials/"), *files.each("parts.yaml")]:
            model = file.content
            if model.table in found.keys:
                compiler.faults.append(
                    file.fault(("table",), "a second table of this name", model.table)
                )
                continue
            found.keys[model.table] = model.key
            found.columns[model.table] = dict(model.columns)
            found.rows[model.table] = dict(model.rows)
            found.places[model.table] = file
            _check_rows(file, model.key, model.rows, compiler)
            _check_columns(file, model.columns, compiler)
            for row, cells in model.rows.items():
                _check_cells(file, ("rows", row), cells, model.columns, compiler)
        for parts in files.each("parts.yaml"):
            found._add_parts(parts.content, files.each("parts/"), compiler)
        return found

    def _add_parts(
        self, parts: TableModel, files: Iterable[PackFile], compiler: Compiler
    ) -> None:
        """The file of each part as a row of the table of parts."""
        rows = self.rows[parts.table]
        for file in files:
            row = file.content.part
            if row in rows:
                compiler.faults.append(file.fault(("part",), "a second file for this part", row))
                continue
            _check_rows(file, parts.key, {row: file.content.values}, compiler)
            _check_cells(file, ("values",), file.content.values, parts.columns, compiler)
            rows[row] = file.content.values

    def draw(
        self, file: PackFile, loc: Loc, table: str, column: str, unit: str, compiler: Compiler
    ) -> TableDraw | None:
        """Column of a table as a draw; faults for a missing table, column, cell or unit."""
        if table not in self.keys:
            compiler.unknown(file, (*loc, "table"), "no such table", table, self.keys)
            return None
        columns = self.columns[table]
        if column not in columns:
            compiler.unknown(file, (*loc, "column"), "no such column", column, columns)
            return None
        spec = columns[column]
        if spec.unit != unit:
            compiler.faults.append(
                file.fault((*loc, "column"), f"{column} is in the wrong unit", spec.unit, unit)
            )
        key = compiler.facts.get(self.keys[table])
        if key is None or key.kind is not Kind.CHOICE:
            return None
        rows = {option: self._row(table, key.line(option), column) for option in key.keys}
        cells = {option: row.get(column, spec.default) for option, row in rows.items()}
        place = self.places[table]
        empty = [option for option, cell in cells.items() if cell is None]
        for option in empty:
            lost = any(compiler.lost.names(f"{kind}.{column}") for kind in key.line(option))
            if not (lost or place.gaps(("rows",)) or place.gaps(("columns", column))):
                message = f"no {column} for {option}"
                accepted = "a cell in every row, or a default for the column"
                compiler.faults.append(place.fault(("columns", column), message, "", accepted))
        if empty:
            return None
        given = [cell for cell in cells.values() if cell is not None]
        low, typical, high = zip(*(cell.triple for cell in given), strict=True)
        origins = tuple((cell.source or "", cell.status or "") for cell in given)
        return TableDraw(self.keys[table], low, typical, high, origins=origins)

    def _row(self, table: str, line: Iterable[str], column: str) -> Mapping[str, CellModel]:
        """The first row for an option, or for what it is a kind of, that has the column."""
        rows = (self.rows[table].get(kind, {}) for kind in line)
        return next((row for row in rows if column in row), {})


def _check_rows(file: PackFile, key: str, rows: Mapping[str, object], compiler: Compiler) -> None:
    decl = compiler.facts.get(key)
    if decl is None or decl.kind is not Kind.CHOICE:
        compiler.unknown(file, ("key",), "no such choice", key, compiler.facts, "a fact")
        return
    for row in rows:
        if row not in decl.keys:
            listed = row in file.marked.data.get("rows", {})
            loc: Loc = ("rows", row) if listed else ("part",)
            problem = f"{key} has no such option"
            compiler.unknown(file, loc, problem, row, decl.keys, at_key=listed)


def _check_columns(
    file: PackFile, columns: Mapping[str, ColumnModel], compiler: Compiler
) -> None:
    for name, column in columns.items():
        if column.default is not None:
            place = ("columns", name, "default")
            compiler.spread(file, place, column.default, column.unit)
            compiler.source(file, place, column.default.source)


def _check_cells(
    file: PackFile,
    loc: Loc,
    cells: Mapping[str, CellModel],
    columns: Mapping[str, ColumnModel],
    compiler: Compiler,
) -> None:
    for name, cell in cells.items():
        place = (*loc, name)
        if name not in columns:
            compiler.unknown(file, place, "no such column", name, columns, at_key=True)
            continue
        compiler.spread(file, place, cell, columns[name].unit)
        compiler.source(file, place, cell.source)
