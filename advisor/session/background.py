"""Work on a thread of its own, which can be asked how far it is and told to stop. Knows no Qt."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from advisor.facts.case import Case
from advisor.session.advice_service import AdviseThoroughly, Pack

if TYPE_CHECKING:
    from advisor.advice.advise import Advised

Watch = Callable[[str], None]


class StoppedError(Exception):
    """Raised inside the work once it was told to stop."""


class Aside:
    """Does one thing on a thread of its own, from now on."""

    def __init__(self, work: Callable[[], None]) -> None:
        self._work = work
        self._fault: BaseException | None = None
        self._thread = threading.Thread(target=self._run, name="aside")
        self._thread.start()

    def finish(self) -> None:
        """Wait for the end; raises what the work raised."""
        self._thread.join()
        if self._fault is not None:
            raise self._fault

    def _run(self) -> None:
        try:
            self._work()
        except BaseException as fault:  # raised again where it is waited for
            self._fault = fault


class Background:
    """Runs ``work`` from now on; it calls its watch often and gives results as it goes on.

    The thread is a daemon and holds nothing that belongs to a window: who asks is the
    window, as often as it likes.
    """

    def __init__(self, work: Callable[[Watch], Iterator[Advised]]) -> None:
        self.doing = ""
        """What is being done, as a phrase."""
        self.fault: Exception | None = None
        self._work = work
        self._found: list[Advised] = []
        self._lock = threading.Lock()
        self._stopped = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True, name="advice")
        self._thread.start()

    @property
    def over(self) -> bool:
        """Whether nothing more will come; what has come may still have to be taken."""
        return not self._thread.is_alive()

    def take(self) -> list[Advised]:
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


class Thorough:
    """The advice from more simulated cases, in the background: for one case at a time."""

    def __init__(self, pack: Pack, advise: AdviseThoroughly | None) -> None:
        self._pack = pack
        self._advise = advise
        self._work: Background | None = None
        self._taken = 0
        self.case: Case | None = None
        """The case that is being worked on."""
        self.waved_off: Case | None = None
        """The case for which the rough figures will do."""

    @property
    def possible(self) -> bool:
        """Whether there is anything that could work."""
        return self._advise is not None

    @property
    def doing(self) -> str:
        """What is being done, as a phrase."""
        return self._work.doing if self._work is not None else ""

    def use_pack(self, pack: Pack) -> None:
        """Work under other rules from now on; what was found under the old ones is dropped."""
        self.stop()
        self._pack = pack
        self.waved_off = None

    def start(self, case: Case) -> None:
        """Work on ``case``, and no longer on another one."""
        self.stop()
        self._taken = 0
        advise, pack = self._advise, self._pack
        if advise is not None:
            self.case = case
            self._work = Background(lambda watch: advise(case, pack, watch))

    def stop(self) -> None:
        """Work on nothing."""
        if self._work is not None:
            self._work.stop()
        self._work = self.case = None

    def wait(self, seconds: float) -> None:
        """Wait for the end of the work, so long at most."""
        if self._work is not None:
            self._work.wait(seconds)

    def take(self, case: Case) -> tuple[Advised | None, Advised | None]:
        """Quick and full advice, where found since the last time. Raises the work's fault."""
        work = self._work
        if work is None or self.case is not case:
            return None, None
        over = work.over
        found = dict(enumerate(work.take(), start=self._taken))
        self._taken += len(found)
        if over:
            self._work = self.case = None
        if over and work.fault is not None:
            self.waved_off = case  # it would only go wrong again
            raise work.fault
        return found.get(0), found.get(1)
