"""The mark on a plastic part, typed as it stands; what it says is shown at once."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QWidget

from advisor.facts.declaration import FactDecl
from advisor.gui.widgets.answers.typed_answers import TextAnswer

EXAMPLE = "for example >PP+EPDM-TD20<"


class PlasticMarkAnswer(TextAnswer):
    """One line for a mark. ``read`` gives what a text is understood as, in words.

    What is not understood is an answer all the same: it is kept as it was typed, and the
    plastic stays open.
    """

    def __init__(
        self, fact: FactDecl, read: Callable[[str], str], parent: QWidget | None = None
    ) -> None:
        super().__init__(fact, parent)
        self._read = read
        self.line.setPlaceholderText(EXAMPLE)
        self.understood = QLabel(self)
        self.understood.setObjectName("quiet")
        self.understood.setTextFormat(Qt.TextFormat.PlainText)  # it says again what was typed
        self.understood.setWordWrap(True)
        self.understood.hide()
        layout = self.layout()
        assert layout is not None
        layout.addWidget(self.understood)
        self.line.textChanged.connect(self._understand)

    def _understand(self, text: str) -> None:
        """Say what the text is read as; nothing about an empty line."""
        words = self._read(text) if text.strip() else ""
        self.understood.setText(words)
        self.understood.setVisible(bool(words))
        self.line.setAccessibleDescription(words)
