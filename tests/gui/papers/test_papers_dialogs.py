"""Burn tests, materials on hand and the papers of a case, in the window."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QLabel, QWidget

from advisor.casebook.book import Casebook
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.papers.burn_dialog import BurnDialog
from advisor.gui.papers.lots_dialog import LotsDialog
from advisor.gui.papers.needs_dialog import NeedsDialog
from advisor.gui.papers.specimens_form import SpecimensForm
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.record_form import RecordForm
from advisor.papers.materials.lot import lot_of
from advisor.papers.materials.on_hand import jobs_that_used, lot_named
from advisor.paths import demo_folder
from advisor.session import burn_records
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from tests.unit.session.small_pack import SmallPack, small_advise, without_working

PACK = SmallPack()
LOTS = """lot,layer,material,use_by,conformity.number
HB-L-1,skin,cover cloth,none stated,C-1
HB-L-2,thread,bonded thread,2020-01-31,C-2
"""


def texts(widget: QWidget) -> str:
    """All that is written on it; what was taken off stays hidden until Qt has time."""
    there = (found for found in widget.findChildren(QLabel) if found.isVisibleTo(widget))
    return "\n".join(found.text() for found in there)


@pytest.fixture
def over(qtbot) -> QWidget:  # type: ignore[no-untyped-def]
    """Something that a dialog is over."""
    found = QWidget()
    found.resize(1024, 600)
    qtbot.addWidget(found)
    return found


# -- burn tests -----------------------------------------------------------------------------


@pytest.fixture
def burn(qtbot, over: QWidget, tmp_path: Path, monkeypatch) -> BurnDialog:  # type: ignore[no-untyped-def]
    monkeypatch.setattr(burn_records, "burn_folder", lambda: tmp_path / "burn")
    dialog = BurnDialog(tmp_path, over)
    qtbot.addWidget(dialog)
    return dialog


def test_a_record_is_entered_and_its_verdict_stands_at_once(
    burn: BurnDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not burn.forms["Specimens..."].isEnabled()
    told = {"Rule set": "14 CFR Part 25, Appendix F", "Certificate": "C-2291",
            "Test": "Vertical, flame for 12 s", "Temperature": "70 degF", "Humidity": "50 %",
            "For how long": "24 h", "Has a warp and a fill, or a roll direction": "No"}  # fmt: skip

    def fill(form: RecordForm) -> None:
        for field in form.fields:
            box = form.boxes[field.path]
            if field.path == "item":
                assert isinstance(box, QComboBox)
                box.setCurrentIndex(box.findData("textile"))
            elif field.title in told:
                choose = box.setCurrentText if isinstance(box, QComboBox) else box.setText  # type: ignore[attr-defined]
                choose(told[field.title])
        form._save()

    monkeypatch.setattr(RecordForm, "exec", fill)
    monkeypatch.setattr(dialogs, "ask_name", lambda *_: "HB-BURN-1")
    burn.new.click()
    for form in ("Item and test...", "Air before the test..."):
        burn.forms[form].click()
    said = texts(burn.view)
    assert "INCOMPLETE. Data are missing" in said and "No specimens are given." in said

    def read(form: SpecimensForm) -> None:
        for row, lengths in enumerate(("9.0 in", "7.0", "7.5")):
            for column, text in enumerate((lengths, "1 s", "no drips"), 1):
                form.table.item(row, column).setText(text)  # type: ignore[union-attr]
        assert form.rows()[2][1]["burn_length"] == "7.5 in"  # the unit of the one above, shown
        form._save()

    monkeypatch.setattr(SpecimensForm, "exec", read)
    burn.forms["Specimens..."].click()
    said = texts(burn.view)
    assert "PASS. Values within limits." in said  # row A4 of the published pairs
    assert "mean of 3: 7.8333... in" in said and "9 in (no. 1)" in said and "8 in" in said
    assert "from memory and have not been checked" in said
    assert "Not an approval" in said and "airworthy" not in said
    assert burn.records.item(0).text() == "HB-BURN-1\nPASS"


def test_a_reading_that_cannot_be_kept_is_told_in_words_of_the_table(
    burn: BurnDialog, over: QWidget, tmp_path: Path
) -> None:
    kept = burn_records.KeptBurnRecord.begin("HB-BURN-1")
    kept.put({"rule_set": "fmvss_302", "item": "interior_component", "test": "horizontal_302"})
    form = SpecimensForm(kept, over)
    heads = [form.table.horizontalHeaderItem(at).text() for at in range(form.table.columnCount())]  # type: ignore[union-attr]
    assert heads == ["Along", "Went out", "Distance", "Time", "Rate, if no time", "Note"]
    form.table.item(0, 2).setText("254")  # type: ignore[union-attr]
    form._save()
    assert "Specimen 1, distance: the unit is missing; found “254”".replace("“", '"').replace(
        "”", '"') in form.faults.text()  # fmt: skip
    assert form.changed() and kept.rows() == []
    form.deleteLater()


def test_tab_leaves_the_table_behind_its_last_cell(  # type: ignore[no-untyped-def]
    qtbot, burn: BurnDialog, over: QWidget
) -> None:
    kept = burn_records.KeptBurnRecord.begin("HB-BURN-2")
    kept.put({"rule_set": "part_25", "item": "textile", "test": "vertical_12"})
    form = SpecimensForm(kept, over)
    qtbot.addWidget(form)
    form.show()
    qtbot.waitExposed(form)
    form.table.setFocus()
    form.table.setCurrentCell(0, 1)
    qtbot.keyClick(form.table, Qt.Key.Key_Tab)
    assert (form.table.currentRow(), form.table.currentColumn()) == (0, 2)
    form.table.setCurrentCell(form.table.rowCount() - 1, form.table.columnCount() - 1)
    qtbot.keyClick(form.table, Qt.Key.Key_Tab)
    assert form.table.currentColumn() == form.table.columnCount() - 1
    focused = form.focusWidget()
    assert focused is not None and focused is not form.table
    form.close()


# -- materials on hand ------------------------------------------------------------------------


@pytest.fixture
def keeping(tmp_path: Path) -> Iterator[CaseKeeping]:
    Casebook.open(tmp_path / "book", PACK).shut()
    made = CaseKeeping(tmp_path / "journal.sqlite", str(tmp_path / "book"), PACK)
    made.start()
    yield made
    made.stop()


@pytest.fixture
def lots(qtbot, over: QWidget, keeping: CaseKeeping, tmp_path: Path) -> LotsDialog:  # type: ignore[no-untyped-def]
    session = Session(PACK, without_working(small_advise), keeping=keeping)
    dialog = LotsDialog(session, tmp_path, over)
    qtbot.addWidget(dialog)
    qtbot.waitUntil(lambda: not dialog.asker.waiting)
    return dialog


def test_the_jobs_of_a_withdrawn_lot_stand_under_it(  # type: ignore[no-untyped-def]
    qtbot, lots: LotsDialog, keeping: CaseKeeping, tmp_path: Path, monkeypatch
) -> None:
    done = partial(qtbot.waitUntil, lambda: not lots.asker.waiting)
    assert "No lots are kept yet" in lots.state.text()
    (tmp_path / "lots.csv").write_text(LOTS)
    monkeypatch.setattr(dialogs, "ask_files", lambda *_: (str(tmp_path / "lots.csv"),))
    lots.from_file.click()
    done()
    assert lots.state.text() == "Taken in: 2 added. 2 lots, 1 to be heeded."
    assert [line.kept.lot.lot for line in lots.lines] == ["HB-L-2", "HB-L-1"]
    assert lots.table.item(0, 5).text().startswith("! past its shelf life since 2020-01-31")
    lots.table.selectRow(1)
    monkeypatch.setattr(dialogs, "ask_name", lambda *_: "0.4 m2")
    lots.used.click()
    done()
    assert lots.state.text().startswith("HB-L-1 is noted as used in this case.")
    monkeypatch.setattr(dialogs, "ask_name", lambda *_: "maker's notice")
    lots.withdraw.click()
    done()
    assert lots.state.text().startswith("HB-L-1 is withdrawn. It was used in 1 job, listed below.")
    said = texts(lots.inside)
    assert "withdrawn on" in said and "Used in 1 job" in said and "0.4 m2" in said
    assert lots.lift.isVisibleTo(lots) and not lots.withdraw.isVisibleTo(lots)
    key = keeping.keeper.key
    (use,) = keeping.ask(lambda b: b.read(lambda c: jobs_that_used(c, "HB-L-1"))).result(5)
    assert (use.key, use.amount) == (key, "0.4 m2")
    lots.lift.click()
    done()
    kept = keeping.ask(lambda b: b.read(lambda c: lot_named(c, "HB-L-1"))).result(5)
    assert kept.lot.withdrawn is None


def test_a_lot_is_entered_and_changed_in_a_form(  # type: ignore[no-untyped-def]
    qtbot, lots: LotsDialog, keeping: CaseKeeping, tmp_path: Path, monkeypatch
) -> None:
    (tmp_path / "c.pdf").write_bytes(b"%PDF-1.4")
    told = {"Name of the lot": "HB-L-9", "Becomes": "skin", "Material": "cover cloth",
            "Made or cured": "2026-01-31", "Shelf life from then": "long",
            "Burn certificate": "B-9", "Scan to add": str(tmp_path / "c.pdf")}  # fmt: skip
    faults: list[str] = []

    def fill(form: RecordForm) -> None:
        for field in form.fields:
            if field.title in told:
                box = form.boxes[field.path]
                choose = box.setCurrentText if isinstance(box, QComboBox) else box.setText  # type: ignore[attr-defined]
                choose(told[field.title])
        form._save()
        faults.append(form.faults.text())

    monkeypatch.setattr(RecordForm, "exec", fill)
    lots.new.click()
    assert 'Shelf life from then: not a shelf life; found "long"' in faults[0]
    told["Shelf life from then"] = "5 years"
    lots.new.click()
    qtbot.waitUntil(lambda: not lots.asker.waiting)
    assert lots.state.text().startswith("HB-L-9: added.") and faults[1] == ""
    assert lots.line is not None and lots.line.cells[4] == "2031-01-31"
    lots.new.click()
    assert "a lot of this name is kept already" in faults[2]
    told.clear()
    told["Amount"] = "3 m"
    lots.edit.click()
    qtbot.waitUntil(lambda: not lots.asker.waiting)
    assert lots.state.text().startswith("HB-L-9: changed.")
    kept = keeping.ask(lambda b: b.read(lambda c: lot_named(c, "HB-L-9"))).result(5)
    assert (kept.number, kept.lot.amount, kept.lot.scans) == (2, "3 m", ("c.pdf",))
    assert kept.lot.certificates[0].number == "B-9"


def test_a_bad_file_of_lots_is_told_and_nothing_is_kept(  # type: ignore[no-untyped-def]
    qtbot, lots: LotsDialog, tmp_path: Path, monkeypatch
) -> None:
    (tmp_path / "lots.csv").write_text("lot,layer,material\nA,skn,x\n")
    told: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda _, __, faults: told.extend(faults))
    monkeypatch.setattr(dialogs, "ask_files", lambda *_: (str(tmp_path / "lots.csv"),))
    lots.from_file.click()
    qtbot.waitUntil(lambda: not lots.asker.waiting)
    assert "lots.csv:2: lots.0.layer: not one of the accepted words" in told[0]
    assert lots.lines == []


# -- papers of a case -------------------------------------------------------------------------


def test_the_papers_of_a_case_follow_what_the_station_gave(  # type: ignore[no-untyped-def]
    qtbot, over: QWidget, engine: Engine
) -> None:
    case = read_case(demo_folder() / "aircraft_panel_station.yaml", engine.pack.facts)
    session = Session(engine.pack, engine.quick, case=case)
    lot = lot_of({"lot": "A", "layer": "plastic", "material": "chips",
                  "certificates": [{"kind": "burn_test", "number": "B"}]})  # fmt: skip
    dialog = NeedsDialog(session, {"A": lot}, (None, "part_91"), over)
    qtbot.addWidget(dialog)
    said = texts(dialog.view)
    assert "The rule set is not given; one of CAR 3.388" in said
    assert "On hand with papers: A (chips)." in said
    dialog.rule_set.setCurrentIndex(dialog.rule_set.findData("part_25"))
    dialog.item.setCurrentIndex(dialog.item.findData("panel"))
    said = texts(dialog.view)
    assert "is not given" not in said and "burn length at most 6 in" in said
    assert "Not an approval" in said


