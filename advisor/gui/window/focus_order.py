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
    """Have Tab go through ``parts`` one after another, and within each as it went before.

    Pages and answers are made when they are first shown; without this Qt takes all of them
    last. What lies in ``placed`` is taken by its place from the top.
    """
    chain, wanted = list(_stops(window)), list[QWidget]()
    for part in parts:
        inside = [stop for stop in chain if stop is part or part.isAncestorOf(stop)]
        if placed is not None and part.isAncestorOf(placed):
            inside.sort(key=partial(_place, placed=placed))
        wanted += inside
    for one, after in pairwise(wanted):
        QWidget.setTabOrder(one, after)


def _stops(window: QWidget) -> Iterator[QWidget]:
    """Everything that Tab may stop at, in the order it has now; what is left behind, too.

    Qt looks for the next one also where the keyboard's own widget was just hidden.
    """
    found, here = window.nextInFocusChain(), window.focusWidget()
    while found is not None and found is not window:
        if found.focusPolicy() & Qt.FocusPolicy.TabFocus and (found.isVisible() or found is here):
            yield found
        found = found.nextInFocusChain()


def _place(stop: QWidget, placed: QWidget) -> tuple[int, int]:
    """From the top of ``placed``, however far it is scrolled; what is around it comes first."""
    if not placed.isAncestorOf(stop):
        return -1, -1
    at = stop.mapTo(placed, QPoint(0, 0))
    return at.y(), at.x()
