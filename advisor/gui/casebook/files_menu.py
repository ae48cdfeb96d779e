"""Cases handed on in a file, taken in from one, and advice calculated again: a menu."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QMenu, QPushButton, QWidget

from advisor.casebook.finding.lines import Search
from advisor.gui.widgets import dialogs
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.kept_case_words import replayed

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook
    from advisor.casebook.taking_over import TakenOver

WRITTEN = "Archive with photos (*.zip);;Table for a spreadsheet (*.csv);;JSON lines (*.jsonl)"
READ = "Archives and casebooks (*.zip *.sqlite)"


class FilesMenu(QPushButton):
    """A button with a menu. ``search`` gives what the list is of, None where it is of no search;
    ``chosen`` the key of the case that is chosen; ``taken_in`` is called once others are there.
    """

    def __init__(
        self, keeping: CaseKeeping, search: Callable[[], Search | None], chosen: Callable[[], str],
        taken_in: Callable[[], None], parent: QWidget,
    ) -> None:  # fmt: skip
        super().__init__("Files", parent)
        self.setToolTip("Cases handed on, taken in, and advice calculated again")
        self._keeping, self._search, self._chosen = keeping, search, chosen
        self._taken_in = taken_in
        menu = QMenu(self)
        self.export = menu.addAction("Hand on the cases found...", self._export)
        self.take_in = menu.addAction("Take in an archive...", self._import)
        menu.addSeparator()
        self.again = menu.addAction(
            "Calculate this advice again, with its own rules", partial(self._replay, False))
        self.today = menu.addAction(
            "What would be advised today?", partial(self._replay, True))
        menu.aboutToShow.connect(self._heed)
        self.setMenu(menu)

    def _heed(self) -> None:
        self.export.setEnabled(self._search() is not None)
        for action in (self.again, self.today):
            action.setEnabled(bool(self._chosen()))

    def _export(self) -> None:
        """Write all cases that the list shows; the ending says how."""
        search = self._search()
        to = dialogs.ask_write(self, "Hand on the cases found", Path("cases.zip"), WRITTEN)
        if to is None or search is None:
            return
        work = self._keeping.ask(partial(_exported, to=to, search=search))
        faults = dialogs.waited_for(self, work)
        if faults:
            dialogs.show_faults(self, "The cases were not written.", faults)
        else:
            count = work.result()
            dialogs.tell(self, "Handed on", f"{count} {'case' if count == 1 else 'cases'} in {to}")

    def _import(self) -> None:
        path = dialogs.ask_read(self, "Take in an archive", READ)
        if path is None:
            return
        work = self._keeping.ask(partial(_imported, path=path))
        faults = dialogs.waited_for(self, work)
        if faults:
            dialogs.show_faults(self, "Nothing was taken in.", faults)
            return
        taken = work.result()
        left = "".join(f"\nNot taken over: {each}" for each in taken.left)
        dialogs.tell(self, "Taken in", f"{path.name}: {taken.text}.{left}")
        self._taken_in()

    def _replay(self, today: bool) -> None:
        work = self._keeping.ask(partial(replayed, key=self._chosen(), today=today))
        faults = dialogs.waited_for(self, work)
        if faults:
            dialogs.show_faults(self, "It was not calculated again.", faults)
        else:
            title = "With today's rules" if today else "Calculated again"
            dialogs.tell(self, title, work.result())


def _exported(book: Casebook, to: Path, search: Search) -> int:
    from advisor.casebook.exchange import export_cases
    from advisor.casebook.finding.search import every

    return export_cases(book, to, partial(every, search=search))


def _imported(book: Casebook, path: Path) -> TakenOver:
    from advisor.casebook.exchange import import_file

    return import_file(book, path)
