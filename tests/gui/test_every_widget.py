"""Every page, dialog and answer has what its base leaves to it: Qt does not check that."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator

import pytest

import advisor.gui
from advisor.gui.practice.round_panels import StepPanel
from advisor.gui.widgets.answers.answer_base import Answer
from advisor.gui.widgets.cards_dialog import CardsDialog
from advisor.gui.widgets.form_dialog import FormDialog
from advisor.gui.widgets.page import Page

for _module in pkgutil.walk_packages(advisor.gui.__path__, "advisor.gui."):
    importlib.import_module(_module.name)

LEFT_OPEN = {
    Answer: ("show_answer",), Page: ("redraw",), FormDialog: ("take", "changed"),
    CardsDialog: ("redraw",), StepPanel: ("fill", "leave"),
}  # fmt: skip


def kinds(base: type) -> Iterator[type]:
    """All classes below ``base`` that nothing else is built upon."""
    for kind in base.__subclasses__():
        if kind.__subclasses__():
            yield from kinds(kind)
        else:
            yield kind


@pytest.mark.parametrize("base", LEFT_OPEN, ids=lambda base: base.__name__)
def test_nothing_is_left_open(base: type) -> None:
    found = list(kinds(base))
    assert len(found) >= 2
    for kind in found:
        for name in LEFT_OPEN[base]:
            assert getattr(kind, name) is not getattr(base, name), f"{kind.__name__}.{name}"
