"""Parts with nothing hard under the skin, and a floor that is no carrier, as they are drawn."""

from __future__ import annotations

import pytest

from advisor.advice.advise import advise
from advisor.drawing.section_geometry import draw
from advisor.drawing.section_layers import layers_of
from advisor.drawing.section_shapes import Drawing
from advisor.facts.case import Case
from advisor.rulegraph.model.pack import RulePack


def drawing(pack: RulePack, part: str, vehicle: str, damage: str) -> Drawing:
    facts = {"part.kind": (part,), "vehicle.kind": (vehicle,), "damage.kind": (damage,)}
    advice = advise(Case("HB-1", facts=facts), pack, flips=False, rough=True)
    return draw(layers_of(advice, pack), 520, 300, 90)


def words(found: Drawing) -> list[str]:
    return [note.text.removesuffix(" *") for note in found.notes]


@pytest.mark.parametrize(
    ("part", "vehicle", "expected"),
    [
        ("boat_canopy", "boat", ["skin"]), ("gaiter", "car", ["skin"]),
        ("box_cushion", "camper", ["skin", "padding"]),
        ("carpet_edge", "bus", ["skin", "carpet"]),
        ("armrest", "bus", ["skin", "padding", "carrier"]),
        ("pilot_seat", "aircraft", ["skin", "padding", "carrier"]),
    ],
)
def test_only_what_is_there_is_drawn(
    pack: RulePack, part: str, vehicle: str, expected: list[str]
) -> None:
    found = drawing(pack, part, vehicle, "seam_open")
    assert words(found) == expected
    has_carrier = any(shape.fill == "carrier" for shape in found.shapes)
    assert has_carrier == (len(set(expected) - {"skin", "padding"}) > 0)


@pytest.mark.parametrize("damage", ["carrier_crack", "broken_fixing"])
def test_what_broke_is_drawn_even_where_nothing_hard_is_usual(pack: RulePack, damage: str) -> None:
    found = drawing(pack, "gaiter", "car", damage)
    assert any(shape.fill == "carrier" for shape in found.shapes)
