"""Ten typical jobs of the demo cases, counted in clicks and keys from an empty case."""

from __future__ import annotations

import re

import pytest

from advisor import paths
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.gui.app import Engine
from tests.gui.window.technician import Technician

#: The targets of the design: actions besides the hazards, which are a touch each.
TO_ADVICE, TO_STOP = 12, 6
STOP = "airbag_seam"
JOBS = (
    "split_armrest", "armrest_crumbled_foam", "aircraft_panel_station", "bound_carpet_edge",
    "brittle_bench", "broken_boss", "fallen_headlining", "lifted_dash_edge",
    "torn_deck_cushion", STOP,
)  # fmt: skip

#: What is asked, in the words of the page.
WORDS = {
    "vehicle.kind": "vehicle", "part.kind": "part", "damage.kind": "damage",
    "damage.hole_state": "holes", "damage.length": "length", "damage.count": "number",
    "access.back": "reach", "carrier.material": "plastic", "skin.feel": "feel of the skin",
    "fixing.kind": "what broke", "boss.failed": "how it failed", "wish.looks": "looks wanted",
}  # fmt: skip


def worked(name: str, engine: Engine, show, qtbot) -> Technician:
    """The job from an empty case to its verdict."""
    told = read_case(paths.demo_folder() / f"{name}.yaml", engine.pack.facts)
    window = show(Case(told.name))
    found = Technician(window, qtbot, told)
    found.work()
    return found


@pytest.mark.parametrize("name", JOBS)
def test_a_typical_job_takes_few_actions(name: str, engine: Engine, show, qtbot) -> None:
    done = worked(name, engine, show, qtbot)
    print(f"| {name} | {done.actions} | {done.hazards} | {', '.join(done.asked)} |")
    row = rf"^\| {name}(?:, a stop)? \| {done.actions} \| {done.hazards} \| (.+) \|$"
    page = (paths.docs_folder() / "window.md").read_text("utf-8")
    found = re.search(row, page, re.MULTILINE)
    assert found, "the table of docs/window.md is out of date"
    asked = [WORDS[fact] for fact in done.asked if fact in WORDS]
    assert found[1].split(", ") == asked, "the table of docs/window.md asks something else"
    assert all(engine.pack.facts[fact].gate for fact in done.asked if fact not in WORDS)
    session = done.window.session
    if name == STOP:
        assert session.advice.verdict == "refer"
        assert done.actions <= TO_STOP
        assert session.advice.plan is None
        return
    assert session.advice.verdict in ("plan", "decline")
    assert not session.advice.open_hazards
    assert done.actions <= TO_ADVICE
    for fact in session.pack.roles.quote_hangs_on:
        asked = any(decl.name == fact for decl in session.pack.asked(session.case))
        assert not asked or fact in done.asked or fact in session.case.facts
