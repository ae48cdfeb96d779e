"""Where the keyboard goes: in the order in which the window is read, to what is seen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QWidget

if TYPE_CHECKING:
    from advisor.gui.window.main_window import MainWindow


def put_in_order(window: MainWindow) -> None:
    """Have Tab go from the stages to the screen, to *Next*, and on to what stands under it.

    Pages and answers are made when they are first shown; without this Qt takes all of them
    last. On a page the order follows the places from the top, on any other screen and on the
    page of hazards it stays as it is.
    """
    way, page = window.way, window.pages.shown()
    under = (window.stack, way.next, way.back, way.leave, way.undo, window.matters, window.side)
    shown = under if window.over is None else (window.over,)
    chain, wanted = list(_stops(window)), list[QWidget]()
    for part in (window.stages, window.rough, *shown):
        inside = [stop for stop in chain if stop is part or part.isAncestorOf(stop)]
        if part is window.stack and page is not None and window.hazards is None:
            top = page.inside
            inside.sort(key=lambda stop: _place(stop, top))
        wanted += inside
    for one, after in pairwise(wanted):
        QWidget.setTabOrder(one, after)


def find_again(window: MainWindow) -> None:
    """Give the keyboard a place where what had it was taken away behind a dialog."""
    focus = window.focusWidget()
    if focus is None or focus.isVisible():
        return
    page = window.pages.shown()
    if window.over is not None:
        window.over.setFocus()
    elif window.hazards is not None:
        window.hazards.take_focus(afresh=False)
    elif page is not None:
        page.area.setFocus()
    else:
        window.card.take_focus()


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
