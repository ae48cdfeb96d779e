"""Answers of which one is picked: options on large buttons, or yes and no."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial
from itertools import pairwise
from typing import cast

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLineEdit, QVBoxLayout, QWidget

from advisor.drawing.picker_layout import found
from advisor.facts.case import Case, Value
from advisor.facts.declaration import FactDecl, Option
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.answers.answer_base import NO_TEXT, Answer
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.widgets.pictured import PICTURED, pictogram_file
from advisor.gui.widgets.refilled_column import read_in_order

LATER = 40
"""Milliseconds after which pictograms follow the words."""
TWO_COLUMNS = 430
"""Width at 100 % text from which many options stand in two columns, pictures apart, px."""
FILTER_FROM = 10
"""Number of options from which a word to look for is offered."""


class ChoiceAnswer(Answer):
    """Large buttons; one is picked, or several where it is not known for certain.

    In a long list letters typed anywhere shorten it, and Enter picks the best match.
    """

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        self.buttons = [OptionButton(o.key, o.title, o.sentence, "", self) for o in fact.options]
        self.shown: list[OptionButton] = []
        self.offered = fact.options
        """The options that go with the other answers of the case."""
        self.search = QLineEdit(self)
        self.search.setPlaceholderText("Type a word to shorten the list")
        self.search.setAccessibleName("Shorten the list")
        self.search.setMaxLength(60)
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._lay_out)
        self.search.installEventFilter(self)
        self.several = QCheckBox("Not certain: several are possible", self)
        self.several.toggled.connect(self._several_toggled)
        for button in self.buttons:
            button.clicked.connect(self._clicked)
            button.pointed_at.connect(partial(self._pointed_at, button.key))
        if fact.name in PICTURED:
            for button in self.buttons:
                button.set_picture(pictogram_file(fact, button.key), PICTURED[fact.name][1])
        self._columns = 0
        self._build()
        self.search.setVisible(len(self.buttons) >= FILTER_FROM)
        self.several.setVisible(len(self.buttons) > 2)
        self._lay_out()

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Tick the answer or answers."""
        chosen = value if isinstance(value, tuple) else ()
        if len(chosen) > 1 and not self.several.isChecked():
            self.several.blockSignals(True)
            self.several.setChecked(True)
            self.several.blockSignals(False)
        for button in self.buttons:
            button.set_ticks(self.several.isChecked())
            button.setChecked(button.key in chosen)
            button.update()

    def showEvent(self, event: QShowEvent) -> None:
        """Pictures follow the words: drawing them takes longer than the first question may."""
        super().showEvent(event)
        if self.fact.name in PICTURED:
            QTimer.singleShot(LATER, self, self._draw_pictures)

    def _draw_pictures(self) -> None:
        """A pictogram on each button whose kind has one; its room was kept."""
        for button in self.buttons:
            button.draw_picture()

    def offer(self, options: tuple[Option, ...]) -> None:
        """Show only these options, in this order."""
        if options != self.offered:
            self.offered = options
            self._lay_out()
            # Heights that were asked for at the width there was are forgotten.
            for button in self.shown:
                button.updateGeometry()
            self.updateGeometry()

    def first_focus(self) -> QWidget | None:
        """The chosen button, else the first one."""
        shown = self.shown or self.buttons
        chosen = [button for button in shown if button.isChecked()]
        return next(iter(chosen or shown), None)

    # -- keys --------------------------------------------------------------------

    def take_key(self, event: QKeyEvent) -> bool:
        """1 to 9 pick; letters go to the line that shortens the list, where there is one."""
        if self.search.hasFocus() or event.modifiers() & NO_TEXT:
            return False
        if self._pick_number(event.text()):
            return True
        if self.search.isHidden() or not event.text().isalpha():
            return False
        self.search.setFocus()
        self.search.insert(event.text())
        return True

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Keys in the line that shortens the list."""
        typed = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if watched is self.search and typed and self._search_key(cast(QKeyEvent, event)):
            return True
        return super().eventFilter(watched, event)

    def _search_key(self, event: QKeyEvent) -> bool:
        """Enter picks the best match, digits one of the first nine, Escape shows all again."""
        key, typed = event.key(), bool(self.search.text().strip())
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and typed:
            # "None of these" is chosen on purpose, never for want of a match.
            self._pick([
                button for button in self.shown[:1]
                if not self.fact.option(button.key).not_covered
            ])  # fmt: skip
        elif key == Qt.Key.Key_Escape and self.search.text():
            self.search.clear()
            self._focus_list()
        elif key == Qt.Key.Key_Down and self.shown:
            self.shown[0].setFocus()
        else:
            return self._pick_number(event.text())
        return True

    def _pick_number(self, digit: str) -> bool:
        picked = [button for button in self.shown if digit and button.digit == digit]
        return self._pick(picked)

    def _pick(self, picked: list[OptionButton]) -> bool:
        for button in picked:
            button.setFocus()
            button.click()
        return bool(picked)

    def _focus_list(self) -> None:
        target = self.first_focus()
        if target is not None:
            target.setFocus()

    # -- where the buttons stand -------------------------------------------------

    def _build(self) -> None:
        """Put line, buttons and tick box into a layout."""
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.search)
        self.grid = QGridLayout()
        self.grid.setSpacing(8)
        layout.addLayout(self.grid)
        layout.addWidget(self.several)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width: as many columns as fit."""
        super().resizeEvent(event)
        if self._wanted_columns() != self._columns:
            self._lay_out()
            # The layout above is in the middle of its work and would not look again.
            QTimer.singleShot(0, self, self.updateGeometry)

    def _wanted_columns(self) -> int:
        pictures = 2 * PICTURED[self.fact.name][1] if self.fact.name in PICTURED else 0
        roomy = self.width() >= theme.px(TWO_COLUMNS + pictures)
        return 2 if len(self.buttons) > 3 and roomy else 1

    def _lay_out(self) -> None:
        keys = [option.key for option in self._found()]
        self._show([button for key in keys for button in self.buttons if button.key == key])
        self._columns = self._wanted_columns()
        for button in self.buttons:
            self.grid.removeWidget(button)
        for index, button in enumerate(self.shown):
            self.grid.addWidget(button, index // self._columns, index % self._columns)
        for column in range(2):
            self.grid.setColumnStretch(column, 1 if column < self._columns else 0)

    def _found(self, vehicles: Collection[str] = ()) -> list[Option]:
        """The options that match what was typed; "none of these" always does, and is last."""
        matching = found(self.offered, self.search.text(), vehicles)
        odd = [option for option in self.offered if option.not_covered]
        return [*(option for option in matching if not option.not_covered), *odd]

    def _show(self, shown: list[OptionButton]) -> None:
        """Show these buttons, in this order, the first nine with their number."""
        self.shown = shown
        for button in self.buttons:
            button.setVisible(button in shown)
        for number, button in enumerate(shown, start=1):
            button.set_digit(str(number) if number < 10 else "")
        read_in_order(shown)
        for one, other in pairwise(shown):
            QWidget.setTabOrder(one, other)

    # -- answers -----------------------------------------------------------------

    def _pointed_at(self, key: str, on: bool) -> None:
        self.pointed.emit((key,) if on and not self.several.isChecked() else None)

    def _clicked(self) -> None:
        button = self.sender()
        if not isinstance(button, OptionButton):
            return
        if not self.several.isChecked():
            for other in self.buttons:
                other.setChecked(other is button)
            self.given.emit((button.key,))
            self.picked.emit()
            return
        self._give_ticked()

    def _several_toggled(self, on: bool) -> None:
        for button in self.buttons:
            button.set_ticks(on)
        ticked = [button for button in self.buttons if button.isChecked()]
        if not on and len(ticked) > 1:
            for button in ticked[1:]:
                button.setChecked(False)
            self._give_ticked()

    def _give_ticked(self) -> None:
        ticked = tuple(button.key for button in self.buttons if button.isChecked())
        self.given.emit(ticked or None)


class YesNoAnswer(Answer):
    """Two large buttons."""

    def __init__(self, fact: FactDecl, parent: QWidget | None = None) -> None:
        super().__init__(fact, parent)
        layout = QGridLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(12)
        self.yes = OptionButton("yes", "Yes", "", "Y", self)
        self.no = OptionButton("no", "No", "", "N", self)
        for column, button in enumerate((self.yes, self.no)):
            button.setMinimumHeight(76)
            button.clicked.connect(self._clicked)
            button.pointed_at.connect(partial(self._pointed_at, button is self.yes))
            layout.addWidget(button, 0, column)

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Tick yes, no or neither."""
        self.yes.setChecked(value is True)
        self.no.setChecked(value is False)

    def first_focus(self) -> QWidget | None:
        """The answer given, else yes."""
        return self.no if self.no.isChecked() else self.yes

    def take_key(self, event: QKeyEvent) -> bool:
        """Y and N pick."""
        button = {Qt.Key.Key_Y: self.yes, Qt.Key.Key_N: self.no}.get(Qt.Key(event.key()))
        if button is None or event.modifiers() != Qt.KeyboardModifier.NoModifier:
            return False
        button.setFocus()
        button.click()
        return True

    def _pointed_at(self, yes: bool, on: bool) -> None:
        self.pointed.emit(yes if on else None)

    def _clicked(self) -> None:
        yes = self.sender() is self.yes
        self.yes.setChecked(yes)
        self.no.setChecked(not yes)
        self.given.emit(yes)
        self.picked.emit()
