"""What stands on a page that is filled by blocks: lines, points, rows of buttons."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from advisor.gui import theme
from advisor.gui.widgets.page import PointLine, label, point
from advisor.gui.widgets.refilled_column import Block


@dataclass(frozen=True)
class Line:
    """A line of text; it wraps."""

    text: str
    look: str = ""

    @property
    def kind(self) -> Hashable:
        """A label is dressed once, so only one of the same look can take over."""
        return "line", self.look

    @property
    def name(self) -> Hashable:
        """Lines are about nothing in particular."""
        return ""

    def make(self, parent: QWidget) -> QWidget:
        """A label."""
        return label(self.text, self.look, parent)

    def refill(self, widget: QWidget) -> None:
        """Other words."""
        assert isinstance(widget, QLabel)
        widget.setText(self.text)


@dataclass(frozen=True)
class Point:
    """A line that hangs from a dot or a number."""

    mark: str
    text: str

    @property
    def kind(self) -> Hashable:
        """One is as good as another."""
        return "point"

    @property
    def name(self) -> Hashable:
        """Points are about nothing in particular."""
        return ""

    def make(self, parent: QWidget) -> QWidget:
        """Mark and words."""
        return point(self.mark, self.text, parent)

    def refill(self, widget: QWidget) -> None:
        """Other words."""
        assert isinstance(widget, PointLine)
        widget.mark.setText(self.mark)
        widget.words.setText(self.text)


@dataclass(frozen=True)
class Press:
    """A button. Buttons of one page that read the same do the same."""

    text: str
    action: Callable[[], object] = field(compare=False)


@dataclass(frozen=True)
class Presses:
    """Buttons side by side, from the left."""

    buttons: tuple[Press, ...]

    @property
    def kind(self) -> Hashable:
        """A button that is under the keyboard must not become another one."""
        return "buttons", self.buttons

    @property
    def name(self) -> Hashable:
        """The buttons tell."""
        return ""

    def make(self, parent: QWidget) -> QWidget:
        """The buttons, in one row."""
        box = QWidget(parent)
        row = QHBoxLayout(box)
        row.setContentsMargins(0, 0, 0, 0)
        for press in self.buttons:
            button = QPushButton(press.text, box)
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(lambda _=False, action=press.action: action())
            row.addWidget(button)
        row.addStretch(1)
        return box

    def refill(self, widget: QWidget) -> None:
        """Never called: blocks of this kind are equal."""


class LineBlocks(list[Block]):
    """The blocks of a page as they are added, from the top."""

    def say(self, text: str, look: str = "") -> None:
        """Add a line; empty text adds nothing."""
        if text:
            self.append(Line(text, look))

    def head(self, text: str) -> None:
        """Add a heading."""
        self.say(text, "section")

    def points(self, texts: Iterable[str]) -> None:
        """Add lines that begin with a dot."""
        self.extend(Point("•", text) for text in texts)
