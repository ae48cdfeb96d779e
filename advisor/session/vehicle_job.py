"""The job of the case in the window, with other damages of the same vehicle. Knows no Qt."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from advisor.advice.result import Advice
from advisor.facts.case import Case
from advisor.job.measured_and_agreed import Wishes
from advisor.job.parse_agreed import WishError
from advisor.rulegraph.model.pack import RulePack
from advisor.session import job_measures
from advisor.session.case_session import Session

if TYPE_CHECKING:
    from advisor.job.model import JobSheet, VehicleJob


class CaseJob:
    """Works the job out when it is asked for, and again when something it rests on changed."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._others: dict[str, list[Case]] = {}
        self._known: tuple[Advice, RulePack, Wishes, tuple[Case, ...]] | None = None
        self._job: VehicleJob | None = None

    @property
    def others(self) -> list[Case]:
        """Other damages done in the same visit, as they were added."""
        return self._others.setdefault(self._session.case.name, [])

    def add(self, path: Path) -> Case:
        """Add a damage from its case file. Raises BadInput with every fault."""
        case = self._session.read(path)
        if case.name != self._session.case.name:
            self.others[:] = [c for c in self.others if c.name != case.name] + [case]
        return case

    def drop(self, name: str) -> None:
        """Take a damage out again."""
        self.others[:] = [case for case in self.others if case.name != name]

    @property
    def wishes(self) -> Wishes:
        """What is measured and agreed; nothing where what is kept cannot be read."""
        try:
            return job_measures.to_wishes(job_measures.kept(self._session.case))
        except WishError:
            return Wishes()

    def job(self) -> VehicleJob | None:
        """The job; None where the rules have no prices, or no job may be offered."""
        pack = self._session.pack
        if not isinstance(pack, RulePack):
            return None
        advice, wishes, others = self._session.advice, self.wishes, tuple(self.others)
        known = self._known
        # An advice is compared by identity: it is large, and a new one is made for every answer.
        same = known is not None and known[0] is advice and known[1] is pack
        if known is None or not same or known[2:] != (wishes, others):
            self._job = _worked_out(self._session, pack, advice, wishes, others)
            self._known = advice, pack, wishes, others
        return self._job

    def sheet(self) -> JobSheet | None:
        """The sheet of the case in the window; None where it is withheld."""
        job = self.job()
        first = job.sheets[0] if job is not None else None
        return first if first is not None and not first.withheld else None


def _worked_out(
    session: Session, pack: RulePack, advice: Advice, wishes: Wishes, others: tuple[Case, ...]
) -> VehicleJob:
    from advisor.job.sheet import job_sheet, together

    sheets = [job_sheet(session.case, pack, advice, wishes, session.working)]
    if not sheets[0].withheld:
        # What was measured is of this part; distance and certainty are of the visit.
        for other, found in ((other, session.advised_on(other)) for other in others):
            sheets.append(job_sheet(other, pack, found.advice, None, found.working))
    return together(sheets, pack, wishes)
