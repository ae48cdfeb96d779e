"""Opening, saving and exporting, with the questions a person must answer."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from advisor.facts.case import PART
from advisor.facts.faults import AnswerError, BadInput
from advisor.gui.navigator import Navigator
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Leave
from advisor.gui.widgets.two_versions import Choice
from advisor.session.known_file import FileChanged
from advisor.session.run_lock import RunLock
from advisor.session.shop_settings import ShopSettings

if TYPE_CHECKING:
    from tempfile import TemporaryDirectory

    from advisor.casebook.book import Casebook
    from advisor.casebook.cases.versions import StoredCase
    from advisor.casebook.finding.lines import CaseLine
    from advisor.gui.handover.paper_list import Way
    from advisor.gui.widgets.casebook_asker import Asker
    from advisor.papers.materials.lot import Lot
    from advisor.session.audit_shop import FromCasebook
    from advisor.session.handover_papers import KeptOfJob
    from advisor.session.printed_papers import CasePapers, InvoiceFields, Paper
    from advisor.session.vehicle_job import CaseJob


def kept_last(book: Casebook) -> list[CaseLine]:
    """The kept cases worked on last."""
    from advisor.casebook.finding.search import recent

    return book.read(recent)


def jobs_due(book: Casebook) -> int:
    """How many jobs are to be asked after."""
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.entries import how_many_due

    return book.read(partial(how_many_due, now=now_ms()))


def lots_by_name(book: Casebook) -> dict[str, Lot]:
    """The materials on hand."""
    from advisor.papers.materials.on_hand import all_lots

    return {kept.lot.lot: kept.lot for kept in book.read(all_lots)}


class FileActions(QObject):
    """What the Case menu does.

    ``writing`` goes out before a case is judged saved or written, so that what is being
    typed is taken over; ``replaced`` when another case has come into the window.
    """

    writing = Signal()
    replaced = Signal()
    filed = Signal(object)
    """A case was opened from a file or saved to it: its path."""

    def __init__(self, navigator: Navigator, window: QWidget) -> None:
        super().__init__(window)
        self._navigator = navigator
        self._window = window
        self._folder = Path.home()
        self.run_lock: RunLock | None = None
        self._asker: Asker | None = None
        self._of_case: CaseJob | None = None
        self._viewed: TemporaryDirectory[str] | None = None
        self._asked_for: tuple[str, object] = ("", None)
        self.known_before = 0
        """Earlier repairs to this part and vehicle that the casebook knows."""
        navigator.changed.connect(self.look_back)
        self.settings = ShopSettings()
        """What is said once of the shop, for the head of its papers."""

    def new(self) -> None:
        """Begin an empty case."""
        if self._may_replace():
            self._navigator.session.start_new()
            self._fresh()

    def open(self) -> None:
        """Ask for a case file and open it; what becomes of the old case is asked last.

        An open called off, or of a file that cannot be read, leaves everything as it is.
        """
        path = dialogs.ask_open(self._window, self._folder)
        if path is not None:
            self.open_path(path)

    def find(self, *, due: bool = False) -> None:
        """Look for a kept case, or among jobs to be asked after; go on with the one chosen."""
        from advisor.gui.casebook.casebook_dialog import find_case

        self.writing.emit()
        self._take(find_case(self._navigator.session, self._window, due))

    def recent_kept(self, then: Callable[[Sequence[CaseLine]], None]) -> None:
        """Have ``then`` called with the kept cases worked on last, without waiting for them.

        Where the casebook cannot be used it is not called; looking for a case says why.
        """
        if (asker := self._to_ask()) is not None:
            asker.ask("recent", kept_last, then)

    def jobs_due(self, then: Callable[[int], None]) -> None:
        """Have ``then`` called with how many jobs are to be asked after."""
        if (asker := self._to_ask()) is not None:
            asker.ask("due", jobs_due, then)

    def open_kept(self, key: str) -> None:
        """Go on with a kept case."""
        self.writing.emit()
        if (asker := self._to_ask()) is not None:
            asker.ask("open", lambda book: book.open_for_work(key), self._take)

    def _to_ask(self) -> Asker | None:
        keeping = self._navigator.session.keeping
        if self._asker is None and keeping is not None:
            from advisor.gui.widgets.casebook_asker import Asker

            self._asker = Asker(keeping, self)
            self._asker.failed.connect(self._tell_fault)
        return self._asker

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
        if topic == "open":
            dialogs.show_faults(self._window, "The case cannot be opened.", [fault])

    def _take(self, stored: StoredCase | None) -> None:
        if stored is not None and self._may_replace():
            self._navigator.session.open_stored(stored)
            self._fresh()

    def measure(self) -> None:
        """Measure lengths on a photo that a card lies on."""
        from advisor.gui.casebook.measure_dialog import measure

        self.writing.emit()
        measure(self._navigator, self._window)

    def people(self) -> None:
        """Whose the case is, and which vehicle; earlier repairs to it are offered then."""
        from advisor.gui.casebook.people_dialog import ask_people

        self.writing.emit()
        if ask_people(self._navigator.session, self._window):
            self._asked_for = ("", None)
            self._navigator.refresh()

    def look_back(self) -> None:
        """Look whether the casebook knows of earlier repairs, once the part is another."""
        session = self._navigator.session
        keeping = session.keeping
        if keeping is None or not keeping.started:
            return
        asked = keeping.keeper.key, session.case.facts.get(PART)
        if asked == self._asked_for or not keeping.keeper.serial:
            return
        self._asked_for, self.known_before = asked, 0
        if (asker := self._to_ask()) is not None:
            asker.ask("earlier", keeping.earlier, self._tell_earlier)

    def _tell_earlier(self, found: Sequence[object]) -> None:
        self.known_before = len(found)
        if found:
            self._navigator.changed.emit()

    def earlier_notice(self) -> str:
        """Where to look for what the casebook knows, until somebody has."""
        if not self.known_before or self._navigator.session.case.earlier_repairs is not None:
            return ""
        count = "an earlier repair" if self.known_before == 1 else (
            f"{self.known_before} earlier repairs")  # fmt: skip
        return (f"The casebook knows of {count} to this part of this vehicle: "
                "look under Details, Earlier repairs, and check.")  # fmt: skip

    def heed_others(self) -> None:
        """Ask where somebody else has gone on with the case in the window."""
        from advisor.gui.casebook.other_version import settle

        if settle(self._navigator.session, self._window):
            self.replaced.emit()
            self._navigator.refresh()

    def open_path(self, path: Path) -> bool:
        """Open a case file; a bad one is explained and the old case stays."""
        session = self._navigator.session
        try:
            session.read(path)
            if not self._may_replace():
                return False
            session.open(path)
        except BadInput as error:
            faults = [fault.text for fault in error.faults]
            count = "One thing is" if len(faults) == 1 else f"{len(faults)} things are"
            heading = f"{path.name} cannot be opened. {count} wrong in it. The old case stays open."
            dialogs.show_faults(self._window, heading, faults)
            return False
        self._folder = path.parent
        self._fresh()
        self.filed.emit(path)
        self.after_opening(path)
        return True

    def after_opening(self, path: Path) -> None:
        """Say where another window has the file open too; offer what was kept of it."""
        file = self._navigator.session.file
        if file is not None and file.elsewhere:
            text = (
                f"{file.path.name} is open in another window.\n\nWhat is answered there is not "
                "shown here, and may not be saved yet. Saving asks where both differ."
            )
            dialogs.tell(self._window, "Open in another window", text)
        self.offer_kept(path)

    def offer_kept(self, own: Path | None = None) -> None:
        """Offer what earlier runs kept; with ``own`` only what came from that file."""
        session = self._navigator.session
        if self.run_lock is None or not self.run_lock.left_behind(session.autosave):
            return
        from advisor.gui.window.kept_cases import offer_left_behind

        if offer_left_behind(session, self._window, self.run_lock, own):
            self._fresh()

    def save(self) -> bool:
        """Save to the case's own file; ask for one where it has none."""
        path = self._navigator.session.path
        return self._save_to(path) if path is not None else self.save_as()

    def save_as(self) -> bool:
        """Ask for a file and save there."""
        self.writing.emit()
        session = self._navigator.session
        proposed = session.path or self._folder / f"{session.case.name}{dialogs.CASE_SUFFIX}"
        path = dialogs.ask_save(self._window, proposed)
        return path is not None and self._save_to(path)

    @property
    def of_case(self) -> CaseJob:
        """The job of the case in the window, with what was added to the visit."""
        if self._of_case is None:
            from advisor.session.vehicle_job import CaseJob

            self._of_case = CaseJob(self._navigator.session)
        return self._of_case

    def papers(self) -> None:
        """Show all papers of the case: to open, to print, to save."""
        from advisor.gui.handover.paper_list import PaperList
        from advisor.session.printed_papers import CasePapers, Paper

        self.writing.emit()
        papers = CasePapers(self._navigator.session, self.of_case)
        refused = {paper: papers.refused(paper, self.settings) for paper in Paper}
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

        self.writing.emit()
        self._paper(paper, Way.SAVE, False)

    def _paper(self, paper: Paper, way: Way, annex: bool) -> None:
        """Write a paper where it is wanted, or where the viewer or the printer takes it from."""
        from advisor.gui.handover.paper_list import Way
        from advisor.session.printed_papers import PAPERS, CasePapers, Paper

        session, papers = self._navigator.session, CasePapers(self._navigator.session, self.of_case)
        title = PAPERS[paper][0]
        refused = papers.refused(paper, self.settings)
        if refused:
            dialogs.show_faults(self._window, f"There is no {title.lower()} now.", [refused])
            return
        fields = None
        if paper is Paper.INVOICE and (fields := self._ask_invoice(papers)) is None:
            return
        name = f"{session.case.name} {title.lower()}.pdf"
        path: Path | None = Path(self._for_viewer()) / name
        if way is Way.SAVE:
            path = dialogs.ask_export(self._window, self._folder / name)
        if path is None or (paper is Paper.RATIONALE and not self._full_is_there()):
            return
        pictured = paper in (Paper.RATIONALE, Paper.INVOICE)
        photos = self._from_casebook() if pictured else []
        try:
            papers.write(paper, path, self.settings, fields, annex=annex, photos=photos)
            self._hand_out(path, way)
        except (OSError, ValueError) as error:
            dialogs.show_faults(self._window, f"The {title.lower()} was not written.", [str(error)])

    def _hand_out(self, path: Path, way: Way) -> None:
        from advisor.gui.handover.paper_list import Way

        if way is Way.SAVE:
            self._folder = path.parent
            dialogs.open_written(self._window, path)
        elif way is Way.PRINT:
            printer = dialogs.ask_printer(self._window, self.settings.paper)
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

        page = papers.invoice_page(self.settings)
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

        self.writing.emit()
        session = self._navigator.session
        keeping = session.keeping
        if keeping is None or (asker := self._to_ask()) is None:
            self._show_papers(KeptOfJob())
        else:
            if session.begun:
                # A file that was only opened is not in the casebook yet, and the audit looks there.
                keeping.keep(session.case)
            asker.ask("papers", partial(kept_of_job, key=keeping.keeper.key), self._show_papers)

    def _show_papers(self, kept: KeptOfJob) -> None:
        from advisor.gui.handover.papers_dialog import PapersDialog
        from advisor.session.handover_papers import HandoverPapers

        session, shop = self._navigator.session, self.settings
        try:
            papers = HandoverPapers(session, shop.people, shop.name, kept, shop.who)
        except BadInput as error:
            heading = "The record of the papers cannot be read. Put it right or delete it."
            dialogs.show_faults(self._window, heading, [fault.text for fault in error.faults])
            return
        dialog = PapersDialog(papers, self._folder, self._window, self._note_use)
        dialog.exec()
        dialog.deleteLater()

    def _note_use(self, lot: Lot, amount: str) -> None:
        """A withdrawn lot names the jobs that used it: so this one is noted."""
        from advisor.session.lots_on_hand import note_use

        session = self._navigator.session
        if session.keeping is None or (asker := self._to_ask()) is None:
            return
        key, called = session.keeping.keeper.key, session.case.title or session.case.name
        note = partial(note_use, lot=lot.lot, key=key, job=called, amount=amount)
        asker.ask(f"use {lot.lot}", note, lambda _: None)

    def audit(self, name_people: Callable[[], Sequence[str]]) -> None:
        """The yearly audit; lots and regulated cases are asked for first."""
        from advisor.session.audit_shop import FromCasebook, asked_of

        self.writing.emit()
        show = partial(self._show_audit, name_people)
        if (asker := self._to_ask()) is None:
            show(FromCasebook())
        else:
            asker.ask("audit", asked_of, show)

    def _show_audit(self, name_people: Callable[[], Sequence[str]], kept: FromCasebook) -> None:
        from advisor.gui.audit.audit_dialog import AuditDialog, AuditWays
        from advisor.session.audit_shop import AuditShop

        try:
            audit = AuditShop(self.settings.people, self.settings.name, kept)
        except BadInput as error:
            heading = "What was entered of the shop cannot be read. Put it right or delete it."
            dialogs.show_faults(self._window, heading, [fault.text for fault in error.faults])
            return

        def lots() -> None:
            self.lots()
            self.audit(name_people)

        ways = AuditWays(name_people, self.open_kept, lots)
        dialog = AuditDialog(audit, self._folder, ways, self._window)
        dialog.exec()
        dialog.deleteLater()

    def burn_tests(self) -> None:
        """Burn-test records, entered and compared with their limits."""
        from advisor.gui.papers.burn_dialog import BurnDialog

        dialog = BurnDialog(self._folder, self._window)
        dialog.exec()
        dialog.deleteLater()

    def lots(self) -> None:
        """Materials on hand, and the jobs that used them."""
        session = self._navigator.session
        if session.keeping is None or not session.keeping.started:
            dialogs.show_faults(self._window, "There is no casebook to look into.", [])
            return
        from advisor.gui.papers.lots_dialog import LotsDialog

        dialog = LotsDialog(session, self._folder, self._window)
        dialog.exec()
        dialog.deleteLater()

    def lots_heeded(self, then: Callable[[int], None]) -> None:
        """Have ``then`` called with how many lots are to be heeded, without waiting for it."""
        if (asker := self._to_ask()) is not None:
            from advisor.session.lots_on_hand import heeded

            asker.ask("heeded", heeded, then)

    def needs(self) -> None:
        """Which papers the case needs; the lots on hand are asked for first."""
        self.writing.emit()
        if (asker := self._to_ask()) is None:
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

    def may_leave(self) -> bool:
        """Before the window closes: whether it may."""
        session = self._navigator.session
        if not session.needs_saving:
            session.drop_autosave()
            return True
        choice = self._ask_leave()
        if choice is Leave.SAVE:
            return self.save()
        if choice is Leave.KEEP:
            session.keep_now()
            return self._is_kept()
        if choice is Leave.DROP:
            session.drop_autosave()
        return choice is not Leave.STAY

    def _may_replace(self) -> bool:
        """Before another case takes the place of this one."""
        self.writing.emit()
        session = self._navigator.session
        if not session.needs_saving:
            return True
        choice = self._ask_leave()
        if choice is Leave.SAVE:
            return self.save()
        if choice is Leave.KEEP:
            session.set_aside()
            return self._is_kept()
        return choice is not Leave.STAY

    def _ask_leave(self) -> Leave:
        session = self._navigator.session
        not_kept = "" if session.kept else session.autosave_fault or "there is no place for it"
        title = session.case.title or session.case.name
        return dialogs.ask_leave(self._window, title, not_kept)

    def _is_kept(self) -> bool:
        """Whether the answers are on disk for the next start; says so where they are not."""
        session = self._navigator.session
        if not session.autosave_fault and session.autosave is not None:
            return True
        heading = "The answers cannot be kept for the next start. Save the case in a file."
        dialogs.show_faults(self._window, heading, [session.autosave_fault])
        self._navigator.refresh()
        return False

    # -- saving over what is there -------------------------------------------------------

    def _save_to(self, path: Path) -> bool:
        """Save; where others changed the file, a person decides what it shall hold."""
        self.writing.emit()
        session, over = self._navigator.session, None
        from advisor.gui.window.saving_over import settle

        try:
            while True:
                try:
                    session.save(path, over)
                    break
                except FileChanged as found:
                    choice = settle(session, self._window, found)
                    if choice in (Choice.THEIRS, Choice.PICKED):
                        self.replaced.emit()
                    if choice is Choice.OTHER_NAME:
                        return self.save_as()
                    if choice is Choice.CANCEL:
                        return False
                    if choice is Choice.THEIRS:
                        break
                    over = found.digest
        except (BadInput, AnswerError) as error:
            dialogs.show_faults(self._window, "The case was not saved.", [str(error)])
            return False
        finally:
            self._navigator.refresh()
        self._folder = path.parent
        self.filed.emit(path)
        return True

    def _fresh(self) -> None:
        self.replaced.emit()
        self._navigator.restart()
