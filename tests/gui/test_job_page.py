"""The Job stage by clicks and keys: cutting layout, measures, prices, other damages, quote."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from advisor import paths
from advisor.facts.case import Span
from advisor.facts.case_file import write_case
from advisor.facts.quantity import System
from advisor.gui import dialogs, job_measures
from advisor.gui.app import Engine
from advisor.gui.cutting_view import CuttingView
from advisor.gui.interview import JOB_SHEET
from advisor.gui.job_form import FormDialog
from advisor.gui.job_page import JobPage
from advisor.gui.main_window import MainWindow
from advisor.gui.measures_dialog import MeasuresDialog
from advisor.gui.prices_dialog import PricesDialog
from advisor.gui.timeline import Timeline
from advisor.work.model import JobSheet
from advisor.work.price_file import read_price_file
from tests.gui.test_real_pack import demo
from tests.gui.test_window_look import clipped, colours
from tests.gui.test_window_pages import shown_text

LEFT = Qt.MouseButton.LeftButton
SIZES = [(1024, 600), (1366, 768), (1920, 1080), (800, 1100)]
RATE = ("hourly_rate",)
#: Demo cases that between them show every block of the page.
TELLING = ("brittle_bench", "armrest_crumbled_foam", "fallen_headlining", "cracked_panel")


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each test has its own overlay and its own kept measures."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def at_job(show, engine: Engine, qapp: QApplication) -> Callable[[str], MainWindow]:
    """Opens a demo case on its Job stage."""

    def opened(name: str) -> MainWindow:
        window = show(demo(engine, name))
        window.hub.go(JOB_SHEET)
        qapp.processEvents()
        return window

    return opened


def page_of(window: MainWindow) -> JobPage:
    page = window.pages[JOB_SHEET]
    assert isinstance(page, JobPage)
    return page


def sheet_of(window: MainWindow) -> JobSheet:
    sheet = page_of(window).of_case.sheet()
    assert sheet is not None
    return sheet


def press(window: QWidget, text: str, qtbot) -> None:
    """Click the one button that reads so."""
    (button,) = [b for b in window.findChildren(QPushButton) if b.text() == text and b.isVisible()]
    qtbot.mouseClick(button, LEFT)


def dialog_of(window: MainWindow, kind: type[FormDialog]) -> FormDialog:
    (found,) = [d for d in window.findChildren(kind) if d.isVisible()]
    return found


def write(field: QWidget, text: str, qtbot) -> None:
    """Write in the place of what stands in a field, by keys."""
    qtbot.keyClick(field, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)


# -- what stands on the page -------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("system", list(System))
def test_nothing_is_cut_off(at_job, qapp, size, system) -> None:
    for name in TELLING:
        window = at_job(name)
        window.session.system = system
        window.resize(*size)
        window.hub.refresh()
        for _ in range(4):
            qapp.processEvents()
        assert clipped(page_of(window)) == [], name
        assert page_of(window).area.horizontalScrollBar().maximum() == 0, name
        assert page_of(window).inside.width() <= page_of(window).area.viewport().width(), name
        window.hide()


@pytest.mark.parametrize("size", SIZES)
def test_the_cutting_layout_is_drawn_to_scale(at_job, qapp, size) -> None:
    window = at_job("brittle_bench")
    window.resize(*size)
    for _ in range(4):
        qapp.processEvents()
    cut = sheet_of(window).cut
    assert cut is not None
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    layout = cut.cuttings[0].layout
    assert view.ground.placed == layout.placed
    scale = view.scale(view.width())
    for placed in layout.placed:
        box = view.box_of(placed, scale)
        assert box.width() / box.height() == pytest.approx(placed.along / placed.across)
        width, height = view.drawn_size(scale)
        assert box.left() >= 0 and box.right() <= width + 1e-6
        assert box.top() >= 0 and box.bottom() <= height + 1e-6
    assert view.height() >= view.heightForWidth(view.width())
    assert colours(view.grab().toImage()) > 5
    text = shown_text(page_of(window))
    for said in ("To scale.", "Waste", "longer than the shortest there can be", "yd"):
        assert said in text
    for number, placed in enumerate(layout.placed, 1):
        assert f"{number}  {placed.piece.title}" in text
        assert f"{placed.along:.0f} x {placed.across:.0f} mm" in view.accessibleDescription()


def test_the_nap_is_an_arrow_on_every_panel(at_job, qapp) -> None:
    window = at_job("fallen_headlining")
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    assert view.ground.nap in ("along", "across")
    assert "Arrows: the nap, front to back, the same on all." in shown_text(page_of(window))
    with_nap = view.grab().toImage()
    view.ground = type(view.ground)(**{**view.ground.__dict__, "nap": ""})
    assert view.grab().toImage() != with_nap


def test_leather_is_drawn_on_hides(at_job, engine: Engine, show, qapp) -> None:
    case = demo(engine, "brittle_bench").with_fact("skin.material", ("leather",))
    window = show(case)
    window.hub.go(JOB_SHEET)
    qapp.processEvents()
    sheet = sheet_of(window)
    assert sheet.cut is not None and sheet.cut.hides is not None
    views = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    assert len(views) == len(sheet.cut.hides.layouts)
    assert "whole hide" in shown_text(page_of(window))


def test_a_long_roll_runs_down_the_page(at_job, qtbot) -> None:
    window = at_job("brittle_bench")
    press(page_of(window), "Measures...", qtbot)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog) and dialog.panels is not None
    qtbot.keyClicks(dialog.panels, "Top 1300x1200x4")
    press(dialog, "Save", qtbot)
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    assert view.runs_down
    assert view.head().startswith("The roll runs down, 1370 mm wide, 1350 usable")


def test_waits_stand_after_their_method_and_minutes_tell_set_up(at_job) -> None:
    window = at_job("armrest_crumbled_foam")
    text = shown_text(page_of(window))
    assert text.index("Refit the sound cover") < text.index("Wait before the next job on it")
    assert text.index("Wait before the next job on it") < text.index("Pick out the broken thread")
    for item in sheet_of(window).items:
        assert item.title in text
    assert "Of this setting up and access" in text
    for choice in sheet_of(window).choices:
        assert choice.title in text


# -- measures and wishes -----------------------------------------------------------------


def test_measures_change_the_sheet_and_are_kept(at_job, engine: Engine, show, qtbot) -> None:
    window = at_job("brittle_bench")
    press(page_of(window), "Measures...", qtbot)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog) and dialog.panels is not None
    qtbot.keyClicks(dialog.panels, "Top 1900x550")
    write(dialog.lines["roll"], "54 in", qtbot)
    write(dialog.lines["distance"], "10", qtbot)
    press(dialog, "Save", qtbot)
    cut = sheet_of(window).cut
    assert cut is not None and not cut.assumed
    assert cut.roll_width == pytest.approx(1371.6)
    assert cut.cuttings[0].yards == 2.5
    text = shown_text(page_of(window))
    assert "1924 x 574" in text
    assert "Travel, 20 km" in text
    again = show(demo(engine, "brittle_bench"))
    again.hub.go(JOB_SHEET)
    assert "1924 x 574" in shown_text(page_of(again))


def test_only_what_matters_to_the_job_is_asked(at_job, qtbot) -> None:
    window = at_job("worn_bolster")
    press(page_of(window), "Measures...", qtbot)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog)
    assert set(dialog.lines) == {"certainty", "distance", "area"}
    assert dialog.panels is None
    write(dialog.lines["area"], "1.5 m2", qtbot)
    press(dialog, "Save", qtbot)
    amounts = {a.key: a for group in sheet_of(window).groups for a in group.amounts}
    assert amounts["colour_area"].value.typical == pytest.approx(1.5)


def test_wrong_measures_are_told_all_at_once_and_not_kept(at_job, qtbot) -> None:
    window = at_job("brittle_bench")
    press(page_of(window), "Measures...", qtbot)
    dialog = dialog_of(window, MeasuresDialog)
    assert isinstance(dialog, MeasuresDialog) and dialog.panels is not None
    qtbot.keyClicks(dialog.panels, "Top 1900")
    write(dialog.lines["roll"], "wide", qtbot)
    write(dialog.lines["certainty"], "20", qtbot)
    press(dialog, "Save", qtbot)
    said = dialog.faults.text()
    for part in ("Width of the roll: 'wide' is not a number in mm", "panel 'Top 1900'",
                 "Jobs of 100 that stay within the quote 0.2"):
        assert part in said, part
    assert dialog.isVisible()
    assert job_measures.kept(window.session.case) == {}
    press(dialog, "Cancel", qtbot)
    assert "Press Cancel once more" in dialog.faults.text()
    press(dialog, "Cancel", qtbot)
    assert not dialog.isVisible()


# -- prices and rates --------------------------------------------------------------------


def test_the_shops_rate_is_saved_and_reckoned_with_at_once(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    before = sheet_of(window).price
    assert before is not None
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    assert not dialog.file.target.exists()
    write(dialog.lines[RATE], "200", qtbot)
    write(dialog.lines[("quote", "tax_rate")], "10", qtbot)
    write(dialog.lines[("quote", "shop")], "Quay Street Trim", qtbot)
    press(dialog, "Save", qtbot)
    assert not dialog.isVisible()
    after = sheet_of(window).price
    assert after is not None
    assert after.quote > before.quote
    assert after.tax == pytest.approx(0.1 * after.quote)
    assert f"{after.quote:.2f}" in shown_text(page_of(window))
    assert "the program's examples" not in shown_text(page_of(window))
    kept = read_price_file()
    assert kept.own
    assert "hourly_rate: {value: 200," in kept.text
    # What was not touched stands as it did.
    assert "call_out_minimum: {low: 45, typical: 60, high: 80" in kept.text


def test_every_figure_says_whether_it_is_an_example(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    qtbot.keyClick(window, Qt.Key.Key_P, Qt.KeyboardModifier.ControlModifier)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    marks = shown_text(dialog)
    assert "three letters, example" in marks
    assert "your own" not in marks
    write(dialog.lines[("currency",)], "NOK", qtbot)
    assert "three letters, your own" in shown_text(dialog)
    row = next(row for row in dialog.stock if row.stock.what == "Bonded sewing thread")
    assert "example 1 / 2 / 4" in marks
    write(row.price, "9", qtbot)
    assert "your own; example 1 / 2 / 4" in shown_text(dialog)
    press(dialog, "Save", qtbot)
    assert window.session.pack.currency == "NOK"
    press(page_of(window), "Prices and rates...", qtbot)
    assert "three letters, your own" in shown_text(dialog_of(window, PricesDialog))
    assert "(your price)" in shown_text(page_of(window))


def test_material_to_order_brings_a_deposit(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    assert sheet_of(window).deposit is None
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    row = next(row for row in dialog.stock if row.stock.what == "Bonded sewing thread")
    dialog.area.ensureWidgetVisible(row.order)
    row.order.setFocus()
    qtbot.keyClick(row.order, Qt.Key.Key_Space)
    press(dialog, "Save", qtbot)
    assert sheet_of(window).deposit is not None
    assert "in advance" in shown_text(page_of(window))


def test_faulty_prices_are_told_all_at_once_and_nothing_is_written(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    pack = window.session.pack
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    write(dialog.lines[RATE], "seventy", qtbot)
    write(dialog.lines[("quote", "tax_rate")], "190", qtbot)
    press(dialog, "Save", qtbot)
    said = dialog.faults.text()
    assert dialog.isVisible() and dialog.faults.isVisible()
    assert "Nothing is saved yet." in said
    assert 'Rate for an hour: ' in said and '"seventy"' in said
    assert "Tax: " in said
    assert not dialog.file.target.exists()
    assert window.session.pack is pack
    write(dialog.lines[RATE], "70", qtbot)
    write(dialog.lines[("quote", "tax_rate")], "19", qtbot)
    press(dialog, "Save", qtbot)
    assert dialog.file.target.is_file()


def test_nothing_is_written_without_save(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    write(dialog.lines[RATE], "99", qtbot)
    qtbot.keyClick(dialog.lines[RATE], Qt.Key.Key_Return)
    assert dialog.isVisible(), "Enter goes on, it does not save"
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible()
    assert "Press Cancel once more" in dialog.faults.text()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()
    assert not dialog.file.target.exists()


def test_a_file_changed_meanwhile_is_not_written_over(at_job, qtbot) -> None:
    window = at_job("split_armrest")
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    write(dialog.lines[RATE], "99", qtbot)
    dialog.file.target.parent.mkdir(parents=True)
    other = dialog.file.text.replace("currency: EUR", "currency: SEK")
    dialog.file.target.write_text(other, "utf-8")
    press(dialog, "Save", qtbot)
    assert "changed by somebody else" in dialog.faults.text()
    assert dialog.file.target.read_text("utf-8") == other
    dialog.done(0)


def test_prices_of_other_rules_are_not_changed_here(at_job, show, engine: Engine, qtbot) -> None:
    from dataclasses import replace

    window = at_job("split_armrest")
    window.session.pack = replace(engine.pack, digest="0" * 64)
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert not dialog.save.isEnabled()
    assert "opened with other rules" in dialog.faults.text()
    dialog.done(0)


@pytest.mark.parametrize("size", SIZES)
def test_the_dialogs_fit_the_screen(at_job, qtbot, qapp, size) -> None:
    window = at_job("brittle_bench")
    window.resize(*size)
    for text, kind in (("Prices and rates...", PricesDialog), ("Measures...", MeasuresDialog)):
        press(page_of(window), text, qtbot)
        dialog = dialog_of(window, kind)
        for _ in range(3):
            qapp.processEvents()
        assert dialog.width() <= size[0] and dialog.height() <= size[1]
        assert dialog.inside.width() <= dialog.area.viewport().width()
        assert clipped(dialog) == []
        assert dialog.save.height() >= 44 and dialog.cancel.height() >= 44
        press(dialog, "Cancel", qtbot)


# -- other damages, and the quote --------------------------------------------------------


def test_another_damage_of_the_vehicle_shares_the_visit(
    at_job, engine: Engine, qtbot, monkeypatch, tmp_path: Path
) -> None:
    from dataclasses import replace

    other = replace(demo(engine, "armrest_crumbled_foam"), title="Row 2, harbour shuttle 4")
    path = tmp_path / "other.yaml"
    write_case(other, engine.pack.facts, path)
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: path)
    window = at_job("split_armrest")
    press(page_of(window), "Add another damage...", qtbot)
    job = page_of(window).of_case.job()
    assert job is not None and job.price is not None
    assert [len(visit.sheets) for visit in job.visits] == [2]
    text = shown_text(page_of(window))
    assert "All on one vehicle: harbour shuttle 4." in text
    assert "One visit saves EUR" in text
    (line,) = [t for t in page_of(window).findChildren(Timeline) if t.isVisible()]
    assert "Row 2, harbour shuttle 4: Renew the padding" in line.accessibleDescription()
    press(page_of(window), "Take out HB-2042", qtbot)
    assert "One visit saves" not in shown_text(page_of(window))


def test_a_damage_of_another_vehicle_gets_its_own_call_out(
    at_job, qtbot, monkeypatch
) -> None:
    path = paths.demo_folder() / "torn_deck_cushion.yaml"
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: path)
    window = at_job("split_armrest")
    press(page_of(window), "Add another damage...", qtbot)
    assert "each vehicle has its own call-out" in shown_text(page_of(window))


def test_a_bad_case_file_is_explained(at_job, qtbot, monkeypatch, tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("format: 1\ncase: A\nfacts: {part.kind: chair}\n", "utf-8")
    told: list[str] = []
    monkeypatch.setattr(dialogs, "ask_open", lambda parent, folder: path)
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: told.extend(faults))
    window = at_job("split_armrest")
    press(page_of(window), "Add another damage...", qtbot)
    assert any("part.kind" in fault for fault in told)
    assert page_of(window).of_case.others == []


def test_the_quote_is_written_from_the_page(at_job, qtbot, monkeypatch, tmp_path: Path) -> None:
    path = tmp_path / "quote.pdf"
    told: list[str] = []
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: path)
    monkeypatch.setattr(dialogs, "tell", lambda parent, title, text: told.append(text))
    window = at_job("brittle_bench")
    press(page_of(window), "Write the quote...", qtbot)
    pages = [page.extract_text() for page in PdfReader(path).pages]
    assert "Signature, date" in pages[0]
    assert "Cutting" in pages[1]
    assert str(path) in told[0]


def test_an_answer_draws_the_page_anew_within_a_tenth_of_a_second(at_job, qtbot) -> None:
    import time

    window = at_job("brittle_bench")
    took = []
    for length in (200.0, 240.0, 280.0):
        window.session.answer("damage.length", Span(length, length, f"{length:g} mm"))
        start = time.perf_counter()
        page_of(window).redraw()
        took.append(time.perf_counter() - start)
    assert sorted(took)[1] < 0.1
