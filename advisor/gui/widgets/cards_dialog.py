"""A dialog as large as the window: a state on top, cards in a scrolled column, buttons below."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.facts.faults import BadInput
from advisor.gui import theme
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.page import label
from advisor.gui.widgets.record_form import RecordForm
from advisor.gui.widgets.refilled_column import empty

Press = tuple[str, Callable[[], object]]
"""What a button says and does."""


class CardsDialog(QDialog):
    """Its column is filled by `redraw`, which keeps the place it was scrolled to."""

    def __init__(
        self, title: str, left: Sequence[Press], main: Press, parent: QWidget
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.state = QLabel(self)
        self.state.setWordWrap(True)
        self.area = QScrollArea(self)
        self.area.setWidgetResizable(True)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.inside = QWidget(self.area)
        self.column = QVBoxLayout(self.inside)
        self.column.setContentsMargins(14, 10, 14, 10)
        self.column.setSpacing(8)
        self.area.setWidget(self.inside)
        row = QHBoxLayout()
        self.left = [self.button(text, action, self) for text, action in left]
        for button in self.left:
            row.addWidget(button)
        row.addStretch(1)
        row.addWidget(self.button("Close", self.accept, self))
        self.write = self.button(*main, self)
        self.write.setObjectName("main")
        row.addWidget(self.write)
        whole = QVBoxLayout(self)
        whole.setSizeConstraint(QVBoxLayout.SizeConstraint.SetNoConstraint)
        whole.addWidget(self.state)
        whole.addWidget(self.area, 1)
        whole.addLayout(row)
        self.resize(parent.size() * 0.96)

    def redraw(self) -> None:
        """Fill the column anew."""
        raise NotImplementedError  # Qt does not check abstract methods; a test does.

    def button(self, text: str, action: Callable[[], object], parent: QWidget) -> QPushButton:
        """A button that Return in a field does not press."""
        found = QPushButton(text, parent)
        found.setAutoDefault(False)
        found.setMinimumHeight(theme.TARGET)
        found.clicked.connect(lambda: action())
        return found

    def say_state(self, text: str, look: str) -> None:
        """What stands on top."""
        self.state.setObjectName(look)
        self.state.setText(text)
        self.state.style().polish(self.state)

    def clear(self) -> None:
        """Take all cards away."""
        empty(self.column)

    def add(self, widget: QWidget) -> None:
        """One more below the others."""
        self.column.addWidget(widget)
        widget.show()

    def card(
        self, title: str, lines: Sequence[str] = (), presses: Sequence[Press] = (),
        inside: Sequence[QWidget] = (),
    ) -> QFrame:  # fmt: skip
        """A card with buttons beside its title."""
        card = QFrame(self.inside)
        card.setObjectName("card")
        column = QVBoxLayout(card)
        column.setContentsMargins(12, 8, 12, 8)
        column.setSpacing(4)
        head = QHBoxLayout()
        head.addWidget(label(title, "section", card), 1)
        for text, action in presses:
            button = self.button(text, action, card)
            button.setAccessibleName(f"{text} {title}")
            head.addWidget(button)
        column.addLayout(head)
        for line in lines:
            column.addWidget(label(line, "", card))
        for widget in inside:
            column.addWidget(widget)
        return card

    def entry(self, said: str, presses: Sequence[Press]) -> QWidget:
        """A line with buttons at its right."""
        row = QWidget(self.inside)
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(label(said, "", row), 1)
        for text, action in presses:
            button = self.button(text, action, row)
            button.setAccessibleName(f"{text} {said}")
            layout.addWidget(button)
        return row

    def run(self, form: RecordForm) -> None:
        """Show a form, then all as it stands."""
        form.exec()
        form.deleteLater()
        self.redraw()

    def attempt(self, change: Callable[[], object]) -> None:
        """Change something; what is wrong is said, and nothing is kept then."""
        try:
            change()
        except BadInput as error:
            dialogs.show_faults(self, "It was not kept.", [fault.text for fault in error.faults])
        except OSError as error:
            dialogs.show_faults(self, "It was not kept.", [str(error)])
        self.redraw()
