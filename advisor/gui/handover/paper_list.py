"""All papers of the case in one place: to open, to print, to save."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from enum import StrEnum

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.widgets.dialogs import fit
from advisor.gui.widgets.page import label
from advisor.session.printed_papers import PAPERS, Paper


class Way(StrEnum):
    """What to do with a paper."""

    OPEN = "Open"
    PRINT = "Print..."
    SAVE = "Save as..."


class PaperList(QDialog):
    """A row for each paper; one that there is not says why."""

    def __init__(
        self, refused: Mapping[Paper, str], do: Callable[[Paper, Way, bool], None],
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        """``do`` is called with the paper, the way and whether the annex is wanted."""
        super().__init__(parent)
        self.setWindowTitle("Print, open or save a paper")
        fit(self, 760, 420)
        self._do = do
        self.buttons: dict[tuple[Paper, Way], QPushButton] = {}
        self.annex = QCheckBox("With the full job sheet behind the quote", self)
        self.annex.setMinimumHeight(theme.TARGET)
        grid = QGridLayout()
        grid.setVerticalSpacing(14)
        grid.setColumnStretch(0, 1)
        for row, (paper, (title, purpose)) in enumerate(PAPERS.items()):
            self._row(grid, 2 * row, paper, title, refused.get(paper, "") or f"{purpose}.",
                      bool(refused.get(paper)))  # fmt: skip
        close = QPushButton("Close", self)
        close.setMinimumHeight(theme.TARGET)
        close.clicked.connect(self.reject)
        foot = QHBoxLayout()
        foot.addWidget(self.annex)
        foot.addStretch(1)
        foot.addWidget(close)
        layout = QVBoxLayout(self)
        layout.addLayout(grid)
        layout.addStretch(1)
        layout.addLayout(foot)

    def _row(
        self, grid: QGridLayout, row: int, paper: Paper, title: str, said: str, off: bool
    ) -> None:
        words = QWidget(self)
        column = QVBoxLayout(words)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(label(title, "new", words))
        column.addWidget(label(said, "small", words))
        grid.addWidget(words, row, 0, Qt.AlignmentFlag.AlignTop)
        for place, way in enumerate(Way, 1):
            button = QPushButton(way.value, self)
            button.setMinimumHeight(theme.TARGET)
            button.setAccessibleName(f"{title}: {way.value.rstrip('.').lower()}")
            button.setEnabled(not off)
            button.clicked.connect(
                lambda _=False, p=paper, w=way: self._do(p, w, self.annex.isChecked())
            )
            grid.addWidget(button, row, place, Qt.AlignmentFlag.AlignTop)
            self.buttons[paper, way] = button
