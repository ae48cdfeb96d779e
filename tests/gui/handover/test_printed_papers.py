"""The papers from the window: saved, opened, printed, each with real clicks or keys."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest
from pypdf import PdfReader
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox

from advisor.gui.handover.paper_list import PaperList, Way
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.printing import print_pdf, set_up
from advisor.session.printed_papers import Paper
from tests.gui.window.person_at_dialogs import LEFT, Person
from tests.gui.window.test_files import call

pytestmark = [
    pytest.mark.usefixtures("own_folders"),
    pytest.mark.qt_log_ignore("This plugin does not support propagateSizeHints"),
]


def take(paper: Paper, way: Way, *, annex: bool = False):  # type: ignore[no-untyped-def]
    """Click that button of the papers, then Close."""

    def act(box: object) -> None:
        assert isinstance(box, PaperList)
        if annex:
            (tick,) = box.findChildren(QCheckBox)
            QTest.mouseClick(tick, LEFT)
            tick.setChecked(True)
        QTest.mouseClick(box.buttons[paper, way], LEFT)
        box.reject()

    return act


def pages(path: Path) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


@pytest.mark.parametrize("annex", [False, True])
def test_the_quote_is_one_page_and_the_annex_is_asked_for(
    at_job, monkeypatch, tmp_path: Path, annex: bool
) -> None:
    window = at_job("brittle_bench")
    path = tmp_path / "q.pdf"
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: path)
    monkeypatch.setattr(dialogs, "open_written", lambda parent, path: None)
    person = Person(take(Paper.QUOTE, Way.SAVE, annex=annex))
    call(window, "Ctrl+P")
    person.done()
    found = pages(path)
    assert "Signature, date" in found[0]
    assert (len(found) > 1) is annex
    assert not annex or any("Cutting" in page for page in found[1:])


def test_the_quote_bears_the_name_that_the_shop_gave_itself(
    at_job, monkeypatch, tmp_path: Path
) -> None:
    window = at_job("split_armrest")
    window.look.change(name="Quayside Trim", address="3 Slipway Yard")
    window.files.settings = window.look.settings
    path = tmp_path / "q.pdf"
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: path)
    monkeypatch.setattr(dialogs, "open_written", lambda parent, path: None)
    person = Person(take(Paper.QUOTE, Way.SAVE))
    call(window, "Ctrl+P")
    person.done()
    assert "From: Quayside Trim, 3 Slipway Yard" in pages(path)[0]


def test_the_bench_sheet_opens_in_the_viewer(at_job, monkeypatch) -> None:
    window = at_job("split_armrest")
    seen: list[list[str]] = []
    monkeypatch.setattr(dialogs, "open_file", lambda path: bool(seen.append(pages(path)) or 1))
    person = Person(take(Paper.BENCH, Way.OPEN))
    call(window, "Ctrl+P")
    person.done()
    assert "Stitch path, every hole" in seen[0][0]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_what_is_printed_is_the_page(at_job, monkeypatch, tmp_path: Path, paper: str) -> None:
    """Printed to a PDF by Qt's own printer: a page of that size with the same ink on it."""
    window = at_job("split_armrest")
    window.files.settings = window.files.settings.__class__(paper=paper)
    target, kept = tmp_path / "printed.pdf", tmp_path / "kept.pdf"

    def to_pdf(parent: object, size: str) -> QPrinter:
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
        printer.setOutputFileName(str(target))
        printer.setResolution(150)
        set_up(printer, size)
        return printer

    monkeypatch.setattr(dialogs, "ask_printer", to_pdf)
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: kept)
    monkeypatch.setattr(dialogs, "open_written", lambda parent, path: None)
    for way in (Way.PRINT, Way.SAVE):
        person = Person(take(Paper.QUOTE, way))
        call(window, "Ctrl+P")
        person.done()
    printed, saved = (pypdfium2.PdfDocument(path) for path in (target, kept))
    assert len(printed) == len(saved) == 1
    assert printed[0].get_size() == pytest.approx(saved[0].get_size(), abs=2.0)
    ink = [one[0].render(scale=0.5).to_pil().convert("L") for one in (printed, saved)]
    inked = [picture.point(lambda p: 255 * (p < 200)).getbbox() for picture in ink]
    assert inked[0] == pytest.approx(inked[1], abs=3)  # words of the same size in the same place
    dark = [sum(255 - p for p in picture.tobytes()) for picture in ink]
    assert dark[0] == pytest.approx(dark[1], rel=0.3)  # hairlines are softer in a picture
    for one in (printed, saved):
        one.close()


def test_with_a_hazard_open_only_the_rationale_is_offered(at_job) -> None:
    window = at_job("unknown_split")
    states: dict[Paper, bool] = {}

    def look(box: object) -> None:
        assert isinstance(box, PaperList)
        states.update({paper: box.buttons[paper, Way.OPEN].isEnabled() for paper in Paper})
        box.reject()

    person = Person(look)
    call(window, "Ctrl+P")
    person.done()
    assert states == {Paper.QUOTE: False, Paper.BENCH: False, Paper.INVOICE: False,
                      Paper.RATIONALE: True}  # fmt: skip


def test_what_cannot_be_printed_is_explained(tmp_path: Path) -> None:
    broken = tmp_path / "x.pdf"
    broken.write_bytes(b"no pdf at all")
    with pytest.raises(OSError, match="cannot be read as a PDF"):
        print_pdf(broken, QPrinter())
