"""The pages that are no single question, each made when first shown, to keep the start short."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QStackedWidget

from advisor.gui.navigator import Navigator
from advisor.gui.window.file_actions import FileActions
from advisor.gui.window.paper_actions import PaperActions
from advisor.session.screens import HAZARD_PAGE, JOB_SHEET, METHOD_PAGE, QUESTION_LIST

if TYPE_CHECKING:
    from advisor.gui.hazards.hazard_page import HazardPage
    from advisor.gui.widgets.page import Page


@dataclass(frozen=True)
class WindowCalls:
    """What a page may ask of the window around it."""

    go_on: Callable[[], None]
    name_next: Callable[[], None]
    show_graph: Callable[[], None]


class ClosingPages(dict[str, "Page"]):
    """All hazard questions, Method, Job and Record by the key of their screen."""

    def __init__(
        self, navigator: Navigator, files: FileActions, papers: PaperActions,
        stack: QStackedWidget, window: WindowCalls,
    ) -> None:  # fmt: skip
        super().__init__()
        self._navigator = navigator
        self._files = files
        self._papers = papers
        self._stack = stack
        self._window = window

    def __missing__(self, key: str) -> Page:
        page = self[key] = self._made(key)
        self._stack.addWidget(page)
        return page

    def shown(self) -> Page | None:
        """The page that is shown, if one is."""
        found = self._stack.currentWidget()
        return next((page for page in self.values() if page is found), None)

    def hazards(self) -> HazardPage | None:
        """The page of all hazard questions, while it is shown."""
        page = self.shown()
        if page is None or page is not self.get(HAZARD_PAGE):
            return None
        from advisor.gui.hazards.hazard_page import HazardPage

        return page if isinstance(page, HazardPage) else None

    def _made(self, key: str) -> Page:
        """A page, with what it may ask for connected."""
        navigator, window = self._navigator, self._window
        files, papers = self._files, self._papers
        if key == HAZARD_PAGE:
            from advisor.gui.hazards.hazard_page import HazardPage

            hazards = HazardPage(navigator, self._stack)
            hazards.moving_on.connect(window.go_on)
            hazards.turned.connect(window.name_next)
            files.replaced.connect(hazards.forget)
            return hazards
        if key == QUESTION_LIST:
            from advisor.gui.questions.question_list import QuestionList

            return QuestionList(navigator, self._stack)
        if key == METHOD_PAGE:
            from advisor.gui.verdict.verdict_page import VerdictPage

            method = VerdictPage(navigator, self._stack)
            method.asked.connect(navigator.go_ask)
            method.graph_wanted.connect(window.show_graph)
            return method
        if key == JOB_SHEET:
            from advisor.gui.job.job_page import JobPage

            job = JobPage(navigator, self._stack, papers.of_case)
            job.papers_wanted.connect(papers.show_all)
            return job
        from advisor.gui.handover.record_page import RecordPage

        record = RecordPage(navigator, self._stack)
        record.save_wanted.connect(files.save_as)
        record.export_wanted.connect(papers.export)
        record.prints_wanted.connect(papers.show_all)
        record.papers_wanted.connect(papers.hand_over)
        record.needs_wanted.connect(papers.needs)
        return record
