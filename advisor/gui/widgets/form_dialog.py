"""A plain dialog with fields in a scrolled column, faults on top, Save and Cancel."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QCloseEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.widgets.fitted_words import breakable
from advisor.gui.widgets.page import label

LEAST_HEIGHT = 340
"""Height in px that leaves room for what may be wrong with a field."""
FIELDS = 160
"""Height in px that the fields keep where something is wrong."""
MOST_FAULTS = 4
DROP = "What you changed is not saved. Press Cancel once more to drop it."


class FormDialog(QDialog):
    """Shows fields; what is written counts only once Save has taken it.

    ``take`` returns what is wrong, nothing where it was saved; ``changed`` tells whether
    closing would lose something. Cancel and Esc ask once where it would.
    """

    def __init__(self, title: str, intro: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self._warned = self._fitted = False
        self.faults = label("", "fault", self)
        self.faults.hide()
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        self.grid = QGridLayout(self.inside)
        self.grid.setContentsMargins(14, 10, 14, 10)
        self.grid.setHorizontalSpacing(12)
        self.grid.setVerticalSpacing(8)
        self.area.setWidget(self.inside)
        self.save = QPushButton("Save", self)
        self.save.setObjectName("main")
        self.save.clicked.connect(self._save)
        self.cancel = QPushButton("Cancel", self)
        self.cancel.clicked.connect(self.reject)
        for button in (self.save, self.cancel):
            # Enter in a field must not save what is half written.
            button.setAutoDefault(False)
            button.setMinimumHeight(theme.TARGET)
            button.setMinimumWidth(120)
        whole = QVBoxLayout(self)
        # The column scrolls, so the fields do not dictate how small the window may be.
        whole.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(label(intro, "", self))
        whole.addWidget(self.faults)
        whole.addWidget(self.area, 1)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.cancel)
        row.addWidget(self.save)
        whole.addLayout(row)
        width, height = (parent.width(), parent.height()) if parent is not None else (900, 640)
        self.resize(min(width - 40, 860), min(height - 40, 760))

    # -- what a dialog says itself -----------------------------------------------------

    def take(self) -> Sequence[str]:
        """Take what is written; returns what is wrong with it."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    def changed(self) -> bool:
        """Whether anything differs from what is saved."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    # -- fields --------------------------------------------------------------------------

    def add(self, title: str, field: QWidget, after: str = "") -> QLabel:
        """A row: title, field, and a word after it; returns the label of the word."""
        row = self.grid.rowCount()
        field.setMinimumHeight(theme.TARGET - 4)
        field.setAccessibleName(title)
        middle = Qt.AlignmentFlag.AlignVCenter
        self.grid.addWidget(label(title, "", self.inside), row, 0, middle)
        self.grid.addWidget(field, row, 1, middle)
        word = label(after, "small", self.inside)
        self.grid.addWidget(word, row, 2, middle)
        for column, stretch in enumerate((5, 4, 3)):
            self.grid.setColumnStretch(column, stretch)
        return word

    def heading(self, text: str, under: str = "") -> None:
        """A heading over the fields that follow."""
        row = self.grid.rowCount()
        self.grid.addWidget(label(text, "section", self.inside), row, 0, 1, 3)
        if under:
            self.grid.addWidget(label(under, "small", self.inside), row + 1, 0, 1, 3)

    def showEvent(self, event: QShowEvent) -> None:
        """No higher than its fields need."""
        super().showEvent(event)
        whole = self.layout()
        if self._fitted or whole is None:
            return
        self._fitted = True
        whole.activate()
        view = self.area.viewport()
        spare = view.height() - self.grid.totalHeightForWidth(view.width())
        if spare > 0:
            self.resize(self.width(), max(self.height() - spare, LEAST_HEIGHT))

    # -- saving and leaving ----------------------------------------------------------------

    def show_faults(self, faults: Sequence[str]) -> None:
        """What is wrong, above the fields: as much as leaves room for these."""
        more = [f"And {len(faults) - MOST_FAULTS} more."] * (len(faults) > MOST_FAULTS)
        lines = ["Nothing is saved yet.", *faults[:MOST_FAULTS], *more]
        self.faults.setText(breakable("\n".join(lines)) if faults else "")
        had = self.area.height() + (self.faults.height() if self.faults.isVisible() else 0)
        self.faults.setVisible(bool(faults))
        lacks = self.faults.heightForWidth(self.area.width()) + FIELDS - had if faults else 0
        if lacks > 0 and self.isVisible():
            self.resize(self.width(), self.height() + lacks)
        self._warned = False

    def _save(self) -> None:
        faults = self.take()
        self.show_faults(faults)
        if not faults:
            self.accept()

    def reject(self) -> None:
        """Close without saving; ask once where that would lose something."""
        if self.changed() and not self._warned:
            self.show_faults([])
            self.faults.setText(DROP)
            self.faults.show()
            self._warned = True
            return
        super().reject()

    def closeEvent(self, event: QCloseEvent) -> None:
        """As Cancel."""
        if self.changed() and not self._warned:
            event.ignore()
            self.reject()
        else:
            super().closeEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter goes to the next field."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.focusNextChild()
            return
        super().keyPressEvent(event)
