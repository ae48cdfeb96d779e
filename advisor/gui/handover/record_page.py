"""The record: name, note, what was answered, which rules; save and export."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRect,
    QSize,
    Qt,
    QTimer,
    Signal,
)
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import (
    QAbstractItemView,
    QGridLayout,
    QHeaderView,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from advisor.advice.result import Origin
from advisor.facts.case import VEHICLE
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.casebook_asker import Asker
from advisor.gui.widgets.page import Page
from advisor.papers.handover.requirements import requirements
from advisor.report.status_words import ORIGIN
from advisor.session.answer_text import answer_text, assumed_text
from advisor.wording.counts import simulated_cases
from advisor.wording.sentences import capital

STRETCH = QHeaderView.ResizeMode.Stretch
Index = QModelIndex | QPersistentModelIndex
SIGNED_FOR = "A station signs for this one, and needs the hand-over papers with the part."
PHOTO = 220
"""Longest side of a photo, px; a pair finds room in the narrowest window."""
CELL = 8
"""Room on each side of the words in a cell, px."""


class CellDelegate(QStyledItemDelegate):
    """Gives a row the height that its words need within the padding of the style sheet."""

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """Size of the wrapped text at the width that the column has."""
        table = self.parent()
        if not isinstance(table, QTableWidget):
            return super().sizeHint(option, index)
        metrics, text = table.fontMetrics(), str(index.data() or "")
        wide = metrics.horizontalAdvance(text) + 2 * CELL + 2
        if table.horizontalHeader().sectionResizeMode(index.column()) != STRETCH:
            return QSize(wide, metrics.height() + 2 * CELL)
        room = QRect(0, 0, max(table.columnWidth(index.column()) - 2 * CELL, 40), 4000)
        high = metrics.boundingRect(room, int(Qt.TextFlag.TextWordWrap), text).height()
        return QSize(wide, high + 2 * CELL)


class RecordPage(Page):
    """What is kept of the case."""

    says_stop = False
    save_wanted = Signal()
    export_wanted = Signal()
    prints_wanted = Signal()
    papers_wanted = Signal()
    needs_wanted = Signal()

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(navigator, parent)
        self._shown = "", ""
        """Job and note as the case held them last."""
        self.title = QLineEdit(self.inside)
        self.title.setPlaceholderText("for example: shuttle bus 7, row 3, left armrest")
        self.title.setAccessibleName("Name of the job")
        self.title.setMaxLength(120)
        self.title.editingFinished.connect(self.commit)
        self.note = QPlainTextEdit(self.inside)
        self.note.setPlaceholderText("Anything that belongs to the record")
        self.note.setAccessibleName("Note")
        self.note.setFixedHeight(110)
        self.note.setTabChangesFocus(True)
        self.note.installEventFilter(self)
        self.table = QTableWidget(0, 3, self.inside)
        self._dress_table()
        self.save = QPushButton("Save case as...", self.inside)
        self.save.setObjectName("main")
        self.save.clicked.connect(self.save_wanted)
        self.export = QPushButton("Export the rationale...", self.inside)
        self.export.clicked.connect(self.export_wanted)
        self.prints = QPushButton("Quote and invoice...", self.inside)
        self.prints.setAccessibleName("Print, open or save a paper")
        self.prints.setToolTip("Quote, bench sheet, page for the invoice, rationale: Ctrl+P")
        self.prints.clicked.connect(self.prints_wanted)
        self.papers = QPushButton("Hand-over papers...", self.inside)
        self.papers.clicked.connect(self.papers_wanted)
        self.needs = QPushButton("Papers this case needs...", self.inside)
        self.needs.clicked.connect(self.needs_wanted)
        self.say("The record", "headline")
        self.regulated = self.say(SIGNED_FOR)
        self._fields()
        self.photos = QWidget(self.inside)
        self.photos.hide()
        self.column.addWidget(self.photos)
        self._asker: Asker | None = None
        self._shown_pairs: list[tuple[bytes, bytes]] = []
        self.head("What was answered")
        self.column.addWidget(self.table)
        self.rules = self.say(" ", "small")
        self.column.addStretch(1)

    def _dress_table(self) -> None:
        self.table.setHorizontalHeaderLabels(["Fact", "Answer", "How known"])
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        self.table.setWordWrap(True)
        self.table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.table.setAlternatingRowColors(True)
        self._fit = QTimer(self)
        self._fit.setSingleShot(True)
        self._fit.timeout.connect(self._fit_table)
        header = self.table.horizontalHeader()
        header.sectionResized.connect(self._columns_moved)
        header.setSectionResizeMode(0, STRETCH)
        header.setSectionResizeMode(1, STRETCH)
        header.setSectionResizeMode(2, QHeaderView.ResizeMode.ResizeToContents)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)

        self.table.setItemDelegate(CellDelegate(self.table))

    def _fields(self) -> None:
        box = QWidget(self.inside)
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        for row, (text, field) in enumerate((("Job", self.title), ("Note", self.note))):
            name = self.say(text)
            self.column.removeWidget(name)
            top = Qt.AlignmentFlag.AlignTop if row else Qt.AlignmentFlag.AlignVCenter
            grid.addWidget(name, row, 0, top)
            grid.addWidget(field, row, 1, 1, 2)
        grid.addWidget(self.save, 2, 1)
        grid.addWidget(self.prints, 2, 2)
        grid.addWidget(self.papers, 3, 1)
        grid.addWidget(self.needs, 3, 2)
        grid.addWidget(self.export, 4, 1)
        grid.setColumnMinimumWidth(0, 56)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(2, 1)
        self.column.addWidget(box)

    def redraw(self) -> None:
        """Show what the case holds; a field being written in stays."""
        session = self.navigator.session
        case = session.case
        self.regulated.setVisible(case.choice(VEHICLE) in requirements().aircraft)
        self._show_words(case.title, case.note)
        self._look_for_photos()
        if self._fill_table(self._rows()):
            self._fit.start(0)
        pack = session.pack
        changes = "".join(f"\n{change}" for change in pack.own.changes)
        self.rules.setText(
            f"Case {case.name}. Rules {pack.version}, digest {pack.digest[:12]}. "
            f"Seed {case.seed}, {simulated_cases(session.advice.worlds)}.{changes}"
        )

    def _show_words(self, title: str, note: str) -> None:
        """Show what the case holds, where nothing else is being written.

        With it a field forgets what was typed before: Undo is the case's from here on.
        """
        was = self._shown
        self._shown = title, note
        if self.title.text() == was[0] or not self.title.hasFocus():
            self.title.setText(title)
        if self.note.toPlainText() == was[1] or not self.note.hasFocus():
            if self.note.toPlainText() != note:
                self.note.setPlainText(note)
            self.note.document().clearUndoRedoStacks()

    def _look_for_photos(self) -> None:
        """Photos before and after, side by side, once the casebook has answered."""
        keeping = self.navigator.session.keeping
        if keeping is not None and keeping.started and keeping.keeper.key:
            self._asker = self._asker or Asker(keeping, self)
            self._asker.ask("pairs", partial(keeping.pairs, longest=PHOTO), self._show_photos)

    def _show_photos(self, pairs: list[tuple[bytes, bytes]]) -> None:
        if pairs == self._shown_pairs:
            return
        self._shown_pairs = pairs
        fresh = QWidget(self.inside)
        grid = QGridLayout(fresh)
        grid.setContentsMargins(0, 0, 0, 0)
        for row, pair in enumerate(pairs):
            for column, (data, word) in enumerate(zip(pair, ("Before", "After"), strict=True)):
                picture = QPixmap()
                if data and picture.loadFromData(data):
                    shown = QLabel(fresh)
                    shown.setPixmap(picture)
                    shown.setAccessibleName(f"Photo {word.lower()}")
                    grid.addWidget(shown, 2 * row, column)
                    grid.addWidget(QLabel(word, fresh), 2 * row + 1, column)
        grid.setColumnStretch(2, 1)
        self.column.replaceWidget(self.photos, fresh)
        self.photos.deleteLater()
        self.photos = fresh
        fresh.setVisible(bool(pairs))

    def _rows(self) -> list[tuple[str, str, str]]:
        """Every question of the case with its answer and how that is known."""
        session = self.navigator.session
        states = {state.fact: state for state in session.advice.facts}
        rows = []
        for entry in self.navigator.order:
            if entry.fact is None:
                continue
            value = session.case.facts.get(entry.key)
            state = states.get(entry.key)
            text = answer_text(entry.fact, value, session.system)
            known = "open"
            if value is not None:
                known = ORIGIN[state.origin] if state is not None else "entered"
            elif state is not None and state.text:
                text = f"open: {assumed_text(state, session.system)}"
                known = ORIGIN[Origin.ASSUMED]
            rows.append((entry.title, capital(text), known))
        return rows

    def _fill_table(self, rows: list[tuple[str, str, str]]) -> bool:
        """Write the cells that differ, for each one has a column sized anew; whether any did."""
        changed = self.table.rowCount() != len(rows)
        self.table.setRowCount(len(rows))
        for y, row in enumerate(rows):
            for x, cell in enumerate(row):
                item = self.table.item(y, x)
                if item is None or item.text() != cell:
                    self.table.setItem(y, x, QTableWidgetItem(cell))
                    changed = True
        return changed

    def _columns_moved(self) -> None:
        self._fit.start(0)

    def _fit_table(self) -> None:
        """The table is as high as its rows; only the page scrolls."""
        self.table.resizeRowsToContents()
        rows = sum(self.table.rowHeight(y) for y in range(self.table.rowCount()))
        self.table.setFixedHeight(rows + self.table.horizontalHeader().sizeHint().height() + 4)

    def commit(self) -> None:
        """Keep what is being written."""
        title, note = self.title.text().strip(), self.note.toPlainText()
        case = self.navigator.session.case
        if (title, note) == (case.title, case.note):
            return
        if title != case.title:
            self.navigator.session.set_title(title)
        if note != case.note:
            self.navigator.session.set_note(note)
        self._shown = self.title.text(), note
        self.navigator.refresh()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leaving the note keeps it."""
        if watched is self.note and event.type() == QEvent.Type.FocusOut:
            self.commit()
        return super().eventFilter(watched, event)
