"""Compiling the tables of the pack: a spread for every option of a choice."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from advisor.facts.declare import Kind
from advisor.facts.faults import nearest_name

from .compiling import Compiler
from .nodes import TableDraw
from .reading import Loc, PackFile, PackFiles
from .schema_tables import CellModel, ColumnModel


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
        for file in [*files.folder("materials/"), files.one("parts.yaml")]:
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
        parts = files.one("parts.yaml").content
        for file in files.folder("parts/"):
            row = file.content.part
            if row in found.rows[parts.table]:
                compiler.faults.append(file.fault(("part",), "a second file for this part", row))
                continue
            _check_rows(file, parts.key, {row: file.content.values}, compiler)
            _check_cells(file, ("values",), file.content.values, parts.columns, compiler)
            found.rows[parts.table][row] = file.content.values
        return found

    def draw(
        self, file: PackFile, loc: Loc, table: str, column: str, unit: str, compiler: Compiler
    ) -> TableDraw | None:
        """Column of a table as a draw; faults for a missing table, column, cell or unit."""
        if table not in self.keys:
            near = nearest_name(table, self.keys)
            compiler.faults.append(
                file.fault((*loc, "table"), "no such table", table, ", ".join(self.keys), near)
            )
            return None
        columns = self.columns[table]
        if column not in columns:
            near = nearest_name(column, columns)
            compiler.faults.append(
                file.fault((*loc, "column"), "no such column", column, ", ".join(columns), near)
            )
            return None
        spec = columns[column]
        if spec.unit != unit:
            compiler.faults.append(
                file.fault((*loc, "column"), f"{column} is in the wrong unit", spec.unit, unit)
            )
        cells = []
        key = compiler.facts.get(self.keys[table])
        if key is None or key.kind is not Kind.CHOICE:
            return None
        for option in key.keys:
            rows = (self.rows[table].get(kind, {}) for kind in key.line(option))
            cell = next((row[column] for row in rows if column in row), spec.default)
            if cell is None:
                place = self.places[table]
                message = f"no {column} for {option}"
                accepted = "a cell in every row, or a default for the column"
                compiler.faults.append(place.fault(("columns", column), message, "", accepted))
                return None
            cells.append(cell.triple)
        values = np.array(cells)
        return TableDraw(self.keys[table], values[:, 0], values[:, 1], values[:, 2])


def _check_rows(file: PackFile, key: str, rows: Mapping[str, object], compiler: Compiler) -> None:
    decl = compiler.facts.get(key)
    if decl is None or decl.kind is not Kind.CHOICE:
        near = nearest_name(key, compiler.facts)
        compiler.faults.append(file.fault(("key",), "no such choice", key, "a fact", near))
        return
    for row in rows:
        if row not in decl.keys:
            near = nearest_name(row, decl.keys)
            listed = row in file.marked.data.get("rows", {})
            loc: Loc = ("rows", row) if listed else ("part",)
            problem, accepted = f"{key} has no such option", ", ".join(decl.keys)
            compiler.faults.append(file.fault(loc, problem, row, accepted, near, at_key=listed))


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
            near = nearest_name(name, columns)
            compiler.faults.append(
                file.fault(place, "no such column", name, ", ".join(columns), near, at_key=True)
            )
            continue
        compiler.spread(file, place, cell, columns[name].unit)
        compiler.source(file, place, cell.source)
