"""Home: new, recent and demo cases; the shop said once; help without a network."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QPushButton

from advisor import paths
from advisor.facts.faults import BadInput
from advisor.facts.quantity import System
from advisor.gui import theme
from advisor.gui.app import look_of
from advisor.gui.handover.invoice_dialog import InvoiceDialog, Proposed
from advisor.gui.home.help_dialog import HelpDialog
from advisor.gui.home.shop_dialog import ShopDialog
from advisor.gui.look import Look
from advisor.gui.widgets import dialogs
from advisor.gui.window.main_window import MainWindow
from advisor.session.asking_order import tools_asked_for
from advisor.session.case_session import Session
from advisor.session.casebook_keeping import CaseKeeping
from advisor.session.handover_papers import HandoverPapers
from advisor.session.shop_settings import ShopSettings, read_settings, write_settings

LEFT = Qt.MouseButton.LeftButton
pytestmark = pytest.mark.usefixtures("own_folders")


@pytest.fixture(autouse=True)
def usual_look():
    """The theme that was in use, put back."""
    yield
    theme.use()


def press(page, text: str, qtbot) -> None:
    """The button of the home that begins so."""
    button = next(b for b in page.findChildren(QPushButton)
                  if (b.accessibleName() or b.text()).startswith(text))  # fmt: skip
    qtbot.mouseClick(button, LEFT)


def test_a_demo_case_opens_from_home_as_a_copy(show, qtbot, qapp: QApplication) -> None:
    window = show()
    window.actions_by_key()["Ctrl+H"].trigger()
    qapp.processEvents()
    assert window.home is not None and window.home.isVisible()
    press(window.home, "Split armrest seam, harbour shuttle", qtbot)
    assert not window.home.isVisible()
    assert window.session.case.name == "HB-2041"
    assert window.session.path is not None
    assert paths.demo_folder() not in window.session.path.parents


def test_what_was_opened_stands_among_the_recent_cases(show, qtbot, qapp) -> None:
    window = show()
    case = paths.demo_copies_folder() / "bench.yaml"
    case.write_bytes((paths.demo_folder() / "brittle_bench.yaml").read_bytes())
    assert window.files.open_path(case)
    window.show_home()
    qapp.processEvents()
    window.files.new()
    window.show_home()
    press(window.home, "Shattered helm bench", qtbot)
    assert window.session.path == case


def test_a_key_on_home_answers_no_question(show, qtbot) -> None:
    window = show()
    window.show_home()
    qtbot.keyClick(window, Qt.Key.Key_2)
    assert window.session.case.facts == {}


def test_tools_said_once_are_asked_with(show, engine, qtbot, tmp_path: Path) -> None:
    window = show()
    look = Look(tmp_path / "shop.json")
    dialog = ShopDialog(look, tools_asked_for(engine.pack), lambda: None, window)
    qtbot.addWidget(dialog)
    box = next(box for box in dialog.tools if box.text() == "Luggage scale")
    box.setChecked(True)
    dialog.people.setPlainText("Ada Quay\n\nŁukasz Żuraw\n")
    look.change(**dialog.chosen())
    look.take_up(window.session)
    assert window.session.tools == {"Luggage scale"}
    again = read_settings(tmp_path / "shop.json")
    assert again.people == ("Ada Quay", "Łukasz Żuraw")
    assert again.asked


def test_who_is_at_work_answers_and_signs(show, engine, qtbot, tmp_path: Path) -> None:
    journal, place = paths.journal_file(), paths.casebook_place()
    keeping = CaseKeeping(journal, place, engine.pack, (paths.rules_folder(), None))
    session = Session(engine.pack, engine.quick, keeping=keeping)
    look = Look(tmp_path / "shop.json")
    look.change(people=("Ada Quay", "Ben Slip"))
    window = MainWindow(session, look=look)
    qtbot.addWidget(window)
    window.show()
    machine = session.keeping.keeper.author
    window.show_home()
    button = next(b for b in window.home.findChildren(QPushButton) if b.menu() is not None)
    assert button.text() == "At work: choose who"
    next(a for a in button.menu().actions() if a.text() == "Ben Slip").trigger()
    assert button.text() == "At work: Ben Slip"
    assert session.keeping.keeper.author == "Ben Slip"
    assert read_settings(tmp_path / "shop.json").who == "Ben Slip"
    assert HandoverPapers(session, look.settings.people, who=look.settings.who).proposals()[
        "prepared_by"] == "Ben Slip"  # fmt: skip
    look.change(people=())
    look.take_up(session)
    assert session.keeping.keeper.author == machine
    keeping.stop()


def test_settings_that_cannot_be_used_are_told_with_their_place(tmp_path: Path) -> None:
    file = tmp_path / "shop.json"
    file.write_text('{"units": "metric",\n "tools": 7}', encoding="utf-8")
    with pytest.raises(BadInput, match="“tools” holds 7"):
        read_settings(file)
    file.write_text('{"units": "metric",\n oops}', encoding="utf-8")
    with pytest.raises(BadInput) as told:
        read_settings(file)
    assert told.value.faults[0].line == 2
    file.write_text(json.dumps({"paper": "A5"}), encoding="utf-8")
    with pytest.raises(BadInput, match="accepted: A4, Letter"):
        read_settings(file)
    assert read_settings(tmp_path / "none.json") == ShopSettings()


def test_the_window_opens_where_its_settings_are_broken(tmp_path: Path, monkeypatch) -> None:
    file = tmp_path / "shop.json"
    file.write_text("[]", encoding="utf-8")
    told: list[str] = []
    monkeypatch.setattr(dialogs, "show_faults", lambda _, heading, faults: told.extend(faults))
    assert look_of(file).settings == ShopSettings()
    assert "holds no settings" in told[0]


def test_settings_come_back_as_they_were_written(tmp_path: Path) -> None:
    file = tmp_path / "folder" / "shop.json"
    wanted = ShopSettings(name="Quay", people=("A", "B"), theme="dark", text=150).with_recent(
        tmp_path / "a.yaml"
    )
    write_settings(wanted, file)
    assert read_settings(file) == wanted


def test_help_has_its_pages_without_a_network(qtbot) -> None:
    dialog = HelpDialog()
    qtbot.addWidget(dialog)
    assert "Hazards" in dialog.text.toPlainText()
    qtbot.mouseClick(dialog.buttons[1], LEFT)
    assert "hold probability" in dialog.text.toPlainText().lower()


@pytest.mark.qt_log_ignore("This plugin does not support propagateSizeHints")
@pytest.mark.parametrize("name", theme.THEMES)
def test_help_and_fields_stand_on_the_ground_of_their_theme(
    name: str, show, qtbot, qapp: QApplication
) -> None:
    """What the style sheet forgets stays white, with light words on it in the dark theme."""
    window = show()
    window.look.change(theme=name)
    window.dress_anew()
    invoice = InvoiceDialog(Proposed("Armrest", "It holds.", (), None, System.METRIC), window)
    for dialog, part in ((HelpDialog(window), "text"), (invoice, "day"), (invoice, "customer")):
        qtbot.addWidget(dialog)
        dialog.show()
        qapp.processEvents()
        shot = getattr(dialog, part).grab().toImage()
        seen = Counter(shot.pixelColor(x, y).name() for x in range(8, shot.width() - 20, 3)
                       for y in range(8, shot.height() - 8, 2))  # fmt: skip
        assert seen.most_common(1)[0][0] == theme.PAPER, part


def test_no_dialog_is_larger_than_a_small_window(show, engine, qtbot) -> None:
    window = show()
    window.resize(1024, 600)
    proposed = Proposed("Armrest", "It holds.", (), None, System.METRIC)
    shop = ShopDialog(Look(), tools_asked_for(engine.pack), lambda: None, window)
    for dialog in (HelpDialog(window), InvoiceDialog(proposed, window), shop):
        qtbot.addWidget(dialog)
        dialog.ensurePolished()
        asked = dialog.size().expandedTo(dialog.minimumSizeHint())
        assert asked.width() <= 1024 and asked.height() <= 600, type(dialog).__name__


def test_columns_of_the_home_stand_under_one_another_where_text_is_large(show, qapp) -> None:
    window = show()
    window.resize(1280, 800)
    window.look.change(text=200)
    window.dress_anew()
    window.show_home()
    for _ in range(5):
        qapp.processEvents()
    home = window.home
    assert home is not None
    assert home.inside.width() <= home.viewport().width(), "nothing is cut at the right"


def test_before_there_is_a_method_the_section_has_all_the_room(show, qtbot, qapp) -> None:
    window = show()
    window.side.make()
    qapp.processEvents()
    assert window.picture.section.isVisible()
    assert not window.picture.bars.isVisible()
    assert window.top.title.text() == "New case"
