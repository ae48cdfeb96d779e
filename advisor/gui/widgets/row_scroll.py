"""Scrolling a column of rows so that nothing jumps away."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QPoint
from PySide6.QtWidgets import QScrollArea, QWidget


class RowScroll:
    """Rows are children of the widget that ``area`` scrolls."""

    def __init__(self, area: QScrollArea) -> None:
        self._area = area

    @staticmethod
    def settle() -> None:
        """Lay everything out now: what follows needs the places, and nothing may flicker."""
        QCoreApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest)

    def place(self, row: QWidget | None) -> int | None:
        """Height of a row's top on the screen, px; None where it is not to be seen."""
        if row is None or not row.isVisible():
            return None
        y = row.mapTo(self._area, QPoint(0, 0)).y()
        seen = -row.height() < y < self._area.height()
        return self._area.mapToGlobal(QPoint(0, y)).y() if seen else None

    def hold(self, row: QWidget | None, place: int | None) -> None:
        """Bring a row back to where ``place`` had it, as far as there is room to scroll."""
        if row is None or place is None or not row.isVisible():
            return
        bar = self._area.verticalScrollBar()
        now = self._area.mapToGlobal(QPoint(0, row.mapTo(self._area, QPoint(0, 0)).y())).y()
        bar.setValue(bar.value() + now - place)

    def reveal(self, row: QWidget) -> None:
        """Scroll as little as shows all of a row, its top where it is too high."""
        bar, lowest = self._area.verticalScrollBar(), row.y() + row.height()
        bar.setValue(min(max(bar.value(), lowest - self._area.viewport().height()), row.y()))

    def shows(self, row: QWidget, down_to: int) -> bool:
        """Whether a row is in sight from its top to ``down_to`` px below."""
        view = self._area.viewport()
        top = row.mapTo(view, QPoint(0, 0)).y()
        return top >= 0 and top + down_to <= view.height()
