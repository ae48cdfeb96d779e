"""The record is filled anew after an answer: only what differs is written."""

from __future__ import annotations

from PySide6.QtWidgets import QApplication

from advisor.facts.case import Span
from advisor.gui.handover.record_page import RecordPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import RECORD_PAGE
from tests.gui.window.test_pages import give


def test_the_record_rewrites_only_what_differs(
    window: MainWindow, qapp: QApplication
) -> None:
    give(window, part_kind=("armrest",), damage_gap=Span(4, 4, "4 mm"))
    window.navigator.go(RECORD_PAGE)
    page = window.pages[RECORD_PAGE]
    assert isinstance(page, RecordPage)
    qapp.processEvents()
    rows = range(page.table.rowCount())
    before = {(y, x): page.table.item(y, x) for y in rows for x in range(3)}
    (gap,) = [y for y in rows if page.table.item(y, 0).text() == "Gap at rest"]
    long = "Keeps its colour above all, as this is the first seat that every guest sees. " * 3
    give(window, damage_gap=Span(5, 5, "5 mm"), job_words=long)
    for _ in range(3):
        qapp.processEvents()
    (said,) = [y for y in rows if page.table.item(y, 0).text() == "Wishes"]
    changed = {place for place, item in before.items() if page.table.item(*place) is not item}
    assert changed == {(gap, 1), (said, 1), (said, 2)}
    assert page.table.item(gap, 1).text() == "5 mm"
    # The row is as high as its new words, and the table as all of its rows.
    assert page.table.rowHeight(said) > 2 * page.table.rowHeight(gap)
    height = sum(page.table.rowHeight(y) for y in rows)
    assert page.table.viewport().height() >= height
    # A question less: the table is shorter by its row.
    give(window, skin_material=("none",))
    for _ in range(3):
        qapp.processEvents()
    titles = [page.table.item(y, 0).text() for y in range(page.table.rowCount())]
    assert titles == [entry.title for entry in window.navigator.order if entry.fact is not None]
    assert "Skin thickness" not in titles
