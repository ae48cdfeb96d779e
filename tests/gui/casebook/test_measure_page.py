"""Measuring on a photo by mouse and by keyboard. The card is ISO/IEC 7810 ID-1."""

from __future__ import annotations

import io
from functools import partial
from pathlib import Path

import pytest
from PIL import Image, ImageDraw
from PySide6.QtCore import QPoint, Qt, QTimer
from PySide6.QtWidgets import QApplication

from advisor.casebook.photos.attached import attached
from advisor.casebook.photos.measuring import CARD
from advisor.casebook.photos.pictures import GREY
from advisor.facts.case import Span
from advisor.gui.casebook.measure_dialog import MeasureDialog
from advisor.gui.casebook.measure_page import EDGES, MeasurePage
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow

#: Pixels for a mm, and where the card's corner lies.
SCALE, X, Y = 8.0, 100, 80
FACTS = (("damage.length", "Length of the damage"), ("damage.gap", "Gap"))


def photo() -> Image.Image:
    """From straight above: a white card, and a line of 100 mm below it."""
    made = Image.new("RGB", (1200, 900), (90, 70, 60))
    draw = ImageDraw.Draw(made)
    draw.rectangle((X, Y, X + CARD[0] * SCALE, Y + CARD[1] * SCALE), (250, 250, 250))
    draw.line((X, 700, X + 100 * SCALE, 700), (0, 0, 0), 3)
    return made


def on_card() -> list[tuple[float, float]]:
    """Two points on each edge, going around."""
    right, bottom = X + CARD[0] * SCALE, Y + CARD[1] * SCALE
    return [
        (X + 80, Y), (right - 80, Y), (right, Y + 80), (right, bottom - 80),
        (right - 80, bottom), (X + 80, bottom), (X, bottom - 80), (X, Y + 80),
    ]  # fmt: skip


@pytest.fixture
def page(qtbot) -> MeasurePage:  # type: ignore[no-untyped-def]
    shown = MeasurePage(photo(), FACTS)
    qtbot.addWidget(shown)
    shown.resize(1280, 800)
    shown.show()
    return shown


def click(qtbot, page: MeasurePage, point: tuple[float, float]) -> None:  # type: ignore[no-untyped-def]
    from PySide6.QtCore import QPointF

    place = page.view.to_widget(QPointF(*point))
    qtbot.mouseClick(
        page.view, Qt.MouseButton.LeftButton, pos=QPoint(round(place.x()), round(place.y()))
    )


def test_a_length_is_measured_by_mouse_and_becomes_an_answer(qtbot, page: MeasurePage) -> None:
    assert EDGES[0] in page.told.text()
    assert not page.keep.isEnabled()
    for point in on_card():
        click(qtbot, page, point)
    assert "along the damage" in page.told.text()
    assert not page.use.isEnabled()
    for point in ((X, 700), (X + 100 * SCALE, 700)):
        click(qtbot, page, point)
    found = page.found()
    assert found is not None
    assert found.length == pytest.approx(100, abs=0.6)  # a click is a whole pixel of the screen
    assert found.span.low < 100 < found.span.high
    with qtbot.waitSignal(page.measured) as told:
        qtbot.mouseClick(page.use, Qt.MouseButton.LeftButton)
    fact, span = told.args
    assert fact == "damage.length"
    assert isinstance(span, Span)
    assert span.written in page.result.text()


