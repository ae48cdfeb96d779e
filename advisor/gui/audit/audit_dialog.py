"""The yearly audit: gaps first with what would close each, then what is kept, by area."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtWidgets import QWidget

from advisor.facts.faults import BadInput
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.agreement_paper import AGREEMENT, write_agreement
from advisor.gui.widgets.cards_dialog import CardsDialog, Press
from advisor.gui.widgets.page import label, point
from advisor.gui.widgets.record_form import RecordForm
from advisor.papers.binder.page import NOT_AN_APPROVAL, asked_by, evidence_words
from advisor.papers.binder.self_check import (
    CheckedItem,
    Evidence,
    Shows,
    State,
    gaps,
    self_check,
)
from advisor.session.audit_shop import ADD, LISTS, AuditShop

#: Evidence of one item that has a button of its own.
MOST_BUTTONS = 3


@dataclass(frozen=True)
class AuditWays:
    """Where the audit leads to."""

    name_people: Callable[[], Sequence[str]]
    """Asks who works here, and returns them."""
    open_job: Callable[[str], None]
    """Goes on with a kept case, by its key."""
    open_lots: Callable[[], None]
    """Shows the materials on hand, then the audit anew."""


class AuditDialog(CardsDialog):
    """Every change is kept at once; a job or the lots take the audit's place."""

    def __init__(
        self, audit: AuditShop, folder: Path, ways: AuditWays, parent: QWidget
    ) -> None:
        left = [(AGREEMENT, self._agree)]
        super().__init__("Yearly audit", left, ("Write the binder...", self._write), parent)
        self.audit, self._folder = audit, folder
        self._ways = ways
        self._cards: dict[str, QWidget] = {}
        self.redraw()

    def redraw(self) -> None:
        """Everything as it is kept; the page stays where it was scrolled to."""
        at = self.area.verticalScrollBar().value()
        try:
            state = self.audit.state()
            self.items = self.audit.items()
        except BadInput as error:
            self.say_state("\n".join(fault.text for fault in error.faults), "fault")
            self.write.setEnabled(False)
            return
        self._keys = {job.case: job.key for job in state.jobs}
        open_items = gaps(self.items)
        period = f"{self.audit.since.isoformat()} to {self.audit.until.isoformat()}"
        count = "No gap was found" if not open_items else (
            "1 gap" if len(open_items) == 1 else f"{len(open_items)} gaps"
        )  # fmt: skip
        self.say_state(f"{count}, {period}.", "fault" if open_items else "now")
        self.clear()
        self.add(label(NOT_AN_APPROVAL, "quiet", self.inside))
        areas = self_check().areas
        for one in open_items:
            lines = (one.found, f"To close it: {one.item.closes}", f"{asked_by(one)}.")
            title = f"{areas[one.area]}: {one.item.title}"
            self.add(self.card(title, lines, self._presses(one)))
        for listed, title in LISTS.items():
            card = self.card(
                title, () if self.audit.lines(listed) else ("Nothing is entered.",),
                [(ADD[listed], partial(self._entry, listed, None))],
                [self.entry(said, [
                    ("Change...", partial(self._entry, listed, index)),
                    ("Take away", partial(self._drop, listed, index)),
                ]) for index, said in enumerate(self.audit.lines(listed))],
            )  # fmt: skip
            self._cards[listed] = card
            self.add(card)
        jobs = [
            self.entry(f"{job.case}: {job.called}. Papers: {job.judged.verdict.value}",
                       self._job_presses(job.case))
            for job in state.jobs
        ]  # fmt: skip
        said = () if jobs else ("None in this period.",)
        self.add(self.card("Regulated jobs", said, (), jobs))
        self._met(areas)
        self.column.addStretch(1)
        self.area.verticalScrollBar().setValue(at)

    def _met(self, areas: Mapping[str, str]) -> None:
        """What is no gap, by area, each with its evidence."""
        for key, title in areas.items():
            inside: list[QWidget] = []
            for one in self.items:
                if one.area == key and one.state is not State.GAP:
                    text = f"{one.item.title}. {one.found}"
                    presses = self._presses(one)
                    row = self.entry(text, presses) if presses else point("•", text, self.inside, 0)
                    inside.append(row)
            if inside:
                self.add(self.card(f"{title}: met, or not applicable", (), (), inside))

    # -- what a button does --------------------------------------------------------------------

    def _presses(self, one: CheckedItem) -> list[Press]:
        found: list[Press] = []
        for shown in one.evidence:
            press = self._press(shown, one)
            if press is not None and press[0] not in [text for text, _ in found]:
                found.append(press)
        return found[:MOST_BUTTONS]

    def _press(self, shown: Evidence, one: CheckedItem) -> Press | None:
        if shown.shows is Shows.ANSWER:
            return ("Answer...", partial(self._answer, one))
        if shown.shows is Shows.PEOPLE:
            return ("Name them...", self._people)
        if shown.shows is Shows.FILE:
            return (f"Open {evidence_words(shown)}", partial(self._open, shown.name))
        if shown.shows is Shows.CASE:
            return next(iter(self._job_presses(shown.name)), None)
        if shown.shows is Shows.LOT:
            return ("Materials on hand...", self._to_lots)
        if shown.shows.value not in LISTS:
            return None
        listed = shown.shows.value
        if one.state is State.GAP and not self.audit.lines(listed):
            return (ADD[listed], partial(self._entry, listed, None))
        return (f"See {LISTS[listed].lower()}", partial(self._show, listed))

    def _job_presses(self, case: str) -> list[Press]:
        key = self._keys.get(case, "")
        return [(f"Open {case}", partial(self._to_job, key))] if key else []

    def _to_job(self, key: str) -> None:
        self.accept()
        self._ways.open_job(key)

    def _to_lots(self) -> None:
        self.accept()
        self._ways.open_lots()

    def _show(self, listed: str) -> None:
        self.area.ensureWidgetVisible(self._cards[listed], 0, self.area.height() // 2)

    @staticmethod
    def _open(name: str) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(name))

    def _people(self) -> None:
        self.audit.people = tuple(self._ways.name_people())
        self.redraw()

    def _answer(self, one: CheckedItem) -> None:
        at = ("answers", one.name)
        fields = self.audit.answer_fields()
        self.run(RecordForm(
            one.item.title, "Say what you found when you looked, not what should be.", fields,
            self.audit.values(fields, at), partial(self.audit.put, at=at),
            self.audit.proposals("answers"), self,
        ))  # fmt: skip

    def _entry(self, listed: str, index: int | None) -> None:
        fields = self.audit.fields(listed)
        at = (listed, len(self.audit.lines(listed)) if index is None else index)
        offered = self.audit.proposals(listed) if index is None else {}
        put = partial(self.audit.put, at=at)
        values = self.audit.values(fields, at)
        intro = "As it stands on its papers. What is not known, leave empty."
        self.run(RecordForm(LISTS[listed], intro, fields, values, put, offered, self))

    def _agree(self) -> None:
        stations = self.audit.record.agreements
        station = stations[0].station if len(stations) == 1 else ""
        write_agreement(self, self._folder, self.audit.shop, station)

    def _drop(self, listed: str, index: int) -> None:
        self.attempt(lambda: self.audit.take_away(listed, index))

    def _write(self) -> None:
        proposed = self._folder / f"audit-binder-{self.audit.until.isoformat()}.pdf"
        path = dialogs.ask_export(self, proposed)
        if path is None:
            return
        try:
            self.audit.write(path)
        except (BadInput, OSError, ValueError) as error:
            why = dialogs.not_written(path, error)
            dialogs.show_faults(self, "The binder was not written.", [why])
            return
        dialogs.open_written(self, path)
