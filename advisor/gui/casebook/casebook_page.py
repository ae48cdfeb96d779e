"""The kept cases: a search, a table, what is known of the case chosen, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import QModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPushButton,
    QScrollArea,
    QTableView,
    QVBoxLayout,
    QWidget,
)

from advisor.casebook.finding.lines import CaseLine
from advisor.facts.case import Case
from advisor.gui.casebook.case_table import PREVIEW, CaseTable
from advisor.gui.casebook.files_menu import FilesMenu
from advisor.gui.casebook.outcome_form import OutcomeForm
from advisor.gui.casebook.search_bar import SearchBar
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.advice_service import Pack
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.kept_case_words import (
    KeptCaseWords,
    ShopSaw,
    shop_saw,
    switch,
    words_of,
)

#: Height of a row, width of the side, and of windows that are narrow and wide, in px.
ROW, SIDE, NARROW, WIDE = 36, 344, 1150, 1500


class CasebookPage(QWidget):
    """Search, table and one case; ``chosen`` goes out with the case to be opened."""

    chosen = Signal(object)

    def __init__(
        self, keeping: CaseKeeping, pack: Pack, parent: QWidget | None = None,
        case: Callable[[], Case] = lambda: Case(""),
    ) -> None:  # fmt: skip
        """``case`` gives the case in the window, which a backup put back does not hold."""
        super().__init__(parent)
        self.setObjectName("ground")
        self.asker = Asker(keeping, self)
        self.table = CaseTable(self.asker, pack)
        self.shown: KeptCaseWords | None = None
        self._keeping, self._case, self._sure = keeping, case, False
        self._stay = "", 0
        self.bar = SearchBar(self.asker, pack, self)
        self.words, self.filters = self.bar.words, self.bar.filters
        self.bar.changed.connect(self.look)
        self.bar.entered.connect(self._to_table)
        self._make_table()
        self._make_side(keeping)
        self._lay_out()
        self.asker.failed.connect(self._tell)
        self.table.counted.connect(self._count)
        self.look()

    # -- building ----------------------------------------------------------------

    def _make_table(self) -> None:
        self.view = QTableView(self)
        self.view.setModel(self.table)
        self.view.setAccessibleName("Cases found, the newest first")
        self.view.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.view.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.view.verticalHeader().hide()
        self.view.setWordWrap(False)
        self.view.setTabKeyNavigation(False)
        self.view.setIconSize(QSize(PREVIEW, ROW - 4))
        self.view.verticalHeader().setDefaultSectionSize(ROW)
        header = self.view.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        self.view.setColumnWidth(2, 110)
        _fit_columns(self.view)
        self.view.selectionModel().currentRowChanged.connect(self._row)
        self.view.activated.connect(lambda _: self.open_chosen())
        self.table.modelReset.connect(self._first_row)

    def _make_side(self, keeping: CaseKeeping) -> None:
        self.about = QLabel(self)
        self.about.setWordWrap(True)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.about.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.damage = QLabel(self)
        self.damage.setObjectName("fault")
        self.damage.setWordWrap(True)
        self.damage.hide()
        self.due = QPushButton("To be asked after", self)
        self.due.setCheckable(True)
        self.due.setToolTip("Jobs of which it is time to hear, the longest overdue first")
        self.due.toggled.connect(self.look)
        self.bin = QPushButton("Bin", self)
        self.bin.setCheckable(True)
        self.bin.setToolTip("What was thrown away")
        self.bin.toggled.connect(self._to_bin)
        for button in (self.due, self.bin):
            _keep_room_for_bold(button)
        self.empty = QPushButton("Empty the bin", self)
        self.empty.clicked.connect(self._empty)
        self.empty.hide()
        self.saw = QPushButton("What this shop saw", self)
        self.saw.clicked.connect(self._show_shop)
        self.files = FilesMenu(
            keeping, lambda: None if self.due.isChecked() else self.table.search,
            lambda: self.line.key if self.line else "", self._taken_in, self)  # fmt: skip
        self.files.menu().addSeparator()
        self.backups = self.files.menu().addAction("Backups...", self._show_backups)
        self.open = QPushButton("Open", self)
        self.open.clicked.connect(self.open_chosen)
        self.throw = QPushButton("Throw away", self)
        self.throw.clicked.connect(self._throw_away)
        self.form = OutcomeForm(keeping.keeper.author, self)
        self.form.entered.connect(self._enter)
        self.said = QLabel(self)
        self.said.setWordWrap(True)

    def _lay_out(self) -> None:
        left = QVBoxLayout()
        left.addWidget(self.bar)
        left.addWidget(self.view, 1)
        below = QHBoxLayout()
        below.addStretch(1)
        below.addWidget(self.empty)
        below.addWidget(self.bin)
        below.addWidget(self.due)
        below.addWidget(self.saw)
        below.addWidget(self.files)
        left.addWidget(self.said)
        left.addLayout(below)
        buttons = QHBoxLayout()
        buttons.addWidget(self.open, 1)
        buttons.addWidget(self.throw)
        right = QVBoxLayout()
        right.addWidget(self.damage)
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setObjectName("bare")
        area.setAccessibleName("What is known of the case")
        area.setWidget(self.about)
        right.addWidget(area, 1)
        right.addWidget(self.form)
        right.addLayout(buttons)
        whole = QHBoxLayout(self)
        whole.setSizeConstraint(QHBoxLayout.SizeConstraint.SetNoConstraint)
        whole.setContentsMargins(12, 12, 12, 12)
        whole.setSpacing(14)
        side = QWidget(self)
        side.setLayout(right)
        right.setContentsMargins(0, 0, 0, 0)
        side.setFixedWidth(SIDE)
        whole.addLayout(left, 1)
        whole.addWidget(side)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window what it is called stands before its name and verdict."""
        super().resizeEvent(event)
        for column in (2, 3):
            self.view.setColumnHidden(column, self.width() < NARROW)
        self.view.setColumnWidth(4, 150 if self.width() < WIDE else 260)

    # -- searching ---------------------------------------------------------------

    def look(self) -> None:
        """Look for what is typed and chosen."""
        self.bar.settle()
        if self.due.isChecked():
            self.table.show_due()
        else:
            self.table.look_for(replace(self.bar.search, in_bin=self.bin.isChecked()))

    def _count(self, count: int, more: bool) -> None:
        many = f"More than {count - 1:,}" if more else f"{count:,}"
        order = "to be asked after" if self.due.isChecked() else "the newest first"
        self.said.setText(f"{many} {'case' if count == 1 else 'cases'}, {order}")

    def _to_table(self) -> None:
        self.look()
        self.view.setFocus()

    def _tell(self, _topic: str, problem: str) -> None:
        self.said.setText(problem)

    # -- one case ----------------------------------------------------------------

    @property
    def line(self) -> CaseLine | None:
        """The case that is chosen."""
        row = self.view.currentIndex().row()
        return self.table.lines[row] if 0 <= row < len(self.table.lines) else None

    def _first_row(self) -> None:
        (key, row), self._stay = self._stay, ("", 0)
        there = [each.key for each in self.table.lines if each is not None]
        if there:
            # After an outcome the same case stays chosen, or the one that took its place.
            self.view.selectRow(there.index(key) if key in there else min(row, len(there) - 1))
        else:
            self._show(None)

    def _row(self, _index: QModelIndex) -> None:
        line = self.line
        self.form.clear()  # at once: what is typed next is of this case
        if line is None:
            self._show(None)
        else:
            key, learn = line.key, self._keeping.learn
            self.asker.ask("case", lambda book: words_of(book, key, learn(book)), self._show)

    def _show(self, words: KeptCaseWords | None) -> None:
        self.shown = words
        for widget in (self.open, self.throw, self.form):
            widget.setEnabled(words is not None)
        if words is None:
            self.about.setText("")
            self.damage.hide()
            return
        blocks = [words.called, "\n".join(words.facts)]
        if words.seen:
            blocks.append("What this shop saw\n" + "\n".join(words.seen))
        blocks.append("History\n" + "\n".join(words.history))
        self.about.setText("\n\n".join(blocks))
        self.damage.setText(f"The record is damaged: {words.damage}")
        self.damage.setVisible(bool(words.damage))

    def open_chosen(self) -> None:
        """Open the chosen case for work."""
        line = self.line
        if line is not None:
            key = line.key
            self.asker.ask("open", lambda book: book.open_for_work(key), self.chosen.emit)

    def _show_shop(self) -> None:
        from advisor.gui.casebook.shop_page import show_shop

        before = self.said.text()

        def show(saw: ShopSaw) -> None:
            self.said.setText(before)
            show_shop(saw, self._switch, self)

        self.said.setText("All outcomes are looked through...")
        self.asker.ask("shop", shop_saw, show)

    def _switch(self, on: bool) -> None:
        self._write(partial(switch, on=on))

    def _show_backups(self) -> None:
        from advisor.gui.casebook.backups_dialog import ask_backups

        if ask_backups(self._keeping, self._case, self):
            self._taken_in()

    def _taken_in(self) -> None:
        """Other cases are there, and other outcomes."""
        self._keeping.experience = None
        self.look()

    def _to_bin(self, on: bool) -> None:
        self.throw.setText("Take back" if on else "Throw away")
        self.empty.setVisible(on)
        self.saw.setHidden(on)
        self.due.setHidden(on)
        self.due.setChecked(False)
        self._sure = False
        self.look()

    def _empty(self) -> None:
        """Emptied at the second press: nothing brings them back."""
        if not self._sure:
            self._sure = True
            self.said.setText("Emptying cannot be taken back. Press once more to empty the bin.")
            return
        self._sure = False
        self._write(lambda book: book.empty_bin())

    def _throw_away(self) -> None:
        if self.line is not None:
            work = _taken_back if self.bin.isChecked() else _thrown_away
            self._write(partial(work, key=self.line.key))

    def _enter(self, state: str, told: dict[str, Any]) -> None:
        if self.line is not None:
            self._write(partial(_entered, key=self.line.key, state=state, told=told))

    def _write(self, work: Callable[[Any], Any]) -> None:
        self._keeping.experience = None
        if self.line is not None:
            self._stay = self.line.key, self.view.currentIndex().row()
        self.asker.ask("write", work, lambda _: self.look())


