"""What the Job stage tells, block by block, from the job sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from advisor.drawing.cutting_layout import caption, layouts
from advisor.drawing.timeline import timeline
from advisor.facts.quantity import System
from advisor.gui.job import job_lines
from advisor.gui.job.cutting_view import Cut, runs_down
from advisor.gui.job.job_blocks import StepLine, pairs, steps, table
from advisor.gui.job.timeline_view import Clock
from advisor.gui.widgets.line_blocks import Blocks
from advisor.job.model import CutPlan, JobSheet, VehicleJob
from advisor.wording.phrases import in_units
from advisor.wording.sentences import listed, lowered, sentence


class JobContents(Blocks):
    """The blocks of the page, from the top; each method adds one part."""

    def __init__(self, system: System, currency: str, *, beside: bool) -> None:
        """``beside`` puts the cautions beside the steps, not under them."""
        super().__init__()
        self._system = system
        self._currency = currency
        self._beside = beside

    def cautions(self, texts: Sequence[str], told: set[str]) -> None:
        """Cautions of the whole job, but for those ``told`` at a step."""
        for text in texts:
            if text not in told:
                self.say(in_units(sentence(text), self._system), "caution")

    def quantities(self, sheet: JobSheet) -> None:
        """What each method takes, and what to know about it."""
        if any(group.amounts for group in sheet.groups):
            self.head("What it takes")
        for group in sheet.groups:
            self.say(group.title, "new")
            lines = [
                (a.title, a.text(self._system), job_lines.remark(a)) for a in group.amounts
            ]
            if lines:
                self.append(pairs(group.title, lines))
            self.points(in_units(sentence(tip), self._system) for tip in group.tips)

    def holes(self, sheet: JobSheet) -> None:
        """Every hole against every other, where that is a choice."""
        if sheet.holes is not None:
            self.head("Every hole, or every other")
            self.append(table("holes", *job_lines.holes(sheet.holes, self._currency)))
            self.say(sentence(sheet.holes.text))

    def cutting(self, cut: CutPlan) -> None:
        """Ways of cutting, the layout drawn, and where each piece lies."""
        self.head(f"Cutting: {lowered(cut.skin)}")
        if cut.note:
            self.say(sentence(cut.note), "now")
        if cut.hides is not None:
            self.append(pairs("hides", job_lines.hides(cut.hides, self._system)))
        elif cut.cuttings:
            self.append(table("ways", *job_lines.ways(cut, self._system)))
        for layout in layouts(cut, self._system):
            self.append(Cut(layout, self._system))
            self.append(table(layout.name, *job_lines.pieces(layout.placed, self._system)))
            self.say(caption(layout, runs_down=runs_down(layout)), "small")

    def steps(self, lines: Sequence[StepLine]) -> None:
        """What to do, in order, with the cautions where they are needed."""
        if lines:
            self.head("Steps")
            told = [
                replace(line, text=in_units(line.text, self._system),
                        cautions=in_units(line.cautions, self._system))
                for line in lines
            ]
            self.append(steps(told, beside=self._beside))

    def minutes(self, sheet: JobSheet) -> None:
        """How long each piece of work takes."""
        self.head("Minutes")
        self.append(table("minutes", *job_lines.minutes(sheet)))

    def timeline(self, job: VehicleJob) -> None:
        """Each visit along the clock, and when the parts may be used."""
        for visit in job.visits:
            self.head("Along the clock" if len(job.visits) == 1 else
                      f"Along the clock: {listed(tuple(s.title for s in visit.sheets))}")
            course = timeline(visit.timeline, several=len(visit.sheets) > 1)
            if course is not None:
                self.append(Clock(course))
                self.say(course.caption, "small")
            for text in job_lines.ready(visit):
                self.say(text)

    def quote(self, job: VehicleJob, sheet: JobSheet) -> None:
        """The price, what renewing or leaving it costs, and the materials."""
        if job.price is None:
            return
        self.head("Quote")
        self.append(table("price", *job_lines.price(job.price)))
        self.say(job.apart, "now")
        if job.saved >= 0.5:
            self.say(f"One visit saves {job.price.currency} {job.saved:.0f} against one for each.")
        if job.deposit is not None:
            self.say(job_lines.deposit(job.deposit, job.price))
        if len(job.visits) == 1 and len(job.visits[0].sheets) == 1:
            self.head("Repair, renew, or leave it")
            self.append(table("choices", *job_lines.choices(sheet, job.price.currency)))
            self.say(sentence(sheet.advice_on_choice))
        self.head("Materials")
        self.append(table("materials", *job_lines.materials(job)))

    def listed(self, title: str, things: Sequence[str]) -> None:
        """A heading, and what stands under it in one sentence."""
        if things:
            self.head(title)
            self.say(sentence(listed(tuple(lowered(thing) for thing in things))))

    def left_out(self, sheet: JobSheet) -> None:
        """What the quote does not cover, and what it rests on."""
        if sheet.not_covered:
            self.head("Not in the quote")
            self.points(sentence(text) for text in sheet.not_covered)
        for note in sheet.notes:
            self.say(sentence(note), "small")
