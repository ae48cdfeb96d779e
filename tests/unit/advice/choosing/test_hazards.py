"""Gates: a closed one always refers, an open one always asks, and asks first."""

from __future__ import annotations

import re

import pytest

from advisor.advice.advise import advise
from advisor.advice.choosing.hazards import judge_gates
from advisor.advice.result import GateState, Status, Verdict
from advisor.advice.sampling.worlds import SampledWorlds
from advisor.facts.case import Case
from advisor.report.json_forms.advice import advice_json
from advisor.rulegraph.model.pack import RulePack
from tests.unit.advice.given_cases import case, demo, split_seam

#: Gate to an answer that closes it, and one that clears it.
CLOSING = {
    "airbag": ("in_section", "none"),
    "belt": ("in_section", "none"),
    "heater": ("in_section", "none"),
    "occupant_sensor": ("in_section", "none"),
    "child_seat": (True, False),
    "energy_absorber": (True, False),
    "seat_structure": ("in_section", "none"),
    "high_voltage": ("in_section", "none"),
    "contamination": ("soiled", "none"),
    "suspect_fibres": (True, False),
    "aircraft_station": (False, True),
    "aircraft_operator": ("not_covered", "none"),
    "authority_access": (True, False),
    "ejection_seat": (True, False),
    "aircraft_cushion": ("fire_block", "none"),
    "material_papers": ("unlisted", "none"),
    "fire_block": ("barrier_cut", "none"),
}
#: Gates that only an aircraft has.
AIRCRAFT = ("aircraft_station", "aircraft_operator", "authority_access", "ejection_seat",
            "aircraft_cushion", "material_papers")  # fmt: skip
#: Gate to the answer that lets the job go on with a caution, and a part that calls for it.
NEAR = {
    "airbag": ("near", "seat_bolster", "car"),
    "belt": ("near", "seat_cushion", "bus"),
    "heater": ("near", "motorcycle_seat", "motorcycle"),
    "occupant_sensor": ("near", "seat_cushion", "farm_machine"),
    "seat_structure": ("near", "seat_backrest", "camper"),
    "high_voltage": ("near", "seat_cushion", "bus"),
    "contamination": ("mildew", "side_lining", "boat"),
    "aircraft_station": (True, "steering_wheel_rim", "aircraft"),
    "aircraft_operator": ("covered", "headlining", "aircraft"),
    "aircraft_cushion": ("like_for_like", "seat_cushion", "aircraft"),
    "material_papers": ("station_accepts", "rigid_trim", "aircraft"),
    "fire_block": ("barrier_whole", "bench_cushion", "rail"),
}
#: Gate, then part and vehicle that have it, then part and vehicle that cannot.
PLACES = [
    ("airbag", "headlining", "car", "headlining", "boat"),
    ("airbag", "trim_fixing", "bus", "trim_fixing", "farm_machine"),
    ("airbag", "steering_wheel_rim", "farm_machine", "dash_pad", "farm_machine"),
    ("belt", "rigid_trim", "car", "rigid_trim", "boat"),
    ("heater", "armrest", "car", "armrest", "bus"),
    ("heater", "steering_wheel_rim", "bus", "steering_wheel_rim", "boat"),
    ("occupant_sensor", "seat_cushion", "farm_machine", "seat_cushion", "boat"),
    ("child_seat", "seat_cushion", "car", "seat_cushion", "farm_machine"),
    ("energy_absorber", "rigid_trim", "car", "rigid_trim", "farm_machine"),
    ("energy_absorber", "headlining", "camper", "headlining", "aircraft"),
    ("seat_structure", "trim_fixing", "car", "armrest", "car"),
    ("high_voltage", "headlining", "bus", "headlining", "car"),
    ("high_voltage", "seat_cushion", "car", "seat_cushion", "aircraft"),
    ("contamination", "seat_cushion", "car", "trim_fixing", "car"),
    ("suspect_fibres", "bench_cushion", "boat", "armrest", "boat"),
    ("aircraft_station", "steering_wheel_rim", "aircraft", "steering_wheel_rim", "car"),
    ("aircraft_station", "folding_roof", "aircraft", "folding_roof", "boat"),
    ("aircraft_operator", "dash_pad", "aircraft", "dash_pad", "bus"),
    ("authority_access", "armrest", "aircraft", "armrest", "car"),
    ("ejection_seat", "seat_backrest", "aircraft", "dash_pad", "aircraft"),
    ("aircraft_cushion", "seat_cushion", "aircraft", "seat_cushion", "car"),
    ("material_papers", "rigid_trim", "aircraft", "rigid_trim", "bus"),
    ("fire_block", "seat_backrest", "bus", "seat_backrest", "camper"),
]
#: A wait or a voltage: the vehicle maker's to say, never ours.
WAIT_OR_VOLTS = re.compile(
    r"\d+\s*(v|kv|volts?|s|sec|seconds?|min|minutes?|h|hours?)\b"
    r"|\b(one|two|ten|thirty|half an?) (minutes?|hours?|seconds?)\b",
    re.IGNORECASE,
)


