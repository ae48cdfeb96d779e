"""What goes on the page for the invoice and is in no case: customer, number, date."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QDate
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QDateEdit,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.widgets.page import label
from advisor.session.printed_papers import InvoiceFields


class InvoiceDialog(QDialog):
    """Fields, and two plain sentences that can be copied into any invoice."""

    def __init__(self, vehicle: str, sentences: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Page for the invoice")
        self.resize(620, 380)
        self.customer, self.vehicle = QLineEdit(self), QLineEdit(vehicle, self)
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
        self.said = label(sentences, "now", self)
        self.copy = QPushButton("Copy these two sentences", self)
        self.copy.clicked.connect(self._copy)
        self.write, cancel = QPushButton("Write the page...", self), QPushButton("Cancel", self)
        self.write.setObjectName("main")
        self.write.clicked.connect(self.accept)
        cancel.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addWidget(self.copy)
        row.addStretch(1)
        row.addWidget(cancel)
        row.addWidget(self.write)
        for button in (self.copy, self.write, cancel):
            button.setMinimumHeight(theme.TARGET)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(self.said)
        layout.addStretch(1)
        layout.addLayout(row)

    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.said.text())

    def fields(self) -> InvoiceFields:
        """What was filled in."""
        chosen = self.day.date()
        return InvoiceFields(
            self.customer.text().strip(), self.vehicle.text().strip(),
            self.invoice.text().strip(), date(chosen.year(), chosen.month(), chosen.day()),
        )  # fmt: skip


def ask_invoice(parent: QWidget, vehicle: str, sentences: str) -> InvoiceFields | None:
    """Ask for the fields; None where it was called off."""
    dialog = InvoiceDialog(vehicle, sentences, parent)
    try:
        return dialog.fields() if dialog.exec() == QDialog.DialogCode.Accepted else None
    finally:
        dialog.deleteLater()
