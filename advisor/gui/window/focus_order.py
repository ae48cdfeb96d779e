"""Where the keyboard goes: in the order in which the window is read, to what is seen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import pairwise

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget


def put_in_order(
    window: QWidget, parts: Sequence[QWidget], placed: QWidget | None = None
) -> None:
    """Have Tab go through ``parts`` one after another, and within each as it is read aloud.

    Pages and answers are made when they are first shown; without this Qt takes all of them
    last. What lies in ``placed`` is taken by its place from the top.
    """
    here, wanted = window.focusWidget(), list[QWidget]()
    for part in parts:
        inside = list(_stops(part, here))
        if placed is not None and part.isAncestorOf(placed):
            inside.sort(key=partial(_place, placed=placed))
        wanted += inside
    for one, after in pairwise(wanted):
        QWidget.setTabOrder(one, after)


def _stops(part: QWidget, here: QWidget | None) -> Iterator[QWidget]:
    """Everything in ``part`` that Tab may stop at, in the order of the children; ``here`` too.

    Qt looks for the next one also where the keyboard's own widget was just hidden. Not by
    ``nextInFocusChain``: each widget would keep its neighbour's Python object from then on, and
    the first of them that is deleted would end those of everything that Qt made in the window.
    """
    if not part.isVisible() and (here is None or not (part is here or part.isAncestorOf(here))):
        return
    if part.focusPolicy() & Qt.FocusPolicy.TabFocus and (part.isVisible() or part is here):
        yield part
    for child in part.children():
        if isinstance(child, QWidget) and not child.isWindow():
            yield from _stops(child, here)


def _place(stop: QWidget, placed: QWidget) -> tuple[int, int]:
    """From the top of ``placed``, however far it is scrolled; what is around it comes first."""
    if not placed.isAncestorOf(stop):
        return -1, -1
    at = stop.mapTo(placed, QPoint(0, 0))
    return at.y(), at.x()
