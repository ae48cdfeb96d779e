"""New, open, save, export, close."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.facts.case_file import read_case
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.dialogs import Leave
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import METHOD_PAGE
from tests.gui.questions.test_answering import pick
from tests.gui.window.test_pages import split


def call(window: MainWindow, key: str) -> None:
    """Choose a menu entry by its key."""
    window.actions_by_key()[key].trigger()


def leave_with(monkeypatch, choice: Leave) -> None:
    """Answer the question on leaving."""
    monkeypatch.setattr(dialogs, "ask_leave", lambda *_: choice)


def test_saving_asks_once_and_then_writes_to_the_same_file(
    window: MainWindow, qtbot, monkeypatch, tmp_path: Path
) -> None:
    own = tmp_path / "own.yaml"
    monkeypatch.setattr(dialogs, "ask_save", lambda parent, proposed: own)
    pick(window, qtbot, "Armrest")
    assert "not saved in a file yet" in window.windowTitle()
    call(window, "Ctrl+S")
    assert "not saved" not in window.windowTitle()
    monkeypatch.setattr(dialogs, "ask_save", lambda parent, proposed: pytest.fail("asked again"))
    pick(window, qtbot, "Seam has opened")
    call(window, "Ctrl+S")
    assert read_case(own, window.session.pack.facts) == window.session.case


def test_a_bad_file_lists_every_fault_and_the_case_stays(
    window: MainWindow, qtbot, monkeypatch, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("format: 1\ncase: HB-1\nfacts:\n  part.kind: armest\n  damage.gap: 4 kg\n")
    said: list[tuple[str, list[str]]] = []
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: bad)
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: said.append((head, faults)))
    leave_with(monkeypatch, Leave.KEEP)
    pick(window, qtbot, "Armrest")
    before = window.session.case
    call(window, "Ctrl+O")
    ((heading, faults),) = said
    assert heading == (
        "bad.yaml cannot be opened. 2 things are wrong in it. The old case stays open."
    )
    assert len(faults) == 2
    assert "bad.yaml:4:" in faults[0]
    assert 'did you mean "armrest"' in faults[0] or "armrest" in faults[0]
    assert window.session.case is before


def test_opening_a_good_case_shows_its_answers(
    window: MainWindow, qtbot, monkeypatch, tmp_path: Path
) -> None:
    good = tmp_path / "good.yaml"
    good.write_text("format: 1\ncase: HB-7\nfacts:\n  part.kind: armrest\n  damage.gap: 4 mm\n")
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: good)
    call(window, "Ctrl+O")
    assert window.session.case.name == "HB-7"
    assert window.navigator.screen == "damage.kind"
    assert not window.session.dirty


def test_what_was_typed_for_the_old_case_is_not_put_into_the_new(
    window: MainWindow, qtbot, monkeypatch
) -> None:
    leave_with(monkeypatch, Leave.DROP)
    pick(window, qtbot, "Armrest")
    window.navigator.go("damage.length")
    assert window.card.answer is not None
    qtbot.keyClicks(window.card.answer.first_focus(), "77 mm")
    call(window, "Ctrl+N")
    assert window.session.case.facts == {}
    window.navigator.go("damage.length")
    assert window.card.answer.first_focus().text() == ""


@pytest.mark.parametrize("choice", [Leave.STAY, Leave.KEEP, Leave.DROP])
def test_closing_with_unsaved_answers(
    window: MainWindow, qtbot, monkeypatch, autosave: Path, choice: Leave
) -> None:
    leave_with(monkeypatch, choice)
    pick(window, qtbot, "Armrest")
    closed = window.close()
    assert closed is (choice is not Leave.STAY)
    assert autosave.exists() is (choice is not Leave.DROP)


def test_closing_takes_over_what_is_being_typed(
    window: MainWindow, qtbot, monkeypatch, autosave: Path
) -> None:
    leave_with(monkeypatch, Leave.KEEP)
    window.navigator.go("damage.gap")
    assert window.card.answer is not None
    qtbot.keyClicks(window.card.answer.first_focus(), "4 mm")
    window.close()
    assert "damage.gap" in read_case(autosave, window.session.pack.facts).facts


@pytest.mark.parametrize("ending", [".pdf", ".html", ".txt"])
def test_the_rationale_is_written(
    window: MainWindow, qtbot, monkeypatch, tmp_path: Path, ending: str
) -> None:
    path = tmp_path / f"rationale{ending}"
    told: list[str] = []
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: path)
    monkeypatch.setattr(dialogs, "open_written", lambda parent, path: told.append(str(path)))
    split(window)
    window.navigator.go(METHOD_PAGE)
    call(window, "Ctrl+E")
    content = path.read_bytes()
    assert content.startswith(b"%PDF") is (ending == ".pdf")
    assert len(content) > 1000
    assert str(path) in told[0]


def test_a_folder_that_is_not_there_is_explained(
    window: MainWindow, monkeypatch, tmp_path: Path
) -> None:
    said: list[str] = []
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, p: tmp_path / "no" / "x.pdf")
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: said.append(head))
    split(window)
    call(window, "Ctrl+E")
    assert said == ["The rationale was not written."]
