"""The window with the rules that ship, on the demo cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtWidgets import QApplication, QPushButton

from advisor import paths
from advisor.advice.result import Verdict
from advisor.drawing.section_layers import layers_of
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.facts.declaration import FactDecl
from advisor.facts.quantity import System
from advisor.gui.app import Engine
from advisor.gui.verdict.verdict_page import VerdictPage
from advisor.gui.widgets import dialogs
from advisor.gui.widgets.answers.choice_answers import ChoiceAnswer, YesNoAnswer
from advisor.gui.widgets.answers.typed_answers import AmountAnswer
from advisor.gui.window.main_window import MainWindow
from advisor.session.screens import HAZARD_PAGE, JOB_SHEET, METHOD_PAGE, Tab, open_gates
from tests.gui.window.test_look import clipped
from tests.gui.window.test_pages import shown_text

DEMOS = sorted(path.stem for path in paths.demo_folder().glob("*.yaml"))
LEFT = Qt.MouseButton.LeftButton


def demo(engine: Engine, name: str) -> Case:
    """A demo case."""
    return read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)


def give_as_a_person(window: MainWindow, qtbot, fact: FactDecl, case: Case) -> None:
    """Answer the question on the card with what ``case`` says, by keys and clicks."""
    answer, value = window.card.answer, case.facts[fact.name]
    if isinstance(answer, ChoiceAnswer):
        assert isinstance(value, tuple)
        qtbot.mouseClick(next(b for b in answer.buttons if b.key == value[0]), LEFT)
    elif isinstance(answer, YesNoAnswer):
        qtbot.keyClick(window.focusWidget(), Qt.Key.Key_Y if value else Qt.Key.Key_N)
    else:
        assert isinstance(answer, AmountAnswer)
        qtbot.keyClicks(answer.line, value.written)  # type: ignore[union-attr]
        qtbot.keyClick(answer.line, Qt.Key.Key_Return)


def clear_the_hazards(window: MainWindow, qtbot, case: Case) -> None:
    """Answer every row of the page with what ``case`` says, by clicks."""
    page = window.hazards
    assert page is not None
    for row in list(page.rows):
        value = case.facts[row.fact.name]
        key = value[0] if isinstance(value, tuple) else "yes" if value else "no"
        qtbot.mouseClick(next(b for b in row.options.buttons if b.key == key), LEFT)
    qtbot.mouseClick(window.next, LEFT)


def every_question(window: MainWindow, case: Case) -> Iterator[str]:
    """Every screen with a question that the case answers, as answers bring them up."""
    seen: set[str] = set()
    while True:
        keys = [e.key for e in window.navigator.order if e.key not in seen and (
            e.key == HAZARD_PAGE or (e.key in case.facts and not (e.fact and e.fact.gate)))]
        if not keys:
            return
        seen.add(keys[0])
        yield keys[0]


def test_a_whole_interview_leads_to_the_verdict_of_the_case_file(
    show, engine: Engine, qtbot, tmp_path: Path
) -> None:
    """By hand through every question of the demo case; the rest is left open."""
    case = demo(engine, "split_armrest")
    autosave = tmp_path / "autosave-real-1.yaml"
    window = show(autosave=autosave)
    for key in every_question(window, case):
        window.navigator.go(key)
        entry = window.navigator.entry
        if entry.key == HAZARD_PAGE:
            clear_the_hazards(window, qtbot, case)
        elif entry.fact is not None and entry.key in case.facts:
            give_as_a_person(window, qtbot, entry.fact, case)
    assert window.session.case.facts == case.facts
    assert read_case(autosave, engine.pack.facts).facts == case.facts
    assert window.session.advice.verdict is Verdict.PLAN
    assert window.session.advice.plan is not None
    assert window.session.advice.plan.lead in ("hand_stitch", "machine_restitch")
    glue = next(r for r in window.picture.bars.rows if r.method.method == "adhesive_bond")
    assert glue.accessibleName().endswith(": fails")
    assert " > " in glue.under


@pytest.mark.parametrize("name", DEMOS)
def test_every_demo_case_opens_on_every_stage(
    show, engine: Engine, qtbot, name: str
) -> None:
    """Nothing is cut once it is laid out; an advice from more simulated cases may fill it anew."""
    window = show(demo(engine, name))
    for system in System:
        window.session.system = system
        window.navigator.refresh()
        for tab in Tab:
            window.go_tab(tab)
            _fits(window, qtbot)
        for tab in (METHOD_PAGE, JOB_SHEET):
            window.navigator.go(tab)
            _fits(window, qtbot)


def _fits(window: MainWindow, qtbot) -> None:
    def uncut() -> None:
        assert clipped(window) == []

    qtbot.waitUntil(uncut, timeout=5000)


@pytest.mark.parametrize("size", [(1024, 700), (800, 1100), (760, 620)])
def test_every_question_of_the_rules_fits_the_card(
    show, engine: Engine, qapp: QApplication, size
) -> None:
    window = show()
    window.resize(*size)
    for fact in engine.pack.facts.values():
        entry = next((e for e in window.navigator.order if e.key == fact.name), None)
        if entry is None:
            continue
        window.navigator.go(entry.key)
        for _ in range(3):
            qapp.processEvents()
        assert clipped(window.card) == [], entry.key


def test_what_would_change_the_choice_follows_at_once(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "split_armrest"))
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert "Being calculated..." in shown_text(page)
    qtbot.waitUntil(lambda: "Being calculated..." not in shown_text(page))
    flips = window.session.full_advice.flips
    assert flips
    assert flips[0].text.rstrip(".") in shown_text(page)


def test_a_stage_with_nothing_to_ask_says_so(show, engine: Engine, qtbot) -> None:
    roof = demo(engine, "cracked_panel").with_fact("part.kind", ("folding_roof",))
    roof = roof.with_fact("damage.kind", ("tear",)).without("skin.material")
    window = show(roof)
    button = window.stages.buttons[Tab.HAZARDS]
    assert not any(entry.tab is Tab.HAZARDS for entry in window.navigator.order)
    assert button.accessibleName() == "Hazards, none here"
    assert not button.isEnabled()
    window.go_tab(Tab.HAZARDS)
    assert window.navigator.entry.tab is Tab.DETAILS


def test_a_hazard_in_the_section_withholds_the_plan(show, engine: Engine) -> None:
    window = show(demo(engine, "airbag_seam"))
    window.navigator.go("part.kind")
    assert window.alarm.isVisible()
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.headline.text().startswith("Stop: refer this job.")
    assert "EUR" not in shown_text(page)
    window.navigator.go(JOB_SHEET)
    assert "No steps are shown." in shown_text(window.pages[JOB_SHEET])


def test_an_open_hazard_question_is_asked_before_anything_else(show, engine: Engine) -> None:
    case = demo(engine, "split_armrest").without("gate.airbag")
    window = show(case)
    assert window.matters.heading.text() == "A hazard question is open. It comes before any plan."
    assert window.matters.buttons[0].text().startswith("Hazard: ")
    window.navigator.go(METHOD_PAGE)
    page = window.pages[METHOD_PAGE]
    assert isinstance(page, VerdictPage)
    assert page.question.text().startswith("Answer the hazard question: ")


@pytest.mark.parametrize("name", ["split_armrest", "unknown_split"])
def test_all_answers_to_the_airbag_question_are_in_sight_on_a_tablet(
    show, engine: Engine, qapp: QApplication, name: str
) -> None:
    window = show(demo(engine, name).without("gate.airbag"))
    window.resize(800, 1100)
    window.navigator.go("gate.airbag")
    for _ in range(5):
        qapp.processEvents()
    assert isinstance(window.card.answer, ChoiceAnswer)
    view = window.card.area.viewport()
    for found in window.card.answer.buttons:
        place = QRect(found.mapTo(view, QPoint(0, 0)), found.size())
        assert view.rect().contains(place), found.title
    assert window.card.area.verticalScrollBar().maximum() == 0


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("ending", [".pdf", ".txt"])
def test_every_demo_case_can_be_exported(
    show, engine: Engine, monkeypatch, tmp_path: Path, name: str, ending: str
) -> None:
    path = tmp_path / f"{name}{ending}"
    monkeypatch.setattr(dialogs, "ask_export", lambda parent, proposed: path)
    monkeypatch.setattr(dialogs, "open_written", lambda parent, path: None)
    monkeypatch.setattr(dialogs, "show_faults", lambda p, head, faults: pytest.fail(head))
    window = show(demo(engine, name))
    window.actions_by_key()["Ctrl+E"].trigger()
    assert path.stat().st_size > 1000


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("split_armrest", {"stitched": True, "foam_state": "sound", "site": "skin"}),
        ("armrest_crumbled_foam", {"foam_state": "crumbled"}),
        ("fallen_headlining", {"hanging": True, "site": "lining"}),
        ("cracked_panel", {"carrier_state": "cracked", "site": "carrier"}),
        ("broken_boss", {"fixing_broken": True, "site": "fixing"}),
        ("lifted_dash_edge", {"edge_lifted": True, "site": "edge"}),
    ],
)
def test_the_section_shows_what_the_case_tells(
    engine: Engine, name: str, drawn: dict[str, object]
) -> None:
    layers = layers_of(engine.quick(demo(engine, name), engine.pack).advice, engine.pack)
    assert {key: getattr(layers, key) for key in drawn} == drawn


def test_all_buttons_of_the_strip_lead_somewhere(show, engine: Engine, qtbot) -> None:
    window = show(demo(engine, "unknown_split"))
    shown = [b for b in window.matters.findChildren(QPushButton) if b.isVisible() and not b.menu()]
    assert shown
    for button in shown:
        if button.isVisible():
            text = button.text()
            qtbot.mouseClick(button, LEFT)
            if window.hazards is None:
                assert window.card.now.isVisible()
            else:
                row = window.hazards.current
                assert row is not None
                still = open_gates(window.navigator.order, window.session.case)
                assert text == f"Hazards: {len(still)} open"
                window.navigator.go("damage.length")


def test_before_the_part_is_known_no_hazard_is_ruled_out(show, qtbot) -> None:
    window = show()
    button = window.stages.buttons[Tab.HAZARDS]
    assert button.accessibleName() == "Hazards, not known yet"
    for _ in ("the vehicle", "the part"):
        assert button.accessibleName() == "Hazards, not known yet"
        assert isinstance(window.card.answer, ChoiceAnswer)
        qtbot.mouseClick(window.card.answer.buttons[0], LEFT)
    assert "answered" in button.accessibleName()


def test_the_picture_follows_the_first_question_by_itself(show, qtbot) -> None:
    window = show()
    qtbot.waitUntil(lambda: window.side.made)
    qtbot.waitUntil(lambda: window.picture.section.isVisible())
