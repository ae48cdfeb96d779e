"""Sentences with quantities in them follow the units that the window shows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from advisor.advice.result import Advice, Amount, Flip
from advisor.facts.case import Case, Span
from advisor.facts.declare import FactDecl
from advisor.gui.app import Engine
from advisor.gui.interview import METHOD_PAGE
from advisor.gui.main_window import MainWindow
from advisor.gui.method_page import MethodPage
from advisor.gui.session import Session
from tests.gui.bench import BenchPack, bench_advise, question
from tests.gui.test_real_pack import demo
from tests.gui.test_trial import opened, started
from tests.gui.test_window_interview import press
from tests.gui.test_window_pages import shown_text

WIDER = Amount(9.0, None, "length")
NARROWER = Amount(None, 25.4, "length")
FLIP = Flip(
    "damage.gap", "Gap at rest", "4 mm", WIDER.words(), "adhesive_bond", "", Span(10.0, 10.0),
    "mm", "Glue the lips together", Span(4.0, 4.0, "4 mm"), WIDER,
)  # fmt: skip


def with_quantities(case: Case, pack: BenchPack) -> Advice:
    """The bench advice with a question and a flip about lengths."""
    asked = replace(question(pack.facts["damage.length"], f"If {NARROWER.words()}: glue as well"),
                    amount=NARROWER)  # fmt: skip
    return replace(bench_advise(case, pack), ask=(asked,), flips=(FLIP,))


class Measured(BenchPack):
    """The bench pack with lengths in the words of a question."""

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """The same facts."""
        words = {"ask": "How long is it, along a 50 mm bar?", "how": "Within 0.5 mm."}
        facts = super().asked(case)
        return tuple(replace(f, **words) if f.name == "damage.length" else f for f in facts)


@pytest.fixture
def window(open_window) -> MainWindow:
    case = started(damage_gap=Span(4.0, 4.0, "4 mm"))
    return open_window(Session(Measured(), with_quantities, case=case))


def switch(window: MainWindow) -> None:
    window.actions_by_key()["Ctrl+U"].trigger()


def test_a_flip_follows_the_units_and_is_tried_in_them(window: MainWindow, qtbot) -> None:
    window.hub.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, MethodPage)
    said = "If “gap at rest” were “over {}” instead of “{}”: glue the lips together would lead."
    assert said.format("9 mm", "4 mm") in shown_text(page)
    switch(window)
    assert said.format("0.35 in", "0.157 in") in shown_text(page)
    assert page.tries[0].accessibleName() == "Try it: Gap at rest, over 0.35 in"
    page.tries[0].setFocus()
    press(window, qtbot, Qt.Key.Key_Space)
    assert window.trial is not None
    assert "Tried: 0.394 in" in shown_text(window.trial)
    switch(window)
    assert "Tried: 10 mm" in shown_text(window.trial)


def test_what_a_question_settles_follows_the_units(window: MainWindow) -> None:
    window.hub.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert "If under 25 mm: glue as well." in shown_text(page)
    switch(window)
    assert "If under 1 in: glue as well." in shown_text(page)
    window.hub.go("damage.length")
    assert "Matters most now. If under 1 in: glue as well" in shown_text(window.card)


def test_the_strip_of_what_matters_follows_the_units(window: MainWindow) -> None:
    window.hub.go("skin.material")
    strip = window.matters
    assert "if under 25 mm: glue as well." in strip.why.text()
    assert strip.buttons[0].toolTip() == "If under 25 mm: glue as well"
    switch(window)
    assert "if under 1 in: glue as well." in strip.why.text()
    assert strip.buttons[0].toolTip() == "If under 1 in: glue as well"


def test_a_question_tells_its_measures_in_both_units(window: MainWindow) -> None:
    window.hub.go("damage.length")
    assert "How long is it, along a 50 mm bar?" in shown_text(window.card)
    switch(window)
    text = shown_text(window.card)
    assert "How long is it, along a 50 mm (1.97 in) bar?" in text
    assert "Within 0.5 mm (0.0197 in)." in text


def test_a_tried_question_does_so_too(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "split_armrest"))
    trial = opened(window, qtbot, "damage.closing_pull")
    assert "over a 50 mm bar?" in shown_text(trial)
    switch(window)
    assert "over a 50 mm (1.97 in) bar?" in shown_text(trial)
