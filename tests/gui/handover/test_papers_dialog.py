"""Hand-over papers in the window: from an aircraft seat to a pack, as a new user would."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtWidgets import QComboBox, QLabel, QLineEdit, QPlainTextEdit, QPushButton

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.handover.papers_dialog import PapersDialog
from advisor.gui.handover.record_page import RecordPage
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.record_form import RecordForm
from advisor.gui.window.main_window import MainWindow
from advisor.papers.materials.lot import lot_of
from advisor.paths import demo_folder
from advisor.session.handover_papers import HandoverPapers, KeptOfJob
from advisor.session.screens import RECORD_PAGE
from tests.unit.papers.handover.test_pack import LOT

#: What a person types or picks, by the title of the field.
TOLD = {
    "Repair station": "Harbour Field Repair Station", "Work order": "WO-1187",
    "Contract": "HFRS-TRIM-3", "Contract lets the authority inspect": "Yes",
    "Rule the operator flies under": "part 91 (private or club)",
    "Seat or panel location": "seat 2", "Quantity received": "1", "Quantity returned": "1",
    "Aircraft registration": "HB-AER", "Data reference": "Seat manual 25-21",
    "Revision of the data": "7", "Who supplied the data": "the station",
    "Where on the part": "front seam", "How much": "150 mm",
    "Flammability rule": "14 CFR 23.853 before amendment 64",
    "Training record of that person": "TR-12", "Started": "2026-10-20",
    "Completed": "2026-10-21", "Own findings": "Seam closed.",
    "Own measurements": "9 stitches in 50 mm", "Deviations": "none", "Hidden damage": "none",
    "Refusals": "none", "Open items": "none",
    "Rule tested to": "14 CFR 23.853 before amendment 64",
}  # fmt: skip


class Person:
    """Fills in each form that opens, and counts: a press, a pick or a typed field is one."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.actions = 0
        monkeypatch.setattr(RecordForm, "exec", lambda form: self.fill(form))

    def fill(self, form: RecordForm) -> int:
        for field in form.fields:
            said, box = TOLD.get(field.title), form.boxes[field.path]
            if said is None or form.text_of(field.path):
                continue
            self.actions += 1
            if isinstance(box, QComboBox):
                box.setCurrentText(said)
            elif isinstance(box, QPlainTextEdit):
                box.setPlainText(said)
            else:
                assert isinstance(box, QLineEdit)
                box.setText(said)
        self.actions += 1
        form.save.click()
        assert not form.faults.text(), form.faults.text()
        return 1

    def press(self, dialog: PapersDialog, name: str) -> None:
        self.actions += 1
        buttons = dialog.findChildren(QPushButton)
        next(b for b in buttons if name in (b.accessibleName() or b.text())).click()


@pytest.fixture
def seat(own_folders: None, show: Callable[[Case], MainWindow], engine: Engine) -> MainWindow:
    return show(read_case(demo_folder() / "aircraft_seat_station.yaml", engine.pack.facts))


def said(dialog: PapersDialog) -> list[str]:
    """Every line on the screen."""
    return [one.text() for one in dialog.inside.findChildren(QLabel) if one.isVisibleTo(dialog)]


