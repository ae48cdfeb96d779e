"""Tables, titles and steps of a report as labels in rows and columns."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.gui.widgets.cell_grid import Cell, Cells, Room
from advisor.report.blocks import Table, WorkSteps
from advisor.wording.sentences import sentence

PAIRS = Room(indent=12, across=14, down=4)
TABLE = Room(indent=12, across=14, down=5)
STEPS = Room(indent=0, across=-1, down=10)


def pairs(name: str, lines: Iterable[tuple[str, str]]) -> Cells:
    """Titles with what is said of them beside them."""
    cells: list[Cell] = []
    for row, (title, said) in enumerate(lines):
        cells += [Cell(row, 0, title, "quiet"), Cell(row, 1, said)]
    return Cells(name, tuple(cells), PAIRS, (1, 3))


def table(name: str, shown: Table) -> Cells:
    """A table: words take the room left, figures what they need, remarks stand under the row."""
    columns = [column for column in shown.columns if not column.under]
    remarks = [x for x, column in enumerate(shown.columns) if column.under]
    cells = [Cell(0, x, one.title, "small", figure=one.right) for x, one in enumerate(columns)]
    row = 0
    for line in shown.rows:
        row += 1
        look = "new" if line.strong else ""
        texts = [text for x, text in enumerate(line.cells) if x not in remarks]
        cells += [
            Cell(row, x, text, look, figure=columns[x].right) for x, text in enumerate(texts)
        ]
        for text in (line.cells[x] for x in remarks if line.cells[x]):
            row += 1
            cells.append(Cell(row, 0, text, "small", span=len(columns)))
    stretch = tuple(0 if column.right else round(100 * column.weight) for column in columns)
    return Cells(f"{name}: {shown.columns[0].title}", tuple(cells), TABLE, stretch)


def steps(shown: WorkSteps, *, beside: bool) -> Cells:
    """Steps with their cautions beside them, or under them where there is little room."""
    cells = [Cell(0, 0, shown.title, "new", span=3)]
    row = 1
    for step in shown.steps:
        cells += [Cell(row, 0, f"{step.number}."), Cell(row, 1, step.text)]
        if step.cautions:
            row += 0 if beside else 1
            cautions = "\n".join(sentence(caution) for caution in step.cautions)
            cells.append(Cell(row, 2 if beside else 1, cautions, "caution"))
        row += 1
    return Cells(f"steps: {shown.title}", tuple(cells), STEPS, (0, 3, 2 if beside else 0))
