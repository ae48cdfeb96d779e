"""Labels in rows and columns: tables, titles with their figures, steps with their cautions."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from advisor.gui.widgets.page import label
from advisor.gui.widgets.refilled_column import give_up, matched, read_in_order

TOP = Qt.AlignmentFlag.AlignTop
RIGHT = Qt.AlignmentFlag.AlignRight
NONE = Qt.AlignmentFlag(0)


@dataclass(frozen=True)
class Cell:
    """Words at a place of the grid."""

    row: int
    column: int
    text: str
    look: str = ""
    span: int = 1
    """Columns it takes."""
    figure: bool = False
    """A short figure: to the right, and not wrapped."""

    @property
    def kind(self) -> Hashable:
        """A label is dressed once."""
        return self.look, self.figure

    @property
    def name(self) -> Hashable:
        """The same place is the same thing."""
        return self.row, self.column

    @property
    def place(self) -> tuple[int, int, int]:
        """Row, column, columns taken."""
        return self.row, self.column, self.span


@dataclass(frozen=True)
class Room:
    """Room round and between the cells [px]."""

    indent: int
    across: int
    """-1: as the style of the window has it."""
    down: int


@dataclass(frozen=True)
class Cells:
    """A grid of words."""

    name: str
    """What it is about."""
    cells: tuple[Cell, ...]
    """In the order they are read."""
    room: Room
    stretch: tuple[int, ...]
    """The share that each column from the left takes of the room left."""

    @property
    def kind(self) -> Hashable:
        """Grids that are spaced alike look alike."""
        return self.room

    def make(self, parent: QWidget) -> QWidget:
        """The grid."""
        return CellGrid(self, parent)

    def refill(self, widget: QWidget) -> None:
        """Other words, in other places."""
        assert isinstance(widget, CellGrid)
        widget.fill(self)


class CellGrid(QWidget):
    """Shows cells; labels that can stay do stay."""

    def __init__(self, cells: Cells, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._cells: tuple[Cell, ...] = ()
        self._labels: list[QLabel] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(cells.room.indent, 0, 0, 0)
        self._grid.setHorizontalSpacing(cells.room.across)
        self._grid.setVerticalSpacing(cells.room.down)
        self.fill(cells)

    def fill(self, cells: Cells) -> None:
        """Show these cells, and no others."""
        self._grid.setEnabled(False)
        try:
            self._fill(cells.cells)
            for column in range(max(self._grid.columnCount(), len(cells.stretch))):
                share = cells.stretch[column] if column < len(cells.stretch) else 0
                self._grid.setColumnStretch(column, share)
        finally:
            self._grid.setEnabled(True)
        self.updateGeometry()

    def _fill(self, cells: tuple[Cell, ...]) -> None:
        taken = matched(self._cells, cells)
        labels = []
        for place, cell in zip(taken, cells, strict=True):
            before = self._cells[place] if place is not None else None
            found = self._labels[place] if place is not None else self._made(cell)
            labels.append(found)
            if before is not None and before.text != cell.text:
                found.setText(cell.text)
            if before is None or before.place != cell.place:
                self._grid.removeWidget(found)
                self._grid.addWidget(found, cell.row, cell.column, 1, cell.span,
                                     NONE if cell.span > 1 else TOP)
                found.show()
        stay = {place for place in taken if place is not None}
        for place, found in enumerate(self._labels):
            if place not in stay:
                self._grid.removeWidget(found)
                give_up(found)
        if taken != list(range(len(self._labels))):
            read_in_order(labels)
        self._cells, self._labels = cells, labels

    def _made(self, cell: Cell) -> QLabel:
        found = label(cell.text, cell.look, self)
        if cell.figure:
            found.setWordWrap(False)
            found.setAlignment(RIGHT)
        return found
