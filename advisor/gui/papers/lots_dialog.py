"""Materials on hand over the window: the lots, what is to be heeded, the jobs that used one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHBoxLayout,
    QHeaderView,
    QPushButton,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.casebook_asker import Asker
from advisor.gui.widgets.page import label
from advisor.gui.widgets.record_form import RecordForm
from advisor.gui.widgets.refilled_column import empty
from advisor.gui.widgets.report_cells import pairs
from advisor.session import lots_on_hand
from advisor.session.case_session import Session
from advisor.session.lots_on_hand import HEADINGS, LotLine

if TYPE_CHECKING:
    from advisor.papers.materials.on_hand import Use

NOTHING = (
    "No lots are kept yet. Enter one, or take in a file of lots, YAML or CSV, with its scans and "
    "burn records; Help says what stands in one."
)
FOOT = (
    "That a paper is listed says that the shop has it, not that it fits a part. Nothing here is an "
    "approval."
)


class LotsDialog(QDialog):
    """The table above, the chosen lot with its jobs below. The casebook is never waited for."""

    def __init__(self, session: Session, folder: Path, parent: QWidget) -> None:
        super().__init__(parent)
        assert session.keeping is not None
        self.setWindowTitle("Materials on hand")
        self._session, self._folder = session, folder
        self.asker = Asker(session.keeping, self)
        self.asker.failed.connect(self._failed)
        self.lines: list[LotLine] = []
        self._chosen = ""
        self.state = label("", "", self)
        self.table = QTableWidget(0, len(HEADINGS), self)
        self.table.setAccessibleName("Lots")
        self.table.setHorizontalHeaderLabels(list(HEADINGS))
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.verticalHeader().hide()
        self.table.setTabKeyNavigation(False)
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(len(HEADINGS) - 1, QHeaderView.ResizeMode.Stretch)
        self.table.itemSelectionChanged.connect(self._selected)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(12, 8, 12, 8)
        self.area.setWidget(self.inside)
        self.from_file = self._button("From a file...", self._from_file)
        self.new = self._button("New lot...", lambda: self._form(None))
        self.edit = self._button("Change...", lambda: self._form(self.line))
        self.used = self._button("Used in this case...", self._use)
        self.withdraw = self._button("Withdraw...", self._withdraw)
        self.lift = self._button("Lift the withdrawal", self._lift)
        close = self._button("Close", self.accept)
        row = QHBoxLayout()
        for button in (self.new, self.from_file, self.edit, self.used, self.withdraw, self.lift):
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(close)
        whole = QVBoxLayout(self)
        whole.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(self.state)
        whole.addWidget(self.table, 3)
        whole.addWidget(self.area, 2)
        whole.addWidget(label(FOOT, "quiet", self))
        whole.addLayout(row)
        self.resize(parent.size() * 0.96)
        self._show([])
        self.state.setText("Looking into the casebook...")
        self.reload()

    def _button(self, text: str, action: Callable[[], object]) -> QPushButton:
        button = QPushButton(text, self)
        button.setAutoDefault(False)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(lambda: action())
        return button

    # -- drawing ---------------------------------------------------------------------------

    def reload(self, said: str = "") -> None:
        """Ask for all lots again."""
        self.asker.ask("lots", lots_on_hand.lines_of, partial(self._show, said=said))

    def _show(self, lines: Sequence[LotLine], said: str = "") -> None:
        self.lines = list(lines)
        self.table.blockSignals(True)
        self.table.setRowCount(len(lines))
        chosen = -1
        for row, line in enumerate(lines):
            for column, text in enumerate(line.cells):
                item = QTableWidgetItem(f"! {text}" if text and column == 5 else text)
                item.setToolTip(text)
                self.table.setItem(row, column, item)
            if line.kept.lot.lot == self._chosen:
                chosen = row
        self.table.blockSignals(False)
        heeded = sum(line.warned is not None for line in lines)
        count = "1 lot" if len(lines) == 1 else f"{len(lines)} lots"
        told = f"{count}, {heeded} to be heeded." if lines else NOTHING
        self.state.setText(f"{said} {told}".strip())
        if chosen >= 0:
            self.table.selectRow(chosen)
        self._selected()

    @property
    def line(self) -> LotLine | None:
        """The chosen lot."""
        row = self.table.currentRow() if self.table.selectedItems() else -1
        return self.lines[row] if 0 <= row < len(self.lines) else None

    def _selected(self) -> None:
        line = self.line
        withdrawn = line is not None and line.kept.lot.withdrawn is not None
        for button in (self.edit, self.used, self.withdraw, self.lift):
            button.setEnabled(line is not None)
        self.withdraw.setVisible(not withdrawn)
        self.lift.setVisible(withdrawn)
        empty(self.column)
        if line is None:
            return
        lot = self._chosen = line.kept.lot.lot
        if line.warned is not None:
            self._add(label(f"{lot}: {line.warned.text}.", "caution", self.inside))
        count = "1 job" if len(line.jobs) == 1 else f"{len(line.jobs)} jobs"
        self._add(label(f"Used in {count}", "section", self.inside))
        jobs = [(_day(each.at), _job(each)) for each in line.jobs]
        self._add(pairs("jobs", jobs).make(self.inside))
        self._add(label("Its papers", "section", self.inside))
        self._add(pairs("lot", lots_on_hand.told_of(line.kept.lot)).make(self.inside))
        self.column.addStretch(1)

    def _add(self, widget: QWidget) -> None:
        self.column.addWidget(widget)
        widget.show()

    # -- changing --------------------------------------------------------------------------

    def _from_file(self) -> None:
        paths = dialogs.ask_files(self)
        if paths:
            work = partial(lots_on_hand.take_in_file, path=Path(paths[0]))
            self.asker.ask("change", work, lambda said: self.reload(f"Taken in: {said}."))

    def _form(self, line: LotLine | None) -> None:
        """The form of one lot; what is changed becomes a version of it."""
        lot = line.kept.lot if line is not None else None
        fields = lots_on_hand.lot_fields()
        if lot is not None:
            fields = fields[1:]  # the name stays: jobs name it
        named = {} if lot is None else {"lot": lot.lot}

        def put(values: dict[str, object]) -> None:
            read = lots_on_hand.read_form(lot, {**values, **named})
            name = read.lots[0].lot
            if lot is None and any(one.kept.lot.lot == name for one in self.lines):
                raise BadInput(read.fault(0, ("lot",), "a lot of this name is kept already", name))
            self._chosen = name
            work = partial(lots_on_hand.keep_lot, read=read)
            self.asker.ask("change", work, lambda became: self.reload(f"{name}: {became}."))

        intro = "As it stands on the label and its papers. What is not known stays empty."
        title = "New lot" if lot is None else f"Lot {lot.lot}"
        form = RecordForm(title, intro, fields, lots_on_hand.lot_values(lot), put, {}, self)
        form.exec()
        form.deleteLater()

    def _use(self) -> None:
        line, keeping = self.line, self._session.keeping
        if line is None or keeping is None:
            return
        lot, case = line.kept.lot.lot, self._session.case
        job = case.title or case.name
        amount = dialogs.ask_name(
            self, "Used in this case", f"How much of {lot} went into {job}?"
        )  # fmt: skip
        if amount:
            key = keeping.keeper.key
            work = partial(lots_on_hand.note_use, lot=lot, key=key, job=job, amount=amount)
            self.asker.ask("change", work, partial(self._noted, lot))

    def _noted(self, lot: str, warned: str) -> None:
        heed = f" It is {warned}." if warned else ""
        self.reload(f"{lot} is noted as used in this case.{heed}")

    def _withdraw(self) -> None:
        line = self.line
        if line is None:
            return
        lot = line.kept.lot.lot
        why = dialogs.ask_name(self, "Withdraw a lot", f"Why is {lot} withdrawn, and by whom?")
        if why:
            work = partial(lots_on_hand.withdraw, lot=lot, why=why)
            self.asker.ask("change", work, partial(self._withdrawn, lot))

    def _withdrawn(self, lot: str, used: Sequence[Use]) -> None:
        count = "1 job" if len(used) == 1 else f"{len(used)} jobs"
        self.reload(f"{lot} is withdrawn. It was used in {count}, listed below.")

    def _lift(self) -> None:
        line = self.line
        if line is not None:
            lot = line.kept.lot.lot
            work = partial(lots_on_hand.reinstate, lot=lot)
            self.asker.ask("change", work, lambda _: self.reload(f"{lot} is not withdrawn."))

    def _failed(self, topic: str, fault: str) -> None:
        self.state.setText("The casebook cannot be used." if topic == "lots" else "")
        dialogs.show_faults(self, "It was not done.", fault.splitlines())
        if topic == "change":
            self.reload()


def _day(at: int) -> str:
    return datetime.fromtimestamp(at / 1000).strftime("%Y-%m-%d")


def _job(each: Use) -> str:
    told: list[Any] = [each.called or each.job, each.amount]
    told += ["in the bin" if each.binned else ""]
    told += ["" if each.called else "not in the casebook under this key"]
    return ", ".join(filter(None, told))
