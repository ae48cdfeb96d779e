"""What came of a job: three buttons, and what one may add, in a few seconds each."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QDoubleSpinBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme

STATES = (("done", "Job done now"), ("held", "Held"), ("back", "Came back"),
          ("unknown", "Not known"))  # fmt: skip


class OutcomeForm(QWidget):
    """``entered`` goes out with the state and what was added to it."""

    entered = Signal(str, dict)

    def __init__(self, author: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._author = author
        self.failed = QLineEdit(self)
        self.failed.setPlaceholderText("What failed, if it came back")
        self.failed.setAccessibleName("What failed")
        self.years = _figure(self, "years", 100, 1, "Years after the job; empty: till now")
        self.minutes = _figure(self, "minutes", 10_000, 0, "Minutes really taken")
        self.material = _figure(self, "material", 100_000, 2, "Price of the material")
        title = QLabel("What came of it?", self)
        grid = QGridLayout()
        grid.addWidget(self.failed, 0, 0, 1, 3)
        for column, box in enumerate((self.years, self.minutes, self.material)):
            grid.addWidget(box, 1, column)
        buttons = QGridLayout()
        self.buttons: dict[str, QPushButton] = {}
        for number, (state, word) in enumerate(STATES):
            button = QPushButton(word, self)
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(lambda _=False, state=state: self._enter(state))
            self.buttons[state] = button
            buttons.addWidget(button, number // 2, number % 2)
        column_of_all = QVBoxLayout(self)
        column_of_all.setContentsMargins(0, 0, 0, 0)
        column_of_all.addWidget(title)
        column_of_all.addLayout(grid)
        column_of_all.addLayout(buttons)

    def clear(self) -> None:
        """Begin with another case."""
        self.failed.clear()
        for box in (self.years, self.minutes, self.material):
            box.setValue(box.minimum())

    def _enter(self, state: str) -> None:
        told: dict[str, Any] = {"failed": self.failed.text().strip(), "author": self._author}
        for name, box in (
            ("years", self.years), ("minutes", self.minutes), ("material", self.material)
        ):  # fmt: skip
            told[name] = None if box.value() <= box.minimum() else box.value()
        self.entered.emit(state, told)


def _figure(parent: QWidget, words: str, most: float, digits: int, name: str) -> QDoubleSpinBox:
    """A figure that may stay out: its lowest value shows words and stands for nothing."""
    box = QDoubleSpinBox(parent)
    box.setDecimals(digits)
    step = 10.0**-digits
    box.setRange(-step, most)
    box.setSpecialValueText(words)
    box.setValue(-step)
    box.setMinimumHeight(theme.TARGET - 8)
    box.setAlignment(Qt.AlignmentFlag.AlignCenter)
    box.setAccessibleName(name)
    box.setToolTip(name)
    return box
