"""The papers of a case and of the shop: printed, saved, handed over, and what they rest on."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from advisor.facts.faults import BadInput
from advisor.gui.navigator import Navigator
from advisor.gui.widgets import dialogs
from advisor.gui.window.file_actions import FileActions

if TYPE_CHECKING:
    from tempfile import TemporaryDirectory

    from advisor.casebook.book import Casebook
    from advisor.gui.handover.paper_list import Way
    from advisor.papers.materials.lot import Lot
    from advisor.session.audit_shop import FromCasebook
    from advisor.session.handover_papers import KeptOfJob
    from advisor.session.printed_papers import CasePapers, InvoiceFields, Paper
    from advisor.session.vehicle_job import CaseJob


def lots_by_name(book: Casebook) -> dict[str, Lot]:
    """The materials on hand."""
    from advisor.papers.materials.on_hand import all_lots

    return {kept.lot.lot: kept.lot for kept in book.read(all_lots)}


class PaperActions(QObject):
    """What the Case menu does with papers, lots and records.

    Of ``files`` come the folder used last, what is said of the shop, and the casebook.
    """

    def __init__(self, navigator: Navigator, files: FileActions, window: QWidget) -> None:
        super().__init__(window)
        self._navigator = navigator
        self._files = files
        self._window = window
        self._of_case: CaseJob | None = None
        self._viewed: TemporaryDirectory[str] | None = None
        files.failed.connect(self._tell_fault)

    def _tell_fault(self, topic: str, fault: str) -> None:
        if topic == "audit":
            dialogs.show_faults(self._window, "The kept cases cannot be read.", [fault])
        if topic == "papers":
            from advisor.session.handover_papers import KeptOfJob

            self._show_papers(KeptOfJob())  # looking for a case says why
        if topic.startswith("use "):
            dialogs.show_faults(self._window, "That the lot was used is not noted.", [fault])
        if topic == "needs":
            self._show_needs({})

    @property
    def of_case(self) -> CaseJob:
        """The job of the case in the window, with what was added to the visit."""
        if self._of_case is None:
            from advisor.session.vehicle_job import CaseJob

            self._of_case = CaseJob(self._navigator.session)
        return self._of_case

    def show_all(self) -> None:
        """Show all papers of the case: to open, to print, to save."""
        from advisor.gui.handover.paper_list import PaperList
        from advisor.session.printed_papers import CasePapers, Paper

        self._files.writing.emit()
        papers = CasePapers(self._navigator.session, self.of_case)
        refused = {paper: papers.refused(paper, self._files.settings) for paper in Paper}
        box = PaperList(refused, self._paper, self._window)
        box.exec()
        box.deleteLater()

    def export(self) -> None:
        """Write the rationale as PDF, web page or text."""
        from advisor.session.printed_papers import Paper

        self._paper_to_file(Paper.RATIONALE)

    def _from_casebook(self) -> list[tuple[bytes, bytes]]:
        """Have what the shop saw looked up, and get the photos, as pairs before and after.

        Nothing where there is no casebook, or it does not answer.
        """
        keeping = self._navigator.session.keeping
        if keeping is None or not keeping.started:
            return []
        asked = keeping.ask(lambda book: (keeping.learn(book), keeping.pairs(book))[1])
        return [] if dialogs.waited_for(self._window, asked) else asked.result()

    def invoice(self) -> None:
        """Write the one page that goes with an invoice."""
        from advisor.session.printed_papers import Paper

        self._paper_to_file(Paper.INVOICE)

    def _paper_to_file(self, paper: Paper) -> None:
        from advisor.gui.handover.paper_list import Way

        self._files.writing.emit()
        self._paper(paper, Way.SAVE, False)

    def _paper(self, paper: Paper, way: Way, annex: bool) -> None:
        """Write a paper where it is wanted, or where the viewer or the printer takes it from."""
        from advisor.gui.handover.paper_list import Way
        from advisor.session.printed_papers import PAPERS, CasePapers, Paper

        session, papers = self._navigator.session, CasePapers(self._navigator.session, self.of_case)
        title = PAPERS[paper][0]
        refused = papers.refused(paper, self._files.settings)
        if refused:
            dialogs.show_faults(self._window, f"There is no {title.lower()} now.", [refused])
            return
        fields = None
        if paper is Paper.INVOICE and (fields := self._ask_invoice(papers)) is None:
            return
        name = f"{session.case.name} {title.lower()}.pdf"
        path: Path | None = Path(self._for_viewer()) / name
        if way is Way.SAVE:
            path = dialogs.ask_export(self._window, self._files.folder / name)
        if path is None or (paper is Paper.RATIONALE and not self._full_is_there()):
            return
        pictured = paper in (Paper.RATIONALE, Paper.INVOICE)
        photos = self._from_casebook() if pictured else []
        try:
            papers.write(paper, path, self._files.settings, fields, annex=annex, photos=photos)
            self._hand_out(path, way)
        except (OSError, ValueError) as error:
            why = dialogs.not_written(path, error)
            dialogs.show_faults(self._window, f"The {title.lower()} was not written.", [why])

    def _hand_out(self, path: Path, way: Way) -> None:
        from advisor.gui.handover.paper_list import Way

        if way is Way.SAVE:
            self._files.folder = path.parent
            dialogs.open_written(self._window, path)
        elif way is Way.PRINT:
            printer = dialogs.ask_printer(self._window, self._files.settings.paper)
            if printer is not None:
                from advisor.gui.widgets.printing import print_pdf

                print_pdf(path, printer)
        elif not dialogs.open_file(path):
            problem = f"Nothing here opens {path.suffix} files. Save it, and open it elsewhere."
            dialogs.show_faults(self._window, "It cannot be opened.", [problem])

    def _for_viewer(self) -> str:
        """A folder that is gone when the program ends."""
        if self._viewed is None:
            from tempfile import TemporaryDirectory

            self._viewed = TemporaryDirectory(prefix="trim-advisor-")
        return self._viewed.name

    def _ask_invoice(self, papers: CasePapers) -> InvoiceFields | None:
        from advisor.gui.handover.invoice_dialog import Proposed, ask_invoice
        from advisor.report.invoice_page import two_sentences

        page = papers.invoice_page(self._files.settings)
        proposed = Proposed(page.title, two_sentences(page), page.rows, page.layers, page.system,
                            self._customer())  # fmt: skip
        return ask_invoice(self._window, proposed)

    def _customer(self) -> str:
        """Whose the case is, where the casebook knows; empty where it does not answer."""
        keeping = self._navigator.session.keeping
        if keeping is None or not keeping.started:
            return ""
        asked = keeping.ask(keeping.customer)
        return "" if dialogs.waited_for(self._window, asked) else asked.result()

    def hand_over(self) -> None:
        """The papers that go with the part; the casebook is asked first for lots and photos."""
        from advisor.session.handover_papers import KeptOfJob, kept_of_job

        self._files.writing.emit()
        session = self._navigator.session
        keeping = session.keeping
        if keeping is None or (asker := self._files.asker()) is None:
            self._show_papers(KeptOfJob())
        else:
            if session.begun:
                # A file that was only opened is not in the casebook yet, and the audit looks there.
                keeping.keep(session.case)
            asker.ask("papers", partial(kept_of_job, key=keeping.keeper.key), self._show_papers)

    def _show_papers(self, kept: KeptOfJob) -> None:
        from advisor.gui.handover.papers_dialog import PapersDialog
        from advisor.session.handover_papers import HandoverPapers

        session, shop = self._navigator.session, self._files.settings
        try:
            papers = HandoverPapers(session, shop.people, shop.name, kept, shop.who)
        except BadInput as error:
            heading = "The record of the papers cannot be read. Put it right or delete it."
            dialogs.show_faults(self._window, heading, [fault.text for fault in error.faults])
            return
        dialog = PapersDialog(papers, self._files.folder, self._window, self._note_use)
        dialog.exec()
        dialog.deleteLater()

    def _note_use(self, lot: Lot, amount: str) -> None:
        """A withdrawn lot names the jobs that used it: so this one is noted."""
        from advisor.session.lots_on_hand import note_use

        session = self._navigator.session
        if session.keeping is None or (asker := self._files.asker()) is None:
            return
        key, called = session.keeping.keeper.key, session.case.title or session.case.name
        note = partial(note_use, lot=lot.lot, key=key, job=called, amount=amount)
        asker.ask(f"use {lot.lot}", note, lambda _: None)

    def audit(self, name_people: Callable[[], Sequence[str]]) -> None:
        """The yearly audit; lots and regulated cases are asked for first."""
        from advisor.session.audit_shop import FromCasebook, asked_of

        self._files.writing.emit()
        show = partial(self._show_audit, name_people)
        if (asker := self._files.asker()) is None:
            show(FromCasebook())
        else:
            asker.ask("audit", asked_of, show)

    def _show_audit(self, name_people: Callable[[], Sequence[str]], kept: FromCasebook) -> None:
        from advisor.gui.audit.audit_dialog import AuditDialog, AuditWays
        from advisor.session.audit_shop import AuditShop

        try:
            shop = self._files.settings
            audit = AuditShop(shop.people, shop.name, kept, who=shop.who)
        except BadInput as error:
            heading = "What was entered of the shop cannot be read. Put it right or delete it."
            dialogs.show_faults(self._window, heading, [fault.text for fault in error.faults])
            return

        def lots() -> None:
            self.lots()
            self.audit(name_people)

        ways = AuditWays(name_people, self._files.open_kept, lots)
        dialog = AuditDialog(audit, self._files.folder, ways, self._window)
        dialog.exec()
        dialog.deleteLater()

    def burn_tests(self) -> None:
        """Burn-test records, entered and compared with their limits."""
        from advisor.gui.papers.burn_dialog import BurnDialog

        dialog = BurnDialog(self._files.folder, self._window)
        dialog.exec()
        dialog.deleteLater()

    def lots(self) -> None:
        """Materials on hand, and the jobs that used them."""
        session = self._navigator.session
        if session.keeping is None or not session.keeping.started:
            dialogs.show_faults(self._window, "There is no casebook to look into.", [])
            return
        from advisor.gui.papers.lots_dialog import LotsDialog

        dialog = LotsDialog(session, self._files.folder, self._window)
        dialog.exec()
        dialog.deleteLater()

    def lots_heeded(self, then: Callable[[int], None]) -> None:
        """Have ``then`` called with how many lots are to be heeded, without waiting for it."""
        if (asker := self._files.asker()) is not None:
            from advisor.session.lots_on_hand import heeded

            asker.ask("heeded", heeded, then)

    def needs(self) -> None:
        """Which papers the case needs; the lots on hand are asked for first."""
        self._files.writing.emit()
        if (asker := self._files.asker()) is None:
            self._show_needs({})
            return
        asker.ask("needs", lots_by_name, self._show_needs)

    def _show_needs(self, lots: Mapping[str, Lot]) -> None:
        from advisor.gui.papers.needs_dialog import NeedsDialog
        from advisor.session.handover_papers import HandoverPapers

        session = self._navigator.session
        try:
            record = HandoverPapers(session).record
            given = record.part.rule_set, record.operator.rule
        except BadInput:
            given = None, None  # the hand-over papers say what is wrong with the record
        dialog = NeedsDialog(session, lots, given, self._window)
        dialog.exec()
        dialog.deleteLater()

    def _full_is_there(self) -> bool:
        """Wait for what the background still works out; False where nobody wants to wait."""
        session = self._navigator.session
        if session.thorough.case is not session.case:
            return True
        text = "The measurements agree with few simulated cases. More are being calculated."
        return dialogs.wait_for(self._window, text, lambda: session.thorough.case is None)
