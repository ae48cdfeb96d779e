"""A window whose cases are kept, and a casebook with some in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.facts.case import Case
from advisor.gui.casebook.casebook_page import CasebookPage
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from tests.casebook.conftest import places
from tests.casebook.shop import NOON
from tests.casebook.stored_advice import some_advice
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

__all__ = ["places"]
PACK = SmallPack()
CASES = (
    ("HB-1", "armrest", "seam_open", "Harbour shuttle 4, armrest", "creaks since winter"),
    ("HB-2", "dash_top", "tear", "Wheelhouse dash, charter boat", "sun"),
    ("HB-3", "armrest", "tear", "", "torn at the corner"),
)


@pytest.fixture
def keeping(tmp_path: Path) -> Iterator[CaseKeeping]:
    """A casebook with three cases, in its own folder."""
    place = tmp_path / "book"
    book = Casebook.open(place, PACK)
    for number, (name, part, damage, title, note) in enumerate(CASES):
        facts = {"part.kind": (part,), "damage.kind": (damage,)}
        case = Case(name, title, facts, note=note)
        book.write(partial(add_case, case=case, author="Ada", at=NOON + number, pack=PACK,
                           advice=some_advice()))  # fmt: skip
    book.shut()
    made = CaseKeeping(tmp_path / "journal.sqlite", str(place), PACK)
    made.start()
    yield made
    made.stop()


@pytest.fixture
def kept_session(keeping: CaseKeeping) -> Session:
    """A session whose case is kept."""
    return Session(PACK, without_working(small_advise), keeping=keeping)


@pytest.fixture
def kept_window(kept_session: Session, open_window: Callable[[Session], MainWindow]) -> MainWindow:
    """Its window."""
    return open_window(kept_session)


@pytest.fixture
def page(qtbot, keeping: CaseKeeping) -> CasebookPage:  # type: ignore[no-untyped-def]
    """The kept cases by themselves, with the first answer there."""
    shown = CasebookPage(keeping, PACK)
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    settled(qtbot, shown)
    return shown


def settled(qtbot, page: CasebookPage) -> None:  # type: ignore[no-untyped-def]
    """Wait until everything asked was answered and shown."""
    qtbot.waitUntil(lambda: not page.asker.waiting and not page.bar.waiting, timeout=20_000)


def once_there(kind: type, act: Callable[[Any], None]) -> None:
    """Have something done with a dialog of this kind as soon as one is open."""

    def look() -> None:
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, kind):
            act(dialog)
        else:
            QTimer.singleShot(30, look)

    QTimer.singleShot(30, look)
