"""What is looked for among the kept cases: words, filters, days, and searches saved before."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QDate, QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QDateEdit,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.casebook.finding.lines import Search
from advisor.facts.case import DAMAGE, PART
from advisor.gui import theme
from advisor.gui.casebook.case_table import OUTCOMES
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.advice_service import Pack

if TYPE_CHECKING:
    from collections.abc import Mapping

    from advisor.casebook.book import Casebook

#: Milliseconds after the last key until a search begins.
TYPING = 150
VERDICTS = ("plan", "ask", "refer", "decline")
#: Filters in a row.
ACROSS = 5
#: What a day shows that is not chosen.
NO_DAY = QDate(2000, 1, 1)
ISO = "yyyy-MM-dd"


class DayEdit(QDateEdit):
    """A day, or none. Tab leaves it at once; Left and Right go to year, month and day."""

    def focusNextPrevChild(self, onward: bool) -> bool:
        """While no day is chosen Qt would look for its next part for ever."""
        return QWidget.focusNextPrevChild(self, onward)


class SearchBar(QWidget):
    """``changed`` goes out when something else is looked for, ``entered`` with Return."""

    changed = Signal()
    entered = Signal()

    def __init__(self, asker: Asker, pack: Pack, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._asker = asker
        self._filling = False
        self._wait = QTimer(self)
        self._wait.setSingleShot(True)
        self._wait.timeout.connect(self.changed)
        hint = "Vehicle, customer, part, damage, note, name"
        self.words = self._line(hint, "Words to look for")
        self.words.returnPressed.connect(self.entered)
        self.customer = self._line("Customer", "Words of the customer's name or order number")
        self.filters = {
            name: self._box(title, options) for name, title, options in (
                ("part", "Part", _options(pack, PART)),
                ("damage", "Damage", _options(pack, DAMAGE)),
                ("skin", "Skin", _options(pack, pack.roles.skin)),
                ("lead", "Method", [(key, one.title) for key, one in pack.methods.items()]),
                ("verdict", "Verdict", [(key, key) for key in VERDICTS]),
                ("outcome", "Outcome", [(key, word) for key, word in OUTCOMES.items() if key]),
            )
        }  # fmt: skip
        self.days = {name: self._day(words) for name, words in (
            ("since", "From day"), ("until", "To day"))}  # fmt: skip
        self.saved = QComboBox(self)
        self.saved.setAccessibleName("Saved searches")
        self.saved.setMinimumContentsLength(12)
        self.saved.activated.connect(self._take_saved)
        self.save, self.forget = QPushButton("Save search", self), QPushButton("Forget", self)
        self.save.clicked.connect(self._save)
        self.forget.clicked.connect(self._forget)
        self.forget.setToolTip("Forget the saved search that is chosen")
        self._lay_out()
        self._show_saved({})
        self._asker.ask("saved", _saved, self._show_saved)

    def _line(self, hint: str, name: str) -> QLineEdit:
        line = QLineEdit(self)
        line.setPlaceholderText(hint)
        line.setAccessibleName(name)
        line.setClearButtonEnabled(True)
        line.textChanged.connect(lambda: self._wait.start(0 if self._filling else TYPING))
        return line

    def _box(self, title: str, options: list[tuple[str, str]]) -> QComboBox:
        box = QComboBox(self)
        box.setAccessibleName(f"{title}: all, or one")
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(7)
        box.addItem(title, "")
        for key, word in options:
            box.addItem(word, key)
        box.currentIndexChanged.connect(self._tell)
        return box

    def _day(self, words: str) -> DayEdit:
        day = DayEdit(self)
        day.setDisplayFormat(ISO)
        day.setMinimumDate(NO_DAY)
        day.setSpecialValueText(words)
        day.setDate(NO_DAY)
        day.setCalendarPopup(True)
        day.setMinimumHeight(theme.TARGET - 4)
        day.setAccessibleName(f"{words} on which a case was begun; 2000-01-01: any")
        day.dateChanged.connect(lambda: self._wait.start(TYPING))
        return day

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.addWidget(self.words, 1)
        beside: tuple[QWidget, ...] = (self.saved, self.save, self.forget)
        for widget in beside:
            top.addWidget(widget)
        grid = QGridLayout()
        placed: tuple[QWidget, ...] = (*self.filters.values(), self.customer, *self.days.values())
        for number, widget in enumerate(placed):
            grid.addWidget(widget, number // ACROSS, number % ACROSS)
        for column in range(ACROSS):
            grid.setColumnStretch(column, 1)
        column_of_all = QVBoxLayout(self)
        column_of_all.setContentsMargins(0, 0, 0, 0)
        column_of_all.addLayout(top)
        column_of_all.addLayout(grid)

    # -- what is looked for --------------------------------------------------------------

    @property
    def waiting(self) -> bool:
        """Whether a search begins shortly."""
        return self._wait.isActive()

    def settle(self) -> None:
        """Wait for no more keys."""
        self._wait.stop()

    @property
    def search(self) -> Search:
        """What is chosen."""
        chosen: dict[str, Any] = {
            name: str(box.currentData() or "") for name, box in self.filters.items()
        }
        for name, day in self.days.items():
            chosen[name] = day.date().toString(ISO) if day.date() != NO_DAY else ""
        return Search(self.words.text(), customer=self.customer.text(), **chosen)

    def show_search(self, search: Search) -> None:
        """Have a search in the fields; what this program cannot filter by stays out."""
        self._filling = True
        self.words.setText(search.words)
        self.customer.setText(search.customer)
        for name, box in self.filters.items():
            box.setCurrentIndex(max(box.findData(getattr(search, name)), 0))
        for name, day in self.days.items():
            written = getattr(search, name)
            day.setDate(QDate.fromString(written, ISO) if written else NO_DAY)
        self._filling = False
        self._wait.stop()
        self.changed.emit()

    def _tell(self) -> None:
        if not self._filling:
            self.changed.emit()

    # -- saved searches ------------------------------------------------------------------

    def _show_saved(self, found: Mapping[str, Search]) -> None:
        here = self.saved.currentText()
        self.saved.clear()
        self.saved.addItem("Saved searches")
        for name, search in found.items():
            self.saved.addItem(name, search.form())
        self.saved.setCurrentIndex(max(self.saved.findText(here), 0))
        self.forget.setEnabled(self.saved.currentIndex() > 0)

    def _take_saved(self, row: int) -> None:
        self.forget.setEnabled(row > 0)
        self.show_search(Search.of_form(self.saved.itemData(row)) if row > 0 else Search())

    def _save(self) -> None:
        name = dialogs.ask_name(self, "Save this search", "Its name", self.saved.currentText()
                                if self.saved.currentIndex() > 0 else "")  # fmt: skip
        if name:
            work = partial(_store, name=name, search=self.search)
            self._asker.ask("saved", work, partial(self._stored, name))

    def _stored(self, name: str, found: Mapping[str, Search]) -> None:
        self._show_saved(found)
        self.saved.setCurrentIndex(max(self.saved.findText(name), 0))
        self.forget.setEnabled(self.saved.currentIndex() > 0)

    def _forget(self) -> None:
        work = partial(_dropped, name=self.saved.currentText())
        self.saved.setCurrentIndex(0)
        self._asker.ask("saved", work, self._show_saved)


def _options(pack: Pack, fact: str) -> list[tuple[str, str]]:
    decl = pack.facts.get(fact)
    return [(one.key, one.title) for one in decl.options] if decl is not None else []


def _saved(book: Casebook) -> Mapping[str, Search]:
    from advisor.casebook.finding.search import searches_saved

    return book.read(searches_saved)


def _store(book: Casebook, name: str, search: Search) -> Mapping[str, Search]:
    from advisor.casebook.finding.search import save_search

    book.write(partial(save_search, name=name, search=search))
    return _saved(book)


def _dropped(book: Casebook, name: str) -> Mapping[str, Search]:
    from advisor.casebook.finding.search import drop_search

    book.write(partial(drop_search, name=name))
    return _saved(book)
