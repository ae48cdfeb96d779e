"""Opening, finding and saving cases, with the questions a person must answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence
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

    from advisor.casebook.book import Casebook
    from advisor.casebook.cases.versions import StoredCase
    from advisor.casebook.finding.lines import CaseLine
    from advisor.gui.widgets.casebook_asker import Asker


def kept_last(book: Casebook) -> list[CaseLine]:
    """The kept cases worked on last."""
    from advisor.casebook.finding.search import recent

    return book.read(recent)


def jobs_due(book: Casebook) -> int:
    """How many jobs are to be asked after."""
    from advisor.casebook.journal.keeper import now_ms
    from advisor.casebook.outcomes.entries import how_many_due

    return book.read(partial(how_many_due, now=now_ms()))


class FileActions(QObject):
    """What the Case menu does with cases.

    ``writing`` goes out before a case is judged saved or written, so that what is being
    typed is taken over; ``replaced`` when another case has come into the window.
    """

    writing = Signal()
    replaced = Signal()
    filed = Signal(object)
    """A case was opened from a file or saved to it: its path."""
    failed = Signal(str, str)
    """Something the casebook was asked for, and why it was not answered."""

    def __init__(self, navigator: Navigator, window: QWidget) -> None:
        super().__init__(window)
        self._navigator = navigator
        self._window = window
        self.folder = Path.home()
        self.run_lock: RunLock | None = None
        self._asker: Asker | None = None
        self._asked_for: tuple[str, object] = ("", None)
        self.known_before = 0
        """Earlier repairs to this part and vehicle that the casebook knows."""
        self.failed.connect(self._tell_fault)
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
        path = dialogs.ask_open(self._window, self.folder)
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
        if (asker := self.asker()) is not None:
            asker.ask("recent", kept_last, then)

    def jobs_due(self, then: Callable[[int], None]) -> None:
        """Have ``then`` called with how many jobs are to be asked after."""
        if (asker := self.asker()) is not None:
            asker.ask("due", jobs_due, then)

    def open_kept(self, key: str) -> None:
        """Go on with a kept case."""
        self.writing.emit()
        if (asker := self.asker()) is not None:
            asker.ask("open", lambda book: book.open_for_work(key), self._take)

    def asker(self) -> Asker | None:
        """Whom to ask of the casebook without waiting; None where there is none."""
        keeping = self._navigator.session.keeping
        if self._asker is None and keeping is not None:
            from advisor.gui.widgets.casebook_asker import Asker

            self._asker = Asker(keeping, self)
            self._asker.failed.connect(self.failed)
        return self._asker

    def _tell_fault(self, topic: str, fault: str) -> None:
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
        if (asker := self.asker()) is not None:
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
        self.folder = path.parent
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
        proposed = session.path or self.folder / f"{session.case.name}{dialogs.CASE_SUFFIX}"
        path = dialogs.ask_save(self._window, proposed)
        return path is not None and self._save_to(path)

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
        self.folder = path.parent
        self.filed.emit(path)
        return True

    def _fresh(self) -> None:
        self.replaced.emit()
        self._navigator.restart()
