"""The table of specimens of a burn test: a row each, a column for each reading of the test."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.session.burn_records import (
    DIRECTIONS,
    KeptBurnRecord,
    specimen_faults,
    with_unit_above,
)

INTRO = (
    "With the unit, such as 4.2 in or 2.5 s; below one with a unit the number alone is enough. "
    "What was not read stays empty: a blank is never 0. No drips: write no drips."
)
_ALONG = {"any": "no direction", "warp": "warp", "fill": "fill"}
NOTE = "note"


class Cells(QTableWidget):
    """Tab goes from cell to cell, and out of the table behind the last one."""

    def focusNextPrevChild(self, next_: bool) -> bool:
        """As Qt does it, but that the ends lead on."""
        here = self.currentRow(), self.currentColumn()
        end = (self.rowCount() - 1, self.columnCount() - 1) if next_ else (0, 0)
        self.setTabKeyNavigation(here != end)
        return super().focusNextPrevChild(next_)


class SpecimensForm(FormDialog):
    """Saves into a kept record; the table is as wide as the readings need."""

    def __init__(self, kept: KeptBurnRecord, parent: QWidget) -> None:
        super().__init__("Specimens", INTRO, parent)
        self.kept = kept
        self.readings = kept.readings()
        keys = ["along", *(one.key for one in self.readings), NOTE]
        self.table = Cells(0, len(keys), self.inside)
        self.table.setHorizontalHeaderLabels(
            ["Along", *(one.title for one in self.readings), "Note"]
        )
        self.table.setAccessibleName("Specimens")
        self.table.verticalHeader().setDefaultSectionSize(theme.TARGET + 6)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.grid.addWidget(self.table, 0, 0, 1, 3)
        row = QWidget(self.inside)
        buttons = QHBoxLayout(row)
        buttons.setContentsMargins(0, 0, 0, 0)
        self.more = self._button("Add a specimen", self.add_row, row)
        self.less = self._button("Take away the last", self.drop_row, row)
        buttons.addWidget(self.more)
        buttons.addWidget(self.less)
        buttons.addStretch(1)
        self.grid.addWidget(row, 1, 0, 1, 3)
        for direction, read in kept.rows():
            self._add(direction, read)
        if not kept.rows():
            for _ in range(kept.least_specimens()):
                self.add_row()
        self._fitted = True  # the table takes all the room there is
        self.resize(parent.width() - 40, parent.height() - 40)
        self._before = self.rows()
        self.table.itemChanged.connect(self._carry_unit)

    def _button(self, text: str, action: object, parent: QWidget) -> QPushButton:
        button = QPushButton(text, parent)
        button.setAutoDefault(False)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(action)
        return button

    def add_row(self) -> None:
        """One more specimen, along the direction of the last."""
        last = self.table.rowCount() - 1
        along = self._along(last) if last >= 0 else ("warp" if self.kept.record.directional
                                                     else DIRECTIONS[0])  # fmt: skip
        self._add(along, {})

    def drop_row(self) -> None:
        """The last specimen goes."""
        self.table.removeRow(self.table.rowCount() - 1)

    def _add(self, direction: str, read: dict[str, str]) -> None:
        row = self.table.rowCount()
        self.table.insertRow(row)
        self._choice(row, 0, [(key, _ALONG[key]) for key in DIRECTIONS], direction)
        for column, reading in enumerate(self.readings, 1):
            text = read.get(reading.key, "")
            if reading.options:
                self._choice(row, column, [("", ""), *reading.options], text)
            else:
                self.table.setItem(row, column, QTableWidgetItem(text))
        self.table.setItem(row, len(self.readings) + 1, QTableWidgetItem(read.get(NOTE, "")))

    def _choice(
        self, row: int, column: int, options: Sequence[tuple[str, str]], chosen: str
    ) -> None:
        box = QComboBox(self.table)
        for key, words in options:
            box.addItem(words, key)
        box.setCurrentIndex(max(box.findData(chosen), 0))
        heading = self.table.horizontalHeaderItem(column)
        box.setAccessibleName(f"{heading.text() if heading else ''}, specimen {row + 1}")
        self.table.setCellWidget(row, column, box)

    def _along(self, row: int) -> str:
        box = self.table.cellWidget(row, 0)
        assert isinstance(box, QComboBox)
        return str(box.currentData())

    def _text(self, row: int, column: int) -> str:
        box = self.table.cellWidget(row, column)
        if isinstance(box, QComboBox):
            return str(box.currentData())
        item = self.table.item(row, column)
        return item.text().strip() if item is not None else ""

    def _carry_unit(self, item: QTableWidgetItem) -> None:
        """A bare number takes the unit that stands above it, and shows it."""
        column = item.column()
        if not 0 < column <= len(self.readings):
            return
        above = [self._text(row, column) for row in range(item.row() - 1, -1, -1)]
        text = with_unit_above(item.text(), above, self.readings[column - 1].key)
        if text != item.text():
            item.setText(text)

    def rows(self) -> list[tuple[str, dict[str, str]]]:
        """What stands in the table; a row without any reading counts too, as blank."""
        keys = [*(one.key for one in self.readings), NOTE]
        return [
            (self._along(row), {key: self._text(row, at) for at, key in enumerate(keys, 1)})
            for row in range(self.table.rowCount())
        ]

    def changed(self) -> bool:
        """Whether anything differs from what is kept."""
        return self.rows() != self._before

    def take(self) -> Sequence[str]:
        """Keep the specimens."""
        try:
            self.kept.put_rows(self.rows())
        except BadInput as error:
            return specimen_faults(error)
        return ()
