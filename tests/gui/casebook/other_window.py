"""Somebody at another machine, in a window of a process of its own, on the same casebook.

``python -m tests.gui.casebook.other_window PLACE JOURNAL KEY`` opens the case, answers, leaves
a stage, and says ``closed``. A line on its input later it answers again and leaves a stage,
takes the length that the other one gave and keeps its own gap, says what it has then, and ends.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QDeadlineTimer, QEventLoop
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Span
from advisor.gui.app import begin_keeping, prepare
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.screens import Tab
from tests.gui.window.person_at_dialogs import Person, pick
from tests.unit.session.small_pack import SmallPack, small_advise, without_working


def until(ready: Callable[[], bool]) -> None:
    """Let the window work until something is so, a minute at most."""
    give_up = QDeadlineTimer(60_000)
    while not ready():
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, give_up)
        assert not give_up.hasExpired()


def number(keeping: CaseKeeping) -> int:
    """Of the last revision."""
    return keeping.ask(lambda book: book.case(keeping.keeper.key).number).result(20)


def main(place: str, journal: Path, key: str) -> None:
    """Be that window."""
    app = QApplication([])
    prepare(app)
    pack = SmallPack()
    keeping = CaseKeeping(journal, place, pack)
    session = Session(pack, without_working(small_advise), keeping=keeping)
    window = MainWindow(session)
    window.show()
    begin_keeping(window, None)
    window.files.open_kept(key)
    until(lambda: session.case.name == "HB-1")
    window.navigator.go_tab(Tab.DAMAGE)
    window.navigator.answer("damage.length", Span(30, 30, "30 mm"))
    window.navigator.go_tab(Tab.DETAILS)
    closed = number(keeping)
    print(f"closed {closed}", flush=True)
    sys.stdin.readline()
    person = Person(pick("damage.length"))
    window.navigator.answer("damage.gap", Span(4, 4, "4 mm"))
    window.navigator.go_tab(Tab.DAMAGE)
    until(lambda: not person.acts)
    until(lambda: session.case.facts["damage.length"] == Span(20, 20))
    person.done()
    number(keeping)
    facts = {name: str(value) for name, value in session.case.facts.items()}
    print(json.dumps({"said": person.seen, "facts": facts}), flush=True)
    keeping.stop()


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), sys.argv[3])
