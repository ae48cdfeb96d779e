"""The Job stage by clicks and keys: cutting layout, measures, prices, other damages, quote."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetricsF
from PySide6.QtWidgets import QDialog

from advisor import paths
from advisor.facts.case_file import write_case
from advisor.facts.quantity import System
from advisor.gui.app import Engine
from advisor.gui.handover.paper_list import PaperList
from advisor.gui.job.cutting_view import CuttingView
from advisor.gui.job.measures_dialog import MeasuresDialog
from advisor.gui.job.timeline_view import TimelineView
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.method_bar import sized_font
from advisor.session.screens import JOB_SHEET
from tests.gui.job.page_actions import SIZES, dialog_of, page_of, press, sheet_of
from tests.gui.window.test_look import clipped, colours
from tests.gui.window.test_pages import shown_text
from tests.gui.window.test_shipped_rules import demo

#: Demo cases that between them show every block of the page.
TELLING = ("brittle_bench", "armrest_crumbled_foam", "fallen_headlining", "cracked_panel")


pytestmark = pytest.mark.usefixtures("own_folders")


# -- what stands on the page -------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("system", list(System))
def test_nothing_is_cut_off(at_job, qapp, size, system) -> None:
    for name in TELLING:
        window = at_job(name)
        window.session.system = system
        window.resize(*size)
        window.navigator.refresh()
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
    for said in ("The roll runs", "Waste", "longer than the shortest there can be", "Buy"):
        assert said in text
    for number, placed in enumerate(layout.placed, 1):
        assert f"{number}\n{placed.piece.title}\n" in text
        assert f"{placed.along:.0f} x {placed.across:.0f} mm" in view.accessibleDescription()


@pytest.mark.parametrize("size", SIZES)
def test_strips_carry_their_name_and_size_along_them(at_job, qapp, size) -> None:
    window = at_job("brittle_bench")
    window.resize(*size)
    for _ in range(4):
        qapp.processEvents()
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    scale = view.scale(view.width())
    upright = 0
    for number, placed in enumerate(view.ground.placed, 1):
        written = view.written(number, placed, scale)
        text = " ".join(written.lines)
        assert text.startswith(f"{number}  {placed.piece.title}")
        assert f"{placed.along:.0f} x {placed.across:.0f} mm" in text
        metrics = QFontMetricsF(sized_font(view.font(), written.pixels, False))
        box = view.box_of(placed, scale)
        along, across = box.width(), box.height()
        if written.upright:
            along, across = across, along
            upright += 1
        assert max(metrics.horizontalAdvance(line) for line in written.lines) <= along
        assert metrics.height() * len(written.lines) <= across
    assert upright == 2


def test_a_piece_too_small_for_its_name_keeps_its_number(at_job, qapp) -> None:
    window = at_job("brittle_bench")
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    strip = next(p for p in view.ground.placed if p.along < 200)
    assert view.written(5, strip, 0.03).lines == ("5",)


def test_the_nap_is_an_arrow_on_every_panel(at_job, qapp) -> None:
    window = at_job("fallen_headlining")
    (view,) = [v for v in page_of(window).findChildren(CuttingView) if v.isVisible()]
    assert view.ground.nap in ("along", "across")
    assert "the nap, the same on every panel." in shown_text(page_of(window))
    with_nap = view.grab().toImage()
    view.ground = type(view.ground)(**{**view.ground.__dict__, "nap": ""})
    assert view.grab().toImage() != with_nap


def test_leather_is_drawn_on_hides(at_job, engine: Engine, show, qapp) -> None:
    case = demo(engine, "brittle_bench").with_fact("skin.material", ("leather",))
    window = show(case)
    window.navigator.go(JOB_SHEET)
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
    # The glue of the foam sets before its cover is sewn.
    wait = text.index("Wait before the next job on it: Contact cement")
    assert text.index("bond in layers with contact cement") < wait
    assert wait < text.index("Pick out the old thread")
    for item in sheet_of(window).items:
        assert item.title in text
    assert "Of this set-up, taking apart and refitting" in text
    for choice in sheet_of(window).choices:
        assert choice.title in text


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
    assert "Sharing a visit makes this EUR" in text
    (line,) = [t for t in page_of(window).findChildren(TimelineView) if t.isVisible()]
    assert "A  Renew the padding" in line.accessibleDescription()
    assert "A: Row 2, harbour shuttle 4" in text
    press(page_of(window), "Take out HB-2042", qtbot)
    assert "Sharing a visit" not in shown_text(page_of(window))


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


def test_the_papers_are_asked_for_from_the_page(at_job, qtbot, monkeypatch) -> None:
    window = at_job("brittle_bench")
    asked: list[bool] = []
    page_of(window).papers_wanted.connect(lambda: asked.append(True))
    monkeypatch.setattr(QDialog, "exec", lambda box: asked.append(isinstance(box, PaperList)))
    press(page_of(window), "Print...", qtbot)
    assert asked == [True, True]
