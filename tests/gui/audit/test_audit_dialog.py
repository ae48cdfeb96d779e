"""The yearly audit in the window: an empty shop names its own gaps, and closes them one by one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPushButton

from advisor.facts.case import Case
from advisor.gui.audit.audit_dialog import AuditDialog, AuditWays
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.record_form import RecordForm
from advisor.gui.window.main_window import MainWindow
from advisor.papers.binder.jobs import _Row
from advisor.papers.binder.self_check import gaps
from advisor.papers.binder.shop_record import shop_file
from advisor.session.audit_shop import AuditShop, FromCasebook

TOLD = {
    "What was found": "It is so", "Person": "Ina Mole", "Training": "seam repair",
    "On": "2026-03-02", "Tool": "scale", "Calibrated on": "2026-01-10", "Due on": "2100-01-09",
    "Certificate": "K-17", "Repair station": "Harbour Field Repair Station",
    "It lets the authority inspect": "Yes",
}  # fmt: skip


@pytest.fixture
def window(own_folders: None, show: Callable[[Case | None], MainWindow]) -> MainWindow:
    return show(None)


@pytest.fixture
def filled(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Forms are filled in as they open; their titles, in order."""
    titles: list[str] = []

    def fill(form: RecordForm) -> int:
        titles.append(form.windowTitle())
        for field in form.fields:
            box, said = form.boxes[field.path], TOLD.get(field.title)
            if said and isinstance(box, QComboBox):
                box.setCurrentText(said)
            elif said:
                assert isinstance(box, QLineEdit)
                box.setText(said)
        form.save.click()
        assert not form.faults.text(), form.faults.text()
        return 1

    monkeypatch.setattr(RecordForm, "exec", fill)
    return titles


def opened(
    window: MainWindow, folder: Path, people: tuple[str, ...] = (), rows: tuple[_Row, ...] = (),
    jobs: list[str] | None = None,
) -> AuditDialog:  # fmt: skip
    audit = AuditShop(people, "Quayside Trim", FromCasebook({}, rows))
    goes_to = jobs if jobs is not None else []
    ways = AuditWays(lambda: ["Ina Mole"], goes_to.append, lambda: goes_to.append("lots"))
    return AuditDialog(audit, folder, ways, window)


def said(dialog: AuditDialog) -> str:
    lines = [one.text() for one in dialog.inside.findChildren(QLabel) if one.isVisibleTo(dialog)]
    return "\n".join(lines)


def press(dialog: AuditDialog, name: str) -> None:
    buttons = [b for b in dialog.findChildren(QPushButton) if b.isVisibleTo(dialog)]
    next(b for b in buttons if name in (b.accessibleName() or b.text())).click()


def test_an_empty_shop_has_its_binder_in_three_presses(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    window.show_home()
    assert window.home is not None
    target, told = tmp_path / "binder.pdf", []
    monkeypatch.setattr(dialogs, "ask_export", lambda *_: target)
    monkeypatch.setattr(dialogs, "open_written", lambda _, path: told.append(path))

    def run(dialog: AuditDialog) -> int:
        open_items = gaps(dialog.items)
        assert dialog.state.text().startswith(f"{len(open_items)} gaps") and len(open_items) > 15
        for one in open_items:
            assert one.item.title in said(dialog) and one.item.closes in said(dialog)
        assert "(from memory)" in said(dialog) and "(looked up)" in said(dialog)
        dialog.write.click()
        return 1

    monkeypatch.setattr(AuditDialog, "exec", run)
    (audit,) = [b for b in window.home.findChildren(QPushButton) if "audit" in b.text()]
    audit.click()
    assert told == [target] and target.read_bytes().startswith(b"%PDF")
    window.show_case()


def test_gaps_are_closed_from_their_own_buttons_and_kept_at_once(
    window: MainWindow, filled: list[str], tmp_path: Path
) -> None:
    dialog = opened(window, tmp_path)
    before = len(gaps(dialog.items))
    press(dialog, "Answer... Facility: Clean")
    press(dialog, "Name them...")
    press(dialog, "Add a training... Training: Everyone")
    press(dialog, "Add a tool... Tools and calibration: Tools")
    press(dialog, "Add an agreement... Access")
    assert filled == [
        "Clean, dry, lit place for aircraft work, apart from other work",
        "People and training records", "Tools and calibration", "Agreements",
    ]  # fmt: skip
    closed = {
        "facility.space", "training.people", "training.records", "training.current",
        "tools.listed", "tools.calibrated", "access.agreement", "access.clause",
    }  # fmt: skip
    left = {one.name for one in gaps(dialog.items)}
    assert len(left) == before - len(closed) and not left & closed
    again = opened(window, tmp_path, ("Ina Mole",))
    assert {one.name for one in gaps(again.items)} == left
    press(again, "Take away scale")
    assert "tools.listed" in {one.name for one in gaps(again.items)}
    assert "scale" not in shop_file().read_text("utf-8")


def test_a_folder_that_cannot_be_written_to_is_named_as_it_was_chosen(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "file").write_text("no folder", "utf-8")
    target, told = tmp_path / "file" / "binder.pdf", []
    monkeypatch.setattr(dialogs, "ask_export", lambda *_: target)
    monkeypatch.setattr(dialogs, "show_faults", lambda *said: told.append(said[1:]))
    opened(window, tmp_path).write.click()
    assert told == [("The binder was not written.", [
        f"{target} cannot be written: Not a directory. Choose another folder."])]  # fmt: skip


def test_the_name_of_who_is_at_work_stands_in_the_forms(window: MainWindow) -> None:
    people = ("Ina Mole", "Ole Pier")
    audit = AuditShop(people, "Quayside Trim", FromCasebook({}, ()), who="Ole Pier")
    assert audit.proposals("trainings") == {"person": "Ole Pier"}
    assert audit.proposals("answers")["by"] == "Ole Pier"
    unknown = AuditShop(people, "Quayside Trim", FromCasebook({}, ()))
    assert unknown.proposals("trainings") == {"person": ""}, "of several nobody is guessed"


def test_a_job_without_papers_is_a_gap_that_opens_the_job(
    window: MainWindow, tmp_path: Path
) -> None:
    row = _Row("key-1", "HB-7", "Seat", "aircraft", "plan", None, 1_700_000_000_000)
    went: list[str] = []
    dialog = opened(window, tmp_path, (), (row,), went)
    assert "HB-7: no work order, no data, no revision" in said(dialog)
    press(dialog, "Open HB-7 Work in hand")
    assert went == ["key-1"]
    press(dialog, "Materials on hand... Materials: Every lot")
    assert went == ["key-1", "lots"]


def test_a_record_that_cannot_be_read_is_told_and_nothing_is_shown(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_file().parent.mkdir(parents=True)
    shop_file().write_text("format: 1\ntools: [{nam: scale}]\n")
    told: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda _, heading, faults: told.extend(faults))
    window.show_audit()
    assert any("shop.yaml:2" in line for line in told)
