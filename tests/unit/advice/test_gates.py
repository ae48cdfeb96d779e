"""Gates: a closed one always refers, an open one always asks, and asks first."""

from __future__ import annotations

import pytest
from bench import case, demo, split_seam

from advisor.advice.advise import advise
from advisor.advice.gates import judge_gates
from advisor.advice.result import GateState, Status, Verdict
from advisor.facts.case import Case
from advisor.report.json_form import advice_json
from advisor.rulegraph.pack import RulePack

#: Gate to an answer that closes it, and one that clears it.
CLOSING = {
    "airbag": ("in_section", "none"),
    "belt": ("in_section", "none"),
    "heater": ("in_section", "none"),
    "occupant_sensor": ("in_section", "none"),
    "child_seat": (True, False),
    "energy_absorber": (True, False),
    "suspect_fibres": (True, False),
    "aircraft_station": (False, True),
}


def answered(told: Case, pack: RulePack, clear: bool = True) -> Case:
    """The case with every gate that concerns it cleared."""
    for key in pack.gates_asked(told):
        value = CLOSING[key][1 if clear else 0]
        told = told.with_fact(f"gate.{key}", value if isinstance(value, bool) else (value,))
    return told


def state(told: Case, pack: RulePack, gate: str) -> GateState | None:
    return next((g.state for g in judge_gates(told, pack) if g.gate == gate), None)


def test_every_gate_is_tried(pack: RulePack) -> None:
    assert CLOSING.keys() == pack.gates.keys()


@pytest.mark.parametrize("gate", CLOSING)
def test_a_closed_gate_refers_on_every_part(gate: str, pack: RulePack) -> None:
    for kind in pack.parts:
        vehicle = "aircraft" if gate == "aircraft_station" else "car"
        told = answered(case(part__kind=kind, vehicle__kind=vehicle, damage__kind="tear"), pack)
        closing = CLOSING[gate][0]
        told = told.with_fact(f"gate.{gate}", closing if isinstance(closing, bool) else (closing,))
        advice = advise(told, pack, 64, flips=False)
        assert advice.verdict is Verdict.REFER, kind
        assert advice.plan is None and advice.plans == () and advice.ask == ()
        assert all(method.status is Status.BLOCKED for method in advice.methods)
        assert all(method.hold_probability == 0.0 for method in advice.methods)
        rule = pack.gates[gate]
        assert any(rule.refer in r.text and r.source is not None for r in advice.reasons)
        form = advice_json(advice)
        assert form["plan"] is None and form["plans"] == [] and form["flips"] == []


@pytest.mark.parametrize("gate", CLOSING)
def test_a_closed_gate_refers_before_the_part_is_known(gate: str, pack: RulePack) -> None:
    closing = CLOSING[gate][0]
    told = case(**{f"gate__{gate}": closing})
    advice = advise(told, pack, 64)
    assert advice.verdict is Verdict.REFER
    assert advice.ask == () and pack.gates[gate].refer in advice.headline


@pytest.mark.parametrize("kind", ["seat_bolster", "seat_backrest", "dash_pad", "headlining"])
def test_an_unanswered_gate_asks_first(kind: str, pack: RulePack) -> None:
    """Each gate in turn left open, all others clear, with nothing else to ask."""
    told = case(part__kind=kind, vehicle__kind="car", damage__kind="worn_surface",
                damage__depth="finish", skin__material="leather", skin__feel="supple")  # fmt: skip
    full = answered(told, pack)
    keys = pack.gates_asked(told)
    assert len(keys) >= 2
    for key in keys:
        advice = advise(full.without(f"gate.{key}"), pack, 64, flips=False)
        assert advice.verdict is Verdict.ASK, key
        assert advice.ask[0].fact == f"gate.{key}" and advice.ask[0].gate
        assert advice.provisional or advice.plan is None
        assert advice.reasons[0].path == (f"gate.{key}",)
    everything = advise(told, pack, 64, flips=False).ask
    assert [q.gate for q in everything] == sorted((q.gate for q in everything), reverse=True)
    assert {q.fact for q in everything if q.gate} == {f"gate.{key}" for key in keys}


def test_a_closed_gate_outranks_an_open_one(pack: RulePack) -> None:
    told = case(part__kind="seat_bolster", vehicle__kind="car", damage__kind="tear",
                gate__airbag="in_section")  # fmt: skip
    assert advise(told, pack, 64).verdict is Verdict.REFER


def test_several_possible_parts_ask_the_gates_of_all(pack: RulePack) -> None:
    one = set(pack.gates_asked(case(part__kind="dash_pad", vehicle__kind="car")))
    two = set(pack.gates_asked(case(part__kind="bench_cushion", vehicle__kind="car")))
    both = pack.gates_asked(case(part__kind=("dash_pad", "bench_cushion"), vehicle__kind="car"))
    assert one - two and two - one
    assert set(both) == one | two


def test_a_vehicle_without_the_hazard_is_not_asked(pack: RulePack) -> None:
    assert "airbag" not in pack.gates_asked(case(part__kind="armrest", vehicle__kind="boat"))
    assert "airbag" in pack.gates_asked(case(part__kind="armrest"))
    assert "airbag" in pack.gates_asked(case(part__kind="armrest", vehicle__kind=("boat", "car")))


def test_a_seat_belt_is_referred_without_a_question(pack: RulePack) -> None:
    told = case(part__kind="seat_belt", vehicle__kind="car", damage__kind="tear")
    assert advise(told, pack, 64).verdict is Verdict.REFER
    assert state(told, pack, "belt") is GateState.CLOSED


def test_perhaps_in_the_section_is_no_all_clear(pack: RulePack) -> None:
    """Said of a part that does not list the gate, it is asked all the same."""
    assert "belt" not in pack.part_gates["armrest"]
    told = split_seam(gate__belt=("in_section", "none"))
    assert state(told, pack, "belt") is GateState.OPEN
    assert advise(told, pack, 64).verdict is Verdict.ASK
    assert state(split_seam(gate__airbag=("in_section", "near")), pack, "airbag") is GateState.OPEN


def test_near_is_a_caution_on_every_part(pack: RulePack) -> None:
    for told in (split_seam(gate__belt="near"), split_seam(gate__airbag=("near", "none"))):
        gate = "belt" if "gate.belt" in told.facts else "airbag"
        assert state(told, pack, gate) is GateState.CAUTION
        advice = advise(told, pack, 64, flips=False)
        assert advice.verdict is not Verdict.REFER
        assert advice.cautions[0] == pack.gates[gate].caution


def test_clear_gates_say_nothing(pack: RulePack) -> None:
    told = split_seam(gate__belt="none", gate__heater="none")
    assert [gate.gate for gate in judge_gates(told, pack)] == ["airbag"]
    assert state(told, pack, "airbag") is GateState.CLEAR


def test_an_aircraft_question_does_not_reach_a_bus(pack: RulePack) -> None:
    assert state(split_seam(gate__aircraft_station=True), pack, "aircraft_station") is None


def test_the_station_still_cautions(pack: RulePack) -> None:
    advice = advise(demo("aircraft_panel_station", pack), pack, 64, flips=False)
    assert pack.gates["aircraft_station"].caution in advice.cautions
