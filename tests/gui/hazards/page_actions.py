"""What the tests of the page of all hazard questions share."""

from __future__ import annotations

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QApplication

from advisor import paths
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.hazards.hazard_page import HazardPage
from advisor.gui.hazards.hazard_row import HazardRow
from advisor.gui.widgets.option_row import CompactOption
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import HAZARD_PAGE, Tab

LEFT = Qt.MouseButton.LeftButton
SEAT = "aircraft_no_station"
STATION, OPERATOR, AIRBAG, BELT = (
    "gate.aircraft_station", "gate.aircraft_operator", "gate.airbag", "gate.belt",
)


def with_open_hazards(engine: Engine, name: str) -> Case:
    """A demo case that nobody has been asked about hazards."""
    case = read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)
    for fact in [fact for fact in case.facts if engine.pack.facts[fact].gate]:
        case = case.without(fact)
    return case


def laid_out() -> None:
    """Everything in its place."""
    for _ in range(5):
        QApplication.processEvents()


def to_hazards(window: MainWindow, qtbot) -> HazardPage:
    """The page, reached by its stage."""
    qtbot.mouseClick(window.stages.buttons[Tab.HAZARDS], LEFT)
    laid_out()
    page = window.hazards
    assert page is not None
    assert window.navigator.screen == HAZARD_PAGE
    return page


def row_of(page: HazardPage, fact: str) -> HazardRow:
    """The row of a question."""
    return next(row for row in page.rows if row.fact.name == fact)


def option(page: HazardPage, fact: str, key: str) -> CompactOption:
    """The button of an answer."""
    return next(b for b in row_of(page, fact).options.buttons if b.key == key)


def click(page: HazardPage, qtbot, fact: str, key: str) -> None:
    """Answer by a click, on a button that can be seen."""
    button = option(page, fact, key)
    page.area.ensureWidgetVisible(button)
    laid_out()
    qtbot.mouseClick(button, LEFT)
    laid_out()


def press(window: MainWindow, qtbot, *keys: Qt.Key) -> None:
    """Press keys where the keyboard is."""
    for key in keys:
        qtbot.keyClick(window.focusWidget() or window, key)
        laid_out()


def screen_y(row: HazardRow) -> int:
    """Where a row's top stands on the screen, px."""
    return row.mapToGlobal(QPoint(0, 0)).y()


def in_sight(page: HazardPage, row: HazardRow) -> bool:
    """Whether all of a row is seen."""
    top = row.mapTo(page.area.viewport(), QPoint(0, 0)).y()
    return top >= 0 and top + row.height() <= page.area.viewport().height()


def still_open(page: HazardPage) -> list[str]:
    """Facts of the rows without an answer."""
    case = page.navigator.session.case
    return [row.fact.name for row in page.rows if row.fact.name not in case.facts]
