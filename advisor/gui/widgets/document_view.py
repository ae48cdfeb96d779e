"""A report in the window: its sections as labels in a scrolled column."""

from __future__ import annotations

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QScrollArea, QSizePolicy, QVBoxLayout, QWidget

from advisor.gui.widgets.page import label, point
from advisor.gui.widgets.refilled_column import empty
from advisor.gui.widgets.report_cells import pairs, table
from advisor.report.blocks import Box, Document, Item, Items, Pairs, Section, Table, Text, Tone

_LOOKS = {
    Tone.GOOD: "now", Tone.BAD: "fault", Tone.WARN: "caution", Tone.SMALL: "small",
    Tone.PLAIN: "",
}  # fmt: skip


class DocumentView(QScrollArea):
    """Shows one document after another, from its top."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self)
        self.inside.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Ignored)
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(14, 10, 14, 10)
        self.column.setSpacing(6)
        self.setWidget(self.inside)

    def show_document(self, document: Document) -> None:
        """Show it in the place of the one before."""
        self.clear()
        for section in document.front:
            for widget in self._section(section):
                self.column.addWidget(widget)
                widget.show()
        foot = label(document.footer, "quiet", self.inside)
        self.column.addWidget(foot)
        foot.show()
        self.column.addStretch(1)
        self.verticalScrollBar().setValue(0)

    def clear(self) -> None:
        """Show nothing."""
        empty(self.column)

    def _section(self, section: Section) -> Iterator[QWidget]:
        if section.title:
            yield label(section.title, "section", self.inside)
        for block in section.blocks:
            if isinstance(block, Box):
                yield label(f"{block.label}. {block.text}", _LOOKS[block.tone], self.inside)
            elif isinstance(block, Text):
                yield label(block.text, _LOOKS[block.tone], self.inside)
            elif isinstance(block, Pairs):
                yield pairs(section.title, block.rows).make(self.inside)
            elif isinstance(block, Table):
                yield table(section.title, block).make(self.inside)
            elif isinstance(block, Items):
                for item in block.items:
                    yield from self._item(item)

    def _item(self, item: Item) -> Iterator[QWidget]:
        yield point("•", item.text, self.inside)
        for note in item.notes:
            yield label(f"     {note}", "small", self.inside)
