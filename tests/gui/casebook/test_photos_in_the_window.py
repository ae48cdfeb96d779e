"""Photos attached by file, drop and paste; before and after in record and rationale. Own rules."""

from __future__ import annotations

import io
import threading
from pathlib import Path

import pytest
import shiboken6
from PIL import Image
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent, QGuiApplication, QImage
from PySide6.QtWidgets import QLabel

from advisor.gui.handover.record_page import RecordPage
from advisor.gui.questions.photos_editor import CasebookPhotos, photos_in
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.casebook_asker import Asker
from advisor.gui.window.main_window import MainWindow
from advisor.report.formats.pdf_invoice import bare
from advisor.session.screens import PHOTOS, RECORD_PAGE
from tests.casebook.test_pictures import camera_photo
from tests.unit.session.small_pack import started

RED, BLUE = (200, 30, 30), (30, 30, 200)


def jpeg(place: Path, colour: tuple[int, int, int]) -> Path:
    Image.new("RGB", (320, 240), colour).save(place, "JPEG")
    return place


@pytest.fixture
def editor(kept_window: MainWindow) -> CasebookPhotos:
    """The photos of a case that has been begun."""
    for name, value in started().facts.items():
        kept_window.navigator.answer(name, value)
    kept_window.navigator.go(PHOTOS)
    found = kept_window.card.editor
    assert isinstance(found, CasebookPhotos)
    return found


def test_photos_are_added_dropped_and_pasted(
    qtbot, editor: CasebookPhotos, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "Quillfeather.jpg"
    place.write_bytes(camera_photo())
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(b"no photo")
    monkeypatch.setattr(dialogs, "ask_photos", lambda parent: (str(place),))
    qtbot.mouseClick(editor.add, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(editor.photos) == 1, timeout=20_000)
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(jpeg(tmp_path / "one.jpg", RED)))])
    editor.dropEvent(QDropEvent(QPointF(5, 5), Qt.DropAction.CopyAction, mime,
                                Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier))
    qtbot.waitUntil(lambda: len(editor.photos) == 2, timeout=20_000)
    image = QImage(60, 40, QImage.Format.Format_RGB888)
    image.fill(Qt.GlobalColor.blue)
    QGuiApplication.clipboard().setImage(image)
    editor.rows.setFocus()
    qtbot.keyClick(editor.rows, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    qtbot.waitUntil(lambda: len(editor.photos) == 3, timeout=20_000)
    assert sorted(one.name for one in editor.photos) == [
        "Quillfeather.jpg", "one.jpg", "pasted picture",
    ]  # fmt: skip
    monkeypatch.setattr(dialogs, "ask_photos", lambda parent: (str(bad),))
    qtbot.mouseClick(editor.add, Qt.MouseButton.LeftButton)
    assert "bad.jpg: not a photo that can be read" in editor.fault.text()
    editor.rows.setCurrentRow(0)
    qtbot.keyClick(editor.rows, Qt.Key.Key_Delete)
    qtbot.waitUntil(lambda: len(editor.photos) == 2, timeout=20_000)


def test_nothing_copied_is_said() -> None:
    assert photos_in(None) == ([], [])


def test_who_asked_may_be_gone_by_the_answer(
    kept_window: MainWindow, caplog: pytest.LogCaptureFixture
) -> None:
    """The answer then goes nowhere, without a word on the terminal."""
    keeping = kept_window.session.keeping
    assert keeping is not None
    asker, answers = Asker(keeping, kept_window), list[object]()
    may = threading.Event()
    asker.ask("one", lambda book: may.wait(20.0), answers.append)
    shiboken6.delete(asker)
    may.set()
    assert keeping.ask(lambda book: "after it").result(20.0) == "after it"
    assert answers == [] and caplog.records == []


def test_pairs_before_and_after_are_in_the_record_and_in_the_rationale(
    qtbot, kept_window: MainWindow, editor: CasebookPhotos, tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    for name, colour in (("before.jpg", RED), ("after.jpg", BLUE)):
        place = jpeg(tmp_path / name, colour)
        monkeypatch.setattr(dialogs, "ask_photos", lambda parent, place=place: (str(place),))
        qtbot.mouseClick(editor.add, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: len(editor.photos) == 2, timeout=20_000)
    row = next(n for n, one in enumerate(editor.photos) if one.name == "after.jpg")
    editor.rows.setCurrentRow(row)
    qtbot.mouseClick(editor.moment, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: "after" in {one.moment for one in editor.photos}, timeout=20_000)
    kept_window.navigator.go(RECORD_PAGE)
    page = kept_window.pages[RECORD_PAGE]
    assert isinstance(page, RecordPage)
    qtbot.waitUntil(lambda: bool(page._shown_pairs), timeout=20_000)
    shown = [one.pixmap().toImage().pixelColor(9, 9) for one in page.photos.findChildren(QLabel)
             if not one.pixmap().isNull()]  # fmt: skip
    assert [(c.red() > 150, c.blue() > 150) for c in shown] == [(True, False), (False, True)]
    monkeypatch.setattr(dialogs, "open_written", lambda *_: None)
    for suffix, begins in ((".html", "data:image/jpeg;base64,"), (".txt", "Before, After")):
        target = tmp_path / f"out{suffix}"
        monkeypatch.setattr(dialogs, "ask_export", lambda *_, target=target: target)
        kept_window.papers.export()
        assert begins in target.read_text("utf-8")
    target = tmp_path / "out.pdf"
    monkeypatch.setattr(dialogs, "ask_export", lambda *_: target)
    kept_window.papers.export()
    assert target.read_bytes().count(b"/Subtype /Image") == 2


def test_a_photo_on_the_page_for_the_invoice_names_no_place_and_nobody() -> None:
    data = bare(camera_photo())
    assert b"Quillfeather" not in data
    with Image.open(io.BytesIO(data)) as kept:
        assert kept.size == (40, 80)
        assert not kept.getexif()
