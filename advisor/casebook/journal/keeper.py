"""Keeping one case from its first answer: what the window calls after every change.

    keeper = Keeper(Journal(path))
    keeper.begin(case)          # a new case, or one opened from the casebook
    keeper.keep(changed_case)   # on disk when this returns, or in memory with ``fault`` set
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from advisor.casebook.journal.answers import AnswerRow, changes, new_key
from advisor.casebook.journal.journal import Journal, JournalFault
from advisor.facts.case import Case


def now_ms() -> int:
    """Milliseconds since 1970, UTC."""
    return time.time_ns() // 1_000_000


def user_name() -> str:
    """What the person at this machine is called there; empty where that is not known."""
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):
        return ""


class Keeper:
    """Writes what changes in one case to the journal, and holds what cannot be written.

    ``clock`` gives milliseconds since 1970. All methods may be called from any thread.
    """

    def __init__(
        self, journal: Journal, author: str | None = None, clock: Callable[[], int] = now_ms
    ) -> None:
        self.journal = journal
        self._author = author
        self.fault = ""
        """Why the last answers are in memory only; empty where all are on disk."""
        self.kept_at: int | None = None
        """When the last answer came to disk."""
        self._clock = clock
        self._held: list[AnswerRow] = []
        self._lock = threading.Lock()
        self._last = Case("")
        self.key = self.writer = ""
        self.base = self.serial = 0

    @property
    def author(self) -> str:
        """Who answers; without a name given, this machine's user."""
        if self._author is None:
            self._author = user_name()
        return self._author

    def answers_as(self, name: str) -> None:
        """Who answers from now on; without a name this machine's user."""
        self._author = name or None

    def begin(
        self, case: Case, *, key: str = "", base: int = 0, stored: Case | None = None
    ) -> None:
        """Go on with another case; what is held of the one before stays held.

        ``key`` and ``base`` are those of a case from the casebook, and ``stored`` what that
        holds, where ``case`` differs from it already. Nothing is written yet.
        """
        with self._lock:
            self.key, self.base = key or new_key(), base
            self.writer, self.serial = new_key(), 0
            self._last = stored if stored is not None else case if key else Case("")

    def keep(self, case: Case) -> bool:
        """Write what has changed since it was last kept; whether it is on disk.

        Nothing is raised: where it cannot be written, ``fault`` says why, the rows wait in
        memory, and the next call of this or of ``retry`` writes them.
        """
        with self._lock:
            self._add(case)
            return self._write()

    def recognised(self, was: str, key: str, base: int, stored: Case) -> bool:
        """Go on as the case ``key`` of the casebook; whether ``was`` is still the one kept.

        ``stored`` is what its revision ``base`` holds. What was answered since is written anew
        on top of that: the rows under ``was`` are of no use any more.
        """
        with self._lock:
            if self.key != was:
                return False
            begun = bool(self.serial)
            self._held = [row for row in self._held if row.case != was]
            latest, self._last = self._last, stored
            self.key, self.base = key, base
            self.writer, self.serial = new_key(), 0
            if begun:
                self._add(latest)
                self._write()
            return True

    def retry(self) -> bool:
        """Write what is held in memory; whether all is on disk."""
        with self._lock:
            return self._write()

    @property
    def held(self) -> tuple[AnswerRow, ...]:
        """Answers that are in memory only."""
        return tuple(self._held)

    def closed(self, revision: int) -> None:
        """A revision was made of everything kept so far: later answers go on top of it."""
        with self._lock:
            self.base = revision

    def _add(self, case: Case) -> None:
        at = self._clock()
        for fact, value in changes(self._last, case).items():
            self.serial += 1
            self._held.append(
                AnswerRow(
                    self.key, self.writer, self.serial, self.base, at, self.author, fact, value
                )
            )
        self._last = case

    def _write(self) -> bool:
        if self._held:
            try:
                self.journal.add(self._held)
            except JournalFault as fault:
                self.fault = (
                    f"The answers cannot be written ({fault}). They are held in memory, and are "
                    "written as soon as it works again. Do not close the program."
                )
                return False
            self._held.clear()
            self.kept_at = self._clock()
        self.fault = ""
        return True