def _keep_room_for_bold(button: QPushButton) -> None:
    """Room for its words as they are while it is pressed."""
    button.ensurePolished()
    usual, bold = button.font(), QFont(button.font())
    bold.setBold(True)
    wide, wider = (QFontMetrics(f).horizontalAdvance(button.text()) for f in (usual, bold))
    button.setMinimumWidth(button.sizeHint().width() + wider - wide)


def _fit_columns(view: QTableView) -> None:
    """Days, verdicts and outcomes have room for all they say, their headings too."""
    view.ensurePolished()
    plain, bold = view.font(), QFont(view.font())
    bold.setBold(True)
    for column, longest in ((0, "30 Nov 2026"), (3, "decline"), (5, "came back")):
        heading = view.model().headerData(column, Qt.Orientation.Horizontal)
        wide = QFontMetrics(bold).horizontalAdvance(str(heading))
        view.setColumnWidth(column, max(wide, QFontMetrics(plain).horizontalAdvance(longest)) + 20)


def _thrown_away(book: Any, key: str) -> None:
    from advisor.casebook.finding.bin import throw_away
    from advisor.casebook.journal.keeper import now_ms

    book.write(partial(throw_away, key=key, at=now_ms()))


def _taken_back(book: Any, key: str) -> None:
    from advisor.casebook.finding.bin import take_back

    book.write(partial(take_back, key=key))


def _entered(book: Any, key: str, state: str, told: dict[str, Any]) -> None:
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.entries import Outcome, State, add_outcome, done

    now = now_ms()
    if state == "done":
        book.write(partial(done, key=key, at=now))
        return
    heard = Outcome(State(state), **told)
    book.write(partial(add_outcome, key=key, outcome=heard, at=now, pack=book.pack))
