"""Help: how the window works, and the words of the trade."""

from __future__ import annotations

from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QTextBrowser, QVBoxLayout, QWidget

from advisor import paths
from advisor.gui import theme
from advisor.gui.widgets.dialogs import fit

PAGES = (("The window", "window.md"), ("Glossary", "glossary.md"), ("How it decides",
         "how-it-decides.md"))  # fmt: skip


class HelpDialog(QDialog):
    """Pages of the documentation that ship with the program; they need no network."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Help")
        fit(self, 760, 640)
        self.text = QTextBrowser(self)
        self.text.setAccessibleName("Help")
        self.text.setOpenLinks(False)
        row = QHBoxLayout()
        self.buttons: list[QPushButton] = []
        for title, file in PAGES:
            button = QPushButton(title, self)
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(lambda _=False, name=file: self.show_page(name))
            row.addWidget(button)
            self.buttons.append(button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.addLayout(row)
        layout.addWidget(self.text, 1)
        self.show_page(PAGES[0][1])

    def show_page(self, name: str) -> None:
        """A page by the name of its file; pictures are left out."""
        text = (paths.docs_folder() / name).read_text(encoding="utf-8")
        lines = [line for line in text.splitlines() if not line.startswith("![")]
        self.text.setMarkdown("\n".join(lines))


def show_help(parent: QWidget) -> None:
    """Show the pages until they are closed."""
    dialog = HelpDialog(parent)
    dialog.exec()
    dialog.deleteLater()
