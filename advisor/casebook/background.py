"""The casebook on a thread of its own, so that no answer and no window ever waits for it.

Nothing of the database is loaded before the thread has something to do. Where the casebook
cannot be reached the answers stay in the journal, and it is tried again and again.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import suppress
from queue import Empty, SimpleQueue
from typing import TYPE_CHECKING, Any, TypeVar

from advisor.casebook.journal.journal import Journal
from advisor.casebook.journal.keeper import Keeper
from advisor.facts.faults import BadInput

if TYPE_CHECKING:
    from concurrent.futures import Future

    from advisor.casebook.book import Casebook

#: Answers of so many seconds are taken in together.
GATHER = 0.3
#: Seconds until what failed is tried again.
AGAIN = 2.0
#: Seconds that closing the window waits for the casebook at most; the journal keeps the rest.
PATIENCE = 3.0

T = TypeVar("T")


class Background:
    """Takes answers in, and does other work on the casebook, one thing after another.

    ``open_book`` opens the casebook; it is called in the thread, and again after a fault.
    """

    def __init__(
        self, journal: Journal, open_book: Callable[[], Casebook], keeper: Keeper | None = None
    ) -> None:
        self.journal = journal
        self.fault = ""
        """Why answers wait in the journal; empty while all goes well."""
        self._keeper = keeper
        self._open_book = open_book
        self._book: Casebook | None = None
        self._jobs: SimpleQueue[
            tuple[Future[Any], Callable[[Casebook], Any] | None, Callable[[], Any] | None] | bool
        ] = SimpleQueue()
        self._thread = threading.Thread(target=self._run, name="casebook", daemon=True)

    def start(self) -> None:
        """Begin; what earlier runs left in the journal is taken in first."""
        self._thread.start()
        self.nudge()

    def nudge(self) -> None:
        """There is something new in the journal."""
        self._jobs.put(True)

    def ask(self, work: Callable[[Casebook], T]) -> Future[T]:
        """Have ``work`` done with the casebook, after all that was answered before.

        The future holds what it gives, or raises what it raises: BadInput where the casebook
        cannot be used.
        """
        from concurrent.futures import Future

        future: Future[T] = Future()
        self._jobs.put((future, work, None))
        return future

    def ask_shut(self, work: Callable[[], T]) -> Future[T]:
        """Have ``work`` done while this thread does not have the casebook open."""
        from concurrent.futures import Future

        future: Future[T] = Future()
        self._jobs.put((future, None, work))
        return future

    def stop(self) -> None:
        """Take in what there is, and end; what cannot be taken in stays in the journal."""
        if self._thread.is_alive():
            self._jobs.put(False)
            self._thread.join(PATIENCE)

    def _run(self) -> None:
        due: float | None = None
        while True:
            try:
                wait = None if due is None else max(0.0, due - time.monotonic())
                job = self._jobs.get(timeout=wait)
            except Empty:
                due = None if self._take_in() else time.monotonic() + AGAIN
                continue
            if job is True:
                due = due or time.monotonic() + GATHER
            elif job is False:
                self._take_in()
                break
            else:
                assert not isinstance(job, bool)
                self._work(*job)
        self._shut()

    def _take_in(self) -> bool:
        """Whether nothing is left to be taken in."""
        try:
            if self._keeper is not None and not self._keeper.retry():
                return False
            self._opened().take_in(self.journal)
        except Exception as error:  # the thread goes on whatever is wrong: the journal keeps all
            said = str(error) if isinstance(error, BadInput) else f"{type(error).__name__}: {error}"
            self.fault = (
                f"{said} The answers are kept on this machine, and go into the casebook as soon "
                "as it can be used again."
            )
            return False
        self.fault = ""
        return True

    def _work(
        self, future: Future[Any], work: Callable[[Casebook], Any] | None,
        shut: Callable[[], Any] | None,
    ) -> None:  # fmt: skip
        if not future.set_running_or_notify_cancel():
            return
        try:
            if shut is not None:
                self._shut()
                future.set_result(shut())
            elif work is not None:
                book = self._opened()
                book.take_in(self.journal)
                future.set_result(work(book))
        except BaseException as error:
            future.set_exception(error)

    def _shut(self) -> None:
        if self._book is not None:
            with suppress(BadInput):
                self._book.take_in(self.journal)
            self._book.shut()
        self._book = None

    def _opened(self) -> Casebook:
        if self._book is None:
            self._book = self._open_book()
        return self._book
