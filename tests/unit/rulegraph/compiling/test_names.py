"""A name that is not there is reported where it stands, with the nearest name that is."""

from __future__ import annotations

import pytest

from tests.unit.rulegraph.spoiled import Spoiled

LOADS = "loads/"
STITCH = "methods/hand_stitch.yaml"
#: What dangles: file, text and what stands in its place, where the fault is expected,
#: words of the message, and the name it suggests.
DANGLING = {
    "node": (LOADS, "shore_a: skin.shore", "shore_a: skin.shor", "skin.shor}",
             "no such node or quantity", "skin.shore"),
    "node of a condition": ("facts/",
                            '- {when: {node: split.strain, at_least: 0.03 1}, weights: {"yes"',
                            '- {when: {node: split.strian, at_least: 0.03 1}, weights: {"yes"',
                            "{node: split.strian", "no such node", "split.strain"),
    "node of a method": (STITCH, "capacity: ligament\n", "capacity: ligamen\n", "ligamen\n",
                         "no such node or quantity", "ligament"),
    "driver": (LOADS, "driver: people.dent_strain\n  part.slide_width",
               "driver: people.dent_strin\n  part.slide_width", "people.dent_strin\n",
               "not an input of this node", "people.dent_strain"),
    "fact": (LOADS, "{fact: skin.feel, is: stiff}, low: 0.5",
             "{fact: skin.fel, is: stiff}, low: 0.5", "{fact: skin.fel", "no such fact",
             "skin.feel"),
    "option": (LOADS, "{fact: skin.feel, is: stiff}, low: 0.5",
               "{fact: skin.feel, is: stif}, low: 0.5", "{fact: skin.feel, is: stif}",
               "skin.feel has no such option", "stiff"),
    "option deep in a condition": ("needs.yaml", "- {fact: carrier.state, is: [cracked, rotten]}",
                                   "- {fact: carrier.state, is: [cracked, roten]}",
                                   "{fact: carrier.state, is: [cracked, roten]}",
                                   "carrier.state has no such option", "rotten"),
    "option of a prior": ("facts/", "weights: {private: 70,", "weights: {privat: 70,",
                          "privat: 70", "no such option", "private"),
    "need": (STITCH, "\nmeets: [close]", "\nmeets: [close, suport]", "suport",
             "no such need", "support"),
    "need of a joint": (STITCH, "- meets: [close]", "- meets: [close, clos]", "clos]",
                        "no such need of this method", "close"),
    "method": ("methods/plastic_weld.yaml", "- method: staple_reinforce",
               "- method: staple_reinforc", "staple_reinforc",
               "no such method", "staple_reinforce"),
    "method of an earlier repair": ("facts/", "earlier: adhesive_bond", "earlier: adhesiv_bond",
                                    "adhesiv_bond", "no such method", "adhesive_bond"),
    "caution": (STITCH, "cautions: [cyanoacrylate]", "cautions: [cyanoacrylat]", "cyanoacrylat]",
                "no such caution", "cyanoacrylate"),
    "source": (LOADS, "0.48}\n    source: sears_darby", "0.48}\n    source: sears_derby",
               "sears_derby",
               "no such source", "sears_darby"),
    "source of a price": ("prices.yaml", "high: 90, source: estimate", "high: 90, source: estimat",
                          "estimat,", "no such source", "estimate"),
    "source of a default": ("parts.yaml", "high: 600, source: estimate",
                            "high: 600, source: estimat", "estimat,", "no such source", "estimate"),
    "table": (LOADS, "table: skins, column: at_80", "table: skinz, column: at_80", "skinz",
              "no such table", "skins"),
    "key of a table": ("materials/skins.yaml", "key: skin.material", "key: skin.materal",
                       "skin.materal", "no such choice", "skin.material"),
    "row of a table": ("materials/cores.yaml", "  foam_thin:", "  foam_thing:", "foam_thing",
                       "core.material has no such option", "foam_thin"),
    "column": (LOADS, "table: skins, column: at_80", "table: skins, column: at_8", "at_8}",
               "no such column", "at_80"),
    "column of a part": ("parts/armrest.yaml", "  lean_force:", "  lean_froce:", "lean_froce",
                         "no such column", "lean_force"),
    "relation": (LOADS, "relation: ramp_relaxation\n    inputs: {age: vehicle.age",
                 "relation: ramp_relaxtion\n    inputs: {age: vehicle.age", "ramp_relaxtion",
                 "no such relation", "ramp_relaxation"),
    "input": (LOADS, "inputs: {shore_a: skin.shore}", "inputs: {shore_a: skin.shore, shor: 1}",
              "1}", "no such input", "shore_a"),
    "site": (STITCH, "site: skin", "site: skim", "skim", "no such site", "skin"),
    "part of a gate": ("hazards.yaml", "except_parts: [box_cushion", "except_parts: [bx_cushion",
                       "bx_cushion", "no such part", "box_cushion"),
    "vehicle of a gate": ("hazards.yaml", "vehicles: [farm_machine]", "vehicles: [farm_machin]",
                          "farm_machin", "no such vehicle", "farm_machine"),
    "gate": ("parts/armrest.yaml", "title: Armrest\n", "title: Armrest\ngates: [airbg]\n", "airbg",
             "no such hazard (gate)", "airbag"),
    "gate question": ("hazards.yaml", "fact: gate.heater\n", "fact: gate.heatre\n", "gate.heatre",
                      "not a hazard question", "gate.heater"),
    "part": ("parts/armrest.yaml", "part: armrest", "part: armrset", "armrset",
             "part.kind has no such option", "armrest"),
    "part with a bound": ("facts/", "high_by:\n    armrest: 900", "high_by:\n    armrst: 900",
                          "armrst", "no such part", "armrest"),
    "prior of a part": ("parts/armrest.yaml", "  core.thickness:", "  core.thicknes:",
                        "core.thicknes:", "no such fact", "core.thickness"),
    "damage that leads": ("needs.yaml", "leads_for: [core_collapsed,", "leads_for: [core_colapsed,",
                          "core_colapsed", "no such damage", "core_collapsed"),
    "dimension": ("facts/", "dimension: age", "dimension: agee", "agee",
                  "no such dimension", "age"),
    "status": ("needs.yaml", "    status: common_practice\n  edge_hold",
               "    status: comon_practice\n  edge_hold", "comon_practice",
               "not one of the accepted words", "common_practice"),
    "key": (LOADS, "  skin.strength_left:\n    title: Strength",
            "  skin.strength_left:\n    titel: Strength", "titel", "unknown key", "title"),
    "key of a price": ("prices.yaml", "  slight: {low", "  slihgt: {low", "slihgt",
                       "not one of the accepted words", "slight"),
}  # fmt: skip


