"""The demo cases, with what a technician would expect of each (common practice, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.advice.advise import advise
from advisor.advice.result import Advice, MethodAdvice, Status, Verdict
from advisor.facts.case_file import read_case
from advisor.rulegraph.load import load_pack
from advisor.rulegraph.model.pack import RulePack

DEMOS = Path(__file__).parents[2] / "demo_cases"

#: File to verdict and lead; "" where no lead is expected.
EXPECTED: dict[str, tuple[Verdict, str]] = {
    "split_armrest": (Verdict.PLAN, "hand_stitch"),
    # The cover is off for the foam, so the seam goes under the machine.
    "armrest_crumbled_foam": (Verdict.PLAN, "machine_restitch"),
    "cracked_panel": (Verdict.PLAN, "plastic_weld"),
    "donor_piece": (Verdict.DECLINE, ""),
    "broken_boss": (Verdict.PLAN, "mechanical_fastener"),
    "fallen_headlining": (Verdict.PLAN, "adhesive_bond"),
    "brittle_bench": (Verdict.PLAN, "recover_panel"),
    "worn_bolster": (Verdict.PLAN, "recolour"),
    "airbag_seam": (Verdict.REFER, ""),
    "aircraft_no_station": (Verdict.REFER, ""),
    "unknown_split": (Verdict.ASK, ""),
    "aircraft_panel_station": (Verdict.PLAN, "solvent_weld"),
    "aircraft_seat_station": (Verdict.PLAN, "machine_restitch"),
    "lifted_dash_edge": (Verdict.PLAN, "adhesive_bond"),
    "torn_deck_cushion": (Verdict.PLAN, "backing_patch"),
    "bound_carpet_edge": (Verdict.PLAN, "machine_restitch"),
}


@pytest.fixture(scope="module")
def pack() -> RulePack:
    return load_pack()


@pytest.fixture(scope="module")
def advised(pack: RulePack) -> dict[str, Advice]:
    methods = tuple(pack.methods)
    cases = {p.stem: read_case(p, pack.facts, methods=methods) for p in DEMOS.glob("*.yaml")}
    assert all(case.note and case.title for case in cases.values())
    return {name: advise(case, pack, flips=False) for name, case in cases.items()}


def test_every_demo_has_an_expectation(advised: dict[str, Advice]) -> None:
    assert advised.keys() == EXPECTED.keys()
    names = [advice.case for advice in advised.values()]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("name", EXPECTED)
def test_verdict_and_lead(name: str, advised: dict[str, Advice]) -> None:
    verdict, lead = EXPECTED[name]
    advice = advised[name]
    found = advice.plan.lead if advice.plan is not None else ""
    assert advice.verdict is verdict, f"{found}; {advice.headline}"
    if lead:
        assert found == lead, advice.headline


def test_glue_fails_on_the_split_armrest_along_a_load_path(advised: dict[str, Advice]) -> None:
    glue = method(advised["split_armrest"], "adhesive_bond")
    assert glue.status is Status.FAILS
    assert glue.usage is not None and glue.usage.typical > 1.0
    path = glue.because[0].path
    assert len(path) >= 3, path
    assert any(node.startswith(("skin.", "load.")) for node in path[:-2]), path
    assert path[-2].startswith("demand.") and path[-1].startswith("usage.adhesive_bond."), path


def test_thread_holds_on_the_split_armrest(advised: dict[str, Advice]) -> None:
    stitch = method(advised["split_armrest"], "hand_stitch")
    assert stitch.status is Status.HOLDS
    assert stitch.usage is not None and stitch.usage.typical < 1.0


def test_crumbled_foam_is_renewed_with_the_seam(advised: dict[str, Advice]) -> None:
    plan = advised["armrest_crumbled_foam"].plan
    assert plan is not None
    assert {"foam_replace", "foam_backfill"} & set(plan.methods), plan.methods


@pytest.mark.parametrize("name", ["airbag_seam", "aircraft_no_station"])
def test_a_closed_gate_leaves_no_method_open(name: str, advised: dict[str, Advice]) -> None:
    assert all(m.status is Status.BLOCKED for m in advised[name].methods)


def test_the_telephone_case_asks_gates_and_the_state_of_the_seam(
    advised: dict[str, Advice],
) -> None:
    advice = advised["unknown_split"]
    assert {q.fact for q in advice.ask if q.gate} >= {"gate.airbag", "gate.belt"}
    assert {"damage.hole_state", "damage.failed", "skin.feel"} & {q.fact for q in advice.ask}


def method(advice: Advice, key: str) -> MethodAdvice:
    return next(m for m in advice.methods if m.method == key)
