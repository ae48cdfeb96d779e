"""Whole journeys, by the mouse alone and by the keyboard alone, down to the file written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QColor, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QDialog,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QPushButton,
    QWidget,
)

from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.handover.invoice_dialog import InvoiceDialog
from advisor.gui.handover.paper_list import PaperList
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer
from advisor.gui.widgets.answers.typed_answers import LineAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder
from advisor.session.screens import METHOD_PAGE
from tests.gui.window.technician import MOST, Technician, settle

LEFT = Qt.MouseButton.LeftButton
CTRL = Qt.KeyboardModifier.ControlModifier
OFFSCREEN = r"This plugin does not support (raise\(\)|propagateSizeHints\(\)|grabbing the keyboard)"

pytestmark = [
    pytest.mark.usefixtures("own_folders"), pytest.mark.qt_log_ignore(OFFSCREEN),
]


def focus_of(top: QWidget) -> QWidget:
    """Where keys go."""
    return QApplication.focusWidget() or top.focusWidget() or top


def tab_to(top: QWidget, wanted: Callable[[QWidget], bool]) -> QWidget:
    """Press Tab until the keyboard is there."""
    for _ in range(MOST * 3):
        here = focus_of(top)
        if wanted(here):
            return here
        QTest.keyClick(here, Qt.Key.Key_Tab)
        settle()
    raise AssertionError("Tab does not lead there")


def reads(text: str) -> Callable[[QWidget], bool]:
    """A button of these words, or of that name."""
    return lambda w: isinstance(w, QAbstractButton) and text in (w.text(), w.accessibleName())


class ByMouse(Technician):
    """Every choice a click; only figures are typed."""

    def press(self, top: QWidget, text: str) -> None:
        """Click the button of these words."""
        (button,) = [
            b for b in top.findChildren(QPushButton) if reads(text)(b) and b.isVisible()
        ]
        QTest.mouseClick(button, LEFT)

    def write(self, top: QWidget, name: str, text: str) -> None:
        """Click into a field and type."""
        field = next(f for f in top.findChildren(QLineEdit) if f.accessibleName() == name)
        QTest.mouseClick(field, LEFT)
        QTest.keyClicks(field, text)


class ByKeys(Technician):
    """Never touches the mouse."""

    def answer_hazards(self) -> None:
        """The digit of the answer on the row that has the keys; then Enter."""
        page = self.window.hazards
        assert page is not None
        for _ in range(MOST):
            case = self.window.session.case
            left = [row for row in page.rows if row.fact.name not in case.facts]
            if not left or self.window.session.advice.verdict == "refer":
                break
            row = next(r for r in page.rows if any(b.digit for b in r.options.buttons))
            assert row in left
            value = self.told.facts[row.fact.name]
            key = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value[0]
            button = next(b for b in row.options.buttons if b.key == key)
            self.type(button.digit)
        self.stroke(Qt.Key.Key_Right, Qt.KeyboardModifier.AltModifier)

    def answer_card(self) -> None:
        """A digit; where the list is long, a few letters and Enter; figures and Enter."""
        entry, answer = self.window.navigator.entry, self.window.card.answer
        self.asked.append(entry.key)
        value = self.told.facts.get(entry.key)
        if value is None:
            self.stroke(Qt.Key.Key_0, CTRL)
        elif isinstance(answer, LineAnswer):
            assert answer.line.hasFocus()
            self.type(getattr(value, "written", str(value)))
            self.stroke(Qt.Key.Key_Return)
        else:
            assert isinstance(answer, ChoiceAnswer | YesNoAnswer)
            key = {True: "yes", False: "no"}[value] if isinstance(value, bool) else value[0]
            button = next(b for b in answer.buttons if b.key == key)
            if getattr(button, "digit", ""):
                self.type(button.digit)
            else:
                self.type(button.title)
                self.stroke(Qt.Key.Key_Return)

    def type(self, text: str) -> None:
        """Letters and digits where the keyboard is."""
        for letter in text:
            QTest.keyClick(focus_of(self.window), letter)
            settle()

    def stroke(self, key: Qt.Key, more: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
               ) -> None:  # fmt: skip
        """A key where the keyboard is."""
        QTest.keyClick(focus_of(self.window), key, more)
        settle()

    def press(self, top: QWidget, text: str) -> None:
        """Tab to the button of these words, and the space bar."""
        QTest.keyClick(tab_to(top, reads(text)), Qt.Key.Key_Space)

    def write(self, top: QWidget, name: str, text: str) -> None:
        """Tab to a field and type."""
        field = tab_to(top, lambda w: isinstance(w, QLineEdit) and w.accessibleName() == name)
        QTest.keyClicks(field, text)


HANDS = pytest.mark.parametrize("hand", [ByMouse, ByKeys], ids=["mouse", "keys"])


class AtDialogs:
    """Does the next thing on the list with each dialog that comes up."""

    def __init__(self, *acts: Callable[[QWidget], None]) -> None:
        self.acts = list(acts)
        self.failed: list[BaseException] = []
        self._seen: list[QWidget] = []
        self._over = False
        self._look()

    def _look(self) -> None:
        if self._over:
            return
        QTimer.singleShot(20, self._look)  # before acting: a dialog may open another
        top = QApplication.activeModalWidget()
        if top is None or not top.isVisible() or top in self._seen:
            return
        self._seen.append(top)
        try:
            assert self.acts, f"a dialog that nobody expects: {top}"
            self.acts.pop(0)(top)
        except BaseException as error:  # else the journey would wait for ever
            self.failed.append(error)
            if isinstance(top, QDialog):
                top.reject()

    def done(self) -> None:
        """All dialogs have come, and each went as it should."""
        self._over = True
        if self.failed:
            raise self.failed[0]
        assert not self.acts, f"{len(self.acts)} dialogs did not come"


@HANDS
def test_triage_at_intake_from_home_to_the_verdict(
    hand: type, engine: Engine, show, qtbot
) -> None:
    told = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window: MainWindow = show()
    window.show_home()
    settle()
    person, nobody = hand(window, qtbot, told), AtDialogs()
    person.press(window.home, "New case")
    settle()
    assert not window.home.isVisible()
    person.work()
    nobody.done()
    advice = window.session.advice
    assert window.navigator.screen == METHOD_PAGE
    assert advice.verdict == "plan" and advice.plan.lead == "hand_stitch"
    assert window.session.case.facts["damage.kind"] == told.facts["damage.kind"]
    card = window.pages[METHOD_PAGE].card
    assert card.isVisible() and card.chip.state == "holds"


@HANDS
def test_the_rationale_is_attached_to_an_invoice(
    hand: type, engine: Engine, show, qtbot, monkeypatch, tmp_path: Path
) -> None:
    """From the verdict to two files: the page with the invoice's number, and the working."""
    case = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window: MainWindow = show(case)
    window.navigator.go(METHOD_PAGE)
    settle()
    person = hand(window, qtbot, case)
    written = [tmp_path / "page.pdf", tmp_path / "working.pdf"]
    copied: list[QImage] = []
    sentences: list[str] = []

    def own_dialog(parent: QWidget, proposed: Path) -> Path | None:
        """Qt's own file dialog, as where the system has none."""
        box = QFileDialog(parent, "Export", str(tmp_path))
        box.setOption(QFileDialog.Option.DontUseNativeDialog)
        box.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        box.selectFile(proposed.name)
        found = Path(box.selectedFiles()[0]) if box.exec() else None
        box.deleteLater()
        return found

    def name_file(path: Path) -> Callable[[QWidget], None]:
        def act(box: QWidget) -> None:
            assert isinstance(box, QFileDialog)
            field = next(f for f in box.findChildren(QLineEdit) if f.isVisible())
            field.setFocus()
            QTest.keyClick(field, Qt.Key.Key_A, CTRL)
            QTest.keyClicks(field, path.name)
            (save,) = [b for b in box.findChildren(QPushButton) if "ave" in b.text()]
            person.press(box, save.text())

        return act

    def fill(box: QWidget) -> None:
        assert isinstance(box, InvoiceDialog)
        person.write(box, "Customer", "Harbour Lines")
        person.write(box, "Invoice number", "2026-118")
        person.press(box, "Copy the picture")
        copied.append(QGuiApplication.clipboard().image())
        person.press(box, "Copy the two sentences")
        sentences.append(QGuiApplication.clipboard().text())
        person.press(box, "Write the page...")

    def close(box: QWidget) -> None:
        assert isinstance(box, QMessageBox)
        person.press(box, "Close")

    def papers(box: QWidget) -> None:
        assert isinstance(box, PaperList)
        person.press(box, "Page for the invoice: save as")
        person.press(box, "Rationale: save as")
        person.press(box, "Close")

    monkeypatch.setattr(dialogs, "ask_export", own_dialog)
    at = AtDialogs(papers, fill, name_file(written[0]), close, name_file(written[1]), close)
    if hand is ByKeys:
        person.stroke(Qt.Key.Key_P, CTRL)
    else:
        QTest.mouseClick(list(window.stages.buttons.values())[-1], LEFT)
        settle()
        person.press(window, "Print, open or save a paper")
    at.done()
    page, working = ([" ".join(one.extract_text().split()) for one in PdfReader(path).pages]
                     for path in written)  # fmt: skip
    assert copied[0].width() > 800 and copied[0].pixelColor(0, 0) == QColor("#ffffff")
    assert sentences[0].startswith("Hand stitch through the old holes: EUR 74 incl. VAT")
    assert len(page) == 1
    assert "To invoice 2026-118" in page[0] and "Harbour Lines" in page[0]
    assert "Hand stitch through the old holes" in page[0]
    assert any("Repair advice" in one for one in working)
    price = window.session.advice.plan.price
    assert price is not None
    assert "EUR 74 incl. VAT" in page[0] and "EUR 74 incl. VAT" in working[0]