def given(value: bool | str) -> bool | tuple[str, ...]:
    return value if isinstance(value, bool) else (value,)


def answered(told: Case, pack: RulePack, clear: bool = True) -> Case:
    """The case with every gate that concerns it cleared."""
    for key in pack.gates_asked(told):
        told = told.with_fact(f"gate.{key}", given(CLOSING[key][1 if clear else 0]))
    return told


def state(told: Case, pack: RulePack, gate: str) -> GateState | None:
    return next((g.state for g in judge_gates(told, pack) if g.gate == gate), None)


def test_every_gate_is_tried(pack: RulePack) -> None:
    assert CLOSING.keys() == pack.gates.keys()
    assert {place[0] for place in PLACES} == pack.gates.keys()
    assert NEAR.keys() == {key for key, gate in pack.gates.items() if gate.caution_when}


@pytest.mark.parametrize("gate", CLOSING)
def test_a_closed_gate_refers_on_every_part(gate: str, pack: RulePack) -> None:
    vehicle = "aircraft" if gate in AIRCRAFT else "car"
    for kind in pack.parts:
        told = answered(case(part__kind=kind, vehicle__kind=vehicle, damage__kind="tear"), pack)
        told = told.with_fact(f"gate.{gate}", given(CLOSING[gate][0]))
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
    """An aircraft's gate as soon as it is said to be an aircraft, every other at once."""
    known = {"vehicle__kind": "aircraft"} if gate in AIRCRAFT else {}
    told = case(**{**known, f"gate__{gate}": CLOSING[gate][0]})
    advice = advise(told, pack, 64)
    assert advice.verdict is Verdict.REFER
    assert advice.ask == () and pack.gates[gate].refer in advice.headline


@pytest.mark.parametrize("gate", [key for key in AIRCRAFT if key != "ejection_seat"])
def test_an_aircraft_gate_does_not_close_on_a_car(gate: str, pack: RulePack) -> None:
    fact = {f"gate__{gate}": CLOSING[gate][0]}
    told = split_seam(vehicle__kind="car", gate__heater="none", **fact)
    assert state(told, pack, gate) is None
    assert advise(told, pack, 64, flips=False).verdict is not Verdict.REFER
    perhaps = split_seam(vehicle__kind=("car", "aircraft"), **fact)
    assert advise(perhaps, pack, 64, flips=False).verdict is not Verdict.REFER


@pytest.mark.parametrize("gate", NEAR)
def test_near_goes_on_with_the_caution(gate: str, pack: RulePack) -> None:
    near, kind, vehicle = NEAR[gate]
    told = answered(case(part__kind=kind, vehicle__kind=vehicle, damage__kind="tear"), pack)
    told = told.with_fact(f"gate.{gate}", given(near))
    rule = pack.gates[gate]
    assert rule.caution and state(told, pack, gate) is GateState.CAUTION
    advice = advise(told, pack, 64, flips=False)
    assert advice.verdict is not Verdict.REFER and rule.caution in advice.cautions


@pytest.mark.parametrize(("gate", "part", "vehicle", "other_part", "other"), PLACES)
def test_asked_only_where_it_can_be(
    gate: str, part: str, vehicle: str, other_part: str, other: str, pack: RulePack
) -> None:
    asked = pack.gates_asked(case(part__kind=part, vehicle__kind=vehicle))
    assert gate in asked
    assert gate in pack.gates_asked(case(part__kind=part))
    assert gate not in pack.gates_asked(case(part__kind=other_part, vehicle__kind=other))


def test_without_a_station_no_other_paper_is_asked_for(pack: RulePack) -> None:
    told = case(part__kind="seat_cushion", vehicle__kind="aircraft")
    assert set(AIRCRAFT) <= set(pack.gates_asked(told))
    refused = pack.gates_asked(told.with_fact("gate.aircraft_station", False))
    assert set(AIRCRAFT) & set(refused) == {"aircraft_station"}


def test_intake_takes_minutes(pack: RulePack) -> None:
    """A part of a road vehicle: at most nine questions; a bus's one more, an aircraft's two.

    One that is in no list is asked what any part is asked in such a vehicle.
    """
    unnamed = {option.key for option in pack.facts["part.kind"].options if option.not_covered}
    assert len(pack.gates_asked(case(part__kind="armrest", vehicle__kind="car"))) <= 5
    for vehicle in pack.facts["vehicle.kind"].keys:
        for kind in pack.parts.keys() - unnamed:
            asked = pack.gates_asked(case(part__kind=kind, vehicle__kind=vehicle))
            minutes = sum(pack.facts[pack.gates[key].fact].minutes for key in asked)
            assert len(asked) <= 9 + {"bus": 1, "aircraft": 2}.get(vehicle, 0), (vehicle, kind)
            assert minutes <= 10, (vehicle, kind)


def test_a_gate_question_can_be_answered_at_the_kerb(pack: RulePack) -> None:
    for gate in pack.gates.values():
        decl = pack.facts[gate.fact]
        assert decl.ask.endswith("?") and decl.ask.count("?") == 1, gate.key
        assert decl.how and decl.minutes <= 2, gate.key


