"""A long list of options under headings: all of it on one screen, or found by a few letters."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from advisor.drawing.picker_layout import Block, blocks, columns, usual
from advisor.facts.case import VEHICLE, Case, Value
from advisor.facts.declaration import Option
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.widgets.refilled_column import empty

COLUMN = 212
"""Least width of a column at 100 % text, px."""
MOST = 4
"""Columns side by side at most."""
HEAD = 26.0
"""Height of a heading, px."""
GAP = 4
WIDE_FROM = 21
"""Number of options from which the list needs the whole width of the window."""
NOTHING = "Nothing in the list has that name. Escape shows all of it; try a shorter word."
ARROWS = {
    Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


class GroupedChoice(ChoiceAnswer):
    """Titles in columns under headings, what is usual in this vehicle first."""

    _vehicles: tuple[str, ...] = ()
    _less_often = False
    """Whether below the usual options there are others than "none of these"."""

    def show_answer(self, value: Value | None, case: Case, system: System) -> None:
        """Tick the answers; the vehicle of the case decides what comes first."""
        given = case.facts.get(VEHICLE)
        vehicles = given if isinstance(given, tuple) else ()
        if vehicles != self._vehicles:
            self._vehicles = vehicles
            self._lay_out()
        super().show_answer(value, case, system)

    # -- where the buttons stand -------------------------------------------------

    def _build(self) -> None:
        self.wide = len(self.buttons) >= WIDE_FROM
        self.search.setPlaceholderText("Type a few letters")
        self.said = QLabel(self)
        self.said.setObjectName("small")
        self.said.setWordWrap(True)
        self.said.setMinimumHeight(theme.TARGET - 10)
        self.heads: list[QLabel] = []
        self.top = QGridLayout()
        self.top.setHorizontalSpacing(12)
        self.top.setVerticalSpacing(2)
        self.first, self.rest = _Columns(self), _Columns(self)
        self.less = QLabel("Less often in such a vehicle:", self)
        self.less.setObjectName("quiet")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(6)
        layout.addLayout(self.top)
        layout.addLayout(self.first.row)
        layout.addWidget(self.less)
        layout.addLayout(self.rest.row)
        for button in self.buttons:
            button.installEventFilter(self)

    def _wanted_columns(self) -> int:
        return max(1, min(MOST, self.width() // theme.px(COLUMN)))

    def _lay_out(self) -> None:
        self._columns = self._wanted_columns()
        self._lay_top()
        for head in self.heads:
            head.hide()
            head.deleteLater()
        self.heads.clear()
        for part in (self.first, self.rest):
            part.clear(self.buttons)
        if self.search.text().strip():
            self._lay_found()
        else:
            self._lay_all()
        self.less.setVisible(self.rest.filled and self._less_often)
        focus = self.focusWidget()
        self._say(focus if isinstance(focus, OptionButton) and focus in self.shown else None)

    def _lay_top(self) -> None:
        """The line to type in, what is under the finger, the tick box: one row where it fits."""
        for widget in (self.search, self.said, self.several):
            self.top.removeWidget(widget)
        self.top.addWidget(self.search, 0, 0)
        if self._columns > 2:
            self.top.addWidget(self.said, 0, 1)
            self.top.addWidget(self.several, 0, 2)
        else:
            self.top.addWidget(self.several, 1, 0)
            self.top.addWidget(self.said, 2, 0)
        for column, share in enumerate((3, 4, 0) if self._columns > 2 else (1, 0, 0)):
            self.top.setColumnStretch(column, share)

    def _lay_found(self) -> None:
        """The options that match, the best first, each with its sentence."""
        options = self._found(self._vehicles)
        shown = self._buttons(option.key for option in options)
        count = max(1, min(self._columns, 3, len(shown)))
        for index, button in enumerate(shown):
            button.set_short(False)
            self.first.add(button, index % count)
        if all(option.not_covered for option in options):
            self.first.add(self._head(NOTHING), 0)
            count = 1
        self.first.spread(count)
        self._show(shown)

    def _lay_all(self) -> None:
        """Every option: the usual ones on top, the others below a line."""
        at_home = [o for o in usual(self.offered, self._vehicles) if not o.not_covered]
        others = [option for option in self.offered if option not in at_home]
        self._less_often = not all(option.not_covered for option in others)
        shown = self._lay_blocks(self.first, at_home)
        if others:
            shown += self._lay_blocks(self.rest, others)
        self._show(shown)

    def _lay_blocks(self, into: _Columns, options: Sequence[Option]) -> list[OptionButton]:
        found_blocks = blocks(options)
        heights = [HEAD + len(block.keys) * (theme.TARGET + GAP) for block in found_blocks]
        laid = columns(heights, self._columns)
        shown: list[OptionButton] = []
        for column, indices in enumerate(laid):
            for index in indices:
                shown += self._lay_block(into, column, found_blocks[index])
        into.spread(self._columns)
        return shown

    def _lay_block(self, into: _Columns, column: int, block: Block) -> list[OptionButton]:
        into.add(self._head(block.title), column)
        shown = self._buttons(block.keys)
        for button in shown:
            button.set_short(True)
            into.add(button, column)
        return shown

    def _head(self, text: str) -> QLabel:
        head = QLabel(text, self)
        head.setObjectName("section")
        head.setWordWrap(True)
        head.show()
        self.heads.append(head)
        return head

    def _buttons(self, keys: Iterable[str]) -> list[OptionButton]:
        by_key = {button.key: button for button in self.buttons}
        return [by_key[key] for key in keys]

    # -- keys and words ----------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Arrows go to the next button that way; what is under finger or key is explained."""
        if isinstance(watched, OptionButton):
            if event.type() in (QEvent.Type.FocusIn, QEvent.Type.Enter):
                self._say(watched)
            elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
                way = ARROWS.get(Qt.Key(event.key()))
                if way is not None and event.modifiers() in (
                    Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier,
                ):
                    return self._go(watched, way)
        return super().eventFilter(watched, event)

    def _say(self, button: OptionButton | None) -> None:
        text = f"{button.title}: {button.sentence}" if button and button.sentence else ""
        self.said.setText(text)

    def _go(self, start: OptionButton, way: tuple[int, int]) -> bool:
        """Focus the nearest button that lies that way; the line above where none lies on top."""
        here = self._place(start)
        ahead = [
            (_distance(here, self._place(button), way), index)
            for index, button in enumerate(self.shown)
            if button is not start and _ahead(here, self._place(button), way)
        ]
        if ahead:
            target: QWidget = self.shown[min(ahead)[1]]
        elif way == (0, -1):
            target = self.search
        else:
            return True
        target.setFocus()
        self._reveal(target)
        return True

    def _place(self, button: QWidget) -> QRect:
        return QRect(button.mapTo(self, QPoint(0, 0)), button.size())

    def _reveal(self, widget: QWidget) -> None:
        above = self.parentWidget()
        while above is not None and not isinstance(above, QScrollArea):
            above = above.parentWidget()
        if above is not None:
            above.ensureWidgetVisible(widget, 0, 30)


