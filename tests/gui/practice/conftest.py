"""A window at the place of practice, with nobody's learners."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtWidgets import QApplication

from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from advisor.gui.practice.practice_place import PracticePlace
from advisor.gui.window.main_window import MainWindow
from advisor.paths import demo_folder


@pytest.fixture
def armrest(engine: Engine) -> Case:
    """A seam of an armrest in a shuttle bus."""
    return read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)


@pytest.fixture
def practised(
    own_folders: None, show: Callable[..., MainWindow], armrest: Case, qapp: QApplication
) -> MainWindow:
    """The window at the place of practice, a case in it."""
    window = show(armrest)
    window.actions_by_key()["Ctrl+R"].trigger()
    for _ in range(4):
        qapp.processEvents()
    assert isinstance(window.practice, PracticePlace)
    assert window.practice.isVisible()
    return window
