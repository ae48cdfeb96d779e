"""The pages after the questions, each made when it is first shown, to keep the start short."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.gui.interview import JOB_SHEET, METHOD_PAGE

if TYPE_CHECKING:
    from advisor.gui.main_window import MainWindow
    from advisor.gui.pages import Page


class ClosingPages(dict[str, "Page"]):
    """Method, Job and Record by the key of their screen."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window

    def __missing__(self, key: str) -> Page:
        page = self[key] = self._made(key)
        self._window.stack.addWidget(page)
        return page

    def shown(self) -> Page | None:
        """The closing page that is shown, if one is."""
        found = self._window.stack.currentWidget()
        return next((page for page in self.values() if page is found), None)

    def _made(self, key: str) -> Page:
        """A page, with what it may ask for connected."""
        window = self._window
        if key == METHOD_PAGE:
            from advisor.gui.method_page import MethodPage

            method = MethodPage(window.hub, window)
            method.asked.connect(window.hub.go)
            method.graph_wanted.connect(window.show_graph)
            return method
        if key == JOB_SHEET:
            from advisor.gui.job_page import JobPage

            return JobPage(window.hub, window)
        from advisor.gui.record_page import RecordPage

        record = RecordPage(window.hub, window)
        record.save_wanted.connect(window.files.save_as)
        record.export_wanted.connect(window.files.export)
        return record
