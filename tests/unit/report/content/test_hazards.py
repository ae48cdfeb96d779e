"""How hazards stand in the record: a hazard that is not there is never named as if it were."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.facts.case import Case
from advisor.facts.case_file import read_case
from advisor.report.rationale import build_rationale, rationale_text
from advisor.rulegraph.model.pack import RulePack

DEMOS = Path(__file__).parents[4] / "demo_cases"


def hazards(told: Case, pack: RulePack) -> list[str]:
    """The lines of the section on hazards, each item on one."""
    model = build_rationale(advise(told, pack, flips=False), told, today=date(2026, 11, 25))
    _, _, rest = rationale_text(model).partition("HAZARDS AND CAUTIONS")
    section = rest.split("\n\n")[1]
    return [" ".join(item.split()) for item in section.split("\n- ")]


def demo(name: str, pack: RulePack) -> Case:
    return read_case(DEMOS / f"{name}.yaml", pack.facts, methods=pack.methods)


def test_an_accepted_job_does_not_read_as_refused(pack: RulePack) -> None:
    lines = hazards(demo("aircraft_panel_station", pack), pack)
    title = pack.facts["gate.aircraft_station"].title
    assert lines[0].removeprefix("- ").startswith(f"{title}, “Yes”: TAKE CARE Aircraft: work only")
    for gate in pack.gates.values():
        assert not any(line.removeprefix("- ").startswith(gate.title) for line in lines), gate.key


def test_a_closed_gate_is_named_and_the_clear_ones_are_told_by_their_answer(
    pack: RulePack,
) -> None:
    lines = [line.removeprefix("- ") for line in hazards(demo("airbag_seam", pack), pack)]
    assert lines[0].startswith(f"{pack.gates['airbag'].title}: STOPS THE JOB")
    belt = pack.facts["gate.belt"]
    assert f"{belt.title}, “{belt.option('none').title}”: asked, clear" in lines


@pytest.mark.parametrize("name", ["split_armrest", "worn_bolster"])
def test_an_open_gate_is_told_by_its_question(name: str, pack: RulePack) -> None:
    told = demo(name, pack).without("gate.airbag")
    lines = [line.removeprefix("- ") for line in hazards(told, pack)]
    assert f"{pack.facts['gate.airbag'].title}: NOT ANSWERED YET" in lines
