"""The case in the window is kept in the casebook. Own rules of this project."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from advisor.casebook.book import Casebook
from advisor.casebook.finding.lines import Search
from advisor.casebook.finding.search import page
from advisor.casebook.journal.journal import Journal
from advisor.facts.case import Case, Span
from advisor.session.autosave import Origin, write_autosave
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping, taken_in_autosaves
from tests.casebook.conftest import NO_SERVER, SERVER, Places, on_server
from tests.casebook.shop import Technician
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

PACK = SmallPack()


class Shop:
    """Windows on one casebook."""

    def __init__(self, folder: Path, place: str) -> None:
        self.folder, self.place = folder, place
        self.keepings: list[CaseKeeping] = []

    def window(self, start: bool = True) -> Session:
        """A session as the window has it."""
        keeping = CaseKeeping(self.folder / "journal.sqlite", self.place, PACK)
        self.keepings.append(keeping)
        if start:
            keeping.start()
        return Session(PACK, without_working(small_advise), keeping=keeping)

    def book(self, session: Session, work):  # type: ignore[no-untyped-def]
        """What the casebook says, once all before is done."""
        assert session.keeping is not None
        return session.keeping.ask(work).result(30)


@pytest.fixture
def shop(tmp_path: Path, place: str) -> Iterator[Shop]:
    made = Shop(tmp_path, place)
    yield made
    for keeping in made.keepings:
        keeping.stop()


def only(book: Casebook):  # type: ignore[no-untyped-def]
    """The one case of a casebook."""
    [key] = book.all_keys()
    return book.case(key)


def test_a_case_is_kept_from_its_first_answer_and_has_a_name(shop: Shop) -> None:
    session = shop.window()
    assert shop.book(session, lambda book: book.all_keys()) == []
    session.answer("part.kind", ("dash_top",))
    assert session.kept
    assert not session.needs_saving
    there = shop.book(session, only)
    assert there.case.facts == session.case.facts
    assert there.row["called"] == "Dash top"


def test_every_change_is_in_the_journal_before_the_casebook_is_opened(shop: Shop) -> None:
    session = shop.window(start=False)
    session.answer("part.kind", ("dash_top",))
    session.answer("damage.length", Span(20, 20, "20 mm"))
    session.undo()
    session.set_note("says since winter")
    rows = Journal(shop.folder / "journal.sqlite").waiting()
    assert [row.fact for row in rows if not row.fact.startswith("case:")] == [
        "part.kind", "damage.length", "damage.length",
    ]  # fmt: skip
    session.keeping.start()  # type: ignore[union-attr]
    assert shop.book(session, only).case == session.case


def test_a_case_is_left_for_another_and_opened_again(shop: Shop) -> None:
    session = shop.window()
    session.answer("part.kind", ("dash_top",))
    session.set_title("Ferry wheelhouse")
    first = session.case
    session.start_new()
    session.answer("part.kind", ("armrest",))
    lines = shop.book(session, partial(Casebook.read, work=partial(page, search=Search("ferry"))))
    assert [line.called for line in lines] == ["Ferry wheelhouse"]
    there = shop.book(session, lambda book: book.open_for_work(lines[0].key))
    assert there.number >= 1  # leaving it made a revision
    session.open_stored(there)
    assert session.case == first
    assert not session.dirty
    session.answer("damage.length", Span(5, 5, "5 mm"))
    again = shop.book(session, lambda book: book.case(lines[0].key))
    assert again.case.facts["damage.length"] == Span(5, 5)
    assert len(shop.book(session, lambda book: book.all_keys())) == 2


def test_a_verdict_makes_a_revision_with_its_advice(shop: Shop) -> None:
    session = shop.window()
    session.answer("part.kind", ("dash_top",))
    verdict = session.advice.verdict
    session.close_revision("stage")
    there = shop.book(session, only)
    assert there.number == 1
    assert there.advice is not None
    assert there.advice["result"]["verdict"] == verdict.value
    assert there.row["verdict"] == verdict.value
    assert not shop.book(session, lambda book: book.damage(there.key))


def test_of_two_windows_on_one_case_the_second_is_told_and_merges(shop: Shop) -> None:
    one, two = shop.window(), shop.window()
    one.answer("part.kind", ("dash_top",))
    one.close_revision("stage")
    key = shop.book(one, only).key
    two.open_stored(shop.book(two, lambda book: book.open_for_work(key)))
    one.answer("damage.length", Span(10, 10, "10 mm"))
    two.answer("damage.length", Span(20, 20, "20 mm"))
    one.close_revision("stage")
    shop.book(one, only)
    two.close_revision("stage")
    shop.book(two, only)
    told = two.keeping.other  # type: ignore[union-attr]
    assert told is not None
    assert told.theirs.facts["damage.length"] == Span(10, 10)
    assert [version.case.facts["damage.length"] for version in shop.book(two, only).others] == [
        Span(20, 20)
    ]
    two.take_version(told.theirs, told.number)
    there = shop.book(two, only)
    assert not there.others
    assert there.case.facts["damage.length"] == Span(10, 10)
    assert two.keeping.other is None  # type: ignore[union-attr]
    two.undo()  # what was one's own is not gone
    assert two.case.facts["damage.length"] == Span(20, 20)


def test_a_casebook_that_cannot_be_opened_is_told_and_answers_wait(tmp_path: Path) -> None:
    blocked = tmp_path / "book"
    blocked.write_text("a file where the folder should be")
    shop = Shop(tmp_path, str(blocked))
    session = shop.window()
    session.answer("part.kind", ("dash_top",))
    assert session.kept
    future = session.keeping.ask(only)  # type: ignore[union-attr]
    assert future.exception(30) is not None
    blocked.unlink()
    assert shop.book(session, only).case.facts == session.case.facts
    session.keeping.stop()  # type: ignore[union-attr]


def test_a_disk_that_is_full_is_told_in_the_window(tmp_path: Path) -> None:
    blocked = tmp_path / "kept"
    blocked.write_text("a file where the folder should be")
    keeping = CaseKeeping(blocked / "journal.sqlite", str(tmp_path / "book"), PACK)
    session = Session(PACK, without_working(small_advise), keeping=keeping)
    session.answer("part.kind", ("dash_top",))
    assert "held in memory" in session.autosave_fault
    assert session.needs_saving
    blocked.unlink()
    session.answer("damage.length", Span(5, 5))
    assert not session.autosave_fault
    assert keeping.keeper.journal.waiting()
    keeping.stop()


def test_autosaves_of_earlier_versions_are_taken_in_once(tmp_path: Path, book: Casebook) -> None:
    case = Case("case-1", facts={"part.kind": ("armrest",)})
    mine, living, filed = (tmp_path / f"autosave-{name}-1.yaml" for name in ("a", "b", "c"))
    write_autosave(mine, case, PACK.facts, Origin())
    write_autosave(living, Case("case-2", facts=case.facts), PACK.facts, Origin())
    write_autosave(filed, Case("case-3", facts=case.facts), PACK.facts,
                   Origin(tmp_path / "HB-1.yaml"))  # fmt: skip
    cut = tmp_path / "autosave-d-1.yaml"
    cut.write_bytes(mine.read_bytes()[:-20])

    def take() -> int:
        methods = tuple(PACK.methods)
        return taken_in_autosaves(book, tmp_path, PACK.facts, methods, lambda path: path != living)

    assert (take(), take()) == (1, 0)
    assert not mine.exists()
    assert living.exists()
    assert filed.exists()
    assert cut.exists()
    assert [book.case(key).case for key in book.all_keys()] == [case]


def filed(shop: Shop, session: Session) -> Path:
    """A case begun in a window, saved to a file and left."""
    session.answer("part.kind", ("dash_top",))
    path = shop.folder / "HB-7.yaml"
    session.save(path)
    session.start_new()
    return path


def test_a_case_file_opened_again_is_the_case_that_is_there(shop: Shop) -> None:
    session = shop.window()
    path = filed(shop, session)
    for length in (10, 20):
        session.open(path)
        session.answer("damage.length", Span(length, length, f"{length} mm"))
        session.save(path)
        session.start_new()
    there = shop.book(session, only)
    assert there.case.facts["damage.length"] == Span(20, 20)
    assert not there.others
    assert session.keeping.other is None  # type: ignore[union-attr]


def test_what_is_answered_before_the_file_is_recognised_is_not_lost(shop: Shop) -> None:
    first = shop.window()
    path = filed(shop, first)
    shop.book(first, only)
    late = shop.window(start=False)
    late.open(path)
    late.answer("damage.length", Span(5, 5, "5 mm"))
    late.keeping.start()  # type: ignore[union-attr]
    there = shop.book(late, only)
    assert there.case.facts == late.case.facts
    late.answer("damage.gap", Span(1, 1, "1 mm"))
    assert shop.book(late, only).case.facts == late.case.facts


def test_answers_that_the_file_lacks_are_told_and_can_be_another_case(shop: Shop) -> None:
    session = shop.window()
    path = filed(shop, session)
    session.open_stored(shop.book(session, lambda book: book.open_for_work(only(book).key)))
    session.answer("damage.length", Span(30, 30, "30 mm"))
    session.start_new()
    session.open(path)  # written before that answer
    shop.book(session, only)
    keeping = session.keeping
    assert keeping is not None
    assert keeping.other is not None
    assert keeping.from_file
    assert keeping.other.theirs.facts["damage.length"] == Span(30, 30)
    keeping.is_another(session.case)
    assert keeping.other is None
    assert len(shop.book(session, lambda book: book.all_keys())) == 2


def test_answers_of_a_technician_elsewhere_are_seen(shop: Shop, book: Casebook) -> None:
    ada = Technician(book, Journal(shop.folder / "ada.sqlite"))
    key = ada.begins("HB-1", part__kind=("armrest",))
    ada.taken_in()
    session = shop.window()
    session.open_stored(shop.book(session, lambda there: there.open_for_work(key)))
    assert session.case.facts["part.kind"] == ("armrest",)


@pytest.mark.skipif(not SERVER, reason=NO_SERVER)
def test_a_lost_connection_loses_nothing(tmp_path: Path, places: Places) -> None:
    place = places.new("postgresql")
    shop = Shop(tmp_path, place)
    session = shop.window()
    session.answer("part.kind", ("dash_top",))
    shop.book(session, only)
    name = place.rpartition("/")[2]
    ending = f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'"
    on_server(ending)
    session.answer("damage.length", Span(5, 5, "5 mm"))
    assert session.kept
    on_server(ending)
    assert shop.book(session, only).case == session.case
    session.keeping.stop()  # type: ignore[union-attr]


FIRST_ANSWER = """
import sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
import advisor.gui.app as app
from advisor.gui.window.main_window import MainWindow
engine = app.lasting_engine(None)
program = QApplication([])
app.prepare(program)
session = app.Session(engine.pack, engine.quick, keeping=app.keeping_of(engine.pack, None))
window = MainWindow(session)
window.show()
program.processEvents()
loaded = {"sqlalchemy", "alembic", "psycopg", "PIL"} & set(sys.modules)
assert not loaded, loaded
window.navigator.answer("part.kind", ("armrest",))
assert session.kept and session.kept_in.exists()
loaded = {"sqlalchemy", "alembic", "psycopg", "PIL"} & set(sys.modules)
assert not loaded, loaded
"""


def test_neither_the_window_nor_an_answer_waits_for_the_database(tmp_path: Path) -> None:
    home = {f"XDG_{kind}_HOME": str(tmp_path) for kind in ("CACHE", "CONFIG", "DATA", "STATE")}
    subprocess.run(
        [sys.executable, "-c", FIRST_ANSWER], check=True, cwd=Path(__file__).parents[2],
        env={**os.environ, **home, "QT_QPA_PLATFORM": "offscreen"}, timeout=120,
    )  # fmt: skip


def test_a_revision_that_could_not_be_made_is_told_until_the_next_one(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = shop.window()
    session.answer("part.kind", ("dash_top",))
    full = RuntimeError("no room for a revision")

    def fails(*_args: object) -> int:
        raise full

    with monkeypatch.context() as broken:
        broken.setattr(Casebook, "close", fails)
        session.close_revision("stage")
        shop.book(session, lambda book: None)
    assert session.keeping is not None
    assert "not closed: no room for a revision." in session.keeping.waits
    assert shop.book(session, only).case.facts == {"part.kind": ("dash_top",)}
    session.close_revision("stage")
    shop.book(session, lambda book: None)
    assert session.keeping.waits == ""
