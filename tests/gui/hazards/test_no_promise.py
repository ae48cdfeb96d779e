"""While a hazard is open nothing in the window or on a paper promises that a repair holds."""

from __future__ import annotations

import re

import pytest
from PySide6.QtWidgets import QLabel

from advisor.facts.case_file import read_case
from advisor.gui.widgets.reasons_tree import summary_of
from advisor.paths import demo_folder
from advisor.report.rationale import build_rationale, rationale_text
from advisor.session.screens import HAZARD_PAGE, METHOD_PAGE
from advisor.wording.money import NO_TAX
from tests.gui.window.test_pages import shown_text

pytestmark = pytest.mark.usefixtures("own_folders")
PROMISE = re.compile(r"\bin \d+ of 100\b|\bholds\b", re.IGNORECASE)


@pytest.mark.parametrize("screen", [HAZARD_PAGE, METHOD_PAGE])
def test_the_picture_side_promises_nothing_and_says_why(engine, show, qapp, screen) -> None:
    case = read_case(demo_folder() / "split_armrest.yaml", engine.pack.facts)
    window = show(case)
    window.navigator.go(screen if screen != HAZARD_PAGE else METHOD_PAGE)
    bars = window.picture.bars
    assert any(PROMISE.search(f"{row.accessibleName()} {row.under}") for row in bars.rows)
    assert not bars.settled.text().startswith("None is promised")

    window = show(case.without("gate.airbag").without("gate.contamination"))
    window.navigator.go(screen)
    qapp.processEvents()
    bars = window.picture.bars
    assert bars.rows
    for row in bars.rows:
        assert not PROMISE.search(f"{row.accessibleName()} {row.accessibleDescription()}")
    assert bars.settled.text().startswith("None is promised to hold before these are cleared: ")
    assert "irbag" in bars.settled.text()
    advice = window.session.advice
    assert advice.open_hazards
    for method in advice.methods:
        lines = summary_of(method, advice.currency, NO_TAX, hazards_open=True)
        assert not any("Holds in" in line for line in lines)
    if screen == METHOD_PAGE:
        card = window.pages[METHOD_PAGE].card
        assert card.chip.state == "open" and not card.hold.isVisible()
        assert not re.search(r"holds in \d+ of 100", shown_text(window.pages[METHOD_PAGE]))
        assert all("holds in" not in one.text() for one in card.findChildren(QLabel))
    front = rationale_text(build_rationale(advice, window.session.case)).split("THE DETAILS")[0]
    assert "Not said before the hazards are cleared" in front
