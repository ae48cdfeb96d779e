"""Blocks of the Job stage: titles with figures, tables, steps with the cautions beside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.gui.widgets.cell_grid import Cell, Cells, Room
from advisor.wording.sentences import sentence

PAIRS = Room(indent=12, across=14, down=4)
TABLE = Room(indent=12, across=14, down=5)
STEPS = Room(indent=0, across=-1, down=10)


@dataclass(frozen=True)
class StepLine:
    """A step, or the wait after a method, as the page shows it."""

    title: str
    """Title of the method where a new one begins."""
    number: str
    text: str
    cautions: str


def caution_line(text: str, said: set[str]) -> str:
    """A caution in full the first time, then only its subject; ``said`` is kept up."""
    subject, colon, _ = text.partition(":")
    if text in said and colon:
        return f"{subject}: as above."
    said.add(text)
    return sentence(text)


def pairs(name: str, lines: Iterable[tuple[str, str, str]]) -> Cells:
    """Titles with their figures beside them and a note under each that has one."""
    cells: list[Cell] = []
    row = 0
    for title, figure, note in lines:
        cells += [Cell(row, 0, title, "quiet"), Cell(row, 1, figure)]
        row += 1
        if note:
            cells.append(Cell(row, 0, sentence(note), "small", span=2))
            row += 1
    return Cells(name, tuple(cells), PAIRS, (1, 1))


def table(
    name: str,
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    strong: Sequence[int] = (),
) -> Cells:
    """A table whose first column takes the room left; the others hold short figures.

    ``strong`` are the rows set in bold. A cell with a line break stays in its column.
    """
    cells = [Cell(0, x, text, "small", figure=x > 0) for x, text in enumerate(heads)]
    for y, row in enumerate(rows):
        look = "new" if y in strong else ""
        cells += [Cell(y + 1, x, text, look, figure=x > 0) for x, text in enumerate(row)]
    return Cells(name, tuple(cells), TABLE, (1,))


def steps(lines: Sequence[StepLine], *, beside: bool) -> Cells:
    """Steps with their cautions beside them, or under them where there is little room."""
    cells: list[Cell] = []
    row = 0
    for line in lines:
        if line.title:
            cells.append(Cell(row, 0, line.title, "new", span=3))
            row += 1
        if not line.number:
            cells.append(Cell(row, 0, line.text, "now", span=3))
            row += 1
            continue
        cells += [Cell(row, 0, line.number), Cell(row, 1, line.text)]
        if line.cautions:
            row += 0 if beside else 1
            cells.append(Cell(row, 2 if beside else 1, line.cautions, "caution"))
        row += 1
    return Cells("steps", tuple(cells), STEPS, (0, 3, 2 if beside else 0))
