"""Two real windows, each a process, on one case at once: both are told, nothing is overwritten."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

import pytest

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.facts.case import Case, Span
from advisor.gui import app
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.screens import Tab
from tests.casebook.conftest import NO_SERVER, SERVER, Places
from tests.casebook.shop import NOON
from tests.gui.window.person_at_dialogs import Person, pick
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

PACK = SmallPack()
ROOT = Path(__file__).parents[3]
BEGUN = {"part.kind": ("armrest",), "damage.kind": ("tear",), "hazard.airbag": False}


@pytest.fixture(
    params=[
        "sqlite",
        pytest.param("postgresql", marks=pytest.mark.skipif(not SERVER, reason=NO_SERVER)),
    ]
)
def place(request: pytest.FixtureRequest, places: Places) -> str:
    """A casebook with one case, in a folder and on a server."""
    made = places.new(request.param)
    book = Casebook.open(made, PACK)
    book.write(partial(add_case, case=Case("HB-1", facts=BEGUN), author="Ada", at=NOON, pack=PACK))
    book.shut()
    return made


@pytest.fixture
def keeping(place: str, tmp_path: Path) -> Iterator[CaseKeeping]:
    """What keeps the case in our window."""
    made = CaseKeeping(tmp_path / "mine.sqlite", place, PACK)
    yield made
    made.stop()


@pytest.mark.slow
def test_two_windows_on_one_case_merge_answer_by_answer(
    qtbot, place: str, keeping: CaseKeeping, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    open_window: Callable[[Session], MainWindow],
) -> None:  # fmt: skip
    monkeypatch.setattr(app, "LOOK_FOR_OTHERS", 30)
    session = Session(PACK, without_working(small_advise), keeping=keeping)
    window = open_window(session)
    app.begin_keeping(window, None)
    [key] = keeping.ask(lambda book: book.all_keys()).result(20)
    window.files.open_kept(key)
    qtbot.waitUntil(lambda: session.case.name == "HB-1", timeout=20_000)
    command = [sys.executable, "-m", "tests.gui.casebook.other_window", place,
               str(tmp_path / "theirs.sqlite"), key]  # fmt: skip
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, cwd=ROOT, text=True
    ) as other:
        assert other.stdin is not None
        assert other.stdout is not None
        assert other.stdout.readline().startswith("closed ")
        # They closed first with 30 mm; we are told as soon as we leave a stage, and keep 20 mm.
        person = Person(pick())
        window.navigator.go_tab(Tab.DAMAGE)
        window.navigator.answer("damage.length", Span(20, 20, "20 mm"))
        window.navigator.go_tab(Tab.DETAILS)
        qtbot.waitUntil(lambda: not person.acts, timeout=20_000)
        person.done()
        keeping.ask(lambda book: book.all_keys()).result(20)
        assert keeping.other is None
        # They go on, are told in their turn, and take our length.
        told, _ = other.communicate("go on\n", timeout=120)
    assert person.seen == ["Somebody else has gone on with this case. Both versions are kept."]
    theirs = json.loads(told.splitlines()[-1])
    assert theirs["said"] == person.seen
    there = keeping.ask(lambda book: book.case(key)).result(20)
    assert there.case.facts == {
        **BEGUN, "damage.length": Span(20, 20), "damage.gap": Span(4, 4)
    }  # fmt: skip
    assert not there.others
    assert not keeping.ask(lambda book: book.damage(key)).result(20)
    # Both lengths stand in the answers for good.
    rows = keeping.ask(lambda book: book.read(lengths)).result(20)
    assert [value.partition('"written":')[2] for value in rows] == ['"30 mm"}', '"20 mm"}']


def lengths(connection):  # type: ignore[no-untyped-def]
    """Every length that was ever answered."""
    from sqlalchemy import select

    from advisor.casebook.database.tables import answers

    asked = select(answers.c.value).where(answers.c.fact == "damage.length").distinct()
    return sorted(connection.execute(asked).scalars(), key=lambda value: "20 mm" in value)
