"""The table of cases: pages are fetched as one scrolls, however many there are."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal

from advisor.casebook.finding.lines import CaseLine, Search
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.advice_service import Pack

#: Cases fetched at once.
PAGE = 100
HEADINGS = ("Begun", "Called", "Name", "Verdict", "Method", "Outcome")
OUTCOMES: Mapping[str | None, str] = {
    "held": "held", "back": "came back", "unknown": "not known", None: "",
}  # fmt: skip
Index = QModelIndex | QPersistentModelIndex


class CaseTable(QAbstractTableModel):
    """Cases that match a search, the newest first."""

    counted = Signal(int, int)
    """Cases shown so far, and how many there are; one more than is counted means more."""

    def __init__(self, asker: Asker, pack: Pack) -> None:
        super().__init__(asker)
        self._asker, self._pack = asker, pack
        self.search = Search()
        self.lines: list[CaseLine] = []
        self._more = False

    def look_for(self, search: Search) -> None:
        """Show what matches ``search``."""
        self.search = search
        self._asker.ask("page", partial(_first_page, search=search), self._show)

    def show_due(self) -> None:
        """Show the jobs of which it is time to hear, the longest overdue first."""
        self._asker.ask("page", _due, self._show)

    def _show(self, found: tuple[list[CaseLine], int]) -> None:
        lines, count = found
        self.beginResetModel()
        self.lines, self._more = lines, len(lines) == PAGE
        self.endResetModel()
        self.counted.emit(len(lines), count)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Cases fetched so far."""
        return 0 if parent.isValid() else len(self.lines)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """As many as there are headings."""
        return 0 if parent.isValid() else len(HEADINGS)

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        """Headings of the columns; rows have none."""
        shown = role == Qt.ItemDataRole.DisplayRole and orientation == Qt.Orientation.Horizontal
        return HEADINGS[section] if shown else None

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The words of a cell."""
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return None
        line = self.lines[index.row()]
        method = self._pack.methods.get(line.lead or "")
        return (
            f"{datetime.fromtimestamp(line.begun / 1000):%d %b %Y}",
            line.called,
            line.name,
            line.verdict or "",
            method.title if method is not None else line.lead or "",
            OUTCOMES.get(line.outcome, ""),
        )[index.column()]

    def canFetchMore(self, parent: Index) -> bool:
        """Whether there may be more cases than are fetched."""
        return self._more and not parent.isValid()

    def fetchMore(self, parent: Index) -> None:
        """Fetch the next page in the background."""
        if not self._more or not self.lines:
            return
        self._more = False
        search, last = self.search, self.lines[-1].id
        self._asker.ask("more", partial(_next_page, search=search, last=last), self._add)

    def _add(self, found: list[CaseLine]) -> None:
        if found and self.lines and found[0].id < self.lines[-1].id:
            count = len(self.lines)
            self.beginInsertRows(QModelIndex(), count, count + len(found) - 1)
            self.lines += found
            self.endInsertRows()
            self._more = len(found) == PAGE


def _first_page(book: Any, search: Search) -> tuple[list[CaseLine], int]:
    from advisor.casebook.finding.search import count, page

    return (
        book.read(partial(page, search=search, most=PAGE)),
        book.read(partial(count, search=search)),
    )


def _due(book: Any) -> tuple[list[CaseLine], int]:
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.entries import due, how_many_due

    now = now_ms()
    # One less than a page: what is due is shown once, and not fetched on by number.
    lines = book.read(partial(due, now=now, most=PAGE - 1))
    return lines, book.read(partial(how_many_due, now=now))


def _next_page(book: Any, search: Search, last: int) -> list[CaseLine]:
    from advisor.casebook.finding.search import page

    lines: list[CaseLine] = book.read(partial(page, search=search, most=PAGE, before=last))
    return lines
