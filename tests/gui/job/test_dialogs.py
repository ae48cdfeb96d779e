"""Measures and prices of the Job stage, by clicks and keys."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from advisor.gui.app import Engine
from advisor.gui.job.measures_dialog import MeasuresDialog
from advisor.gui.job.prices_dialog import FIGURES, PricesDialog
from advisor.job.price_file import read_price_file
from advisor.session import job_measures
from advisor.session.screens import JOB_SHEET
from tests.gui.job.page_actions import SIZES, dialog_of, page_of, press, sheet_of, write
from tests.gui.window.test_look import clipped
from tests.gui.window.test_pages import shown_text
from tests.gui.window.test_shipped_rules import demo

RATE = ("hourly_rate",)


pytestmark = pytest.mark.usefixtures("own_folders")


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
    again.navigator.go(JOB_SHEET)
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
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(window, Qt.Key.Key_P, both)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    marks = shown_text(dialog)
    assert "three letters, example" in marks
    assert ", your own" not in marks
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
    assert "the shop's" in shown_text(page_of(window))


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
    assert "before we order" in shown_text(page_of(window))


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


#: Fields that take words; every other takes a figure, the currency three letters.
WORDS = (("quote", "shop"), ("quote", "tax_label"))


@pytest.mark.parametrize("bad", ["", "abc", "-70", "90 / 70 / 50", "1 / 2 / 3 / 4", "nan", "1e999"])
def test_each_price_by_itself_refuses_what_is_no_figure(at_job, bad: str, qtbot) -> None:
    window = at_job("split_armrest")
    press(page_of(window), "Prices and rates...", qtbot)
    dialog = dialog_of(window, PricesDialog)
    assert isinstance(dialog, PricesDialog)
    for figure in FIGURES:
        # A rate of interest below nothing is one: money may be worth less later.
        if figure.where in WORDS or (bad == "-70" and "interest" in figure.where):
            continue
        line = dialog.lines[figure.where]
        before = line.text()
        write(line, bad, qtbot)
        press(dialog, "Save", qtbot)
        assert dialog.isVisible() and f"{figure.title}: " in dialog.faults.text(), figure.title
        assert line.text() == bad, "what was typed is not lost"
        assert not dialog.file.target.exists()
        write(line, before, qtbot)
    dialog.reject()
    dialog.reject()


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
