"""Units, missing entries, wrong figures and circles: each reported where it stands."""

from __future__ import annotations

import pytest

from tests.unit.rulegraph.spoiled import Spoiled

LOADS = "loads/"
STITCH = "methods/hand_stitch.yaml"
PICKED = "      - {when: {fact: skin.material, is: vinyl_moulded}, use: skin.vinyl_stiffness}\n"
#: File, text and what stands in its place, where the fault is expected, words of its message.
WRONG = {
    "unit of an input": (LOADS, "{shore_a: skin.shore}", "{shore_a: skin.thickness}",
                         "skin.thickness}", "skin.thickness is in the wrong unit"),
    "unit of a constant": (LOADS, 'age: 1 yr', 'age: 1 mm', '1 mm', "wrong unit"),
    "no unit of a constant": (LOADS, 'age: 1 yr', "age: 1", "1,", "the unit is missing"),
    "constant without end": (LOADS, 'age: 1 yr', 'age: 1e999 yr', '1e999', "not a finite"),
    "unit of a column": ("materials/cores.yaml", "{title: Thickness, unit: mm}",
                         "{title: Thickness, unit: m}", "", "thickness is in the wrong unit"),
    "unit of a relation": (LOADS, "title: Modulus of the vinyl\n    unit: MPa",
                           "title: Modulus of the vinyl\n    unit: N", "N\n",
                           "gives another unit"),
    "unit of a sum": (LOADS, "sum: [leather.aged_strain, leather.heat_strain]",
                      "sum: [leather.aged_strain, core.modulus]", "core.modulus",
                      "core.modulus is in the wrong unit"),
    "unit of a spread": ("parts/armrest.yaml", "high: 40, unit: mm", "high: 40, unit: cm", "cm}",
                         "wrong unit"),
    "unit of a limit": ("facts/", '{fact: vehicle.age, at_least: 15 yr}',
                        '{fact: vehicle.age, at_least: 15 mm}', "{fact: vehicle.age",
                        "wrong unit"),
    "unit of a capacity": (STITCH, "capacity: thread\n", "capacity: thread_strength\n",
                           "thread_strength\n", "thread_strength is in the wrong unit"),
    "unit of a factor": (STITCH, "capacity: thread\n        sustained: thread_sustained",
                         "capacity: thread\n        sustained: hole", "hole\n",
                         "hole is in the wrong unit"),
    "unit of what predicts": (LOADS, "predicted_by: split.gap", "predicted_by: split.strain",
                              "split.strain", "split.strain is in the wrong unit"),
    "input left out": (LOADS, "{modulus: skin.vinyl_modulus, thickness: skin.thickness}",
                       "{modulus: skin.vinyl_modulus}", "{modulus", "input thickness is missing"),
    "cell left out": ("materials/cores.yaml",
                      "    plateau: {low: 0.10, typical: 0.15, high: 0.20, "
                      "source: foam_sheets, status: looked_up}\n",
                      "", "", "no plateau for foam_integral"),
    "source left out": (LOADS, "0.48}\n    source: sears_darby\n    status: from_memory",
                        "0.48}\n    status: from_memory", "", "the source is missing"),
    "key left out": (STITCH, "looks: unseen\n", "", "", "looks is missing"),
    "word for a price left out": ("prices.yaml", "  slight: {low: 5, typical: 15, high: 30, "
                                  "source: estimate, status: estimate}\n", "", "",
                                  "looks lacks slight"),
    "falling spread": (LOADS, "{low: 0.35, typical: 0.42, high: 0.48}",
                       "{low: 0.65, typical: 0.42, high: 0.48}", "{low: 0.65", "must not fall"),
    "value and range": (LOADS, "{low: 0.35, typical: 0.42, high: 0.48}",
                        "{value: 0.4, low: 0.35, typical: 0.42, high: 0.48}", "{value", "not both"),
    "share above one": (STITCH, "reliability: {low: 0.93, typical: 0.97, high: 0.99",
                        "reliability: {low: 0.93, typical: 0.97, high: 9.9", "{low: 0.93, typical",
                        "between 0 and 1"),
    "nothing to pick": (LOADS, f"    pick:\n{PICKED}      - use: skin.aged_stiffness\n",
                        "    pick: []\n", "", "the last branch of pick"),
    "condition that is always": (LOADS, PICKED, "      - use: skin.vinyl_stiffness\n", "",
                                 "the last branch of pick, and no other"),
    "two tests in one condition": (LOADS, "{fact: skin.feel, is: stiff}, low: 0.5",
                                   "{fact: skin.feel, is: stiff, is_not: brittle}, low: 0.5",
                                   "{fact: skin.feel, is: stiff", "say only one of"),
    "no modes": ("methods/heat_relax.yaml", "    modes:\n      none:\n        title: Warming alone "
                 "holds nothing down\n        capacity: none\n        sustained: 1\n        "
                 "cyclic: 1\n        source: practice\n        status: common_practice\n",
                 "    modes: {}\n", "{}", "nothing is listed"),
    "weights of a quantity": ("facts/", "{spread: {low: 2, typical: 12, high: 35}",
                              "{weights: {old: 1}", "{old", "vehicle.age is a quantity"),
    "nothing stands for it": ("facts/", "  prior: {spread: {low: 2, typical: 12, high: 35}, "
                              "source: estimate, status: estimate}\n", "", "",
                              "needs a prior or a measurement"),
    "text for a number": (STITCH, "order: 40", "order: soon", "soon", "not a whole number"),
    "negative rate": ("prices.yaml", "hourly_rate: {low: 55", "hourly_rate: {low: -55", "{low: -55",
                      "may not be below 0"),
    "currency": ("prices.yaml", "currency: EUR", "currency: euro", "euro", "not a currency"),
    "text for a spread": (LOADS, "{low: 0.35, typical: 0.42, high: 0.48}",
                          "{low: 0.35, typical: much, high: 0.48}", "much", "not a number"),
    "name taken": (LOADS, "  skin.strength_left:\n    title", "  skin.feel:\n    title",
                   "skin.feel", "the name is taken"),
    "second method": (STITCH, "method: hand_stitch\n", "method: adhesive_bond\n", "adhesive_bond",
                      "a second method of this name"),
    "second part": ("parts/armrest.yaml", "part: armrest", "part: console_lid", "",
                    "a second file for this part"),
    "second table": ("materials/cores.yaml", "table: cores", "table: carriers", "carriers",
                     "a second table of this name"),
}  # fmt: skip


