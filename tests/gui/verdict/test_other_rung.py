"""A bar pressed on the verdict puts that method on the card, and one touch brings the best back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

from advisor.facts.case_file import read_case
from advisor.paths import demo_folder
from advisor.session.screens import METHOD_PAGE
from tests.gui.window.technician import settle
from tests.gui.window.test_look import clipped

pytestmark = pytest.mark.usefixtures("own_folders")


@pytest.mark.parametrize("by", ["mouse", "keys"])
def test_another_rung_swaps_the_card_and_back(engine, show, qtbot, by) -> None:
    window = show(read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts))
    window.navigator.go(METHOD_PAGE)
    settle()
    card, page = window.pages[METHOD_PAGE].card, window.pages[METHOD_PAGE]
    best = card.title.text()
    assert not page.best.isVisible()
    for name, state in (("recover_panel", "holds"), ("adhesive_bond", "fails"),
                        ("replace_part", "not possible")):  # fmt: skip
        window.picture.show_bars()
        row = next(r for r in window.picture.bars.rows if r.method.method == name)
        if by == "keys":
            row.setFocus()
            qtbot.keyClick(row, Qt.Key.Key_Space)
        else:
            qtbot.mouseClick(row, Qt.MouseButton.LeftButton)
        settle()
        assert card.title.text() == row.method.title
        assert card.chip.state == state
        assert "Not the choice here" in card.firm.text()
        assert card.price.isVisible() is (state == "holds")
        assert not clipped(page)
    assert window.session.advice.plan.lead == "hand_stitch"
    page.best.setFocus()
    qtbot.keyClick(page.best, Qt.Key.Key_Space)
    assert card.title.text() == best and not page.best.isVisible()
    assert card.price.isVisible() and card.chip.state == "holds"
