"""Backups of the casebook: made, and put back with one press."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QGridLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from advisor.facts.case import Case
from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.page import label
from advisor.session.casebook_keeping import CaseKeeping
from advisor.wording.sentences import capital

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

INTRO = (
    "One is made every week by itself, and five are kept. What is restored takes the place of "
    "the casebook; the one of today is put aside and never deleted by itself: it can be put back "
    "in the same way, or the cases and answers that only it has can be added from it. Photos are "
    "not touched."
)
ADD = "Add what only it has"


def is_aside(path: Path) -> bool:
    """Whether it is no backup but was put aside by restoring one."""
    return path.stem.startswith("casebook-before")


def called(path: Path) -> str:
    """A backup by its moment and size."""
    made = datetime.strptime(path.stem[-15:], "%Y%m%d-%H%M%S")
    what = "put aside by restoring" if is_aside(path) else "backup"
    return f"{made:%d %b %Y, %H:%M:%S}   {what}, {path.stat().st_size / 1e6:,.1f} MB"


class BackupsDialog(QDialog):
    """``changed`` says whether other cases are in the casebook since it was opened."""

    def __init__(self, keeping: CaseKeeping, case: Callable[[], Case], parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Backups")
        self.changed = False
        self._keeping, self._case = keeping, case
        self.fault, self.said = label("", "fault", self), label("", "", self)
        self.fault.hide()
        self.said.hide()
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.make, self.shut = QPushButton("Make a backup now", self), QPushButton("Close", self)
        self.make.clicked.connect(self._make)
        self.shut.clicked.connect(self.accept)
        layout = QVBoxLayout(self)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(label(INTRO, "", self))
        layout.addWidget(self.fault)
        layout.addWidget(self.said)
        layout.addWidget(self.area, 1)
        for button in (self.make, self.shut):
            button.setMinimumHeight(theme.TARGET)
            button.setAutoDefault(False)
            layout.addWidget(button)
        self.buttons: dict[Path, QPushButton] = {}
        self.adding: dict[Path, QPushButton] = {}
        self._fill()
        self.resize(min(parent.width() - 40, 900), min(parent.height() - 40, 520))

    def _fill(self) -> None:
        from advisor.casebook.archives.backups import restorable

        folder = self._keeping.folder
        inside = QWidget(self.area)
        grid = QGridLayout(inside)
        grid.setColumnStretch(0, 1)
        self.buttons, self.adding = {}, {}
        for row, path in enumerate(restorable(folder) if folder is not None else []):
            grid.addWidget(label(called(path), "", inside), row, 0)
            self.buttons[path] = self._button("Restore this one", path, self._restore, inside)
            grid.addWidget(self.buttons[path], row, 2)
            if is_aside(path):
                self.adding[path] = self._button(ADD, path, self._add, inside)
                grid.addWidget(self.adding[path], row, 1)
        if not self.buttons:
            server = "A server is backed up by whoever runs it, with pg_dump."
            said = server if folder is None else "None yet."
            grid.addWidget(label(said, "quiet", inside), 0, 0)
        grid.setRowStretch(grid.rowCount(), 1)
        self.area.setWidget(inside)
        self.make.setEnabled(folder is not None)

    def _button(
        self, words: str, path: Path, act: Callable[[Path], None], parent: QWidget
    ) -> QPushButton:
        button = QPushButton(words, parent)
        button.setMinimumHeight(theme.TARGET)
        button.setAutoDefault(False)
        button.setAccessibleName(f"{words}: {called(path)}")
        button.clicked.connect(lambda: act(path))
        return button

    def _make(self) -> None:
        self._told(dialogs.waited_for(self, self._keeping.ask(_made)))
        self._fill()

    def _restore(self, path: Path) -> None:
        """Put it back, keep the case in the window anew, and say what was put aside."""
        restoring = self._keeping.restore(path)
        if self._told(dialogs.waited_for(self, restoring)):
            self.changed = True
            beside = self._keeping.after_restoring(self._case(), restoring.result())
            if self._told(dialogs.waited_for(self, beside)):
                found = beside.result()
                more = found.text if found is not None else ""
                self._say(f"Restored: {called(path)}.", more and (
                    f"{capital(more)}: press “{ADD}” beside it."))  # fmt: skip
            self._fill()

    def _add(self, path: Path) -> None:
        adding = self._keeping.take_over(path)
        if self._told(dialogs.waited_for(self, adding)):
            self.changed = True
            taken = adding.result()
            self._say(f"Added from {called(path)}: {taken.text}.",
                      *(f"Not added: {each}." for each in taken.left))  # fmt: skip

    def _told(self, faults: list[str]) -> bool:
        """Whether it went well."""
        self.fault.setText("\n".join(faults))
        self.fault.setVisible(bool(faults))
        self.said.hide()
        return not faults

    def _say(self, *lines: str) -> None:
        self.said.setText("\n".join(line for line in lines if line))
        self.said.show()


def _made(book: Casebook) -> Path:
    from advisor.casebook.archives.backups import back_up

    return back_up(Path(book.place), datetime.now())


def ask_backups(keeping: CaseKeeping, case: Callable[[], Case], parent: QWidget) -> bool:
    """Show the backups; whether other cases are in the casebook now.

    ``case`` gives the case in the window.
    """
    dialog = BackupsDialog(keeping, case, parent)
    dialog.exec()
    dialog.deleteLater()
    return dialog.changed