@pytest.mark.parametrize("what", WRONG)
def test_wrong_entry(what: str, spoiled: Spoiled) -> None:
    file, old, new, marker, problem = WRONG[what]
    start = spoiled.edit(file, old, new)
    faults = spoiled.faults()
    said = [fault for fault in faults if problem in fault.problem]
    assert said, [fault.text for fault in faults]
    assert all(fault.line and fault.column for fault in faults)
    if marker:
        line, column = spoiled.place(file, marker, start)
        places = [(spoiled.name_of(f), f.line, f.column) for f in said]
        assert (file, line, column) in places, (places, line, column)


def test_circle_of_nodes_is_named(spoiled: Spoiled) -> None:
    spoiled.edit(LOADS, "inputs: {plateau: core.plateau}", "inputs: {plateau: core.shear}")
    (fault,) = spoiled.faults()
    assert fault.found == "core.modulus > core.shear > core.modulus"
    assert "circle" in fault.problem
    assert (fault.line, fault.column) == spoiled.place(LOADS, "core.modulus:")


def test_every_circle_is_reported_at_once(spoiled: Spoiled) -> None:
    spoiled.edit(LOADS, "inputs: {plateau: core.plateau}", "inputs: {plateau: core.shear}")
    spoiled.edit(LOADS, "sum: [edge.shrinkage, edge.curl]", "sum: [demand.edge_sustained]")
    assert {fault.found for fault in spoiled.faults()} == {
        "core.modulus > core.shear > core.modulus",
        "demand.edge_sustained > demand.edge_sustained",
    }


def test_circle_of_priors_is_named(spoiled: Spoiled) -> None:
    """What is assumed of the sun may not follow from the use, and the use from the sun."""
    spoiled.edit("facts/", "{fact: vehicle.kind, is: bus}, weights: {commercial",
                 "{fact: place.sun, is: strong}, weights: {commercial")
    spoiled.edit("facts/", "- when: {fact: part.kind, is: [dash_pad, folding_roof]}",
                 "- when: {fact: vehicle.use, is: shuttle}")
    (fault,) = spoiled.faults()
    assert "assume each other in a circle" in fault.problem
    assert fault.found == "place.sun > vehicle.use > place.sun"
    assert (fault.line, fault.column) == spoiled.place("facts/", "place.sun:")


def test_circle_through_a_fact_and_a_node(spoiled: Spoiled) -> None:
    spoiled.edit(LOADS, "{fact: earlier.adhesive_bond, is: yes}, low: 0.6",
                 "{fact: damage.edges_meet, is: yes}, low: 0.6")
    spoiled.edit("facts/", '- {when: {node: split.strain, at_least: 0.03 1}, weights: {"yes"',
                 '- {when: {node: skin.hole_strength, at_least: 3 N}, weights: {"yes"')
    (fault,) = spoiled.faults()
    assert spoiled.name_of(fault) == LOADS
    for member in ("damage.edges_meet", "skin.residue_left", "skin.hole_strength"):
        assert member in fault.found
