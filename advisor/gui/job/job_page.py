"""The work: quantities, cutting, steps with the cautions beside them, time, price, quote."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from advisor.facts.faults import BadInput
from advisor.gui.job.job_contents import JobContents
from advisor.gui.navigator import Navigator
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.line_blocks import Press, Presses
from advisor.gui.widgets.page import Page, declined, plan_withheld, stopping_lines
from advisor.gui.widgets.refilled_column import RefilledColumn
from advisor.job.model import JobSheet, VehicleJob
from advisor.report.content.job_sections import (
    amount_sections,
    choices_blocks,
    minute_sections,
    price_blocks,
    price_said,
    terms_blocks,
    time_said,
    timeline_sections,
    work_sections,
)
from advisor.session.answer_text import ESTIMATE
from advisor.session.vehicle_job import CaseJob
from advisor.wording.durations import duration_with_range
from advisor.wording.money import price_text
from advisor.wording.phrases import filled
from advisor.wording.sentences import capital

BESIDE = 560
"""Width in px from which a caution stands beside its step, not under it."""


class JobPage(Page):
    """What to do, in order, and what it costs."""

    papers_wanted = Signal()

    def __init__(
        self, navigator: Navigator, parent: QWidget | None = None, of_case: CaseJob | None = None
    ) -> None:
        super().__init__(navigator, parent)
        self.of_case = of_case or CaseJob(navigator.session)
        self.folder = Path.home()
        self._beside = True
        self._shown = RefilledColumn(self.column, self.inside, self.area)

    def redraw(self) -> None:
        """Fill the page from the leading plan; what is the same as before stays."""
        advice = self.advice
        self._beside = self._wide_enough()
        contents = JobContents(self.navigator.session.system, beside=self._beside)
        if plan_withheld(advice):
            contents.say("Stop: this job is referred. No steps are shown.", "refer")
            for line in stopping_lines(advice):
                contents.say(line, "fault")
        elif declined(advice):
            contents.say(declined(advice), "refer")
            contents.say("No steps and no price are shown.")
        elif advice.open_hazards:
            contents.say("Clear these hazards first", "headline")
            contents.say("Until then there are no steps, no price and no quote.", "now")
            for question in advice.ask:
                if question.gate:
                    contents.say(filled("{} {}", question.ask, question.how), "fault")
        elif advice.plan is None:
            contents.say("No plan yet", "headline")
            contents.say("Answer the questions that still matter; the steps will appear here.")
        else:
            contents.say("The job", "headline")
            if advice.provisional:
                contents.say("Not final: questions that matter are still open.", "now")
            job, sheet = self.of_case.job(), self.of_case.sheet()
            if job is not None and sheet is not None:
                self._whole(contents, job, sheet)
            else:
                self._bare(contents)
            contents.say(ESTIMATE, "small")
        self._shown.fill(contents)

    def _bare(self, contents: JobContents) -> None:
        """Steps and lists of a plan whose rules have no job sheet."""
        from advisor.report.content.working import plan_steps

        plan = self.advice.plan
        assert plan is not None
        if plan.price is not None and plan.minutes is not None:
            price = price_text(plan.price, self.advice.currency, self.advice.tax)
            contents.say(f"{capital(duration_with_range(plan.minutes))}. {capital(price)}.")
        beside = {text for step in plan.steps for text in step.cautions}
        contents.cautions(self.advice.cautions, beside)
        contents.head("Steps")
        contents.blocks("Steps", plan_steps(plan))

    def _whole(self, contents: JobContents, job: VehicleJob, sheet: JobSheet) -> None:
        price = job.price
        assert price is not None
        contents.say(time_said(job))
        contents.say(price_said(price))
        contents.append(Presses((
            Press("Measures...", self.ask_measures),
            Press("Prices and rates...", self.ask_prices),
            Press("Print...", self.papers_wanted.emit),
        )))
        beside = {text for step in sheet.steps for text in step.cautions}
        contents.cautions(sheet.cautions, beside)
        system = self.navigator.session.system
        # The work first; what it takes in figures is read where a step needs it.
        contents.sections(work_sections(sheet, system))
        contents.sections(amount_sections(sheet, system))
        contents.sections(minute_sections(sheet))
        contents.sections(timeline_sections(job))
        contents.head("Quote")
        contents.blocks("Quote", price_blocks(job, price))
        if len(job.visits) == 1 and len(job.visits[0].sheets) == 1 and sheet.choices:
            contents.head("Repair, renew, or leave it")
            contents.blocks("choices", choices_blocks(sheet, price))
        contents.head("Terms")
        contents.blocks("terms", terms_blocks(job, [sheet], price))
        self._others(contents, job)

    def _others(self, contents: JobContents, job: VehicleJob) -> None:
        """Other damages on the vehicle, which share the call-out."""
        contents.head("Other damage on this vehicle")
        for case in self.of_case.others:
            sheet = next((s for s in job.sheets if s.case == case.name), None)
            said = case.title or case.name
            if sheet is not None and sheet.withheld:
                said = f"{said}: {sheet.withheld}"
            contents.say(said)
            drop = partial(self._drop, case.name)
            contents.append(Presses((Press(f"Take out {case.name}", drop),)))
        contents.append(Presses((Press("Add another damage...", self.ask_other),)))

    def _wide_enough(self) -> bool:
        return self.width() >= BESIDE

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cautions beside the steps, or under them where the page is narrow."""
        super().resizeEvent(event)
        if self._wide_enough() != self._beside:
            self.redraw()

    # -- what the buttons do ------------------------------------------------------------

    def ask_prices(self) -> None:
        """Open the shop's prices and rates."""
        from advisor.gui.job.prices_dialog import open_prices

        open_prices(self.navigator, self.window())

    def ask_measures(self) -> None:
        """Open what is measured and agreed for this job."""
        from advisor.gui.job.measures_dialog import MeasuresDialog

        sheet = self.of_case.sheet()
        if sheet is not None:
            dialog = MeasuresDialog(self.navigator.session.case, sheet, self.window())
            dialog.accepted.connect(self.redraw)
            dialog.finished.connect(dialog.deleteLater)
            dialog.open()

    def ask_other(self) -> None:
        """Add another damage of the same vehicle from its case file."""
        path = dialogs.ask_open(self.window(), self.folder)
        if path is None:
            return
        self.folder = path.parent
        try:
            self.of_case.add(path)
        except BadInput as bad:
            heading = f"{path.name} cannot be used."
            dialogs.show_faults(self.window(), heading, [fault.text for fault in bad.faults])
            return
        self.redraw()

    def _drop(self, name: str) -> None:
        self.of_case.drop(name)
        self.redraw()
