"""The work: steps in order with the cautions beside them, time, price, tools, materials."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout, QWidget

from advisor.advice.result import Step
from advisor.gui.pages import Page, label, plan_withheld, stopping_lines
from advisor.gui.words import ESTIMATE, capital, small
from advisor.report import words

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
            self.say("The work, step by step", "headline")
            if advice.provisional:
                self.say("Not final: questions that matter are still open.", "now")
            self.say(f"{capital(words.durations(plan.minutes))}. "
                     f"{capital(words.price(plan.price, advice.currency))}.")
            beside = {text for step in plan.steps for text in step.cautions}
            for caution in advice.cautions:
                if caution not in beside:
                    self.say(words.sentence(caution), "caution")
            self._steps(plan.steps)
            self._lists(plan.tools, plan.materials)
            self.say(ESTIMATE, "small")
        self.column.addStretch(1)

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
        self.column.addWidget(box)

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
