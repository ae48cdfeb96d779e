"""Cases handed on and taken in from the window, and one advice calculated again."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.cases.advised import advised
from advisor.casebook.replay.stored_rules import keep
from advisor.facts.case_file import read_case
from advisor.gui.casebook.casebook_page import CasebookPage
from advisor.gui.widgets import dialogs
from advisor.paths import demo_folder, rules_folder
from advisor.rulegraph.model.pack import RulePack
from advisor.session.casebook_keeping import CaseKeeping
from tests.casebook.shop import NOON
from tests.gui.casebook.conftest import settled


@pytest.fixture
def told(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What was said in messages."""
    said: list[str] = []
    monkeypatch.setattr(dialogs, "tell", lambda _parent, _title, text: said.append(text))
    monkeypatch.setattr(
        dialogs, "show_faults", lambda _p, heading, faults: said.append(f"{heading} {faults[0]}"))
    return said


def test_what_the_list_shows_is_handed_on_and_taken_in_again(
    qtbot, page: CasebookPage, tmp_path: Path, told: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    page.words.setText("armrest")
    settled(qtbot, page)
    for name in ("cases.zip", "cases.csv"):
        monkeypatch.setattr(dialogs, "ask_write", lambda *_, name=name: tmp_path / name)
        page.files.export.trigger()
    rows = list(csv.DictReader((tmp_path / "cases.csv").read_text().splitlines()))
    assert [row["name"] for row in rows] == ["HB-3", "HB-1"]
    monkeypatch.setattr(dialogs, "ask_read", lambda *_: tmp_path / "cases.zip")
    page.files.take_in.trigger()
    monkeypatch.setattr(dialogs, "ask_read", lambda *_: tmp_path / "cases.csv")
    page.files.take_in.trigger()
    assert [each.partition(" in ")[0] for each in told[:2]] == ["2 cases", "2 cases"]
    assert told[2] == "cases.zip: 2 nothing new."
    assert told[3].startswith("Nothing was taken in. ")
    assert "not a whole zip file" in told[3]


@pytest.fixture
def with_advice(tmp_path: Path, pack: RulePack) -> Iterator[CaseKeeping]:
    """A casebook with one case, advised by the shipped rules."""
    place = tmp_path / "advised"
    case = read_case(demo_folder() / "split_armrest.yaml", pack.facts, methods=pack.methods)
    book = Casebook.open(place, pack)
    book.write(partial(keep, pack=pack, base=rules_folder(), own=None))
    advice = advised(advise(case, pack, 256, flips=False))
    book.write(partial(add_case, case=case, author="A", at=NOON, pack=pack, advice=advice))
    book.shut()
    made = CaseKeeping(tmp_path / "journal.sqlite", str(place), pack)
    made.start()
    yield made
    made.stop()


@pytest.mark.slow
def test_an_advice_is_calculated_again_with_its_own_rules_and_those_of_today(
    qtbot, with_advice: CaseKeeping, pack: RulePack, told: list[str]
) -> None:
    page = CasebookPage(with_advice, pack)
    qtbot.addWidget(page)
    settled(qtbot, page)
    page.files.menu().aboutToShow.emit()
    assert page.files.again.isEnabled()
    page.files.again.trigger()
    page.files.today.trigger()
    assert told == ["HB-2041: identical", "HB-2041: identical"]
    page.words.setText("nothing like it")
    settled(qtbot, page)
    page.files.menu().aboutToShow.emit()
    assert not page.files.again.isEnabled()
