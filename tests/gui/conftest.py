"""Windows for the tests: off screen, with the bundled font, none left behind."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine, load_engine, prepare
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder
from advisor.session.case_session import Session
from advisor.session.screens import JOB_SHEET
from tests.remembered import remembered, steps_remembered
from tests.unit.session.conftest import autosave, session

__all__ = ["autosave", "session"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What Qt warns of fails the test; said here, so that all else runs without pytest-qt."""
    for item in items:
        if item.path.is_relative_to(Path(__file__).parent):
            item.add_marker(pytest.mark.qt_log_level_fail("WARNING"))


@pytest.fixture(autouse=True)
def fonts(qapp: QApplication) -> None:
    """Text sizes as in the program."""
    prepare(qapp)


@pytest.fixture(autouse=True)
def none_left(qapp: QApplication) -> Iterator[None]:
    """No window outlives its test."""
    yield
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.collect()
    gc.freeze()  # what this test left behind (caches, the rules) is not looked through again
    left = [widget for widget in qapp.topLevelWidgets() if widget.isVisible()]
    assert not left, f"windows left open: {left}"


@pytest.fixture
def open_window(qtbot) -> Callable[[Session], MainWindow]:
    """Opens windows and holds them: a window that only a local name holds vanishes."""
    held: list[MainWindow] = []

    def opened(session: Session) -> MainWindow:
        found = MainWindow(session)
        held.append(found)
        qtbot.addWidget(found, before_close_func=settle)
        found.resize(1280, 800)
        found.show()
        qtbot.waitExposed(found)
        return found

    return opened


@pytest.fixture
def window(session: Session, open_window: Callable[[Session], MainWindow]) -> MainWindow:
    """The window with an empty case."""
    return open_window(session)


def settle(window: MainWindow) -> None:
    """Call the case saved, so that closing asks nothing."""
    window.commit()
    window.session._saved = window.session.case


@pytest.fixture(scope="session")
def engine() -> Engine:
    """The shipped rules and the advisor, which works every case out only once."""
    found = load_engine(None)
    return replace(
        found, quick=remembered(found.quick), full=steps_remembered(found.full)
    )


@pytest.fixture
def show(engine: Engine, open_window):
    """Opens a window with a case under the shipped rules."""

    def opened(case: Case | None = None, autosave: Path | None = None) -> MainWindow:
        session = Session(
            engine.pack, engine.quick, autosave=autosave, case=case, advise_fully=engine.full,
            advise_thoroughly=engine.thorough,
        )
        return open_window(session)

    return opened


@pytest.fixture
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An overlay, prices and kept measures of the test's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


@pytest.fixture
def at_job(  # type: ignore[no-untyped-def]
    own_folders: None, show: Callable[[Case], MainWindow], engine: Engine, qapp: QApplication,
    qtbot,
) -> Callable[[str], MainWindow]:  # fmt: skip
    """Opens a demo case on its Job stage, and lets everything come to rest."""

    def opened(name: str) -> MainWindow:
        window = show(read_case(demo_folder() / f"{name}.yaml", engine.pack.facts))
        window.navigator.go(JOB_SHEET)
        # More simulated cases may bring another plan up where two come out nearly alike.
        qtbot.waitUntil(lambda: window.session.thorough.case is None, timeout=20_000)
        for _ in range(6):
            qapp.processEvents()
        qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        return window

    return opened
