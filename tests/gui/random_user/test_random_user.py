"""A person who tries everything: whatever is clicked, pressed and typed, the window holds.

``RANDOM_USER_SEEDS=300`` tries as many seeds instead of the few of the suite.
"""

from __future__ import annotations

import gc
import os
import random
from pathlib import Path

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from shiboken6 import isValid

from advisor import paths
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.window.main_window import MainWindow
from tests.gui.random_user.fresh_window import same_advice, strange_words
from tests.gui.random_user.person import RandomUser, settled
from tests.gui.random_user.random_cases import random_case
from tests.gui.random_user.window_checks import shown_in

SEEDS = int(os.environ.get("RANDOM_USER_SEEDS", "6"))
ACTIONS = 60
COMPARED = 12
"""After so many actions the window is held against a fresh one."""
SIZES = [(760, 600), (1280, 800), (800, 1100), (1600, 1000)]
# Without a screen there is nothing to raise and no keyboard to grab for a menu.
OFFSCREEN = r"This plugin does not support (raise\(\)|propagateSizeHints\(\)|grabbing the keyboard)"


@pytest.fixture(autouse=True)
def own_files(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Prices and measures of this test alone."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))


def start(engine: Engine, seed: int) -> Case | None:
    """An empty case, one of the demo cases, or one as far as somebody may have come."""
    rng, demos = random.Random(seed), sorted(paths.demo_folder().glob("*.yaml"))
    if seed % 3 == 0:
        return None
    return random_case(engine.pack, rng) if seed % 3 == 1 else (
        read_case(rng.choice(demos), engine.pack.facts)
    )


def opened(show, engine: Engine, seed: int, folder: Path) -> MainWindow:
    """The window with that case, in a size of the seed."""
    case = start(engine, seed)
    window = show(case, folder / "autosave-test-1.yaml")
    window.resize(*SIZES[seed % len(SIZES)])
    QTest.qWaitForWindowActive(window)
    if case is not None:
        window.navigator.restart()
    return window


def put_away(window: MainWindow) -> None:
    """No dialog and no thread outlives the test."""
    while (modal := QApplication.activeModalWidget()) is not None:
        modal.hide()
        modal.deleteLater()
        settled()
    window.session.thorough.stop()


@pytest.mark.qt_log_ignore(OFFSCREEN)
@pytest.mark.parametrize("seed", range(SEEDS))
def test_whatever_a_person_does_the_window_holds(
    show, engine: Engine, monkeypatch, tmp_path: Path, seed: int
) -> None:
    before = QLocale()
    QLocale.setDefault(QLocale("de_DE" if seed % 2 else "en_US"))
    window = opened(show, engine, seed, tmp_path)
    user = RandomUser(window, seed, tmp_path)
    user.stub_dialogs(monkeypatch)
    try:
        for number in range(1, ACTIONS + 1):
            found = user.act()
            if number % COMPARED == 0 and QApplication.activeModalWidget() is None:
                found += strange_words(window) + same_advice(window.session)
                settled()
            assert not found, "\n".join([*found, "after", user.tell()])
    finally:
        put_away(window)
        QLocale.setDefault(before)


@pytest.mark.qt_log_ignore(OFFSCREEN)
def test_the_window_does_not_grow(show, engine: Engine, tmp_path: Path, qapp) -> None:
    """Going round all screens, trials and the graph again and again leaves nothing behind."""
    window = opened(show, engine, 2, tmp_path)

    def once_round() -> int:
        for screen in [entry.key for entry in window.navigator.order]:
            window.navigator.go(screen)
            window.navigator.switch_units()
            settled(1)
        window.navigator.try_answer("damage.length")
        window.show_graph()
        window.navigator.go("part.kind")
        settled()
        return len(window.findChildren(QWidget))

    first = once_round()
    assert [once_round() for _ in range(2)] == [first] * 2


def test_python_objects_of_deleted_widgets_go(show, engine: Engine, tmp_path: Path) -> None:
    """``nextInFocusChain`` has each hold the next, and the binding end, but keep, them all."""
    window = opened(show, engine, 2, tmp_path)
    of_others = ended()
    for screen in [entry.key for entry in window.navigator.order][:25]:
        window.navigator.go(screen)
        settled()
        QTest.keyClick(window.focusWidget() or window, Qt.Key.Key_Tab)
        assert list(shown_in(window, QWidget)), screen
    left = [type(one).__name__ for one in ended() if all(one is not other for other in of_others)]
    assert left == []


def ended() -> list[QWidget]:
    """Python's objects of widgets that are no more."""
    gc.collect()
    return [one for one in gc.get_objects() if isinstance(one, QWidget) and not isValid(one)]
