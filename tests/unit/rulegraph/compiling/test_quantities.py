"""The quantities that a method's file names: every fault with its place and the nearest name."""

from __future__ import annotations

from advisor.job.quantities.of_plan import BY_NAME
from advisor.rulegraph.model.pack import RulePack
from advisor.rulegraph.model.quantities import CALCULATORS, INPUT_UNITS
from tests.unit.rulegraph.spoiled import Spoiled


def test_every_name_is_calculated_and_every_calculator_can_be_named() -> None:
    assert set(BY_NAME) == set(CALCULATORS)
    assert {name for inputs in CALCULATORS.values() for name in inputs} <= set(INPUT_UNITS)


def test_every_calculator_is_named_by_a_shipped_method(pack: RulePack) -> None:
    rules = [rule for method in pack.methods.values() for rule in method.quantities]
    assert {rule.of for rule in rules if rule.own is None} == set(CALCULATORS)


def test_an_amount_of_its_own_needs_a_title_and_a_node_in_its_unit(spoiled: Spoiled) -> None:
    spoiled.edit("methods/recolour.yaml", "quantities: [colour_coats]",
                 "quantities: [{title: Colour, amount: damage.length, dimension: big_area, "
                 "source: practice}]")
    spoiled.edit("methods/foam_replace.yaml", "quantities: [new_padding]",
                 "quantities: [{amount: damage.count, whole: yes, source: practice}]")
    spoiled.edit("methods/hand_stitch.yaml", "quantities: [hand_seam, thread_and_needle]",
                 "quantities: [{of: hand_seam, amount: damage.count}]")
    found = [fault.text.partition("rules/")[2] for fault in spoiled.faults()]
    for said in (
        "quantities.0: title and source go with amount, and it needs both",
        "quantities.0: a quantity says one of of, amount",
    ):
        assert any(said in text for text in found), (said, found)


def test_names_inputs_and_units_that_are_none_are_told(spoiled: Spoiled) -> None:
    file = "methods/recolour.yaml"
    spoiled.edit(file, "quantities: [colour_coats]", "quantities: [color_coats]")
    spoiled.edit("methods/foam_replace.yaml", "quantities: [new_padding]",
                 "quantities:\n  - {of: new_paddin}")
    spoiled.edit("methods/backing_patch.yaml",
                 "{of: glued_patch, inputs: {damage_opening: opening}}",
                 "{of: glued_patch, inputs: {damage_openin: opening, damage_length: seam.pitc}}")
    spoiled.edit("methods/hand_stitch.yaml", "quantities: [hand_seam, thread_and_needle]",
                 "quantities:\n  - {of: hand_seam, inputs: {stitch_pitch: 4 in}}")
    found = [fault.text.partition("rules/")[2] for fault in spoiled.faults()]
    line, column = spoiled.place(file, "color_coats")
    assert any(
        text.startswith(f'{file}:{line}:{column}: quantities.0: no such quantity; '
                        'found "color_coats"')
        and text.endswith("(did you mean colour_coats?)")
        for text in found
    ), found
    for said in (
        'quantities.0.of: no such quantity; found "new_paddin"',
        'quantities.0.inputs.damage_openin: no such input of glued_patch',
        "did you mean damage_opening?", 'found "seam.pitc"', "did you mean seam.pitch?",
        'quantities.0.inputs.stitch_pitch: wrong unit; found "4 in"; accepted: a number in mm',
    ):
        assert any(said in text for text in found), (said, found)
