"""The kept cases over the window; closes with the case that is to be opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtWidgets import QDialog, QPushButton, QVBoxLayout, QWidget

from advisor.gui.casebook.casebook_page import CasebookPage
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping

if TYPE_CHECKING:
    from advisor.casebook.cases.versions import StoredCase


class CasebookDialog(QDialog):
    """As large as the window, so that the table has room."""

    def __init__(self, keeping: CaseKeeping, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Kept cases")
        self.page = CasebookPage(keeping, session.pack, self, lambda: session.case)
        self.stored: StoredCase | None = None
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        layout.addWidget(self.page)
        for button in self.page.findChildren(QPushButton):
            button.setAutoDefault(False)  # Return in the search goes to the list
        self.page.chosen.connect(self._take)
        self.resize(parent.size() * 0.96)
        self.page.words.setFocus()

    def _take(self, stored: StoredCase) -> None:
        self.stored = stored
        self.accept()


def find_case(session: Session, parent: QWidget, due: bool = False) -> StoredCase | None:
    """Look for a kept case, or among jobs to be asked after; the one to go on with, or None."""
    if session.keeping is None:
        return None
    dialog = CasebookDialog(session.keeping, session, parent)
    dialog.page.due.setChecked(due)
    dialog.exec()
    stored = dialog.stored
    dialog.deleteLater()
    return stored
