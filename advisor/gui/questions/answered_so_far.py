"""What was answered so far, below the question where there is room: a touch changes it."""

from __future__ import annotations

from functools import partial
from textwrap import shorten

from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from advisor.gui import theme
from advisor.gui.navigator import Navigator
from advisor.gui.widgets.flow_row import FlowRow

LONGEST = 46
"""Letters of one answer."""


class AnsweredSoFar(QWidget):
    """A button an answer, hazards apart: they have their own page and stay in sight there."""

    def __init__(self, navigator: Navigator, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._navigator = navigator
        self._shown: tuple[tuple[str, str], ...] = ()
        self.buttons: list[QPushButton] = []
        head = QLabel("Answered so far: touch one to change it", self)
        head.setObjectName("small")
        self.row = FlowRow(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(6)
        column.addWidget(head)
        column.addWidget(self.row)

    def show_answers(self, asked: str, most: int) -> bool:
        """Show the last ``most`` answers but that to ``asked``; False where there are none."""
        session = self._navigator.session
        if not session.case.facts:
            return False  # before the first answer nothing more is loaded than it takes
        from advisor.session.answer_text import answer_text
        from advisor.wording.sentences import capital

        known = {entry.key: entry.fact for entry in self._navigator.order if entry.fact is not None}
        wanted = tuple(
            (key, f"{fact.title}: {capital(answer_text(fact, value, session.system))}")
            for key, value in session.case.facts.items()
            if (fact := known.get(key)) is not None and not fact.gate and key != asked
        )[-most:]
        if wanted != self._shown:
            self._shown = wanted
            for button in self.buttons:
                button.hide()
                button.deleteLater()
            self.buttons = [self._button(key, text) for key, text in wanted]
            self.row.show_parts(self.buttons)
        return bool(wanted)

    def forget_height(self) -> None:
        """Have the layouts ask anew how high it is: while it was hidden they did not hear."""
        self.row.updateGeometry()
        self.updateGeometry()

    def _button(self, key: str, text: str) -> QPushButton:
        button = QPushButton(shorten(text, LONGEST, placeholder="..."), self.row)
        button.setAccessibleName(f"Change {text}")
        button.setToolTip(text)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(partial(self._navigator.go, key))
        button.show()
        return button
