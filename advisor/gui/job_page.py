"""The work: steps in order with the cautions beside them, time, price, tools, materials."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from advisor.advice.result import Advice, Step
from advisor.gui.pages import Page, label, plan_withheld, stopping_lines
from advisor.gui.words import ESTIMATE, capital, small
from advisor.report import words
from advisor.rulegraph.pack import RulePack
from advisor.work.model import JobSheet, Price

BESIDE = 560
"""Width in px from which a caution stands beside its step, not under it."""


def caution_line(text: str, said: set[str]) -> str:
    """A caution in full the first time, then only its subject; ``said`` is kept up."""
    subject, colon, _ = text.partition(":")
    if text in said and colon:
        return f"{subject}: as above."
    said.add(text)
    return words.sentence(text)


class JobPage(Page):
    """What to do, in order."""

    _beside = True
    _known: tuple[Advice, JobSheet] | None = None

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
            plan = advice.plan
            self.say("The job", "headline")
            if advice.provisional:
                self.say("Not final: questions that matter are still open.", "now")
            sheet = self._sheet()
            if sheet is not None and sheet.price is not None:
                self._in_short(sheet, sheet.price)
            else:
                self.say(f"{capital(words.durations(plan.minutes))}. "
                         f"{capital(words.price(plan.price, advice.currency))}.")
            beside = {text for step in plan.steps for text in step.cautions}
            for caution in advice.cautions:
                if caution not in beside:
                    self.say(words.sentence(caution), "caution")
            if sheet is not None:
                self._quantities(sheet)
            self._steps(plan.steps)
            if sheet is not None:
                self._timeline(sheet)
                self._quote(sheet)
                self._lists(sheet.tools, plan.materials)
                self._left_out(sheet)
            else:
                self._lists(plan.tools, plan.materials)
            self.say(ESTIMATE, "small")
        self.column.addStretch(1)

    # -- the job sheet -----------------------------------------------------------

    def _sheet(self) -> JobSheet | None:
        """The job sheet of the plan; worked out once for each case."""
        session = self.hub.session
        if not isinstance(session.pack, RulePack):
            return None
        if self._known is None or self._known[0] is not session.advice:
            from advisor.work.sheet import job_sheet

            self._known = session.advice, job_sheet(session.case, session.pack, session.advice)
        return self._known[1] if not self._known[1].withheld else None

    def _in_short(self, sheet: JobSheet, price: Price) -> None:
        hands = words.duration(sheet.minutes.expected)
        done = max((slot.end for slot in sheet.timeline), default=sheet.minutes.expected)
        text = f"About {hands} of work"
        if done >= sheet.minutes.expected + 5:
            text += f", {words.duration(done)} until it is done"
        self.say(f"{text}. Quote {_money(price.quote, price)}, "
                 f"with {price.tax_label} {_money(price.total.high, price)}.")

    def _quantities(self, sheet: JobSheet) -> None:
        system = self.hub.session.system
        if any(group.amounts for group in sheet.groups):
            self.head("What it takes")
        for group in sheet.groups:
            if not group.amounts:
                continue
            self.say(group.title, "new")
            lines = [(a.title, a.text(system), a.note) for a in group.amounts]
            self.put(_pairs(lines, self.inside))
            for tip in group.tips:
                self.say(f"•  {words.sentence(tip)}").setContentsMargins(12, 0, 0, 0)

    def _timeline(self, sheet: JobSheet) -> None:
        if sheet.timeline:
            from advisor.gui.timeline import Timeline

            self.head("Along the clock")
            self.put(Timeline(sheet.timeline, self.inside))
        for wait in sheet.waits:
            if wait.before == "use":
                text = f"Before it is used again: {small(wait.title)}, "
                self.say(f"{text}{words.durations(wait.minutes)}.")

    def _quote(self, sheet: JobSheet) -> None:
        price = sheet.price
        if price is None:
            return
        self.head("Quote")
        lines = [(line.title, _money(line.amount, price), "") for line in price.lines]
        lines.append(("Quote", _money(price.quote, price), ""))
        lines.append((price.tax_label, _money(price.tax, price), ""))
        lines.append((f"Quote with {price.tax_label}", _money(price.total.high, price), ""))
        self.put(_pairs(lines, self.inside))
        if sheet.deposit is not None:
            deposit = f"Ask for {_money(sheet.deposit.amount, price)} in advance"
            self.say(f"{deposit}: {words.sentence(small(sheet.deposit.because))}")
        self.say(words.sentence(sheet.advice_on_choice))
        if sheet.holes is not None:
            self.say(words.sentence(sheet.holes.text))

    def _left_out(self, sheet: JobSheet) -> None:
        if sheet.not_covered:
            self.head("Not in the quote")
            self.say("\n".join(f"•  {words.sentence(text)}" for text in sheet.not_covered))
        for note in sheet.notes:
            self.say(words.sentence(note), "small")

    # -- steps and lists -----------------------------------------------------------

    def _steps(self, steps: tuple[Step, ...]) -> None:
        if not steps:
            return
        self.head("Steps")
        box = QWidget(self.inside)
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(10)
        self._beside = self._wide_enough()
        row, last = 0, ""
        said: set[str] = set()
        top = Qt.AlignmentFlag.AlignTop
        for number, step in enumerate(steps, start=1):
            if step.method != last:
                title = self.method_title(step.method)
                grid.addWidget(label(title, "section", box), row, 0, 1, 3)
                row, last = row + 1, step.method
            grid.addWidget(label(f"{number}.", "", box), row, 0, top)
            grid.addWidget(label(words.sentence(step.text), "", box), row, 1, top)
            cautions = "\n".join(caution_line(text, said) for text in step.cautions)
            if cautions:
                row += 0 if self._beside else 1
                column = 2 if self._beside else 1
                grid.addWidget(label(cautions, "caution", box), row, column, top)
            row += 1
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(2, 2 if self._beside else 0)
        self.put(box)

    def _wide_enough(self) -> bool:
        return self.width() >= BESIDE

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Cautions beside the steps, or under them where the page is narrow."""
        super().resizeEvent(event)
        if self._wide_enough() != self._beside:
            self.redraw()

    def method_title(self, method: str) -> str:
        """Title of a method of the pack."""
        methods = self.hub.session.pack.methods
        return methods[method].title if method in methods else method.replace("_", " ")

    def _lists(self, tools: tuple[str, ...], materials: tuple[str, ...]) -> None:
        for title, things in (("Materials", materials), ("Tools", tools)):
            if things:
                self.head(title)
                self.say(words.sentence(words.listed(tuple(small(thing) for thing in things))))


def _money(amount: float, price: Price) -> str:
    return f"{price.currency} {amount:.0f}"


def _pairs(lines: list[tuple[str, str, str]], parent: QWidget) -> QWidget:
    """Titles with their figures beside them and a note under each that has one."""
    box = QWidget(parent)
    grid = QGridLayout(box)
    grid.setContentsMargins(12, 0, 0, 0)
    grid.setHorizontalSpacing(14)
    grid.setVerticalSpacing(4)
    top = Qt.AlignmentFlag.AlignTop
    row = 0
    for title, figure, note in lines:
        grid.addWidget(label(title, "quiet", box), row, 0, top)
        grid.addWidget(label(figure, "", box), row, 1, top)
        row += 1
        if note:
            grid.addWidget(label(words.sentence(note), "small", box), row, 0, 1, 2)
            row += 1
    grid.setColumnStretch(0, 1)
    grid.setColumnStretch(1, 1)
    return box
