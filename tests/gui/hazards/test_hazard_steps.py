"""The way over the hazard questions, with rules of our own making."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType

import pytest
from PySide6.QtCore import QPoint, QRect, Qt

from advisor.advice.result import Advice, GateAdvice, GateState
from advisor.facts.case import Case
from advisor.facts.declaration import FactDecl, Kind, Stage
from advisor.gui import theme
from advisor.gui.hazards.hazard_badge import UNCERTAIN, standing_of
from advisor.gui.window.main_window import MainWindow
from advisor.session.case_session import Session
from advisor.session.hazard_screens import next_gate, screen_for
from advisor.session.screens import HAZARD_PAGE, METHOD_PAGE, Tab, entries, first_of
from tests.gui.hazards.page_actions import click, laid_out, press, row_of, still_open, to_hazards
from tests.gui.window.test_look import clipped
from tests.unit.session.small_pack import (
    FACTS,
    PRACTICE,
    SmallPack,
    options,
    small_advise,
    without_working,
)

LONG = "with its bolts, brackets, cables, connectors, sensors and whatever else is behind it "
HEATER = FactDecl(
    "hazard.heater", Kind.CHOICE, Stage.HAZARDS, "Heater", "Is there a heater in it?",
    "Look for a plug.", options(("here", "Yes, here", ""), ("near", "Near", "Elsewhere in it"),
                                ("none", "No", "")), gate=True,
)  # fmt: skip
WORDY = FactDecl(
    "hazard.wordy", Kind.CHOICE, Stage.HAZARDS, "A hazard with a long name " + LONG,
    f"Is there anything {LONG * 4}in this section?", f"Look {LONG * 5}.",
    options(*((f"o{i}", f"Answer {i} {LONG}", LONG * i) for i in range(1, 6))), gate=True,
)  # fmt: skip
LATE = FactDecl(
    "hazard.late", Kind.YES_NO, Stage.HAZARDS, "Late", "Is it wired?", "Look.", gate=True,
)  # fmt: skip


@dataclass(frozen=True)
class HazardPack(SmallPack):
    """The airbag of the small pack, and as many more; *late* follows a heater nearby."""

    more: tuple[FactDecl, ...] = (HEATER, WORDY)
    lost: bool = False
    """Whether an airbag takes every hazard question away, itself too."""

    @property
    def facts(self) -> MappingProxyType[str, FactDecl]:  # type: ignore[override]
        """The facts of the small pack and the hazards."""
        return MappingProxyType({fact.name: fact for fact in (*FACTS, *self.more, LATE)})

    def asked(self, case: Case) -> tuple[FactDecl, ...]:
        """What applies."""
        if self.lost and case.facts.get("hazard.airbag"):
            return tuple(fact for fact in FACTS if not fact.gate)
        late = (LATE,) if case.choice("hazard.heater") == "near" else ()
        return (*super().asked(case), *self.more, *late)


def advise(case: Case, pack: HazardPack) -> Advice:
    """The small advice with a gate for every hazard asked."""
    advice = small_advise(case, pack)
    found = list(advice.gates)
    for fact in pack.asked(case):
        if fact.gate and fact.name != "hazard.airbag":
            open_ = fact.name not in case.facts
            closed = case.choice(fact.name) in ("here", "o5")
            state = GateState.OPEN if open_ else GateState.CLOSED if closed else GateState.CLEAR
            found.append(GateAdvice(fact.name, fact.name, fact.title, state,
                                    f"Refer it {LONG * 4}", PRACTICE))  # fmt: skip
    return replace(advice, gates=tuple(found))


@pytest.fixture
def opened(open_window, autosave) -> Callable[..., MainWindow]:
    """Opens a window under hazard rules."""

    def made(pack: HazardPack, case: Case | None = None) -> MainWindow:
        return open_window(Session(pack, without_working(advise), autosave=autosave, case=case))  # type: ignore[no-any-return]

    return made


EMPTY = Case("HB-1")
PACK = HazardPack()
AIRBAG_, HEATER_, WORDY_ = "hazard.airbag", "hazard.heater", "hazard.wordy"


def test_the_stage_opens_on_the_page_or_on_the_card_by_what_is_open() -> None:
    def start(case: Case, pack: HazardPack = PACK) -> str:
        return first_of(entries(pack, case), Tab.HAZARDS, case, {HEATER_, WORDY_})

    assert start(EMPTY) == HAZARD_PAGE
    two = EMPTY.with_fact(AIRBAG_, False)
    assert start(two) == HAZARD_PAGE
    one = two.with_fact(HEATER_, ("none",))
    assert start(one) == WORDY_, "a hazard is asked though it was left open"
    assert start(one.with_fact(WORDY_, ("o1",))) == HAZARD_PAGE
    alone = HazardPack(more=())
    assert start(EMPTY, alone) == AIRBAG_
    assert start(EMPTY.with_fact(AIRBAG_, False), alone) == AIRBAG_


def test_the_next_open_question_is_below_or_else_the_first() -> None:
    order = entries(PACK, EMPTY)
    assert next_gate(order, EMPTY) == AIRBAG_
    assert next_gate(order, EMPTY, HEATER_) == WORDY_
    assert next_gate(order, EMPTY, WORDY_) == AIRBAG_
    done = EMPTY.with_fact(AIRBAG_, False).with_fact(HEATER_, ("none",))
    assert next_gate(order, done, AIRBAG_) == WORDY_
    assert next_gate(order, done.with_fact(WORDY_, ("o1",)), AIRBAG_) == ""


def test_only_an_open_hazard_among_others_is_asked_on_the_page() -> None:
    order = entries(PACK, EMPTY)
    assert screen_for(order, EMPTY, HEATER_) == HAZARD_PAGE
    assert screen_for(order, EMPTY, "damage.gap") == "damage.gap"
    told = EMPTY.with_fact(HEATER_, ("none",))
    assert screen_for(order, told, HEATER_) == HEATER_
    assert screen_for(order, told.with_fact(AIRBAG_, False), WORDY_) == WORDY_


def gate(state: GateState, text: str) -> GateAdvice:
    """A gate that stands like this."""
    return GateAdvice("g", HEATER_, "Heater", state, text, PRACTICE)


def test_the_worst_of_several_gates_on_one_question_is_shown() -> None:
    clear, care = gate(GateState.CLEAR, ""), gate(GateState.CAUTION, "Mind the wire")
    stop, other = gate(GateState.CLOSED, "Refer it"), gate(GateState.CLOSED, "Stop, keep out")
    metric = Session(PACK, without_working(advise)).system
    said = standing_of((clear, care), ("near",), metric)
    assert (said.state, said.said) == (GateState.CAUTION, "Mind the wire.")
    said = standing_of((clear, stop, care), ("here",), metric)
    assert (said.state, said.said) == (GateState.CLOSED, "Stop. Refer it.")
    assert standing_of((other,), ("here",), metric).said == "Stop, keep out."
    unsure = gate(GateState.OPEN, "Is there a heater in it?")
    assert standing_of((unsure,), None, metric).said == ""
    assert standing_of((unsure,), ("here", "none"), metric).said == UNCERTAIN
    assert standing_of((), None, metric).state is GateState.OPEN


def test_a_question_that_an_answer_brings_up_gets_its_row(opened, qtbot) -> None:
    window = opened(HazardPack())
    page = to_hazards(window, qtbot)
    names = [row.fact.name for row in page.rows]
    assert names == [AIRBAG_, HEATER_, WORDY_]
    kept = list(page.rows)
    click(page, qtbot, HEATER_, "near")
    assert [row.fact.name for row in page.rows] == [*names, LATE.name]
    assert page.rows[:3] == kept
    assert page.current is row_of(page, WORDY_)
    assert "1 of 4" in window.stages.buttons[Tab.HAZARDS].accessibleName()
    press(window, qtbot, Qt.Key.Key_Down, Qt.Key.Key_N)
    assert window.session.case.facts[LATE.name] is False
    qtbot.mouseClick(window.undo, Qt.MouseButton.LeftButton)
    qtbot.mouseClick(window.undo, Qt.MouseButton.LeftButton)
    laid_out()
    assert [row.fact.name for row in page.rows] == names
    assert len(still_open(page)) == 3
    assert page.current is row_of(page, HEATER_)


def test_before_anything_is_answered_all_stand_open(opened, qtbot) -> None:
    window = opened(HazardPack())
    page = to_hazards(window, qtbot)
    assert not window.session.begun
    assert {row.mark.text for row in page.rows} == {"open"}
    press(window, qtbot, Qt.Key.Key_N)
    assert window.session.begun
    assert row_of(page, AIRBAG_).mark.text == "clear"


def test_when_no_hazard_is_left_the_window_goes_on(opened, qtbot) -> None:
    window = opened(HazardPack(lost=True))
    page = to_hazards(window, qtbot)
    click(page, qtbot, AIRBAG_, "yes")
    assert window.navigator.entry.tab is Tab.DETAILS
    assert window.card.isVisible()
    assert not window.stages.buttons[Tab.HAZARDS].isEnabled()
    qtbot.mouseClick(window.undo, Qt.MouseButton.LeftButton)
    laid_out()
    assert window.navigator.screen == HAZARD_PAGE
    assert page.current is row_of(page, AIRBAG_)


def test_one_hazard_alone_keeps_its_card(opened, qtbot) -> None:
    window = opened(HazardPack(more=()))
    window.navigator.answer("part.kind", ("armrest",))
    window.navigator.go("damage.kind")
    qtbot.mouseClick(window.next, Qt.MouseButton.LeftButton)
    assert window.navigator.screen == AIRBAG_
    press(window, qtbot, Qt.Key.Key_N)
    assert window.navigator.entry.tab is not Tab.HAZARDS
    qtbot.mouseClick(window.back, Qt.MouseButton.LeftButton)
    assert window.navigator.screen == AIRBAG_
    qtbot.mouseClick(window.back, Qt.MouseButton.LeftButton)
    assert window.navigator.screen == "damage.kind"
    assert HAZARD_PAGE not in window.pages


def test_the_page_is_not_made_before_it_is_shown(opened) -> None:
    window = opened(HazardPack())
    window.navigator.go("damage.gap")
    window.navigator.go(METHOD_PAGE)
    assert HAZARD_PAGE not in window.pages


@pytest.mark.parametrize("size", [(1024, 600), (1280, 800), (800, 1100), (760, 620)])
def test_long_words_are_not_cut(opened, qtbot, size) -> None:
    window = opened(HazardPack(), EMPTY.with_fact("part.kind", ("armrest",)))
    window.resize(*size)
    page = to_hazards(window, qtbot)
    click(page, qtbot, WORDY_, "o5")
    row = row_of(page, WORDY_)
    qtbot.mouseClick(row.more, Qt.MouseButton.LeftButton)
    laid_out()
    assert page.stop.isVisible()
    assert clipped(page) == []
    assert row.width() <= page.area.viewport().width()
    for button in row.options.buttons:
        assert button.height() >= max(theme.TARGET, button.heightForWidth(button.width()))
        assert button.width() >= button.least_width
        assert QRect(QPoint(0, 0), row.options.size()).contains(button.geometry())
    places = [button.geometry() for button in row.options.buttons]
    assert not any(a.intersects(b) for i, a in enumerate(places) for b in places[i + 1 :])
