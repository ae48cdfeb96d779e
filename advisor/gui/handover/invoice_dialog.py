"""What goes on the page for the invoice and is in no case, and what any invoice may take over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QDate, QPoint
from PySide6.QtGui import QColor, QGuiApplication, QImage, QRegion
from PySide6.QtWidgets import (
    QDateEdit,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.drawing.pull_and_strength import PullAndStrength
from advisor.drawing.section_shapes import Layers
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.dialogs import fit
from advisor.gui.widgets.page import label
from advisor.gui.widgets.strength_view import StrengthView
from advisor.session.printed_papers import InvoiceFields


@dataclass(frozen=True)
class Proposed:
    """What is known already, and what can be copied."""

    vehicle: str
    sentences: str
    rows: Sequence[PullAndStrength]
    layers: Layers | None
    system: System
    customer: str = ""


class InvoiceDialog(QDialog):
    """Fields, and two plain sentences and the picture, to be copied into any invoice."""

    def __init__(self, proposed: Proposed, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Page for the invoice")
        fit(self, 680, 620)
        self.customer = QLineEdit(proposed.customer, self)
        self.vehicle = QLineEdit(proposed.vehicle, self)
        self.invoice = QLineEdit(self)
        self.day = QDateEdit(QDate.currentDate(), self)
        self.day.setDisplayFormat("yyyy-MM-dd")
        form = QFormLayout()
        for title, field in (
            ("Customer", self.customer), ("Vehicle and part", self.vehicle),
            ("Invoice number", self.invoice), ("Date", self.day),
        ):  # fmt: skip
            field.setAccessibleName(title)
            field.setMinimumHeight(theme.TARGET)
            form.addRow(title, field)
        self.said = label(proposed.sentences, "now", self)
        self.picture = StrengthView(self)
        self.picture.show_rows(list(proposed.rows), proposed.layers, proposed.system)
        self.copy = QPushButton("Copy the two sentences", self)
        self.copy.clicked.connect(self._copy)
        self.copy_picture = QPushButton("Copy the picture", self)
        self.copy_picture.clicked.connect(self._copy_picture)
        self.copy_picture.setVisible(bool(proposed.rows))
        self.write, cancel = QPushButton("Write the page...", self), QPushButton("Cancel", self)
        self.write.setObjectName("main")
        self.write.clicked.connect(self.accept)
        cancel.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.copy)
        row.addWidget(self.copy_picture)
        row.addStretch(1)
        row.addWidget(cancel)
        row.addWidget(self.write)
        for button in (self.copy, self.copy_picture, self.write, cancel):
            button.setMinimumHeight(theme.TARGET)
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        column.setContentsMargins(8, 4, 8, 4)
        column.addLayout(form)
        column.addWidget(self.said)
        column.addWidget(self.picture)
        column.addStretch(1)
        self.area = QScrollArea(self)  # a low screen holds the buttons, and not all of the picture
        self.area.setWidgetResizable(True)
        self.area.setWidget(inside)
        layout = QVBoxLayout(self)
        layout.addWidget(self.area, 1)
        layout.addLayout(row)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.said.text())

    def _copy_picture(self) -> None:
        """The drawing, twice as fine as on the screen and on white, whatever the theme is."""
        wanted = theme.NAME, theme.PERCENT, theme.GROWN
        theme.use()
        try:
            drawn = QImage(self.picture.size() * 2, QImage.Format.Format_RGB32)
            drawn.setDevicePixelRatio(2.0)
            drawn.fill(QColor(theme.PAPER))
            children = QWidget.RenderFlag.DrawChildren  # no ground of the window behind it
            self.picture.render(drawn, QPoint(), QRegion(), children)
        finally:
            theme.use(*wanted)
        QGuiApplication.clipboard().setImage(drawn)

    def fields(self) -> InvoiceFields:
        """What was filled in."""
        chosen = self.day.date()
        return InvoiceFields(
            self.customer.text().strip(), self.vehicle.text().strip(),
            self.invoice.text().strip(), date(chosen.year(), chosen.month(), chosen.day()),
        )  # fmt: skip


def ask_invoice(parent: QWidget, proposed: Proposed) -> InvoiceFields | None:
    """Ask for the fields; None where it was called off."""
    dialog = InvoiceDialog(proposed, parent)
    try:
        return dialog.fields() if dialog.exec() == QDialog.DialogCode.Accepted else None
    finally:
        dialog.deleteLater()
