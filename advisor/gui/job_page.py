"""The work: quantities, cutting, steps with the cautions beside them, time, price, quote."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from advisor.facts.faults import BadInput
from advisor.facts.quantity import also_in
from advisor.gui import dialogs, job_lines, theme
from advisor.gui.cutting_view import CuttingView, Ground
from advisor.gui.hub import Hub
from advisor.gui.job_blocks import StepLine, caution_line, pairs, steps, table
from advisor.gui.job_of_case import CaseJob
from advisor.gui.pages import Page, plan_withheld, point, stopping_lines
from advisor.gui.timeline import Timeline
from advisor.gui.words import ESTIMATE, capital, small
from advisor.report import words
from advisor.rulegraph.pack import RulePack
from advisor.work.cutting import CutPlan
from advisor.work.model import JobSheet, VehicleJob

__all__ = ["JobPage", "caution_line"]

BESIDE = 560
"""Width in px from which a caution stands beside its step, not under it."""


class JobPage(Page):
    """What to do, in order, and what it costs."""

    def __init__(self, hub: Hub, parent: QWidget | None = None) -> None:
        super().__init__(hub, parent)
        self.of_case = CaseJob(hub.session)
        self.folder = Path.home()
        self._beside = True

    def redraw(self) -> None:
        """Fill the page from the leading plan."""
        advice = self.advice
        self.clear_column()
        if plan_withheld(advice):
            self.say("Stop: this job is referred. No steps are shown.", "refer")
            for line in stopping_lines(advice):
                self.say(line, "fault")
        elif advice.plan is None:
            self.say("No plan yet", "headline")
            self.say("Answer the questions that still matter; the steps then stand here.")
        else:
            self.say("The job", "headline")
            if advice.provisional:
                self.say("Not final: questions that matter are still open.", "now")
            job, sheet = self.of_case.job(), self.of_case.sheet()
            if job is not None and sheet is not None:
                self._whole(job, sheet)
            else:
                self._bare()
            self.say(ESTIMATE, "small")
        self.column.addStretch(1)

    def _bare(self) -> None:
        """Steps and lists of a plan whose rules have no job sheet."""
        plan = self.advice.plan
        assert plan is not None
        price = words.price(plan.price, self.advice.currency)
        self.say(f"{capital(words.durations(plan.minutes))}. {capital(price)}.")
        beside = {text for step in plan.steps for text in step.cautions}
        self._cautions(tuple(t for t in self.advice.cautions if t not in beside))
        titles = {key: m.title for key, m in self.hub.session.pack.methods.items()}
        self._steps(job_lines.plan_steps(plan.steps, titles))
        self._lists(plan.tools, plan.materials)

    def _whole(self, job: VehicleJob, sheet: JobSheet) -> None:
        self.say(job_lines.in_short(job))
        self._buttons()
        beside = {text for step in sheet.steps for text in step.cautions}
        self._cautions(tuple(text for text in sheet.cautions if text not in beside))
        self._quantities(sheet)
        if sheet.holes is not None:
            self.head("Every hole, or every other")
            heads, rows, strong = job_lines.holes(sheet.holes, self.advice.currency)
            self.put(table(heads, rows, self.inside, strong))
            self.say(words.sentence(sheet.holes.text))
        if sheet.cut is not None:
            self._cutting(sheet.cut)
        self._steps(job_lines.sheet_steps(sheet))
        self.head("Minutes")
        heads, rows, strong = job_lines.minutes(sheet)
        self.put(table(heads, rows, self.inside, strong))
        self._timeline(job)
        self._quote(job, sheet)
        self._others(job)
        self._lists(sheet.tools, ())
        self._left_out(sheet)

    # -- parts of the page ------------------------------------------------------------

    def _buttons(self) -> None:
        """What can be changed or written from here."""
        self._row(
            ("Measures...", self.ask_measures),
            ("Prices and rates...", self.ask_prices),
            ("Write the quote...", self.write_quote),
        )

    def _row(self, *given: tuple[str, Callable[[], object]]) -> None:
        """Buttons side by side, from the left."""
        box = QWidget(self.inside)
        row = QHBoxLayout(box)
        row.setContentsMargins(0, 0, 0, 0)
        for text, slot in given:
            button = QPushButton(text, box)
            button.setMinimumHeight(theme.TARGET)
            button.clicked.connect(lambda _=False, slot=slot: slot())
            row.addWidget(button)
        row.addStretch(1)
        self.put(box)

    def _cautions(self, texts: tuple[str, ...]) -> None:
        for text in texts:
            self.say(also_in(words.sentence(text), self.hub.session.system), "caution")

    def _quantities(self, sheet: JobSheet) -> None:
        system = self.hub.session.system
        if any(group.amounts for group in sheet.groups):
            self.head("What it takes")
        for group in sheet.groups:
            self.say(group.title, "new")
            lines = [(a.title, a.text(system), job_lines.remark(a)) for a in group.amounts]
            if lines:
                self.put(pairs(lines, self.inside))
            for tip in group.tips:
                self.put(point("•", also_in(words.sentence(tip), system), self.inside))

    def _cutting(self, cut: CutPlan) -> None:
        system = self.hub.session.system
        self.head(f"Cutting: {small(cut.skin)}")
        if cut.note:
            self.say(words.sentence(cut.note), "now")
        if cut.hides is not None:
            self.put(pairs(job_lines.hides(cut.hides, system), self.inside))
            for number, hide in enumerate(cut.hides.layouts, 1):
                name = f"Hide {number}, the largest piece it gives"
                ground = Ground(hide.placed, hide.length, hide.width, 0.0, "", name)
                self.put(CuttingView(ground, system, self.inside))
                self.put(table(*job_lines.pieces(hide.placed, system), self.inside))
            self.say(job_lines.HIDE_NOTE, "small")
        elif cut.cuttings:
            heads, rows, strong = job_lines.ways(cut, system)
            self.put(table(heads, rows, self.inside, strong))
            layout = cut.cuttings[0].layout
            edge = max(cut.roll_width - layout.across, 0.0) / 2.0
            nap = job_lines.nap_way(cut)
            ground = Ground(layout.placed, layout.length, layout.across, edge, nap, "The roll")
            self.put(CuttingView(ground, system, self.inside))
            self.put(table(*job_lines.pieces(layout.placed, system), self.inside))
            self.say(job_lines.layout_said(cut, system), "small")

    def _steps(self, lines: list[StepLine]) -> None:
        if lines:
            self.head("Steps")
            self._beside = self._wide_enough()
            system = self.hub.session.system
            told = [
                replace(line, text=also_in(line.text, system),
                        cautions=also_in(line.cautions, system))
                for line in lines
            ]
            self.put(steps(told, self.inside, beside=self._beside))

    def _wide_enough(self) -> bool:
        return self.width() >= BESIDE

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cautions beside the steps, or under them where the page is narrow."""
        super().resizeEvent(event)
        if self._wide_enough() != self._beside:
            self.redraw()

    def _timeline(self, job: VehicleJob) -> None:
        for visit in job.visits:
            self.head("Along the clock" if len(job.visits) == 1 else
                      f"Along the clock: {words.listed(tuple(s.title for s in visit.sheets))}")
            self.put(Timeline(visit.timeline, self.inside, several=len(visit.sheets) > 1))
            for text in job_lines.ready(visit):
                self.say(text)

    def _quote(self, job: VehicleJob, sheet: JobSheet) -> None:
        if job.price is None:
            return
        self.head("Quote")
        heads, rows, strong = job_lines.price(job.price)
        self.put(table(heads, rows, self.inside, strong))
        if job.apart:
            self.say(job.apart, "now")
        if job.saved >= 0.5:
            self.say(f"One visit saves {job.price.currency} {job.saved:.0f} against one for each.")
        if job.deposit is not None:
            self.say(job_lines.deposit(job.deposit, job.price))
        if len(job.visits) == 1 and len(job.visits[0].sheets) == 1:
            self.head("Repair, renew, or leave it")
            self.put(table(*job_lines.choices(sheet, job.price.currency), self.inside))
            self.say(words.sentence(sheet.advice_on_choice))
        self.head("Materials")
        self.put(table(*job_lines.materials(job), self.inside))

    def _others(self, job: VehicleJob) -> None:
        """Other damages on the vehicle, which share the call-out."""
        self.head("Other damage on this vehicle")
        for case in self.of_case.others:
            sheet = next((s for s in job.sheets if s.case == case.name), None)
            said = case.title or case.name
            if sheet is not None and sheet.withheld:
                said = f"{said}: {sheet.withheld}"
            self.say(said)
            self._row((f"Take out {case.name}", partial(self._drop, case.name)))
        self._row(("Add another damage...", self.ask_other))

    def _lists(self, tools: tuple[str, ...], materials: tuple[str, ...]) -> None:
        for title, things in (("Materials", materials), ("Tools", tools)):
            if things:
                self.head(title)
                self.say(words.sentence(words.listed(tuple(small(thing) for thing in things))))

    def _left_out(self, sheet: JobSheet) -> None:
        if sheet.not_covered:
            self.head("Not in the quote")
            for text in sheet.not_covered:
                self.put(point("•", words.sentence(text), self.inside))
        for note in sheet.notes:
            self.say(words.sentence(note), "small")

    # -- what the buttons do ------------------------------------------------------------

    def ask_prices(self) -> None:
        """Open the shop's prices and rates."""
        from advisor.gui.prices_dialog import open_prices

        open_prices(self.hub, self.window())

    def ask_measures(self) -> None:
        """Open what is measured and agreed for this job."""
        from advisor.gui.measures_dialog import MeasuresDialog

        sheet = self.of_case.sheet()
        if sheet is not None:
            dialog = MeasuresDialog(self.hub.session.case, sheet, self.window())
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

    def write_quote(self) -> None:
        """Write quote and job sheet as PDF, web page or text."""
        from advisor.report.quote import write_quote

        job, session = self.of_case.job(), self.hub.session
        if job is None or not isinstance(session.pack, RulePack):
            return
        proposed = self.folder / f"{session.case.name} quote.pdf"
        path = dialogs.ask_export(self.window(), proposed)
        if path is None:
            return
        try:
            write_quote(job, path, session.system)
        except (OSError, ValueError) as error:
            dialogs.show_faults(self.window(), "The quote was not written.", [str(error)])
            return
        self.folder = path.parent
        dialogs.tell(self.window(), "Written", f"Quote and job sheet stand in\n{path}")
