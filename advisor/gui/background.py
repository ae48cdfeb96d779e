"""Work on a thread of its own, which can be asked how far it is and told to stop. Knows no Qt."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.advice.result import Advice

Watch = Callable[[str], None]


class StoppedError(Exception):
    """Raised inside the work once it was told to stop."""


class Background:
    """Runs ``work`` from now on; it calls its watch often and gives results as it goes on.

    The thread is a daemon and holds nothing that belongs to a window: who asks is the
    window, as often as it likes.
    """

    def __init__(self, work: Callable[[Watch], Iterator[Advice]]) -> None:
        self.doing = ""
        """What is being done, as a phrase."""
        self.fault: Exception | None = None
        self._work = work
        self._found: list[Advice] = []
        self._lock = threading.Lock()
        self._stopped = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True, name="advice")
        self._thread.start()

    @property
    def over(self) -> bool:
        """Whether nothing more will come; what has come may still have to be taken."""
        return not self._thread.is_alive()

    def take(self) -> list[Advice]:
        """What has been found since the last time, in order."""
        with self._lock:
            found, self._found = self._found, []
        return found

    def stop(self) -> None:
        """Tell it to stop; it does at its next step, and nothing more comes of it."""
        self._stopped.set()
        self.take()

    def wait(self, seconds: float) -> bool:
        """Wait for the end, so long at most; whether it is over."""
        self._thread.join(seconds)
        return self.over

    def _watch(self, doing: str) -> None:
        if self._stopped.is_set():
            raise StoppedError
        self.doing = doing

    def _run(self) -> None:
        try:
            for advice in self._work(self._watch):
                with self._lock:
                    if self._stopped.is_set():
                        return
                    self._found.append(advice)
        except StoppedError:
            return
        except Exception as fault:  # told to whoever asks, on the thread that asks
            self.fault = fault
