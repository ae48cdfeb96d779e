"""A column that is filled anew by changing what differs: widgets that can stay do stay.

Making a label, dressing it and laying the page out again takes far longer than setting its
words. A widget that stays also keeps the keyboard, its place on the page and the words a
person has marked in it.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Callable, Collection, Hashable, Sequence
from itertools import pairwise
from typing import Protocol

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QAbstractButton, QBoxLayout, QScrollArea, QWidget


class Thing(Protocol):
    """Something described, for which there is a widget. Equal descriptions look the same."""

    def __hash__(self) -> int:
        """Descriptions are values."""
        ...

    @property
    def kind(self) -> Hashable:
        """Things of one kind can take over each other's widget."""
        ...

    @property
    def name(self) -> Hashable:
        """What it is about: the widget of the same thing is taken over before any other."""
        ...


class Block(Thing, Protocol):
    """One block of a page."""

    def make(self, parent: QWidget) -> QWidget:
        """A widget that shows it."""
        ...

    def refill(self, widget: QWidget) -> None:
        """Show it on a widget that a block of its kind has made."""
        ...


def matched(old: Sequence[Thing], new: Sequence[Thing]) -> list[int | None]:
    """For each new thing the place of the old one whose widget it takes over, None for none.

    Equal things first, then the same thing with other content, then one of the same kind;
    among those the first. No place is given twice.
    """
    found: list[int | None] = [None] * len(new)
    free = dict(enumerate(old))
    ways: tuple[Callable[[Thing], Hashable], ...] = (
        lambda thing: thing,
        lambda thing: (thing.kind, thing.name),
        lambda thing: thing.kind,
    )
    for way in ways:
        places: defaultdict[Hashable, deque[int]] = defaultdict(deque)
        for at, thing in free.items():
            places[way(thing)].append(at)
        for i, thing in enumerate(new):
            alike = places.get(way(thing)) if places and found[i] is None else None
            if alike:
                place = alike.popleft()
                found[i] = place
                del free[place]
    return found


def give_up(widget: QWidget) -> None:
    """Away with a widget; what is going on in it ends first."""
    widget.hide()
    widget.deleteLater()


def give_height(area: QScrollArea) -> None:
    """Have what ``area`` scrolls laid out at the height that it needs, once it is seen.

    What was laid out before had other fonts and widths, and nobody asks a second time.
    """

    def ask_again() -> None:
        inside = area.widget()
        for child in inside.children() if inside is not None else ():
            if isinstance(child, QWidget):
                child.updateGeometry()

    QTimer.singleShot(0, area, ask_again)


def empty(layout: QBoxLayout, keep: Collection[QWidget] = ()) -> None:
    """Take everything out of a layout; what is not kept goes for good.

    Widgets are removed by name: an item taken out lives on for a while, and a widget put in
    again would then keep the height that it had.
    """
    while layout.count():
        item = layout.itemAt(0)
        widget = item.widget() if item is not None else None
        if widget is None:
            layout.takeAt(0)
            continue
        layout.removeWidget(widget)
        if widget not in keep:
            give_up(widget)


def read_in_order(widgets: Sequence[QWidget]) -> None:
    """Have widgets of one parent read aloud in this order, which is that of its children."""
    for one, after in reversed(list(pairwise(widgets))):
        one.stackUnder(after)


class RefilledColumn:
    """Blocks one under the other in a layout that is all theirs."""

    def __init__(self, layout: QBoxLayout, parent: QWidget, before: QWidget) -> None:
        """``before`` is what the keyboard goes on from to the first block."""
        self._layout = layout
        self._parent = parent
        self._before = before
        self._blocks: list[Block] = []
        self._widgets: list[QWidget] = []
        layout.addStretch(1)

    def fill(self, blocks: Sequence[Block]) -> None:
        """Show these blocks, and no others."""
        # Each widget that is shown would lay out all there is by then.
        self._layout.setEnabled(False)
        try:
            self._fill(list(blocks))
        finally:
            self._layout.setEnabled(True)
        self._layout.activate()

    def _fill(self, blocks: list[Block]) -> None:
        taken = matched(self._blocks, blocks)
        widgets: list[QWidget] = []
        for place, block in zip(taken, blocks, strict=True):
            if place is None:
                widgets.append(block.make(self._parent))
                continue
            widgets.append(self._widgets[place])
            if block != self._blocks[place]:
                block.refill(self._widgets[place])
        kept = {place for place in taken if place is not None}
        for place, widget in enumerate(self._widgets):
            if place not in kept:
                self._layout.removeWidget(widget)
                give_up(widget)
        self._order([w for place, w in enumerate(self._widgets) if place in kept], widgets)
        self._blocks, self._widgets = blocks, widgets

    def _order(self, shown: list[QWidget], widgets: list[QWidget]) -> None:
        """Bring the widgets into order, for the eye, the ear and the keyboard."""
        if shown == widgets:
            return
        for place, widget in enumerate(widgets):
            if place < len(shown) and shown[place] is widget:
                continue
            if widget in shown:
                shown.remove(widget)
                self._layout.removeWidget(widget)
            shown.insert(place, widget)
            self._layout.insertWidget(place, widget)
            widget.show()
        read_in_order(widgets)
        last = self._before
        for widget in _reached(widgets):
            QWidget.setTabOrder(last, widget)
            last = widget


def _reached(widgets: Sequence[QWidget]) -> list[QWidget]:
    """What the Tab key stops at, in order: the buttons; words and drawings take no keys."""
    return [button for widget in widgets for button in widget.findChildren(QAbstractButton)]