def test_points_are_set_moved_and_taken_back_by_keyboard(qtbot, page: MeasurePage) -> None:
    page.view.setFocus()
    start = page.view.pointer
    x, y = start.x(), start.y()
    qtbot.keyClick(page.view, Qt.Key.Key_Right)
    qtbot.keyClick(page.view, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    qtbot.keyClick(page.view, Qt.Key.Key_Space)
    assert [(point.x(), point.y()) for point in page.view.points] == [(x + 1, y - 10)]
    assert "1 of 8" in page.told.text()
    qtbot.keyClick(page.view, Qt.Key.Key_Backspace)
    assert page.view.points == []


def test_what_is_no_card_is_told(qtbot, page: MeasurePage) -> None:
    for number in range(8):
        click(qtbot, page, (200 + 40 * number, 300))
    assert "not the edges of a card" in page.told.text()
    assert not page.keep.isEnabled()


def test_the_face_of_the_card_is_masked_before_the_photo_is_kept(qtbot, page: MeasurePage) -> None:
    for point in on_card():
        click(qtbot, page, point)
    with qtbot.waitSignal(page.kept) as told:
        qtbot.mouseClick(page.keep, Qt.MouseButton.LeftButton)
    kept = Image.open(io.BytesIO(told.args[0]))
    middle = (round(X + CARD[0] * SCALE / 2), round(Y + CARD[1] * SCALE / 2))
    for dx in (-200, 0, 200):
        seen = kept.getpixel((middle[0] + dx, middle[1]))
        assert all(abs(a - b) < 8 for a, b in zip(seen, GREY, strict=True))  # type: ignore[arg-type]
    assert not kept.getexif()


def test_holes_have_a_pitch(qtbot, page: MeasurePage) -> None:
    for point in on_card():
        click(qtbot, page, point)
    for number in range(5):
        click(qtbot, page, (X + 40 * number, 700))
    page.kind.setCurrentIndex(page.kind.findData("pitch"))
    found = page.found()
    assert found is not None
    assert found.length == pytest.approx(5, abs=0.1)
    qtbot.mouseClick(page.anew, Qt.MouseButton.LeftButton)
    assert page.found() is None


def test_a_measured_length_and_the_photo_go_into_the_case(  # type: ignore[no-untyped-def]
    qtbot, kept_window, tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "split.png"
    photo().save(place)
    kept_window.navigator.answer("part.kind", ("armrest",))
    kept_window.navigator.answer("damage.kind", ("seam_open",))
    monkeypatch.setattr(dialogs, "ask_photos", lambda parent: (str(place),))
    told: list[str] = []

    def measure() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, MeasureDialog)
        for point in (*on_card(), (X, 700), (X + 100 * SCALE, 700)):
            click(qtbot, dialog.page, point)
        qtbot.mouseClick(dialog.page.use, Qt.MouseButton.LeftButton)
        told.append(dialog.page.told.text())
        qtbot.mouseClick(dialog.page.keep, Qt.MouseButton.LeftButton)
        told.append(dialog.page.told.text())
        dialog.reject()

    QTimer.singleShot(50, measure)
    kept_window.files.measure()
    session = kept_window.session
    length = session.case.facts[session.pack.roles.damage_length]
    assert length.low < 100 < length.high
    assert told[0].endswith("It is in the case.")
    assert told[1] == "The photo is in the casebook, the face of the card masked."
    keeping = session.keeping
    listed = keeping.ask(
        lambda book: book.read(partial(attached, key=keeping.keeper.key))
    ).result(20)  # fmt: skip
    assert [(one.name, one.moment) for one in listed] == [("split.png", "before")]


def test_two_marks_of_a_ruler_are_a_scale_and_are_marked_as_doubtful(
    qtbot, page: MeasurePage
) -> None:
    for point in ((X, 700), (X + 400, 700)):
        click(qtbot, page, point)
    assert page.found() is None  # no length without a scale
    assert "No length without a scale" in page.told.text()
    page.scale.setCurrentIndex(page.scale.findData("ruler"))
    assert page.view.points == []
    page.between.setValue(40.0)
    for point in ((X, 200), (X + 40 * SCALE, 200), (X, 700), (X + 100 * SCALE, 700)):
        click(qtbot, page, point)
    found = page.found()
    assert found is not None
    assert found.length == pytest.approx(100, abs=1.0)
    assert "straight from above" in page.result.text()
    with qtbot.waitSignal(page.kept) as told:
        qtbot.mouseClick(page.keep, Qt.MouseButton.LeftButton)
    kept = Image.open(io.BytesIO(told.args[0]))
    assert min(kept.getpixel((X + 200, Y + 200))) > 230  # nothing is masked


def test_a_question_for_a_pitch_is_answered_from_hole_to_hole(qtbot) -> None:
    page = MeasurePage(photo(), (("damage.length", "Length"), ("seam.pitch", "Pitch")), None,
                       ("seam.pitch",))  # fmt: skip
    qtbot.addWidget(page)
    assert page.kind.currentData() == "length"
    page.fact.setCurrentIndex(1)
    assert page.kind.currentData() == "pitch"


def test_what_is_no_photo_is_told(  # type: ignore[no-untyped-def]
    kept_window, tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "bad.jpg"
    place.write_bytes(b"no photo")
    told: list[str] = []
    monkeypatch.setattr(dialogs, "ask_photos", lambda parent: (str(place),))
    monkeypatch.setattr(dialogs, "show_faults", lambda _, heading, faults: told.append(heading))
    kept_window.files.measure()
    assert told == ["bad.jpg cannot be used."]


def test_a_photo_is_kept_of_a_case_that_was_only_opened(
    qtbot, kept_window: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeping = kept_window.session.keeping
    assert keeping is not None
    file = tmp_path / "card.png"
    photo().save(file)
    refused: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda _p, _h, faults: refused.extend(faults))

    def keep_one() -> MeasureDialog:
        dialog = MeasureDialog(file, kept_window.navigator, kept_window)
        for point in on_card():
            click(qtbot, dialog.page, point)
        qtbot.mouseClick(dialog.page.keep, Qt.MouseButton.LeftButton)
        return dialog

    keep_one().deleteLater()  # of no case at all
    assert refused == ["Answer something first."]
    [key, *_] = keeping.ask(lambda book: book.all_keys()).result(20)
    kept_window.files.open_kept(key)
    qtbot.waitUntil(lambda: keeping.keeper.key == key, timeout=20_000)
    dialog = keep_one()
    assert dialog.page.told.text() == "The photo is in the casebook, the face of the card masked."
    assert len(keeping.ask(lambda book: book.read(partial(attached, key=key))).result(20)) == 1
    dialog.deleteLater()