@pytest.mark.parametrize("what", DANGLING)
def test_dangling_name(what: str, spoiled: Spoiled) -> None:
    file, old, new, marker, problem, nearest = DANGLING[what]
    start = spoiled.edit(file, old, new)
    faults = spoiled.faults()
    line, column = spoiled.place(file, marker, start)
    at_place = [f for f in faults if (spoiled.name_of(f), f.line, f.column) == (file, line, column)]
    assert at_place, [fault.text for fault in faults]
    assert any(problem in fault.problem and fault.nearest == nearest for fault in at_place), [
        fault.text for fault in at_place
    ]
    assert all(fault.line for fault in faults)


def test_only_what_is_wrong_is_reported(spoiled: Spoiled) -> None:
    """A condition that cannot be compiled does not take its need or gate with it."""
    spoiled.edit("needs.yaml", "- {fact: carrier.state, is: [cracked, rotten]}",
                 "- {fact: carrier.state, is: [cracked, roten]}")
    spoiled.edit("hazards.yaml", "closed_when: {fact: gate.heater, is: in_section}",
                 "closed_when: {fact: gate.heater, is: in_secton}")
    faults = spoiled.faults()
    assert [spoiled.name_of(fault) for fault in faults] == ["hazards.yaml", "needs.yaml"]


def test_part_without_a_file_has_no_gates_and_is_refused(spoiled: Spoiled) -> None:
    """Without a list of gates nothing dangerous would be asked about that part."""
    (spoiled.folder / "parts/armrest.yaml").unlink()
    (fault,) = spoiled.faults()
    assert "gates" in fault.problem and "parts/armrest.yaml" in fault.accepted
    assert (fault.line, fault.column) == spoiled.place("facts/", "armrest:\n      title")


def test_gate_question_without_a_gate_is_refused(spoiled: Spoiled) -> None:
    spoiled.edit("facts/", "wish.looks:\n  kind: choice",
                 "gate.spring:\n  kind: yes_no\n  stage: hazards\n  gate: true\n  title: Spring\n"
                 "  ask: Is there a loaded spring?\n  how: Look.\nwish.looks:\n  kind: choice")
    (fault,) = spoiled.faults()
    assert "hazard question (gate) that nothing in hazards.yaml uses" in fault.problem
    assert (fault.line, fault.column) == spoiled.place("facts/", "gate.spring")
