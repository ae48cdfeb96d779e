"""Asking the casebook from the window without ever waiting for it."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from functools import partial
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from advisor.session.casebook_keeping import CaseKeeping

if TYPE_CHECKING:
    from advisor.casebook.book import Casebook


class Asker(QObject):
    """Has work done in the casebook's thread, and hands the result over in the window's.

    Of questions with the same ``topic`` only the last one is answered.
    """

    _done = Signal(str, int, object)
    failed = Signal(str, str)
    """With the topic and what is wrong."""

    def __init__(self, keeping: CaseKeeping, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._keeping = keeping
        self._asked: dict[str, tuple[int, Future[Any], Callable[[Any], None]]] = {}
        self._count = 0
        self._done.connect(self._hand_over)

    @property
    def waiting(self) -> bool:
        """Whether anything asked is not answered yet."""
        return bool(self._asked)

    def ask(
        self, topic: str, work: Callable[[Casebook], Any], then: Callable[[Any], None]
    ) -> None:
        """Ask, and call ``then`` with the result; a fault goes to ``failed``."""
        self._count += 1
        number = self._count
        if topic in self._asked:
            self._asked[topic][1].cancel()
        future = self._keeping.ask(work)
        self._asked[topic] = number, future, then
        future.add_done_callback(partial(self._hear, topic, number))

    def _hear(self, topic: str, number: int, done: Future[Any]) -> None:
        """In the casebook's thread; what asked may be gone by now."""
        with suppress(RuntimeError):
            self._done.emit(topic, number, done)

    def _hand_over(self, topic: str, number: int, done: Future[Any]) -> None:
        if topic not in self._asked or self._asked[topic][0] != number:
            return
        then = self._asked.pop(topic)[2]
        if done.cancelled():
            return
        error = done.exception()
        if error is not None:
            self.failed.emit(topic, str(error))
        else:
            then(done.result())
