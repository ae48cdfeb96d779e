"""The table of part, vehicle and hazard: read by a person, pinned here, part of the check.

Whoever changes it changes this file too, and so says that the table was read again:
``python docs/make_required_hazards.py`` shows what would change in it.
"""

from __future__ import annotations

from advisor.rulegraph.compiling.required_hazards import FILE, required_hazards, required_text
from advisor.rulegraph.model.pack import RulePack

#: Pairs of part and vehicle in which each hazard is asked, and in which the part stops the job
#: whatever is answered; counted when the table was read.
PINNED = {
    "aircraft_station": (35, 0),
    "aircraft_operator": (35, 0),
    "authority_access": (35, 0),
    "airbag": (94, 0),
    "belt": (102, 8),
    "heater": (98, 0),
    "occupant_sensor": (28, 0),
    "child_seat": (33, 0),
    "energy_absorber": (42, 3),
    "seat_structure": (80, 0),
    "high_voltage": (144, 0),
    "contamination": (208, 0),
    "suspect_fibres": (136, 0),
    "ejection_seat": (11, 0),
    "aircraft_cushion": (11, 0),
    # Read on 30 November: asked of every part of an aircraft, for paint on a panel and a new screw
    # want papers as a seat cover does; no part stops by itself.
    "material_papers": (35, 0),
    "fire_block": (20, 0),
}


def test_the_table_is_what_the_shipped_rules_ask(pack: RulePack) -> None:
    assert FILE.read_text(encoding="utf-8") == required_text(pack)


def test_the_table_as_it_was_read() -> None:
    found = {
        key: (len(hazard.asked), len(hazard.always))
        for key, hazard in required_hazards().hazards.items()
    }
    assert found == PINNED


def test_every_hazard_has_an_answer_that_stops_and_one_that_does_not() -> None:
    for hazard in required_hazards().hazards.values():
        means = [answer["means"] for answer in hazard.answers.values()]
        assert "stop" in means and set(means) - {"stop"}, hazard.key
        assert hazard.refer and (hazard.caution or "caution" not in means), hazard.key


def test_cells_a_person_would_look_at_first() -> None:
    """Common practice, no source: where these hazards sit in vehicles."""
    found = required_hazards().hazards
    assert {("seat_bolster", "car"), ("dash_pad", "bus"), ("headlining", "camper"),
            ("steering_wheel_rim", "farm_machine")} <= found["airbag"].asked  # fmt: skip
    assert {("seat_belt", "boat"), ("bench_cushion", "bus")} <= found["belt"].asked
    assert {("seat_backrest", "rail"), ("bench_cushion", "bus")} <= found["fire_block"].asked
    assert ("seat_belt", "car") in found["belt"].always
    assert ("head_restraint", "car") in found["energy_absorber"].always
    assert {("load_floor", "bus"), ("carpet_edge", "car")} <= found["high_voltage"].asked
    for part in required_hazards().parts:
        assert (part, "aircraft") in found["aircraft_station"].asked, part
