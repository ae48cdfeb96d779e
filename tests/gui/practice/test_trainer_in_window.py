"""The trainer's view: learners, reports, papers, class sets, erasing."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import Qt

from advisor.gui.practice.practice_place import ROUNDS, TRAINER
from advisor.gui.practice.trainer_page import TrainerPage
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow
from advisor.practice.answers import Help
from advisor.practice.case_sets import CaseSet, read_set, write_set
from advisor.practice.cases import CaseSource
from advisor.practice.demo import as_practice
from tests.gui.random_user.person import settled
from tests.gui.random_user.window_checks import cut_texts
from tests.unit.practice.rounds import START, kept

LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def trainer(practised: MainWindow) -> TrainerPage:
    """The page with two learners, one of whom missed an airbag."""
    place = practised.practice
    for alias, missed in (("Gull", ()), ("Heron", ("airbag",))):
        place.rounds.learners.add(alias)
        for n in range(11):
            at = START + timedelta(days=n)
            place.rounds.learners.keep(alias, kept(n, at=at, good=n > 3, certainty=0.9))
        if missed:
            place.rounds.learners.keep(alias, kept(
                20, good=False, hazards_closed=1, hazards_missed=missed, topics=("hazards",)))
    place.show_page(TRAINER)  # fmt: skip
    page = place.stack.currentWidget()
    assert isinstance(page, TrainerPage)
    return page


def test_all_together_then_one_by_alias(trainer: TrainerPage, qtbot, qapp) -> None:
    names = [trainer.list.item(i).text() for i in range(trainer.list.count())]
    assert names == ["All together", "Gull", "Heron"]
    text = trainer.text.toPlainText()
    assert "Hazards missed: 1 of 1" in text and "Heron" in text
    assert text.index("Hazards missed") < text.index("Topics, the weakest first")
    assert "mostly “glue” instead of “hand stitch" in text
    trainer.list.setFocus()
    qtbot.keyClick(trainer.list, Qt.Key.Key_Down)
    assert trainer.alias == "Gull"
    text = trainer.text.toPlainText()
    assert "7 of 11 rounds good" in text and "Hazards missed: 0" in text
    row = text.splitlines().index("Seams")
    assert text.splitlines()[row + 2] == "11", "answers, beside the share good"
    qapp.processEvents()
    assert "too few answers" in trainer.certainty.accessibleDescription().lower()


def test_learners_stand_side_by_side_only_where_that_is_asked_for(
    trainer: TrainerPage, qtbot
) -> None:
    qtbot.mouseClick(trainer.beside, LEFT)
    lines = trainer.text.toPlainText().splitlines()
    at = lines.index("By alias, no order of merit")
    assert lines[at + 1 : at + 3] == ["Gull", "Heron"], "by alphabet"
    at = lines.index("Hazards missed")
    assert lines[at + 1 : at + 3] == ["0 of 0", "1 of 1"]
    at = lines.index("Rounds, good of all")
    assert lines[at + 1 : at + 3] == ["7 of 11", "7 of 12"]
    assert not trainer.certainty.isVisible()
    trainer.list.setCurrentRow(1)
    assert not trainer.beside.isChecked()
    assert "Heron" not in trainer.text.toPlainText()


def test_the_first_page_says_where_a_learner_stands(trainer: TrainerPage, practised) -> None:
    practised.practice.show_page(ROUNDS)
    rounds = practised.practice.rounds
    assert not rounds.standing.isVisible(), "nobody has practised in this sitting"
    rounds.who.setCurrentIndex(rounds.who.findText("Heron"))
    assert rounds.standing.isVisible()
    told = rounds.standing.text()
    assert "7 of 12 rounds good" in told and "Hazards missed: 1 of 1 that close a job" in told
    assert rounds.certainty.isVisible()


def test_a_larger_window_draws_the_trainer_larger_too(
    trainer: TrainerPage, practised: MainWindow
) -> None:
    practised.resize(1280, 800)
    settled()
    narrow = trainer.side.width()
    practised.resize(1600, 1000)
    settled()
    assert trainer.side.width() > narrow
    assert cut_texts(practised) == []


def test_a_learner_is_erased_only_when_that_was_confirmed(
    trainer: TrainerPage, qtbot, monkeypatch
) -> None:
    trainer.list.setCurrentRow(2)
    asked: list[str] = []
    monkeypatch.setattr(dialogs, "ask_erase", lambda _, text: bool(asked.append(text)))
    qtbot.mouseClick(trainer.erase, LEFT)
    assert "Heron" in asked[0] and "Heron" in trainer.learners.aliases()
    monkeypatch.setattr(dialogs, "ask_erase", lambda *_: True)
    qtbot.mouseClick(trainer.erase, LEFT)
    assert trainer.learners.aliases() == ("Gull",)
    assert trainer.alias == ""
    assert "Heron" not in trainer.text.toPlainText()
    assert not [
        file for file in trainer.learners.folder.iterdir() if b"Heron" in file.read_bytes()
    ]


def test_the_sheet_of_a_learner_is_written(
    trainer: TrainerPage, qtbot, monkeypatch, tmp_path: Path
) -> None:
    trainer.list.setCurrentRow(1)
    path = tmp_path / "gull.pdf"
    monkeypatch.setattr(dialogs, "ask_write", lambda *_: path)
    qtbot.mouseClick(trainer.sheet, LEFT)
    assert path.read_bytes().startswith(b"%PDF")
    assert str(path) in trainer.said.text()
    monkeypatch.setattr(dialogs, "ask_write", lambda *_: tmp_path / "no" / "gull.pdf")
    qtbot.mouseClick(trainer.sheet, LEFT)
    assert trainer.fault.isVisible() and "was not written" in trainer.fault.text()


def test_a_class_set_is_opened_for_rounds_and_printed_as_a_quiz(
    trainer: TrainerPage, practised: MainWindow, armrest, engine, qtbot, monkeypatch, tmp_path
) -> None:
    found = tuple(as_practice(armrest, engine.pack, CaseSource.DEMO))
    path = tmp_path / "set.yaml"
    write_set(path, CaseSet("Seams", found), engine.pack)
    monkeypatch.setattr(dialogs, "ask_read", lambda *_: path)
    qtbot.mouseClick(trainer.open_set, LEFT)
    qtbot.waitUntil(lambda: not trainer.is_working, timeout=30000)
    assert "1 case for rounds" in trainer.said.text()
    begun: list[object] = []
    trainer.set_opened.connect(begun.append)
    printed = tmp_path / "quiz.pdf"
    monkeypatch.setattr(dialogs, "ask_write", lambda *_: printed)
    qtbot.mouseClick(trainer.quiz, LEFT)
    qtbot.waitUntil(lambda: not trainer.is_working, timeout=30000)
    assert printed.read_bytes().startswith(b"%PDF")
    assert trainer.said.text() == f"Written: {printed}, 1 case."
    assert not begun, "a quiz on paper does not begin the set anew"
    practised.practice.show_page(ROUNDS)
    rounds = practised.practice.rounds
    rounds.round_page.worlds = 256
    rounds.help.setCurrentIndex(rounds.help.findData(Help.ALONE))
    qtbot.mouseClick(rounds.begin, LEFT)
    qtbot.waitUntil(lambda: rounds.stack.currentWidget() is rounds.round_page, timeout=30000)
    assert rounds.round_page.round.case.name == armrest.name
    qtbot.waitUntil(lambda: rounds.round_page.is_ready, timeout=30000)


def test_a_class_set_that_is_spoiled_is_said_and_changes_nothing(
    trainer: TrainerPage, qtbot, monkeypatch, tmp_path
) -> None:
    path = tmp_path / "set.yaml"
    path.write_text("format: 1\ncases: []\n")
    monkeypatch.setattr(dialogs, "ask_read", lambda *_: path)
    qtbot.mouseClick(trainer.open_set, LEFT)
    qtbot.waitUntil(lambda: not trainer.is_working, timeout=30000)
    assert trainer.fault.isVisible() and "set.yaml" in trainer.fault.text()
    assert trainer.cases == ()


def test_a_class_set_is_drawn_as_one_file(
    trainer: TrainerPage, engine, qtbot, monkeypatch, tmp_path
) -> None:
    from advisor.gui.practice import trainer_page

    monkeypatch.setattr(trainer_page, "SET_CASES", 1)
    path = tmp_path / "set.yaml"
    monkeypatch.setattr(dialogs, "ask_write", lambda *_: path)
    qtbot.mouseClick(trainer.make, LEFT)
    qtbot.waitUntil(lambda: not trainer.is_working, timeout=60000)
    assert len(read_set(path, engine.pack, check=False).cases) == 1
    assert len(trainer.cases) == 1
