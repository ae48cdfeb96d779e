"""The table of cases: as long as there are cases, each fetched when it is scrolled to."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QPersistentModelIndex,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QPixmap

from advisor.casebook.finding.lines import CaseLine, Search
from advisor.facts.case import DAMAGE
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.advice_service import Pack

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook

#: Cases fetched at once, and blocks of them that are asked for together at most.
PAGE, MOST_BLOCKS = 100, 3
#: Longest side of a preview, px; photos are asked for so many at once.
PREVIEW, MOST_PREVIEWS = 44, 20
HEADINGS = ("Begun", "Called", "Name", "Verdict", "Method", "Outcome")
OUTCOMES: Mapping[str | None, str] = {
    "held": "held", "back": "came back", "unknown": "not known", None: "",
}  # fmt: skip
Index = QModelIndex | QPersistentModelIndex
#: Cases, and by their numbers whose they are.
Found = tuple[list[CaseLine], dict[int, str]]


class CaseTable(QAbstractTableModel):
    """Cases that match a search, the newest first.

    Numbers of all that match are fetched after the first page, so that one may scroll
    anywhere at once; what a row shows is fetched once it is seen.
    """

    counted = Signal(int, bool)
    """How many cases there are, and whether there may be more."""

    def __init__(self, asker: Asker, pack: Pack) -> None:
        super().__init__(asker)
        self._asker, self._pack = asker, pack
        self.search = Search()
        self.lines: list[CaseLine | None] = []
        """What each row shows; None for what is not fetched yet."""
        self._whose: dict[int, str] = {}
        self._ids: list[int] = []
        self._due = False
        self._wanted: dict[int, None] = {}
        self._previews: dict[str, QPixmap | None] = {}
        self._unseen: dict[str, None] = {}
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._fetch)

    def look_for(self, search: Search) -> None:
        """Show what matches ``search``."""
        self.search, self._due = search, False
        self._asker.ask("page", partial(_first_page, search=search), self._show)

    def show_due(self) -> None:
        """Show the jobs of which it is time to hear, the longest overdue first."""
        self._due = True
        self._asker.ask("page", _due, self._show_due)

    def _show(self, found: Found) -> None:
        lines, self._whose = found
        more = len(lines) == PAGE
        self._reset(lines)
        self.counted.emit(len(lines), more)
        if more:
            search = self.search
            self._asker.ask("ids", partial(_ids, search=search), partial(self._lengthen, search))

    def _show_due(self, found: tuple[Found, int]) -> None:
        (lines, self._whose), count = found
        self._reset(lines)
        self.counted.emit(count, False)

    def _reset(self, lines: list[CaseLine]) -> None:
        self.beginResetModel()
        self.lines, self._ids = list(lines), [line.id for line in lines]
        self._wanted.clear()
        self.endResetModel()

    def _lengthen(self, search: Search, ids: list[int]) -> None:
        """All that match are known by number: the table is as long as they are."""
        shown = len(self.lines)
        if search != self.search or self._due:
            return
        if ids[:shown] != self._ids or len(ids) == shown:
            self.counted.emit(shown, len(ids) != shown)
            return
        self.beginInsertRows(QModelIndex(), shown, len(ids) - 1)
        self._ids = ids
        self.lines += [None] * (len(ids) - shown)
        self.endInsertRows()
        self.counted.emit(len(ids), False)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Cases that match, as far as they are counted."""
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
        """The words of a cell; in front of what a case is called stands a small picture of it."""
        line = self.lines[index.row()]
        if line is None:
            if role == Qt.ItemDataRole.DisplayRole:
                self._want(index.row() // PAGE)
            return None
        if role == Qt.ItemDataRole.DecorationRole:
            return self._preview(line) if index.column() == HEADINGS.index("Called") else None
        if role not in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ToolTipRole):
            return None
        method = self._pack.methods.get(line.lead or "")
        return (
            f"{datetime.fromtimestamp(line.begun / 1000):%d %b %Y}",
            ", ".join(filter(None, (line.called, self._whose.get(line.id)))),
            line.name,
            line.verdict or "",
            method.title if method is not None else line.lead or "",
            OUTCOMES.get(line.outcome, ""),
        )[index.column()]

    # -- fetching what is seen ----------------------------------------------------------

    def _want(self, block: int) -> None:
        self._wanted.pop(block, None)
        self._wanted[block] = None  # seen last, so fetched if no more can be
        self._soon.start(0)

    def _preview(self, line: CaseLine) -> QPixmap:
        """A photo of the case, else the picture of its kind of damage."""
        if line.key not in self._previews:
            self._unseen[line.key] = None
            self._soon.start(0)
        return self._previews.get(line.key) or self._pictogram(line.damage or "")

    def _pictogram(self, damage: str) -> QPixmap:
        """The picture of a kind of damage; an empty one where it has none, so that all align."""
        from advisor.gui.widgets.icons import picture
        from advisor.gui.widgets.pictured import PICTURED, pictogram_file

        fact = self._pack.facts.get(DAMAGE)
        file = pictogram_file(fact, damage) if fact is not None and damage in fact.keys else None
        size = QSize(PREVIEW, PREVIEW * 44 // PICTURED[DAMAGE][1])
        if file is not None:
            return picture(file, size)
        empty = QPixmap(size)
        empty.fill(Qt.GlobalColor.transparent)
        return empty

    def _fetch(self) -> None:
        blocks = list(self._wanted)[-MOST_BLOCKS:]
        self._wanted.clear()
        if blocks:
            ids = [each for block in blocks for each in self._block(block)]
            self._asker.ask("more", partial(_lines, ids=ids), partial(self._fill, blocks))
        keys = list(self._unseen)[-MOST_PREVIEWS:]
        self._unseen.clear()
        if keys:
            self._asker.ask("previews", partial(_previews, keys=keys), self._draw)

    def _block(self, block: int) -> list[int]:
        return self._ids[block * PAGE : (block + 1) * PAGE]

    def _fill(self, blocks: list[int], found: Found) -> None:
        there = {line.id: line for line in found[0]}
        self._whose |= found[1]
        for block in blocks:
            for row, number in enumerate(self._block(block), start=block * PAGE):
                self.lines[row] = there.get(number, self.lines[row])
            self._changed(block * PAGE, min((block + 1) * PAGE, len(self.lines)) - 1)

    def _draw(self, found: dict[str, bytes]) -> None:
        for key, data in found.items():
            small = QPixmap()
            self._previews[key] = small if data and small.loadFromData(data) else None
        if any(found.values()):
            self._changed(0, len(self.lines) - 1)

    def _changed(self, first: int, last: int) -> None:
        ends = self.index(first, 0), self.index(last, len(HEADINGS) - 1)
        self.dataChanged.emit(*ends)


def _with_whose(book: Casebook, lines: list[CaseLine]) -> Found:
    from advisor.casebook.finding.whose import whose

    return lines, book.read(partial(whose, ids=[line.id for line in lines]))


def _first_page(book: Casebook, search: Search) -> Found:
    from advisor.casebook.finding.search import page

    return _with_whose(book, book.read(partial(page, search=search, most=PAGE)))


def _ids(book: Casebook, search: Search) -> list[int]:
    from advisor.casebook.finding.search import numbers

    return book.read(partial(numbers, search=search))


def _lines(book: Casebook, ids: list[int]) -> Found:
    from advisor.casebook.finding.search import lines_of

    return _with_whose(book, book.read(partial(lines_of, ids=ids)))


def _previews(book: Casebook, keys: list[str]) -> dict[str, bytes]:
    from advisor.casebook.photos.attached import previews

    return book.read(partial(previews, keys=keys, longest=PREVIEW, store=book.files))


def _due(book: Casebook) -> tuple[Found, int]:
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.entries import due, how_many_due

    now = now_ms()
    lines = book.read(partial(due, now=now, most=PAGE))
    return _with_whose(book, lines), book.read(partial(how_many_due, now=now))
