"""What one sees: nothing clipped, nothing blank, everything large enough to touch."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QFontMetrics, QImage, QTextDocument
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QPushButton, QWidget

from advisor.facts.case import Span
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.widgets.fitted_words import ElidedLabel
from advisor.gui.widgets.method_bar import MethodBar
from advisor.gui.widgets.option_button import OptionButton
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import Tab
from tests.gui.window.test_pages import give, split

SIZES = [(1280, 800), (1024, 700), (800, 1100), (760, 620)]


def clipped(window: QWidget) -> list[str]:
    """Texts that do not fit in the widget that shows them."""
    found = []
    for label in window.findChildren(QLabel):
        dots = isinstance(label, ElidedLabel) and label.toolTip() == label.text()
        if label.isVisible() and label.text() and not dots and _label_clipped(label):
            found.append(f"label {label.text()!r} in {label.width()} x {label.height()}")
    for button in window.findChildren(QAbstractButton):
        if button.isVisible() and button.text() and _button_clipped(button):
            found.append(f"button {button.text()!r} in {button.width()} x {button.height()}")
    return found


def _label_clipped(label: QLabel) -> bool:
    room = label.contentsRect()
    if label.textFormat() == Qt.TextFormat.RichText:
        page = QTextDocument()
        page.setDefaultFont(label.font())
        page.setDocumentMargin(0)
        page.setHtml(label.text())
        page.setTextWidth(room.width())
        return page.idealWidth() > room.width() + 1 or page.size().height() > room.height() + 1
    flags = int(Qt.TextFlag.TextWordWrap) if label.wordWrap() else 0
    need = QFontMetrics(label.font()).boundingRect(QRect(0, 0, room.width(), 9999), flags,
                                                   label.text())
    return need.width() > room.width() + 1 or need.height() > room.height() + 1


def _button_clipped(button: QAbstractButton) -> bool:
    if isinstance(button, (OptionButton, MethodBar)):
        return button.heightForWidth(button.width()) > button.height()
    lines = button.text().split("\n")
    metrics = QFontMetrics(button.font())
    wide = max(metrics.horizontalAdvance(text) for text in lines)
    return wide > button.width() or metrics.height() * len(lines) > button.height()


def colours(image: QImage) -> int:
    """Number of different colours on a coarse grid."""
    return len({
        image.pixel(x, y)
        for x in range(0, image.width(), 3) for y in range(0, image.height(), 3)
    })


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("system", list(System))
def test_nothing_is_clipped_on_any_stage(window: MainWindow, qapp: QApplication, size, system):
    split(window)
    give(window, damage_gap=Span(4, 4, "4 mm"))
    window.session.system = system
    window.resize(*size)
    qapp.processEvents()
    for tab in Tab:
        window.go_tab(tab)
        for _ in range(3):
            qapp.processEvents()
        assert clipped(window) == [], tab


@pytest.mark.parametrize("size", SIZES)
def test_every_question_is_shown_whole(window: MainWindow, qapp: QApplication, size) -> None:
    window.resize(*size)
    for entry in window.navigator.order:
        window.navigator.go(entry.key)
        for _ in range(3):
            qapp.processEvents()
        assert clipped(window.card) == [], entry.key


@pytest.mark.parametrize("size", SIZES)
def test_the_screen_is_drawn(window: MainWindow, qapp: QApplication, size) -> None:
    split(window)
    window.resize(*size)
    qapp.processEvents()
    assert (window.width(), window.height()) == size
    assert colours(window.grab().toImage()) > 8
    # In the lowest window the question has all the room.
    assert window.side.isVisible() is (size != (760, 620))
    if window.side.isVisible():
        assert colours(window.picture.section.grab().toImage()) > 8


def test_everything_to_touch_is_large_enough(window: MainWindow, qapp: QApplication) -> None:
    """WCAG 2.1, success criterion 2.5.5: 44 px."""
    split(window)
    for tab in Tab:
        window.go_tab(tab)
        qapp.processEvents()
        for button in window.findChildren(QAbstractButton):
            if button.isVisible() and isinstance(button, (QPushButton, OptionButton, MethodBar)):
                assert button.height() >= 44, button.text()
    assert theme.TARGET >= 44


def test_the_picture_stands_beside_on_a_wide_window_and_below_on_a_narrow_one(
    window: MainWindow, qapp: QApplication
) -> None:
    window.resize(1280, 800)
    qapp.processEvents()
    assert window.split.orientation() is Qt.Orientation.Horizontal
    window.resize(800, 1100)
    qapp.processEvents()
    assert window.split.orientation() is Qt.Orientation.Vertical


def test_the_font_is_the_one_that_ships(window: MainWindow) -> None:
    metrics = window.next.fontMetrics()
    assert window.next.font().family() == theme.FONT
    assert metrics.horizontalAdvance("i") < metrics.horizontalAdvance("W")


def test_every_control_has_a_name_for_a_screen_reader(window: MainWindow) -> None:
    split(window)
    for row in window.picture.bars.rows:
        assert row.accessibleName()
    for button in window.stages.buttons.values():
        assert button.accessibleName()
    assert "padding" in window.picture.section.accessibleDescription()


def test_the_page_about_the_window_names_every_key_and_picture(window: MainWindow) -> None:
    docs = Path(__file__).parents[3] / "docs"
    page = (docs / "window.md").read_text(encoding="utf-8")
    for key in window.actions_by_key():
        assert key in page, key
    pictures = set(re.findall(r"screenshots/(\w+\.png)", page))
    assert pictures == {path.name for path in (docs / "screenshots").glob("*.png")}
    for words in ("Not sure, leave open", "Decided: no further question is worth asking"):
        assert words in page