class _Columns:
    """Columns side by side that are emptied and filled again."""

    def __init__(self, parent: QWidget) -> None:
        self.row = QHBoxLayout()
        self.row.setSpacing(10)
        self._columns = [QVBoxLayout() for _ in range(MOST)]
        self.filled = False
        for column in self._columns:
            column.setSpacing(GAP)
            self.row.addLayout(column)

    def clear(self, keep: Collection[QWidget]) -> None:
        """Take everything out; what is not kept goes for good."""
        for column in self._columns:
            empty(column, keep)
        self.filled = False

    def add(self, widget: QWidget, column: int) -> None:
        """Put a widget at the bottom of a column."""
        self._columns[column].addWidget(widget)
        self.filled = True

    def spread(self, count: int) -> None:
        """Share the width among the first ``count`` columns; their widgets stay on top."""
        for index, column in enumerate(self._columns):
            column.addStretch(1)
            self.row.setStretch(index, 1 if index < count else 0)


def _ahead(here: QRect, there: QRect, way: tuple[int, int]) -> bool:
    """Whether ``there`` lies that way from ``here``."""
    step = there.center() - here.center()
    along = step.x() * way[0] + step.y() * way[1]
    clear = here.width() if way[0] else here.height()
    return along > 0.5 * clear and (not way[1] or _beside(here, there))


def _beside(here: QRect, there: QRect) -> bool:
    return here.left() < there.right() and there.left() < here.right()


def _distance(here: QRect, there: QRect, way: tuple[int, int]) -> int:
    """How far off, with what lies to the side counted twice."""
    step = there.center() - here.center()
    along, aside = (step.x(), step.y()) if way[0] else (step.y(), step.x())
    return abs(along) + 2 * abs(aside)
