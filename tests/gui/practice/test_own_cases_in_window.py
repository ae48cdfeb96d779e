"""The shop's own cases in rounds: with their photo of before, without whose they were."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import Qt

from advisor.casebook.adding import add_case
from advisor.casebook.book import Casebook
from advisor.casebook.finding.bin import throw_away
from advisor.casebook.photos.attached import AFTER, BEFORE, attach
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.practice.practice_place import PracticePlace
from advisor.gui.practice.rounds_page import NONE_OF_THE_SHOP, RoundsPage
from advisor.paths import demo_folder
from advisor.practice.answers import Help
from advisor.practice.cases import CaseSource
from advisor.practice.round import Step
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping

pytestmark = pytest.mark.qt_log_ignore("does not support propagateSizeHints")
RED, BLUE = (200, 30, 30), (30, 30, 200)
WHOSE = "Ms Example, boat 12"


def photo(colour: tuple[int, int, int]) -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (640, 480), colour).save(data, "PNG")
    return data.getvalue()


@pytest.fixture
def keep(tmp_path: Path, engine: Engine) -> Callable[..., str]:
    """Keep a case with photos; ``binned`` puts it in the bin."""

    def kept(case: Case, photos: tuple[tuple[bytes, str], ...] = (), binned: bool = False) -> str:
        book = Casebook.open(tmp_path / "book", engine.pack)
        stored = partial(add_case, case=case, author="", at=1, pack=engine.pack)
        key, _ = book.write(stored)
        for data, moment in photos:
            put = partial(attach, key=key, data=data, name="photo.png", moment=moment, at=2,
                          store=book.files)  # fmt: skip
            book.write(put)
        if binned:
            book.write(partial(throw_away, key=key, at=3))
        book.shut()
        return key

    return kept


@pytest.fixture
def keeping(tmp_path: Path, engine: Engine) -> Iterator[CaseKeeping]:
    found = CaseKeeping(tmp_path / "journal.sqlite", str(tmp_path / "book"), engine.pack)
    found.start()
    yield found
    found.stop()


@pytest.fixture
def rounds(own_folders: None, engine: Engine, keeping: CaseKeeping, qtbot) -> RoundsPage:
    """The page of rounds over this casebook, the shop's own cases picked."""
    session = Session(engine.pack, engine.quick, keeping=keeping)
    place = PracticePlace(session)
    qtbot.addWidget(place)
    place.resize(1280, 740)
    place.show()
    place.show_first()
    page = place.rounds
    page.source.setCurrentIndex(page.source.findData("casebook"))
    page.help.setCurrentIndex(page.help.findData(Help.ALONE))
    page.round_page.worlds = 256
    return page


@pytest.fixture
def bench(engine: Engine) -> Case:
    case = read_case(demo_folder() / "brittle_bench.yaml", engine.pack.facts)
    return replace(case, name="SH-7", title=WHOSE, note=WHOSE)


def begun(rounds: RoundsPage, qtbot) -> RoundsPage:
    rounds.next_case()
    qtbot.waitUntil(lambda: rounds.stack.currentWidget() is rounds.round_page, timeout=30000)
    return rounds


def test_a_kept_case_comes_up_with_its_photo_of_before_and_nobodys_name(
    keep, rounds: RoundsPage, bench: Case, qtbot
) -> None:
    keep(bench, ((photo(RED), BEFORE), (photo(BLUE), AFTER)))
    page = begun(rounds, qtbot).round_page
    one = page.round.case
    assert one.source is CaseSource.CASEBOOK
    told = "\n".join((one.name, one.title, repr(one.hidden), page.title.text(), page.told.text()))
    assert WHOSE not in told and "SH-7" not in told
    assert len(one.photos) == 1, "the one of after gives the answer away"
    assert page.photo.isVisible() and not page.board.isVisible()
    assert page.photo.accessibleName() == "Photo 1 of 1, before the repair"
    middle = page.photo.grab().toImage().pixelColor(page.photo.rect().center())
    assert middle.red() > 150 > middle.blue()
    qtbot.keyClick(page, Qt.Key.Key_F9)
    assert page.board.isVisible() and not page.photo.isVisible()
    qtbot.mouseClick(page.photos, Qt.MouseButton.LeftButton)
    assert page.photo.isVisible()
    qtbot.waitUntil(lambda: page.is_ready, timeout=30000)
    while page.round.step is not Step.FORCES:
        if page.round.step is Step.FIRST:
            page.panels[Step.FIRST].list.setCurrentRow(0)
        page.go_on()
    assert page.board.isVisible(), "forces are drawn on the section"


def test_a_case_in_the_bin_or_with_open_hazards_does_not_come_up(
    keep, rounds: RoundsPage, bench: Case, qtbot
) -> None:
    keep(bench, binned=True)
    open_hazards = {name: value for name, value in bench.facts.items()
                    if not name.startswith("gate.")}  # fmt: skip
    keep(replace(bench, name="SH-8", facts=open_hazards))
    rounds.next_case()
    qtbot.waitUntil(lambda: not rounds.is_looking and bool(rounds.working.text()), timeout=30000)
    assert rounds.working.text().startswith(NONE_OF_THE_SHOP)
    assert rounds.stack.currentWidget() is rounds.start_page


def test_own_cases_mix_with_the_others(
    keep, rounds: RoundsPage, bench: Case, qtbot
) -> None:
    """With nothing picked an own case of the topic comes up beside demo cases and drawn ones."""
    keep(bench)
    (own,) = rounds.own.ready(4)
    rounds.stock = (replace(own, name="other", topics=("padding",)),)
    rounds.source.setCurrentIndex(0)
    rounds.topic.setCurrentIndex(rounds.topic.findData(own.topic))
    page = begun(rounds, qtbot).round_page
    assert page.round.case.source is CaseSource.CASEBOOK
    assert not page.photo.isVisible() and not page.photos.isVisible()
