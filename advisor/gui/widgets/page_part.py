"""A part of a page that is filled later."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from advisor.gui.widgets.page import label
from advisor.gui.widgets.refilled_column import empty


class PagePart(QWidget):
    """A part of the page that is filled later."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.layout_ = QVBoxLayout(self)
        self.layout_.setContentsMargins(0, 0, 0, 0)
        self.layout_.setSpacing(6)

    def clear(self, keep: QWidget | None = None) -> None:
        """Take everything out but ``keep``, which is hidden."""
        empty(self.layout_, (keep,) if keep is not None else ())
        if keep is not None:
            keep.hide()

    def say(self, text: str, look: str = "") -> QLabel:
        """Add a line of text; empty text adds nothing to see."""
        found = label(text, look, self)
        found.setVisible(bool(text))
        self.layout_.addWidget(found)
        return found

    def put(self, widget: QWidget) -> None:
        """Add a widget."""
        self.layout_.addWidget(widget)
        widget.show()