def test_from_a_seat_to_a_pack_with_what_is_missing_read_off_the_screen(
    seat: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    person = Person(monkeypatch)
    lot = lot_of({**LOT, "use_by": "none stated"})
    papers = HandoverPapers(
        seat.session, ["Ina Mole"], "Quayside Trim", KeptOfJob({lot.lot: lot})
    )
    dialog = PapersDialog(papers, tmp_path, seat)
    assert dialog.state.text().startswith("INCOMPLETE. Do not hand over")
    assert "from the station" in dialog.state.text()
    for section in papers.sections(dialog.prepared):
        if section.fields:
            person.press(dialog, f"Fill in... {section.number}. {section.title}")
    chosen = iter([("HB-L-7: seam thread", True)])
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getItem", lambda *_: next(chosen))
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getText", lambda *_, **__: ("3 m", True))
    person.press(dialog, "From materials on hand...")
    person.actions += 2
    person.press(dialog, "Change... B-89")
    for moment in ("before", "after"):
        photo = tmp_path / f"{moment}.jpg"
        photo.write_bytes(moment.encode())
        monkeypatch.setattr(dialogs, "ask_files", lambda _, photo=photo: (str(photo),))
        person.press(dialog, f"Photos {moment}...")
        person.actions += 1
    ready = "READY. All required fields are filled in. The station decides on them."
    assert dialog.state.text() == ready
    assert not any("not given" in line for line in said(dialog))
    pack, opened = tmp_path / "pack", []
    monkeypatch.setattr(dialogs, "ask_folder", lambda *_: pack)
    monkeypatch.setattr(dialogs, "open_written", lambda _, path: opened.append(path))
    person.press(dialog, "Write the pack...")
    assert opened == [pack / "hand-over.pdf"]
    # Ten minutes at ten seconds each.
    assert person.actions <= 60
    # It was kept at once: another window finds it.
    assert HandoverPapers(seat.session).record == papers.record
    dialog.close()


def test_what_is_wrong_with_a_field_is_said_in_its_words_and_nothing_is_kept(
    seat: MainWindow, tmp_path: Path
) -> None:
    papers = HandoverPapers(seat.session)
    fields = papers.fields(8, True)
    form = RecordForm("Who", "", fields, papers.values(fields), papers.put, {}, seat)
    form.boxes["work.started"].setText("21.11.2026")  # type: ignore[attr-defined]
    form.save.click()
    assert "Started: not a date" in form.faults.text()
    assert HandoverPapers(seat.session).record.work.started is None
    form.deleteLater()


def test_a_referred_job_has_no_pack_and_the_record_page_leads_to_the_papers(
    own_folders: None, show: Callable[[Case], MainWindow], engine: Engine,
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path,
) -> None:  # fmt: skip
    window = show(read_case(demo_folder() / "aircraft_no_station.yaml", engine.pack.facts))
    window.navigator.go(RECORD_PAGE)
    page = window.pages[RECORD_PAGE]
    assert isinstance(page, RecordPage) and page.regulated.isVisible()
    shown: list[PapersDialog] = []
    monkeypatch.setattr(PapersDialog, "exec", lambda dialog: shown.append(dialog))
    page.papers.click()
    assert shown[0].state.text().startswith("REFER. Do not hand over")
    assert not shown[0].write.isEnabled()


def test_photos_and_lots_of_the_casebook_are_taken_in_a_press(
    seat: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    data = b"picture"
    digest = hashlib.sha256(data).hexdigest()
    lot = lot_of({**LOT, "use_by": "none stated"})
    kept = KeptOfJob({lot.lot: lot}, ((lot.lot, "3 m"),), ((digest, "photo_before", data),))
    papers = HandoverPapers(seat.session, kept=kept)
    noted: list[str] = []
    dialog = PapersDialog(papers, tmp_path, seat, lambda lot, amount: noted.append(lot.lot))
    person = Person(monkeypatch)
    person.press(dialog, "Take them 1 photo kept with the case")
    person.press(dialog, "Take 1 lot of this job")
    assert [(file.what, file.sha256) for file in papers.record.files] == [("photo_before", digest)]
    assert [(one.lot, one.amount) for one in papers.record.materials] == [("HB-L-7", "3 m")]
    assert not any("kept with the case" in line for line in said(dialog))
    assert noted == [], "it is noted already"
    chosen = ("HB-L-7: seam thread", True)
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getItem", lambda *_: chosen)
    monkeypatch.setattr("PySide6.QtWidgets.QInputDialog.getText", lambda *_, **__: ("2 m", True))
    person.press(dialog, "From materials on hand...")
    assert noted == ["HB-L-7"] and papers.record.materials[0].amount == "2 m"


def test_what_is_from_memory_says_so_on_the_screen(seat: MainWindow, tmp_path: Path) -> None:
    papers = HandoverPapers(seat.session)
    papers.put({"work.done": "Sewn, and airworthy again."})
    dialog = PapersDialog(papers, tmp_path, seat)
    assert dialog.state.text().startswith("REFER") and not dialog.write.isEnabled()
    (line,) = [one for one in said(dialog) if "airworthy" in one]
    assert line.endswith("(From memory.)")
