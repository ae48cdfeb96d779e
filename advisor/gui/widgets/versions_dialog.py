"""Two versions of a case side by side, hazards first, to keep one or pick answer by answer."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.widgets.page import label
from advisor.gui.widgets.two_versions import Choice, Versions
from advisor.session.compare_cases import Difference

#: So many characters of an answer are shown; only a note is longer.
LONGEST = 240
#: Under the one version of an answer that was changed since both were the same.
ONLY_CHANGED = "only this one was changed"


class VersionsDialog(QDialog):
    """Shows two versions; ``choice`` and ``from_theirs`` tell what was chosen."""

    def __init__(self, versions: Versions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle(versions.title)
        self.setWindowModality(Qt.WindowModality.WindowModal)
        self.versions = versions
        self.choice = versions.choices[-1][0]
        self.pairs: dict[str, tuple[OptionButton, OptionButton]] = {}
        """By name of the answer: the button of their version, and of mine."""
        self.buttons: dict[Choice, QPushButton] = {}
        self._picks = any(choice is Choice.PICKED for choice, _ in versions.choices)
        whole = QVBoxLayout(self)
        whole.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(label(versions.intro, "", self))
        if versions.faults:
            text = "\n".join(["What could not be read:", *versions.faults[:8]])
            whole.addWidget(label(text, "fault", self))
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        self.grid = QGridLayout(self.inside)
        self.grid.setContentsMargins(14, 10, 14, 10)
        self.grid.setHorizontalSpacing(12)
        for column, stretch in enumerate((4, 5, 5)):
            self.grid.setColumnStretch(column, stretch)
        self._fill()
        self.area.setWidget(self.inside)
        self.area.setVisible(bool(versions.rows))
        whole.addWidget(self.area, 1)
        self.open_picks = label("", "small", self)
        whole.addWidget(self.open_picks)
        whole.addLayout(self._choices())
        self._count()
        width, height = (parent.width(), parent.height()) if parent is not None else (900, 640)
        self.resize(min(width - 40, 900), min(height - 40, 720))
        if not versions.rows:
            self.resize(self.width(), whole.totalHeightForWidth(self.width()))

    @property
    def from_theirs(self) -> frozenset[str]:
        """The answers picked as they are in the other version."""
        return frozenset(key for key, (theirs, _) in self.pairs.items() if theirs.isChecked())

    # -- building ----------------------------------------------------------------------

    def _fill(self) -> None:
        rows = self.versions.rows
        for column, text in ((1, self.versions.theirs), (2, self.versions.mine)):
            self.grid.addWidget(label(text, "section", self.inside), 0, column)
        hazards = [row for row in rows if row.hazard]
        others = [row for row in rows if not row.hazard]
        for heading, group in (("Hazards", hazards), ("Other answers", others)):
            if group:
                place = self.grid.rowCount()
                self.grid.addWidget(label(heading, "section", self.inside), place, 0, 1, 3)
            for row in group:
                self._add(row)
        self.grid.setRowStretch(self.grid.rowCount(), 1)

    def _add(self, row: Difference) -> None:
        place = self.grid.rowCount()
        title = label(row.title, "new" if row.hazard else "", self.inside)
        self.grid.addWidget(title, place, 0, Qt.AlignmentFlag.AlignVCenter)
        sides = (("theirs", row.theirs, self.versions.theirs),
                 ("mine", row.mine, self.versions.mine))  # fmt: skip
        if not self._picks:
            for column, (_, value, _) in enumerate(sides, 1):
                self.grid.addWidget(label(self._text(row, value), "", self.inside), place, column)
            return
        made = []
        for column, (side, value, name) in enumerate(sides, 1):
            text = self._text(row, value)
            hint = ONLY_CHANGED if row.only == side else ""
            button = OptionButton(row.key, text, hint, "", self.inside)
            button.set_ticks(True)
            button.setAccessibleName(f"{row.title}: {text} ({name})")
            # A hazard is picked by a person; any other answer is where only one side changed it.
            button.setChecked(row.only == side and not row.hazard)
            self.grid.addWidget(button, place, column)
            made.append(button)
        theirs, mine = made
        for button, other in ((theirs, mine), (mine, theirs)):
            button.clicked.connect(lambda _, one=button, two=other: self._pick(one, two))
        self.pairs[row.key] = (theirs, mine)

    def _text(self, row: Difference, value: object) -> str:
        text = row.text(value, self.versions.system)
        return text if len(text) <= LONGEST else f"{text[:LONGEST]}..."

    def _choices(self) -> QHBoxLayout:
        line = QHBoxLayout()
        line.addStretch(1)
        for choice, text in self.versions.choices:
            button = QPushButton(text, self)
            button.setMinimumHeight(theme.TARGET)
            button.setAutoDefault(False)
            button.clicked.connect(lambda _, chosen=choice: self._choose(chosen))
            line.addWidget(button)
            self.buttons[choice] = button
        last = self.buttons[self.versions.choices[-1][0]]
        last.setDefault(True)  # Enter replaces nothing
        return line

    def showEvent(self, event: QShowEvent) -> None:
        """The keyboard begins with the first answer that is to be picked."""
        super().showEvent(event)
        for theirs, mine in self.pairs.values():
            if not (theirs.isChecked() or mine.isChecked()):
                theirs.setFocus()
                return
        self.buttons[self.versions.choices[-1][0]].setFocus()

    # -- choosing ----------------------------------------------------------------------

    def _pick(self, one: OptionButton, other: OptionButton) -> None:
        one.setChecked(True)
        other.setChecked(False)
        self._count()

    def _count(self) -> None:
        if not self._picks:
            self.open_picks.hide()
            return
        left = sum(not (a.isChecked() or b.isChecked()) for a, b in self.pairs.values())
        many = "answer is" if left == 1 else "answers are"
        self.open_picks.setText(
            f"{left} {many} not picked yet." if left else "Every answer is picked."
        )
        self.buttons[Choice.PICKED].setEnabled(left == 0)

    def _choose(self, choice: Choice) -> None:
        self.choice = choice
        self.accept()
