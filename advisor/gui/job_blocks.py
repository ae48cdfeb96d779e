"""Blocks of the Job stage: titles with figures, tables, steps with the cautions beside them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QWidget

from advisor.gui.pages import label
from advisor.report import words

TOP = Qt.AlignmentFlag.AlignTop
RIGHT = Qt.AlignmentFlag.AlignRight


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
    return words.sentence(text)


def pairs(lines: Iterable[tuple[str, str, str]], parent: QWidget) -> QWidget:
    """Titles with their figures beside them and a note under each that has one."""
    box = QWidget(parent)
    grid = QGridLayout(box)
    grid.setContentsMargins(12, 0, 0, 0)
    grid.setHorizontalSpacing(14)
    grid.setVerticalSpacing(4)
    row = 0
    for title, figure, note in lines:
        grid.addWidget(label(title, "quiet", box), row, 0, TOP)
        grid.addWidget(label(figure, "", box), row, 1, TOP)
        row += 1
        if note:
            grid.addWidget(label(words.sentence(note), "small", box), row, 0, 1, 2)
            row += 1
    grid.setColumnStretch(0, 1)
    grid.setColumnStretch(1, 1)
    return box


def table(
    heads: Sequence[str],
    rows: Sequence[Sequence[str]],
    parent: QWidget,
    strong: Sequence[int] = (),
) -> QWidget:
    """A table whose first column takes the room left; the others hold short figures.

    ``strong`` are the rows set in bold. A cell with a line break stays in its column.
    """
    box = QWidget(parent)
    grid = QGridLayout(box)
    grid.setContentsMargins(12, 0, 0, 0)
    grid.setHorizontalSpacing(14)
    grid.setVerticalSpacing(5)
    for column, text in enumerate(heads):
        grid.addWidget(_cell(text, "small", column, box), 0, column, TOP)
    for line, row in enumerate(rows, start=1):
        look = "new" if line - 1 in strong else ""
        for column, text in enumerate(row):
            grid.addWidget(_cell(text, look, column, box), line, column, TOP)
    grid.setColumnStretch(0, 1)
    return box


def _cell(text: str, look: str, column: int, parent: QWidget) -> QWidget:
    found = label(text, look, parent)
    if column:
        found.setWordWrap(False)
        found.setAlignment(RIGHT)
    return found


def steps(lines: Sequence[StepLine], parent: QWidget, *, beside: bool) -> QWidget:
    """Steps with their cautions beside them, or under them where there is little room."""
    box = QWidget(parent)
    grid = QGridLayout(box)
    grid.setContentsMargins(0, 0, 0, 0)
    grid.setVerticalSpacing(10)
    row = 0
    for line in lines:
        if line.title:
            grid.addWidget(label(line.title, "new", box), row, 0, 1, 3)
            row += 1
        if not line.number:
            grid.addWidget(label(line.text, "now", box), row, 0, 1, 3)
            row += 1
            continue
        grid.addWidget(label(line.number, "", box), row, 0, TOP)
        grid.addWidget(label(line.text, "", box), row, 1, TOP)
        if line.cautions:
            row += 0 if beside else 1
            grid.addWidget(label(line.cautions, "caution", box), row, 2 if beside else 1, TOP)
        row += 1
    grid.setColumnStretch(1, 3)
    grid.setColumnStretch(2, 2 if beside else 0)
    return box
