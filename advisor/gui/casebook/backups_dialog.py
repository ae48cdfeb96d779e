"""Backups of the casebook: made, and put back with one press."""

from __future__ import annotations

from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QGridLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.page import label
from advisor.session.casebook_keeping import CaseKeeping

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

INTRO = (
    "One is made every week by itself, and five are kept. What is restored takes the place of "
    "the casebook; the one of today is kept beside it and can be put back in the same way. "
    "Photos are not touched."
)


def called(path: Path) -> str:
    """A backup by its moment and size."""
    aside = path.stem.startswith("casebook-before")
    made = datetime.strptime(path.stem[-15:], "%Y%m%d-%H%M%S")
    what = "put aside by restoring" if aside else "backup"
    return f"{made:%d %b %Y, %H:%M:%S}   {what}, {path.stat().st_size / 1e6:,.1f} MB"


class BackupsDialog(QDialog):
    """``restored`` is the backup that was put back, if one was."""

    def __init__(self, keeping: CaseKeeping, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Backups")
        self.restored: Path | None = None
        self._keeping = keeping
        self.fault = label("", "fault", self)
        self.fault.hide()
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.make, self.shut = QPushButton("Make a backup now", self), QPushButton("Close", self)
        self.make.clicked.connect(self._make)
        self.shut.clicked.connect(self.accept)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(label(INTRO, "", self))
        layout.addWidget(self.fault)
        layout.addWidget(self.area, 1)
        for button in (self.make, self.shut):
            button.setMinimumHeight(theme.TARGET)
            button.setAutoDefault(False)
            layout.addWidget(button)
        self.buttons: dict[Path, QPushButton] = {}
        self._fill()
        self.resize(min(parent.width() - 40, 720), min(parent.height() - 40, 520))

    def _fill(self) -> None:
        from advisor.casebook.archives.backups import restorable

        folder = self._keeping.folder
        inside = QWidget(self.area)
        grid = QGridLayout(inside)
        grid.setColumnStretch(0, 1)
        self.buttons = {}
        for row, path in enumerate(restorable(folder) if folder is not None else []):
            button = QPushButton("Restore this one", inside)
            button.setMinimumHeight(theme.TARGET)
            button.setAutoDefault(False)
            button.setAccessibleName(f"Restore: {called(path)}")
            button.clicked.connect(partial(self._restore, path))
            grid.addWidget(label(called(path), "", inside), row, 0)
            grid.addWidget(button, row, 1)
            self.buttons[path] = button
        if not self.buttons:
            server = "A server is backed up by whoever runs it, with pg_dump."
            said = server if folder is None else "None yet."
            grid.addWidget(label(said, "quiet", inside), 0, 0)
        grid.setRowStretch(grid.rowCount(), 1)
        self.area.setWidget(inside)
        self.make.setEnabled(folder is not None)

    def _make(self) -> None:
        self._told(dialogs.waited_for(self, self._keeping.ask(_made)))
        self._fill()

    def _restore(self, path: Path, *_: object) -> None:
        faults = dialogs.waited_for(self, self._keeping.restore(path))
        self._told(faults)
        if not faults:
            self.restored = path
            self.accept()

    def _told(self, faults: list[str]) -> None:
        self.fault.setText("\n".join(faults))
        self.fault.setVisible(bool(faults))


def _made(book: Casebook) -> Path:
    from advisor.casebook.archives.backups import back_up

    return back_up(Path(book.place), datetime.now())


def ask_backups(keeping: CaseKeeping, parent: QWidget) -> Path | None:
    """Show the backups; the one that was restored, if any."""
    dialog = BackupsDialog(keeping, parent)
    dialog.exec()
    dialog.deleteLater()
    return dialog.restored