def test_every_refusal_says_who_to_go_to(pack: RulePack) -> None:
    for gate in pack.gates.values():
        assert re.search(r"Refer (the job back )?to (?!it\b)\w+", gate.refer), gate.key
        assert gate.origin.source in pack.sources and gate.origin.status
        assert gate.origin.source not in ("practice", "estimate"), gate.key


def test_no_wait_and_no_voltage_is_printed(pack: RulePack) -> None:
    texts = [text for gate in pack.gates.values() for text in (gate.refer, gate.caution)]
    texts += [caution.text for caution in pack.cautions.values()]
    texts += [pack.facts[gate.fact].how for gate in pack.gates.values()]
    texts += [step.text for method in pack.methods.values() for step in method.steps if step.when
              and "airbag" in step.text]  # fmt: skip
    assert [text for text in texts if WAIT_OR_VOLTS.search(text)] == []
    for spoiled in ("wait 10 min", "wait two minutes", "under 60 V", "half an hour", "400 volts"):
        assert WAIT_OR_VOLTS.search(spoiled)


def test_nothing_is_worded_as_an_approval(pack: RulePack) -> None:
    approving = re.compile(
        r"\b(airworth|(is|are) (now )?(safe|approved|released)\b)", re.IGNORECASE
    )
    texts = [text for gate in pack.gates.values() for text in (gate.refer, gate.caution)]
    texts += [caution.text for caution in pack.cautions.values()]
    assert [text for text in texts if approving.search(text)] == []


def test_every_caution_stands_beside_a_step(pack: RulePack) -> None:
    steps = [step for method in pack.methods.values() for step in method.steps]
    assert {key for step in steps for key in step.cautions} == pack.cautions.keys()


@pytest.mark.parametrize(("answer", "beside"), [("near", True), ("none", False)])
def test_the_airbag_caution_stands_before_the_cover_comes_off(
    answer: str, beside: bool, pack: RulePack
) -> None:
    told = case(part__kind="seat_bolster", vehicle__kind="car", damage__kind="seam_open",
                damage__hole_state="intact", access__back="free")  # fmt: skip
    told = answered(told, pack).with_fact("gate.airbag", (answer,))
    plans = advise(told, pack, 256, flips=False).plans
    plan = next(plan for plan in plans if plan.lead == "machine_restitch")
    off = next(i for i, step in enumerate(plan.steps) if step.text.startswith("Take the cover off"))
    before = [caution for step in plan.steps[:off] for caution in step.cautions]
    assert (pack.cautions["airbag_work"].text in before) is beside


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
    assert "armrest" not in {part for part, _ in pack.gates["belt"].asked_for}
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
    said = {gate.gate: gate.state for gate in judge_gates(told, pack)}
    assert said == dict.fromkeys(("airbag", "energy_absorber", "contamination"), GateState.CLEAR)


def test_an_aircraft_question_does_not_reach_a_bus(pack: RulePack) -> None:
    assert state(split_seam(gate__aircraft_station=True), pack, "aircraft_station") is None


def test_the_station_still_cautions(pack: RulePack) -> None:
    advice = advise(demo("aircraft_panel_station", pack), pack, 64, flips=False)
    assert pack.gates["aircraft_station"].caution in advice.cautions


def test_gates_are_asked_as_soon_as_they_are_known_to_apply(pack: RulePack) -> None:
    """An aircraft's papers before anybody looks at the part; nothing of the sort for a car."""
    plane = advise(case(vehicle__kind="aircraft"), pack, 64, flips=False)
    assert plane.verdict is Verdict.ASK and plane.plan is None
    gates = [question.fact for question in plane.ask if question.gate]
    assert "gate.aircraft_station" in gates
    assert [question.gate for question in plane.ask] == [True] * len(gates) + [False] * (
        len(plane.ask) - len(gates)
    )
    car = advise(case(vehicle__kind="car"), pack, 64, flips=False)
    assert not [question.fact for question in car.ask if question.gate]


def test_a_step_of_two_methods_is_told_once(pack: RulePack) -> None:
    told = split_seam(
        part__kind="seat_cushion", vehicle__kind="car", gate__airbag="near",
        core__material="foam_soft", core__state="crumbles",
    )  # fmt: skip
    for plan in advise(told, pack, 256, flips=False).plans:
        texts = [step.text for step in plan.steps]
        assert len(texts) == len(set(texts))


def test_a_hazard_that_nobody_asks_about_rules_nothing_out(pack: RulePack) -> None:
    """Its question is not asked of an armrest in a bus: no such layer is drawn there."""
    told = split_seam()
    assert "fire_block" not in pack.gates_asked(told)
    for key, gate in pack.gates.items():
        if key not in pack.gates_asked(told) and gate.fact not in told.facts:
            worlds = SampledWorlds(told, pack, 64)
            drawn = worlds.values[gate.fact]
            assert (drawn == drawn[0]).all(), key
            closes = gate.closed_when.test(worlds.values)
            assert gate.closed_when.known(told) is True or not closes.any(), key
