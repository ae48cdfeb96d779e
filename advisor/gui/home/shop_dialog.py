"""What is said once: units, tools, prices; and the head of the shop and who works here."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.gui import theme
from advisor.gui.look import Look
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import fit
from advisor.gui.widgets.page import label
from advisor.session.shop_settings import PAPERS, UNITS

UNIT_WORDS = {"metric": "mm, N, °C", "imperial": "in, lbf, °F"}


class ShopDialog(QDialog):
    """Three choices on top; below them the head of the papers and the people."""

    def __init__(
        self, look: Look, tools: Sequence[str], prices: Callable[[], object],
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.setWindowTitle("This shop")
        fit(self, 680, 600)
        self._look = look
        settings = look.settings
        area = QScrollArea(self)
        area.setWidgetResizable(True)
        inside = QWidget(area)
        column = QVBoxLayout(inside)
        column.setSpacing(8)
        column.addWidget(label("1. Units", "section", inside))
        self.units = self._choice(UNITS, settings.units, UNIT_WORDS, inside, column)
        column.addWidget(label("2. Prices", "section", inside))
        ask = QPushButton("Currency, hourly rate, tax...", inside)
        ask.setMinimumHeight(theme.TARGET)
        ask.clicked.connect(lambda: prices())
        column.addWidget(ask)
        column.addWidget(label("3. Tools in this shop", "section", inside))
        column.addWidget(label(
            "A question that takes one of them is only asked where it is ticked.", "quiet", inside
        ))  # fmt: skip
        self.tools = [self._tick(tool, tool in settings.tools, inside, column) for tool in tools]
        column.addWidget(label("Head of the papers", "section", inside))
        self.name = QLineEdit(settings.name, inside)
        self.address = QLineEdit(settings.address, inside)
        self.logo = QLineEdit(settings.logo, inside)
        self.people = QPlainTextEdit("\n".join(settings.people), inside)
        self.people.setMaximumHeight(theme.px(90))
        self.warranty = QLineEdit(settings.warranty, inside)
        form = QFormLayout()
        for title, field in (
            ("Name", self.name), ("Address", self.address), ("Logo, a picture", self.logo),
            ("", self._finder(inside)), ("People, one a line", self.people),
            ("Warranty, your own words", self.warranty),
        ):  # fmt: skip
            if title:
                field.setAccessibleName(title)
            form.addRow(title, field)
        column.addLayout(form)
        column.addWidget(label("Paper", "section", inside))
        self.paper = self._choice(PAPERS, settings.paper, {}, inside, column)
        column.addStretch(1)
        area.setWidget(inside)
        self.save, later = QPushButton("Save", self), QPushButton("Later", self)
        self.save.setObjectName("main")
        self.save.clicked.connect(self.accept)
        later.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addStretch(1)
        for button in (later, self.save):
            button.setMinimumHeight(theme.TARGET)
            row.addWidget(button)
        layout = QVBoxLayout(self)
        layout.addWidget(area, 1)
        layout.addLayout(row)

    def _finder(self, parent: QWidget) -> QPushButton:
        button = QPushButton("Choose the logo...", parent)
        button.setMinimumHeight(theme.TARGET)
        button.clicked.connect(self._find_logo)
        return button

    def _find_logo(self) -> None:
        found = dialogs.ask_picture(self)
        if found:
            self.logo.setText(found)

    def _choice(
        self, keys: Sequence[str], chosen: str, words: dict[str, str], parent: QWidget,
        column: QVBoxLayout,
    ) -> QButtonGroup:  # fmt: skip
        group, row = QButtonGroup(self), QHBoxLayout()
        for key in keys:
            button = QPushButton(words.get(key, key), parent)
            button.setCheckable(True)
            button.setChecked(key == chosen)
            button.setProperty("key", key)
            button.setMinimumHeight(theme.TARGET)
            group.addButton(button)
            row.addWidget(button)
        row.addStretch(1)
        column.addLayout(row)
        return group

    def _tick(self, text: str, on: bool, parent: QWidget, column: QVBoxLayout) -> QCheckBox:
        box = QCheckBox(text, parent)
        box.setChecked(on)
        column.addWidget(box)
        return box

    def chosen(self) -> dict[str, object]:
        """The settings as they stand in the dialog."""
        people = [line.strip() for line in self.people.toPlainText().splitlines()]
        return {
            "units": self._key(self.units), "paper": self._key(self.paper),
            "tools": tuple(box.text() for box in self.tools if box.isChecked()),
            "name": self.name.text().strip(), "address": self.address.text().strip(),
            "logo": self.logo.text().strip(), "warranty": self.warranty.text().strip(),
            "people": tuple(name for name in people if name), "asked": True,
        }  # fmt: skip

    @staticmethod
    def _key(group: QButtonGroup) -> str:
        button = group.checkedButton()
        return str(button.property("key")) if button is not None else ""


def ask_shop(
    look: Look, tools: Sequence[str], prices: Callable[[], object], parent: QWidget
) -> bool:
    """Ask, and keep what was said; whether it was. Raises BadInput where it cannot be kept."""
    dialog = ShopDialog(look, tools, prices, parent)
    try:
        if dialog.exec() != QDialog.DialogCode.Accepted:
            return False
        look.change(**dialog.chosen())
        return True
    finally:
        dialog.deleteLater()
