"""Small editors beside the questions: earlier repairs and photos."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.case import Case, EarlierRepair
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.casebook_asker import Asker
from advisor.session.advice_service import Pack
from advisor.session.casebook_keeping import CaseKeeping

OTHER = "something else"


class RepairsEditor(QWidget):
    """What was tried before: a list, "nothing was tried", or not asked.

    What the casebook knows of the same vehicle is offered; it counts once it was taken over.
    """

    given = Signal(object)

    def __init__(
        self, pack: Pack, parent: QWidget | None = None, keeping: CaseKeeping | None = None
    ) -> None:
        super().__init__(parent)
        self._repairs: tuple[EarlierRepair, ...] | None = None
        self.offered: tuple[EarlierRepair, ...] = ()
        """Repairs known to the casebook that the case does not hold yet."""
        self._keeping = keeping
        self._asker = Asker(keeping, self) if keeping is not None else None
        self.known = QLabel(self)
        self.known.setObjectName("now")
        self.known.setWordWrap(True)
        self.take = QPushButton("These were done: take them over", self)
        self.take.clicked.connect(self._take)
        self.state = QLabel(self)
        self.state.setWordWrap(True)
        self.rows = QListWidget(self)
        self.rows.setAccessibleName("Earlier repairs")
        self.rows.setMinimumHeight(70)
        self.rows.setMaximumHeight(120)
        self.rows.setWordWrap(True)
        self.method = QComboBox(self)
        self.method.setAccessibleName("Method of the earlier repair")
        # A method with a long name must not make the card wider.
        narrow = QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        self.method.setSizeAdjustPolicy(narrow)
        self.method.setMinimumContentsLength(18)
        for key, method in pack.methods.items():
            self.method.addItem(method.title, key)
        self.what = _line("what was used, in a few words", "What was done", self)
        self.result = _line("for example: came off again", "How it went", self)
        self.lasted = _line("for example: 3 weeks", "How long it lasted", self)
        self.add = QPushButton("Add this repair", self)
        self.add.setObjectName("main")
        self.remove = QPushButton("Remove the marked one", self)
        self.none = QPushButton("Nothing was tried", self)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self.none.clicked.connect(self._none)
        self._lay_out()
        self._offer(())

    def show_case(self, case: Case) -> None:
        """Show what the case holds."""
        self._repairs = case.earlier_repairs
        self.rows.clear()
        for repair in case.earlier_repairs or ():
            self.rows.addItem(self._line_of(repair))
        self.rows.setVisible(bool(case.earlier_repairs))
        self.remove.setVisible(bool(case.earlier_repairs))
        if case.earlier_repairs is None:
            self.state.setText("Not asked yet.")
        elif not case.earlier_repairs:
            self.state.setText("Nothing was tried before.")
        else:
            count = len(case.earlier_repairs)
            self.state.setText(f"{count} earlier {'repair' if count == 1 else 'repairs'}:")
        if self._asker is not None and self._keeping is not None:
            self._asker.ask("earlier", self._keeping.earlier, self._offer)

    def _offer(self, found: tuple[EarlierRepair, ...]) -> None:
        self.offered = tuple(each for each in found if each not in (self._repairs or ()))
        lines = "\n".join(f"- {self._line_of(each)}" for each in self.offered)
        self.known.setText(f"The casebook knows of this part and vehicle (please check):\n{lines}")
        self.known.setVisible(bool(self.offered))
        self.take.setVisible(bool(self.offered))

    def _take(self) -> None:
        self.given.emit((*(self._repairs or ()), *self.offered))

    def first_focus(self) -> QWidget:
        """The first field; Enter there goes on and answers nothing."""
        return self.method

    def _lay_out(self) -> None:
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.known)
        layout.addWidget(self.take)
        layout.addWidget(self.state)
        layout.addWidget(self.rows)
        form = QGridLayout()
        for row, (text, field) in enumerate((
            ("Method", self.method), ("What was done", self.what),
            ("How it went", self.result), ("It lasted", self.lasted),
        )):
            label = QLabel(text, self)
            label.setBuddy(field)
            form.addWidget(label, row, 0)
            form.addWidget(field, row, 1)
        form.setColumnStretch(1, 1)
        layout.addLayout(form)
        # Side by side all three would be wider than the card beside the picture.
        buttons = QGridLayout()
        for place, button in enumerate((self.add, self.none, self.remove)):
            buttons.addWidget(button, place // 2, place % 2)
        buttons.setColumnStretch(2, 1)
        layout.addLayout(buttons)

    def _line_of(self, repair: EarlierRepair) -> str:
        index = self.method.findData(repair.method)
        title = self.method.itemText(index) if index >= 0 else repair.method
        parts = [title, repair.what, repair.result]
        parts += [f"lasted {repair.lasted}"] if repair.lasted else []
        return ", ".join(part for part in parts if part)

    def _add(self) -> None:
        repair = EarlierRepair(
            str(self.method.currentData()),
            self.what.text().strip(),
            self.result.text().strip(),
            self.lasted.text().strip(),
        )
        for field in (self.what, self.result, self.lasted):
            field.clear()
        self.given.emit((*(self._repairs or ()), repair))

    def _remove(self) -> None:
        row = self.rows.currentRow() if self.rows.currentRow() >= 0 else self.rows.count() - 1
        kept = [r for i, r in enumerate(self._repairs or ()) if i != row]
        self.given.emit(tuple(kept) if kept else None)

    def _none(self) -> None:
        self.given.emit(())


class PhotosEditor(QWidget):
    """Paths of photos that belong to the case; the files stay where they are."""

    given = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._photos: tuple[str, ...] = ()
        self.rows = QListWidget(self)
        self.rows.setAccessibleName("Photos")
        self.rows.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.rows.setMinimumHeight(90)
        self.add = QPushButton("Add photos...", self)
        self.remove = QPushButton("Remove the marked one", self)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.rows)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        layout.addLayout(buttons)

    def first_focus(self) -> QWidget:
        """The list; Enter there goes on and answers nothing."""
        return self.rows

    def show_case(self, case: Case) -> None:
        """Show what the case holds."""
        self._photos = case.photos
        self.rows.clear()
        self.rows.addItems(list(case.photos))
        self.remove.setEnabled(bool(case.photos))

    def _add(self) -> None:
        found = dialogs.ask_photos(self)
        fresh = tuple(path for path in found if path not in self._photos)
        if fresh:
            self.given.emit(self._photos + fresh)

    def _remove(self) -> None:
        row = self.rows.currentRow() if self.rows.currentRow() >= 0 else self.rows.count() - 1
        self.given.emit(tuple(p for i, p in enumerate(self._photos) if i != row))


def _line(hint: str, name: str, parent: QWidget) -> QLineEdit:
    line = QLineEdit(parent)
    line.setPlaceholderText(hint)
    line.setAccessibleName(name)
    line.setMaxLength(200)
    return line
