"""A full disk, a read-only folder, a server that is lost: told, nothing lost, written later.

The real system says no: a limit on what is written, rights of a folder, a server's refusal.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from advisor.casebook import background
from advisor.casebook.book import Casebook
from advisor.facts.case import Span
from advisor.gui import app
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from tests.casebook.conftest import NO_SERVER, SERVER, Places, on_server
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

if sys.platform == "win32":
    pytest.skip("rights and limits are those of POSIX", allow_module_level=True)

from tests.gui.window.test_failing_disk import folder, full_disk, read_only

__all__ = ["folder"]
PACK = SmallPack()
Open = Callable[[Session], MainWindow]


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """What failed is tried again soon."""
    monkeypatch.setattr(background, "AGAIN", 0.05)
    monkeypatch.setattr(background, "GATHER", 0.02)
    monkeypatch.setattr(app, "LOOK_FOR_OTHERS", 30)


@pytest.fixture
def opened(open_window: Open) -> Iterator[Callable[[Path, str], MainWindow]]:
    """A window on a journal and a casebook, as the program opens it."""
    made: list[CaseKeeping] = []

    def window(journal: Path, place: str) -> MainWindow:
        keeping = CaseKeeping(journal, place, PACK)
        made.append(keeping)
        found = open_window(Session(PACK, without_working(small_advise), keeping=keeping))
        app.begin_keeping(found, None)
        return found

    yield window
    for keeping in made:
        keeping.stop()


def stored(window: MainWindow) -> object:
    """What the casebook has of the case."""
    keeping = window.session.keeping
    assert keeping is not None
    return keeping.ask(lambda book: book.case(keeping.keeper.key).case.facts).result(20)


def test_a_full_disk_is_told_and_answers_are_written_once_there_is_room(
    qtbot, opened, folder: Path
) -> None:
    window = opened(folder / "kept" / "journal.sqlite", str(folder / "kept"))
    window.navigator.answer("part.kind", ("armrest",))
    assert window.session.kept
    stored(window)
    with full_disk(folder):
        window.navigator.answer("skin.material", ("vinyl",))
        assert window.lost.isVisible()
        assert "They are held in memory, and are written as soon as it" in window.lost.text()
        assert not window.session.kept
    # Nobody answers anything: it is written all the same.
    qtbot.waitUntil(lambda: not window.lost.isVisible(), timeout=20_000)
    assert window.session.kept
    assert stored(window) == window.session.case.facts


def test_a_read_only_folder_is_told_and_answers_are_written_once_it_is_not(
    qtbot, opened, folder: Path, tmp_path: Path
) -> None:
    Casebook.open(tmp_path / "other", PACK).shut()  # what is loaded is not to be read below
    with read_only(folder):
        window = opened(folder / "kept" / "journal.sqlite", str(folder / "kept"))
        window.navigator.answer("part.kind", ("armrest",))
        assert window.lost.isVisible()
        assert "They are held in memory" in window.lost.text()
        assert str(folder / "kept") in window.lost.text()
    qtbot.waitUntil(lambda: not window.lost.isVisible(), timeout=20_000)
    assert stored(window) == window.session.case.facts


def test_a_casebook_that_cannot_be_used_is_told_while_answers_are_on_disk(
    qtbot, opened, tmp_path: Path
) -> None:
    blocked = tmp_path / "book"
    blocked.write_text("a file where the folder should be")
    window = opened(tmp_path / "journal.sqlite", str(blocked))
    window.navigator.answer("part.kind", ("armrest",))
    qtbot.waitUntil(lambda: "this folder cannot be made" in window.notice.text(), timeout=20_000)
    assert "go into the casebook as soon as it can be used again" in window.notice.text()
    assert window.session.kept
    assert not window.lost.isVisible()
    blocked.unlink()
    qtbot.waitUntil(lambda: not window.notice.isVisible(), timeout=20_000)
    assert stored(window) == window.session.case.facts


@pytest.mark.skipif(not SERVER, reason=NO_SERVER)
def test_a_lost_server_is_told_and_answers_go_there_once_it_is_back(
    qtbot, opened, tmp_path: Path, places: Places
) -> None:
    place = places.new("postgresql")
    name = place.rpartition("/")[2]
    window = opened(tmp_path / "journal.sqlite", place)
    window.navigator.answer("part.kind", ("armrest",))
    stored(window)
    on_server(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false")
    on_server(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")
    window.navigator.answer("damage.length", Span(5, 5, "5 mm"))
    assert window.session.kept  # on this machine
    qtbot.waitUntil(lambda: "the casebook cannot be used" in window.notice.text(), timeout=20_000)
    assert "The answers are kept on this machine" in window.notice.text()
    on_server(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true")
    qtbot.waitUntil(lambda: not window.notice.isVisible(), timeout=20_000)
    assert stored(window) == window.session.case.facts
