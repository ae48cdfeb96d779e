"""Burn-test records over the window: the list, forms to fill one in, and its verdict."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.papers.specimens_form import SpecimensForm
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.document_view import DocumentView
from advisor.gui.widgets.page import label
from advisor.gui.widgets.record_form import RecordForm
from advisor.papers.burn.page import build_page
from advisor.session.burn_records import KeptBurnRecord, listed
from advisor.session.form_fields import FormField

NONE = (
    "No record is chosen. A new one is named first; then the rule set as the station gave it, the "
    "item and the test, the air, and what was read on each specimen."
)


class BurnDialog(QDialog):
    """Records at the left, the verdict of the chosen one at the right. Kept as it is entered."""

    def __init__(self, folder: Path, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Burn-test records")
        self._folder = folder
        self.kept: KeptBurnRecord | None = None
        self.records = QListWidget(self)
        self.records.setAccessibleName("Burn-test records")
        self.records.setWordWrap(True)
        self.records.currentItemChanged.connect(lambda now, _: self._choose(now))
        self.new = self._button("New record...", self._new, self)
        self.new.setObjectName("main")
        self.take = self._button("From a file...", self._from_file, self)
        left = QVBoxLayout()
        left.addWidget(self.records, 1)
        left.addWidget(self.new)
        left.addWidget(self.take)
        self.forms: dict[str, QPushButton] = {}
        grid = QGridLayout()
        for at, (text, action) in enumerate((
            ("Rule set and paper...", lambda: self._form("Rule set and paper")),
            ("Item and test...", lambda: self._form("Item and test")),
            ("Air before the test...", lambda: self._form("Air before the test")),
            ("Material...", lambda: self._form("Material")),
            ("Specimens...", self._specimens),
            ("Write the page...", self._write),
        )):  # fmt: skip
            self.forms[text] = self._button(text, action, self)
            grid.addWidget(self.forms[text], at // 3, at % 3)
        self.hint = label("", "", self)
        self.view = DocumentView(self)
        right = QVBoxLayout()
        right.addLayout(grid)
        right.addWidget(self.hint)
        right.addWidget(self.view, 1)
        close = self._button("Close", self.accept, self)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(close)
        both = QHBoxLayout()
        both.addLayout(left, 2)
        both.addLayout(right, 5)
        whole = QVBoxLayout(self)
        whole.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        whole.addLayout(both, 1)
        whole.addLayout(row)
        self.resize(parent.size() * 0.96)
        self.redraw()

    def _button(self, text: str, action: Callable[[], object], parent: QWidget) -> QPushButton:
        button = QPushButton(text, parent)
        button.setAutoDefault(False)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda: action())
        return button

    # -- drawing ---------------------------------------------------------------------------

    def redraw(self) -> None:
        """The list, and the verdict of the record that is chosen."""
        self.records.blockSignals(True)
        self.records.clear()
        for one in listed():
            item = QListWidgetItem(f"{one.name}\n{one.said}")
            item.setData(Qt.ItemDataRole.UserRole, str(one.path))
            self.records.addItem(item)
            if self.kept is not None and one.path == self.kept.path:
                self.records.setCurrentItem(item)
        self.records.blockSignals(False)
        self._show()

    def _show(self) -> None:
        there = self.kept is not None
        for button in self.forms.values():
            button.setEnabled(there)
        self.hint.setText("" if there else NONE)
        self.hint.setVisible(not there)
        if self.kept is None:
            self.view.clear()
            return
        self.forms["Specimens..."].setEnabled(bool(self.kept.readings()))
        self.view.show_document(build_page(self.kept.judged))

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is None:
            return
        path = Path(item.data(Qt.ItemDataRole.UserRole))
        try:
            self.kept = KeptBurnRecord.open(path)
        except BadInput as error:
            self.kept = None
            dialogs.show_faults(self, "The record cannot be read.", _texts(error))
        self._show()

    # -- changing --------------------------------------------------------------------------

    def _new(self) -> None:
        name = dialogs.ask_name(self, "New burn-test record", "Name of the record")
        if name and self._take(partial(KeptBurnRecord.begin, name), "There is no new record."):
            self._form("Rule set and paper")

    def _from_file(self) -> None:
        path = dialogs.ask_open(self, self._folder)
        if path is not None:
            self._take(partial(KeptBurnRecord.taken_from, path), "The file was not taken in.")

    def _take(self, make: Callable[[], KeptBurnRecord], heading: str) -> bool:
        try:
            self.kept = make()
        except BadInput as error:
            dialogs.show_faults(self, heading, _texts(error))
            return False
        self.redraw()
        return True

    def _form(self, title: str) -> None:
        kept = self.kept
        if kept is None:
            return
        fields: Sequence[FormField] = {
            "Rule set and paper": kept.basis_fields, "Item and test": kept.item_fields,
            "Air before the test": kept.air_fields, "Material": kept.material_fields,
        }[title]()  # fmt: skip
        intro = (
            "As it stands on the certificate or as the station gave it. What is not known stays "
            "empty."
        )
        form = RecordForm(title, intro, fields, kept.values(fields), kept.put, {}, self)
        form.exec()
        form.deleteLater()
        self.redraw()

    def _specimens(self) -> None:
        if self.kept is None:
            return
        form = SpecimensForm(self.kept, self)
        form.exec()
        form.deleteLater()
        self.redraw()

    def _write(self) -> None:
        from advisor.report.formats.any_form import write_document

        if self.kept is None:
            return
        path = dialogs.ask_export(self, self._folder / f"{self.kept.path.stem}.pdf")
        if path is None:
            return
        try:
            write_document(build_page(self.kept.judged), path)
        except (OSError, ValueError) as error:
            why = dialogs.not_written(path, error)
            dialogs.show_faults(self, "The page was not written.", [why])
            return
        dialogs.open_written(self, path)


def _texts(error: BadInput) -> list[str]:
    return [fault.text for fault in error.faults]
