"""Sentences with quantities in them follow the units that the window shows."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import Qt

from advisor.advice.result import Advice, Flip
from advisor.facts.case import Case, Span
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System
from advisor.gui.app import Engine
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets.answers.typed_answers import AmountAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.rulegraph.model.pack import RulePack
from advisor.session.answer_text import amount_hint, unit_hint
from advisor.session.case_graph import GraphScope
from advisor.session.case_session import Session
from advisor.session.screens import JOB_SHEET, METHOD_PAGE
from advisor.wording.amounts import Bounds
from advisor.wording.phrases import computed, filled, read_phrase
from tests.gui.questions.test_answering import press
from tests.gui.verdict.test_what_if import opened
from tests.gui.window.test_pages import shown_text
from tests.gui.window.test_shipped_rules import demo
from tests.unit.session.small_pack import (
    SmallPack,
    question,
    small_advise,
    started,
    without_working,
)

WIDER = Bounds(9.0, None, "length")
NARROWER = Bounds(None, 25.4, "length")
FLIP = Flip(
    "damage.gap", "Gap at rest", "4 mm", WIDER.words(), "adhesive_bond", "", Span(10.0, 10.0),
    "mm", "Glue the lips together", Span(4.0, 4.0, "4 mm"), WIDER,
)  # fmt: skip


def with_quantities(case: Case, pack: SmallPack) -> Advice:
    """The small advice with a question and a flip about lengths."""
    why = filled("If {}: glue as well", computed(NARROWER))
    asked = question(pack.facts["damage.length"], why)
    return replace(small_advise(case, pack), ask=(asked,), flips=(FLIP,))


class Measured(SmallPack):
    """The small pack with lengths in the words of a question."""

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """The same facts."""
        ask = read_phrase("How long is it, along a 50 mm bar?")
        words = {"ask": ask, "how": read_phrase("Within 0.5 mm.")}
        facts = super().asked(case)
        return tuple(replace(f, **words) if f.name == "damage.length" else f for f in facts)


@pytest.fixture
def window(open_window) -> MainWindow:
    case = started(damage_gap=Span(4.0, 4.0, "4 mm"))
    return open_window(Session(Measured(), without_working(with_quantities), case=case))


def switch(window: MainWindow) -> None:
    window.actions_by_key()["Ctrl+U"].trigger()


def test_a_flip_follows_the_units_and_is_tried_in_them(window: MainWindow, qtbot) -> None:
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    said = "If “gap at rest” were “over {}” instead of “{}”: glue the lips together would be best."
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
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert "If under 25 mm: glue as well." in shown_text(page)
    switch(window)
    assert "If under 1 in: glue as well." in shown_text(page)
    window.navigator.go("damage.length")
    assert "Matters most now. If under 1 in: glue as well" in shown_text(window.card)


def test_the_strip_of_what_matters_follows_the_units(window: MainWindow) -> None:
    window.navigator.go("skin.material")
    strip = window.matters
    assert "if under 25 mm: glue as well." in strip.why.text()
    assert strip.buttons[0].toolTip() == "If under 25 mm: glue as well"
    switch(window)
    assert "if under 1 in: glue as well." in strip.why.text()
    assert strip.buttons[0].toolTip() == "If under 1 in: glue as well"


PEAK = "place.peak_temperature"


def test_degrees_are_written_as_people_write_them(show, engine: Engine, qtbot) -> None:
    """The demo file says 62 degC; nobody at the window reads that."""
    window = show(demo(engine, "fallen_headlining"))
    assert window.session.case.facts[PEAK].written == "62 degC"
    window.navigator.go(PEAK)
    answer = window.card.answer
    assert isinstance(answer, AmountAnswer)
    assert answer.line.text() == "62 °C"
    assert answer.hint.text().startswith("Written like -5 °C, 23 °F. C or F alone will do.")
    # Looking at it changes nothing, and what is typed with a plain letter is taken.
    window.navigator.step(1)
    assert window.session.case.facts[PEAK].written == "62 degC"
    window.navigator.go(PEAK)
    line = window.card.answer.line  # type: ignore[union-attr]
    line.selectAll()
    qtbot.keyClicks(line, "70 C")
    press(window, qtbot, Qt.Key.Key_Return)
    assert window.session.case.facts[PEAK].low == 70.0
    window.navigator.go(PEAK)
    line = window.card.answer.line  # type: ignore[union-attr]
    line.selectAll()
    qtbot.keyClicks(line, "70 degx")
    press(window, qtbot, Qt.Key.Key_Return)
    fault = window.card.answer.fault.text()  # type: ignore[union-attr]
    assert "°C" in fault and "deg" not in fault


@pytest.mark.parametrize("system", list(System))
def test_no_figure_of_the_graph_says_degc(engine: Engine, system: System) -> None:
    case = demo(engine, "split_armrest")
    scope = GraphScope(case, engine.pack, engine.quick(case, engine.pack).advice, system)  # type: ignore[arg-type]
    for name in scope.everything()[0]:
        info = scope.info(name)
        told = " ".join((info.figure, scope.short_of(name), *info.lines))
        assert "deg" not in told.replace("degree", ""), told
    night = scope.figure_of("place.night_minimum")
    assert night.endswith("°C" if system is System.METRIC else "°F")


def test_no_sentence_of_the_rules_and_no_answer_in_words_says_degc(engine: Engine) -> None:
    pack = engine.pack
    assert isinstance(pack, RulePack)
    told = [step.text for method in pack.methods.values() for step in method.steps]
    told += [caution.text for caution in pack.cautions.values()]
    told += [text for fact in pack.facts.values() for text in (fact.title, fact.ask, fact.how)]
    told += [node.title + node.note for node in pack.nodes.values()]
    told += [source.title + source.note for source in pack.sources.values()]
    for name in ("fallen_headlining", "lifted_dash_edge"):
        advice = engine.quick(demo(engine, name), pack).advice
        told += [state.text for state in advice.facts]
        assert any(state.text.endswith(" °C") for state in advice.facts)
    assert [text for text in told if "degC" in text or "degF" in text] == []


def test_the_steps_tell_their_degrees_in_the_units_in_use(show, engine: Engine) -> None:
    window = show(demo(engine, "lifted_dash_edge"))
    window.navigator.go(JOB_SHEET)
    assert "below 60 °C by the thermometer" in shown_text(window.pages[JOB_SHEET])
    switch(window)
    assert "below 60 °C (140 °F) by the thermometer" in shown_text(window.pages[JOB_SHEET])


def test_the_example_of_a_temperature_is_one_that_occurs(engine: Engine) -> None:
    fact = engine.pack.facts[PEAK]
    assert amount_hint(fact, System.METRIC) == "for example 50 °C"
    assert "Not exact? Write 50 to 60 °C." in unit_hint(fact, System.METRIC)


def test_a_question_tells_its_measures_in_both_units(window: MainWindow) -> None:
    window.navigator.go("damage.length")
    assert "How long is it, along a 50 mm bar?" in shown_text(window.card)
    switch(window)
    text = shown_text(window.card)
    assert "How long is it, along a 50 mm (2 in) bar?" in text
    assert "Within 0.5 mm (0.02 in)." in text


def test_a_tried_question_does_so_too(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "split_armrest"))
    trial = opened(window, qtbot, "damage.closing_pull")
    assert "over a 50 mm bar?" in shown_text(trial)
    switch(window)
    assert "over a 50 mm (2 in) bar?" in shown_text(trial)
